/**
 * Owns what the arms of a control are worth in a calculation: as they were read, else by the setting that was written; where
 * neither is known, anything between two settings, as a band.
 */

import { quantity, type Unit } from '../../units/si.ts';
import { type FigureInput, type FittedPart, findValueInUse, type Known } from '../model.ts';
import { armsOf } from '../signal-circuit.ts';
import type { PhaseBench } from './bench.ts';
import { assumed, input } from './figure.ts';

/** Both arms of a control that somebody set. */
export interface Arms {
  /** From the clockwise end to the wiper, and from there to the other end. */
  readonly upper: FigureInput;
  readonly lower: FigureInput;
  /** `VR1 at 3: 2.7 % below the wiper`. */
  readonly because: string;
}

/** Settings between which a control may stand where nobody wrote one: at the very ends most networks are no networks. */
export const UNWRITTEN = [2, 8] as const;
/** Where such a control is told to stand, for the number beside the band. */
const HALF_TURN = 5;
/** Between those two, how many settings are tried: what a control does need not go one way. */
const TRIED = 25;

/** The arms of a control by what was read or written; undefined where neither says its setting. */
export function findArms(bench: PhaseBench, pot: FittedPart): Arms | undefined {
  const arms = armsOf(bench, pot);
  if (arms === undefined || arms.held.isAssumed) return undefined;
  const { position, share } = arms.held;
  const percent = Number((100 * share).toPrecision(3));
  const at = position === undefined ? 'as its arms were read' : `at ${position}`;
  const because = `${pot.ref} ${at}: ${percent} % below the wiper`;
  const known = settingKnown(pot);
  if (known === undefined) return undefined;
  const arm = (symbol: string, ohms: number): FigureInput =>
    input(symbol, pot.ref, ohmsOf(ohms, known, because));
  return { upper: arm('Rt', arms.upper), lower: arm('Rb', arms.lower), because };
}

/** What the arms came from: the readings of the arms, else the track as it is marked or measured. */
function settingKnown(pot: FittedPart): Known | undefined {
  return pot.measured.findLast(({ quantity: of }) => of === 'arms')?.value ?? pot.value;
}

function ohmsOf(ohms: number, { basis, source }: Known, because: string): Known {
  return { quantity: quantity(ohms, 'Ohm'), basis, ...(source && { source }), because };
}

/**
 * Something that follows from the arms, over all settings that a control may have where nobody wrote one. Its value is that at
 * half turn, so that several things which follow from one control go together.
 */
export function overSettings(
  bench: PhaseBench,
  pot: FittedPart,
  symbol: string,
  unit: Unit,
  by: (upper: number, lower: number) => number,
): FigureInput | undefined {
  const [first, last] = UNWRITTEN;
  const tried = Array.from({ length: TRIED }, (_, i) => first + ((last - first) * i) / (TRIED - 1));
  const at = (turn: number): readonly number[] => {
    const arms = armsOf(bench, pot, turn);
    return arms === undefined ? [] : [by(arms.upper, arms.lower)];
  };
  const [half] = at(HALF_TURN);
  const values = [...tried, HALF_TURN].flatMap(at);
  const [low, high] = [Math.min(...values), Math.max(...values)];
  if (half === undefined || !Number.isFinite(low) || !Number.isFinite(high)) return undefined;
  const because = `no setting of ${pot.ref} is written, taken as anything from ${first} to ${last}, its number as at ${HALF_TURN}`;
  return input(symbol, pot.ref, assumed(half, unit, because, [low, high]));
}

/**
 * A control used as a variable resistor between two nodes: by its setting, else anything up to the whole of it (or by all
 * settings but the ends, for a network that is none there). Between the two ends of a track whose wiper goes elsewhere there is
 * the whole of it; where nothing is said of the wiper, it may be used.
 */
export function rheostatBetween(
  bench: PhaseBench,
  pot: FittedPart,
  [one, other]: readonly [string, string],
  symbol: string,
  unset: 'from nothing' | 'without its ends' = 'from nothing',
): FigureInput | undefined {
  const track = findValueInUse(pot);
  if (track?.quantity.unit !== 'Ohm' || !(track.quantity.value > 0)) return undefined;
  const spans = (first: string, second: string): boolean => {
    const [a, b] = [pot.terminals.get(first), pot.terminals.get(second)];
    return (a === one && b === other) || (a === other && b === one);
  };
  const wiper = pot.terminals.get('2');
  if (spans('3', '1') && wiper !== undefined && wiper !== one && wiper !== other)
    return input(symbol, pot.ref, track);
  const arms = findArms(bench, pot);
  if (spans('3', '2') && arms !== undefined) return { ...arms.upper, symbol };
  if (spans('1', '2') && arms !== undefined) return { ...arms.lower, symbol };
  if (unset === 'without its ends') {
    if (spans('3', '2')) return overSettings(bench, pot, symbol, 'Ohm', (upper) => upper);
    if (spans('1', '2')) return overSettings(bench, pot, symbol, 'Ohm', (_, lower) => lower);
    return undefined;
  }
  if (!spans('3', '2') && !spans('1', '2') && !spans('3', '1')) return undefined;
  const { value } = track.quantity;
  const because = `${pot.ref} anywhere between none and all of it`;
  return input(symbol, pot.ref, assumed(value / 2, 'Ohm', because, [0, value]));
}
