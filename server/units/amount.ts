/** Owns the reading of one amount: a number with its unit and wave, or a marking whose letter stands at the point (`4k7`). */
import { JOINING_SPACE } from './fold.ts';
import {
  type Expectation,
  findThreeFigureCode,
  findUnitSpelling,
  meaningOfCode,
  meaningsOf,
  type UnitContext,
  type UnitMeaning,
  type UnitSpelling,
} from './notation.ts';
import { type NumberRead, scanNumber, weightOfLastDigit } from './number.ts';
import { isDigit, lengthAt, matchAt } from './sticky.ts';
import { findToleranceByLetter, type Tolerance } from './tolerance.ts';
import type { Wave } from './value.ts';

const ISH_NUMBER = /[- \u00a0]?ish(?![A-Za-z0-9])/iy;
const TOKEN = /[A-Za-z\u00b5\u03a9\u00b0]+|%/y;
const TRANSCONDUCTANCE = /([m\u00b5u])A\/V(?![A-Za-z0-9])/iy;
const CODE = /([RrKkMmGNnPpUu\u00b5])(\d{1,4})/y;
const LEADING_CODE = /(?:([Rr])(\d{1,4})|([KM])(\d{2,4})|([pnu\u00b5])(\d{1,3}))(?![A-Za-z0-9])/y;
const WAVE =
  /[ \u00a0]*(?:(peak[ -]to[ -]peak|pk[- ]?to[- ]?pk|pk-pk|p-p|p\.p\.|pp)|(peak|pk)|(rms|r\.m\.s\.)|(ac|a\.c\.)|(dc|d\.c\.))(?![A-Za-z0-9])/iy;
const DOTTED_VOLT = /\.(?=[ \u00a0]?(?:dc|ac|d\.c\.|a\.c\.|rms|pp|peak)(?![A-Za-z0-9]))/iy;
const OR_SO = /[ \u00a0]*(?:or so|-?ish|approx\.?)(?![A-Za-z0-9])/iy;
/** A character that makes a word of the number before it. */
export const WORD = /[\p{L}\p{N}_]/u;

type WaveOrDirect = Wave | 'ac' | 'dc';

/** A number with what it is a number of. */
export interface Amount {
  readonly end: number;
  readonly number: NumberRead;
  /** Undefined for a bare number. */
  readonly units: readonly UnitMeaning[] | undefined;
  readonly unitWritten: boolean;
  readonly wave: WaveOrDirect | undefined;
  readonly tolerance: Tolerance | undefined;
  readonly isAbout: boolean;
}

/** Values are many, so their amounts are made in one place. */
function amountOf(
  end: number,
  number: NumberRead,
  units: readonly UnitMeaning[] | undefined,
  unitWritten: boolean,
  wave?: WaveOrDirect,
  tolerance?: Tolerance,
  isAbout = false,
): Amount {
  return { end, number, units, unitWritten, wave, tolerance, isAbout };
}

/** What the place of an amount says about it. */
export interface Place {
  readonly expected: Expectation;
  readonly isAbove: boolean;
}

/** The amount that starts at `at`; `unread` holds where a number that cannot be used ends. */
export function scanAmount(
  text: string,
  at: number,
  place: Place,
): Amount | { readonly unread: number } | undefined {
  const leading = isDigit(text, at) ? undefined : scanLeadingCode(text, at, place);
  if (leading !== undefined) return leading;
  const number = scanNumber(text, at);
  if (number === undefined || 'unread' in number) return number;
  const coded = number.digits === '' ? undefined : scanCode(text, number, place);
  if (coded === 'none') return undefined;
  if (coded !== undefined) return withOrSo(text, coded, 0);
  const ish = lengthAt(ISH_NUMBER, text, number.end);
  const amount = scanUnit(text, number, number.end + ish, place);
  return amount === undefined ? undefined : withOrSo(text, amount, ish);
}

/** `400 or so`, `4k7 ish`; `ish` is the length of one that stood before the unit. */
function withOrSo(text: string, amount: Amount, ish: number): Amount {
  const orSo = lengthAt(OR_SO, text, amount.end);
  if (ish + orSo === 0) return amount;
  const { end, number, units, unitWritten, wave, tolerance } = amount;
  return amountOf(end + orSo, number, units, unitWritten, wave, tolerance, true);
}

/** `R47`, `n47`: the letter stands for the point and nothing before it. */
function scanLeadingCode(text: string, at: number, place: Place): Amount | undefined {
  const { bareUnit, partClass = 'other' } = place.expected;
  const found = matchAt(LEADING_CODE, text, at);
  if (found === null) return undefined;
  const [whole, r, rDigits, km, kmDigits, small, smallDigits] = found;
  const fits =
    (r !== undefined && (partClass === 'resistor' || bareUnit === 'Ohm')) ||
    (km !== undefined && partClass === 'resistor') ||
    (small !== undefined && partClass === 'capacitor');
  if (!fits) return undefined;
  const letter = r ?? km ?? small ?? '';
  return codedAmount(letter, `0.${rDigits ?? kmDigits ?? smallDigits ?? ''}`, at + whole.length, place);
}

