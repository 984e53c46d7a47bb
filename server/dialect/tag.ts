/**
 * Owns the reading of one tag: whether a brace opens one, what it says in braces or as a whole list item, the conditions
 * and the remark that stand with it, and what to say when it cannot be read.
 */
import type { Span } from '../text/span.ts';
import { conditionsIn, problemsOfConditions } from './conditions.ts';
import { type Folded, fold, foldInPlace, unfold } from './folding.ts';
import { skipSpace } from './gaps.ts';
import { readReason } from './keyword.ts';
import { scanPoint, scanTerminal } from './points.ts';
import { readingOf, scanReadings } from './reading.ts';
import { type Body, type Failure, type Statement, statement, under } from './said.ts';
import { withCapitals } from './small-letters.ts';
import { readStatement } from './statement.ts';
import type { Condition, Ref, Tag, Word, WritingProblem } from './tree.ts';
import { unnamedPoints } from './unnamed-point.ts';

export interface TagRead {
  readonly tag: Tag;
  readonly problems: readonly WritingProblem[];
}

/**
 * Whether what stands behind a brace opens a tag. Spelling alone decides: a ref, a rail, `gnd`, `mains`, `?`, `accept`,
 * `keep`; a plain node name only where the rest reads whole. All else is the writer's own text.
 */
