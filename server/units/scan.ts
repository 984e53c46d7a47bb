/**
 * Owns the reading of values: from the text at one offset to what was written there, in every notation the bench uses.
 * The scanner looks at a bounded window and never backtracks over it, so reading a sheet stays linear.
 */
import { span } from '../text/span.ts';
import { foldFrom, JOINING_SPACE } from './fold.ts';
import {
  findThreeFigureCode,
  findUnitSpelling,
  meaningOfCode,
  meaningsOf,
  meaningsOfBare,
  type PartClassLike,
  type UnitContext,
  type UnitMeaning,
  type UnitSpelling,
} from './notation.ts';
import { type Quantity, quantity, type Unit } from './si.ts';
import { findToleranceByLetter, type Tolerance } from './tolerance.ts';
import type { Meaning, Value, Wave, WrittenValue } from './value.ts';
import { writeQuantity } from './write.ts';

/** What the reader expects where the value stands. */
export interface Expectation {
  /** The unit of a bare number, where the place has one: V at an electrode, Ω on a resistor. */
  readonly bareUnit?: Unit;
  /** Decides what `k`, `M`, `.022` and `820` mean. Absent is `other`. */
  readonly partClass?: PartClassLike;
}

/** Values are short; a longer number is no value but an accident, and is called unread. */
const WINDOW = 96;
const MAX_NUMBER = 24;

const OPEN = /(?:o\.?l\.?|open(?:[ -]circuit)?|o\/c|\u221e|infinit[ey])(?![A-Za-z0-9])/iy;
const SHORT = /(?:dead[ ])?(?:short(?:ed|[ -]circuit(?:ed)?)?|s\/c)(?![A-Za-z0-9])/iy;
const ABOUT =
  /(?:~|(?:about|approx(?:imately)?\.?|around|roughly|circa|ca\.?)(?=[ \u00a0\d.~+-]))[ \u00a0]*/iy;
const BELOW = /(?:<=?|(?:below|under|less than|at most)(?=[ \u00a0]))[ \u00a0]*/iy;
const ABOVE = /(?:>=?|(?:above|over|more than|at least)(?=[ \u00a0]))[ \u00a0]*/iy;
const SIGN = /(?:(\+\/-|\+-|\u00b1)[ \u00a0]*|([+-])|(minus|plus)[ \u00a0]+)/iy;
const DIGITS = /(?:\d+(?:\u00a0\d{3}(?!\d))*(?:[.,]\d+)*|\.\d+)/y;
const EXPONENT = /[eE][+-]?\d+/y;
const FRACTION = /([1-7])\/([248])(?=[ \u00a0-]?(?:watts?|w|amps?|a)(?![A-Za-z0-9]))/iy;
const ISH_NUMBER = /[- \u00a0]?ish(?![A-Za-z0-9])/iy;
const TOKEN = /[A-Za-z\u00b5\u03a9\u00b0]+|%/y;
const TRANSCONDUCTANCE = /([m\u00b5u])A\/V(?![A-Za-z0-9])/iy;
const CODE = /([RrKkMmGNnPpUu\u00b5])(\d{1,4})/y;
const LEADING_CODE = /(?:([Rr])(\d{1,4})|([KM])(\d{2,4})|([pnu\u00b5])(\d{1,3}))(?![A-Za-z0-9])/y;
const WAVE =
  /[ \u00a0]*(?:(peak[ -]to[ -]peak|pk[- ]?to[- ]?pk|pk-pk|p-p|p\.p\.|pp)|(peak|pk)|(rms|r\.m\.s\.)|(ac|a\.c\.)|(dc|d\.c\.))(?![A-Za-z0-9])/iy;
const DOTTED_VOLT = /\.(?=[ \u00a0]?(?:dc|ac|d\.c\.|a\.c\.|rms|pp|peak)(?![A-Za-z0-9]))/iy;
const OR_SO = /[ \u00a0]*(?:or so|-?ish|approx\.?)(?![A-Za-z0-9])/iy;
const WORD = /[\p{L}\p{N}_]/u;

