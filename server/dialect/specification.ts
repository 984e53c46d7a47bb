/**
 * Owns the reading of what is fitted: values, ratings, kinds and types behind `=` and `->`, word by word. The class of
 * the part decides what a word may be: a valve's word is a type (`6K6`), a resistor's never.
 */
import { isVoltageRating } from '../catalogue/standard-ratings.ts';
import type { Span } from '../text/span.ts';
import type { Unit } from '../units/si.ts';
import { isDigit } from '../units/sticky.ts';
import type { WrittenValue } from '../units/value.ts';
import { scanDate } from './date.ts';
import { addRating, createDraft, type Draft, finishDraft, word } from './draft.ts';
import { foldInPlace, unfold } from './folding.ts';
import { scanFuseBody, scanFuseSpeed, scanFuseStamp } from './fuse.ts';
import { skipGap } from './gaps.ts';
import { scanPoint } from './points.ts';
import { scanTransformerItem } from './transformer.ts';
import type { PartClass, Rating, Specification, Word, WritingProblem } from './tree.ts';
import { isKindWord } from './vocabulary.ts';
import { ambiguities, scanWritten, unitOf, writtenAs } from './written.ts';

/** The unit of a bare number that is the part's main value. */
function mainUnit(partClass: PartClass): Unit | undefined {
  switch (partClass) {
    case 'resistor':
    case 'potentiometer':
    case 'thermistor':
    case 'loudspeaker':
    case 'tank':
      return 'Ohm';
    case 'capacitor':
      return 'F';
    case 'inductor':
      return 'H';
    case 'fuse':
      return 'A';
    case 'battery':
      return 'V';
    default:
      return undefined;
  }
}

const TYPED: ReadonlySet<PartClass> = new Set([
  'valve',
  'diode',
  'transistor',
  'integrated-circuit',
  'transformer-or-transistor',
  'thermistor',
  'lamp',
  'connector',
  'switch',
  'relay',
  'tank',
  'loudspeaker',
  'transformer',
  'inductor',
  'other',
]);

/** Classes whose first word is a type even where it is only digits (`5881`) or reads as a value (`6V6`). */
const TYPE_FIRST: ReadonlySet<PartClass> = new Set(['valve', 'diode', 'transistor', 'integrated-circuit']);

const TYPE = /[A-Z0-9][A-Za-z0-9]*(?:[-/.][A-Za-z0-9]+)*(?:\s?\([A-Z0-9]+\))?/uy;

/**
 * The next word of the specification at `at`, added to the draft; the offset behind it, or undefined if what stands
 * there is no such word.
 */
export function scanSpecificationItem(text: string, at: number, draft: Draft): number | undefined {
  const end =
    scanLead(text, at, draft) ??
    scanFuseBody(text, at, draft) ??
    scanFuseSpeed(text, at, draft) ??
    scanFuseStamp(text, at, draft) ??
    scanDate(text, at, draft) ??
    scanTransformer(text, at, draft) ??
    scanType(text, at, draft) ??
    scanTaper(text, at, draft) ??
    scanSize(text, at, draft) ??
    scanSections(text, at, draft) ??
    scanRatingForms(text, at, draft) ??
    scanMeasure(text, at, draft) ??
    scanKind(text, at, draft) ??
    scanLateType(text, at, draft);
  if (end === undefined || end <= at) return undefined;
  draft.span = { start: draft.span?.start ?? at, end };
  return end;
}

const CORES =
  /(?:(two|2|three|3)[- ]?(core|pin|prong|wire|conductor)|(class) ?(ii?|[12])|lead|cord|cable|flex|unearthed|ungrounded)(?![\p{L}\p{N}_-])/iuy;

/** What a lead, plug or inlet is said to be: its conductors (`2-core` is `two-core`), its class of protection (`class 2` is `class ii`). */
function scanLead(text: string, at: number, draft: Draft): number | undefined {
  if (draft.partClass !== 'connector' && draft.partClass !== 'other') return undefined;
  CORES.lastIndex = at;
  const found = CORES.exec(text);
  if (found === null) return undefined;
  const [all, number, conductor, isClass, protection] = found;
  const end = at + all.length;
  let kind = all.toLowerCase();
  if (number !== undefined) {
    kind = `${/^(?:two|2)$/i.test(number) ? 'two' : 'three'}-${(conductor ?? '').toLowerCase()}`;
  } else if (isClass !== undefined) {
    kind = /^(?:ii|2)$/i.test(protection ?? '') ? 'class ii' : 'class i';
  }
  draft.kinds.push({ text: kind, span: { start: at, end } });
  return end;
}

