/**
 * Owns checking every sheet of the open folders where the settings ask for it. What a sheet said is kept, its analysis is not: a
 * folder of thousands costs its findings, and a change costs the sheets that rest on it.
 */
import { canonicalUri } from '../shop/uris.ts';
import type { Context } from './context.ts';
import { findReport, type Report } from './report.ts';

export interface AllSheets {
  /** Brings every report up to date, or as many until it is stopped. */
  readonly check: (round: Round) => Promise<void>;
  /** The reports as they stand, by the sheet's key; none where the settings do not ask for them. */
  readonly reports: () => ReadonlyMap<string, Report>;
  /** These sheets, and all that rests on them, may say something else now; without names, all of them and the folders too. */
  readonly outdate: (uris?: readonly string[]) => void;
  /** Resolves at the next `outdate`. */
  readonly change: () => Promise<void>;
}

export interface Round {
  readonly isStopped: () => boolean;
  /** So many of so many sheets are checked, and these since the last time. */
  readonly tell: (done: number, of: number, made: readonly Report[]) => void;
}

/** Milliseconds of work after which messages are let in. */
const SLICE = 10;

export function createAllSheets({
  after,
  files,
  folders,
  ...context
}: Pick<
  Context,
  'abilities' | 'after' | 'files' | 'folders' | 'settings' | 'shop' | 'places' | 'typing'
>): AllSheets {
  const { settings, shop } = context;
  const kept = new Map<string, Report>();
  /** Keys and names of the sheets to be checked; undefined where the folders must be listed again. */
  let listed: ReadonlyMap<string, string> | undefined;
  const stale = new Set<string>();
  let waiting: (() => void)[] = [];

  const list = async (): Promise<ReadonlyMap<string, string>> => {
    const found = await Promise.all(folders().map((folder) => files.listSheets(folder)));
    const all = new Map([...found.flat(), ...shop.store.openUris()].map((uri) => [canonicalUri(uri), uri]));
    for (const key of kept.keys()) if (!all.has(key)) kept.delete(key);
    return all;
  };
  /** Lets go of what was read, unless `isNeeded` by one of those that rest on it. */
  const letGo = (uri: string, isNeeded: (dependent: string) => boolean) => {
    if (!shop.dependents(uri).some(isNeeded)) shop.letGo(uri);
  };
  const bringUpToDate = async (key: string, uri: string): Promise<readonly Report[]> => {
    stale.delete(key);
    const report = await findReport(context, uri);
    if (report === undefined) kept.delete(key);
    else kept.set(key, report);
    return report === undefined ? [] : [report];
  };
  return {
    check: async ({ isStopped, tell }) => {
      if (!settings().checksAllSheets) return;
      const sheets = listed ?? (await list());
      listed = sheets;
      const work = [...sheets].filter(([key]) => stale.has(key) || !kept.has(key));
      let made: Report[] = [];
      let since = performance.now();
      for (const [i, [key, uri]] of work.entries()) {
        if (isStopped()) break;
        made.push(...(await bringUpToDate(key, uri)));
        // At once, but for what the others of this round may rest on: thousands of analyses would fill the memory.
        letGo(uri, () => true);
        if (performance.now() - since < SLICE) continue;
        tell(i + 1, work.length, made);
        made = [];
        await new Promise<void>((resolve) => after(0, resolve));
        since = performance.now();
      }
      for (const uri of sheets.values()) letGo(uri, (each) => shop.store.open(each) !== undefined);
    },
    reports: () => (settings().checksAllSheets ? kept : new Map()),
    outdate: (uris) => {
      for (const uri of uris ?? []) {
        stale.add(canonicalUri(uri));
        for (const each of shop.dependents(uri)) stale.add(canonicalUri(each));
        // A file that was not known, or may be gone: the folders are looked through again.
        if (listed?.has(canonicalUri(uri)) !== true || shop.store.open(uri) === undefined) listed = undefined;
      }
      if (uris === undefined) {
        kept.clear();
        listed = undefined;
      }
      const resolved = waiting;
      waiting = [];
      for (const resolve of resolved) resolve();
    },
    change: () => new Promise((resolve) => waiting.push(resolve)),
  };
}