/** The value that starts exactly at `at`, as long as it goes; undefined if none starts there. */
export function scanValue(
  text: string,
  at: number,
  expected: Expectation,
): { end: number; written: WrittenValue } | undefined {
  const folded = foldFrom(text, at, WINDOW);
  const first = folded.text.charCodeAt(0);
  // Most words of a note begin with a letter that no value begins with; they cost no more than this.
  if (Number.isNaN(first) || !mayBegin(first)) return undefined;
  const scanned = scanFolded(folded.text, expected);
  if (scanned === undefined) return undefined;
  const end =
    scanned.length >= WINDOW - 1 && folded.cut ? endOfRun(text, at) : folded.sourceEnd(scanned.length);
  return { end, written: finish(scanned, text.slice(at, end), at, end) };
}

/** A whole string as one value; anything left over makes it unread. Spaces around it do not count. */
export function readValue(text: string, expected: Expectation): WrittenValue {
  const start = text.length - text.trimStart().length;
  const stop = text.trimEnd().length;
  const scanned = scanValue(text, start, expected);
  if (scanned !== undefined && scanned.end === stop) return scanned.written;
  const to = Math.max(start, stop);
  return { kind: 'unread', spelling: text.slice(start, to), span: span(start, to) };
}

/** What was understood, before it is tied to its place in the text. */
type Scanned =
  | { readonly kind: 'open' | 'short' | 'unread'; readonly length: number }
  | {
      readonly kind: 'ambiguous';
      readonly length: number;
      readonly because: string;
      readonly meanings: readonly Meaning[];
    }
  | { readonly kind: 'value'; readonly length: number; readonly value: Omit<Value, 'spelling' | 'span'> };

function finish(scanned: Scanned, spelling: string, start: number, end: number): WrittenValue {
  const where = { spelling, span: span(start, end) };
  switch (scanned.kind) {
    case 'value':
      return { kind: 'value', value: { ...scanned.value, ...where } };
    case 'ambiguous':
      return { kind: 'ambiguous', because: scanned.because, meanings: scanned.meanings, ...where };
    default:
      return { kind: scanned.kind, ...where };
  }
}

/** Whether a value can begin with this character: a digit, a sign, or the first letter of a word or code that leads one. */
function mayBegin(code: number): boolean {
  if (code >= 0x30 && code <= 0x39) return true;
  return FIRST.has(code);
}

const FIRST: ReadonlySet<number> = new Set(
  [...'.+-~<>\u00b1\u00bc\u00bd\u00be\u221e\u00b5aAcCrRbBuUlLoOmMpPsSiIdDkKn'].map((c) => c.charCodeAt(0)),
);

/** Behind the run of letters, digits and points that begins at `at`. */
function endOfRun(text: string, at: number): number {
  let end = at;
  while (end < text.length && /[\w.,]/.test(text.charAt(end))) end++;
  return Math.max(end, Math.min(text.length, at + 1));
}

function match(pattern: RegExp, text: string, at: number): RegExpExecArray | null {
  pattern.lastIndex = at;
  return pattern.exec(text);
}

function lengthOf(pattern: RegExp, text: string, at: number): number {
  return match(pattern, text, at)?.[0].length ?? 0;
}

function scanFolded(text: string, expected: Expectation): Scanned | undefined {
  const open = lengthOf(OPEN, text, 0);
  if (open > 0) return { kind: 'open', length: open };
  const short = lengthOf(SHORT, text, 0);
  if (short > 0) return { kind: 'short', length: short };

  let at = 0;
  let sureness: Value['sureness'] = 'exact';
  const about = lengthOf(ABOUT, text, at);
  if (about > 0) {
    sureness = 'about';
    at += about;
  }
  const below = lengthOf(BELOW, text, at);
  const above = below > 0 ? 0 : lengthOf(ABOVE, text, at);
  if (below + above > 0) {
    sureness = below > 0 ? 'below' : 'above';
    at += below + above;
  }
  const sign = match(SIGN, text, at);
  if (sign !== null) at += sign[0].length;
  const isNegative = sign?.[2] === '-' || sign?.[3]?.toLowerCase() === 'minus';

  const isAbove = sureness === 'above';
  const body = scanBody(text, at, { expected, isAbove });
  if (body === undefined || 'unread' in body) {
    return body === undefined ? undefined : { kind: 'unread', length: body.unread };
  }
  return assemble(text, body, {
    sureness: body.isAbout && sureness === 'exact' ? 'about' : sureness,
    factor: isNegative ? -1 : 1,
    signed: sign !== null && sign[1] === undefined,
    plusMinus: sign?.[1] !== undefined,
    expected,
  });
}

