/** Owns printing one answer in the format that was asked for: a document for people, or its JSON. */
import type { SummaryDocument } from '../summary/document.ts';
import { printHtml } from '../summary/print-html.ts';
import { printMarkdown } from '../summary/print-markdown.ts';
import { documentText } from './document-text.ts';
import type { Desk } from './verb.ts';

/** The document as text, Markdown or a page on the paper of the first sheet's shop; `json` says the same to programs. */
export function printDocument(
  { call, setting, print }: Desk,
  document: SummaryDocument,
  json: Record<string, unknown>,
): void {
  if (call.format === 'json') print(`${JSON.stringify(json, null, 2)}\n`);
  else if (call.format === 'md') print(printMarkdown(document));
  else if (call.format === 'html') print(printHtml(document, call.page?.paper));
  else print(documentText(document, setting.terminal));
}