/** `4k7`, `6n8`, `4K7K`: the letter stands at the point. `none` if it looks so but is a name (`6V6` is not even asked). */
function scanCode(text: string, number: NumberRead, place: Place): Amount | 'none' | undefined {
  const found = matchAt(CODE, text, number.end);
  if (found === null) return undefined;
  const [whole, letter = '', fraction = ''] = found;
  const end = number.end + whole.length;
  const { partClass = 'other' } = place.expected;
  // `10k5%` is 10k and then 5 %.
  if (text.charAt(end) === '%') return codedAmount(letter, number.digits, number.end + 1, place);
  // Capitals N, P and U are type numbers (1N4007, 5U4) save on a capacitor; so is a small u on what is not one.
  const isSmall = /[NPUnpu\u00b5]/.test(letter);
  if (
    isSmall &&
    partClass !== 'capacitor' &&
    (/[NPU]/.test(letter) || letter === 'u') &&
    partClass !== 'inductor'
  ) {
    return 'none';
  }
  if (isSmall && fraction.length > 3) return 'none';
  const token = matchAt(TOKEN, text, end)?.[0] ?? '';
  const amount = codedAmount(letter, `${number.digits}.${fraction}`, end, place);
  if (amount === undefined) return 'none';
  const behind = end + token.length;
  if (WORD.test(text.charAt(behind))) return 'none';
  if (token === '') return amount;
  const unit = amount.units?.[0]?.unit;
  const spelled = findUnitSpelling(token);
  if (spelled?.unit !== undefined && spelled.prefix === '' && spelled.unit === unit && token !== 'F') {
    return amountOf(behind, amount.number, amount.units, true);
  }
  // F is the farad on a capacitor's code and ±1 % on a resistor's.
  if (token === 'F' && unit === 'F') return amountOf(behind, amount.number, amount.units, true);
  // `6K7G` in another place is a valve in a bulb and no 6.7 kΩ within 2 %.
  const mayHaveTolerance = token.length === 1 && partClass !== 'other';
  const tolerance = mayHaveTolerance ? findToleranceByLetter(token) : undefined;
  return tolerance === undefined
    ? 'none'
    : amountOf(behind, amount.number, amount.units, amount.unitWritten, undefined, tolerance);
}

function codedAmount(letter: string, plain: string, end: number, place: Place): Amount | undefined {
  const spelling: UnitSpelling | undefined = /[Rr]/.test(letter)
    ? { unit: 'Ohm', prefix: '', scale: 1 }
    : findUnitSpelling(letter);
  if (spelling === undefined) return undefined;
  const value = Number(plain);
  const number: NumberRead = {
    end,
    options: [value],
    steps: [weightOfLastDigit(plain)],
    digits: '',
    hasComma: false,
  };
  const units = meaningsOf(spelling, contextOf(number, letter, place));
  return amountOf(end, number, units, spelling.unit !== undefined);
}

export function contextOf(number: NumberRead, token: string, place: Place): UnitContext {
  const { bareUnit, partClass = 'other' } = place.expected;
  const [first = 0, second = first] = number.options;
  return {
    bareUnit,
    partClass,
    size: Math.max(first, second),
    isAbove: place.isAbove,
    isCapital: token.startsWith('M'),
  };
}

/** How many spaces stand here, two at most: a wider gap parts a number from what is no longer its unit. */
function spacesAt(text: string, at: number): number {
  if (!isSpace(text, at)) return 0;
  return isSpace(text, at + 1) ? 2 : 1;
}

function isSpace(text: string, at: number): boolean {
  const char = text.charAt(at);
  return char === ' ' || char === JOINING_SPACE;
}

function scanUnit(text: string, number: NumberRead, at: number, place: Place): Amount | undefined {
  let start = at + spacesAt(text, at);
  const isSpaced = start > at;
  const hyphenated = text.charAt(at) === '-' && /^-(?:watt|ohm|volt|amp)/i.test(text.slice(at, at + 6));
  if (hyphenated) start++;
  const perVolt = text.charAt(start + 2) === '/' ? matchAt(TRANSCONDUCTANCE, text, start) : null;
  if (perVolt !== null) {
    const factor = perVolt[1]?.toLowerCase() === 'm' ? 1e-3 : 1e-6;
    return amountOf(start + perVolt[0].length, number, [{ unit: 'S', factor, code: undefined }], true);
  }
  const token = matchAt(TOKEN, text, start)?.[0] ?? '';
  if (token === '') return scanBareWave(text, number, at, place) ?? amountOf(at, number, undefined, false);
  const end = start + token.length;
  const isWhole = token === '%' || !WORD.test(text.charAt(end));
  const marking = isSpaced || !isWhole ? undefined : scanMarking(number, token, end, place);
  if (marking !== undefined) return marking;
  const spelling = isWhole ? findUnitSpelling(token) : undefined;
  if (spelling !== undefined && !(isSpaced && isNameBehindSpace(text, end, token, place.expected))) {
    const units = meaningsOf(spelling, contextOf(number, token, place));
    const mayBeType = !isSpaced && units[0]?.unit !== place.expected.bareUnit;
    if (mayBeType && isTypeNumber(number, token)) return undefined;
    const isWritten = spelling.unit !== undefined;
    if (spelling.unit !== 'V' && spelling.unit !== 'A') return amountOf(end, number, units, isWritten);
    const behind = scanWave(text, end, spelling.wave);
    return amountOf(behind.end, number, units, isWritten, behind.wave);
  }
  if (isSpaced || hyphenated)
    return scanBareWave(text, number, at, place) ?? amountOf(at, number, undefined, false);
  return isWhole ? scanBareWave(text, number, at, place) : undefined;
}

