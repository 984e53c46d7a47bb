/**
 * Owns the grammar of one statement: a label, a sign (`=`, `:`, `->`) and what stands behind it, read into what the tag
 * says. Where it stops reading is the caller's to judge: an error in braces, the start of a remark in a list item.
 */
import type { WrittenValue } from '../units/value.ts';
import { isLooseReading, isPlainlyFitted, isRatedInWatts, isSpecification } from './colon.ts';
import { createDraft, finishDraft, hasSubstance } from './draft.ts';
import { expectedIn, terminalsOf, wants, wantsReading } from './expectations.ts';
import { isClauseEnd, type Manner, readFitting } from './fitting.ts';
import { skipGap, skipSpace } from './gaps.ts';
import { readAccept, readKeep, readQuestion } from './keyword.ts';
import { nameOf, type ReadLabel, readLabel, refsOf } from './label.ts';
import { scanPoint } from './points.ts';
import { readingOf, scanReadings, scanUnread } from './reading.ts';
import type { Label } from './reading-clause.ts';
import { type Body, type Failure, failure, type Statement, statement } from './said.ts';
import { behindArrow, behindVerb, scanSign } from './signs.ts';
import { scanSpecificationItem } from './specification.ts';
import { readProvenance, readStates } from './state.ts';
import type { Connection, Point, ReadingItem, Ref, Specification, Word, WritingProblem } from './tree.ts';
import { scanWork } from './vocabulary.ts';

/** The statement that begins at `at` and ends before `end`; undefined if nothing there opens one. */
export function readStatement(text: string, at: number, manner: Manner): Statement | Failure | undefined {
  const first = text.charAt(at);
  const question = first === '?' ? /^\?\s*(?=[^\s?])/.exec(text.slice(at, at + 80)) : null;
  if (question !== null) return readQuestion(text, at, question[0].length);
  const keyword =
    first === 'a' || first === 'k' ? /^(accept|keep)(?=\s|$|:)/.exec(text.slice(at, at + 8)) : null;
  if (keyword !== null) {
    return keyword[1] === 'accept' ? readAccept(text, at) : readKeep(text, at);
  }
  const verbFirst = manner.isItem ? readVerbFirst(text, at, manner) : undefined;
  if (verbFirst !== undefined) return verbFirst;
  const label = readLabel(text, at);
  return label === undefined ? undefined : readLabelled(text, label, manner);
}

/** `replaced C1-C4 w/ 22uF/500V`, `changed R17 from 470R to 1k 5W`: a change whose verb stands before the parts. */
function readVerbFirst(text: string, at: number, manner: Manner): Statement | undefined {
  const verb = /^(?:replaced|renewed|changed)\s+(?=[A-Z]{1,3}\d)/i.exec(text.slice(at, at + 16));
  const label = verb === null ? undefined : readLabel(text, at + verb[0].length);
  const refs = label === undefined ? undefined : refsOf(label.points);
  if (label === undefined || refs === undefined || label.to !== undefined) return undefined;
  const from = /^\s+from(?=\s)/.exec(text.slice(label.end))?.[0].length ?? 0;
  const was = readFitting(text, label.end + from, refs, manner);
  const hasWas = was.specification !== undefined && was.connections.length === 0;
  const behind = behindVerb(text, hasWas ? was.end : label.end);
  if (behind === undefined) return undefined;
  const change = readChange(text, label, hasWas ? was.specification : undefined, [], behind, manner);
  // `replaced C1 with 47uF in 2011`: somebody's work of long ago is told, and none of this job.
  if (change?.kind !== 'statement' || LONG_AGO.test(text.slice(change.end))) return undefined;
  return change;
}

const LONG_AGO =
  /(?<![\p{L}\p{N}])(?:ago|previous(?:ly)?|before|earlier|last|once|(?:19|20)\d\d)(?![\p{L}\p{N}])/iu;

