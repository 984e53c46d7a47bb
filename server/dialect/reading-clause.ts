/**
 * Owns one clause of what the meter said: a value at a point, and what stands with it. What a number means there is
 * `quantities.ts`.
 */
import type { Span } from '../text/span.ts';
import type { Quantity } from '../units/si.ts';
import { isDigit } from '../units/sticky.ts';
import type { WrittenValue } from '../units/value.ts';
import { scanElectrodeBehind, scanElectrodes, terminalOf } from './electrodes.ts';
import { bareUnitAt, classAt, doubtOf, isBare, isDefaultDoubtful, quantityAt } from './quantities.ts';
import type { PartClass, Point, ReadingItem, ReadingQuantity, WritingProblem } from './tree.ts';
import { ambiguities, scanWritten, spanOfWritten, writtenAs } from './written.ts';

/** What stands before the colon: the points read, and the other probe's. */
export interface Label {
  readonly points: readonly Point[];
  readonly to: Point | undefined;
}

/** What was read at one point. They are many, and made in one place. */
export function itemOf(
  at: Point,
  to: Point | undefined,
  quantity: ReadingQuantity,
  values: readonly WrittenValue[],
  span: Span,
  then?: WrittenValue,
  frequency?: Quantity<'Hz'>,
  atVolts?: Quantity<'V'>,
): ReadingItem {
  return { at, to, quantity, values, then, frequency, atVolts, span };
}

export interface Clause {
  readonly items: readonly ReadingItem[];
  readonly problems: readonly WritingProblem[];
  readonly end: number;
}

/** One clause: an electrode or a word that says what was read, the value, and what stands with it. */
export function scanClause(text: string, at: number, label: Label): Clause | undefined {
  const first = label.points[0];
  if (first === undefined) return undefined;
  if (first.kind === 'ref' && first.class === 'fuse') {
    const blown = /^(?:blown|blew)(?![\p{L}\p{N}])/u.exec(text.slice(at, at + 6))?.[0];
    if (blown !== undefined) return blownFuse(at, blown, label);
  }
  const terminals = label.to === undefined ? scanElectrodes(text, at, first) : [];
  const [terminal] = terminals;
  if (terminal?.terminal === 'pri' && HALVES.test(text.slice(terminal.valueAt, terminal.valueAt + 24)))
    return readAt(text, at, terminal.valueAt, label);
  if (terminal !== undefined) {
    const points: Point[] = [];
    for (const point of label.points) {
      const ref = point.kind === 'terminal' ? point.ref : point;
      if (ref.kind === 'ref') for (const each of terminals) points.push(terminalOf(ref, each));
    }
    return readAt(text, at, terminal.valueAt, { points, to: undefined });
  }
  return readAt(text, at, at, label);
}

/** `OT primary 138R + 124R`: what is said of two halves is said of the part, as without the word. */
const HALVES = /^[\d.,]+\s?(?:R|Ω|Ω|ohms?)?\s*[/+]\s*\d/iu;

/** A blown fuse is an open one. */
function blownFuse(at: number, spelling: string, label: Label): Clause {
  const span = { start: at, end: at + spelling.length };
  const items = label.points.map((point) =>
    itemOf(point, undefined, 'resistance', [{ kind: 'open', spelling, span }], span),
  );
  return { items, problems: [], end: span.end };
}

const LEADING_WORD =
  /(esr|dcr|insulation|leakage|leaks|ripple|hum|at|set(?:ting)?(?:\s+at)?|across|through|reads|now|was|used\s+to\s+be|from|measured|measures)(?![\p{L}\p{N}])\s*:?\s*/iuy;

