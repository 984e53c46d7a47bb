/**
 * Owns what a unit's spelling can mean: `mfd`, `k`, `Megohm`, `vdc`, `mvPP`. The table is built once; what an `m` or a
 * bare number stands for beside a certain part is decided by class first, by range second, and asked if neither tells.
 */
import type { Unit } from './si.ts';
import type { Wave } from './value.ts';

/** The classes whose values read differently. */
export type PartClassLike = 'resistor' | 'capacitor' | 'inductor' | 'other';

/** What the reader expects where the value stands. */
export interface Expectation {
  /** The unit of a bare number, where the place has one: V at an electrode, Ω on a resistor. */
  readonly bareUnit?: Unit;
  /** Decides what `k`, `M`, `.022` and `820` mean. Absent is `other`. */
  readonly partClass?: PartClassLike;
}

/** `m` is the letter in either case, which is no evidence; `mega` and `milli` were spelled out. */
type Prefix = '' | 'p' | 'n' | 'u' | 'm' | 'milli' | 'k' | 'mega' | 'G';

export interface UnitSpelling {
  /** Absent for a prefix alone (`4k`, `22n`). */
  readonly unit?: Unit;
  readonly prefix: Prefix;
  /** What the spelling multiplies by beyond its prefix (60 for minutes, 0.01 for per cent). */
  readonly scale: number;
  readonly wave?: Wave | 'ac' | 'dc';
}

/** One thing that a spelling may mean. */
export interface UnitMeaning {
  readonly unit: Unit;
  readonly factor: number;
  /** What the figures say where they are a code: 104 is 10 and four noughts. */
  readonly code: ThreeFigureCode | undefined;
}

/** IEC 60062: two figures and the number of noughts, in picofarads. */
export interface ThreeFigureCode {
  readonly picofarads: number;
  /** The weight of the second figure. */
  readonly step: number;
}

const factors: Readonly<Record<Prefix, number>> = {
  '': 1,
  p: 1e-12,
  n: 1e-9,
  u: 1e-6,
  m: 1e-3,
  milli: 1e-3,
  k: 1e3,
  mega: 1e6,
  G: 1e9,
};

const prefixSpellings: Readonly<Record<Exclude<Prefix, ''>, readonly string[]>> = {
  p: ['p', 'pico'],
  n: ['n', 'nano'],
  u: ['u', '\u00b5', 'mu', 'micro'],
  m: ['m'],
  milli: ['milli'],
  k: ['k', 'kilo'],
  mega: ['meg', 'mega', 'megs'],
  G: ['g', 'giga'],
};

const unitSpellings: readonly (readonly [Unit, readonly string[], readonly Exclude<Prefix, ''>[]])[] = [
  ['V', ['v', 'volt', 'volts'], ['u', 'm', 'milli', 'k']],
  ['A', ['a', 'amp', 'amps', 'ampere', 'amperes'], ['p', 'n', 'u', 'm', 'milli']],
  ['Ohm', ['r', '\u03c9', 'ohm', 'ohms'], ['m', 'milli', 'k', 'mega', 'G']],
  ['F', ['f', 'fd', 'farad', 'farads'], ['p', 'n', 'u', 'm', 'milli']],
  ['H', ['h', 'hy', 'henry', 'henries', 'henrys'], ['n', 'u', 'm', 'milli']],
  ['Hz', ['hz', 'hertz', 'cps'], ['m', 'k', 'mega']],
  ['W', ['w', 'watt', 'watts'], ['u', 'm', 'milli', 'k']],
  ['s', ['s', 'sec', 'secs', 'second', 'seconds'], ['n', 'u', 'm', 'milli']],
  ['J', ['j', 'joule', 'joules'], ['u', 'm', 'milli', 'k']],
  ['S', ['siemens', 'mho', 'mhos'], ['u', 'm', 'milli']],
  ['dB', ['db'], []],
  ['degC', ['\u00b0c', 'degc'], []],
];

const waveSpellings: readonly (readonly [Wave | 'ac' | 'dc', readonly string[]])[] = [
  ['dc', ['dc']],
  ['ac', ['ac']],
  ['rms', ['rms', 'acrms', 'rmsac']],
  ['pp', ['pp', 'ptp', 'pkpk']],
  ['peak', ['p', 'pk', 'peak']],
];

/** Old spellings in which M is micro: an M on a farad was never a mega. */
const oldCapacitance: readonly (readonly [string, Prefix])[] = [
  ['mfd', 'u'],
  ['mfds', 'u'],
  ['mmf', 'p'],
  ['mmfd', 'p'],
  ['mmfds', 'p'],
  ['uuf', 'p'],
  ['uufd', 'p'],
  ['\u00b5\u00b5f', 'p'],
  ['\u00b5\u00b5fd', 'p'],
];

