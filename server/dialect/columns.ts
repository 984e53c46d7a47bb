/**
 * Owns what a table's headings mean: whether it is a parts list, a chart of readings or neither, and what each column
 * holds. Headings are short and written by hand, so they are compared word by word, without regard to case.
 */
import type { Span } from '../text/span.ts';
import type { Column, Table } from './tree.ts';

type Means = Column['means'];

const PARTS_HEADINGS: ReadonlySet<string> = new Set([
  'ref',
  'refs',
  'reference',
  'designator',
  'part',
  'parts',
  'component',
  'components',
]);
const CHART_HEADINGS: ReadonlySet<string> = new Set([
  'valve',
  'valves',
  'tube',
  'tubes',
  'point',
  'points',
  'test point',
  'node',
  'nodes',
]);

const PARTS_COLUMNS: ReadonlyMap<string, Means> = new Map<string, Means>([
  ...spell<Means>('value', 'value values fitted marked marking nominal'),
  ...spell<Means>('quantity', 'measured measures reading readings reads read actual'),
  ...spell<Means>('rating', 'rating ratings rated voltage volts v power watts w wattage'),
  ...spell<Means>('kind', 'kind construction'),
  ...spell<Means>('type', 'type'),
  ...spell<Means>('from', 'from'),
  ...spell<Means>('to', 'to'),
  ...spell<Means>('was', 'was old before removed'),
  ...spell<Means>('now', 'now new after'),
  ...spell<Means>('date', 'date dated'),
  ...spell<Means>('tolerance', 'tolerance tol'),
]);

/** What a bare number is under such a heading. */
const RATING_UNITS: Readonly<Record<string, string>> = {
  voltage: 'V',
  volts: 'V',
  v: 'V',
  power: 'W',
  watts: 'W',
  w: 'W',
  wattage: 'W',
};

const PHASES: readonly (readonly [RegExp, NonNullable<Column['phase']>])[] = [
  [/\b(?:as found|found|before)\b/, 'found'],
  [/\b(?:as left|left|after)\b/, 'left'],
  [/\b(?:nominal|should be|expected|reference|target|book|drawing|schematic|factory|design)\b/, 'nominal'],
];

const ELECTRODES: ReadonlyMap<string, string> = new Map([
  ...spell('a', 'a anode plate p'),
  ...spell('g', 'g g1 grid'),
  ...spell('g2', 'g2 screen sg'),
  ...spell('g3', 'g3 suppressor'),
  ...spell('k', 'k c cathode'),
  ...spell('h', 'h heater heaters f filament'),
]);

/** Units as the value scanner reads them, by how headings spell them. */
const UNITS: ReadonlyMap<string, string> = new Map([
  ...spell('V', 'v vdc volts volt voltage'),
  ...spell('VAC', 'vac'),
  ...spell('Vrms', 'vrms'),
  ...spell('Vpp', 'vpp'),
  ...spell('mV', 'mv'),
  ...spell('mVpp', 'mvpp'),
  ...spell('mA', 'ma'),
  ...spell('uA', 'ua µa μa'),
  ...spell('W', 'watts watt'),
  ...spell('ohm', 'ohm ohms ω Ω r'),
  ...spell('kohm', 'kohm kω kΩ'),
  ...spell('Hz', 'hz'),
  ...spell('uF', 'uf µf μf'),
  ['v dc', 'V'],
  ['v ac', 'VAC'],
  ['v rms', 'Vrms'],
  ['v pp', 'Vpp'],
  ['mv pp', 'mVpp'],
  ['v ripple', 'VAC'],
]);

/** Headings of a column of values at the row's own point, with a unit or without. */
const READ: ReadonlySet<string> = new Set(['reading', 'readings', 'read', 'measured', 'value']);

export interface Heading {
  readonly text: string;
  readonly span: Span;
}

