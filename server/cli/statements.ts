/** Owns the verb `statements`: a sheet as one fact a line, which is what `git diff` is to compare (`textconv`). */
import { resolve } from 'node:path';
import { factsOf, sayFact } from '../shop/facts.ts';
import { analyseTextAt, placeOfText } from './git-sides.ts';
import { plain } from './terminal.ts';
import { type ShopVerb, Unusable } from './verb.ts';

export const statementsVerb: ShopVerb = {
  name: 'statements',
  formats: ['text'],
  options: [],
  does: 'one sheet as one fact a line, in an order that layout does not move: what git compares (textconv)',
  run: async ({ call, setting, print }) => {
    const [given, ...more] = call.paths;
    if (given === undefined || more.length > 0)
      throw new Unusable(`statements takes one sheet, not ${call.paths.length}`);
    const file = resolve(setting.folder, given);
    const analysis = await analyseTextAt(await placeOfText(file, setting.folder), file);
    if (analysis === undefined) throw new Unusable(`cannot read ${given}`);
    print(
      factsOf(analysis)
        .map((fact) => `${plain(sayFact(fact)).replaceAll('\u00a0', ' ')}\n`)
        .join(''),
    );
    return 0;
  },
};
