/** Owns the conversion between our data (spans, findings, hovers) and the protocol's types. No decision is made here. */
import {
  type CodeAction,
  CodeActionKind,
  type CompletionItem,
  CompletionItemKind,
  type Diagnostic,
  DiagnosticSeverity,
  type DocumentSymbol,
  type InlayHint,
  MarkupKind,
  type Hover as ProtocolHover,
  SymbolKind,
  type TextEdit,
} from 'vscode-languageserver';
import type { Completion } from '../features/completion.ts';
import type { Hover } from '../features/hover.ts';
import type { Inlay } from '../features/inlays.ts';
import type { OutlineSymbol } from '../features/symbols.ts';
import type { Finding, Fix, Severity } from '../rules/rule.ts';
import { sheetName } from '../shop/uris.ts';
import type { Edit } from '../text/edits.ts';
import type { Snapshot } from '../text/snapshot.ts';
import type { Abilities } from './abilities.ts';
import type { Places } from './positions.ts';
import { WRITE_COMMAND, type WriteParams } from './protocol.ts';

const SOURCE = 'tagstrip';

const SEVERITY: Readonly<Record<Severity, DiagnosticSeverity>> = {
  error: DiagnosticSeverity.Error,
  warning: DiagnosticSeverity.Warning,
  info: DiagnosticSeverity.Information,
  hint: DiagnosticSeverity.Hint,
};

const SYMBOL: Readonly<Record<OutlineSymbol['kind'], SymbolKind>> = {
  section: SymbolKind.Namespace,
  part: SymbolKind.Field,
  change: SymbolKind.Event,
  reading: SymbolKind.Number,
};

const COMPLETION: Readonly<Record<Completion['kind'], CompletionItemKind>> = {
  part: CompletionItemKind.Variable,
  point: CompletionItemKind.Reference,
  electrode: CompletionItemKind.Field,
  valve: CompletionItemKind.Class,
  value: CompletionItemKind.Value,
  unit: CompletionItemKind.Unit,
  word: CompletionItemKind.Keyword,
  rule: CompletionItemKind.Constant,
  key: CompletionItemKind.Property,
  choice: CompletionItemKind.EnumMember,
  path: CompletionItemKind.File,
};

export function toTextEdit(places: Places, snapshot: Snapshot, edit: Edit): TextEdit {
  return { range: places.rangeOf(snapshot, edit.span), newText: edit.text };
}

/**
 * `snapshotOf` finds the text of a related place on another sheet; places on sheets that are not to be had are left out. An editor
 * that does not show them beside a finding is told them in its message.
 */
export function toDiagnostic(
  places: Places,
  finding: Finding,
  snapshotOf: (uri: string) => Snapshot | undefined,
  { showsRelated }: Pick<Abilities, 'showsRelated'>,
): Diagnostic {
  const snapshot = snapshotOf(finding.file);
  const related = (finding.related ?? []).flatMap(({ subject, message, source: { file, span } }) => {
    const there = snapshotOf(file);
    return there === undefined ? [] : [{ subject, message, uri: file, range: places.rangeOf(there, span) }];
  });
  return {
    range:
      snapshot === undefined
        ? { start: { line: 0, character: 0 }, end: { line: 0, character: 0 } }
        : places.rangeOf(snapshot, finding.source.span),
    severity: SEVERITY[finding.severity],
    code: finding.rule,
    source: SOURCE,
    message: showsRelated
      ? finding.message
      : [
          finding.message,
          ...related.map(
            ({ subject, message, uri, range: { start } }) =>
              `${subject}, ${uri === finding.file ? '' : `${sheetName(uri)}, `}line ${start.line + 1}: ${message}`,
          ),
        ].join('\n'),
    relatedInformation: (showsRelated ? related : []).map(({ subject, message, uri, range }) => ({
      location: { uri, range },
      message: `${subject}: ${message}`,
    })),
  };
}

/** What the editor can show: markup, and a link that runs our client's command to write text into the sheet. */
export interface HoverForm {
  readonly isMarkdown: boolean;
  readonly hasWriteCommand: boolean;
}