function scanTransformer(text: string, at: number, draft: Draft): number | undefined {
  if (
    draft.partClass !== 'transformer' &&
    draft.partClass !== 'transformer-or-transistor' &&
    draft.partClass !== 'tank'
  ) {
    return undefined;
  }
  return scanTransformerItem(text, at, draft);
}

function scanType(text: string, at: number, draft: Draft): number | undefined {
  if (!TYPE_FIRST.has(draft.partClass) || draft.type !== undefined) return undefined;
  return typeAt(text, at, draft);
}

/** A type behind the values, for parts whose words are first read as values (`LS1 = 8R G12`). */
function scanLateType(text: string, at: number, draft: Draft): number | undefined {
  if (!TYPED.has(draft.partClass) || draft.type !== undefined) return undefined;
  // Where a type is not looked for first, a point's spelling is a point.
  if (scanPoint(text, at, { free: false, gap: false, hyphenSection: true }) !== undefined) return undefined;
  return typeAt(text, at, draft);
}

/** `ECC 83` and `12 AX 7`, as European publications and some hands part them. */
const PARTED_TYPE =
  /(?:(?:[EPU](?:ABC|CC|CF|CH|CL|F|L|M|Y|Z)|GZ|GY|KT) ?\d{1,3}[A-Z]{0,2}|\d{1,2} [A-Z]{2} ?\d[A-Z]{0,2})(?![\p{L}\p{N}_.-])/uy;

function typeAt(text: string, at: number, draft: Draft): number | undefined {
  PARTED_TYPE.lastIndex = at;
  const parted = draft.partClass === 'valve' ? PARTED_TYPE.exec(text) : null;
  if (parted?.[0].includes(' ') === true) {
    draft.type = word(text, at, at + parted[0].length);
    return at + parted[0].length;
  }
  TYPE.lastIndex = at;
  const found = TYPE.exec(text);
  if (found === null || !/\d/.test(found[0])) return undefined;
  const end = at + found[0].length;
  if (/[\p{L}\p{N}_]/u.test(text.charAt(end))) return undefined;
  // 12V on a zener is its volts, 30W on a loudspeaker its watts.
  if (draft.partClass !== 'valve' && /^\d+(?:\.\d+)?\s?(?:m?[VAW]|Hz)$/.test(found[0])) return undefined;
  // `V5 -> V6 swap` names another valve, not a type.
  if (draft.partClass === 'valve' && /^V\d{1,2}[A-D]?$/.test(found[0])) return undefined;
  // `V5 3: 331` is what was read at a pin.
  if (draft.partClass === 'valve' && /^\d$/.test(found[0])) return undefined;
  if (draft.partClass === 'valve' && /^\d{1,3}(?:\.\d+)?[munpµk]?[VAW]$/.test(found[0])) return undefined;
  draft.type = word(text, at, end);
  return end;
}

const TAPER = /([ABC])(?=\d+(?:\.\d+)?[kKM](?![\p{L}\p{N}]))|(\d+(?:\.\d+)?[kKM])([ABC])(?![\p{L}\p{N}])/uy;

/** `A500k` and `500kA`: the taper's letter beside a pot's value. */
function scanTaper(text: string, at: number, draft: Draft): number | undefined {
  if (draft.partClass !== 'potentiometer' || draft.values.length > 0) return undefined;
  TAPER.lastIndex = at;
  const found = TAPER.exec(text);
  if (found === null) return undefined;
  if (found[1] !== undefined) {
    draft.kinds.push(word(text, at, at + 1));
    return at + 1;
  }
  const value = found[2] ?? '';
  const end = at + found[0].length;
  draft.values.push(writtenAs(text, { start: at, end: at + value.length }, value, 'Ohm', 'potentiometer'));
  draft.kinds.push(word(text, end - 1, end));
  return end;
}

const SECTIONS =
  /((?:\d*\.)?\d+)(?:\s?([+/])\s?((?:\d*\.)?\d+))(?:\s?\2\s?((?:\d*\.)?\d+))?(?:\s?\2\s?((?:\d*\.)?\d+))?\s?([munpµμ]?F|MFD|mfd|MF|mmf)?(?![\p{L}\p{N}])/uy;

