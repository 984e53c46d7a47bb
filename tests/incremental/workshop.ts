/** Owns the workshops that edits are made in, the edits, and all that is known of a sheet written down for comparing. */
import { readdirSync, readFileSync } from 'node:fs';
import { join, relative } from 'node:path';
import { fileURLToPath } from 'node:url';
import fc from 'fast-check';
import { expectedFigures } from '../../server/bench/expected.ts';
import type { Amplifier } from '../../server/bench/model.ts';
import type { Sheet } from '../../server/sheet/model.ts';
import type { Analysis } from '../../server/shop/shop.ts';
import { healthySheets } from '../corpus/healthy.ts';
import { sickSheets } from '../corpus/sick.ts';
import { longSheet } from '../perf/long-sheet.ts';

export interface Workshop {
  readonly name: string;
  /** Texts by URI. */
  readonly texts: Readonly<Record<string, string>>;
  /** The sheet that is looked at; the last of `edited` is typed in least. */
  readonly looked: string;
  readonly edited: readonly string[];
}

const ROOT = 'file:///shop/';
const JOB = `${ROOT}jobs/1.tagstrip.md`;

function samples(): readonly Workshop[] {
  const folder = fileURLToPath(new URL('../../samples', import.meta.url));
  const texts = Object.fromEntries(
    readdirSync(folder, { withFileTypes: true, recursive: true })
      .filter((entry) => entry.isFile() && entry.name.endsWith('.tagstrip.md'))
      .map((entry) => join(entry.parentPath, entry.name))
      .map((path) => [ROOT + relative(folder, path).replaceAll('\\', '/'), readFileSync(path, 'utf8')]),
  );
  const uris = Object.keys(texts);
  const chassis = uris.filter((uri) => uri.includes('/chassis/'));
  return uris
    .filter((uri) => uri.includes('/jobs/'))
    .map((looked) => ({ name: looked, texts, looked, edited: [looked, looked, ...chassis] }));
}

/** Whatever leans on something far away: free nodes, definitions, phases by the first change, sets by standing conditions. */
const LEANING = `# Rowan 40

Mains {mains: 230 V}, dummy load.

- {tail: -1.2 V} and {tial: 3 V}
- V4 = 12AX7, a R4 B+1, k R5 tail
- R4 = 100k 0.5W
- R5 = 1k5, C5 across R5
- C5 = 22uF 25V
- V4.a: 180 V
- B+1: 300 V

Cold:

- R4: 102k

## What I did

R4 = 100k was noisy, see [photo][p] and R5.

- R4 = 100k -> 120k 1W
- [ ] V4 = 12AX7 -> 12AT7
- {keep R5: owner's wish}
- {accept cathode-bypass-missing V4: as drawn}

Same conditions: V4.a 170 V

C5 lifted: {V4.g: 0 V}, {V4.k: 1.2 V}.

- V6A = 12AX7, a R7 B+1
- R7 = 100k
- V6.6: 150 V

| Valve | a | g | k |
| ----- | - | - | - |
| V4 | 178 (185) | 0 | 1.4 |
| V5 6V6GT | 331 | 0 | 19.4 |

> {? B+1 - V4.a}

![R4 charred][p]

[p]: r4.jpg

## Next time

- R5 = 1k5 -> 1k8
`;

const REVISION_A = `---
sheet: chassis
model: Alder 15
revision: a
mains: 230 V
---

- V1 = 12AX7, a R3 B+1, k R4
- R3 = 100k 0.5W
- R4 = 1k5
- C3 = 22uF 25V, across R4
- B+1: 300 V

| Valve | a | k |
| -- | -- | -- |
| V1 | 180 | 1.4 |
`;

const REVISION_B = `---
sheet: chassis
model: Alder 15
revision: b
follows: alder-15.a.tagstrip.md
---

## Differs

- R3 = 82k 0.5W
- R14: was R4
- R14 = 1k8
`;

const ON_B = `---
chassis: ../chassis/alder-15.b.tagstrip.md
mains: 240 V
---

## As found

It hums, R3 is warm. 🔥

- V1: a 120, k 0.9
- R3: 141k

## Work

- R3 = 82k -> 82k 1W
- C3 = 22uF 25V -> 22uF 63V electrolytic

## As left

- V1: a 185, k 1.5
`;

