/**
 * Owns the reading of numbers as they are written: decimal points and commas, grouped thousands, powers of ten, halves.
 * What a number is a number of is not known here.
 */
import { JOINING_SPACE } from './fold.ts';
import { isDigit, matchAt } from './sticky.ts';

/** Values are short; a longer number is no value but an accident, and is called unread. */
const MAX_NUMBER = 24;

const DIGITS = /(?:\d+(?:\u00a0\d{3}(?!\d))*(?:[.,]\d+)*|\.\d+)/y;
const EXPONENT = /[eE][+-]?\d+/y;
const FRACTION = /([1-7])\/([248])(?=[ \u00a0-]?(?:watts?|w|amps?|a)(?![A-Za-z0-9]))/iy;

export interface NumberRead {
  readonly end: number;
  /** More than one where a comma may be decimal or group thousands. */
  readonly options: readonly number[];
  /** The weight of the last written digit, per option. */
  readonly steps: readonly number[];
  /** The digits if it was a plain whole number, for codes. */
  readonly digits: string;
  readonly hasComma: boolean;
}

/** What a last written digit weighs, by how many digits stand behind the point. */
const WEIGHTS: readonly number[] = Array.from({ length: MAX_NUMBER }, (_, decimals) =>
  Number(`1e-${decimals}`),
);

const vulgar: ReadonlyMap<string, number> = new Map([
  ['\u00bc', 0.25],
  ['\u00bd', 0.5],
  ['\u00be', 0.75],
]);

/** The number at `at`; `unread` holds where a spelling that is a number but no usable one ends. */
export function scanNumber(text: string, at: number): NumberRead | { readonly unread: number } | undefined {
  const plain = scanPlain(text, at);
  if (plain !== undefined) return plain;
  const fraction = text.charAt(at + 1) === '/' ? matchAt(FRACTION, text, at) : null;
  if (fraction !== null) {
    const value = Number(fraction[1]) / Number(fraction[2]);
    if (value < 1) return exactNumber(at + fraction[0].length, value);
  }
  const alone = vulgar.get(text.charAt(at));
  if (alone !== undefined) return exactNumber(at + 1, alone);
  const found = matchAt(DIGITS, text, at)?.[0];
  if (found === undefined) return undefined;
  let end = at + found.length;
  if (found.length > MAX_NUMBER) return { unread: end };
  const written = found.includes(JOINING_SPACE) ? found.replaceAll(JOINING_SPACE, '') : found;
  const half = vulgar.get(text.charAt(end));
  if (half !== undefined && /^\d+$/.test(written)) return exactNumber(end + 1, Number(written) + half);
  const readings = readSeparators(written);
  if (readings === undefined) return written.includes(',') ? { unread: end } : undefined;
  let power = '';
  const exponent = matchAt(EXPONENT, text, end)?.[0];
  if (exponent !== undefined) {
    power = `e${exponent.slice(1)}`;
    end += exponent.length;
  }
  const options = readings.map((r) => Number(r + power));
  const tooLarge = options.some((n) => !Number.isFinite(n));
  const vanished = options.some((n, i) => n === 0 && Number(readings[i]) !== 0);
  if (tooLarge || vanished) return { unread: end };
  const scale = power === '' ? 1 : Number(`1${power}`);
  const steps = readings.map((r) => weightOfLastDigit(r) * scale);
  return { end, options, steps, digits: /^\d+$/.test(found) ? found : '', hasComma: written.includes(',') };
}

/** Digits, perhaps with a point among them, and behind them nothing that any number has: so are most. */
function scanPlain(text: string, at: number): NumberRead | undefined {
  let end = at;
  while (isDigit(text, end)) end++;
  if (end === at) return undefined;
  const point = end;
  if (text.charCodeAt(end) === POINT && isDigit(text, end + 1)) {
    end++;
    while (isDigit(text, end)) end++;
  }
  if (end - at > MAX_NUMBER || goesOn(text, end)) return undefined;
  const found = text.slice(at, end);
  const decimals = end === point ? 0 : end - point - 1;
  return {
    end,
    options: [Number(found)],
    steps: [WEIGHTS[decimals] ?? 0],
    digits: decimals === 0 ? found : '',
    hasComma: false,
  };
}

const POINT = 0x2e;

/** Whether what stands behind digits may be more of the number: a separator, a power, a fraction, a joining space. */
function goesOn(text: string, at: number): boolean {
  const code = text.charCodeAt(at);
  return code > 0x7f || code === POINT || code === 0x2c || code === 0x2f || code === 0x45 || code === 0x65;
}

function exactNumber(end: number, value: number): NumberRead {
  return { end, options: [value], steps: [0], digits: '', hasComma: false };
}

/** What the last digit of a plain decimal weighs. */
export function weightOfLastDigit(plain: string): number {
  const point = plain.indexOf('.');
  return point < 0 ? 1 : (WEIGHTS[plain.length - point - 1] ?? 0);
}

/** What points and commas in a number may mean, as plain decimals, likeliest first. */
function readSeparators(written: string): readonly string[] | undefined {
  if (!written.includes(','))
    return written.indexOf('.') === written.lastIndexOf('.') ? [written] : undefined;
  const commas = written.split(',').length - 1;
  const points = written.split('.').length - 1;
  if (commas === 1 && points === 0) {
    const [whole = '', fraction = ''] = written.split(',');
    const decimal = `${whole}.${fraction}`;
    const mayGroup = fraction.length === 3 && whole.length <= 3 && !whole.startsWith('0');
    return mayGroup ? [whole + fraction, decimal] : [decimal];
  }
  if (/^\d{1,3}(?:,\d{3})+(?:\.\d+)?$/.test(written)) return [written.replaceAll(',', '')];
  if (/^\d{1,3}(?:\.\d{3})+,\d+$/.test(written)) return [written.replaceAll('.', '').replace(',', '.')];
  return undefined;
}