/** `32+32uF`, `50/50 @ 500V` (sections) and `16/450` (value and volts). */
function scanSections(text: string, at: number, draft: Draft): number | undefined {
  if (draft.partClass !== 'capacitor' || draft.values.length > 0) return undefined;
  SECTIONS.lastIndex = at;
  const found = SECTIONS.exec(text);
  if (found === null) return undefined;
  const numbers = [found[1], found[3], found[4], found[5]].filter((each) => each !== undefined);
  const end = at + found[0].length;
  const unit = found[6] ?? 'uF';
  const spans: Span[] = [];
  let from = at;
  for (const number of numbers) {
    const start = text.indexOf(number, from);
    spans.push({ start, end: start + number.length });
    from = start + number.length;
  }
  const last = numbers[numbers.length - 1] ?? '';
  const largest = Math.max(...numbers.slice(0, -1).map(Number));
  const hasVoltsBehind = /^\s?(?:@|,|at\s)?\s?\d+(?:\.\d+)?\s?[Vv]/.test(text.slice(end, end + 14));
  const lastIsVolts =
    found[2] === '/' &&
    found[6] === undefined &&
    !hasVoltsBehind &&
    Number(last) >= 6 &&
    Number(last) > 2 * largest;
  // `25/25`: as likely 25 µF for 25 V as a can of two sections.
  const isEither =
    numbers.length === 2 && found[2] === '/' && found[6] === undefined && !hasVoltsBehind && !lastIsVolts;
  if (isEither && isVoltageRating(Number(last))) {
    draft.values.push(eitherVoltsOrSection(text, { start: at, end }, numbers[0] ?? '', last));
    draft.problems.push(...ambiguities(draft.values));
    return end;
  }
  numbers.forEach((number, i) => {
    const span = spans[i];
    if (span === undefined) return;
    if (lastIsVolts && i === numbers.length - 1) {
      const value = writtenAs(text, span, `${number}V`, 'V', 'capacitor');
      draft.ratings.push({ of: 'voltage', value: unwritten(value), text: number, span });
    } else {
      const value = writtenAs(text, span, number + unit, 'F', 'capacitor');
      draft.values.push(found[6] === undefined ? unwritten(value) : value);
    }
  });
  return scanSlashRating(text, end, draft) ?? end;
}

function eitherVoltsOrSection(text: string, span: Span, first: string, last: string): WrittenValue {
  const farads = (number: string) => ({ value: Number(`${number}e-6`), unit: 'F' }) as const;
  return {
    kind: 'ambiguous',
    meanings: [
      {
        saying: `${first} µF for ${last} V`,
        values: [farads(first), { value: Number(last), unit: 'V' }],
        plainly: `${first}uF ${last}V`,
      },
      {
        saying: `two sections, ${first} µF and ${last} µF`,
        values: [farads(first), farads(last)],
        plainly: `${first}+${last}uF`,
      },
    ],
    because: 'a number behind the slash may be its volts or another section',
    spelling: text.slice(span.start, span.end),
    span,
  };
}

/** The same value with the unit marked as supplied by us. */
function unwritten(value: WrittenValue): WrittenValue {
  return value.kind === 'value' ? { kind: 'value', value: { ...value.value, unitWritten: false } } : value;
}

const FRACTION = /(\d)\/(\d{1,2})\s?(?:W(?:atts?)?|w(?:atts?)?)(?![\p{L}\p{N}])/uy;
const WORKING = /(\d+(?:\.\d+)?)\s?(?:W\.?V\.?(?:D\.?C\.?)?|wv(?:dc)?|VDCW|vdcw|DCWV)(?![\p{L}\p{N}])/uy;
const TEMPERATURE = /(\d{2,3})\s?(?:°\s?C?|deg\s?C|C)(?![\p{L}\p{N}])/uy;
const TOLERANCE = /(?:±|\+\/-|\+-|\+\s?\/\s?-)?\s?(\d+(?:\.\d+)?)\s?%/uy;