// ---------------------------------------------------------------------------------------------------------------
// Numbers

interface NumberRead {
  readonly end: number;
  /** More than one where a comma may be decimal or group thousands. */
  readonly options: readonly number[];
  /** The weight of the last written digit, per option. */
  readonly steps: readonly number[];
  /** The digits if it was a plain whole number, for codes. */
  readonly digits: string;
  readonly hasComma: boolean;
}

const vulgar: ReadonlyMap<string, number> = new Map([
  ['\u00bc', 0.25],
  ['\u00bd', 0.5],
  ['\u00be', 0.75],
]);

/** The number at `at`; `unread` holds where a spelling that is a number but no usable one ends. */
function scanNumber(text: string, at: number): NumberRead | { readonly unread: number } | undefined {
  const fraction = match(FRACTION, text, at);
  if (fraction !== null) {
    const value = Number(fraction[1]) / Number(fraction[2]);
    if (value < 1) return exactNumber(at + fraction[0].length, value);
  }
  const alone = vulgar.get(text.charAt(at));
  if (alone !== undefined) return exactNumber(at + 1, alone);
  const found = match(DIGITS, text, at)?.[0];
  if (found === undefined) return undefined;
  let end = at + found.length;
  if (found.length > MAX_NUMBER || end >= WINDOW - 1) return { unread: end };
  const written = found.includes(JOINING_SPACE) ? found.replaceAll(JOINING_SPACE, '') : found;
  const half = vulgar.get(text.charAt(end));
  if (half !== undefined && /^\d+$/.test(written)) return exactNumber(end + 1, Number(written) + half);
  const readings = readSeparators(written);
  if (readings === undefined) return written.includes(',') ? { unread: end } : undefined;
  let power = '';
  const exponent = match(EXPONENT, text, end)?.[0];
  if (exponent !== undefined) {
    power = `e${exponent.slice(1)}`;
    end += exponent.length;
  }
  const options = readings.map((r) => Number(r + power));
  const tooLarge = options.some((n) => !Number.isFinite(n));
  const vanished = options.some((n, i) => n === 0 && Number(readings[i]) !== 0);
  if (tooLarge || vanished) return { unread: end };
  const steps = readings.map((r) => Number(`1e${-decimalsIn(r)}`) * (power === '' ? 1 : Number(`1${power}`)));
  return { end, options, steps, digits: /^\d+$/.test(found) ? found : '', hasComma: written.includes(',') };
}

function exactNumber(end: number, value: number): NumberRead {
  return { end, options: [value], steps: [0], digits: '', hasComma: false };
}

function decimalsIn(plain: string): number {
  const point = plain.indexOf('.');
  return point < 0 ? 0 : plain.length - point - 1;
}

