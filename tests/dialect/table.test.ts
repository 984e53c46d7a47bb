/** Parts lists and charts: what a row says, where each cell is, and that a bad cell spoils nothing else. */
import { describe, expect, it } from 'vitest';
import { readNote } from '../../server/dialect/note.ts';
import type { Note, Table } from '../../server/dialect/tree.ts';
import { createSnapshot } from '../../server/text/snapshot.ts';
import { describeNote } from '../support/describe-tag.ts';
import { readFile, sliceOf, variants } from '../support/fixture.ts';

const read = (text: string): Note => readNote(createSnapshot('a.tagstrip.md', text));

function tableOf(note: Note): Table {
  const table = note.blocks.find((block): block is Table => block.kind === 'table');
  if (table === undefined) throw new Error('no table');
  return table;
}

/** A table of one row under headings: what its cells say but for what the first one names. */
function row(headings: string, cells: string): string[] {
  const columns = headings.split('|').length;
  const text = `| ${headings} |\n|${'---|'.repeat(columns)}\n| ${cells} |\n`;
  return describeNote(read(text)).filter((line) => !line.startsWith('mention'));
}

describe('the nature of a table', () => {
  it.each<[string, Table['nature']]>([
    ['Ref', 'parts'],
    ['part', 'parts'],
    ['**Part**', 'parts'],
    ['Designator', 'parts'],
    ['Valve', 'chart'],
    ['TUBE', 'chart'],
    ['Point', 'chart'],
    ['Day', 'other'],
    ['', 'other'],
    ['Value', 'other'],
  ])('is told by its first heading: %j is %s', (heading, nature) => {
    expect(tableOf(read(`| ${heading} | a |\n|---|---|\n| x | y |\n`)).nature).toBe(nature);
  });

  it('needs no outer pipes', () => {
    expect(describeNote(read('Valve | a\n--- | ---\nV4 | 348\n'))).toEqual([
      'mention V4',
      'reading V4.a voltage 348 V',
    ]);
  });

  it('is nothing but prose and tags in braces where it is neither', () => {
    const text = '| Day | Done |\n|---|---|\n| 1 | R17, {R18 = 1k} |\n';
    const note = read(text);
    expect(describeNote(note)).toEqual(['fitted R18: 1 kΩ']);
    expect(tableOf(note).rows.flatMap((each) => each.prose.map((span) => sliceOf(text, span)))).toEqual([
      '1',
      'R17, ',
    ]);
  });
});

