/** Owns how a page says where a thing stands: the sheet's line, with the sheet's name where it is another one. */
import type { Source } from '../bench/model.ts';
import type { Analysis } from '../shop/shop.ts';
import { lineAt, type Snapshot } from '../text/snapshot.ts';
import type { Span } from '../text/span.ts';
import { words } from './words.ts';

export type FindPlace = (source: Source) => string;

/** Says a source as `line 41`, or `larch-20.b, line 12` of the chassis sheet. */
export function placesOf({ sheet, chassis }: Pick<Analysis, 'sheet' | 'chassis'>): FindPlace {
  return ({ file, span }) => {
    if (file === sheet.uri) return linesOf(sheet.snapshot, span);
    const name = sheetName(file);
    return file === chassis?.uri ? `${name}, ${linesOf(chassis.snapshot, span)}` : name;
  };
}

/** `line 41`, `lines 41–44`. */
export function linesOf(snapshot: Snapshot, { start, end }: Span): string {
  const first = lineAt(snapshot, start) + 1;
  const last = lineAt(snapshot, Math.max(start, end - 1)) + 1;
  return words.lines(first, last);
}

/** The file's own name without folder and ending. */
export function sheetName(uri: string): string {
  const name = uri.slice(uri.lastIndexOf('/') + 1).replace(/\.tagstrip\.md$/, '');
  try {
    return decodeURIComponent(name);
  } catch {
    return name;
  }
}