/** What points and commas in a number may mean, as plain decimals, likeliest first. */
function readSeparators(written: string): readonly string[] | undefined {
  const commas = written.split(',').length - 1;
  const points = written.split('.').length - 1;
  if (commas === 0) return points <= 1 ? [written] : undefined;
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

// ---------------------------------------------------------------------------------------------------------------
// Number and unit

interface Amount {
  readonly end: number;
  readonly number: NumberRead;
  /** Undefined for a bare number. */
  readonly units?: readonly UnitMeaning[];
  readonly unitWritten: boolean;
  readonly wave?: Wave | 'ac' | 'dc';
  readonly tolerance?: Tolerance;
  readonly isAbout: boolean;
}

interface Body {
  readonly from: Amount;
  /** The upper end of a range. */
  readonly to?: Amount;
  readonly end: number;
  readonly isAbout: boolean;
}

interface Place {
  readonly expected: Expectation;
  readonly isAbove: boolean;
}

function scanBody(text: string, at: number, place: Place): Body | { readonly unread: number } | undefined {
  const from = scanAmount(text, at, place);
  if (from === undefined || 'unread' in from) return from;
  const isAbout = from.isAbout;
  const alone: Body = { from, end: from.end, isAbout };
  if (text.charAt(from.end) !== '-' || !isDigit(text, from.end + 1)) {
    return from.units === undefined && isGluedBare(text, from.end) ? undefined : alone;
  }
  // A leading nought is a date's month or a winding's tap, not the end of a range.
  const to = scanAmount(text, from.end + 1, place);
  if (to === undefined || 'unread' in to) return from.units === undefined ? undefined : alone;
  if (text.charAt(to.end) === '-' && isDigit(text, to.end + 1)) return undefined;
  if (text.charAt(from.end + 1) === '0' && isDigit(text, from.end + 2)) return undefined;
  if (to.units === undefined && isGluedBare(text, to.end))
    return from.units === undefined ? undefined : alone;
  const unitOf = (amount: Amount) => amount.units?.[0]?.unit;
  if (from.units !== undefined && to.units !== undefined && unitOf(from) !== unitOf(to)) return alone;
  return { from, to, end: to.end, isAbout: isAbout || to.isAbout };
}

function isDigit(text: string, at: number): boolean {
  const code = text.charCodeAt(at);
  return code >= 0x30 && code <= 0x39;
}

/** Whether what follows a bare number says that it is none: `12AX7`, `3-pin`, `1:2`, `2.a`. */
function isGluedBare(text: string, at: number): boolean {
  const next = text.codePointAt(at);
  if (next === undefined) return false;
  if (WORD.test(String.fromCodePoint(next))) return true;
  const joins = next === 0x2d || next === 0x3a || next === 0x2e;
  if (!joins) return false;
  const after = text.charAt(at + 1);
  return next === 0x2d ? /[A-Za-z]/.test(after) : /[A-Za-z0-9]/.test(after);
}

function scanAmount(
  text: string,
  at: number,
  place: Place,
): Amount | { readonly unread: number } | undefined {
  const leading = scanLeadingCode(text, at, place);
  if (leading !== undefined) return leading;
  const number = scanNumber(text, at);
  if (number === undefined || 'unread' in number) return number;
  const coded = number.digits === '' ? undefined : scanCode(text, number, place);
  if (coded !== undefined) return coded === 'none' ? undefined : coded;
  const ish = lengthOf(ISH_NUMBER, text, number.end);
  const amount = scanUnit(text, number, number.end + ish, place);
  if (amount === undefined) return undefined;
  const orSo = lengthOf(OR_SO, text, amount.end);
  return { ...amount, end: amount.end + orSo, isAbout: ish + orSo > 0 };
}

/** `R47`, `n47`: the letter stands for the point and nothing before it. */
function scanLeadingCode(text: string, at: number, place: Place): Amount | undefined {
  const { bareUnit, partClass = 'other' } = place.expected;
  const found = match(LEADING_CODE, text, at);
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
  const found = match(CODE, text, number.end);
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
  const token = match(TOKEN, text, end)?.[0] ?? '';
  const amount = codedAmount(letter, `${number.digits}.${fraction}`, end, place);
  if (amount === undefined) return 'none';
  const behind = end + token.length;
  if (WORD.test(text.charAt(behind))) return 'none';
  if (token === '') return amount;
  const unit = amount.units?.[0]?.unit;
  const spelled = findUnitSpelling(token);
  if (spelled?.unit !== undefined && spelled.prefix === '' && spelled.unit === unit && token !== 'F') {
    return { ...amount, end: behind, unitWritten: true };
  }
  // F is the farad on a capacitor's code and ±1 % on a resistor's.
  if (token === 'F' && unit === 'F') return { ...amount, end: behind, unitWritten: true };
  const tolerance = token.length === 1 ? findToleranceByLetter(token) : undefined;
  return tolerance === undefined ? 'none' : { ...amount, end: behind, tolerance };
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
    steps: [Number(`1e${-decimalsIn(plain)}`)],
    digits: '',
    hasComma: false,
  };
  const units = meaningsOf(spelling, contextOf(number, letter, place));
  return { end, number, units, unitWritten: spelling.unit !== undefined, isAbout: false };
}