function written(): readonly Workshop[] {
  const chassis = ['a', 'b'].map((each) => `${ROOT}chassis/alder-15.${each}.tagstrip.md`);
  const [a = '', b = ''] = chassis;
  return [
    { name: 'leaning', texts: { [JOB]: LEANING }, looked: JOB, edited: [JOB] },
    {
      name: 'on a chain of chassis sheets',
      texts: { [a]: REVISION_A, [b]: REVISION_B, [JOB]: ON_B },
      looked: JOB,
      edited: [JOB, JOB, b, a],
    },
    { name: 'stage after stage', texts: { [JOB]: longSheet(64) }, looked: JOB, edited: [JOB] },
    { name: 'a revision by itself', texts: { [a]: REVISION_A, [b]: REVISION_B }, looked: b, edited: [b, a] },
  ];
}

function corpus(): readonly Workshop[] {
  const healthy = healthySheets().filter((_, i) => i % 4 === 0);
  const sick = sickSheets(1).filter((_, i) => i % 5 === 0);
  const chassis = `${ROOT}chassis/unit.tagstrip.md`;
  return [
    ...healthy.map(({ name, text, chassis: under }) => ({
      name,
      texts: under === undefined ? { [JOB]: text } : { [JOB]: text, [chassis]: under },
      looked: JOB,
      edited: under === undefined ? [JOB] : [JOB, JOB, chassis],
    })),
    ...sick.map(({ name, text }) => ({ name, texts: { [JOB]: text }, looked: JOB, edited: [JOB] })),
  ];
}

/** Small ones, and such as a bench has. */
export const SMALL: readonly Workshop[] = written();
export const LARGE: readonly Workshop[] = [...samples(), ...corpus()];

// ---------------------------------------------------------------------------------------------------------------
// Edits

/** One edit, by places that are shares of the text, so that a shorter text has them too. */
export interface Step {
  readonly which: number;
  readonly kind: number;
  readonly at: number;
  readonly to: number;
  readonly bit: number;
}

export const step: fc.Arbitrary<Step> = fc.record({
  which: fc.nat(11),
  kind: fc.nat(15),
  at: fc.nat(9999),
  to: fc.nat(9999),
  bit: fc.nat(999),
});

const BITS = [
  'x',
  'R',
  '1',
  '4',
  '.',
  ' ',
  '\n',
  '\n\n',
  '\r\n',
  '{',
  '}',
  '|',
  '#',
  '- ',
  '`',
  '🔥',
  ':',
  '=',
  ' -> ',
  '\t',
  '> ',
  '{R4: 4k7}',
  '{B+1: 300 V}',
  '{tail: 2 V}',
  'R4',
  ' V4A ',
  '\n- V4A: a 180\n',
  '\n- V4B: pin 1 175 V\n',
  'C5 lifted: ',
  'V4',
  ' off ',
  '\n## As left\n\n',
  '\n# Work\n\n',
  '\n- V5 = 6V6GT\n',
  '\n- V5: a 331, g2 322, k 19.4\n',
  '\n- R9 = 1k, V4.k to tail\n',
  '\n\nMains {mains: 250 V}, lamp:\n\n',
  '\n[p]: x.jpg\n\n',
  '\n```\n',
  '\n<!--\n',
  '-->',
  '---\n',
  '\n- [ ] R4 = 100k -> 1M\n',
  '\n{accept screen-over-voltage V5: so}\n',
  '\n## Differs\n\n',
  '\n{V4.k = V5.k}\n',
  '\n- R4: 141k\n',
  '\n- C5: 17uF ESR 3R3\n',
  '\nV5 out: {V4.g: 3 V}\n',
  '\n- V5: 38 mA\n- V4.a to B+1: 121 V\n',
  '\n- B+1: 9 Vpp at 100 Hz\n',
  '\n| V4 | 150 | 1 | 2.2 |\n',
  '\n- R4-R7: as drawn\n',
  '\n- R5: was R7\n',
  '\n{accept contradictory-readings R4: meter} {keep C5: owner}\n',
  '\n- earth to chassis: 0.9R\n',
  '\n- plug out: B+1: 71 V\n',
];

const EDGE = /\d/g;
const NAMED = /\b(R|C|V|B\+)\d+/g;