const spellings: ReadonlyMap<string, UnitSpelling> = buildSpellings();

function buildSpellings(): Map<string, UnitSpelling> {
  const table = new Map<string, UnitSpelling>();
  for (const [unit, names, prefixes] of unitSpellings) {
    for (const name of names) {
      for (const [prefix, written] of [['', ''] as const, ...prefixes.flatMap(spelledPrefixes)]) {
        table.set(written + name, { unit, prefix, scale: 1 });
        if ((unit !== 'V' && unit !== 'A') || name.length > 1) continue;
        for (const [wave, waves] of waveSpellings) {
          for (const suffix of waves) table.set(written + name + suffix, { unit, prefix, scale: 1, wave });
        }
      }
    }
  }
  for (const [written, prefix] of oldCapacitance) table.set(written, { unit: 'F', prefix, scale: 1 });
  for (const minute of ['min', 'mins', 'minute', 'minutes'])
    table.set(minute, { unit: 's', prefix: '', scale: 60 });
  for (const hour of ['hr', 'hrs', 'hour', 'hours']) table.set(hour, { unit: 's', prefix: '', scale: 3600 });
  for (const percent of ['%', 'percent']) table.set(percent, { unit: '1', prefix: '', scale: 0.01 });
  table.set('kc', { unit: 'Hz', prefix: 'k', scale: 1 });
  for (const prefix of Object.keys(prefixSpellings) as Exclude<Prefix, ''>[]) {
    for (const [, written] of spelledPrefixes(prefix)) table.set(written, { prefix, scale: 1 });
  }
  // No unit: `ap` would be a peak ampere, `g` and `c` need their capital.
  table.delete('ap');
  return table;
}

function spelledPrefixes(prefix: Exclude<Prefix, ''>): (readonly [Prefix, string])[] {
  return prefixSpellings[prefix].map((written) => [prefix, written] as const);
}

/** What a run of letters says as a unit; undefined where it is no unit. `token` is folded (`fold.ts`). */
export function findUnitSpelling(token: string): UnitSpelling | undefined {
  // A capital S is siemens behind a prefix: transconductance is in mS, times are in ms.
  if (token === 'mS' || token === 'uS' || token === '\u00b5S') {
    return { unit: 'S', prefix: token === 'mS' ? 'milli' : 'u', scale: 1 };
  }
  if (token === 'C') return { unit: 'degC', prefix: '', scale: 1 };
  if (token === 'mF') return { unit: 'F', prefix: 'm', scale: 1 };
  const found = spellings.get(token.toLowerCase());
  if (found === undefined) return undefined;
  if (found.prefix === 'G' && token.charAt(0) === 'g') return undefined;
  // Written any other way than `mF`, a milli-looking farad is the old microfarad.
  if (found.unit === 'F' && found.prefix === 'm') return { ...found, prefix: 'u' };
  return found;
}

/** What the writer is likely to have left out. */
export interface UnitContext {
  readonly bareUnit: Unit | undefined;
  readonly partClass: PartClassLike;
  /** The number as written, without its sign. */
  readonly size: number;
  /** `>20M`: more than. */
  readonly isAbove: boolean;
  readonly isCapital: boolean;
}

/** The range up to which an M on a resistor is plainly a megohm: the largest common part in these amplifiers is 22 MΩ. */
const LARGEST_COMMON_MEGOHMS = 22;

/** The meanings of a spelled unit or prefix, likeliest first; more than one is to be asked. */
export function meaningsOf(spelling: UnitSpelling, context: UnitContext): readonly UnitMeaning[] {
  const { unit, prefix, scale } = spelling;
  if (unit === undefined) return meaningsOfPrefix(prefix, context);
  if (prefix !== 'm') return [meaning(unit, factors[prefix] * scale)];
  if (unit === 'Hz') return [meaning(unit, 1e6)];
  if (unit === 'F') return [meaning('F', 1e-6), meaning('F', 1e-3)];
  if (unit === 'Ohm') return meaningsOfOhmsWithM(context);
  return [meaning(unit, 1e-3)];
}

function meaning(unit: Unit, factor: number): UnitMeaning {
  return { unit, factor, code: undefined };
}

function meaningsOfOhmsWithM(context: UnitContext): readonly UnitMeaning[] {
  if (context.isCapital) return [meaning('Ohm', 1e6)];
  if (context.partClass === 'resistor') {
    if (context.size <= LARGEST_COMMON_MEGOHMS) return [meaning('Ohm', 1e6)];
    return [meaning('Ohm', 1e-3), meaning('Ohm', 1e6)];
  }
  if (context.size > LARGEST_COMMON_MEGOHMS && !context.isAbove) return [meaning('Ohm', 1e-3)];
  return [meaning('Ohm', 1e6), meaning('Ohm', 1e-3)];
}