/** By its first heading. */
export function natureOf(headings: readonly Heading[]): Table['nature'] {
  const first = plain(headings[0]?.text ?? '');
  if (PARTS_HEADINGS.has(first)) return 'parts';
  return CHART_HEADINGS.has(first) ? 'chart' : 'other';
}

export function readColumns(nature: Table['nature'], headings: readonly Heading[]): readonly Column[] {
  return headings.map(({ text, span }, i): Column => {
    if (nature === 'other') return { text, span, means: 'remark' };
    if (i === 0) return { text, span, means: nature === 'parts' ? 'ref' : 'point' };
    return { text, span, ...(nature === 'parts' ? partsColumn(text) : chartColumn(text)) };
  });
}

type Meaning = Omit<Column, 'text' | 'span'>;

/** `Value`, `Rating (V)`, `Was`. */
function partsColumn(text: string): Meaning {
  const words = plain(text);
  const means = PARTS_COLUMNS.get(words) ?? PARTS_COLUMNS.get(words.split(' ')[0] ?? '');
  if (means === undefined) return { means: 'remark' };
  if (means !== 'rating') return { means };
  const unit = words
    .split(' ')
    .map((word) => RATING_UNITS[word])
    .find((each) => each !== undefined);
  return unit === undefined ? { means } : { means, unit };
}

/** `a`, `a (V)`, `k mV`, `pin 3`, `3`, `mA`, `Found`, `a found`, `Should be`. */
function chartColumn(text: string): Meaning {
  let words = plain(text);
  let phase: Column['phase'];
  for (const [pattern, each] of PHASES) {
    if (phase !== undefined || !pattern.test(words)) continue;
    phase = each;
    words = words.replace(pattern, ' ').replace(/\s+/g, ' ').trim();
  }
  const withPhase = phase === undefined ? {} : { phase };
  const { rest, unit } = takeUnit(words);
  const withUnit = unit === undefined ? {} : { unit };
  if (rest === '') {
    if (phase !== undefined) return { means: phase, ...withPhase, ...withUnit };
    return unit === undefined ? { means: 'remark' } : { means: 'quantity', name: unit, unit };
  }
  const pin = /^(?:pins? ?(?:no )?#? ?|# ?)?(\d{1,2})$/.exec(rest);
  if (pin !== null) return { means: 'pin', name: String(Number(pin[1])), ...withPhase, ...withUnit };
  // Vg2 and Ia are how charts write a voltage and a current.
  const spelled = /^([vi])(a|k|g[123]?|h|f)$/.exec(rest);
  const electrode = ELECTRODES.get(spelled?.[2] ?? rest);
  if (electrode !== undefined) {
    const own = unit ?? (spelled?.[1] === 'i' ? 'mA' : undefined);
    return { means: 'electrode', name: electrode, ...withPhase, ...(own === undefined ? {} : { unit: own }) };
  }
  if (READ.has(rest)) return { means: 'quantity', ...withPhase, ...withUnit };
  if (/^(?:hum|ripple)$/.test(rest))
    return { means: 'quantity', name: 'ripple', ...withPhase, unit: unit ?? 'VAC' };
  if (rest === 'type') return { means: 'type' };
  return { means: 'remark' };
}

/** The unit at the end of a heading. An `a` or `k` alone is an electrode, so letters that are units too are not here. */
function takeUnit(words: string): { readonly rest: string; readonly unit?: string } {
  const parts = words.split(' ');
  for (const count of [2, 1]) {
    if (parts.length < count) continue;
    const unit = UNITS.get(parts.slice(-count).join(' '));
    if (unit !== undefined) return { rest: parts.slice(0, -count).join(' '), unit };
  }
  return { rest: words };
}

/** Lower case, without emphasis, brackets and the like: `**a** (V)` is `a v`. */
function plain(text: string): string {
  return text
    .toLowerCase()
    .replace(/[*_`()[\]{}.,:/]+/g, ' ')
    .replace(/\s+/g, ' ')
    .trim();
}

function spell<T>(as: T, words: string): [string, T][] {
  return words.split(' ').map((word) => [word, as]);
}
