/** Owns what a resistor's body stands, by style and size: voltage limit and derating in hot air. */

import { workingVoltage } from '../electronics/resistor-working-voltage.ts';
import { found, type Result } from '../electronics/result.ts';
import { type Celsius, celsius, type Ohms, type Volts, volts, type Watts } from '../units/si.ts';
import { fromMemory, transcribed } from './data-sheet.ts';
import type { Trust } from './valve.ts';

export type ResistorStyle = 'metal-film' | 'carbon-film' | 'carbon-composition' | 'metal-oxide' | 'wirewound';

interface Body {
  /** The power size, in watts, and the lowest limit that makers print for it, in volts. */
  readonly limits: readonly (readonly [size: number, volts: number])[];
  /** Full rating up to here, nothing left at the end, in °C. Where makers differ, the cooler end. */
  readonly derating: readonly [fullUpTo: number, nothingAt: number];
  readonly trust: Trust;
  readonly deratingTrust: Trust;
}

const METAL_FILM = transcribed('metal film resistor data sheets, the lowest of two makers');

const BODIES: Readonly<Record<ResistorStyle, Body>> = {
  'metal-film': {
    limits: [
      [0.125, 150],
      [0.25, 250],
      [0.5, 300],
      [1, 350],
      [2, 500],
    ],
    derating: [70, 155],
    trust: METAL_FILM,
    deratingTrust: METAL_FILM,
  },
  'carbon-film': {
    limits: [
      [0.125, 150],
      [0.25, 250],
      [0.5, 350],
      [1, 500],
    ],
    derating: [70, 155],
    trust: fromMemory('carbon film resistor data sheets'),
    deratingTrust: fromMemory('carbon film resistor data sheets'),
  },
  'carbon-composition': {
    limits: [
      [0.125, 150],
      [0.25, 250],
      [0.5, 350],
      [1, 500],
      [2, 750],
    ],
    derating: [70, 130],
    trust: fromMemory('carbon composition resistor data sheets'),
    deratingTrust: fromMemory('carbon composition resistor data sheets, 130 to 150 °C'),
  },
  'metal-oxide': {
    limits: [
      [0.5, 300],
      [1, 350],
      [3, 500],
    ],
    derating: [70, 235],
    trust: fromMemory('metal oxide resistor data sheets, 350 to 500 V'),
    deratingTrust: fromMemory('metal oxide resistor data sheets'),
  },
  wirewound: {
    limits: [
      [1, 350],
      [5, 500],
      [10, 750],
    ],
    derating: [70, 275],
    trust: fromMemory('cement and wire-wound resistor data sheets, case limits of 350 to 1000 V'),
    deratingTrust: fromMemory('cement and wire-wound resistor data sheets, 275 to 350 °C'),
  },
};

/** Of an unknown style: the lowest of any that is made in that size. */
const ANY: Body = {
  limits: [
    [0.125, 150],
    [0.25, 250],
    [0.5, 300],
    [1, 350],
    [2, 500],
  ],
  derating: [70, 130],
  trust: { mark: 'weak', source: 'style not written, the lowest limit of any style of that size' },
  deratingTrust: { mark: 'weak', source: 'style not written, the coolest curve of any style' },
};

/** No body of any style and size stands less. */
export const LEAST_BODY_VOLTAGE = Math.min(
  ...[ANY, ...Object.values(BODIES)].flatMap(({ limits }) => limits.map(([, voltage]) => voltage)),
);

/** The style that the kind words (in lower case) name: `carbon`, `film`; undefined where they leave it open. */
export function findResistorStyle(kinds: readonly string[]): ResistorStyle | undefined {
  if (kinds.length === 0) return undefined;
  const words = new Set(kinds.flatMap((kind) => kind.toLowerCase().split(/[\s-]+/u)));
  const has = (...any: readonly string[]) => any.some((word) => words.has(word));
  if (has('wirewound', 'wire', 'ww', 'cement', 'vitreous', 'enamelled', 'clad')) return 'wirewound';
  if (has('oxide', 'mo')) return 'metal-oxide';
  if (has('metal', 'mf')) return 'metal-film';
  if (has('cf') || (has('carbon') && has('film'))) return 'carbon-film';
  // Plain `carbon` on an old drawing is composition.
  if (has('composition', 'comp', 'cc', 'carbon')) return 'carbon-composition';
  return undefined;
}

const BY_POWER: Trust = { mark: 'computed', source: 'computed from the power rating, √(P·R)' };

/** A voltage limit and whose it is. */
export interface BodyLimit {
  readonly voltage: Volts;
  /** Which of the two limits is the lesser. */
  readonly by: 'power' | 'body';
  /** Undefined where the kind words leave it open and the lowest of any was taken. */
  readonly style?: ResistorStyle;
  readonly trust: Trust;
}

/**
 * The highest continuous voltage across a resistor: √(P·R), or the limit of its body if that is less. The body goes by
 * the largest size in the list that is not above the power; what is bigger than the list has the last one's limit.
 */
export function limitingVoltage(power: Watts, value: Ohms, kinds: readonly string[]): Result<BodyLimit> {
  const style = findResistorStyle(kinds);
  const { limits, trust } = style === undefined ? ANY : BODIES[style];
  const size = limits.findLast(([each]) => each <= power * (1 + 1e-9)) ?? limits[0];
  const body = volts(size?.[1] ?? 0);
  const limit = workingVoltage({ rated: power, resistance: value, body });
  if (!limit.ok) return limit;
  const by = limit.value < body ? 'power' : 'body';
  return found({
    voltage: limit.value,
    by,
    style,
    trust: by === 'power' ? BY_POWER : trust,
  });
}

/** Full rating up to a temperature of the air around it, falling in a straight line to nothing at another. */
export interface DeratingCurve {
  readonly fullUpTo: Celsius;
  readonly nothingAt: Celsius;
  readonly trust: Trust;
}

export function deratingCurve(kinds: readonly string[]): DeratingCurve {
  const style = findResistorStyle(kinds);
  const { derating, deratingTrust } = style === undefined ? ANY : BODIES[style];
  return { fullUpTo: celsius(derating[0]), nothingAt: celsius(derating[1]), trust: deratingTrust };
}
