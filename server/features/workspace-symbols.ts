/** Owns what is found by name over all sheets: the sheets themselves, the parts that they fit, and the headings of chassis and mod sheets. */
import type { Sheet } from '../sheet/model.ts';
import type { SheetFacts, SheetIndex } from '../shop/sheet-index.ts';
import { inTurns } from '../shop/turns.ts';
import { fileName } from '../shop/uris.ts';
import type { Span } from '../text/span.ts';

export interface FoundSymbol {
  readonly name: string;
  readonly kind: 'sheet' | 'part' | 'heading';
  /** The sheet that it stands on. */
  readonly container: string;
  readonly uri: string;
  /** Where it stands; absent for a sheet as a whole. */
  readonly at?: { readonly sheet: Sheet; readonly span: Span };
}

/** More sheets than these are not opened for one question, and more answers help nobody. */
const MOST_SHEETS = 150;
const MOST_SYMBOLS = 500;

/**
 * What `query` may mean. Headings of jobs are left out: every job has them, and they are the same. Undefined where it was
 * cancelled.
 */
export async function workspaceSymbols(
  index: SheetIndex,
  query: string,
  isCancelled: () => boolean,
): Promise<readonly FoundSymbol[] | undefined> {
  const facts = await index.facts(isCancelled);
  if (facts === undefined) return undefined;
  const wanted = query.trim().toLowerCase();
  const all = [...facts.values()].sort(baselineFirst);
  const sheets = all.filter((each) => isSheetWanted(each, wanted)).map(symbolOf);
  if (wanted === '') return sheets.slice(0, MOST_SYMBOLS);
  const candidates = all.filter(
    ({ kind, names }) =>
      kind === 'chassis' ||
      kind === 'mod' ||
      [...names.keys()].some((name) => name.toLowerCase().startsWith(wanted)),
  );
  const read = await inTurns(
    candidates.slice(0, MOST_SHEETS),
    async ({ uri, title }) => ({ title, sheet: await index.read(uri) }),
    isCancelled,
  );
  const inside = read?.flatMap(({ title, sheet }) =>
    sheet === undefined ? [] : symbolsIn(sheet, title, wanted),
  );
  return inside === undefined ? undefined : [...sheets, ...inside].slice(0, MOST_SYMBOLS);
}

function isSheetWanted({ title, uri, job, serial, model }: SheetFacts, wanted: string): boolean {
  return [title, fileName(uri), job, serial, model].some(
    (each) => each?.toLowerCase().includes(wanted) === true,
  );
}

/** Chassis sheets have most of what one looks for, and jobs the latest of it. */
function baselineFirst(a: SheetFacts, b: SheetFacts): number {
  const rank = ({ kind }: SheetFacts) => ['chassis', 'mod', 'job', 'shop'].indexOf(kind);
  return rank(a) - rank(b) || (a.key < b.key ? -1 : 1);
}

function symbolOf({ title, uri, kind, job, revision }: SheetFacts): FoundSymbol {
  const detail =
    job !== undefined ? `job ${job}` : revision !== undefined ? `revision ${revision}` : `${kind} sheet`;
  return { name: title, kind: 'sheet', container: detail, uri };
}

function symbolsIn(sheet: Sheet, container: string, wanted: string): readonly FoundSymbol[] {
  const { uri } = sheet;
  const parts = sheet.mentions.flatMap(({ how, name, ref, span }): readonly FoundSymbol[] =>
    how === 'declaration' && ref === name && name.toLowerCase().startsWith(wanted)
      ? [{ name, kind: 'part', container, uri, at: { sheet, span } }]
      : [],
  );
  if (sheet.kind !== 'chassis' && sheet.kind !== 'mod') return parts;
  const headings = sheet.sections.flatMap(({ heading, headingSpan }): readonly FoundSymbol[] =>
    heading !== '' && heading.toLowerCase().includes(wanted)
      ? [{ name: heading, kind: 'heading', container, uri, at: { sheet, span: headingSpan } }]
      : [],
  );
  return [...headings, ...parts];
}
