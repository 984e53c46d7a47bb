/** What is offered inside a tag, and that prose is left in peace. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { completion } from '../../server/features/completion.ts';
import { FRONT_MATTER_KEYS } from '../../server/features/front-matter-completion.ts';
import type { SheetFacts } from '../../server/shop/sheet-index.ts';
import { analyse } from '../support/check.ts';
import { checkCompletion } from '../support/features.ts';

const PARTS = `
- V5 = 6V6GT
- V1A = 12AX7
- R17 = 470R 5W, V5.k to gnd
- C12 = 22n 630V film, V1A.a to tail
- VR2 = 1M log
- R4 = 100k, B+1 to V1A.a
`;
const offered = (marked: string) => checkCompletion(`${marked}\n${PARTS}`, { emoji: false });
const names = async (marked: string) =>
  (await offered(marked))
    .split('\n')
    .slice(1)
    .map((line) => line.replace(/ \(.*$/, ''));

describe('offered in a tag', () => {
  it('are parts with what they are, then points', async () => {
    expect(await offered('{‸')).toMatchInlineSnapshot(`
      "⟦⟧
      V5 (part: 6V6GT)
      V1A (part: 12AX7)
      R17 (part: 470 Ω 5 W, cathode resistor of V5)
      C12 (part: 22 nF 630 V film)
      VR2 (part: 1 MΩ log)
      R4 (part: 100 kΩ, anode load of V1A)
      B+1 (point)
      gnd (point)
      tail (point)
      mains (point)
      bias (point)
      heaters (point)"
    `);
  });

  it('are only those that begin as written, which is what is replaced', async () => {
    expect(await offered('It is {R1‸')).toBe('⟦R1⟧\nR17 (part: 470 Ω 5 W, cathode resistor of V5)');
    expect(await offered('{r1‸')).toContain('R17');
    expect(await names('{B+‸')).toEqual(['B+1']);
    expect(await names('{R17 = 470R 5W, V5.k to t‸')).toEqual(['tail']);
  });

  it('are electrodes with their pins', async () => {
    expect(await offered('{V5.‸')).toMatchInlineSnapshot(`
      "⟦⟧
      a (electrode: pin 3)
      g (electrode: pin 5)
      g2 (electrode: pin 4)
      k (electrode: pin 8)"
    `);
    expect(await names('{VR2.‸')).toEqual(['3', '2', '1', 'wiper']);
    expect(await names('{V5: ‸')).toEqual(await names('{V5.‸'));
    expect(await names('{V5: a 331, ‸')).toContain('g2');
  });

  it('are valve types behind =', async () => {
    expect(await names('{V6 = 6V6‸')).toContain('6V6GT');
    expect(await names('- V6 = EL8‸')).toContain('EL84');
    expect(await names('{V6 -> ‸')).toContain('12AX7');
  });

  it('are units behind a number, by what the part is', async () => {
    expect(await names('{R20 = 470‸')).toEqual(['R', 'k', 'M', 'W', 'V']);
    expect(await names('{C20 = 22‸')).toEqual(['uF', 'nF', 'pF', 'V']);
    expect(await names('{C20 = 22n‸')).toEqual(['nF']);
    expect(await names('{B+1: 331 ‸')).toEqual([]);
    expect(await names('{B+1: 331‸')).toContain('Vpp');
  });

  it('are kinds behind a value', async () => {
    expect(await names('{R20 = 470R 5W w‸')).toEqual(['wirewound']);
    expect(await names('{C20 = 22n 630V ‸')).toContain('film');
    expect(await names('{C12 -> r‸')).toContain('removed');
  });

  it('are the names of a question, where signs part words', async () => {
    expect(await names('{? (B+1 - V5.k) / R1‸')).toEqual(['R17']);
    expect(await names('{? V5.k/R1‸')).toEqual(['R17']);
    expect(await names('{? 3-B+‸')).toEqual(['B+1']);
  });

  it('are rules behind accept, then subjects', async () => {
    expect(await names('{accept anode-over-d‸')).toEqual(['anode-over-dissipation']);
    expect(await names('{accept anode-over-dissipation V‸')).toEqual(['V5', 'V1A', 'VR2']);
    expect(await names('{keep C‸')).toEqual(['C12']);
  });

  it('are found in a tag that wraps over a line', async () => {
    expect(await names('So the part {R20 = 470R 5W,\nV5.k to R1‸')).toEqual(['R17']);
  });

  it('are the same in a list item that opens as a tag', async () => {
    expect(await names('- V5: ‸')).toContain('g2');
    expect(await names('- R17‸')).toEqual(['R17']);
    expect(await names('- [x] C14 lifted: V5: ‸')).toContain('g2');
    expect(await names('- R20 = 1k, V5.k to R1‸')).toEqual(['R17']);
  });
});

describe('values are offered', () => {
  it('that begin as written, by the preferred series', async () => {
    expect(await offered('{R20 = 4k‸')).toMatchInlineSnapshot(`
      "⟦4k⟧
      4k3 (value: E24)
      4k7 (value: E12)
      3k9 (value: next below, E12)
      3k92 (value: next below, E96)
      4k02 (value: next above, E96)
      k (unit)"
    `);
    expect(await names('{C20 = 2n‸')).toEqual(['2n2', '2n4', '2n7', 'nF']);
    expect(await names('{VR9 -> 2M‸')).toContain('2M2');
  });

  it('next to one that nobody makes, and for one that nobody makes any more', async () => {
    expect(await offered('{R20 = 46k‸')).toMatchInlineSnapshot(`
      "⟦46k⟧
      39k (value: next below, E12)
      47k (value: next above, E12)
      43k (value: next below, E24)
      45k3 (value: next below, E96)
      46k4 (value: next above, E96)
      k (unit)"
    `);
    expect(await offered('{C20 = .05uF‸')).toMatchInlineSnapshot(`
      "⟦.05uF⟧
      47n (value: bought today for 50n)"
    `);
    expect(await names('{C12 = 22n -> 23n‸')).toEqual(['22n', '27n', '24n', 'nF']);
  });

  it('but not for a usual one, a number alone, a rating, nor for what was read', async () => {
    expect(await names('{R20 = 47k‸')).toEqual(['k']);
    expect(await names('{R20 = 46‸')).toEqual(['R', 'k', 'M', 'W', 'V']);
    expect(await names('{R20 = 47k 3.3W‸')).toEqual(['W']);
    expect(await names('{R17: 46k‸')).toEqual(['k']);
  });
});

describe('a valve', () => {
  it('is read by its pins', async () => {
    expect(await offered('{V5: pin ‸')).toMatchInlineSnapshot(`
      "⟦⟧
      3 (electrode: a)
      4 (electrode: g2)
      5 (electrode: g)
      8 (electrode: k)"
    `);
    expect(await names('{V5: a 331, pin ‸')).toEqual(await names('{V5: pin ‸'));
  });

  it('has the electrodes of its type in a stage line', async () => {
    expect(await names('{V5 = 6V6GT, ‸')).toEqual(['a', 'g', 'g2', 'k']);
  });

  it('has the rules first that found something here', async () => {
    const first = await names(`- V5 6V6GT: a 331, 60 mA\n\n{accept ‸`);
    expect(first[0]).toBe('anode-over-dissipation');
  });
});

describe('in tables', () => {
  const parts = (row: string) =>
    `| Ref | Value | Rating | Kind | From | To | What |\n| - | - | - | - | - | - | - |\n${row}`;
  it('a parts list is offered what its column takes', async () => {
    expect(await names(parts('| R‸'))).toEqual(['R17', 'R4']);
    expect(await names(parts('| R9 | 46k‸'))).toContain('47k');
    expect(await names(parts('| R9 | 470‸ | |'))).toEqual(['R', 'k', 'M', 'W', 'V']);
    expect(await names(parts('| R9 | 470R | 5‸'))).toContain('W');
    expect(await names(parts('| C9 | 22n | 630V | f‸'))).toEqual(['film']);
    expect(await names(parts('| C9 | 22n | 630V | film | V5.‸'))).toEqual(['a', 'g', 'g2', 'k']);
    expect(await names(parts('| C9 | 22n | 630V | film | V5.k | g‸'))).toEqual(['gnd']);
    expect(await names(parts('| V9 | 6V6‸'))).toContain('6V6GT');
  });

  it('a chart is offered valves and points', async () => {
    const chart = '| Valve | a | k |\n| - | - | - |\n';
    expect(await names(`${chart}| V‸`)).toEqual(['V5', 'V1A']);
    expect(await names(`${chart}| B‸`)).toEqual(['B+1', 'bias']);
    expect(await names(`${chart}| V5 | 3‸`)).toEqual([]);
  });

  it('nothing is laid over an empty cell while it is written', async () => {
    const analysis = await analyse(parts('| C9 | 22n | 630V | '));
    const at = analysis.sheet.snapshot.text.length;
    expect(completion(analysis, at).length).toBeGreaterThan(3);
    expect(completion(analysis, at, { isByTheWay: true })).toEqual([]);
  });
});

describe('in the front matter', () => {
  const sheets = [
    {
      key: 'file:///shop/chassis/larch%2020.b.tagstrip.md',
      kind: 'chassis',
      title: 'Larch 20',
      revision: 'b',
    },
    { key: 'file:///shop/chassis/ash%20%231.tagstrip.md', kind: 'chassis', title: 'Ash' },
    { key: 'file:///shop/jobs/5.tagstrip.md', kind: 'job', title: 'Larch', serial: '0231' },
    { key: 'untitled:new.tagstrip.md', kind: 'chassis', title: 'New' },
  ].map(
    (each) => ({ ...each, uri: each.key, isReturned: false, writtenFor: [], names: new Map() }) as SheetFacts,
  );
  const at = (marked: string) =>
    checkCompletion(marked, { emoji: false, sheets }).then((said) =>
      said
        .split('\n')
        .map((line) => line.trimEnd())
        .join('\n'),
    );

  it('are the keys that this kind of sheet has and does not say yet', async () => {
    expect(await at('---\nsheet: chassis\nmodel: Ash\n‸\n---\n')).toMatchInlineSnapshot(`
      "⟦⟧
      revision:  (key: the revision of that model)
      made:  (key: the year it was made in, for the age of what fails)
      follows:  (key: the revision before this one, as a path; write only the differences)
      title:  (key: what the sheet is called in lists)
      mains:  (key: the nominal mains)
      class:  (key: II where it is built and marked so, without a protective earth)"
    `);
    expect(await at('---\njob: 7\nre‸\n---\n')).toMatchInlineSnapshot(`
      "⟦re⟧
      received:  (key: the day it came in)
      returned:  (key: the day it went out: the job is finished)
      returns:  (key: an earlier job on this amplifier, as a path)"
    `);
  });

  it('are kinds of sheets, choices, and paths to sheets that are there', async () => {
    expect(await at('---\nsheet: ‸\n---\n')).toMatchInlineSnapshot(`
      "⟦⟧
      job (choice)
      chassis (choice)
      mod (choice)
      shop (choice)"
    `);
    expect(await at('---\nchassis: ‸\n---\n')).toMatchInlineSnapshot(`
      "⟦⟧
      "../chassis/ash #1.tagstrip.md" (path: Ash)
      ../chassis/larch 20.b.tagstrip.md (path: Larch 20, revision b)"
    `);
    expect(await at('---\nreturns: ‸\n---\n')).toMatchInlineSnapshot(`
      "⟦⟧
      5.tagstrip.md (path: Larch, serial 0231)"
    `);
    expect(await at('---\nsheet: mod\nwritten-for:\n  - ../chassis/l‸\n---\n')).toMatchInlineSnapshot(`
      "⟦../chassis/l⟧
      ../chassis/larch 20.b.tagstrip.md (path: Larch 20, revision b)"
    `);
    expect(await at('---\nsheet: shop\nrules:\n  anode-over-d‸\n---\n')).toContain('anode-over-dissipation');
    expect(await at('---\nsheet: shop\nrules:\n  anode-over-dissipation: w‸\n---\n')).toMatchInlineSnapshot(`
      "⟦w⟧
      warning (choice)"
    `);
  });

  it('are none on the fences, in a title, nor in a shop’s own tables', async () => {
    expect(await at('---‸\njob: 7\n---\n')).toBe('nothing');
    expect(await at('---\ntitle: R‸\n---\n')).toBe('nothing');
    expect(await at('---\nsheet: shop\nheadings:\n  work: ‸\n---\n')).toBe('nothing');
  });

  it('are all keys that the schema knows', () => {
    const path = new URL('../../grammar/front-matter.schema.json', import.meta.url);
    const schema: { properties: object } = JSON.parse(readFileSync(path, 'utf8'));
    expect(Object.keys(FRONT_MATTER_KEYS).sort()).toEqual(Object.keys(schema.properties).sort());
  });
});

describe('nothing is offered', () => {
  it.each([
    ['in prose', 'The R1‸'],
    ['at the start of a sentence in a list', '- V‸'],
    ['in a list item of prose', '- The glow of V5 is in R1‸'],
    ['in a list item of prose that begins with a ref', '- V5 glows near R1‸'],
    ['behind a closed tag', '{V5} and R1‸'],
    ['behind an escaped brace', '\\{R1‸'],
    ['in code', 'as `{R1‸'],
    ['in arithmetic of a page', 'where $x_{R1‸'],
    ['in a table’s prose', '| Ref | What |\n| --- | --- |\n| R17 | near R1‸'],
    ['where a number is written', '- V5: a ‸'],
  ])('%s', async (_, marked) => {
    expect(await offered(marked)).toBe('nothing');
  });

  it.each([
    ['in fenced code', '```\n{R1‸\n```\n'],
    ['in front matter', '---\ntitle: {R1‸\n---\n'],
  ])('%s', async (_, marked) => {
    expect(await checkCompletion(marked + PARTS, { emoji: false })).toBe('nothing');
  });
});
