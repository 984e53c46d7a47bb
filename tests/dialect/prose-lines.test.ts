/** Lines of running text that read whole, and are only words until they are marked. */
import { describe, expect, test } from 'vitest';
import { applyEdits } from '../../server/text/edits.ts';
import { sheetOf } from '../bench/bench.ts';

const sheet = (body: string) => `# Job\n\n## As found\n\n${body}\n`;

/** What is found, and how many statements are read once each finding's offer is taken. */
function unmarked(body: string): readonly string[] {
  const text = sheet(body);
  return sheetOf(text)
    .problems.filter(({ kind }) => kind === 'line-in-prose')
    .map(({ span, offers: [offer] }) => {
      const mended = offer === undefined ? text : applyEdits(text, [offer.edit]);
      const more = sheetOf(mended).statements.length - sheetOf(text).statements.length;
      return `${text.slice(span.start, span.end)} | ${more} more`;
    });
}

describe('a line in running text', () => {
  test.each([
    ['It hums.\nV5 lifted: a 347, g2 336\nThen quiet.', ['V5 lifted: a 347, g2 336 | 2 more']],
    ['It hums.\r\nV5: a 347, g2 336.\r\nThen quiet.', ['V5: a 347, g2 336 | 2 more']],
    ['v5: a 347, g2 336', ['v5: a 347, g2 336 | 2 more']],
    ['V5 a 347, g2 336', ['V5 a 347, g2 336 | 2 more']],
    ['B+1 352 V, B+2 340 V', ['B+1 352 V, B+2 340 V | 2 more']],
    ['in play: B+1: 352 V, B+2: 340 V', ['in play: B+1: 352 V, B+2: 340 V | 2 more']],
    ['R17 = 470R 5W, V5.k to gnd', ['R17 = 470R 5W, V5.k to gnd | 1 more']],
    ['C12 -> 1uF 50V film', ['C12 -> 1uF 50V film | 1 more']],
    ['- Swapped the pair\n  V5: a 347, g2 336', ['V5: a 347, g2 336 | 2 more']],
    ['V5: a 347, g2 336\nV6: a 349, g2 337', ['V5: a 347, g2 336 | 2 more', 'V6: a 349, g2 337 | 2 more']],
  ])('%j', (body, found) => {
    expect(unmarked(body)).toEqual(found);
  });

  test.each([
    ['- v5: a 347, g2 336 and glows', ['v5: a 347, g2 336 and glows | 2 more']],
    ['- r17 = 470r 5w, burnt a bit', ['r17 = 470r 5w, burnt a bit | 1 more']],
  ])('in a list, in small letters: %j', (body, found) => {
    expect(unmarked(body)).toEqual(found);
  });

  test.each([
    'V5: it was 331 V, then 322 V or so.',
    'The readings were V5: a 347, g2 336',
    'B+1: 352 V',
    'At 10:30, 20 minutes: fine.',
    'Talked to V5: the 2 of them said 3.',
    'Ring 0171 555: 3 pm, ask for J1.',
    'V5, V6 = 2 of 4',
    'V1 and V2 swapped, 2 minutes: no change',
    '`V5: a 347, g2 336`',
    '    V5: a 347, g2 336',
    '> V5: a 347, g2 336',
    '[V5: a 347, g2 336](x.md)',
    'Mains {mains: 236 V}, in play: {B+1: 352 V}, {B+2: 340 V}.',
    '- V5: a 347, g2 336',
    '- v5: a 347, g2 336',
    '- c14: 2 new ones, 3 old',
    '- p1: see page 2',
  ])('is left alone: %j', (body) => {
    expect(unmarked(body)).toEqual([]);
  });
});
