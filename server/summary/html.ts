/** Owns the summary as a page. */
import type { Analysis } from '../shop/shop.ts';
import { printHtml } from './print-html.ts';
import { type SummaryOptions, summarise } from './summary.ts';

/** One sheet's summary for one reader, whole in itself. The same analysis gives the same page, letter for letter. */
export function renderHtml(analysis: Analysis, options: SummaryOptions): string {
  return printHtml(summarise(analysis, options), analysis.page.paper);
}
