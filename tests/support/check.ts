/** Owns how tests ask for findings: sheets held in memory, one analysis, findings as lines that a technician can read. */
import type { Finding } from '../../server/rules/rule.ts';
import { memoryFiles } from '../../server/shop/files.ts';
import { type Analysis, createShop } from '../../server/shop/shop.ts';

export const SHEET = 'file:///shop/jobs/job.tagstrip.md';

/** The analysis of one sheet, with others beside it by path (`../chassis/x.tagstrip.md`). */
export async function analyse(
  text: string,
  others: Readonly<Record<string, string>> = {},
): Promise<Analysis> {
  const texts = Object.fromEntries(
    Object.entries(others).map(([path, content]) => [new URL(path, SHEET).href, content]),
  );
  const analysis = await createShop({ files: memoryFiles({ ...texts, [SHEET]: text }) }).analyse(SHEET);
  if (analysis === undefined) throw new Error('the sheet is not there');
  return analysis;
}

/** `error leaky-coupling C14 as-found "1.9"`: severity, rule, subject, phase, and the slice of text it points at. */
export function sayFinding(finding: Finding, text: string): string {
  const slice = text.slice(finding.source.span.start, finding.source.span.end).replace(/\s+/g, ' ');
  const what = [finding.severity, finding.rule, finding.subject, finding.phase].filter(
    (word) => word !== undefined && word !== '',
  );
  return `${what.join(' ')} "${slice}"`;
}

export async function findingsOf(
  text: string,
  others?: Readonly<Record<string, string>>,
): Promise<readonly string[]> {
  const { findings } = await analyse(text, others);
  return findings.map((finding) => sayFinding(finding, text));
}
