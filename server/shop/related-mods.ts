/** Owns which mod sheets are near a job or chassis sheet, and which chassis sheets are near a mod sheet: its family, and other sheets of the same model. */
import { findFamily } from './family.ts';
import type { SheetFacts, SheetIndex } from './sheet-index.ts';

/** More than these nobody reads in a hover. */
const MOST = 12;

/** The chassis sheets that a mod may be done on, those it was written for first; undefined where it was cancelled. */
export async function chassisNear(
  index: SheetIndex,
  uri: string,
  isCancelled: () => boolean = () => false,
): Promise<readonly SheetFacts[] | undefined> {
  const found = await neighbours(index, uri, isCancelled);
  if (found === undefined) return undefined;
  const { self, chassis } = found;
  const isOwn = ({ key }: SheetFacts) => self.writtenFor.includes(key);
  return [...chassis.filter(isOwn), ...chassis.filter((each) => !isOwn(each))].slice(0, MOST);
}

/** The mod sheets that may be done on the amplifier of a sheet, and those that bear one of the names wherever they were written for. */
export async function modsNear(
  index: SheetIndex,
  uri: string,
  names: readonly string[],
  isCancelled: () => boolean = () => false,
): Promise<readonly SheetFacts[] | undefined> {
  const found = await neighbours(index, uri, isCancelled);
  const facts = await index.facts(isCancelled);
  if (found === undefined || facts === undefined) return undefined;
  const keys = new Set(found.chassis.map(({ key }) => key));
  const wanted = new Set(names.map((name) => name.toLowerCase()));
  return [...facts.values()]
    .filter(({ kind, writtenFor, name }) => {
      if (kind !== 'mod') return false;
      return (
        writtenFor.some((key) => keys.has(key)) || (name !== undefined && wanted.has(name.toLowerCase()))
      );
    })
    .sort((a, b) => (a.key < b.key ? -1 : 1));
}

/** The sheet with every chassis sheet of its family, and of the models in it. */
async function neighbours(
  index: SheetIndex,
  uri: string,
  isCancelled: () => boolean,
): Promise<{ readonly self: SheetFacts; readonly chassis: readonly SheetFacts[] } | undefined> {
  const family = await findFamily(index, uri, isCancelled);
  const facts = await index.facts(isCancelled);
  const [self] = family?.members ?? [];
  if (family === undefined || facts === undefined || self === undefined) return undefined;
  const own = family.members.filter(({ kind }) => kind === 'chassis');
  const models = new Set(own.flatMap(({ model }) => model?.trim().toLowerCase() ?? []));
  const keys = new Set(own.map(({ key }) => key));
  const others = [...facts.values()]
    .filter(
      ({ kind, key, model }) =>
        kind === 'chassis' && !keys.has(key) && model !== undefined && models.has(model.trim().toLowerCase()),
    )
    .sort((a, b) => (a.key < b.key ? -1 : 1));
  return { self, chassis: [...own, ...others] };
}