function readLabelled(text: string, label: ReadLabel, manner: Manner): Statement | Failure | undefined {
  const first = label.points[0];
  if (first === undefined) return undefined;
  const isFree = first.kind === 'node' && first.nature === 'free';
  const { sign, end: behind } = scanSign(text, label.end);
  const read = readBySign(text, label, sign, behind, manner);
  if (first.kind !== 'node' || (!isFree && !SOFT.has(first.name))) return read;
  // `tail`, `bias`, `earth` and their like are also words: without a whole reading or a wire they are only that.
  if (read?.kind !== 'statement') return undefined;
  const { body } = read;
  if (body.kind !== 'reading' && body.kind !== 'wire') return undefined;
  if (body.kind === 'wire' && isWord(body.to)) return undefined;
  if (body.kind === 'reading' && isFree && !body.items.every(isOfVolts)) return undefined;
  const hasUnits = body.kind === 'reading' && body.items.every((item) => item.values.every(isUnitWritten));
  if (!isWhole(text, read.end) && !(manner.isItem && hasUnits)) return undefined;
  return isFree
    ? statement(body, read.end, read.expected, read.problems, read.isLoose, first, read.conditions)
    : read;
}

/** A node that is spelled like any word: a wire between two of them is more likely a sentence. */
function isWord(point: Point): boolean {
  return point.kind === 'node' && (point.nature === 'free' || SOFT.has(point.name));
}

function isOfVolts({ quantity, to }: ReadingItem): boolean {
  return ['voltage', 'ac-voltage', 'ripple'].includes(quantity) || to !== undefined;
}

function isUnitWritten(written: WrittenValue): boolean {
  return written.kind === 'value' && written.value.unitWritten;
}

/** Ready-made nodes whose names are also plain words. */
const SOFT: ReadonlySet<string> = new Set(['chassis', 'earth', 'line', 'neutral', 'bias', 'heaters']);