export function opensTag(text: string, at: number, end: number): boolean {
  const start = /^\s*/.exec(text.slice(at, Math.min(end, at + 200)))?.[0].length ?? 0;
  const first = text.charAt(at + start);
  if (at + start >= end || !/[A-Za-z?]/.test(first)) return false;
  const inner = fold(text, { start: at + start, end }, false).text;
  if (first === '?') return /^\?(?:\s|[\w(~-])/.test(inner);
  if (/^(?:accept|keep)\s/.test(inner)) return true;
  const point = scanPoint(inner, 0)?.point;
  if (point === undefined || point.kind === 'node') {
    if (readInSmallLetters(prepare(inner.trimEnd()), 0, 0, false) !== undefined) return true;
  }
  if (point === undefined) return false;
  if (point.kind !== 'node' || point.nature === 'rail') return true;
  if (point.nature === 'ready-made' && (point.name === 'gnd' || point.name === 'mains')) return true;
  const prepared = prepare(inner.trimEnd());
  return readStatement(prepared.text, 0, { isItem: false })?.kind === 'statement';
}

/**
 * What the tag in `inner` says. `whole` holds the braces too. What opens as a tag and cannot be read comes back as
 * `unreadable` with the problem that says where it stopped.
 */
export function readTag(text: string, inner: Span, whole: Span, form: Tag['form']): TagRead {
  const folded = fold(text, inner, form !== 'braces');
  const prepared = prepare(folded.text.trimEnd());
  const start = skipSpace(prepared.text, 0);
  const found = readInSmallLetters(prepared, 0, start, form === 'item') ??
    readWithConditions(prepared, start, form === 'item') ?? {
      kind: 'failure',
      at: { start, end: prepared.text.length },
      expected: 'a tag opens on a part (R17), a point (V5.a, B+1), “?”, “accept” or “keep”',
    };
  const problems: WritingProblem[] = garblings(folded);
  if (found.kind === 'statement') {
    const tail = readTail(prepared.text, found.end) ?? readWords(prepared.text, found);
    if (tail !== undefined || form !== 'braces') {
      const conditions = allConditions(found, prepared, tail);
      const remark = together(
        tail?.remark ?? (tail === undefined ? restOf(prepared.text, found.end) : undefined),
        prepared.remark,
      );
      const read = finish(found, { form, conditions, remark }, folded, whole);
      return { tag: read.tag, problems: [...problems, ...read.problems] };
    }
  }
  const failure: Failure =
    found.kind === 'failure'
      ? found
      : {
          kind: 'failure',
          at: restSpan(prepared.text, found.end),
          expected: notUnderstood(prepared.text, found),
        };
  const at = failure.at.end > failure.at.start ? failure.at : { start, end: prepared.text.length };
  const tag: Tag = unfoldTag(
    {
      kind: 'unreadable',
      opens: firstWord(prepared.text, start),
      expected: failure.expected,
      at,
    },
    { form, conditions: [], remark: undefined },
    folded,
    whole,
  );
  const span = tag.kind === 'unreadable' && tag.at.end > tag.at.start ? tag.at : whole;
  problems.push({
    kind: 'tag-unreadable',
    span,
    message: failure.expected,
    offers: unfold(failure.offers ?? [], folded),
  });
  return { tag, problems };
}

/**
 * A list item that opens as a tag, read from the front clause by clause; the rest is its remark. Undefined if not even
 * the first clause reads: then it is prose. Where braced tags stand in the item it is read up to the first, and the
 * remark holds the rest.
 */
export function readItem(text: string, span: Span): TagRead | undefined {
  const own = text.slice(span.start, span.end);
  const brace = own.includes('{') ? own.search(/(?<!\\)\{/) : -1;
  const end = brace < 0 ? span.end : span.start + brace;
  const inner = { start: span.start, end };
  const folded = foldInPlace(text, inner);
  const read = folded.text.trimEnd();
  const prepared: Prepared = folded.isInPlace ? { text: read, conditions: [] } : prepare(read);
  const start = skipSpace(prepared.text, folded.from);
  if (start >= prepared.text.length) return undefined;
  const found =
    readModVerdict(prepared.text, start) ??
    readInSmallLetters(prepared, folded.from, start, true) ??
    readWithConditions(prepared, start, true);
  if (found === undefined || found.kind === 'failure') return undefined;
  if (found.body.kind === 'reading' && found.isLoose) return undefined;
  const says = found.body.kind;
  const tail = readTail(prepared.text, found.end);
  if (says === 'mention' && (brace >= 0 || tail === undefined)) return undefined;
  // `- keep an eye on it` and `- accept the offer` are prose: as an item both must give their reason.
  if (says === 'accept' && found.body.reason === undefined) return undefined;
  if (says === 'keep' && found.body.reason === undefined && tail === undefined) return undefined;
  const ownRemark = together(
    tail?.remark ?? (tail === undefined ? restOf(prepared.text, found.end) : undefined),
    prepared.remark,
  );
  const finished = finish(
    found,
    {
      form: 'item',
      conditions: allConditions(found, prepared, tail),
      remark: ownRemark,
    },
    folded,
    span,
  );
  const problems =
    folded.garbled.length === 0 ? [...finished.problems] : [...garblings(folded), ...finished.problems];
  if (tail === undefined) problems.push(...unfold(lostStatement(prepared.text, found), folded));
  if (tail?.conditions === undefined) problems.push(...unfold(unnamedPoints(prepared.text, found), folded));
  if (brace < 0) return { tag: finished.tag, problems };
  const from =
    tail?.remark === undefined && restOf(prepared.text, found.end) === undefined
      ? end
      : finished.tag.remark?.span.start;
  const remarkSpan = { start: Math.min(from ?? end, end), end: span.end };
  const remark: Word = {
    text: text.slice(remarkSpan.start, remarkSpan.end).replace(/\s+/g, ' ').trim(),
    span: remarkSpan,
  };
  return { tag: { ...finished.tag, remark }, problems };
}

// ---------------------------------------------------------------------------------------------------------------
// Conditions and remarks

interface Prepared {
  /** The folded text with bracketed conditions and remarks blanked out, so that clauses on both sides read. */
  readonly text: string;
  readonly conditions: readonly Condition[];
  readonly remark?: Word;
}

const BRACKETS = /(?<=^|\s|[\p{L}\p{N}.])\(([^()]*)\)/gu;

/** Takes bracketed conditions (`(hot)`) and remarks out; a question's brackets are arithmetic. */
function prepare(folded: string): Prepared {
  if (!folded.includes('(') || /^\s*(?:\?|accept\s|keep\s|mod\s)/.test(folded))
    return { text: folded, conditions: [] };
  const conditions: Condition[] = [];
  let remark: Word | undefined;
  const text = folded.replace(BRACKETS, (all: string, inside: string, offset: number) => {
    const start = offset + 1;
    const read = conditionsIn(folded, start, start + inside.length);
    if (read !== undefined) {
      conditions.push(...read);
      return ' '.repeat(all.length);
    }
    // A bracket right behind a letter or digit may be part of a type; only a spaced one is a remark.
    if (offset === 0 || !/\s/.test(folded.charAt(offset - 1)) || inside.trim() === '') return all;
    const { text: before, span } = remark ?? { text: '', span: { start, end: start + inside.length } };
    remark = { text: before === '' ? inside.trim() : `${before}; ${inside.trim()}`, span };
    return ' '.repeat(all.length);
  });
  return remark === undefined ? { text, conditions } : { text, conditions, remark };
}

type Found = Statement | Failure;

/** A statement, perhaps behind conditions and their colon (`C14 lifted: V5.g: 0 V`). */
function readWithConditions(prepared: Prepared, start: number, isItem: boolean): Found | undefined {
  const { text } = prepared;
  const isQuestion = text.charAt(start) === '?';
  let colon = isQuestion ? -1 : text.indexOf(':', start);
  for (let tries = 0; colon >= 0 && tries < 6; tries++) {
    const conditions = conditionsIn(text, start, colon);
    if (conditions !== undefined) {
      const at = skipSpace(text, colon + 1);
      const behind = readStatement(text, at, { isItem });
      if (behind?.kind === 'statement') return under(conditions, behind);
      const measured = readUnderCondition(text, at, conditions);
      if (measured !== undefined) return under(conditions, measured);
    }
    colon = text.indexOf(':', colon + 1);
  }
  const parted = isQuestion ? undefined : readBehindComma(text, start, isItem);
  if (parted !== undefined) return parted;
  return readStatement(text, start, { isItem });
}

/** `v5.a: 331`, where all of it reads and nothing of it is to be asked: else it is the writer's own words. */
function readInSmallLetters(
  prepared: Prepared,
  from: number,
  start: number,
  isItem: boolean,
): Found | undefined {
  const capitals = withCapitals(prepared.text.slice(from));
  if (capitals === undefined) return undefined;
  const text = prepared.text.slice(0, from) + capitals;
  const read = readStatement(text, start, { isItem });
  if (read?.kind !== 'statement' || read.isLoose || read.problems.length > 0) return undefined;
  if (read.candidate !== undefined || !SIGNED.has(read.body.kind)) return undefined;
  const tail = readTail(text, read.end);
  return tail === undefined || tail.remark !== undefined ? undefined : read;
}

/** `off, discharged, B+ 2 V`: conditions with no colon of their own, to the last comma before a reading. */
function readBehindComma(text: string, start: number, isItem: boolean): Found | undefined {
  let conditions: readonly Condition[] | undefined;
  let comma = text.indexOf(',', start);
  for (let tries = 0; comma >= 0 && tries < 6; tries++) {
    const upTo = conditionsIn(text, start, comma);
    if (upTo === undefined) return undefined;
    conditions = upTo;
    const at = skipSpace(text, comma + 1);
    const behind = readStatement(text, at, { isItem });
    if (behind?.kind === 'statement' && behind.body.kind === 'reading') return under(conditions, behind);
    comma = text.indexOf(',', comma + 1);
  }
  return undefined;
}

/** `C14 lifted: 4n4`: the condition names the part that was measured. */
function readUnderCondition(
  text: string,
  at: number,
  conditions: readonly Condition[],
): Statement | undefined {
  const refs: readonly Ref[] = conditions.flatMap((condition) => condition.refs);
  if (refs.length === 0 || conditions.some(({ kind }) => !MEASURED_SO.has(kind))) return undefined;
  const readings = scanReadings(text, at, { points: refs, to: undefined });
  if (readings === undefined) return undefined;
  return statement(readingOf(readings.items), readings.end, 'a comma or the end', readings.problems);
}

const MEASURED_SO: ReadonlySet<Condition['kind']> = new Set([
  'lifted',
  'out',
  'in-circuit',
  'out-of-circuit',
  'setting',
]);

interface Tail {
  readonly remark?: Word;
  readonly conditions?: readonly Condition[];
}

function allConditions(found: Statement, prepared: Prepared, tail: Tail | undefined): readonly Condition[] {
  const behind = tail?.conditions ?? [];
  // Nearly all tags have none.
  if (prepared.conditions.length + behind.length === 0) return found.conditions;
  return [...found.conditions, ...prepared.conditions, ...behind];
}

/** What may stand behind a statement that was read whole: nothing, conditions, or a remark behind a spaced dash. */
function readTail(text: string, end: number): Tail | undefined {
  if (end >= text.length) return {};
  const rest = /^\s*[.,;]?\s*/.exec(text.slice(end))?.[0].length ?? 0;
  const at = end + rest;
  if (at >= text.length) return {};
  // `R4: 172k out of circuit`, `V5.a: 331 V at 236 V mains`, `V5.a: 331 V @ mains 236`.
  const sign = /^\s*@\s*/.exec(text.slice(end))?.[0].length ?? 0;
  const conditions =
    /^\s/.test(text.slice(end)) || rest > 0 ? conditionsIn(text, end + sign, text.length) : undefined;
  if (conditions !== undefined) return { conditions };
  const dash = /^\s*[,;]?\s*--?-?\s+/.exec(text.slice(end));
  if (dash === null || !/\s/.test(dash[0].charAt(0))) return undefined;
  return remarkFrom(text, end + dash[0].length);
}

const WORDS = /^\s*,?\s+(\p{L}[\p{L}'’-]*)(?:,?\s+\p{L}[\p{L}'’-]*)*[.!]?\s*$/u;

/** Plain words behind a whole reading or state (`{V5: 38 mA after the swap}`): a remark, unless they name an electrode. */
function readWords(text: string, found: Statement): Tail | undefined {
  const { body, end, isLoose } = found;
  if ((body.kind !== 'reading' && body.kind !== 'state') || isLoose) return undefined;
  const words = WORDS.exec(text.slice(end));
  const [first] = body.kind === 'reading' ? body.items : [];
  const at = first?.at.kind === 'terminal' ? first.at.ref : first?.at;
  const word = words?.[1] ?? '';
  if (words === null || (word.length < 3 && words[0].trim() === word)) return undefined;
  if (at?.kind === 'ref' && scanTerminal(word, 0, at.class)?.end === word.length) return undefined;
  return remarkFrom(text, restSpan(text, end).start);
}

function remarkFrom(text: string, start: number): Tail {
  const written = text.slice(start).trimEnd();
  if (written === '') return {};
  return { remark: { text: written, span: { start, end: start + written.length } } };
}

/** `R6 = 100k; R7 = 1k5`: the remark says something of its own, and would be lost without a word. */
function lostStatement(text: string, found: Statement): WritingProblem[] {
  const span = restSpan(text, found.end);
  if (found.body.kind === 'mention' || span.end <= span.start) return [];
  const lost = readStatement(text, span.start, { isItem: true });
  if (lost?.kind !== 'statement' || lost.candidate !== undefined || !SIGNED.has(lost.body.kind)) return [];
  const written = text.slice(span.start, span.end);
  const shown = written.length > 32 ? `${written.slice(0, 32).trimEnd()}…` : written;
  const message = `“${shown}” says something of its own and is taken only as a remark: write it on a line of its own`;
  return [{ kind: 'tag-unreadable', span, message, offers: [] }];
}

const SIGNED: ReadonlySet<Tag['kind']> = new Set(['fitted', 'reading', 'change', 'wire', 'state']);

/** A remark at the end and those in brackets: all that the writer said, with the place of the first that is given. */
function together(last: Word | undefined, inBrackets: Word | undefined): Word | undefined {
  if (last === undefined || inBrackets === undefined) return last ?? inBrackets;
  return { text: `${inBrackets.text}; ${last.text}`, span: last.span };
}

/** What stands behind the part that was read, as a remark. */
function restOf(text: string, end: number): Word | undefined {
  const span = restSpan(text, end);
  const written = text.slice(span.start, span.end);
  return written === '' ? undefined : { text: written, span };
}

function restSpan(text: string, end: number): Span {
  const skipped = /^[\s,;.]*/.exec(text.slice(end))?.[0].length ?? 0;
  const start = end + skipped;
  return { start, end: Math.max(start, text.trimEnd().length) };
}

const VERDICT =
  /(still applies|applies|to do|done at (?:the )?factory|already done|done|not applicable|n\/a|declined(?: by (?:the )?owner)?|conflicts|unknown|look)(?![\p{L}\p{N}-])/iuy;

/** `mod screens-5w: still applies`. */
function readModVerdict(text: string, start: number): Found | undefined {
  const head = /^mod\s+([A-Za-z0-9][\w.-]*)\s*:\s*/i.exec(text.slice(start));
  if (head === null) return undefined;
  const name = head[1] ?? '';
  const nameAt = start + head[0].indexOf(name, 3);
  VERDICT.lastIndex = start + head[0].length;
  const verdict = VERDICT.exec(text);
  if (verdict === null) return undefined;
  const end = VERDICT.lastIndex;
  const why = readReason(text, end)?.word;
  const body: Body = {
    kind: 'mod-verdict',
    mod: { text: name, span: { start: nameAt, end: nameAt + name.length } },
    verdict: verdictName(verdict[0]),
    why,
  };
  const all = why === undefined ? end : text.length;
  return statement(body, all, '', []);
}

function verdictName(written: string): string {
  const lower = written.toLowerCase().replace(/\s+/g, ' ');
  if (lower === 'applies' || lower === 'to do') return 'still applies';
  if (lower.startsWith('done at')) return 'done at factory';
  if (lower === 'done') return 'already done';
  if (lower === 'n/a') return 'not applicable';
  if (lower === 'look') return 'unknown';
  return lower.startsWith('declined') ? 'declined' : lower;
}

// ---------------------------------------------------------------------------------------------------------------
// Putting together

interface Standing {
  readonly form: Tag['form'];
  readonly conditions: readonly Condition[];
  readonly remark: Word | undefined;
}

/** The finished tag in typed offsets. */
function finish(
  found: Statement,
  standing: Standing,
  folded: Folded,
  whole: Span,
): { readonly tag: Tag; readonly problems: readonly WritingProblem[] } {
  const tag = unfoldTag(found.body, standing, folded, whole);
  const { conditions: own } = standing;
  const problems = unfold(
    own.length === 0 ? found.problems : [...found.problems, ...problemsOfConditions(own)],
    folded,
  );
  if (found.candidate === undefined) return { tag, problems };
  const { form, span, conditions } = tag;
  const wrapped: Tag = {
    kind: 'candidate',
    node: unfold(found.candidate, folded),
    tag,
    form,
    span,
    conditions,
  };
  return { tag: wrapped, problems };
}

function unfoldTag(
  body: Body | Omit<Extract<Tag, { kind: 'unreadable' }>, keyof Standing | 'span'>,
  standing: Standing,
  folded: Folded,
  whole: Span,
): Tag {
  const { form, conditions, remark } = unfold(standing, folded);
  const span = whole;
  const said = unfold(body, folded);
  // What sheets are full of, each made as one literal; the rest is seldom.
  switch (said.kind) {
    case 'fitted': {
      const { kind, refs, series, specification, connections, colonForEquals, isBesideReading } = said;
      return {
        kind,
        refs,
        series,
        specification,
        connections,
        colonForEquals,
        isBesideReading,
        form,
        span,
        conditions,
        remark,
      };
    }
    case 'reading': {
      const { kind, items, refs, type, states } = said;
      return { kind, items, refs, type, states, form, span, conditions, remark };
    }
    case 'change': {
      const { kind, refs, series, was, is, work, connections } = said;
      return { kind, refs, series, was, is, work, connections, form, span, conditions, remark };
    }
    default:
      return { ...said, form, span, conditions, remark };
  }
}

function garblings(folded: Folded): WritingProblem[] {
  return folded.garbled.map(({ span, meant }) => ({
    kind: 'text-garbled',
    span,
    message: `“${folded.typed.slice(span.start, span.end)}” is “${meant}” in the wrong encoding`,
    offers: [{ saying: meant, edit: { span, text: meant } }],
  }));
}

function notUnderstood(text: string, found: Statement): string {
  const rest = restSpan(text, found.end);
  const stopped = text.slice(rest.start, rest.end);
  const shown = stopped.length > 24 ? `${stopped.slice(0, 24).trimEnd()}…` : stopped;
  const read = text.slice(0, found.end).trim();
  const expected = found.expected === '' ? 'the end of the tag' : found.expected;
  return `read as far as “${read.length > 40 ? `…${read.slice(-40)}` : read}”; “${shown}” is not understood: expected ${expected}`;
}

function firstWord(text: string, start: number): Word {
  const length = /^[^\s:=]*/.exec(text.slice(start))?.[0].length ?? 0;
  const end = Math.min(text.length, start + Math.max(1, length));
  return { text: text.slice(start, end), span: { start, end } };
}
