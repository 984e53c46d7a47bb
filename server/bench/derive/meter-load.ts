/**
 * Owns what the voltmeter itself takes away at a point of high resistance: readings there are put right for it, and say so; of
 * less than that it is told beside the figure.
 */
import { parallelResistance } from '../../electronics/combined-resistance.ts';
import { meterLoadingLoss, unloadedVoltage } from '../../electronics/meter-loading.ts';
import { ask, isAsking, noteAsked } from '../../sheet/asking.ts';
import { ohms, quantity, volts } from '../../units/si.ts';
import { endsOf } from '../look.ts';
import type { FigureInput, FittedPart } from '../model.ts';
import { METER_OHMS } from '../node-currents.ts';
import { isSupplyRail } from '../points.ts';
import { sayQuantity } from '../saying.ts';
import { type PhaseBench, roleOf, type SetBench } from './bench.ts';
import { resistanceOf } from './resistors.ts';
import type { SetReadings } from './set-readings.ts';

/** A share lost that is less is within what the meter may be off by itself. */
const WORTH_TELLING = 0.03;
/** From here on it is more than parts of the usual tolerance leave open, and is put right. */
const WORTH_CORRECTING = 0.05;
/** Nor does it matter of less than this [V]. */
const LEAST = 1;

const meterOf = ({ meter }: PhaseBench): number => meter ?? METER_OHMS;

/** What a correction asked for, where nobody works it again and so nobody needs to know. */
const NOT_NOTED: ReadonlySet<string> = new Set();

/**
 * The readings of a set as they would stand without the meter. A grid that only its leaks hold is lifted by their share; at an
 * anode or a screen behind a large resistor the valve holds it too, nobody knows how well: there it is a band from the reading up.
 */
export function withoutMeter(bench: PhaseBench, read: SetReadings): SetReadings {
  // A maker's chart was read with a meter that is not ours.
  if (bench.view.phase === 'factory') return read;
  const known = new Map<string, ReturnType<typeof noteAsked<FigureInput | undefined>>>();
  const unloaded = (node: string): FigureInput | undefined => {
    const shown = read.voltsAt(node);
    return shown && (atGrid(bench, node, shown) ?? atElectrode(bench, read, node, shown) ?? shown);
  };
  const voltsAt: SetReadings['voltsAt'] = (node) => {
    if (node === undefined || node === 'gnd') return read.voltsAt(node);
    const before = known.get(node);
    if (before !== undefined) {
      for (const name of before.asked) ask(name);
      return before.result;
    }
    const made = isAsking() ? noteAsked(() => unloaded(node)) : { result: unloaded(node), asked: NOT_NOTED };
    known.set(node, made);
    return made.result;
  };
  const voltsOfBoth: SetReadings['voltsOfBoth'] = (one, other) => {
    const [first, second] = [voltsAt(one), voltsAt(other)];
    if (first === undefined || second === undefined) return undefined;
    const plain = first === read.voltsAt(one) && second === read.voltsAt(other);
    return isCorrected(first) || isCorrected(second) || !plain
      ? keepBands(read.voltsOfBoth(one, other), first, second)
      : read.voltsOfBoth(one, other);
  };
  return { ...read, voltsAt, voltsOfBoth };
}

/** The corrected reading in the place of a plain one; the last digits of the others stay as they were taken. */
function keepBands(
  plain: readonly [FigureInput, FigureInput] | undefined,
  first: FigureInput,
  second: FigureInput,
): readonly [FigureInput, FigureInput] | undefined {
  if (plain === undefined) return undefined;
  return [isCorrected(first) ? first : plain[0], isCorrected(second) ? second : plain[1]];
}

const corrected = new WeakSet<FigureInput>();
const isCorrected = (of: FigureInput): boolean => corrected.has(of);

/** What a reading becomes; whose meter it was is assumed where the shop does not say. */
function put(
  bench: PhaseBench,
  shown: FigureInput,
  value: number,
  how: string,
  band?: readonly [number, number],
) {
  const { known } = shown;
  const { low, high } = known;
  const raw = known.quantity.value;
  const scale = raw === 0 ? 1 : value / raw;
  const ends = band ?? (low !== undefined && high !== undefined ? [low * scale, high * scale] : undefined);
  const [least, most] = ends === undefined ? [] : [Math.min(...ends), Math.max(...ends)];
  const isAssumed = bench.meter === undefined || band !== undefined;
  const whose = bench.meter === undefined ? ', its 10 MΩ assumed' : '';
  const right: FigureInput = {
    name: shown.name,
    symbol: shown.symbol,
    known: {
      quantity: quantity(value, known.quantity.unit),
      low: least,
      high: most,
      digit: known.digit,
      basis: isAssumed ? 'assumed' : known.basis,
      source: known.source,
      because: `read ${sayQuantity(known.quantity)}, ${how}${whose}`,
      assumptions: known.assumptions,
    },
    isOwn: true,
  };
  corrected.add(right);
  return right;
}

