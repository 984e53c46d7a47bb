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

/** What is offered in place of an item that lacks its sign, and whether the amplifier must have the part. */
const offered = (item: string): readonly string[] => {
  const text = sheet(`- ${item}`);
  return sheetOf(text)
    .problems.filter(({ kind }) => kind === 'line-in-prose')
    .flatMap(({ about, offers }) =>
      offers.map(({ edit }) => `${about}? ${applyEdits(text, [edit]).split('- ')[1]?.trim()}`),
    );
};

/** What an item of which nothing was read is about, where it tells of a reading or of a new part. */
const claimed = (item: string): readonly string[] =>
  sheetOf(sheet(`- ${item}`))
    .problems.filter(({ kind }) => kind === 'line-in-prose')
    .map(({ about, offers }) => `${about} ${offers.length}`);

describe('a list item with a part and a number of which nothing was read', () => {
  test.each([
    ['R17 went high 680→1k2', ['R17 0']],
    ['R17 680 measures 1k2', ['R17 0']],
    ['R17 470 = 612', ['R17 0']],
    ['R17 = k4.7', ['R17 0']],
    ['R17 drops 12.4v', ['R17 0']],
    ['drop across R17 12.4v', ['R17 0']],
    ['C14 leaky, 3.4V on grid', ['C14 0']],
    ['fitted new C1 22uF/500V', ['C1 0']],
    ['new C1 47uF 500V', ['C1 0']],
    ['ripple 9 Vac @ B+', ['B+ 0']],
    ['331 on V5 plate', ['V5 0']],
    ['352 at B+1', ['B+1 0']],
  ])('%s', (item, about) => {
    expect(claimed(item)).toEqual(about);
  });

  test.each([
    'new valves all round',
    'R17 went high again',
    'C14 measured and found good',
    'fitted new C1 22uF/500V two years ago',
    'it was across R17 when the 12 V lamp in the footswitch went and the owner noticed',
    'V5 gone soft',
  ])('but not a sentence: %s', (item) => {
    expect(claimed(item)).toEqual([]);
  });
});

describe('a list item that lacks its sign', () => {
  test.each([
    ['R31 2k9', ['R31? R31: 2k9', 'R31? R31 = 2k9']],
    ['C1 4u7 / 28u', ['C1? C1: 4u7 / 28u']],
    ['L1 OL', ['L1? L1: OL']],
    ['R7 open', ['R7? R7: open']],
    ['R7 open, so V5 has no screen', ['R7? R7: open, so V5 has no screen']],
    ['bias -41', ['bias? bias: -41']],
    ['mid 310', ['mid? mid: 310']],
    ['C33 leaky, ph2 +1.7V', ['C33? C33: leaky, ph2 +1.7V']],
    ['V5 glowing', ['V5? V5: glowing']],
    ['D1: T1 to B+', ['D1? D1 = T1 to B+']],
    ['V6 T1 to HT1', ['V6? V6 = T1 to HT1']],
    ['R1, R2 2k9', ['R1? R1, R2: 2k9', 'R1? R1, R2 = 2k9']],
  ])('%s', (item, ways) => {
    expect(offered(item)).toEqual(ways);
  });

  test.each([
    'R7 looks burnt',
    'R7 goes to gnd',
    'R7 2 of them, both burnt',
    'C14 10, 11 and 12 replaced',
    'T1 2019, rewound',
    'V5 2 new ones',
    'V5 to be matched with V6',
    'V5 noisy since then',
    'C14 replaced',
    'bias is low',
    'mid position, 3 of 5',
    'V1: swapped it, no change',
    'R31: 2k9',
    'Ring 0171 555, ask for J1',
  ])('is left alone: %s', (item) => {
    expect(offered(item)).toEqual([]);
  });
});

describe('a line in running text', () => {
  test.each([
    ['It hums.\nV5 lifted: a 347, g2 336\nThen quiet.', ['V5 lifted: a 347, g2 336 | 2 more']],
    ['It hums.\r\nV5: a 347, g2 336.\r\nThen quiet.', ['V5: a 347, g2 336 | 2 more']],
    ['v5: a 347, g2 336', ['v5: a 347, g2 336 | 2 more']],
    ['V5 a 347, g2 336', ['V5 a 347, g2 336 | 2 more']],
    ['B+1 352 V, B+2 340 V', ['B+1 352 V, B+2 340 V | 2 more']],
    ['in play: B+1: 352 V, B+2: 340 V', ['in play: B+1: 352 V, B+2: 340 V | 2 more']],
    ['mains 243, by the long lead', ['mains 243 | 1 more']],
    ['- mains 243, by the long lead', ['mains 243 | 1 more']],
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
    'mains 243, 12 min',
    'Mains 243 and a 2 m lead',
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
