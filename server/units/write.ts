/**
 * Owns how quantities are written: for people (`4.7 kΩ`), as IEC 60062 codes (`4k7`) and in the dialect's normal form
 * (`4k7`, `100uF`, `6.3V`). Rounding happens here and nowhere below.
 */
import type { Quantity, Unit } from './si.ts';

export interface WriteOptions {
  /** Significant digits: 3 for people, 6 for codes and tags (which must lose nothing that a part is marked with). */
  readonly digits?: number;
  readonly style?: 'plain' | 'code' | 'tag';
  readonly decimal?: '.' | ',';
}

interface Step {
  /** The smallest absolute value that is written with this prefix. */
  readonly from: number;
  readonly scale: number;
  readonly symbol: string;
}

const MICRO = '\u00b5';
const OHM = '\u03a9';
const GAP = '\u00a0';

/** Per unit, largest first. The trade's habit, not all of SI: no kF, capacitors never in mF, kilovolts only from 10 kV. */
const steps: Readonly<Record<Unit, readonly Step[]>> = {
  V: scaled('V', [10e3, 1e3, 'k'], [1, 1, ''], [1e-3, 1e-3, 'm'], [0, 1e-6, MICRO]),
  A: scaled('A', [1, 1, ''], [1e-3, 1e-3, 'm'], [1e-6, 1e-6, MICRO], [0, 1e-9, 'n']),
  Ohm: scaled(OHM, [1e9, 1e9, 'G'], [1e6, 1e6, 'M'], [1e3, 1e3, 'k'], [0.01, 1, ''], [0, 1e-3, 'm']),
  F: scaled('F', [1e-6, 1e-6, MICRO], [1e-9, 1e-9, 'n'], [0, 1e-12, 'p']),
  H: scaled('H', [1, 1, ''], [1e-3, 1e-3, 'm'], [0, 1e-6, MICRO]),
  Hz: scaled('Hz', [1e6, 1e6, 'M'], [1e3, 1e3, 'k'], [0, 1, '']),
  W: scaled('W', [10e3, 1e3, 'k'], [0.1, 1, ''], [1e-3, 1e-3, 'm'], [0, 1e-6, MICRO]),
  s: [
    { from: 600, scale: 60, symbol: 'min' },
    ...scaled('s', [1, 1, ''], [1e-3, 1e-3, 'm'], [0, 1e-6, MICRO]),
  ],
  C: scaled('C', [0.1, 1, ''], [1e-3, 1e-3, 'm'], [0, 1e-6, MICRO]),
  J: scaled('J', [0.1, 1, ''], [1e-3, 1e-3, 'm'], [0, 1e-6, MICRO]),
  S: scaled('S', [1, 1, ''], [1e-3, 1e-3, 'm'], [0, 1e-6, MICRO]),
  dB: scaled('dB', [0, 1, '']),
  degC: scaled('\u00b0C', [0, 1, '']),
  '1': scaled('', [0, 1, '']),
};

function scaled(symbol: string, ...rows: readonly (readonly [number, number, string])[]): readonly Step[] {
  return rows.map(([from, scale, prefix]) => ({ from, scale, symbol: prefix + symbol }));
}

/** A quantity in words for people, as a code, or as the dialect writes it. */
export function writeQuantity(quantity: Quantity, options: WriteOptions = {}): string {
  const style = options.style ?? 'plain';
  const digits = Math.max(1, Math.min(15, Math.trunc(options.digits ?? (style === 'plain' ? 3 : 6))));
  const { number, symbol } = chooseStep(quantity, digits, style);
  if (style !== 'plain') return writeCompact(quantity.unit, number, symbol, style, options.decimal ?? '.');
  const written = withDecimal(writeNumber(number), options.decimal ?? '.');
  return symbol === '' ? written : written + GAP + symbol;
}

/** A ratio as a percentage: 1.16 is `116 %`. */
export function writePercent(ratio: number, options: Pick<WriteOptions, 'digits' | 'decimal'> = {}): string {
  const digits = Math.max(1, Math.min(15, Math.trunc(options.digits ?? 3)));
  const percent = Number((ratio * 100).toPrecision(digits));
  return `${withDecimal(writeNumber(percent), options.decimal ?? '.')}${GAP}%`;
}

/** Rounds first and chooses the prefix by what is left, so that 999.9 Ω is never `1000 Ω`. */
function chooseStep(
  quantity: Quantity,
  digits: number,
  style: WriteOptions['style'],
): { number: number; symbol: string } {
  const rounded = roundTo(quantity.value, digits);
  const size = Math.abs(rounded);
  // Minutes are for people: a time with six digits does not come out even in them.
  const table = steps[quantity.unit].filter((s) => style === 'plain' || s.symbol !== 'min');
  // Zero takes the unit itself, without a prefix (`0 V`), or the largest there is (`0 µF`).
  const step =
    size === 0
      ? (table.find((s) => s.scale === 1) ?? table[0])
      : table.find((s) => size >= s.from * (1 - 1e-12));
  if (step === undefined) return { number: rounded, symbol: quantity.unit };
  const number = roundTo(rounded / step.scale, digits);
  if (!Number.isFinite(number)) return { number: rounded, symbol: quantity.unit };
  return { number: number === 0 ? 0 : number, symbol: step.symbol };
}

/** The largest numbers of all round up to infinity; they are left as they are. */
function roundTo(value: number, digits: number): number {
  const rounded = Number(value.toPrecision(digits));
  return Number.isFinite(rounded) ? rounded : value;
}

/** Digits with a hyphen for minus (it can be typed, searched and read back) and without an exponent, save for sizes that no one meets (an exponent reads better than forty noughts). */
function writeNumber(value: number): string {
  const written = String(value);
  if (!written.includes('e')) return written;
  const size = Math.abs(value);
  if (size >= 1e-12 && size < 1) {
    const places = Math.min(20, decimalsOf(written));
    return value.toFixed(places);
  }
  return written.replace('e+', 'e');
}

function decimalsOf(exponential: string): number {
  const [mantissa = '', exponent = '0'] = exponential.split('e');
  const point = mantissa.indexOf('.');
  return (point < 0 ? 0 : mantissa.length - point - 1) - Number(exponent);
}

function withDecimal(written: string, decimal: '.' | ','): string {
  return decimal === ',' ? written.replace('.', ',') : written;
}

function writeCompact(
  unit: Unit,
  number: number,
  symbol: string,
  style: 'code' | 'tag',
  decimal: '.' | ',',
): string {
  const written = writeNumber(number);
  if (unit === 'Ohm' && !symbol.startsWith('m') && !written.includes('e')) {
    const letter = symbol === OHM ? 'R' : symbol.charAt(0);
    return withLetter(written, letter, style === 'code');
  }
  if (unit === 'F' && !written.includes('e')) {
    const prefix = symbol.charAt(0);
    if (style === 'code') return withLetter(written, prefix, true);
    if (prefix !== MICRO) return withLetter(written, prefix, false);
  }
  const ascii = symbol.replace(MICRO, 'u').replace(OHM, 'ohm').replace('\u00b0', '');
  return withDecimal(written, decimal) + ascii;
}

/** `4.7` and `k` make `4k7`; `0.47` and `R` make `R47` as the standard has it, or `0R47`, which no one takes for a ref. */
function withLetter(written: string, letter: string, dropZero: boolean): string {
  const [whole = '', fraction] = written.split('.');
  if (fraction === undefined) return whole + letter;
  const head = dropZero && (whole === '0' || whole === '-0') ? whole.replace('0', '') : whole;
  return head + letter + fraction;
}