function contextOf(number: NumberRead, token: string, place: Place): UnitContext {
  const { bareUnit, partClass = 'other' } = place.expected;
  return {
    ...(bareUnit === undefined ? {} : { bareUnit }),
    partClass,
    size: Math.max(...number.options),
    isAbove: place.isAbove,
    isCapital: token.startsWith('M'),
  };
}

function scanUnit(text: string, number: NumberRead, at: number, place: Place): Amount | undefined {
  const bare: Amount = { end: at, number, unitWritten: false, isAbout: false };
  let start = at;
  while (start < at + 2 && (text.charAt(start) === ' ' || text.charAt(start) === JOINING_SPACE)) start++;
  const isSpaced = start > at;
  const hyphenated = !isSpaced && /^-(?:watt|ohm|volt|amp)/i.test(text.slice(at, at + 6));
  if (hyphenated) start++;
  const perVolt = match(TRANSCONDUCTANCE, text, start);
  if (perVolt !== null) {
    const factor = perVolt[1]?.toLowerCase() === 'm' ? 1e-3 : 1e-6;
    return { ...bare, end: start + perVolt[0].length, units: [{ unit: 'S', factor }], unitWritten: true };
  }
  const token = match(TOKEN, text, start)?.[0] ?? '';
  if (token === '') return withBareWave(text, bare, place);
  const end = start + token.length;
  const isWhole = token === '%' || !WORD.test(text.charAt(end));
  const marking = isSpaced || !isWhole ? undefined : scanMarking(number, token, end, place);
  if (marking !== undefined) return marking;
  const spelling = isWhole ? findUnitSpelling(token) : undefined;
  if (spelling !== undefined && !(isSpaced && isNameBehindSpace(text, end, token, place.expected))) {
    const units = meaningsOf(spelling, contextOf(number, token, place));
    if (!isSpaced && isTypeNumber(number, token) && units[0]?.unit !== place.expected.bareUnit)
      return undefined;
    const amount: Amount = { ...bare, end, units, unitWritten: spelling.unit !== undefined };
    return spelling.unit === 'V' || spelling.unit === 'A' ? withWave(text, amount, spelling.wave) : amount;
  }
  if (isSpaced || hyphenated) return withBareWave(text, bare, place);
  if (!isWhole) return undefined;
  return withBareWave(text, bare, place, true);
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
    return { end, number, units: [{ unit: 'Ohm', factor: 1 }], unitWritten: true, isAbout: false };
  }
  // Only the letters that are printed on such parts: a C behind a number is a temperature.
  if (!/^[RKkMnpu\u00b5]?[FGJKMZ]$/.test(token)) return undefined;
  const tolerance = findToleranceByLetter(token.slice(-1));
  if (token.length === 1) {
    const code = partClass === 'capacitor' ? findThreeFigureCode(number.digits) : undefined;
    if (code === undefined || tolerance === undefined) return undefined;
    return {
      end,
      number,
      units: [meaningOfCode(code)],
      unitWritten: true,
      tolerance,
      isAbout: false,
    };
  }
  const head = token.charAt(0);
  const isFarad = token.endsWith('F') && /[npuM\u00b5]/.test(head);
  const spelling = findUnitSpelling(head);
  if (isFarad || spelling === undefined || tolerance === undefined) return undefined;
  const units = meaningsOf(spelling, contextOf(number, head, place));
  return { end, number, units, unitWritten: spelling.unit !== undefined, tolerance, isAbout: false };
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
function withBareWave(text: string, bare: Amount, place: Place, isGlued = false): Amount | undefined {
  const { bareUnit, partClass = 'other' } = place.expected;
  const mayHaveWave =
    partClass === 'other' && (bareUnit === undefined || bareUnit === 'V' || bareUnit === 'A');
  if (mayHaveWave) {
    const unit = bareUnit === 'A' ? 'A' : 'V';
    const amount = withWave(text, { ...bare, units: [{ unit, factor: 1 }] }, undefined);
    if (amount.wave !== undefined) return amount;
  }
  return isGlued ? undefined : bare;
}