/** Ratings with spellings of their own: `1/2W`, `450WV`, `105C`, `±5%`. */
function scanRatingForms(text: string, at: number, draft: Draft): number | undefined {
  if (/[A-Za-z]/.test(text.charAt(at)) || !mayBeRating(text, at)) return undefined;
  FRACTION.lastIndex = at;
  const fraction = FRACTION.exec(text);
  if (fraction !== null && Number(fraction[2]) > 0) {
    const watts = Number(fraction[1]) / Number(fraction[2]);
    return addRating(draft, 'power', text, at, at + fraction[0].length, `${watts}W`);
  }
  WORKING.lastIndex = at;
  const working = WORKING.exec(text);
  if (working !== null)
    return addRating(draft, 'voltage', text, at, at + working[0].length, `${working[1]}V`);
  TOLERANCE.lastIndex = at;
  const tolerance = TOLERANCE.exec(text);
  if (tolerance !== null) {
    return addRating(draft, 'tolerance', text, at, at + tolerance[0].length, `${tolerance[1]}%`);
  }
  TEMPERATURE.lastIndex = at;
  const temperature = TEMPERATURE.exec(text);
  if (temperature !== null && draft.partClass !== 'valve') {
    return addRating(draft, 'temperature', text, at, at + temperature[0].length, `${temperature[1]}°C`);
  }
  return undefined;
}

/** Whether what stands behind a number may be the sign or letter of such a rating. */
function mayBeRating(text: string, at: number): boolean {
  if (!isDigit(text, at)) return true;
  let end = at;
  while (isDigit(text, end) || text.charAt(end) === '.') end++;
  if (/\s/.test(text.charAt(end))) end++;
  return /[/WwVvD%°dC]/.test(text.charAt(end));
}

/** A number with its unit; in front of it an `@`, behind it perhaps a slash and a rating. */
function scanMeasure(text: string, at: number, draft: Draft): number | undefined {
  const from = text.charAt(at) === '@' ? (/^@\s?/.exec(text.slice(at, at + 2))?.[0].length ?? 0) : 0;
  const bareUnit = draft.values.length === 0 && from === 0 ? mainUnit(draft.partClass) : bareRating(draft);
  const scanned = scanWritten(text, at + from, bareUnit, draft.partClass);
  if (scanned === undefined) return undefined;
  if (!addMeasure(text, scanned.written, { start: at + from, end: scanned.end }, draft)) return undefined;
  return scanSlashRating(text, scanned.end, draft) ?? scanned.end;
}

/** `470/2W`, `16uF/450V`, `32+32uF/350V`: what stands behind the slash is a rating. */
function scanSlashRating(text: string, at: number, draft: Draft): number | undefined {
  if (text.charAt(at) !== '/' || !/[\d.]/.test(text.charAt(at + 1))) return undefined;
  const rating = scanWritten(text, at + 1, bareRating(draft), draft.partClass);
  if (rating === undefined) return undefined;
  const span = { start: at + 1, end: rating.end };
  return addMeasure(text, rating.written, span, draft) ? rating.end : undefined;
}

/** What a second bare number is: volts on a capacitor (`22n 400`), watts on a resistor (`470R/2`). */
function bareRating(draft: Draft): Unit | undefined {
  if (draft.partClass === 'capacitor') return 'V';
  if (draft.partClass === 'resistor') return 'W';
  return undefined;
}

/** Files a value under what its unit makes it on this class of part; false if it has no business there. */
function addMeasure(text: string, written: WrittenValue, span: Span, draft: Draft): boolean {
  const rate = (of: Rating['of']): true => {
    draft.ratings.push({ of, value: written, text: text.slice(span.start, span.end), span });
    return true;
  };
  if (written.kind === 'ambiguous') {
    draft.values.push(written);
    draft.problems.push(...ambiguities([written]));
    return true;
  }
  const unit = unitOf(written);
  if (unit === undefined) return false;
  if (unit === mainUnit(draft.partClass)) {
    draft.values.push(written);
    return true;
  }
  switch (unit) {
    case 'V':
      return rate('voltage');
    case 'W':
      return rate('power');
    case 'A':
      return rate('current');
    case 'degC':
      return rate('temperature');
    case 'Ohm':
      if (draft.partClass === 'valve') return false;
      if (draft.partClass !== 'inductor') return rate('impedance');
      // A choke's ohms are those of its wire: its second value.
      draft.values.push(written);
      return true;
    case '1':
      return text.slice(span.start, span.end).includes('%') ? rate('tolerance') : false;
    case 'H':
    case 'F':
      // The inductance of a transformer or the capacitance of a diode: kept, nothing is made of it.
      draft.values.push(written);
      return true;
    default:
      return false;
  }
}

