/** Owns how a summary says where a thing stands: the sheet's line, with the sheet's name where it is another one. */
import type { Source } from '../bench/model.ts';
import type { Analysis } from '../shop/shop.ts';
import { sheetName } from '../shop/uris.ts';
import { lineAt } from '../text/snapshot.ts';
import type { Span } from '../text/span.ts';
import { aside, type Piece } from './document.ts';
import type { Words } from './words.ts';

export interface Places {
  /** `line 41`, or `larch-20.b, line 12` of the chassis sheet. */
  readonly say: (source: Source) => string;
  /** `lines 41–44` of this very sheet. */
  readonly saySpan: (span: Span) => string;
  /** The line from 0, where the place is in this very sheet: what the editor's panel goes to. */
  readonly line: (source: Source) => number | undefined;
  readonly lineOf: (span: Span) => number;
}

export function createPlaces(
  { sheet, chassis, follows, earlier }: Pick<Analysis, 'sheet' | 'chassis' | 'follows' | 'earlier'>,
  words: Words,
): Places {
  const others = [chassis, ...follows, earlier?.sheet].filter((each) => each !== undefined);
  const linesIn = ({ snapshot }: Pick<Analysis['sheet'], 'snapshot'>, { start, end }: Span): string => {
    const first = lineAt(snapshot, start) + 1;
    return words.lines(first, lineAt(snapshot, Math.max(start, end - 1)) + 1);
  };
  return {
    say: ({ file, span }) => {
      if (file === sheet.uri) return linesIn(sheet, span);
      const other = others.find(({ uri }) => uri === file);
      return other === undefined ? sheetName(file) : `${sheetName(file)}, ${linesIn(other, span)}`;
    },
    saySpan: (span) => linesIn(sheet, span),
    line: ({ file, span }) => (file === sheet.uri ? lineAt(sheet.snapshot, span.start) : undefined),
    lineOf: ({ start }) => lineAt(sheet.snapshot, start),
  };
}

/** In which sheet a thing stands, by the path that is shown for it. */
export function inSheet(path: string): Piece {
  return aside('place', { kind: 'sheet', path, text: sheetName(path) });
}

/** A path as an address: whatever its names are made of, they are names in it. */
export function addressOf(path: string): string {
  return path
    .split('/')
    .map((name) => encodeURIComponent(name).replace(/[()]/g, (sign) => (sign === '(' ? '%28' : '%29')))
    .join('/');
}
