/** Owns how the colours of tags are sent: which of the protocol's own kinds each has, so that every theme knows them, and their numbers. */
import type { SemanticTokens, SemanticTokensLegend } from 'vscode-languageserver';
import type { Token, TokenKind } from '../features/semantic-tokens.ts';
import { lineSpan, type Snapshot } from '../text/snapshot.ts';
import type { Places } from './positions.ts';

const TYPE: Readonly<Record<TokenKind, string>> = {
  ref: 'variable',
  electrode: 'property',
  node: 'parameter',
  value: 'number',
  type: 'class',
  kind: 'type',
  state: 'enumMember',
  sign: 'operator',
  keyword: 'keyword',
  rule: 'macro',
  remark: 'comment',
};

export const LEGEND: SemanticTokensLegend = {
  tokenTypes: [...new Set(Object.values(TYPE))],
  tokenModifiers: ['declaration', 'documentation'],
};

/** Five numbers a token, each place told from the one before. A token that wraps over a line end is one on each line. */
export function toSemanticTokens(
  places: Places,
  snapshot: Snapshot,
  tokens: readonly Token[],
): SemanticTokens {
  const data: number[] = [];
  let line = 0;
  let character = 0;
  for (const { span, kind, isDeclaration, isProse } of tokens) {
    const type = LEGEND.tokenTypes.indexOf(TYPE[kind]);
    const modifiers = (isDeclaration ? 1 : 0) + (isProse ? 2 : 0);
    const { start, end } = places.rangeOf(snapshot, span);
    for (let at = start.line; at <= end.line; at++) {
      const from = at === start.line ? start.character : 0;
      const to =
        at === end.line ? end.character : places.positionAt(snapshot, lineSpan(snapshot, at).end).character;
      if (to <= from) continue;
      data.push(at - line, at === line ? from - character : from, to - from, type, modifiers);
      line = at;
      character = from;
    }
  }
  return { data };
}