function atGrid(bench: PhaseBench, node: string, shown: FigureInput): FigureInput | undefined {
  const loss = lossAt(bench, node, shown.known.quantity.value);
  if (loss === undefined || loss.share < WORTH_CORRECTING) return undefined;
  const right = unloadedVoltage({
    read: volts(shown.known.quantity.value),
    source: ohms(loss.source),
    meter: ohms(meterOf(bench)),
  });
  if (!right.ok) return undefined;
  return put(bench, shown, right.value, `put right for ${sayLoss(bench, loss)}`);
}

/** An anode or a screen that one resistor feeds. */
function atElectrode(
  bench: PhaseBench,
  read: SetReadings,
  node: string,
  shown: FigureInput,
): FigureInput | undefined {
  const { value } = shown.known.quantity;
  const isElectrode = bench.valves.some(({ a, g2 }) => a === node || g2 === node);
  if (!isElectrode || isSupplyRail(node) || Math.abs(value) < LEAST) return undefined;
  const feeding = bench.look
    .partsAt(node)
    .filter(({ ref }) => ['anode-load', 'screen-resistor'].includes(roleOf(bench, ref)));
  const [part] = feeding;
  const resistance = part && feeding.length === 1 ? resistanceOf(part)?.known.quantity.value : undefined;
  if (part === undefined || resistance === undefined) return undefined;
  const far = endsOf(part)?.find((end) => end !== node);
  const supply = read.voltsAt(far)?.known.quantity.value;
  const taken = Math.abs(value) / meterOf(bench);
  const flowing = supply === undefined ? undefined : Math.abs(supply - value) / resistance;
  const share = Math.max(
    resistance / (resistance + meterOf(bench)),
    flowing === undefined || flowing <= 0 ? 0 : taken / flowing,
  );
  if (share < WORTH_CORRECTING) return undefined;
  // It cannot stand above what feeds it.
  const lifted = value * (1 + resistance / meterOf(bench));
  const most = supply === undefined || supply < value ? lifted : Math.min(lifted, supply);
  const meter = sayQuantity(quantity(meterOf(bench), 'Ohm'));
  const how = `up to what a ${meter} meter may have taken away behind ${part.ref}`;
  return put(bench, shown, (value + most) / 2, how, [value, most]);
}

interface Loss {
  readonly source: number;
  readonly share: number;
}

/** What the leaks of a grid that nothing else holds lose to the meter. */
function lossAt(bench: PhaseBench, grid: string, read: number): Loss | undefined {
  if (Math.abs(read) < LEAST) return undefined;
  const leaks: number[] = [];
  for (const part of bench.look.partsAt(grid)) {
    if (part.class === 'capacitor' || part.class === 'test-point' || part.class === 'valve') continue;
    const value = isLeak(bench, part) ? resistanceOf(part) : undefined;
    if (value === undefined) return undefined;
    leaks.push(value.known.quantity.value);
  }
  if (bench.valves.some(({ a, g2, k }) => a === grid || g2 === grid || k === grid)) return undefined;
  const source = parallelResistance(leaks.map(ohms));
  if (!source.ok) return undefined;
  const loss = meterLoadingLoss(source.value, ohms(meterOf(bench)));
  return loss.ok ? { source: source.value, share: loss.value } : undefined;
}

const isLeak = (bench: PhaseBench, { ref }: FittedPart): boolean => roleOf(bench, ref) === 'grid-leak';

/** `9.09 % that a 10 MΩ meter takes away on the 1 MΩ there`. */
function sayLoss(bench: PhaseBench, { share, source }: Loss): string {
  const [meter, there] = [meterOf(bench), source].map((each) => sayQuantity(quantity(each, 'Ohm')));
  return `the ${sayQuantity(quantity(share, '1'))} that a ${meter} meter takes away on the ${there} there`;
}

/** What must be told of a grid's reading: that it was put right, or what the meter took away; nothing where that is too little. */
export function meterRemark(bench: SetBench, grid: string): string | undefined {
  const shown = bench.read.asRead(grid);
  const loss = shown && lossAt(bench, grid, shown.known.quantity.value);
  if (shown === undefined || loss === undefined || loss.share < WORTH_TELLING) return undefined;
  const used = bench.read.voltsAt(grid);
  if (used !== undefined && isCorrected(used)) return `Vg put right for ${sayLoss(bench, loss)}`;
  const [meter, there] = [meterOf(bench), loss.source].map((each) => sayQuantity(quantity(each, 'Ohm')));
  return `a ${meter} meter on the ${there} there takes ${sayQuantity(quantity(loss.share, '1'))} of Vg away`;
}