/** Reads the value at `valueAt` for every point of the label. */
function readAt(text: string, at: number, valueAt: number, label: Label): Clause | undefined {
  const point = label.points[0];
  if (point === undefined) return undefined;
  LEADING_WORD.lastIndex = valueAt;
  const leading = isDigit(text, valueAt) ? null : LEADING_WORD.exec(text);
  const said = leading?.[1]?.toLowerCase().split(/\s/)[0];
  if (said === 'at' || said?.startsWith('set'))
    return readSetting(text, at, valueAt + (leading?.[0].length ?? 0), label);
  const from = valueAt + (leading?.[0].length ?? 0);
  // Bare numbers of two halves are ohms, though one number at a winding is volts.
  const areHalves = pairQuantity(point) === 'halves' && HALVES.test(text.slice(from, from + 24));
  const bareUnit = areHalves ? 'Ohm' : bareUnitFor(said, point, label.to);
  const scanned =
    scanVoltCode(text, from, point) ?? scanWritten(text, from, bareUnit, classAt(point, label.to));
  if (scanned === undefined || isRunOn(text, scanned.end)) return undefined;
  const { written } = scanned;
  if (point.kind === 'ref' && point.class === 'valve' && label.to === undefined && isBare(written)) {
    // `61+4.3mA` is the anode's and the screen's current; `331/322/19.4` says no electrode.
    const sum = scanSum(text, at, from, label);
    if (sum !== undefined) return sum;
    if (/^\s?[+/]\s?[\d.]/.test(text.slice(scanned.end, scanned.end + 4))) return undefined;
  }
  const named = label.to === undefined ? scanElectrodeBehind(text, scanned.end, point) : undefined;
  if (named !== undefined) {
    const points = label.points.flatMap((each): Point[] =>
      each.kind === 'ref' ? [terminalOf(each, named)] : [],
    );
    const again = readAt(text, at, valueAt, { points, to: undefined });
    return again === undefined ? undefined : { ...again, end: Math.max(again.end, named.valueAt) };
  }
  const doubt = said === undefined ? doubtOf(point, label.to, written) : undefined;
  const value: WrittenValue = doubt ?? written;
  const behind = scanBehind(text, scanned.end, label, value, said, bareUnit);
  const quantity = quantityFor(said, behind, point, label.to, value);
  if (quantity === undefined) return undefined;
  const pair = behind.second === undefined ? undefined : pairQuantity(point);
  if (behind.second !== undefined && pair === undefined) return undefined;
  const values = behind.second === undefined ? [value] : [value, behind.second];
  const span = { start: at, end: behind.end };
  const { asLeft, frequency, atVolts } = behind;
  const items = label.points.map((each) =>
    itemOf(each, label.to, pair ?? quantity, values, span, asLeft, frequency, atVolts),
  );
  const problems = ambiguities(asLeft === undefined ? values : [...values, asLeft]);
  if (isBare(value) && said === undefined && pair === undefined && isDefaultDoubtful(point, label.to)) {
    problems.push(unitMissing(point, value));
  }
  return { items, problems, end: behind.end };
}

const VOLT_CODE = /([-+]?\d{1,3})V(\d{1,2})(?![\p{L}\p{N}]|[.,]\d)/uy;

/** `19V4` at an electrode or rail is 19.4 V; on a whole valve `6V6` is a type. */
function scanVoltCode(text: string, at: number, point: Point): ReturnType<typeof scanWritten> {
  if (point.kind === 'ref') return undefined;
  VOLT_CODE.lastIndex = at;
  const found = VOLT_CODE.exec(text);
  if (found === null) return undefined;
  const end = at + found[0].length;
  const meaning = `${found[1] ?? ''}.${found[2] ?? ''} V`;
  return { written: writtenAs(text, { start: at, end }, meaning, undefined, undefined), end };
}

const SUM = /(\d+(?:\.\d+)?)\s?\+\s?(\d+(?:\.\d+)?)\s?mA(?![\p{L}\p{N}])/iuy;