function meaningsOfPrefix(prefix: Prefix, context: UnitContext): readonly UnitMeaning[] {
  const { bareUnit, partClass } = context;
  const factor = factors[prefix];
  switch (prefix) {
    case 'k':
    case 'mega':
    case 'G':
      if (bareUnit === 'Hz') return [meaning('Hz', factor)];
      // An old continental `10K` on a capacitor is 10 000 pF; on a meter it is leakage.
      if (partClass === 'capacitor' && prefix === 'k') return [meaning('F', 1e-9), meaning('Ohm', 1e3)];
      return [meaning('Ohm', factor)];
    case 'p':
      return [meaning('F', factor)];
    case 'n':
    case 'u':
      if (partClass === 'inductor') return [meaning('H', factor)];
      if (partClass === 'other' && (bareUnit === 'V' || bareUnit === 'A' || bareUnit === 's')) {
        return [meaning(bareUnit, factor)];
      }
      return [meaning('F', factor)];
    default:
      return meaningsOfLoneM(context);
  }
}

function meaningsOfLoneM(context: UnitContext): readonly UnitMeaning[] {
  const { bareUnit, partClass, size, isCapital, isAbove } = context;
  switch (partClass) {
    case 'resistor':
      if (size <= LARGEST_COMMON_MEGOHMS || (isAbove && isCapital)) return [meaning('Ohm', 1e6)];
      if (!isCapital) return [meaning('Ohm', 1e-3), meaning('Ohm', 1e6)];
      // On old American drawings M was a thousand; from 1000 on it can only be the ±20 % letter behind plain ohms.
      return [meaning('Ohm', size < 1000 ? 1e3 : 1), meaning('Ohm', 1e6)];
    case 'capacitor':
      if (isCapital && isAbove) return [meaning('Ohm', 1e6)];
      return isCapital ? [meaning('F', 1e-6), meaning('Ohm', 1e6)] : [meaning('F', 1e-6), meaning('F', 1e-3)];
    case 'inductor':
      return isCapital ? [meaning('H', 1e-3), meaning('Ohm', 1e6)] : [meaning('H', 1e-3)];
    default:
      if (bareUnit === 'Hz') return [meaning('Hz', 1e6)];
      if (isCapital) return [meaning('Ohm', 1e6)];
      if (bareUnit === 'Ohm') return meaningsOfOhmsWithM(context);
      if (bareUnit !== undefined && bareUnit !== '1' && bareUnit !== 'dB' && bareUnit !== 'degC') {
        return [meaning(bareUnit, 1e-3)];
      }
      return [meaning('V', 1e-3), meaning('A', 1e-3)];
  }
}

/** The meanings of a number without any unit. */
export function meaningsOfBare(context: UnitContext, digits: string): readonly UnitMeaning[] {
  const { bareUnit, partClass, size } = context;
  if (bareUnit !== undefined && bareUnit !== 'F') return [meaning(bareUnit, 1)];
  switch (partClass) {
    case 'resistor':
      return [meaning('Ohm', 1)];
    case 'capacitor':
      return meaningsOfBareCapacitance(size, digits);
    case 'inductor':
      return [meaning('H', 1), meaning('Ohm', 1)];
    default:
      return [meaning('V', 1), meaning('A', 1e-3)];
  }
}

/** A fraction without a unit is in microfarads; a whole number may be pF, µF or a three-figure code. */
function meaningsOfBareCapacitance(size: number, digits: string): readonly UnitMeaning[] {
  if (size < 1) return [meaning('F', 1e-6)];
  const code = findThreeFigureCode(digits);
  if (code !== undefined) {
    return [
      meaningOfCode(code),
      meaning('F', 1e-12),
      ...(size < LARGEST_COMMON_MICROFARADS ? [meaning('F', 1e-6)] : []),
    ];
  }
  return size < LARGEST_COMMON_MICROFARADS
    ? [meaning('F', 1e-6), meaning('F', 1e-12)]
    : [meaning('F', 1e-12), meaning('F', 1e-6)];
}

/** Above it a bare number is sooner picofarads than a smoothing capacitor. */
const LARGEST_COMMON_MICROFARADS = 200;

export function meaningOfCode(code: ThreeFigureCode): UnitMeaning {
  return { unit: 'F', factor: 1e-12, code };
}

/** Undefined where the figures are no code: a last figure of 0 or above 6 is sooner a plain number. */
export function findThreeFigureCode(digits: string): ThreeFigureCode | undefined {
  if (!/^[1-9]\d[1-6]$/.test(digits)) return undefined;
  const step = Number(`1e${digits.slice(2)}`);
  return { picofarads: Number(digits.slice(0, 2)) * step, step };
}