function withWave(text: string, amount: Amount, attached: Wave | 'ac' | 'dc' | undefined): Amount {
  let { end } = amount;
  let wave = attached;
  end += lengthOf(DOTTED_VOLT, text, end);
  for (let words = 0; words < 2; words++) {
    const found = match(WAVE, text, end);
    if (found === null) break;
    const [whole, pp, peak, rms, ac] = found;
    const said = pp ? 'pp' : peak ? 'peak' : rms ? 'rms' : ac ? 'ac' : 'dc';
    // `AC rms` and `rms AC` say one thing; any other second word is the next one's.
    if (wave !== undefined && wave !== 'ac' && said !== 'ac') break;
    wave = wave === undefined || wave === 'ac' ? said : wave;
    end += whole.length;
  }
  return { ...amount, end, ...(wave === undefined ? {} : { wave }) };
}

// ---------------------------------------------------------------------------------------------------------------
// Putting together

interface Manner {
  readonly sureness: Value['sureness'];
  readonly factor: 1 | -1;
  readonly signed: boolean;
  readonly plusMinus: boolean;
  readonly expected: Expectation;
}

/** One complete meaning: its number, its bounds and its unit. */
interface Candidate {
  readonly low: number;
  readonly high: number;
  readonly value: number;
  readonly unit: Unit;
}

function assemble(text: string, body: Body, manner: Manner): Scanned {
  const { from, to, end } = body;
  const candidates = to === undefined ? candidatesOf(from, manner) : candidatesOfRange(from, to, manner);
  const usable = candidates.every((c) => Number.isFinite(c.value) && Number.isFinite(c.high - c.low));
  const first = candidates[0];
  if (first === undefined || !usable) return { kind: 'unread', length: end };
  const isList = isUnlabelledSecond(text, body);
  if (candidates.length > 1 || isList) {
    return { kind: 'ambiguous', length: end, ...explain(candidates, body, isList, manner) };
  }
  const sureness = to === undefined ? manner.sureness : 'range';
  const wave = to?.wave ?? from.wave;
  const tolerance = to === undefined ? from.tolerance : undefined;
  return {
    kind: 'value',
    length: end,
    value: {
      quantity: quantity(first.value, first.unit),
      sureness,
      ...boundsOf(first, sureness),
      unitWritten: from.unitWritten || (to?.unitWritten ?? false),
      ...(wave === undefined || wave === 'dc' ? {} : { wave }),
      ...(tolerance === undefined ? {} : { tolerance }),
      ...(manner.plusMinus ? { plusMinus: true } : {}),
      signed: manner.signed,
    },
  };
}

function boundsOf(candidate: Candidate, sureness: Value['sureness']): { low: number; high: number } {
  const { value, low, high } = candidate;
  if (sureness === 'below') return { low: Number.NEGATIVE_INFINITY, high: value };
  if (sureness === 'above') return { low: value, high: Number.POSITIVE_INFINITY };
  if (sureness !== 'about') return { low, high };
  const tenth = Math.abs(value) / 10;
  return { low: value - tenth, high: value + tenth };
}

function unitsOf(amount: Amount, manner: Manner): readonly UnitMeaning[] {
  if (amount.units !== undefined) return amount.units;
  const { number } = amount;
  const context = contextOf(number, '', { expected: manner.expected, isAbove: manner.sureness === 'above' });
  return meaningsOfBare(context, number.digits);
}

function candidatesOf(amount: Amount, manner: Manner): Candidate[] {
  const { number } = amount;
  return unitsOf(amount, manner).flatMap(({ unit, factor, code }) => {
    const options = code === undefined ? number.options : [code.picofarads];
    const steps = code === undefined ? number.steps : [code.step];
    return options.map((n, i) => {
      const half = (steps[i] ?? 0) / 2;
      const ends = [tidySum(n - half), tidySum(n + half)].map((end) => scaleBy(end, factor) * manner.factor);
      const value = scaleBy(n, factor) * manner.factor;
      return { value: value === 0 ? 0 : value, low: Math.min(...ends), high: Math.max(...ends), unit };
    });
  });
}

