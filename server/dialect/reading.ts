/**
 * Owns the reading of what the meter said: the clauses behind a label's colon, one after the other. What one clause says is
 * `reading-clause.ts`, a chart's cell `reading-cell.ts`.
 */
import { isVoltageRating } from '../catalogue/standard-ratings.ts';
import { skipSpace } from './gaps.ts';
import { scanPoint, scanTerminal } from './points.ts';
import { type Label, scanClause } from './reading-clause.ts';
import type { Body } from './said.ts';
import type { ReadingItem, ReadingQuantity, Ref, Specification, WritingProblem } from './tree.ts';

/** The body of a statement of readings. They are many, and made in one place. */
export function readingOf(
  items: readonly ReadingItem[],
  refs: readonly Ref[] = [],
  type?: Specification,
  states?: Extract<Body, { kind: 'reading' }>['states'],
): Body {
  return { kind: 'reading', items, refs, type, states };
}

export interface ScannedReadings {
  readonly items: readonly ReadingItem[];
  readonly problems: readonly WritingProblem[];
  readonly end: number;
}

/** The readings that begin at `at`, to the last clause that reads; undefined if not even the first does. */
export function scanReadings(text: string, at: number, label: Label): ScannedReadings | undefined {
  const scanned = scanClauses(text, at, label);
  return scanned.items.length === 0 ? undefined : scanned;
}

/** The end of what stands for readings that are still to be taken (`? V`, `a ?, k ?`); undefined where anything was read. */
export function scanUnread(text: string, at: number, label: Label): number | undefined {
  const { items, end } = scanClauses(text, at, label);
  return items.length === 0 && end > at ? end : undefined;
}

function scanClauses(text: string, at: number, label: Label): ScannedReadings {
  const items: ReadingItem[] = [];
  const problems: WritingProblem[] = [];
  let current = label;
  let end = at;
  let from = skipSpace(text, at);
  for (;;) {
    const relabelled = end > at ? scanLabel(text, from) : undefined;
    // `a 331 was 340`: what it was is said of the reading before it, and no reading of its own.
    if (items.length > 0 && /^(?:was|used)\s/.test(text.slice(from, from + 5))) break;
    const skipped =
      relabelled === undefined
        ? scanNotRead(text, from, current)
        : scanNotRead(text, skipSpace(text, relabelled.end), relabelled.label);
    if (skipped !== undefined) {
      if (relabelled !== undefined) current = relabelled.label;
      end = skipped;
    } else {
      const found =
        relabelled === undefined
          ? scanClause(text, from, current)
          : scanClause(text, skipSpace(text, relabelled.end), relabelled.label);
      if (found === undefined) break;
      // `OT sec 0.3R / 0.4R`: the second is of no winding that is named, and not of the whole.
      if (relabelled === undefined && isUnnamedWinding(found.items, items)) break;
      if (relabelled !== undefined) current = relabelled.label;
      items.push(...found.items);
      problems.push(...found.problems);
      end = found.end;
    }
    const separator = end < text.length ? SEPARATOR.exec(text.slice(end, end + 12)) : null;
    if (separator === null) break;
    from = end + separator[0].length;
  }
  if (!items.some((item) => isOfCapacitor(item, 'capacitance'))) return { items, problems, end };
  return withoutRatings(text, at, items, problems, end);
}

function isUnnamedWinding(found: readonly ReadingItem[], before: readonly ReadingItem[]): boolean {
  const of = (item: ReadingItem | undefined) => item?.at.kind === 'terminal' && item.at.by === 'name';
  const [first] = found;
  return first?.at.kind === 'ref' && first.at.class === 'transformer' && of(before.at(-1));
}

