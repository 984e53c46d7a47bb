/**
 * Owns which sheets lie under a sheet: the chassis sheet of a job with the revisions that it follows, those that a mod sheet was
 * written for, the job that a job returns; and why one that is named is not there.
 */
import type { MissingSheet } from '../rules/rule.ts';
import type { Sheet } from '../sheet/model.ts';
import type { Span } from '../text/span.ts';
import { findChain } from './chain.ts';
import { resolvePath } from './paths.ts';
import { canonicalUri } from './uris.ts';

/** The sheet at a URI; it keeps in mind that it was asked for, there or not. */
export type FindSheet = (uri: string) => Promise<Sheet | undefined>;

/** A chassis sheet with the revisions that it follows, oldest first. */
export interface Lineage {
  readonly sheet: Sheet;
  readonly follows: readonly Sheet[];
}

export interface Under {
  readonly chassis?: Lineage;
  /** What the chassis sheet follows, or this sheet where it is one. */
  readonly follows: readonly Sheet[];
  readonly targets: readonly (Lineage & { readonly path: string })[];
  readonly missing: readonly MissingSheet[];
}

export interface Earlier {
  readonly sheet: Sheet;
  readonly chassis?: Lineage;
}

/**
 * The chassis sheet under a job, and under a mod sheet those that it was written for, the first of them in the place of one;
 * under a chassis sheet the revisions that it follows.
 */
export async function findUnder(sheet: Sheet, find: FindSheet): Promise<Under> {
  const missing: MissingSheet[] = [];
  const found: (Lineage & { readonly field: NamedSheet['field']; readonly path: string })[] = [];
  for (const named of namedSheets(sheet)) {
    const each = await findNamed(sheet, named, find);
    if ('because' in each) missing.push(each);
    // Each that a chain asks for is kept in mind, so that a change of the oldest is heard of here.
    else
      found.push({
        field: named.field,
        path: named.path,
        sheet: each,
        follows: (await findChain(each, find)).follows,
      });
  }
  const own = sheet.kind === 'chassis' ? await findChain(sheet, find) : undefined;
  if (own?.missing !== undefined) missing.push(own.missing);
  const targets = found.filter(({ field }) => field === 'written-for');
  const chassis = found.find(({ field }) => field === 'chassis') ?? targets[0];
  const follows = own?.follows ?? chassis?.follows ?? [];
  return { ...(chassis === undefined ? {} : { chassis }), follows, targets, missing };
}

/** The job that a job returns, with its own chassis sheet. One step back and no further, so a ring of jobs is harmless. */
export async function findEarlier(
  sheet: Sheet,
  find: FindSheet,
): Promise<{ readonly earlier?: Earlier; readonly missing: readonly MissingSheet[] }> {
  const returns = sheet.field('returns');
  if (sheet.kind !== 'job' || returns === undefined || returns.text.trim() === '') return { missing: [] };
  const named = { field: 'returns', path: returns.text, span: returns.span } as const;
  const found = await findNamed(sheet, named, find);
  if ('because' in found) return { missing: [found] };
  if (found.kind !== 'job') return { missing: [{ ...named, because: 'is no job sheet' }] };
  const { chassis } = await findUnder(found, find);
  return { earlier: { sheet: found, ...(chassis === undefined ? {} : { chassis }) }, missing: [] };
}

/** A sheet that another names, or why it is not there. */
async function findNamed(
  sheet: Sheet,
  { field, path, span }: NamedSheet,
  find: FindSheet,
): Promise<Sheet | MissingSheet> {
  const miss = (because: string): MissingSheet => ({ field, path, span, because });
  const uri = resolvePath(sheet.uri, path);
  if (uri === undefined) return miss('is not a path to a sheet beside this one');
  if (canonicalUri(uri) === canonicalUri(sheet.uri)) return miss('is this sheet itself');
  return (await find(uri)) ?? miss('there is no such file, or it cannot be read');
}

interface NamedSheet {
  readonly field: 'chassis' | 'written-for' | 'returns';
  readonly path: string;
  readonly span: Span;
}

/** The sheets that the front matter names; `written-for` of a mod sheet may list several. */
function namedSheets(sheet: Sheet): readonly NamedSheet[] {
  const chassis = sheet.field('chassis');
  const entry = sheet.frontMatter?.entries.find(({ key }) => key === 'written-for');
  const writtenFor = sheet.kind === 'mod' && entry !== undefined ? [entry, ...(entry.items ?? [])] : [];
  return [
    ...(chassis === undefined ? [] : [{ field: 'chassis' as const, path: chassis.text, span: chassis.span }]),
    ...writtenFor.flatMap(({ scalar, valueSpan }) =>
      scalar === undefined ? [] : [{ field: 'written-for' as const, path: scalar, span: valueSpan }],
    ),
  ].filter(({ path }) => path.trim() !== '');
}
