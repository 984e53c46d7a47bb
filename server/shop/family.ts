/**
 * Owns which sheets share their parts' names: the chassis sheets that follow one another, the jobs on any of them, and the mod
 * sheets written for any of them. R17 of one is R17 of all.
 */
import { groupBy } from '../text/grouping.ts';
import type { SheetFacts, SheetIndex } from './sheet-index.ts';
import { canonicalUri } from './uris.ts';

export interface Family {
  /** All of them, the sheet that was asked about first. */
  readonly members: readonly SheetFacts[];
  /** Sheets that a member names and that cannot be read, each with the member. */
  readonly missing: readonly { readonly uri: string; readonly namedBy: SheetFacts }[];
  /** Mod sheets that are written for chassis sheets of another family too: a name in them means parts of both. */
  readonly shared: readonly SheetFacts[];
}

/** The family of a sheet; undefined where it was cancelled, or where the sheet itself is gone. */
export async function findFamily(
  index: SheetIndex,
  uri: string,
  isCancelled: () => boolean = () => false,
): Promise<Family | undefined> {
  const facts = await index.facts(isCancelled);
  const self = await index.find(uri);
  if (facts === undefined || self === undefined) return undefined;
  const missing: { readonly uri: string; readonly namedBy: SheetFacts }[] = [];
  /** A sheet may be named that lies outside the folders. */
  const find = async (key: string, namedBy: SheetFacts): Promise<SheetFacts | undefined> => {
    const found = facts.get(key) ?? (await index.find(key));
    if (found === undefined) missing.push({ uri: key, namedBy });
    return found;
  };

  const chain = new Map<string, SheetFacts>();
  const waiting: SheetFacts[] = [];
  const enter = (chassis: SheetFacts | undefined): void => {
    if (chassis === undefined || chain.has(chassis.key)) return;
    chain.set(chassis.key, chassis);
    waiting.push(chassis);
  };
  if (self.kind === 'chassis') enter(self);
  else {
    if (self.chassis !== undefined) enter(await find(self.chassis, self));
    for (const key of self.writtenFor) enter(await find(key, self));
  }
  const followers = groupBy(facts.values(), ({ follows }) => follows);
  for (let chassis = waiting.pop(); chassis !== undefined; chassis = waiting.pop()) {
    if (chassis.follows !== undefined) enter(await find(chassis.follows, chassis));
    for (const follower of followers.get(chassis.key) ?? []) enter(follower);
  }

  const members = new Map<string, SheetFacts>([[self.key, self], ...chain]);
  for (const each of facts.values()) {
    const isOnIt = each.chassis !== undefined && chain.has(each.chassis);
    if (isOnIt || each.writtenFor.some((key) => chain.has(key))) members.set(each.key, each);
  }
  const shared = [...members.values()].filter(
    ({ key, writtenFor }) =>
      key !== self.key && writtenFor.length > 0 && writtenFor.some((each) => !chain.has(each)),
  );
  const [first, ...others] = members.values();
  return {
    members: [...(first === undefined ? [] : [first]), ...others.sort(byKey)],
    missing,
    shared,
  };
}

/** The sheets that rest on this one: jobs on a chassis sheet, revisions that follow it, mods written for it, jobs that return it. */
export async function findResting(
  index: SheetIndex,
  uri: string,
  isCancelled: () => boolean = () => false,
): Promise<readonly SheetFacts[] | undefined> {
  const key = canonicalUri(uri);
  const facts = await index.facts(isCancelled);
  if (facts === undefined) return undefined;
  return [...facts.values()]
    .filter(
      ({ chassis, follows, returns, writtenFor }) =>
        chassis === key || follows === key || returns === key || writtenFor.includes(key),
    )
    .sort(byKey);
}

function byKey(a: SheetFacts, b: SheetFacts): number {
  return a.key < b.key ? -1 : a.key > b.key ? 1 : 0;
}
