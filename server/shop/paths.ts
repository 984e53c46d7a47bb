/** Owns how one sheet names another: a path relative to the sheet, resolved as a URI that may not leave the scheme it came from. */
import { encodeSegment } from './uris.ts';

/** The URI that `path`, written in the sheet at `from`, means; undefined where it is no path to a file beside it (a web address, say). */
export function resolvePath(from: string, path: string): string | undefined {
  const trimmed = path.trim();
  if (trimmed === '' || /^[a-z][a-z0-9+.-]*:/i.test(trimmed) || trimmed.startsWith('//')) return undefined;
  try {
    const base = new URL(placeOf(from));
    const target = new URL(encodePath(trimmed), base);
    return target.protocol === base.protocol && target.host === base.host ? target.href : undefined;
  } catch {
    return undefined;
  }
}

/** A sheet that was never saved lies where it will be saved: on this disk, or on the machine that its URI names. */
function placeOf(uri: string): string {
  return uri
    .replace(/^untitled:\/\/(?=[^/])/, 'vscode-remote://')
    .replace(/^untitled:(?:\/\/)?(?=\/)/, 'file://');
}

/** Characters that a file name may have and a URI takes for its own (`#`, `?`, `%`) are part of the name. */
function encodePath(path: string): string {
  return path.replaceAll('\\', '/').split('/').map(encodeSegment).join('/');
}

const SHOP_SHEET = 'shop.tagstrip.md';

/** Where the shop sheet that governs a sheet may be: its own folder first, then each folder above. */
export function shopSheetsAbove(uri: string): readonly string[] {
  const found: string[] = [];
  let at: URL;
  try {
    at = new URL(SHOP_SHEET, placeOf(uri));
  } catch {
    // A sheet that was never saved may have a name that is no place: nothing governs it.
    return [];
  }
  for (;;) {
    found.push(at.href);
    const above = new URL(`../${SHOP_SHEET}`, at);
    if (above.href === at.href) return found;
    at = above;
  }
}
