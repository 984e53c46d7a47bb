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
  /** Of what was computed, to three digits: `87.0 %` stands below `87.4 %`. */
  readonly share: (ratio: number) => string;
  /** How far one number is from another, to a tenth of a per cent as no chart is read more finely: `+4.3 %`. */
  readonly deviation: (ratio: number) => string;
  readonly signed: (quantity: Quantity, digits?: number) => string;
  /** A figure's value to three digits, or where an assumption widened it only its band. */
  readonly band: (figure: Pick<Figure, 'figure' | 'quantity' | 'low' | 'high'>) => string;
  /** A figure alone, to three digits, noughts at their end included. */
  readonly figure: (quantity: Quantity) => string;
  /** To the decimals that it was written with, else as a figure. */
  readonly written: (written: Written) => string;
  /** A reading as the meter said it, `about 340 V (330 V to 350 V)` where it was no plain number. */
  readonly known: (known: Known) => string;
  /** A change between two readings, in their prefix and to their decimals: 22.7 V and 23.0 V differ by `0.3 V`, not by `300 mV`. */
  readonly difference: (difference: Quantity, from: Written, to: Written) => string;
}

/** A number with what its last written digit counts. */
export type Written = Pick<Known, 'quantity' | 'digit'>;

/** Readings are shown as exactly as they were read. */
const DIGITS = 6;
/** Figures are shown to so many digits, noughts at their end included. */
const FIGURE_DIGITS = 3;
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
    return digits === undefined && /^100\D/.test(said) ? writePercent(ratio, { digits: 4 }) : said;
  };
  const say = (quantity: Quantity, digits?: number): string =>
    quantity.unit === '1' && Math.abs(quantity.value) <= LARGEST_SHARE
      ? typeset(percent(quantity.value))
      : plain(quantity, digits);
  const withSign = (said: string, value: number): string => (value > 0 ? `+${said}` : said);
  const share = (ratio: number): string => typeset(padToDigits(percent(ratio)));
  const figureOf = (quantity: Quantity): string => {
    const said = writeQuantity(quantity);
    return typeset(PADDED.has(quantity.unit) ? padToDigits(said) : said);
  };
  return {
    say,
    sayValue: (value, unit) => say({ value, unit }),
    share,
    deviation: (ratio) => {
      const tenths = Math.round(ratio * 1000) / 10;
      const said = Math.abs(tenths) < 100 && tenths !== 0 ? tenths.toFixed(1) : String(Math.round(tenths));
      return withSign(typeset(`${said.replace(/^-0$/, '0')}${GAP}%`), tenths);
    },
    signed: (quantity, digits) => withSign(plain(quantity, digits), quantity.value),
    band: ({ figure, quantity, low, high }) => {
      const end = (value: number): string => {
        if (quantity.unit === '1' && isShare(figure)) return share(value);
        return figureOf({ ...quantity, value });
      };
      if (low === undefined || high === undefined) return end(quantity.value);
      return end(low) === end(high) ? end(low) : `${end(low)} ${words.to} ${end(high)}`;
    },
    figure: figureOf,
    written: (written) =>
      written.digit === undefined ? figureOf(written.quantity) : typeset(writtenAs(written)),
    known: ({ quantity, low, high, digit }) => {
      const said = typeset(writtenAs({ quantity, ...(digit !== undefined && { digit }) }));
      if (low === undefined || high === undefined || low === high) return said;
      const ends = [low, high].map((value) => plain({ ...quantity, value }));
      return `${words.about} ${said} (${ends.join(` ${words.to} `)})`;
    },
    difference: (difference, from, to) => {
      const larger = Math.abs(from.quantity.value) > Math.abs(to.quantity.value) ? from : to;
      const [number = '', symbol] = writeQuantity(larger.quantity, { digits: DIGITS }).split(GAP);
      const scale = larger.quantity.value / Number(number);
      const said =
        symbol === undefined || !Number.isFinite(scale) || scale === 0
          ? writeQuantity(difference, { digits: DIGITS })
          : `${(difference.value / scale).toFixed(Math.max(...[from, to].map((each) => decimalsOf(each, scale))))}${GAP}${symbol}`;
      return withSign(typeset(said), difference.value);
    },
  };
}

/** Units in which three digits are no boast. */
const PADDED: ReadonlySet<Unit> = new Set(['V', 'A', 'W', 'Ohm', 'F']);

/** `87 %` as `87.0 %`, `20 W` as `20.0 W`; nothing as `0 W`. */
function padToDigits(written: string): string {
  const [number = '', symbol] = written.split(GAP);
  const value = Number(number);
  if (value === 0 || !Number.isFinite(value) || number.includes('e')) return written;
  const whole = Math.floor(Math.log10(Math.abs(value))) + 1;
  const places = Math.max(FIGURE_DIGITS - whole, number.split('.')[1]?.length ?? 0, 0);
  return `${value.toFixed(Math.min(places, DIGITS))}${symbol === undefined ? '' : GAP + symbol}`;
}

/** `23.0 V` where that was written, and not 23 V. */
function writtenAs({ quantity, digit }: Written): string {
  const said = writeQuantity(quantity, { digits: DIGITS });
  const [number = '', symbol] = said.split(GAP);
  // Nothing of a unit that is told in a prefix is nothing.
  if (quantity.value === 0 && quantity.unit === 'F') return said;
  const scale = quantity.value === 0 ? 1 : quantity.value / Number(number);
  const places = decimalsOf({ quantity, ...(digit !== undefined && { digit }) }, scale);
  return symbol === undefined || !Number.isFinite(Number(number)) || number.includes('e')
    ? said
    : `${Number(number).toFixed(places)}${GAP}${symbol}`;
}

/** How many decimals a number was written with, or needs, in a prefix. */
function decimalsOf({ quantity, digit }: Written, scale: number): number {
  const written = String(Number((quantity.value / scale).toPrecision(DIGITS)));
  const point = written.indexOf('.');
  const needed = point < 0 || written.includes('e') ? 0 : written.length - point - 1;
  const said = digit === undefined || digit <= 0 ? 0 : Math.round(-Math.log10(digit / scale));
  return Math.min(Math.max(needed, said), DIGITS);
}
