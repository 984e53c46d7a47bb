/**
 * Owns how numbers stand in a summary: SI writing, with the shop's decimal sign, a true minus, and narrow spaces in long
 * numbers. Only numbers that the summary itself writes; tags and quoted words stay as they were written.
 */
import type { Figure, Known } from '../bench/model.ts';
import { isShare } from '../bench/saying.ts';
import type { Quantity, Unit } from '../units/si.ts';
import { writePercent, writeQuantity } from '../units/write.ts';

export interface Numbers {
  /** `4.7 kΩ`; of unit 1 `116 %` or, where it is too large for a share, `59.3`. */
  readonly say: (quantity: Quantity, digits?: number) => string;
  readonly sayValue: (value: number, unit: Unit) => string;
  readonly share: (ratio: number, digits?: number) => string;
  /** With its sign, `+4.3 %`. */
  readonly signedShare: (ratio: number, digits?: number) => string;
  readonly signed: (quantity: Quantity, digits?: number) => string;
  /** A figure's value, or where an assumption widened it only its band. */
  readonly band: (figure: Pick<Figure, 'figure' | 'quantity' | 'low' | 'high'>) => string;
  /** A reading as the meter said it, `about 340 V (330 V to 350 V)` where it was no plain number. */
  readonly known: (known: Known) => string;
  /** A change between two readings, in their prefix and to their decimals: 22.7 V and 23.0 V differ by `0.3 V`, not by `300 mV`. */
  readonly difference: (difference: Quantity, from: Quantity, to: Quantity) => string;
}

/** Readings are shown as exactly as they were read. */
const DIGITS = 6;
const GAP = '\u00a0';
/** Parts thousands in numbers of five digits and more, and never breaks. */
const NARROW = '\u202f';
const MINUS = '\u2212';
/** Above this a number without unit is a factor (a gain), below it a share (7 %, 110 %). */
const LARGEST_SHARE = 3;

export function createNumbers(
  decimal: '.' | ',',
  words: { readonly to: string; readonly about: string },
): Numbers {
  const typeset = (written: string): string =>
    written
      .replace(/^-/, MINUS)
      .replace(/^(\D?)(\d{5,})/, (_, sign, whole) => sign + whole.replace(/\B(?=(?:\d{3})+$)/g, NARROW))
      .replace('.', decimal);
  const plain = (quantity: Quantity, digits?: number): string =>
    typeset(writeQuantity(quantity, digits === undefined ? {} : { digits }));
  const percent = (ratio: number, digits?: number): string => {
    const said = writePercent(ratio, digits === undefined ? {} : { digits });
    // A digit more where three would say 100 %, so that what is just over a limit does not read as being on it.
    return typeset(digits === undefined && /^100\D/.test(said) ? writePercent(ratio, { digits: 4 }) : said);
  };
  const say = (quantity: Quantity, digits?: number): string =>
    quantity.unit === '1' && Math.abs(quantity.value) <= LARGEST_SHARE
      ? percent(quantity.value)
      : plain(quantity, digits);
  const withSign = (said: string, value: number): string => (value > 0 ? `+${said}` : said);
  return {
    say,
    sayValue: (value, unit) => say({ value, unit }),
    share: percent,
    signedShare: (ratio, digits) => withSign(percent(ratio, digits), ratio),
    signed: (quantity, digits) => withSign(plain(quantity, digits), quantity.value),
    band: ({ figure, quantity, low, high }) => {
      const end = (value: number): string =>
        quantity.unit === '1' && isShare(figure) ? percent(value) : plain({ ...quantity, value });
      if (low === undefined || high === undefined) return end(quantity.value);
      return end(low) === end(high) ? end(low) : `${end(low)} ${words.to} ${end(high)}`;
    },
    known: ({ quantity, low, high }) => {
      const said = plain(quantity, DIGITS);
      if (low === undefined || high === undefined || low === high) return said;
      const ends = [low, high].map((value) => plain({ ...quantity, value }));
      return `${words.about} ${said} (${ends.join(` ${words.to} `)})`;
    },
    difference: (difference, from, to) => {
      const larger = Math.abs(from.value) > Math.abs(to.value) ? from : to;
      const [number = '', symbol] = writeQuantity(larger, { digits: DIGITS }).split(GAP);
      const scale = larger.value / Number(number);
      const said =
        symbol === undefined || !Number.isFinite(scale) || scale === 0
          ? writeQuantity(difference, { digits: DIGITS })
          : `${(difference.value / scale).toFixed(decimalsOf([from, to], scale))}${GAP}${symbol}`;
      return withSign(typeset(said), difference.value);
    },
  };
}

/** As many as the finer of the readings has. */
function decimalsOf(readings: readonly Quantity[], scale: number): number {
  const places = readings.map(({ value }) => {
    const written = String(Number((value / scale).toPrecision(DIGITS)));
    const point = written.indexOf('.');
    return point < 0 || written.includes('e') ? 0 : written.length - point - 1;
  });
  return Math.min(Math.max(...places), DIGITS);
}
