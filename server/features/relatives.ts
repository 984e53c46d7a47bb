/** Owns which other sheets are read to go from name to name: those of the family that speak of the part at all. */
import type { Sheet } from '../sheet/model.ts';
import { findFamily } from '../shop/family.ts';
import type { SheetFacts, SheetIndex } from '../shop/sheet-index.ts';
import type { Analysis } from '../shop/shop.ts';
import { inTurns } from '../shop/turns.ts';
import { type Target, wholeOf } from './named-places.ts';
import type { RenameFamily } from './rename.ts';

const never = () => false;

/** The sheets that may speak of the target or of `other`, the asked one first; undefined where it was cancelled. */
export async function relatives(
  index: SheetIndex,
  { sheet }: Analysis,
  target: Pick<Target, 'kind' | 'name'>,
  other?: string,
  isCancelled: () => boolean = never,
): Promise<RenameFamily | undefined> {
  const family = await findFamily(index, sheet.uri, isCancelled);
  if (family === undefined) return undefined;
  const wholes = new Set([target.name, ...(other === undefined ? [] : [other])].map(wholeOf));
  const speaks = ({ names }: SheetFacts) =>
    target.kind === 'point' || [...names.keys()].some((name) => wholes.has(wholeOf(name)));
  // The first is the sheet that was asked about.
  const others = family.members.slice(1).filter(speaks);
  const read = await inTurns(others, async ({ uri }) => ({ uri, sheet: await index.read(uri) }), isCancelled);
  if (read === undefined) return undefined;
  const gone = read.flatMap((each) => (each.sheet === undefined ? [each.uri] : []));
  return {
    sheets: [
      sheet,
      ...read.flatMap((each): readonly Sheet[] => (each.sheet === undefined ? [] : [each.sheet])),
    ],
    missing: [...family.missing.map(({ uri }) => uri), ...gone, ...index.unread()],
    shared: family.shared.filter(speaks).map(({ uri }) => uri),
  };
}