function isWhole(text: string, end: number): boolean {
  return /^\s*[.,;]?\s*(?:$|\(|-\s)/.test(text.slice(end));
}

function readBySign(
  text: string,
  label: ReadLabel,
  sign: string | undefined,
  behind: number,
  manner: Manner,
): Statement | Failure | undefined {
  switch (sign) {
    case '=':
      return readEquals(text, label, behind, manner);
    case '->':
      return readChange(text, label, undefined, [], behind, manner);
    case ':':
      return readColon(text, label, behind, manner);
    default:
      return readUnsigned(text, label, manner);
  }
}

/** No sign: a mention, a type before its colon (`V5 6V6GT: a 331`), or a reading that lacks its colon (`B+1 352 V`). */
function readUnsigned(text: string, label: ReadLabel, manner: Manner): Statement | Failure | undefined {
  const rest = text.slice(label.end);
  const first = label.points[0];
  if (first === undefined) return undefined;
  const name = nameOf(text, label);
  if (/^\s*[.,;]?\s*$/.test(rest)) {
    if (label.to !== undefined)
      return failure(label.end, text.length, `${name} wants a colon and what was read: ${name}: 3.4 V`);
    return statement({ kind: 'mention', points: label.points }, label.end, '', []);
  }
  if (label.to !== undefined)
    return (
      readBetween(text, label) ??
      failure(label.end, text.length, `${name} wants a colon and what was read: ${name}: 3.4 V`)
    );
  const refs = refsOf(label.points);
  const typed = refs === undefined ? undefined : readTyped(text, label, refs);
  if (typed !== undefined) return typed;
  const listed = refs === undefined ? undefined : readListed(text, label, refs);
  if (listed !== undefined) return listed;
  const isSure =
    first.kind === 'terminal' ||
    (first.kind === 'node' && first.nature === 'rail') ||
    (first.kind === 'node' && first.name === 'mains' && !manner.isItem);
  // `B+(370V)`, as it is written beside a rail on a drawing.
  const bracketed = /^\([^()]+\)\s*$/.test(rest);
  if (isSure && bracketed) {
    const bare = `${text.slice(0, label.end)}${rest.replace(/[()]/g, ' ')}`;
    const readings = scanReadings(bare, label.end, { points: label.points, to: undefined });
    if (readings !== undefined && bare.slice(readings.end).trim() === '') {
      const body = readingOf(readings.items);
      return statement(body, text.length, 'the end', readings.problems);
    }
  }
  if (isSure) {
    const readings = scanReadings(text, label.end, { points: label.points, to: undefined });
    if (readings !== undefined) {
      return statement(readingOf(readings.items), readings.end, 'a comma or the end', readings.problems);
    }
  }
  const range = first.kind === 'ref' ? /^\s*-\s*[A-Z]{1,3}\d+/.exec(rest)?.[0] : undefined;
  if (range !== undefined) {
    const expected = `${name}${range} is no range: a range runs upwards within one class, as R4-R7`;
    return failure(label.start, label.end + range.length, expected);
  }
  if (first.kind === 'ref' && /^\.[A-Za-z0-9]/.test(rest)) {
    const written = /^\.[A-Za-z0-9]+/.exec(rest)?.[0] ?? '';
    return failure(label.end, label.end + written.length, `${name}${written}: ${terminalsOf(first.class)}`);
  }
  const fitting =
    refs === undefined || !/^\s/.test(rest) ? undefined : readFitting(text, label.end, refs, manner);
  const arrow = fitting?.specification === undefined ? undefined : behindArrow(text, fitting.end);
  if (fitting?.specification !== undefined && arrow !== undefined) {
    // `R31 470R 1W -> 470R 3W`: the arrow says that what stands before it was fitted.
    const { specification, problems, connections } = fitting;
    const change = readChange(text, label, specification, problems, arrow, manner, connections);
    if (change?.kind === 'statement') return change;
  }
  if (fitting?.specification !== undefined && isWhole(text, fitting.end)) {
    const at = skipSpace(text, label.end);
    const gap = { start: label.end, end: at };
    return {
      ...failure(
        at,
        text.length,
        `${name} wants a sign: “=” if this is fitted, “:” if it was read, “->” if it is new`,
      ),
      offers: [
        { saying: 'it is fitted', edit: { span: gap, text: ' = ' } },
        { saying: 'it is new', edit: { span: gap, text: ' -> ' } },
      ],
    };
  }
  if (/^\s*[.,;(]|^\s+-\s/.test(rest))
    return statement({ kind: 'mention', points: label.points }, label.end, '', []);
  return failure(
    skipSpace(text, label.end),
    text.length,
    `${name} stands alone, or before “=” (what is fitted), “:” (what was read) or “->” (what it is now)`,
  );
}

/** `earth to chassis 0.08R`: between two points that are no whole parts, a value with its unit can only have been read. */
function readBetween(text: string, label: ReadLabel): Statement | undefined {
  if ([...label.points, label.to].some((point) => point?.kind === 'ref')) return undefined;
  const readings = scanReadings(text, label.end, labelOf(label));
  if (readings === undefined || !isWhole(text, readings.end)) return undefined;
  const isPlain = readings.items.every(
    ({ quantity, values }) =>
      quantity !== 'capacitance' && values.every((each) => each.kind !== 'value' || isUnitWritten(each)),
  );
  if (!isPlain) return undefined;
  const body = readingOf(readings.items);
  return statement(body, readings.end, 'a comma or the end', readings.problems);
}

/** `V5 a 331, k 19.4`: electrodes and their numbers to the end, where only the colon is missing. */
function readListed(text: string, label: ReadLabel, refs: readonly Ref[]): Statement | undefined {
  if (!/^\s/.test(text.slice(label.end, label.end + 1))) return undefined;
  const readings = scanReadings(text, label.end, { points: refs, to: undefined });
  if (readings === undefined || !isWhole(text, readings.end)) return undefined;
  const [first] = readings.items;
  if (first?.at.kind !== 'terminal' && first?.quantity !== 'halves') return undefined;
  const body = readingOf(readings.items);
  return statement(body, readings.end, 'a comma or the end', readings.problems);
}

/** `V5 6V6GT: a 331, 38 mA`: fitted and read at once. */
function readTyped(text: string, label: ReadLabel, refs: readonly Ref[]): Statement | undefined {
  const colon = text.indexOf(':', label.end);
  const partClass = refs[0]?.class;
  if (colon < 0 || partClass === undefined || !/^\s/.test(text.slice(label.end, label.end + 1)))
    return undefined;
  const head = text.slice(0, colon);
  const draft = createDraft(partClass);
  let at = skipSpace(head, label.end);
  while (at < head.length) {
    const end = scanSpecificationItem(head, at, draft);
    if (end === undefined) return undefined;
    at = skipGap(head, end);
  }
  const specification = finishDraft(draft);
  if (specification === undefined || !hasSubstance(draft)) return undefined;
  // `V5 3: 331` is a pin, and no valve is a number of volts.
  if (partClass === 'valve' && specification.type === undefined) return undefined;
  const readings = scanReadings(text, colon + 1, { points: refs, to: undefined });
  if (readings === undefined) return undefined;
  return statement(readingOf(readings.items, refs, specification), readings.end, 'a comma or the end', [
    ...draft.problems,
    ...readings.problems,
  ]);
}

function readEquals(
  text: string,
  label: ReadLabel,
  behind: number,
  manner: Manner,
): Statement | Failure | undefined {
  const refs = refsOf(label.points);
  if (refs === undefined || label.to !== undefined) return readPointEquals(text, label, behind);
  const partClass = refs[0]?.class ?? 'other';
  const work = scanWork(text, behind);
  if (work !== undefined) return readChange(text, label, undefined, [], behind, manner);
  const fitting = readFitting(text, behind, refs, manner);
  const arrow = behindArrow(text, fitting.end);
  if (arrow !== undefined) {
    return readChange(
      text,
      label,
      fitting.specification,
      fitting.problems,
      arrow,
      manner,
      fitting.connections,
    );
  }
  if (fitting.specification === undefined && fitting.connections.length === 0) {
    return failure(skipSpace(text, behind), text.length, wants(nameOf(text, label), '=', partClass));
  }
  // `R7 = 220k 10%: 240k`: fitted and read at once, as a valve's type and its voltages.
  const colon = /^\s*:\s*/.exec(text.slice(fitting.end, fitting.end + 8));
  if (colon !== null && fitting.specification !== undefined && fitting.connections.length === 0) {
    const readings = scanReadings(text, fitting.end + colon[0].length, { points: refs, to: undefined });
    if (readings !== undefined) {
      const both = readingOf(readings.items, refs, fitting.specification);
      return statement(both, readings.end, 'a comma or the end', [...fitting.problems, ...readings.problems]);
    }
  }
  // `C40B = 12uF measured`: the meter said so, whatever the sign says.
  if (/^\s+(?:as\s+)?(?:measured|read)(?![\p{L}\p{N}])/u.test(text.slice(fitting.end, fitting.end + 16))) {
    const read = readPointEquals(text, label, behind);
    if (read?.kind === 'statement' && read.body.kind === 'reading' && read.end === fitting.end) return read;
  }
  const body: Body = {
    kind: 'fitted',
    refs,
    series: label.series || fitting.isSeries,
    specification: fitting.specification,
    connections: fitting.connections,
    colonForEquals: false,
    isBesideReading: undefined,
  };
  return statement(body, fitting.end, expectedIn(partClass), fitting.problems, fitting.isLoose);
}

/** After `=` a point takes a point (a wire) or volts (a reading, with a hint). */
function readPointEquals(text: string, label: ReadLabel, behind: number): Statement | Failure | undefined {
  const name = nameOf(text, label);
  const first = label.points[0];
  if (first === undefined) return undefined;
  const other = scanPoint(text, behind);
  if (other !== undefined && label.points.length === 1 && label.to === undefined) {
    return statement({ kind: 'wire', from: first, to: other.point }, other.end, 'the end', []);
  }
  const readings = scanReadings(text, behind, labelOf(label));
  if (readings === undefined) {
    return failure(
      behind,
      text.length,
      `${name} = wants another point (a wire) and ${name}: a reading: ${name}: 331 V`,
    );
  }
  const sign = text.indexOf('=', label.end);
  const problem: WritingProblem = {
    kind: 'equals-for-reading',
    span: { start: sign, end: sign + 1 },
    message: `this is what was read at ${name}: write a colon, as “=” says what is fitted`,
    offers: [
      {
        saying: 'a reading',
        edit: { span: { start: text.slice(0, sign).trimEnd().length, end: sign + 1 }, text: ':' },
      },
    ],
  };
  return statement(readingOf(readings.items), readings.end, 'a comma or the end', [
    problem,
    ...readings.problems,
  ]);
}

function labelOf({ points, to }: ReadLabel): Label {
  return { points, to };
}

function readChange(
  text: string,
  label: ReadLabel,
  was: Specification | undefined,
  before: readonly WritingProblem[],
  behind: number,
  manner: Manner,
  /** Where the part was said to sit before the arrow: it sits there still, unless it is said anew. */
  wasAt: readonly Connection[] = [],
): Statement | Failure | undefined {
  const refs = refsOf(label.points);
  const name = nameOf(text, label);
  if (refs === undefined || label.to !== undefined) {
    return failure(behind, text.length, `“->” says that a part was changed, and ${name} is a point`);
  }
  const partClass = refs[0]?.class ?? 'other';
  const at = skipSpace(text, behind);
  const work = scanWork(text, at);
  if (work !== undefined) {
    const off = /^\s+(?:off|from|clear of|above) the (?:board|chassis|tag ?board)(?![\p{L}\p{N}])/iu.exec(
      text.slice(work.end, work.end + 40),
    );
    const behindWork = work.end + (off?.[0].length ?? 0);
    const word: Word = { text: text.slice(at, behindWork), span: { start: at, end: behindWork } };
    const fitting = /^\s*,/.test(text.slice(behindWork))
      ? readFitting(text, behindWork, refs, manner)
      : undefined;
    const moved = fitting?.specification === undefined ? (fitting?.connections ?? []) : [];
    const connections = moved.length > 0 ? moved : wasAt;
    const body: Body = {
      kind: 'change',
      refs,
      series: label.series,
      was,
      is: word,
      work: work.work,
      connections,
    };
    const end = moved.length > 0 ? (fitting?.end ?? behindWork) : behindWork;
    return statement(body, end, 'the end, or where it is connected', before);
  }
  const fitting = readFitting(text, at, refs, manner);
  if (fitting.specification === undefined) {
    return failure(at, text.length, wants(`${name}`, '->', partClass));
  }
  const connections = fitting.connections.length > 0 ? fitting.connections : wasAt;
  const series = label.series || fitting.isSeries;
  const body: Body = {
    kind: 'change',
    refs,
    series,
    was,
    is: fitting.specification,
    work: undefined,
    connections,
  };
  const problems = [...before, ...fitting.problems];
  return statement(body, fitting.end, expectedIn(partClass), problems, fitting.isLoose);
}

function readColon(
  text: string,
  label: ReadLabel,
  behind: number,
  manner: Manner,
): Statement | Failure | undefined {
  const refs = refsOf(label.points);
  const name = nameOf(text, label);
  const readings = scanReadings(text, behind, labelOf(label));
  const states = readStates(text, behind);
  const provenance = refs === undefined ? undefined : readProvenance(text, refs, behind);
  if (provenance !== undefined) return provenance;
  if (label.series && readings !== undefined) {
    const read = text.slice(skipSpace(text, behind), readings.end);
    return failure(
      skipSpace(text, behind),
      readings.end,
      `${read} of ${name} together belongs to neither alone: write what was read at each`,
    );
  }
  // `C14: leaks 2uA at 300V` is a reading that begins with a word of state.
  const isStated = states !== undefined && (readings === undefined || readings.end <= states.end);
  if (isStated && label.to === undefined) {
    // `R31: charred, 520R`: both were found on the one part.
    const comma = /^\s*,\s*/.exec(text.slice(states.end));
    const also =
      comma === null ? undefined : scanReadings(text, states.end + comma[0].length, labelOf(label));
    if (also !== undefined) {
      const both = readingOf(also.items, [], undefined, states.states);
      return statement(both, also.end, 'a comma or the end', also.problems);
    }
    const body: Body = { kind: 'state', subjects: label.points, states: states.states };
    return statement(body, states.end, 'the end, or a remark in brackets', []);
  }
  // `C12: 10uF 25V -> 1uF 50V` and `V3: 12AX7` are what is fitted, with the wrong sign.
  if (
    refs !== undefined &&
    label.to === undefined &&
    (readings === undefined ||
      (isSpecification(readings.items) &&
        (!text.slice(behind, readings.end).includes(',') || isRatedInWatts(readings.items))) ||
      /^\s*->|^\s*[^\s,;.(-]/.test(text.slice(readings.end)))
  ) {
    const fitted = readColonForEquals(text, label, refs, behind, manner, readings !== undefined);
    if (fitted !== undefined && fitted.end >= (readings?.end ?? 0)) return fitted;
  }
  if (readings !== undefined) {
    const comma = /^\s*,\s*/.exec(text.slice(readings.end));
    const after = comma === null ? undefined : readStates(text, readings.end + comma[0].length);
    const isWholePart = label.to === undefined && (after === undefined || isClauseEnd(text, after.end));
    const isStatedToo = after !== undefined && isWholePart;
    const body = readingOf(readings.items, [], undefined, isStatedToo ? after.states : undefined);
    const end = isStatedToo ? after.end : readings.end;
    const isLoose = isLooseReading(text, readings.end, readings.items);
    return statement(body, end, 'a comma or the end', readings.problems, isLoose);
  }
  // `{mains: ? V}` is a place to fill in: it names the point and says nothing of it.
  const unread = scanUnread(text, behind, labelOf(label));
  if (unread !== undefined) {
    const points = label.to === undefined ? label.points : [...label.points, label.to];
    return statement({ kind: 'mention', points }, unread, 'a comma or the end', []);
  }
  return failure(skipSpace(text, behind), text.length, wantsReading(name, label));
}

function readColonForEquals(
  text: string,
  label: ReadLabel,
  refs: readonly Ref[],
  behind: number,
  manner: Manner,
  /** Whether the same words are also a whole reading. */
  isReading: boolean,
): Statement | undefined {
  const partClass = refs[0]?.class ?? 'other';
  const fitting = readFitting(text, behind, refs, manner);
  const { specification } = fitting;
  if (specification === undefined) return undefined;
  const sign = text.indexOf(':', label.end);
  const name = nameOf(text, label);
  const problem: WritingProblem = {
    kind: 'colon-for-equals',
    span: { start: sign, end: sign + 1 },
    message: `this says what ${name} is, not what was read: write “=”`,
    offers: [{ saying: 'what is fitted', edit: { span: { start: sign, end: sign + 1 }, text: ' =' } }],
  };
  const arrow = behindArrow(text, fitting.end);
  if (arrow !== undefined) {
    const change = readChange(
      text,
      label,
      specification,
      [problem, ...fitting.problems],
      arrow,
      manner,
      fitting.connections,
    );
    return change?.kind === 'statement' ? change : undefined;
  }
  if (
    specification.type === undefined &&
    specification.ratings.length === 0 &&
    specification.fuseSpeed === undefined &&
    specification.windings.length === 0
  )
    return undefined;
  if (fitting.isLoose || (partClass === 'valve' && specification.type === undefined)) return undefined;
  if (!isPlainlyFitted(specification, isReading)) return undefined;
  const body: Body = {
    kind: 'fitted',
    refs,
    series: label.series || fitting.isSeries,
    specification,
    connections: fitting.connections,
    colonForEquals: true,
    isBesideReading: undefined,
  };
  return statement(body, fitting.end, expectedIn(partClass), [problem, ...fitting.problems]);
}