const PLAIN_WORD = /[A-Za-z][A-Za-z0-9]*(?:-[A-Za-z0-9]+)*/y;
const SIZE = /(?:\d\s?x\s?)?\d{1,2}(?:\.\d)?\s?(?:"|in(?:ch)?)(?![\p{L}\p{N}])/uy;

/** The diameter of a loudspeaker, which is a kind: nothing is computed from it. */
function scanSize(text: string, at: number, draft: Draft): number | undefined {
  if (draft.partClass !== 'loudspeaker') return undefined;
  SIZE.lastIndex = at;
  const size = SIZE.exec(text);
  if (size === null) return undefined;
  draft.kinds.push(word(text, at, at + size[0].length));
  return at + size[0].length;
}

function scanKind(text: string, at: number, draft: Draft): number | undefined {
  PLAIN_WORD.lastIndex = at;
  const found = PLAIN_WORD.exec(text);
  if (found === null || !isKindWord(found[0])) return undefined;
  const end = at + found[0].length;
  if (/[\p{L}\p{N}_.]/u.test(text.charAt(end)) && !/^\.(?:\s|$)/.test(text.slice(end, end + 2)))
    return undefined;
  draft.kinds.push({ text: found[0].toLowerCase(), span: { start: at, end } });
  return end;
}

/** Words that join clauses; none of them is a kind, and a connection that lacks one of its ends must not turn into kinds. */
const JOINTS: ReadonlySet<string> = new Set(
  'to too from across at on off in with for by of the was is now not as if then and or but see'.split(' '),
);

/** A maker's initials (`F&T`). */
const INITIALS = /[A-Z](?:\s?[&+]\s?[A-Z])+(?![\p{L}\p{N}_])/uy;

/** A word that is no known kind: `orange`, a maker's name. The caller decides whether it is a kind or a remark. */
export function scanUnknownWord(text: string, at: number): Word | undefined {
  INITIALS.lastIndex = at;
  const initials = INITIALS.exec(text);
  if (initials !== null) return word(text, at, at + initials[0].length);
  PLAIN_WORD.lastIndex = at;
  const found = PLAIN_WORD.exec(text);
  // A maker's name, in small letters or as its initials.
  if (found === null || found[0].length < 2 || !/^(?:[A-Za-z][a-z-]*|[A-Z]{2,4})$/.test(found[0]))
    return undefined;
  if (scanPoint(text, at, { free: false, gap: false, hyphenSection: true }) !== undefined) return undefined;
  if (JOINTS.has(found[0].toLowerCase())) return undefined;
  const end = at + found[0].length;
  if (/[\p{L}\p{N}_:=>]/u.test(text.charAt(end)) || /^\.\S/.test(text.slice(end, end + 2))) return undefined;
  return word(text, at, end);
}

/** What was read of a specification alone, such as a cell of a parts list. */
export interface SpecificationRead {
  readonly specification: Specification;
  /** What stands behind and is no part of it. */
  readonly remark?: Word;
  readonly problems: readonly WritingProblem[];
}

/** The specification that a stretch of the sheet says by itself (a Value, Rating, Kind, Was or Now cell). */
export function readSpecification(
  partClass: PartClass,
  sheetText: string,
  span: Span,
): SpecificationRead | undefined {
  const folded = foldInPlace(sheetText, span);
  const { text } = folded;
  const draft = createDraft(partClass);
  let at = skipGap(text, folded.from);
  while (at < text.length) {
    const end = scanSpecificationItem(text, at, draft) ?? unknownKind(text, at, draft);
    if (end === undefined) break;
    at = skipGap(text, end);
  }
  const specification = finishDraft(draft);
  if (specification === undefined) return undefined;
  const rest = text.slice(at).trimEnd();
  const remark = rest === '' ? undefined : word(text, at, at + rest.length);
  return unfold({ specification, remark, problems: draft.problems }, folded);
}

function unknownKind(text: string, at: number, draft: Draft): number | undefined {
  const unknown = scanUnknownWord(text, at);
  if (unknown === undefined) return undefined;
  draft.kinds.push({ text: unknown.text.toLowerCase(), span: unknown.span });
  draft.span = { start: draft.span?.start ?? at, end: unknown.span.end };
  return unknown.span.end;
}