/** Two currents of a valve added up, as its cathode has them both. */
function scanSum(text: string, at: number, from: number, label: Label): Clause | undefined {
  SUM.lastIndex = from;
  const found = SUM.exec(text);
  if (found === null) return undefined;
  const end = from + found[0].length;
  const milliamperes = Number((Number(found[1]) + Number(found[2])).toFixed(6));
  const values = [writtenAs(text, { start: from, end }, `${milliamperes}mA`, undefined, undefined)];
  const span = { start: at, end };
  const items = label.points.map((point) => itemOf(point, undefined, 'current', values, span));
  return { items, problems: [], end };
}

/** Letters right behind a number that are no unit: not a reading but a name (`6V6GT`). */
function isRunOn(text: string, end: number): boolean {
  return /[\p{L}\p{N}_]/u.test(text.charAt(end)) && /[\p{L}\p{N}_]/u.test(text.charAt(end - 1));
}

function bareUnitFor(said: string | undefined, point: Point, to: Point | undefined) {
  if (said === 'esr' || said === 'dcr' || said === 'insulation') return 'Ohm';
  if (said === 'ripple' || said === 'hum' || said === 'across') return 'V';
  if (said === 'through') return 'A';
  return bareUnitAt(point, to);
}

function quantityFor(
  said: string | undefined,
  behind: Behind,
  point: Point,
  to: Point | undefined,
  value: WrittenValue,
): ReadingQuantity | undefined {
  const { isRipple } = behind;
  const quantity = quantityAt(point, to, value, behind.frequency !== undefined);
  if (said === 'esr') return quantity === undefined ? undefined : 'esr';
  if (said === 'insulation') return 'insulation';
  if (said === 'dcr') return 'resistance';
  if (isRipple || said === 'ripple' || said === 'hum') return quantity === undefined ? undefined : 'ripple';
  return quantity;
}

/** `850k / 150k` are a pot's arms, `138R + 124R` a winding's halves; nothing else has two values at once. */
function pairQuantity(point: Point): ReadingQuantity | undefined {
  if (point.kind !== 'ref') return undefined;
  if (point.class === 'potentiometer') return 'arms';
  if (['transformer', 'transformer-or-transistor', 'inductor', 'tank'].includes(point.class)) return 'halves';
  return undefined;
}

/** Units in which a bare number on such a part may have been meant. */
const UNITS_ASKED: Partial<Record<PartClass, readonly string[]>> = {
  inductor: ['R', ' H', ' mA'],
  fuse: ['R', ' A', ' mA'],
  relay: ['R', ' V', ' mA'],
  tank: ['R', ' mV'],
};

const UNIT_WORDS: Readonly<Record<string, string>> = {
  R: 'ohms',
  ' V': 'volts',
  ' mV': 'millivolts',
  ' A': 'amperes',
  ' mA': 'milliamperes',
  ' H': 'henries',
};

function unitMissing(point: Point, value: WrittenValue): WritingProblem {
  const span = spanOfWritten(value);
  const spelling = value.kind === 'value' ? value.value.spelling : value.spelling;
  const isOhms = bareUnitAt(point, undefined) === 'Ohm';
  const name = point.kind === 'ref' ? point.name : '';
  const units = UNITS_ASKED[point.kind === 'ref' ? point.class : 'other'] ?? ['R', ' V'];
  const first = isOhms ? 'R' : ' V';
  return {
    kind: 'unit-missing',
    span,
    message: `${name}: ${spelling} has no unit; it is taken as ${isOhms ? 'ohms' : 'volts'}`,
    // What it is taken as comes first.
    offers: [first, ...units.filter((unit) => unit !== first)].map((unit) => ({
      saying: `${spelling} ${UNIT_WORDS[unit] ?? unit}`,
      edit: { span, text: `${spelling}${unit}` },
    })),
  };
}

/** `VR2: at 3`: where a pot stands. */
function readSetting(text: string, at: number, valueAt: number, label: Label): Clause | undefined {
  const point = label.points[0];
  if (point?.kind !== 'ref' || (point.class !== 'potentiometer' && point.class !== 'switch'))
    return undefined;
  const scanned = scanWritten(text, valueAt, '1', undefined);
  if (scanned?.written.kind !== 'value' || scanned.written.value.quantity.unit !== '1') return undefined;
  const span = { start: at, end: scanned.end };
  const items = label.points.map((each) => itemOf(each, undefined, 'setting', [scanned.written], span));
  return { items, problems: [], end: scanned.end };
}