describe("a chart's columns", () => {
  it.each<[string, string, string[]]>([
    ['a', '331', ['reading V5.a voltage 331 V']],
    ['Anode', '331 V', ['reading V5.a voltage 331 V']],
    ['plate (V)', '331', ['reading V5.a voltage 331 V']],
    ['a V', '331', ['reading V5.a voltage 331 V']],
    ['Va', '331', ['reading V5.a voltage 331 V']],
    ['g2', '~322', ['reading V5.g2 voltage about 322 V']],
    ['Screen', '322', ['reading V5.g2 voltage 322 V']],
    ['g', '+1.9', ['reading V5.g voltage +1.9 V']],
    ['g1', '−2.5', ['reading V5.g voltage -2.5 V']],
    ['k mV', '38', ['reading V5.k voltage 38 mV']],
    // Millivolts of a whole valve are its cathode's: over an ohm they are its milliamperes.
    ['mV', '38', ['reading V5.k voltage 38 mV']],
    ['k (mV)', '1.2 V', ['reading V5.k voltage 1.2 V']],
    ['Ik (mA)', '38', ['reading V5.k current 38 mA']],
    ['mA', '38', ['reading V5 current 38 mA']],
    ['3', '331', ['reading V5 pin 3 voltage 331 V']],
    ['pin 3', '331', ['reading V5 pin 3 voltage 331 V']],
    ['Pin #3', '331', ['reading V5 pin 3 voltage 331 V']],
    ['a found', '331', ['found: reading V5.a voltage 331 V']],
    ['As found a (V)', '331', ['found: reading V5.a voltage 331 V']],
    ['k after', '19', ['left: reading V5.k voltage 19 V']],
    ['a nominal', '340', ['nominal: reading V5.a voltage 340 V']],
    ['Type', '6V6GT', ['fitted V5: 6V6GT']],
    ['Remark', '331', []],
  ])('%j over %j', (heading, cell, lines) => {
    expect(row(`Valve | ${heading}`, `V5 | ${cell}`)).toEqual(lines);
  });

  it.each<[string, string, string[]]>([
    ['Found', '352', ['found: reading B+1 voltage 352 V']],
    ['Before', '352', ['found: reading B+1 voltage 352 V']],
    ['As left', '352', ['left: reading B+1 voltage 352 V']],
    ['After', '352', ['left: reading B+1 voltage 352 V']],
    ['Should be', '352', ['nominal: reading B+1 voltage 352 V']],
    ['V', '352', ['reading B+1 voltage 352 V']],
    ['Vpp', '8.2', ['reading B+1 ripple 8.2 V pp']],
    ['Reading', '19 Vpp', ['reading B+1 ripple 19 V pp']],
    ['Found (V)', '352', ['found: reading B+1 voltage 352 V']],
  ])('at a point, %j over %j', (heading, cell, lines) => {
    expect(row(`Point | ${heading}`, `B+1 | ${cell}`)).toEqual(lines);
  });

  it.each(['', '-', '–', '—', '?', 'n/a', 'N/A', ' '])(
    '%j was not read, and nothing is said of it',
    (cell) => {
      expect(row('Valve | a | k', `V5 | ${cell} | 19`)).toEqual(['reading V5.k voltage 19 V']);
    },
  );

  it('takes brackets for what it should be and asks once in a chart', () => {
    expect(row('Valve | a | k', 'V1 | 184 (192) | 1.4 (1.5)')).toEqual([
      'reading V1.a voltage 184 V',
      '! chart-reference-asked at “184 (192)”',
      'nominal: reading V1.a voltage 192 V',
      'reading V1.k voltage 1.4 V',
      'nominal: reading V1.k voltage 1.5 V',
    ]);
  });

  it('lets several valves share a row, and a type stand beside one', () => {
    expect(row('Valve | a', 'V4, V5 | 348')).toEqual(['reading V4.a voltage 348 V; V5.a voltage 348 V']);
    expect(row('Valve | a', 'V4 and V5 | 348')).toEqual(['reading V4.a voltage 348 V; V5.a voltage 348 V']);
    expect(row('Valve | a', 'V5 (6V6GT) | 348')).toEqual(['fitted V5: 6V6GT', 'reading V5.a voltage 348 V']);
  });

  it('is spoilt by a bad cell only where it is bad', () => {
    const { text, spans } = readFile(
      '| Valve | a | g2 | k |\n|---|---|---|---|\n| V5 | 348 | ⟦red hot⟧ | 19 |\n',
    );
    const note = read(text);
    expect(describeNote(note).filter((line) => line.startsWith('reading'))).toEqual([
      'reading V5.a voltage 348 V',
      'reading V5.k voltage 19 V',
    ]);
    expect(note.problems.map(({ span }) => span)).toEqual(spans);
    expect(note.problems[0]?.message).toContain('V5.g2'.slice(0, 2));
  });

  it('leaves rows that are about nothing we know alone', () => {
    expect(row('Valve | a', 'Left channel | 348')).toEqual([]);
    expect(row('Valve | a', '**Driver** stage | hot')).toEqual([]);
  });

  it('keeps a row about a node of the sheet in doubt, and complains of nothing in it', () => {
    expect(row('Point | Found | Left', 'tail | -1.2 | hot')).toEqual([
      'found: if tail is a node: reading tail voltage -1.2 V',
    ]);
  });
});

describe('a parts list', () => {
  it.each<[string, string, string[]]>([
    ['Ref | Value', 'R17 | 470', ['fitted R17: 470 Ω']],
    ['Ref | Value', 'R17, R18 | 470R 5W wirewound', ['fitted R17, R18: 470 Ω, power 5 W, wirewound']],
    ['Ref | Value | Rating', 'C14 | 22n | 400', ['fitted C14: 22 nF, voltage 400 V']],
    ['Ref | Value | Voltage', 'C14 | 22n | 400', ['fitted C14: 22 nF, voltage 400 V']],
    ['Ref | Value | Power (W)', 'R17 | 470 | 5', ['fitted R17: 470 Ω, power 5 W']],
    ['Ref | Value | W', 'R17 | 470k | .5', ['fitted R17: 470 kΩ, power 0.5 W']],
    ['Ref | Value | W', 'R17 | 470k | 1/2', ['fitted R17: 470 kΩ, power 0.5 W']],
    ['Ref | Value | Tolerance', 'R17 | 470 | 5', ['fitted R17: 470 Ω, tolerance 0.05']],
    ['Ref | Value | Date', 'C14 | 22n | 2011', ['fitted C14: 22 nF, date 2011']],
    ['Part | Type', 'V5 | 6V6GT', ['fitted V5: 6V6GT']],
    ['Part | Kind', 'C14 | film', ['fitted C14: film']],
    ['Part | From | To', 'R17 | V5.k | gnd', ['fitted R17: V5.k to gnd']],
    ['Part | From | To', 'R17 | V5.k V6.k | gnd', ['fitted R17: V5.k, V6.k to gnd']],
    ['Part | From', 'R17 | V5.k', ['fitted R17: V5.k to gnd, not written']],
    ['Part | From', 'R17 | V5.k to gnd', ['fitted R17: V5.k to gnd']],
    [
      'Part | Was | Now',
      'C14 | 22n 400V | 22n 630V',
      ['change C14: 22 nF, voltage 400 V -> 22 nF, voltage 630 V'],
    ],
    ['Part | Value | Now', 'C14 | 22n | 47n', ['change C14: 22 nF -> 47 nF']],
    ['Part | New', 'C14 | 47n', ['change C14: whatever was -> 47 nF']],
    ['Part | Was | Now | Rating', 'C14 | 22n | 47n | 630', ['change C14: 22 nF -> 47 nF, voltage 630 V']],
    ['Part | Was | Now', 'C19 | 120p | removed', ['change C19: 120 pF -> removed']],
    ['Part | Was | Now', 'C14 | 22n | -', ['fitted C14: 22 nF']],
    ['Part | Value', 'C14 | {C14: 4n4}', ['reading C14 capacitance 4.4 nF']],
    ['Part | Note', 'C14 | 4n4', []],
    ['Part | Value', 'see below | 4n4', []],
    ['Part | Value | Rating', 'R17 | 470 | !!', ['fitted R17: 470 Ω', '! tag-unreadable at “!!”']],
    [
      'Part | Value | From | To',
      'R17 | 470 | up there | gnd',
      ['fitted R17: 470 Ω', '! tag-unreadable at “up there”'],
    ],
  ])('%j over %j', (headings, cells, lines) => {
    expect(row(headings, cells)).toEqual(lines);
  });

  it('names a part of which nothing more is said', () => {
    expect(describeNote(read('| Part | Value |\n|---|---|\n| C14 | |\n'))).toEqual(['mention C14']);
  });
});

