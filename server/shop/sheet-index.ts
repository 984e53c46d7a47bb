/**
 * Owns what is known of all sheets at once: of each its kind, title, the sheets it names and the parts it speaks of, never its
 * text. It is built when first asked for; what changed since is read again at the next asking, all of it in one update. An open
 * buffer counts before its file.
 */
import { findBoundaries } from '../dialect/chunks.ts';
import { findFrontMatter } from '../dialect/front-matter.ts';
import { createReader, readNote } from '../dialect/note.ts';
import { findRefs } from '../dialect/ref-search.ts';
import type { Sheet, SheetKind } from '../sheet/model.ts';
import { readSheet } from '../sheet/read.ts';
import { createSnapshot, type Snapshot } from '../text/snapshot.ts';
import { type Files, isSkippedFolder } from './files.ts';
import { resolvePath } from './paths.ts';
import type { Store } from './store.ts';
import { inTurns } from './turns.ts';
import { canonicalUri, fileName } from './uris.ts';

/** One sheet among many. Sheets are spoken of by their keys (`canonicalUri`), since URIs are spelled in several ways. */
export interface SheetFacts {
  readonly key: string;
  /** As whoever opened or listed it spells it. */
  readonly uri: string;
  readonly kind: SheetKind;
  readonly title: string;
  readonly job?: string;
  readonly serial?: string;
  readonly model?: string;
  readonly revision?: string;
  /** Of a mod sheet: how others speak of it. */
  readonly name?: string;
  /** Of a job: it has gone out. */
  readonly isReturned: boolean;
  /** Keys of the sheets that its front matter names, there or not. */
  readonly chassis?: string;
  readonly follows?: string;
  readonly returns?: string;
  readonly writtenFor: readonly string[];
  /** How often something that looks like a ref stands in it, by name. A sheet that speaks of a part is among these; the reverse
   *  is for the sheet itself to say, for this also counts code, and words that nobody declared. */
  readonly names: ReadonlyMap<string, number>;
}

export interface SheetIndex {
  /** Folders that are looked through. Sheets outside them are known while they are open. */
  readonly setFolders: (uris: readonly string[]) => void;
  /** The folders hold other sheets now: they are looked through again at the next asking. */
  readonly relist: () => void;
  /** Keys of the sheets known at the last asking. */
  readonly keys: () => Iterable<string>;
  /** Everything, as it is now, by key; undefined where `isCancelled` said so on the way. */
  readonly facts: (isCancelled?: () => boolean) => Promise<ReadonlyMap<string, SheetFacts> | undefined>;
  /** The facts of one sheet, even of one outside the folders; undefined where it cannot be read. */
  readonly find: (uri: string) => Promise<SheetFacts | undefined>;
  /** One sheet as it reads now; nothing of it is kept. Undefined where it cannot be read. */
  readonly read: (uri: string) => Promise<Sheet | undefined>;
  /** Keys of files that are there and cannot be read. */
  readonly unread: () => ReadonlySet<string>;
  /** For tests: how often there was something to bring up to date. */
  readonly updates: () => number;
}

export interface SheetIndexOptions {
  readonly files: Files;
  readonly store: Store;
}

export function createSheetIndex({ files, store }: SheetIndexOptions): SheetIndex {
  const known = new Map<string, SheetFacts>();
  const unread = new Set<string>();
  /** Keys whose text may be another than the facts were taken from. */
  const stale = new Set<string>();
  /** The spelling by which a sheet is opened or listed. */
  const spelled = new Map<string, string>();
  const intern = createIntern();
  let folders: readonly string[] = [];
  let isListed = false;
  let updates = 0;
  let running: Promise<void> | undefined;

  const note = (uri: string): void => {
    const key = canonicalUri(uri);
    spelled.set(key, uri);
    stale.add(key);
  };
  store.listen(note);
  for (const uri of store.openUris()) note(uri);

  const uriOf = (key: string) => spelled.get(key) ?? key;
  const isInside = (key: string) => folders.some((folder) => isUnder(folder, key));

  const snapshotOf = async (key: string): Promise<Snapshot | undefined> => {
    const uri = uriOf(key);
    const open = store.open(uri);
    if (open !== undefined) return open;
    const text = await files.read(uri).catch(() => undefined);
    // It may have been opened while the disk was asked.
    return store.open(uri) ?? (text === undefined ? undefined : createSnapshot(uri, text));
  };

  const list = async (): Promise<void> => {
    isListed = true;
    const there = new Set(store.openUris().map(canonicalUri));
    for (const folder of folders) {
      for (const uri of await files.listSheets(folder).catch(() => [])) {
        const key = canonicalUri(uri);
        if (!spelled.has(key)) spelled.set(key, uri);
        there.add(key);
      }
    }
    for (const key of there) stale.add(key);
    for (const key of known.keys()) if (!there.has(key)) stale.add(key);
  };

  const bringUpToDate = async (key: string): Promise<void> => {
    const isWanted = store.open(uriOf(key)) !== undefined || isInside(key);
    const snapshot = isWanted ? await snapshotOf(key) : undefined;
    unread.delete(key);
    if (snapshot !== undefined) {
      known.set(key, factsOf(key, snapshot, intern));
      return;
    }
    known.delete(key);
    const uri = uriOf(key);
    spelled.delete(key);
    if (!isWanted) return;
    const isThere = await files.listSheets(uri).then(
      (found) => found.some((each) => canonicalUri(each) === key),
      () => false,
    );
    if (isThere) unread.add(key);
  };

  const update = async (isCancelled: () => boolean): Promise<void> => {
    updates++;
    if (!isListed) await list();
    const work = async (key: string): Promise<void> => {
      // Before its text is asked for: what is told of it from now on makes it stale again.
      stale.delete(key);
      await bringUpToDate(key);
    };
    await inTurns([...stale], work, isCancelled);
  };

  const settle = async (isCancelled: () => boolean): Promise<boolean> => {
    while (running !== undefined || !isListed || stale.size > 0) {
      if (isCancelled()) return false;
      // One update at a time; whoever comes meanwhile waits for it and looks again.
      running ??= update(isCancelled).finally(() => {
        running = undefined;
      });
      await running;
    }
    return true;
  };

  return {
    setFolders: (uris) => {
      folders = uris.map((uri) => canonicalUri(uri).replace(/\/+$/, ''));
      isListed = false;
    },
    relist: () => {
      isListed = false;
    },
    keys: () => known.keys(),
    facts: async (isCancelled = () => false) => ((await settle(isCancelled)) ? known : undefined),
    find: async (uri) => {
      const key = canonicalUri(uri);
      const there = stale.has(key) ? undefined : known.get(key);
      if (there !== undefined) return there;
      const snapshot = await snapshotOf(key);
      return snapshot === undefined ? undefined : factsOf(key, snapshot, intern);
    },
    read: async (uri) => {
      const snapshot = await snapshotOf(canonicalUri(uri));
      return snapshot === undefined ? undefined : readSheet(readNote(snapshot));
    },
    unread: () => unread,
    updates: () => updates,
  };
}

