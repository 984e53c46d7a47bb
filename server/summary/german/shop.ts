/** Owns in German what many sheets say together: verdicts on mods, comparisons, failures, orders and return visits. */
import type { ShopWords } from '../../shop/shop-words.ts';

export const germanShop: ShopWords = {
  mods: {
    verdicts: {
      'still applies': 'noch zu tun',
      'done at factory': 'ab Werk so',
      'already done': 'schon getan',
      'not applicable': 'trifft nicht zu',
      conflicts: 'steht entgegen',
      declined: 'abgelehnt',
      unknown: 'unbekannt, nachsehen',
    },
  },
};