/** A power of ten is moved as a decimal point, so that `.68` µF is 6.8e-7 to the last bit, which multiplying misses. */
function scaleBy(n: number, factor: number): number {
  const power = Math.round(Math.log10(factor));
  const written = String(n);
  if (Number(`1e${power}`) !== factor || written.includes('e')) return n * factor;
  return Number(`${written}e${power}`);
}

/** Without the noise that a binary sum leaves behind the fifteenth digit (4.7 − 0.05 is 4.65). */
function tidySum(n: number): number {
  return Number(n.toPrecision(15));
}

function candidatesOfRange(from: Amount, to: Amount, manner: Manner): Candidate[] {
  const shared = to.units ?? from.units ?? unitsOf(to, manner);
  return shared.flatMap((meaning, u) => {
    const own = from.units?.[u] ?? from.units?.[0] ?? meaning;
    return to.number.options.map((high, i) => {
      const low = from.number.options[i] ?? from.number.options[0] ?? 0;
      const top = scaleBy(high, meaning.factor) * manner.factor;
      // In `220-1k` the first end is in plain ohms: taken as 220k it would lie above the second.
      const isPlain = from.units === undefined && low > high && meaning.factor > 1;
      const bottom = scaleBy(low, isPlain ? 1 : own.factor) * manner.factor;
      const value = tidySum(bottom + (top - bottom) / 2);
      return { low: Math.min(bottom, top), high: Math.max(bottom, top), value, unit: meaning.unit };
    });
  });
}

/** `6,15, 200 ohm`: a number without a unit of its own before another; 6.15, or 6 and 15? */
function isUnlabelledSecond(text: string, body: Body): boolean {
  const { from, to, end } = body;
  return (
    to === undefined &&
    from.units === undefined &&
    from.number.hasComma &&
    /^[ \u00a0]*,[ \u00a0]*\d/.test(text.slice(end, end + 6))
  );
}

function explain(
  candidates: readonly Candidate[],
  body: Body,
  isList: boolean,
  manner: Manner,
): { because: string; meanings: Meaning[] } {
  const inWords = (value: number, unit: Unit) => writeQuantity({ value, unit }, { digits: 6 });
  const inTag = (value: number, unit: Unit) => writeQuantity({ value, unit }, { style: 'tag' });
  const meanings: Meaning[] = candidates.map(({ value, low, high, unit }) =>
    body.to === undefined
      ? { saying: inWords(value, unit), values: [quantity(value, unit)], plainly: inTag(value, unit) }
      : {
          saying: `${inWords(low, unit)} to ${inWords(high, unit)}`,
          values: [quantity(low, unit), quantity(high, unit)],
          plainly: `${inTag(low, unit)}-${inTag(high, unit)}`,
        },
  );
  const unit = candidates[0]?.unit ?? '1';
  if (isList) meanings.push(listMeaning(body.from, unit, manner));
  return { because: reasonFor(candidates, body, isList), meanings };
}

function listMeaning(amount: Amount, unit: Unit, manner: Manner): Meaning {
  const whole = amount.number.options[0] ?? 0;
  const step = amount.number.steps[0] ?? 1;
  const first = Math.trunc(whole);
  const second = Math.round((whole - first) / step);
  const values: Quantity[] = [quantity(first * manner.factor, unit), quantity(second, unit)];
  return {
    saying: `a list: ${values.map((q) => writeQuantity(q)).join(' and ')}`,
    values,
    plainly: values.map((q) => writeQuantity(q, { style: 'tag' })).join(', '),
  };
}

function reasonFor(candidates: readonly Candidate[], body: Body, isList: boolean): string {
  if (isList) return 'the comma may be a decimal comma or part two numbers';
  if (body.from.number.options.length > 1) return 'the comma may be a decimal comma or group thousands';
  const units = new Set(candidates.map((c) => c.unit));
  if (body.from.units === undefined && body.to?.units === undefined) {
    return units.size > 1 ? 'a number without a unit may be either here' : 'the number has no unit or prefix';
  }
  if (units.size > 1) return 'the letter may stand for either here';
  return units.has('F')
    ? 'an old M means micro, a modern m milli'
    : 'm and M are written for both milli and mega';
}
