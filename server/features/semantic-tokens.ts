/** Owns what each word of a tag is, for its colour: parts, points, values, kinds, signs, remarks; and the bare words of prose that mean parts. */
import type { Connection, Specification, Tag } from '../dialect/tree.ts';
import { spanOfWritten } from '../dialect/written.ts';
import { tagsOf } from '../sheet/phases.ts';
import type { Analysis } from '../shop/shop.ts';
import { countBefore } from '../text/halving.ts';
import { overlaps, type Span, shift } from '../text/span.ts';
import { readQuestion } from '../units/question.ts';
import { placesOn } from './named-places.ts';

export type TokenKind =
  | 'ref'
  | 'electrode'
  | 'node'
  | 'value'
  | 'type'
  | 'kind'
  | 'state'
  | 'sign'
  | 'keyword'
  | 'rule'
  | 'remark';

export interface Token {
  readonly span: Span;
  readonly kind: TokenKind;
  /** It is fitted or changed here. */
  readonly isDeclaration: boolean;
  /** A bare word. */
  readonly isProse: boolean;
}

/** The tokens of a stretch of the sheet, in order, none over another. */
export function semanticTokens(analysis: Analysis, within?: Span): readonly Token[] {
  const { note, snapshot } = analysis.sheet;
  const isWanted = (span: Span) => within === undefined || overlaps(span, within);
  const found: Token[] = placesOn(analysis)
    .filter(({ span, refSpan }) => isWanted(span) || (refSpan !== undefined && isWanted(refSpan)))
    .flatMap(({ ref, span, refSpan, how }): readonly Token[] => {
      const said = { isDeclaration: how === 'declaration', isProse: how === 'prose' };
      if (ref === undefined) return [{ span, kind: 'node', ...said }];
      if (refSpan === undefined) return [{ span, kind: 'electrode', ...said }];
      const named: Token = { span: refSpan, kind: 'ref', ...said };
      const tail = { start: refSpan.end + 1, end: span.end };
      return tail.start < tail.end && snapshot.text.charAt(refSpan.end) === '.'
        ? [named, { span: tail, kind: 'electrode', ...said }]
        : [named];
    });
  const tags = note.blocks.filter(({ span }) => isWanted(span)).flatMap((block) => [...tagsOf(block)]);
  for (const tag of tags) found.push(...tokensIn(tag));
  const certain = apart(found);
  const between = tags.flatMap((tag) => betweenTokens(tag, certain, snapshot.text));
  return apart([...certain, ...between]).filter(({ span }) => isWanted(span));
}

/** In order; where two lie over each other the first and shorter one stays. */
function apart(tokens: readonly Token[]): readonly Token[] {
  const sorted = tokens
    .filter(({ span }) => span.start < span.end)
    .sort((a, b) => a.span.start - b.span.start || a.span.end - b.span.end);
  const kept: Token[] = [];
  for (const token of sorted) if ((kept.at(-1)?.span.end ?? 0) <= token.span.start) kept.push(token);
  return kept;
}

function token(span: Span, kind: TokenKind): Token {
  return { span, kind, isDeclaration: false, isProse: false };
}

/** What the tree knows of a tag beside the names in it. */
function tokensIn(tag: Tag): readonly Token[] {
  const remark = tag.remark === undefined ? [] : [token(tag.remark.span, 'remark')];
  return [...remark, ...bodyOf(tag)];
}