/** The text after one edit. */
export function edit(text: string, { kind, at, to, bit }: Step): string {
  const one = Math.floor((at / 10_000) * (text.length + 1));
  const other = Math.floor((to / 10_000) * (text.length + 1));
  const put = BITS[bit % BITS.length] ?? '';
  const lines = text.split(/(?<=\r\n|\n|\r(?!\n))/);
  const line = Math.floor((at / 10_000) * lines.length);
  const target = Math.floor((to / 10_000) * lines.length);
  const splice = (from: number, end: number, by: string) => text.slice(0, from) + by + text.slice(end);
  switch (kind) {
    case 0:
    case 1:
    case 2:
      return splice(one, one, put);
    case 3:
    case 4:
      return splice(one, one + 1 + (bit % 4), '');
    case 5: {
      // A digit, wherever one stands: in tags and tables most of all.
      const digits = [...text.matchAll(EDGE)];
      const found = digits[Math.floor((at / 10_000) * digits.length)];
      return found === undefined ? text : splice(found.index, found.index + 1, String(bit % 10));
    }
    case 6: {
      const digits = [...text.matchAll(EDGE)];
      const found = digits[Math.floor((at / 10_000) * digits.length)];
      return found === undefined ? text : splice(found.index, found.index, String(bit % 10));
    }
    case 7:
      return splice(other, other, text.slice(one, one + (bit % 200)));
    case 8:
      return lines.toSpliced(line, 1 + (bit % 5)).join('');
    case 9: {
      // Lines moved: a heading with what follows it, a row, an item.
      const moved = lines.splice(line, 1 + (bit % 4));
      return lines.toSpliced(target, 0, ...moved).join('');
    }
    case 10:
      return lines.toSpliced(target, 0, lines[line] ?? '').join('');
    case 11: {
      const ends = [...text.matchAll(/\r\n|\n|\r/g)];
      const found = ends[Math.floor((at / 10_000) * ends.length)];
      return found === undefined
        ? text
        : splice(found.index, found.index + found[0].length, bit % 2 === 0 ? ' ' : '');
    }
    case 12:
      return bit % 3 === 0
        ? text.replace(/\r\n|\r/g, '\n')
        : bit % 3 === 1
          ? text.replace(/\r?\n/g, '\r\n')
          : `\uFEFF${text}`;
    case 13: {
      // Everywhere at once, as a rename does: some ref or rail of the sheet becomes another of its kind, taken or free.
      const names = [...text.matchAll(NAMED)];
      const name = names[Math.floor((at / 10_000) * names.length)];
      if (name === undefined) return text;
      return text.replaceAll(name[0], `${name[1] ?? ''}${(bit % 9) + 1}`);
    }
    case 14: {
      const heads = lines.flatMap((each, i) => (each.startsWith('#') ? [i] : []));
      const head = heads[Math.floor((at / 10_000) * heads.length)];
      if (head === undefined) return text;
      return lines
        .toSpliced(
          head,
          1,
          bit % 2 === 0 ? `#${lines[head]}` : `## ${['Work', 'As left', 'Next time', 'Notes'][bit % 4]}\n`,
        )
        .join('');
    }
    default: {
      const front = /^---\r?\n/.exec(text)?.[0].length;
      if (front === undefined) return bit % 2 === 0 ? `---\nmains: 230 V\n---\n\n${text}` : text;
      return splice(front, front, ['mains: 250 V\n', 'title: A job\n', '\n', 'x'][bit % 4] ?? '');
    }
  }
}

// ---------------------------------------------------------------------------------------------------------------
// What is known

/** All that an analysis says, with every place as it is now. */
export function write(analysis: Analysis): string {
  const { sheet, chassis, follows, amplifier, findings } = analysis;
  return JSON.stringify(
    {
      sheets: [sheet, chassis, ...follows].map((each) => each && sheetParts(each)),
      ...amplifierParts(amplifier),
      findings,
    },
    (key, value: unknown) => {
      if (value instanceof Map) return [...value];
      // Said elsewhere once: what the catalogue has of a valve, and the set that a reading is of.
      if (key === 'valve' || key === 'valveSection')
        return value === undefined ? undefined : 'from the catalogue';
      return key === 'set' && typeof value === 'object' && value !== null && 'id' in value ? value.id : value;
    },
  );
}

function sheetParts({ snapshot, note, field, frontMatter, ...sheet }: Sheet) {
  const { blocks, problems, end, pieces } = note;
  return {
    ...sheet,
    text: snapshot.text.length,
    frontMatter,
    fields: ['title', 'mains', 'chassis', 'follows', 'model'].map(field),
    blocks,
    problemsRead: problems,
    end,
    inPieces: pieces.flatMap((piece) => piece.blocks).length,
  };
}

function amplifierParts(amplifier: Amplifier) {
  const { phases, changes, states, seen, repeats } = amplifier;
  return {
    phases: phases.map((view) => ({
      ...view,
      circuit: view.circuit.nodes.map((node) => [node, view.circuit.attached(node)]),
      expected: expectedFigures(view, amplifier),
    })),
    changes,
    states,
    seen,
    repeats,
  };
}
