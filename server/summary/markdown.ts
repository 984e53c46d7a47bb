/** Owns the summary as Markdown, for a git host or an e-mail. */
import type { Analysis } from '../shop/shop.ts';
import { printMarkdown } from './print-markdown.ts';
import { type SummaryOptions, summarise } from './summary.ts';

/** The same words as on the page. The same analysis gives the same text, letter for letter. */
export function renderMarkdown(analysis: Analysis, options: SummaryOptions): string {
  return printMarkdown(summarise(analysis, options));
}
