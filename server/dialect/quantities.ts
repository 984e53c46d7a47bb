/**
 * Owns what a number means where it was read: its unit if it has none, and the quantity that its unit makes it there.
 * A resistor's volts are across it, a cathode's to ground; a capacitor's ohms are its insulation.
 */
import { quantity, type Unit } from '../units/si.ts';
import type { AmbiguousValue, Meaning, WrittenValue } from '../units/value.ts';
import type { PartClass, Point, ReadingQuantity } from './tree.ts';

/** What was read there is alternating unless it says otherwise. */
function isAlternating(point: Point): boolean {
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
  hasFrequency = false,
): ReadingQuantity | undefined {
  if (written.kind !== 'value') return quantityOfWord(point, to, written);
  const { unit } = written.value.quantity;
  const isWave = written.value.wave !== undefined || hasFrequency;
  switch (unit) {
    case 'V':
      if (to === undefined && isWave && isSupply(point)) return 'ripple';
      return isWave || (to === undefined && isAlternating(point)) ? 'ac-voltage' : 'voltage';
    case 'A':
      return to === undefined && point.kind === 'ref' && point.class === 'capacitor' ? 'leakage' : 'current';
    case 'Ohm':
      if (to === undefined && point.kind === 'ref' && point.class === 'valve') return undefined;
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
      // How long a supply takes to run down; at a valve `15 min` is how long it was on.
      return isSupply(point) || (point.kind === 'ref' && point.class === 'capacitor') ? 'time' : undefined;
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

/** A pot's scale ends here. */
const LARGEST_SETTING = 10;
/** Fewer ohms than this on a capacitor are more often its ESR than its insulation. */
const LARGEST_ESR = 100;

const BARE = /^[~<>=+\-\s\u00a0]*[\d.,]+$/;

function spellingOf(written: WrittenValue): string {
  return written.kind === 'value' ? written.value.spelling : written.spelling;
}

export function isBare(written: WrittenValue): boolean {
  return (written.kind === 'value' || written.kind === 'ambiguous') && BARE.test(spellingOf(written));
}

/**
 * The same number with all that it can mean on a whole capacitor or valve; undefined where it is plain. A capacitor's
 * bare number is capacitance or volts, a valve's volts or cathode current, and its volts are at some electrode.
 */
export function doubtOf(
  point: Point,
  to: Point | undefined,
  written: WrittenValue,
): AmbiguousValue | undefined {
  if (to !== undefined || point.kind !== 'ref') return undefined;
  if (written.kind !== 'value' && written.kind !== 'ambiguous') return undefined;
  const span = written.kind === 'value' ? written.value.span : written.span;
  const spelling = spellingOf(written).trim();
  const bare = isBare(written);
  const plain = Number(spelling.replace(/[~<>=\s]/g, '').replace(',', '.'));
  if (bare && !Number.isFinite(plain)) return undefined;
  if (point.class === 'potentiometer' && bare && plain <= LARGEST_SETTING) {
    const meanings: Meaning[] = [
      { saying: `at ${spelling} of 10`, values: [quantity(plain, '1')], plainly: `at ${spelling}` },
      { saying: `${spelling} Ω`, values: [quantity(plain, 'Ohm')], plainly: `${spelling}R` },
    ];
    const because = 'a small number on a pot may be where it stands or ohms';
    return { kind: 'ambiguous', meanings, because, spelling, span };
  }
  if (point.class === 'capacitor') {
    const ohms =
      written.kind === 'value' && written.value.quantity.unit === 'Ohm' ? written.value : undefined;
    if (ohms !== undefined && ohms.quantity.value < LARGEST_ESR) {
      const meanings: Meaning[] = [
        { saying: `${spelling} of ESR`, values: [ohms.quantity], plainly: `ESR ${spelling}` },
        {
          saying: `${spelling} of insulation, as good as a short`,
          values: [ohms.quantity],
          plainly: `insulation ${spelling}`,
        },
      ];
      const because = 'few ohms on a capacitor may be its series resistance or a short';
      return { kind: 'ambiguous', meanings, because, spelling, span };
    }
    if (!bare) return undefined;
    const meanings: Meaning[] = [
      { saying: `${spelling} µF`, values: [quantity(plain * 1e-6, 'F')], plainly: `${spelling}uF` },
      { saying: `${spelling} V across it`, values: [quantity(plain, 'V')], plainly: `${spelling} V` },
    ];
    const because = `a bare number on a capacitor may be microfarads or volts`;
    return { kind: 'ambiguous', meanings, because, spelling, span };
  }
  if (point.class !== 'valve') return undefined;
  const isVolts = written.kind === 'value' && written.value.quantity.unit === 'V' && !bare;
  if (!isVolts && !bare) return undefined;
  const volts = isVolts ? written.value.quantity.value : plain;
  const at = (letter: string, name: string): Meaning => ({
    saying: `${spelling}${isVolts ? '' : ' V'} at the ${name}`,
    values: [quantity(volts, 'V')],
    plainly: `${letter} ${spelling}`,
  });
  const current = (): Meaning => ({
    saying: `${spelling} mA of cathode current`,
    values: [quantity(plain / 1000, 'A')],
    plainly: `${spelling} mA`,
  });
  return {
    kind: 'ambiguous',
    meanings: [at('a', 'anode'), at('k', 'cathode'), ...(bare ? [current()] : [])],
    because: `on a whole valve it does not say which electrode was read`,
    spelling,
    span,
  };
}
