/**
 * Owns what a number means where it was read: its unit if it has none, and the quantity that its unit makes it there.
 * A resistor's volts are across it, a cathode's to ground; a capacitor's ohms are its insulation.
 */
import type { Unit } from '../units/si.ts';
import type { AmbiguousValue, Value, WrittenValue } from '../units/value.ts';
import type { PartClass, Point, ReadingQuantity } from './tree.ts';

/** What was read there is alternating unless it says otherwise. */
export function isAlternating(point: Point): boolean {
  if (point.kind === 'node') return ['mains', 'line', 'neutral', 'heaters'].includes(point.name);
  if (point.kind === 'terminal') {
    if (point.ref.class === 'valve')
      return ['h', 'f', 'h1', 'h2', 'hct', 'f1', 'f2'].includes(point.terminal);
    return point.ref.class === 'transformer' || point.ref.class === 'loudspeaker';
  }
  return ['transformer', 'loudspeaker', 'lamp'].includes(point.class);
}

/** The class that decides how a value at this point is spelled; at an electrode or node none does. */
export function classAt(point: Point, to: Point | undefined): PartClass | undefined {
  return to === undefined && point.kind === 'ref' ? point.class : undefined;
}

/** What a bare number is there; undefined where it has no obvious meaning. */
export function bareUnitAt(point: Point, to: Point | undefined): Unit | undefined {
  if (to !== undefined || point.kind !== 'ref') return 'V';
  switch (point.class) {
    case 'resistor':
    case 'potentiometer':
    case 'thermistor':
    case 'inductor':
    case 'fuse':
    case 'switch':
    case 'relay':
    case 'connector':
    case 'tank':
      return 'Ohm';
    case 'capacitor':
    case 'valve':
      return undefined;
    default:
      return 'V';
  }
}

/** Whether the default unit there is one that the writer may not have meant. */
export function isDefaultDoubtful(point: Point, to: Point | undefined): boolean {
  return (
    to === undefined &&
    point.kind === 'ref' &&
    ['inductor', 'fuse', 'diode', 'transistor', 'integrated-circuit', 'relay', 'tank', 'other'].includes(
      point.class,
    )
  );
}

/** The quantity of a value there; undefined if such a unit cannot be read there. */
export function quantityAt(
  point: Point,
  to: Point | undefined,
  written: WrittenValue,
): ReadingQuantity | undefined {
  if (written.kind !== 'value') return quantityOfWord(point, to, written);
  const { unit } = written.value.quantity;
  const isWave = written.value.wave !== undefined;
  switch (unit) {
    case 'V':
      if (to === undefined && isWave && isSupply(point)) return 'ripple';
      return isWave || (to === undefined && isAlternating(point)) ? 'ac-voltage' : 'voltage';
    case 'A':
      return to === undefined && point.kind === 'ref' && point.class === 'capacitor' ? 'leakage' : 'current';
    case 'Ohm':
      return to === undefined && point.kind === 'ref' && point.class === 'capacitor'
        ? 'insulation'
        : 'resistance';
    case 'F':
      return to === undefined && point.kind === 'ref' && point.class === 'resistor'
        ? undefined
        : 'capacitance';
    case 'H':
      return 'inductance';
    case 'W':
      return 'power';
    case 'Hz':
      return 'frequency';
    case 'degC':
      return 'temperature';
    case 's':
      return 'time';
    default:
      return undefined;
  }
}

/** A rail or node that is fed with direct current: alternating volts on it are ripple. */
function isSupply(point: Point): boolean {
  return point.kind === 'node' && !isAlternating(point) && !['gnd', 'chassis', 'earth'].includes(point.name);
}

/** `open`, `short` and ambiguous values: what a meter set for this part would have said. */
function quantityOfWord(
  point: Point,
  to: Point | undefined,
  written: WrittenValue,
): ReadingQuantity | undefined {
  if (written.kind === 'open' || written.kind === 'short') {
    return to === undefined && point.kind === 'ref' && point.class === 'capacitor'
      ? 'insulation'
      : 'resistance';
  }
  if (written.kind !== 'ambiguous') return undefined;
  const unit = written.meanings[0]?.values[0]?.unit;
  if (unit === 'F') return 'capacitance';
  if (unit === 'A') return 'current';
  if (unit === 'Ohm') return 'resistance';
  return isAlternating(point) ? 'ac-voltage' : 'voltage';
}

const BARE = /^[~<>=+\-\s\u00a0]*[\d.,]+$/;

export function isBare(written: WrittenValue): boolean {
  return written.kind === 'value' ? BARE.test(written.value.spelling) : false;
}

/** The same number with all that it can mean on a capacitor or on a whole valve; undefined where it is plain. */
export function doubtOf(point: Point, to: Point | undefined, value: Value): AmbiguousValue | undefined {
  if (to !== undefined || point.kind !== 'ref') return undefined;
  const { spelling, span, quantity } = value;
  const number = spelling.trim();
  if (point.class === 'capacitor' && BARE.test(spelling)) {
    const plain = Number(number.replace(/[~<>=\s]/g, '').replace(',', '.'));
    if (!Number.isFinite(plain)) return undefined;
    return {
      kind: 'ambiguous',
      meanings: [
        { saying: `${number} µF`, values: [{ value: plain * 1e-6, unit: 'F' }], plainly: `${number}uF` },
        { saying: `${number} V across it`, values: [{ value: plain, unit: 'V' }], plainly: `${number} V` },
      ],
      because: `on ${point.name}, a capacitor, a bare number may be microfarads or volts`,
      spelling,
      span,
    };
  }
  if (point.class !== 'valve') return undefined;
  const isVolts = quantity.unit === 'V';
  if (!isVolts && !BARE.test(spelling)) return undefined;
  const electrode = (letter: string, name: string) => ({
    saying: `${number}${isVolts && !BARE.test(spelling) ? '' : ' V'} at the ${name}`,
    values: [{ value: quantity.value, unit: 'V' as const }],
    plainly: `${letter} ${number}`,
  });
  const milliamperes = {
    saying: `${number} mA of cathode current`,
    values: [{ value: quantity.value / 1000, unit: 'A' as const }],
    plainly: `${number} mA`,
  };
  return {
    kind: 'ambiguous',
    meanings: [
      electrode('a', 'anode'),
      electrode('k', 'cathode'),
      ...(BARE.test(spelling) ? [milliamperes] : []),
    ],
    because: `on ${point.name}, a whole valve, it does not say which electrode was read`,
    spelling,
    span,
  };
}
