/**
 * Nothing depends on the order in which things are written: the items of a list and the rows of a chart are shuffled, and the
 * same figures, roles and findings come out. And a sheet that is half written gives what can be known and no more.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import type { Figure } from '../../server/bench/model.ts';
import { resolveAmplifier } from '../../server/bench/resolve.ts';
import { builtInCatalogue } from '../../server/catalogue/find-valve.ts';
import { createReader } from '../../server/dialect/note.ts';
import { defaultHouse } from '../../server/rules/house.ts';
import { check } from '../../server/rules/run.ts';
import type { Sheet } from '../../server/sheet/model.ts';
import { readSheet } from '../../server/sheet/read.ts';
import { createSnapshot } from '../../server/text/snapshot.ts';
import { healthySheets } from '../corpus/healthy.ts';
import { type Chance, createChance } from '../corpus/random.ts';
import { sickSheets } from '../corpus/sick.ts';

interface Note {
  readonly name: string;
  readonly text: string;
  readonly chassis?: string;
}

const reader = createReader();
const read = (name: string, text: string): Sheet =>
  readSheet(reader.readNote(createSnapshot(`file:///${name}.tagstrip.md`, text)));

function told({ text, chassis }: Note) {
  const under = chassis === undefined ? undefined : read('chassis', chassis);
  const amplifier = resolveAmplifier(read('job', text), under, builtInCatalogue);
  const findings = check({ amplifier, catalogue: builtInCatalogue, house: defaultHouse });
  return {
    figures: amplifier.phases.flatMap(({ figures }) => figures.map(sayFigure)).sort(),
    roles: amplifier.phases
      .flatMap(({ phase, roles }) =>
        [...roles.values()].map(
          ({ ref, role, serves, network }) =>
            `${phase} ${ref} ${role} ${serves.join()} ${network?.name ?? ''}`,
        ),
      )
      .sort(),
    findings: findings
      .map(
        ({ severity, rule, subject, message }) =>
          `${severity} ${rule} ${subject}: ${message.replace(/\(line \d+\)/g, '')}`,
      )
      .sort(),
  };
}

/** Everything that a figure says but for its place. */
function sayFigure({
  phase,
  set,
  subject,
  figure,
  quantity,
  low,
  high,
  basis,
  formula,
  inputs,
  remark,
}: Figure) {
  const digits = (value: number | undefined) => (value === undefined ? '' : value.toPrecision(9));
  const from = inputs.map(({ name, symbol }) => `${symbol}=${name}`).sort();
  const band = `${digits(low)}…${digits(high)}`;
  return [
    phase,
    set,
    subject,
    figure,
    digits(quantity.value),
    quantity.unit,
    band,
    basis,
    formula,
    ...from,
    remark,
  ].join(' ');
}

function shuffled<T>(items: readonly T[], chance: Chance): T[] {
  const left = [...items];
  for (let i = left.length - 1; i > 0; i--) {
    const j = Math.floor(chance.next() * (i + 1));
    const [one, other] = [left[i], left[j]];
    if (one === undefined || other === undefined) continue;
    left[i] = other;
    left[j] = one;
  }
  return left;
}

