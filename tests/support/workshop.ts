/** Owns how tests make a small workshop: sheets held in memory under `/shop/`, each analysed as the command line does it. */
import { memoryFiles } from '../../server/shop/files.ts';
import { type Analysis, createShop } from '../../server/shop/shop.ts';

/** The analyses of the job sheets among them, in the order given; `path` is the one given. */
export async function analyseJobs(
  sheets: Readonly<Record<string, string>>,
): Promise<readonly { readonly path: string; readonly analysis: Analysis }[]> {
  const files = Object.fromEntries(
    Object.entries(sheets).map(([path, text]) => [`file:///shop/${path}`, text]),
  );
  const shop = createShop({ files: memoryFiles(files) });
  const analyses: { path: string; analysis: Analysis }[] = [];
  for (const path of Object.keys(sheets)) {
    const analysis = await shop.analyse(`file:///shop/${path}`);
    if (analysis?.sheet.kind === 'job') analyses.push({ path, analysis });
  }
  return analyses;
}

/** Text as printed, with ordinary spaces. */
export function plainSpaces(text: string): string {
  return text.replaceAll('\u00a0', ' ');
}