function bodyOf(tag: Tag): readonly Token[] {
  switch (tag.kind) {
    case 'candidate':
      return tokensIn(tag.tag);
    case 'fitted':
      return [...ofSpecification(tag.specification), ...ofConnections(tag.connections)];
    case 'change':
      return [
        ...ofSpecification(tag.was),
        ...('values' in tag.is ? ofSpecification(tag.is) : [token(tag.is.span, 'state')]),
        ...ofConnections(tag.connections),
      ];
    case 'reading': {
      const values = tag.items.flatMap((item) => [
        ...item.values,
        ...(item.then === undefined ? [] : [item.then]),
      ]);
      return [
        ...ofSpecification(tag.type),
        ...values.map((value) => token(spanOfWritten(value), 'value')),
        ...(tag.states ?? []).map(({ span }) => token(span, 'state')),
      ];
    }
    case 'state':
      return tag.states.map(({ span }) => token(span, 'state'));
    case 'accept':
      return [token(tag.rule.span, 'rule'), ...reasonOf(tag)];
    case 'keep':
      return reasonOf(tag);
    case 'question':
      return ofQuestion(tag.expression);
    case 'mod-verdict':
      return [token(tag.mod.span, 'rule'), ...(tag.why === undefined ? [] : [token(tag.why.span, 'remark')])];
    default:
      return [];
  }
}

function reasonOf({ reason }: { readonly reason?: { readonly span: Span } }): readonly Token[] {
  return reason === undefined ? [] : [token(reason.span, 'remark')];
}

function ofSpecification(specification: Specification | undefined): readonly Token[] {
  if (specification === undefined) return [];
  const { values, ratings, kinds, type, windings, fuseSpeed } = specification;
  return [
    ...values.map((value) => token(spanOfWritten(value), 'value')),
    ...ratings.map(({ span }) => token(span, 'value')),
    ...kinds.map(({ span }) => token(span, 'kind')),
    ...(type === undefined ? [] : [token(type.span, 'type')]),
    ...windings.map(({ span }) => token(span, 'value')),
    ...(fuseSpeed === undefined ? [] : [token(fuseSpeed.span, 'kind')]),
  ];
}

function ofConnections(connections: readonly Connection[]): readonly Token[] {
  return connections.flatMap((connection) => {
    if (connection.kind === 'terminal') return [token(connection.terminal.span, 'electrode')];
    return connection.kind === 'hangs' ? [token(connection.electrode.span, 'electrode')] : [];
  });
}

function ofQuestion({ text, span }: { readonly text: string; readonly span: Span }): readonly Token[] {
  const words = readQuestion(text);
  if (!words.ok) return [];
  return words.tokens.flatMap((each) => {
    const at = shift(each.span, span.start);
    if (each.kind === 'value') return [token(at, 'value')];
    if (each.kind === 'function') return [token(at, 'keyword')];
    return each.kind === 'sign' ? [token(at, 'sign')] : [];
  });
}

const SIGN_OR_KEYWORD =
  /(->|=>|→|⇒|[=:?])|(?<![\p{L}\p{N}_])(?:accept|keep|from|to|across|at|on|plus|minus|was|and|pins?|ESR|ripple|removed)(?![\p{L}\p{N}_])/gu;

/** Signs and small words that stand between the tokens of a tag. A cell has none, a condition is in words of its own. */
function betweenTokens(tag: Tag, tokens: readonly Token[], text: string): readonly Token[] {
  if (tag.form === 'cell') return [];
  const inside = tokensOver(tokens, tag.span);
  const closed = [...inside.map(({ span }) => span), ...tag.conditions.map(({ span }) => span)];
  const found: Token[] = [];
  for (const match of text.slice(tag.span.start, tag.span.end).matchAll(SIGN_OR_KEYWORD)) {
    const start = tag.span.start + match.index;
    const span = { start, end: start + match[0].length };
    if (closed.some((each) => overlaps(each, span))) continue;
    found.push(token(span, match[1] === undefined ? 'keyword' : 'sign'));
  }
  return found;
}

/** The tokens that touch a stretch, found by halving: they are in order and apart. */
function tokensOver(tokens: readonly Token[], over: Span): readonly Token[] {
  const from = countBefore(tokens, ({ span }) => span.end <= over.start);
  let end = from;
  while ((tokens[end]?.span.start ?? Number.POSITIVE_INFINITY) < over.end) end++;
  return tokens.slice(from, end);
}
