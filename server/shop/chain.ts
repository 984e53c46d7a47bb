/**
 * Owns the chain of chassis sheets that follow each other: each names the revision before it, and the oldest comes first.
 * A sheet that cannot be read ends the chain, and so does one that was there already.
 */
import type { MissingSheet } from '../rules/rule.ts';
import type { Sheet } from '../sheet/model.ts';
import { resolvePath } from './paths.ts';
import { canonicalUri, fileName } from './uris.ts';

export interface Chain {
  /** Oldest first, without the sheet that it was asked of. */
  readonly follows: readonly Sheet[];
  /** What is wrong with this sheet's own line; a sheet further back has that said of itself. */
  readonly missing?: MissingSheet;
}

/** The sheets that a chassis sheet rests on. `find` answers with the sheet at a URI, and keeps in mind that it was asked for. */
export async function findChain(
  sheet: Sheet,
  find: (uri: string) => Promise<Sheet | undefined>,
): Promise<Chain> {
  const follows: Sheet[] = [];
  const seen = new Set([canonicalUri(sheet.uri)]);
  const end = (because?: string, advice?: string): Chain => {
    const own = sheet.field('follows');
    return {
      follows: follows.reverse(),
      ...(because !== undefined &&
        own !== undefined && {
          missing: {
            field: 'follows',
            path: own.text,
            span: own.span,
            because,
            ...(advice !== undefined && { advice }),
          },
        }),
    };
  };
  for (let at = sheet; ; ) {
    const named = at.field('follows');
    if (named === undefined || named.text.trim() === '') return end();
    const isOwn = at === sheet;
    const uri = resolvePath(at.uri, named.text);
    if (uri === undefined) return end(isOwn ? 'is not a path to a sheet beside this one' : undefined);
    const key = canonicalUri(uri);
    if (seen.has(key)) {
      // A ring that this sheet is no part of is said in the sheets that it is made of.
      if (key !== canonicalUri(sheet.uri)) return end();
      if (isOwn) return end('is this sheet itself', ROUND);
      const ring = [sheet, ...follows, sheet].map(({ uri: each }) => fileName(each)).join(', then ');
      return end(`leads round to this sheet again (${ring})`, ROUND);
    }
    seen.add(key);
    const next = await find(uri);
    if (next === undefined) return end(isOwn ? 'there is no such file, or it cannot be read' : undefined);
    if (next.kind !== 'chassis')
      return end(isOwn ? 'is no chassis sheet' : undefined, 'Its front matter would say sheet: chassis.');
    follows.push(next);
    at = next;
  }
}

const ROUND =
  'A revision follows an older one and none may follow a newer: one of these lines is wrong. Each sheet is read once.';
