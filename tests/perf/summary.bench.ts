/** Measures how long the bench's page of a long sheet takes against the analysis that it is made from. */
import { performance } from 'node:perf_hooks';
import { memoryFiles } from '../../server/shop/files.ts';
import { createShop } from '../../server/shop/shop.ts';
import { renderHtml } from '../../server/summary/html.ts';
import { longSheet } from './long-sheet.ts';

const URI = 'file:///long.tagstrip.md';
const RUNS = 9;
const WARM = 4;

/** 500 lines with some changes of parts, as a job has them: each change is worked out for the page. */
function text(): string {
  const work = [10, 30, 50, 70].map(
    (ref) =>
      `- C${ref} = 22n 630V film -> 10n 630V film\n- R${ref} = 100k 0.5W carbon film -> 100k 1W film\n`,
  );
  return `${longSheet(490)}\n## Work\n\n${work.join('')}`;
}

/** Milliseconds of the median; every run reads, analyses and renders from nothing, so that no run finds another's work done. */
export async function measureSummary(): Promise<
  Record<
    string,
    { readonly value: number; readonly unit: string; readonly baseline: string; readonly ratio: number }
  >
> {
  const sheet = text();
  const times = { analysis: [] as number[], page: [] as number[] };
  for (let run = 0; run < RUNS + WARM; run++) {
    const start = performance.now();
    const analysis = await createShop({ files: memoryFiles({ [URI]: sheet }) }).analyse(URI);
    const middle = performance.now();
    if (analysis === undefined) throw new Error('the long sheet is not there');
    renderHtml(analysis, { reader: 'bench' });
    const end = performance.now();
    if (run < WARM) continue;
    times.analysis.push(middle - start);
    times.page.push(end - middle);
  }
  const [analysis, page] = [median(times.analysis), median(times.page)];
  return {
    'summary-500-vs-analysis': {
      value: page,
      unit: 'ms',
      baseline: `the analysis of the same 500 lines, ${analysis.toFixed(1)} ms`,
      ratio: page / analysis,
    },
  };
}

function median(times: readonly number[]): number {
  return [...times].sort((a, b) => a - b)[times.length >> 1] ?? Number.NaN;
}