/** `7025A`, `5881W`, `6550C`: four figures and a letter are a valve; nothing here carries thousands of amperes or watts. */
function isTypeNumber(number: NumberRead, token: string): boolean {
  return /^[5-9]\d{3}$/.test(number.digits) && (token === 'A' || token === 'W' || token === 'C');
}

/** A part's marking that ends in a tolerance letter: `100nJ`, `470KK`, `104K`; or the old E for ohms (`47E`). */
function scanMarking(number: NumberRead, token: string, end: number, place: Place): Amount | undefined {
  const { partClass = 'other' } = place.expected;
  if (number.digits === '' || (partClass !== 'resistor' && partClass !== 'capacitor')) return undefined;
  if (token === 'E' && partClass === 'resistor') {
    return amountOf(end, number, [{ unit: 'Ohm', factor: 1, code: undefined }], true);
  }
  // Only the letters that are printed on such parts: a C behind a number is a temperature.
  if (!/^[RKkMnpu\u00b5]?[FGJKMZ]$/.test(token)) return undefined;
  if (token.length === 1) {
    const code = partClass === 'capacitor' ? findThreeFigureCode(number.digits) : undefined;
    const tolerance = code === undefined ? undefined : findToleranceByLetter(token);
    if (code === undefined || tolerance === undefined) return undefined;
    return amountOf(end, number, [meaningOfCode(code)], true, undefined, tolerance);
  }
  const head = token.charAt(0);
  const isFarad = token.endsWith('F') && /[npuM\u00b5]/.test(head);
  const spelling = findUnitSpelling(head);
  const tolerance = isFarad ? undefined : findToleranceByLetter(token.slice(-1));
  if (spelling === undefined || tolerance === undefined) return undefined;
  const units = meaningsOf(spelling, contextOf(number, head, place));
  return amountOf(end, number, units, spelling.unit !== undefined, undefined, tolerance);
}

/**
 * Behind a space a letter may be the next word and no unit: in `k 19.4 a 331` the `a` is an anode, in `331 k 19.4` the
 * `k` a cathode. Only a part's own value takes a spaced prefix there.
 */
function isNameBehindSpace(text: string, end: number, token: string, expected: Expectation): boolean {
  if (token.length > 1 || (expected.partClass ?? 'other') !== 'other') return false;
  if (/[kKmMnpuG\u00b5]/.test(token)) return expected.bareUnit !== 'Ohm';
  return (
    /[a-z]/.test(token) &&
    /^[ \u00a0]*[=:]?[ \u00a0]*[-+~<>]?[.\d]/.test(text.slice(end, end + 8)) &&
    token !== 'v'
  );
}

/** `342 DC`, `8.2 pp`: a bare number with a wave is volts, or what the place expects. */
function scanBareWave(text: string, number: NumberRead, at: number, place: Place): Amount | undefined {
  const { bareUnit, partClass = 'other' } = place.expected;
  const mayHaveWave =
    partClass === 'other' && (bareUnit === undefined || bareUnit === 'V' || bareUnit === 'A');
  if (!mayHaveWave) return undefined;
  const { wave, end } = scanWave(text, at, undefined);
  if (wave === undefined) return undefined;
  return amountOf(
    end,
    number,
    [{ unit: bareUnit === 'A' ? 'A' : 'V', factor: 1, code: undefined }],
    false,
    wave,
  );
}

/** What is said behind volts or amperes of how they were meant, and where that ends. */
function scanWave(
  text: string,
  from: number,
  attached: WaveOrDirect | undefined,
): { readonly wave: WaveOrDirect | undefined; readonly end: number } {
  let end = from;
  let wave = attached;
  if (/[vV]/.test(text.charAt(end - 1))) end += lengthAt(DOTTED_VOLT, text, end);
  for (let words = 0; words < 2; words++) {
    // One look at the next letter spares most values the long pattern.
    if (!/[pradPRAD]/.test(text.charAt(end + spacesAt(text, end)))) break;
    const found = matchAt(WAVE, text, end);
    if (found === null) break;
    const [whole, pp, peak, rms, ac] = found;
    const said = pp ? 'pp' : peak ? 'peak' : rms ? 'rms' : ac ? 'ac' : 'dc';
    // `AC rms` and `rms AC` say one thing; any other second word is the next one's.
    if (wave !== undefined && wave !== 'ac' && said !== 'ac') break;
    wave = wave === undefined || wave === 'ac' ? said : wave;
    end += whole.length;
  }
  return { wave, end };
}