/** The verdict in bold, what it rests on, what stands apart from both, then figure by figure: name and result, formula with its numbers, what was assumed; small print last. */
export function toHover(
  places: Places,
  snapshot: Snapshot,
  { span, headline, restsOn, asides, footnotes, workings, offers }: Hover,
  { isMarkdown, hasWriteCommand }: HoverForm,
): ProtocolHover {
  const text = isMarkdown ? escapeMarkdown : (plain: string) => plain;
  const mark = (sign: string, words: string) => (isMarkdown ? `${sign}${text(words)}${sign}` : words);
  const paragraphs = [[mark('**', headline)]];
  if (restsOn !== undefined) paragraphs.push([text(restsOn)]);
  for (const { lines, small } of asides)
    paragraphs.push([...lines.map(text), ...(small === undefined ? [] : [mark('*', small)])]);
  for (const { name, formula, numbers, result, limit, remarks: spoken } of workings) {
    const lines = [`${text(name)} ${mark('**', result)}${limit === undefined ? '' : text(`, ${limit}`)}`];
    if (formula !== undefined) lines.push(text(numbers === undefined ? formula : `${formula} = ${numbers}`));
    if (spoken.length > 0) lines.push(mark('*', spoken.join('; ')));
    paragraphs.push(lines);
  }
  for (const footnote of footnotes) paragraphs.push([mark('*', footnote)]);
  for (const { because, title, edit } of offers) {
    paragraphs.push([mark('*', because)]);
    if (isMarkdown && hasWriteCommand)
      paragraphs.push([`[${text(title)}](${writeLink(places, snapshot, edit)})`]);
  }
  const value = paragraphs.map((lines) => lines.join(isMarkdown ? '  \n' : '\n')).join('\n\n');
  return {
    range: places.rangeOf(snapshot, span),
    contents: { kind: isMarkdown ? MarkupKind.Markdown : MarkupKind.PlainText, value },
  };
}

/** The link that writes an edit into the sheet, if that is still of this version. */
function writeLink(places: Places, snapshot: Snapshot, { span, text }: Edit): string {
  const { uri, version } = snapshot;
  const params: WriteParams = { uri, version, range: places.rangeOf(snapshot, span), text };
  // A bracket would end the link.
  const query = encodeURIComponent(JSON.stringify([params]))
    .replaceAll('(', '%28')
    .replaceAll(')', '%29');
  return `command:${WRITE_COMMAND}?${query}`;
}

/** One piece: a value that is broken over two lines cannot be read at a glance. */
export function toInlayHint(places: Places, snapshot: Snapshot, { offset, text }: Inlay): InlayHint {
  const label = text.replaceAll(' ', '\u00a0');
  return { position: places.positionAt(snapshot, offset), label, paddingLeft: true };
}

export function toCompletionItem(
  places: Places,
  snapshot: Snapshot,
  { text, kind, detail, matches, replace, order }: Completion,
): CompletionItem {
  return {
    label: text.trimEnd(),
    kind: COMPLETION[kind],
    // The one is shown beside every name by editors that can, the other beside the chosen one by those that cannot.
    ...(detail === undefined ? {} : { detail, labelDetails: { description: detail } }),
    sortText: String(order).padStart(4, '0'),
    filterText: matches ?? text,
    // An explicit range, because a name such as B+1 is no word to the editor.
    textEdit: { range: places.rangeOf(snapshot, replace), newText: text },
  };
}

export function toDocumentSymbol(
  places: Places,
  snapshot: Snapshot,
  { name, detail, kind, span, nameSpan, children }: OutlineSymbol,
): DocumentSymbol {
  return {
    name,
    detail,
    kind: SYMBOL[kind],
    range: places.rangeOf(snapshot, span),
    selectionRange: places.rangeOf(snapshot, nameSpan),
    children: children.map((child) => toDocumentSymbol(places, snapshot, child)),
  };
}

/** A fix of a finding, or a change that is merely offered; with the text's version where the client can hold it against its own. */
export function toCodeAction(
  places: Places,
  snapshot: Snapshot,
  snapshotOf: (uri: string) => Snapshot | undefined,
  {
    title,
    edits,
    safety,
    finding,
    kind,
  }: Fix & { readonly finding?: Finding; readonly kind: CodeActionKind },
  abilities: Pick<Abilities, 'takesVersionedEdits' | 'showsRelated'>,
): CodeAction {
  const { uri, version } = snapshot;
  const changes = edits.map((edit) => toTextEdit(places, snapshot, edit));
  return {
    title,
    kind,
    ...(finding === undefined
      ? {}
      : {
          diagnostics: [toDiagnostic(places, finding, snapshotOf, abilities)],
        }),
    ...(safety === 'safe' && kind === CodeActionKind.QuickFix ? { isPreferred: true } : {}),
    edit: abilities.takesVersionedEdits
      ? { documentChanges: [{ textDocument: { uri, version }, edits: changes }] }
      : { changes: { [uri]: changes } },
  };
}

/** The author's words stand in hovers as text: nothing in them may become markup, a link (of bare words too) or an image. */
function escapeMarkdown(text: string): string {
  return text
    .replace(/[\\`*_{}[\]#!|<>~$@]|:(?=\/\/)/g, '\\$&')
    .replace(/\b(www)\./gi, '$1\\.')
    .replaceAll('&', '&amp;');
}