/** `C21: 47uF, 500V`: volts that capacitors are sold for, beside farads, are as likely its rating as a reading; no reading is made of them. */
function withoutRatings(
  text: string,
  at: number,
  items: readonly ReadingItem[],
  problems: readonly WritingProblem[],
  end: number,
): ScannedReadings {
  const asked: WritingProblem[] = [];
  const kept = items.filter((item) => {
    const [value] = item.values;
    // With a word before it (`across 350 V`) it says itself what it is.
    const isPlain = value?.kind === 'value' && value.value.span.start === item.span.start;
    // Without a comma the two are one specification, and the colon a slip for “=”.
    const isClause = /,\s*$/.test(text.slice(at, item.span.start));
    if (
      !isPlain ||
      !isClause ||
      !isOfCapacitor(item, 'voltage') ||
      !isVoltageRating(value.value.quantity.value)
    )
      return true;
    const { spelling, span } = value.value;
    const sign = signBefore(text, at);
    const name = item.at.kind === 'ref' ? item.at.name : '';
    asked.push({
      kind: 'value-ambiguous',
      span,
      message: `${spelling} may be what ${name} is rated for or what was read across it; nothing is made of it until you say`,
      offers: [
        { saying: `${spelling} read across it`, edit: { span, text: `across ${spelling}` } },
        ...(sign < 0
          ? []
          : [{ saying: 'what is fitted', edit: { span: { start: sign, end: sign + 1 }, text: ' =' } }]),
      ],
    });
    return false;
  });
  return { items: kept, problems: [...problems, ...asked], end };
}

function isOfCapacitor({ at, to, quantity }: ReadingItem, of: ReadingQuantity): boolean {
  return quantity === of && at.kind === 'ref' && at.class === 'capacitor' && to === undefined;
}

/** The colon before what was read; one of another line, or of a footnote's label before an item, is none of it. */
function signBefore(text: string, at: number): number {
  const line = Math.max(text.lastIndexOf('\n', at), text.lastIndexOf('\r', at));
  const sign = text.lastIndexOf(':', at);
  return sign > line && text.charAt(sign - 1) !== ']' ? sign : -1;
}

const SEPARATOR = /^(?:\s*[,;]\s*(?:and\s+)?|\s+\/\s+|\s*\/\s*(?=[A-Za-z])|\s+(?:and|with)\s+|\s+)/;

/** A label in the midst of readings: `B+1: 4 V, B+2: 2 V`. */
function scanLabel(text: string, at: number): { readonly label: Label; readonly end: number } | undefined {
  const first = scanPoint(text, at);
  if (first === undefined) return undefined;
  const to = /^\s+to\s+/.exec(text.slice(first.end, first.end + 8));
  const second = to === null ? undefined : scanPoint(text, first.end + to[0].length);
  const end = second?.end ?? first.end;
  // `B+1: 352, B+2 338`: a rail and an electrode by its full name need no colon before a number.
  const isSure =
    first.point.kind === 'terminal' || (first.point.kind === 'node' && first.point.nature === 'rail');
  const colon = (isSure ? /^\s*:|^\s+(?=[-+~<>]?[\d.])/ : /^\s*:/).exec(text.slice(end, end + 8));
  if (colon === null) return undefined;
  return { label: { points: [first.point], to: second?.point }, end: end + colon[0].length };
}

/** `?` may have the unit beside it in which it is to be read: `? V`, `? mA`. */
const NOT_READ =
  /(?:[-–—]|\?(?:\s?[pnuµmkM]?(?:V(?:rms|pp|ac|dc)?|A|R|Ω|ohms?|F|H|Hz|W)(?![\p{L}\p{N}]))?|n\/a|not read)(?=\s*(?:$|[,;]))/iuy;

/** Nothing read here, or at this electrode: `?`, `a -, k 19.4`. */
function scanNotRead(text: string, at: number, label: Label): number | undefined {
  const point = label.points[0];
  const terminal = point?.kind === 'ref' ? scanTerminal(text, at, point.class) : undefined;
  const from = terminal === undefined ? at : skipSpace(text, terminal.end);
  NOT_READ.lastIndex = from;
  const found = NOT_READ.exec(text);
  return found === null ? undefined : from + found[0].length;
}
