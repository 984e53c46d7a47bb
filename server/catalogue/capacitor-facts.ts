/** Owns what is known of capacitors by kind: surge and hot ratings, ageing, tolerance, and the classes for the mains side. */
import {
  type Celsius,
  celsius,
  type Farads,
  type Ohms,
  ohms,
  type Ratio,
  ratio,
  type Volts,
  volts,
} from '../units/si.ts';
import { checked, fromMemory, transcribed } from './data-sheet.ts';
import type { Trust } from './valve.ts';

export type CapacitorKind =
  | 'electrolytic'
  | 'tantalum'
  | 'film'
  | 'paper'
  | 'mica'
  | 'ceramic-class-1'
  | 'ceramic-class-2';

/** The words that name a kind, the telling ones first: `green dipped film` is film, `ceramic np0` class 1. */
const KIND_WORDS: readonly (readonly [CapacitorKind, readonly string[]])[] = [
  ['electrolytic', ['electrolytic', 'elec', 'elco', 'bipolar', 'can']],
  ['tantalum', ['tantalum']],
  ['ceramic-class-1', ['np0', 'c0g']],
  ['ceramic-class-2', ['ceramic', 'x7r', 'disc']],
  ['mica', ['mica']],
  ['film', ['film', 'polyester', 'pet', 'polypropylene', 'pp', 'polystyrene', 'mylar', 'foil']],
  ['paper', ['paper', 'oil']],
];

/** The kind that the words (in lower case) name; undefined where they leave it open. */
export function findCapacitorKind(kinds: readonly string[]): CapacitorKind | undefined {
  const words = new Set(kinds.flatMap((kind) => kind.toLowerCase().split(/[\s-]+/u)));
  return KIND_WORDS.find(([, names]) => names.some((name) => words.has(name)))?.[0];
}

const SURGE = fromMemory('IEC 60384-4');

/** What an electrolytic stands for short times now and then; not a rating to run at. */
export function surgeVoltage(rated: Volts): { readonly voltage: Volts; readonly trust: Trust } {
  return { voltage: volts(rated * (rated <= 315 ? 1.15 : 1.1)), trust: SURGE };
}

/** How electrolytics age. */
export const ELECTROLYTIC_LIFE = {
  /** Life doubles for each so many degrees cooler, down to about 40 °C. */
  doublesEvery: { degrees: 10, downTo: celsius(40), trust: fromMemory('the 10-degree rule of makers’ data') },
  /** Usual service life; no calculation should promise more than `longest`. */
  serviceYears: { usual: 10, longest: 15, trust: transcribed('a capacitor maker’s guide, about 10 years') },
  /** On the shelf before re-forming is called for. */
  shelfYears: { from: 5, to: 20, trust: transcribed('capacitor makers’ guides, by type') },
  /** Worn out: this share of the capacitance left, or this many times the series resistance. */
  endOfLife: {
    capacitanceLeft: ratio(0.8),
    resistanceTimes: ratio(2),
    trust: fromMemory('makers’ life-test criteria'),
  },
} as const;

/** Tolerance where none is written; old cans are made to give more, seldom less. */
export function usualTolerance(kind: CapacitorKind | undefined): {
  readonly low: Ratio;
  readonly high: Ratio;
  readonly trust: Trust;
} {
  const trust = fromMemory('usual makers’ tolerances');
  if (kind === 'electrolytic') return { low: ratio(-0.2), high: ratio(0.5), trust };
  if (kind === 'film' || kind === 'mica' || kind === 'ceramic-class-1')
    return { low: ratio(-0.1), high: ratio(0.1), trust };
  return { low: ratio(-0.2), high: ratio(0.2), trust };
}

/** Loss factor at 120 Hz that makers allow a new general-purpose electrolytic, by rated voltage up to and including. */
const LOSS_FACTORS: readonly (readonly [upTo: number, tangent: number])[] = [
  [10, 0.2],
  [16, 0.16],
  [25, 0.14],
  [35, 0.12],
  [50, 0.1],
  [100, 0.09],
  [250, 0.2],
  [1000, 0.25],
];