/** In the folder or below it, and in none that holds other people's files. */
function isUnder(folder: string, key: string): boolean {
  if (!key.startsWith(`${folder}/`)) return false;
  return !key
    .slice(folder.length + 1)
    .split('/')
    .some(isSkippedFolder);
}

/** Pieces of a sheet that are read for its title, at most. */
const MOST_PIECES = 4;

function factsOf(key: string, snapshot: Snapshot, intern: (text: string) => string): SheetFacts {
  const head = readHead(snapshot);
  const { kind, field } = head;
  const text = (name: string, as = name) => {
    const written = field(name)?.text;
    return written === undefined ? {} : { [as]: intern(written) };
  };
  const path = (name: string) => {
    const named = toKey(snapshot.uri, field(name)?.text, intern);
    return named === undefined ? {} : { [name]: named };
  };
  const entry = head.frontMatter?.entries.find((each) => each.key === 'written-for');
  const writtenFor = [entry?.scalar, ...(entry?.items ?? []).map(({ scalar }) => scalar)].flatMap((each) => {
    const named = kind === 'mod' ? toKey(snapshot.uri, each, intern) : undefined;
    return named === undefined ? [] : [named];
  });
  return {
    key: intern(key),
    uri: intern(snapshot.uri),
    kind,
    title: intern(titleOf(head)),
    ...text('job'),
    ...text('serial'),
    ...text('model'),
    ...text('revision'),
    ...(kind === 'mod' ? text('name') : {}),
    isReturned: (field('returned')?.text.trim() ?? '') !== '',
    ...path('chassis'),
    ...path('follows'),
    ...path('returns'),
    writtenFor,
    names: namesIn(snapshot, head.frontMatter?.span.end ?? 0, intern),
  };
}

function toKey(from: string, path: string | undefined, intern: (text: string) => string): string | undefined {
  const uri = path === undefined ? undefined : resolvePath(from, path);
  return uri === undefined ? undefined : intern(canonicalUri(uri));
}

/** The sheet's beginning, as far as its first heading: reading all of it for a title would cost ten times as much. */
function readHead(snapshot: Snapshot): Sheet {
  const { uri, text } = snapshot;
  const front = findFrontMatter(snapshot)?.end ?? 0;
  const reader = createReader();
  const cuts = [...findBoundaries(snapshot, front).slice(0, MOST_PIECES), text.length];
  let head: Sheet | undefined;
  for (const cut of cuts.slice(0, MOST_PIECES)) {
    head = readSheet(reader.readNote(createSnapshot(uri, text.slice(0, cut))));
    if (head.sections.length > 0) break;
  }
  // Of a sheet that is too large to be read, what it rests on is known all the same.
  if (head?.problems.some(({ kind }) => kind === 'sheet-too-large') === true)
    return readSheet(reader.readNote(createSnapshot(uri, text.slice(0, front))));
  return head ?? readSheet(reader.readNote(snapshot));
}

/** Never empty: a sheet that says nothing of itself goes by its file's name. */
function titleOf({ title, sections, uri }: Sheet): string {
  const said = title.trim() || (sections[0]?.heading.trim() ?? '');
  return said === '' ? fileName(uri) : said;
}

function namesIn(
  { text }: Snapshot,
  from: number,
  intern: (text: string) => string,
): ReadonlyMap<string, number> {
  const names = new Map<string, number>();
  for (const { name } of findRefs(text, { start: from, end: text.length })) {
    names.set(intern(name), (names.get(name) ?? 0) + 1);
  }
  return names;
}

/** Gives equal texts one copy each, and one that is no window on a whole sheet's text, which would keep that in memory. */
function createIntern(): (text: string) => string {
  const copies = new Map<string, string>();
  return (text) => {
    const there = copies.get(text);
    if (there !== undefined) return there;
    // Joining and cutting makes a text of its own.
    const copy = ` ${text}`.slice(1);
    copies.set(copy, copy);
    return copy;
  };
}