/** A line that may stand anywhere among its neighbours: an item that changes nothing and sets no condition, a row of a chart. */
const isItem = (line: string): boolean => /^- (?!\[)/.test(line) && !line.includes('->') && !/:$/.test(line);
const isRow = (line: string): boolean => /^\| /.test(line) && !/^\|[ :|-]+\|?$/.test(line);

/** The note with each run of items, and each run of rows below a chart's head, in another order. */
function reordered(text: string, chance: Chance): string {
  const lines = text.split('\n');
  const out: string[] = [];
  for (let i = 0; i < lines.length; ) {
    const line = lines[i] ?? '';
    const is = isItem(line)
      ? isItem
      : isRow(line) && /^\|[ :|-]+\|?$/.test(lines[i - 1] ?? '')
        ? isRow
        : undefined;
    if (is === undefined) {
      out.push(line);
      i++;
      continue;
    }
    const from = i;
    while (i < lines.length && is(lines[i] ?? '')) i++;
    out.push(...shuffled(lines.slice(from, i), chance));
  }
  return out.join('\n');
}

const SAMPLES = new URL('../../samples/', import.meta.url);
const sample = (path: string): string => readFileSync(new URL(path, SAMPLES), 'utf8');
const samples: readonly Note[] = readdirSync(new URL('jobs/', SAMPLES)).map((name) => {
  const text = sample(`jobs/${name}`);
  const chassis = /^chassis: \.\.\/(.*)$/m.exec(text)?.[1];
  return { name, text, ...(chassis !== undefined && { chassis: sample(chassis) }) };
});
const every = <T>(list: readonly T[], step: number): readonly T[] => list.filter((_, i) => i % step === 0);
const NOTES: readonly Note[] = [...samples, ...every(healthySheets(), 6), ...every(sickSheets(1), 6)];

describe('in another order', () => {
  it.each(NOTES.map((note, i) => [note.name, note, i] as const))('%s', (_, note, i) => {
    const as = told(note);
    expect(as.figures.length).toBeGreaterThan(0);
    const chance = createChance(500 + i);
    const other = {
      ...note,
      text: reordered(note.text, chance),
      ...(note.chassis !== undefined && { chassis: reordered(note.chassis, chance) }),
    };
    expect(other.text === note.text && other.chassis === note.chassis).toBe(false);
    const again = told(other);
    expect(again.figures).toEqual(as.figures);
    expect(again.roles).toEqual(as.roles);
    expect(again.findings).toEqual(as.findings);
  });
});

/** The note with what is fitted moved behind everything else of its section. */
function partsLast(text: string): string {
  const sections = text.split(/(?=^## )/m);
  return sections
    .map((section) => {
      const lines = section.split('\n');
      const isFitted = (line: string): boolean => isItem(line) && /^- [A-Z]+\d[^:]* = /.test(line);
      const fitted = lines.filter(isFitted);
      return [...lines.filter((line) => !isFitted(line)), ...fitted, ''].join('\n');
    })
    .join('\n');
}

describe('with its parts behind its readings', () => {
  it.each(every(NOTES.slice(samples.length), 3).map((note) => [note.name, note] as const))(
    '%s',
    (_, note) => {
      const as = told(note);
      const again = told({ ...note, text: partsLast(note.text) });
      expect(again.figures).toEqual(as.figures);
      expect(again.findings).toEqual(as.findings);
    },
  );
});

describe('half written', () => {
  const figuresIn = (text: string, chassis: string | undefined) => {
    const under = chassis === undefined ? undefined : read('chassis', chassis);
    const amplifier = resolveAmplifier(read('job', text), under, builtInCatalogue);
    return new Map(
      amplifier.phases.flatMap(({ figures }) =>
        figures.map(
          (figure) => [`${figure.phase} ${figure.set} ${figure.subject} ${figure.figure}`, figure] as const,
        ),
      ),
    );
  };
  const bandOf = ({ quantity, low, high }: Figure): readonly [number, number] => [
    low ?? quantity.value,
    high ?? quantity.value,
  ];
  /** Apart by more than a thousandth, or by more than a fifth where one says that something is assumed or an average. */
  const isApart = (one: Figure, other: Figure): boolean => {
    const isSaid = [one, other].some(
      ({ basis, remark }) => basis === 'assumed' || /^average/.test(remark ?? ''),
    );
    const [[a, b], [c, d]] = [bandOf(one), bandOf(other)];
    const slack = (isSaid ? 0.2 : 1e-3) * Math.max(...[a, b, c, d].map(Math.abs));
    return a > d + slack || c > b + slack;
  };
  /** Every point is read once, and cut among its readings: nothing later takes back what was said. */
  const ONCE = [
    ...every(healthySheets(), 7).filter(({ name }) => name.includes('chassis')),
    {
      name: 'a stage, a pair and a supply',
      text: `---
mains: 230 V 50 Hz
---
# Job

## As found

- V3, V4 = 6V6GT
- R18 = 270R 5W, V3.k V4.k to gnd
- R21 = 1k 5W, V3.g2 to B+2
- R22 = 1k 5W, V4.g2 to B+2
- T2 = output 8k : 8R, V3.a V4.a, ct B+1
- V1A = 12AX7, a R4 B+3, k R3 C2, g R2
- R4 = 100k 0.5W
- R3 = 1k5
- C2 = 25uF 25V
- C6 = 22n 400V, V1A.a to V3.g
- R16 = 470k, V3.g to gnd
- T1 = mains 280-0-280V 150mA 6.3V 4A 5V 2A
- V5 = GZ34, T1 to B+1
- C1 = 32uF 500V electrolytic, B+1 to gnd
- L1 = 10H 250R, B+1 to B+2
- C3 = 32uF 500V electrolytic, B+2 to gnd

{mains: 230 V}

- B+1: 326 V
- B+2: 306 V
- B+3: 250 V
- V3: a 322, g2 304, k 19.7
- V4: a 322, g2 304
- V1A: a 160, k 1.35
- B+1: 16.7 Vpp
- B+2: 42 mVrms
`,
    },
  ];

  it.each(ONCE.map((note) => [note.name, note] as const))(
    'says nothing that the whole contradicts: %s',
    (_, note: Note) => {
      const whole = figuresIn(note.text, note.chassis);
      const lines = note.text.split('\n');
      const wrong: string[] = [];
      const first = lines.findLastIndex((line) => / = /.test(line)) + 1;
      for (let cut = first; cut < lines.length; cut++) {
        for (const [key, figure] of figuresIn(lines.slice(0, cut).join('\n'), note.chassis)) {
          const other = whole.get(key);
          if (other !== undefined && isApart(figure, other))
            wrong.push(`line ${cut}: ${sayFigure(figure)} || ${sayFigure(other)}`);
        }
      }
      expect(wrong).toEqual([]);
    },
  );

  it('never fails, wherever it ends', () => {
    const chance = createChance(77);
    for (const note of [...samples, ...every(NOTES, 5)]) {
      for (let i = 0; i < 6; i++) {
        const at = Math.floor(chance.next() * note.text.length);
        const { figures } = told({ ...note, text: note.text.slice(0, at) });
        expect(figures.filter((line) => /NaN|Infinity/.test(line))).toEqual([]);
      }
    }
  });
});