describe("a cell's place", () => {
  it.each([
    '| Valve | a |\n|---|---|\n| ⟦V4⟧ | ⟦348⟧ |\n',
    'Valve | a\n--- | ---\n⟦V4⟧ | ⟦348⟧\n',
    '| Valve | a |\n|---|---|\n|⟦V4⟧|⟦348⟧|\n',
    '| Valve | a |\n|---|---|\n|\t⟦V4⟧\t|\t⟦348⟧\t|  \n',
    '> | Valve | a |\n> |---|---|\n> | ⟦V4⟧ | ⟦348⟧ |\n',
    '- | Valve | a |\n  |---|---|\n  | ⟦V4⟧ | ⟦348⟧ |\n',
    '| Note | a |\n|---|---|\n\n| Valve | 🔥 | a |\n|---|---|---|\n| ⟦V4⟧ | 🔥 µF | ⟦348⟧ |\n',
    '| Valve | Note | a |\n|---|---|---|\n| ⟦V4⟧ | `x \\| y` | ⟦348⟧ |\n',
    '| Valve | Note | a |\n|---|---|---|\n| ⟦V4⟧ | x \\\\| ⟦348⟧ |\n',
    '| Valve | Note | a |\n|---|---|---|\n| ⟦V4⟧ | `x | 350⟧ |\n'.replace('350⟧', '⟦350⟧'),
    '| Valve | a |\n|---|---|\n| ⟦V4⟧ | ⟦348⟧ | 349 |\n',
    '| Valve | a | g |\n|---|---|---|\n| ⟦V4⟧ | ⟦348⟧\n',
    '| Valve | a |\n|---|---|\n| ⟦V4⟧ | ⟦`348`⟧ |\n'.replaceAll('`', ''),
  ])('is exact in %j', (marked) => {
    for (const { name, fixture } of variants(marked, { emoji: false })) {
      const [file] = fixture.files;
      const text = file?.text ?? '';
      const tables = read(text).blocks.filter((block): block is Table => block.kind === 'table');
      const places = tables.flatMap((table) =>
        table.rows.flatMap((each) => each.tags.map((tag) => tag.span)),
      );
      expect(
        places.map((span) => sliceOf(text, span)),
        name,
      ).toEqual(file?.spans.map((span) => sliceOf(text, span)));
      expect(places, name).toEqual(file?.spans);
    }
  });

  it('is counted as GitHub counts: a pipe in code parts cells unless a backslash stands before it', () => {
    const cells = (line: string): number =>
      describeNote(read(`| Valve | a | k | g |\n|---|---|---|---|\n| V4 | ${line} |\n`)).filter((each) =>
        each.startsWith('reading'),
      ).length;
    // Three cells, of which the first begins with a tick that is no number.
    expect(cells('`348 | 19` | 0')).toBe(2);
    expect(cells('348 \\| 19 | 0')).toBe(2);
    expect(cells('348 | 19 | 0 | 7 | 8')).toBe(3);
  });

  it('moves with an emoji in the row and its value stays right', () => {
    const text = '| Valve | Note | a |\n|---|---|---|\n| V4 | 🔥 | 348 |\n';
    const [, reading] = tableOf(read(text)).rows[0]?.tags ?? [];
    if (reading?.kind !== 'reading') throw new Error('no reading');
    const [value] = reading.items[0]?.values ?? [];
    expect(value?.kind === 'value' && sliceOf(text, value.value.span)).toBe('348');
  });
});