/**
 * The highest series resistance that a new electrolytic of this size may have by its loss factor, tan δ/(2π·120 Hz·C).
 * A meter that measures at 100 kHz reads far less on a good one. Undefined for what is no capacitor.
 */
export function highestNewSeriesResistance(
  capacitance: Farads,
  rated: Volts,
): { readonly resistance: Ohms; readonly trust: Trust } | undefined {
  if (!(capacitance > 0) || !(rated > 0)) return undefined;
  const tangent = LOSS_FACTORS.find(([upTo]) => rated <= upTo)?.[1];
  const resistance = (tangent ?? Number.NaN) / (2 * Math.PI * 120 * capacitance);
  if (!Number.isFinite(resistance)) return undefined;
  return {
    resistance: ohms(resistance),
    trust: fromMemory('loss factors at 120 Hz of general-purpose electrolytics, highest allowed when new'),
  };
}

/** Where a film capacitor's DC rating holds in full, and the share that is left at its highest temperature. */
export const FILM_DERATING: {
  readonly fullUpTo: Celsius;
  readonly highest: Celsius;
  readonly left: Ratio;
  readonly trust: Trust;
} = {
  fullUpTo: celsius(85),
  highest: celsius(105),
  left: ratio(0.5),
  trust: fromMemory('film capacitor data sheets, 50 to 60 % at 105 to 125 °C'),
};

/** The share of a film capacitor's DC rating that holds at a temperature; none above its highest. */
export function filmVoltageShare(at: Celsius): Ratio {
  const { fullUpTo, highest, left } = FILM_DERATING;
  if (at <= fullUpTo) return ratio(1);
  if (at > highest) return ratio(0);
  return ratio(1 - ((1 - left) * (at - fullUpTo)) / (highest - fullUpTo));
}

export type MainsClass = 'X1' | 'X2' | 'Y1' | 'Y2' | 'Y4';

/** A class of capacitor made for the mains side (IEC 60384-14). */
export interface MainsClassFacts {
  readonly name: MainsClass;
  /** X from line to line (neutral counts as a line), Y from a line to earth or chassis. */
  readonly between: 'lines' | 'line and earth';
  /** The pulse that the type test applies. */
  readonly impulse: Volts;
  /** The highest AC voltage it is made for, where the class sets one. */
  readonly highestRated?: Volts;
  readonly trust: Trust;
}

const TRANSCRIBED_CLASSES = transcribed('IEC 60384-14, quoted by a capacitor maker');
const CHECKED_CLASSES = checked('IEC 60384-14');

export const MAINS_CLASSES: readonly MainsClassFacts[] = [
  { name: 'X1', between: 'lines', impulse: volts(4000), trust: TRANSCRIBED_CLASSES },
  { name: 'X2', between: 'lines', impulse: volts(2500), trust: TRANSCRIBED_CLASSES },
  {
    name: 'Y1',
    between: 'line and earth',
    impulse: volts(8000),
    highestRated: volts(500),
    trust: CHECKED_CLASSES,
  },
  {
    name: 'Y2',
    between: 'line and earth',
    impulse: volts(5000),
    highestRated: volts(300),
    trust: CHECKED_CLASSES,
  },
  {
    name: 'Y4',
    between: 'line and earth',
    impulse: volts(2500),
    highestRated: volts(150),
    trust: CHECKED_CLASSES,
  },
];

/** The mains classes that the words name; a part may carry an X and a Y class (`X1 Y2`). */
export function mainsClassesIn(kinds: readonly string[]): readonly MainsClassFacts[] {
  const words = new Set(kinds.flatMap((kind) => kind.toUpperCase().split(/[\s/-]+/u)));
  return MAINS_CLASSES.filter(({ name }) => words.has(name));
}