interface Behind {
  readonly end: number;
  readonly second: WrittenValue | undefined;
  readonly asLeft: WrittenValue | undefined;
  readonly frequency: Quantity<'Hz'> | undefined;
  readonly atVolts: Quantity<'V'> | undefined;
  readonly isRipple: boolean;
}

/** What stands behind a value and belongs to it: a second arm, the frequency, the test volts, the value as left. */
function scanBehind(
  text: string,
  from: number,
  label: Label,
  value: WrittenValue,
  said: string | undefined,
  bareUnit: ReturnType<typeof bareUnitAt>,
): Behind {
  const point = label.points[0];
  let end = from;
  let second: WrittenValue | undefined;
  let asLeft: WrittenValue | undefined;
  let frequency: Quantity<'Hz'> | undefined;
  let atVolts: Quantity<'V'> | undefined;
  let isRipple = false;
  if (end >= text.length) return { end, second, asLeft, frequency, atVolts, isRipple };
  const scanAt = (at: number, unitOfBare = true) =>
    point === undefined
      ? undefined
      : scanWritten(text, at, unitOfBare ? bareUnit : undefined, classAt(point, label.to));
  const pair = /^\s*([/+])\s*(?=[\d.~])/.exec(text.slice(end, end + 8));
  if (pair !== null && point !== undefined && pairQuantity(point) !== undefined) {
    const found = scanAt(end + pair[0].length);
    if (found !== undefined) {
      second = found.written;
      end = found.end;
    }
  }
  for (let words = 0; words < 4 && end < text.length; words++) {
    const ripple = /^\s+(?:of\s+)?(?:ripple|hum)(?![\p{L}\p{N}])/u.exec(text.slice(end, end + 14));
    if (ripple !== null) {
      isRipple = true;
      end += ripple[0].length;
      continue;
    }
    const arrow = asLeft === undefined ? arrowBehind(said).exec(text.slice(end, end + 24)) : null;
    if (arrow !== null) {
      const found = scanAt(end + arrow[0].length);
      if (found === undefined || isRunOn(text, found.end)) break;
      asLeft = found.written;
      end = found.end;
      continue;
    }
    const measure = /^\s*(?:(at|@)\s*|\s)(?=[\d.~])/.exec(text.slice(end, end + 8));
    if (measure === null) break;
    const found = scanWritten(text, end + measure[0].length, undefined, undefined);
    if (found?.written.kind !== 'value') break;
    const { unit, value: number } = found.written.value.quantity;
    if (unit === 'Hz' && frequency === undefined && unitIs(value) !== 'Hz') {
      frequency = { value: number, unit };
    } else if (unit === 'V' && measure[1] !== undefined && atVolts === undefined && unitIs(value) !== 'V') {
      atVolts = { value: number, unit };
    } else break;
    end = found.end;
  }
  return { end, second, asLeft, frequency, atVolts, isRipple };
}

/** The arrow between what was read first and last, and the words that say the same: `was 100k, now 120k`, `from … to …`. */
function arrowBehind(said: string | undefined): RegExp {
  if (said === 'was' || said === 'used') return ARROW_OR_NOW;
  return said === 'from' ? ARROW_OR_TO : ARROW;
}

const ARROW = /^\s*->\s*/;
const ARROW_OR_TO = /^\s*->\s*|^\s+to\s+/;
const ARROW_OR_NOW = /^\s*->\s*|^\s*,?\s*(?:and\s+|is\s+|it\s+is\s+)?now\s+(?:is\s+|reads\s+)?/;

export function unitIs(value: WrittenValue) {
  return value.kind === 'value' ? value.value.quantity.unit : undefined;
}
