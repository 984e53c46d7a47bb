/**
 * Owns the analysis of sheets in their folder: which shop sheet governs a sheet, which chassis sheet lies under a job, and the
 * one place where text becomes findings. What follows from a snapshot is kept until it, its chassis or its shop sheet changes.
 */
import type { Amplifier } from '../bench/model.ts';
import { resolveAmplifier } from '../bench/resolve.ts';
import { createReader, isStanding, type ReaderOptions } from '../dialect/note.ts';
import type { Finding, MissingSheet } from '../rules/rule.ts';
import { type CheckInput, check } from '../rules/run.ts';
import { isSameList } from '../sheet/keeping.ts';
import type { Sheet } from '../sheet/model.ts';
import { readSheet } from '../sheet/read.ts';
import { defaultWords, type Words } from '../sheet/words.ts';
import type { Snapshot } from '../text/snapshot.ts';
import type { Span } from '../text/span.ts';
import { findChain } from './chain.ts';
import type { Files } from './files.ts';
import { type HouseRules, noHouseRules, type PageStyle, readHouseRules } from './house-sheet.ts';
import { createLinks } from './links.ts';
import { resolvePath, shopSheetsAbove } from './paths.ts';
import { createStore, type Store } from './store.ts';
import { canonicalUri } from './uris.ts';

/** All that is known of one sheet at one moment. */
export interface Analysis {
  readonly sheet: Sheet;
  readonly chassis?: Sheet;
  /** The revisions that the chassis sheet (or this sheet, where it is one) follows, oldest first. */
  readonly follows: readonly Sheet[];
  readonly amplifier: Amplifier;
  readonly findings: readonly Finding[];
  /** What the findings were checked from, for fixes. */
  readonly input: CheckInput;
  /** How this shop prints its summaries. */
  readonly page: PageStyle;
  /** The earlier job that this one `returns`, as it stands by itself: its as-left is compared with today. */
  readonly earlier?: EarlierJob;
}

/** Every sheet that an analysis may point into, the nearest first: for whoever looks places up by their file. */
export function sheetsOf({ sheet, chassis, follows, amplifier, input }: Analysis): readonly Sheet[] {
  const targets = (input.targets ?? []).flatMap((target) => [
    target.amplifier.sheet,
    ...[...target.amplifier.follows].reverse(),
  ]);
  const all = [sheet, chassis, ...[...follows].reverse(), ...targets, amplifier.shopSheet];
  return [...new Set(all.filter((each) => each !== undefined))];
}

export interface EarlierJob {
  readonly sheet: Sheet;
  readonly amplifier: Amplifier;
}

export interface Shop {
  readonly store: Store;
  readonly analyse: (uri: string) => Promise<Analysis | undefined>;
  /** The sheets whose analysis rests on this one: jobs on a chassis sheet, all that a shop sheet governs. */
  readonly dependents: (uri: string) => readonly string[];
  /** Keys of all sheets that an analysis was made of or asked for, there or not. */
  readonly known: () => ReadonlySet<string>;
  /** Forgets a sheet's text and all that was made of it, but not what it rests on; it is read again when it is asked for. */
  readonly letGo: (uri: string) => void;
}

export interface ShopOptions extends ReaderOptions {
  readonly files: Files;
}

export function createShop({ files, ...forReader }: ShopOptions): Shop {
  const store = createStore(files);
  const reader = createReader(forReader);
  const sheets = new WeakMap<Snapshot, WeakMap<Words, Sheet>>();
  const houses = new WeakMap<Snapshot, HouseRules>();
  const analyses = new WeakMap<Snapshot, Kept>();
  const alone = new WeakMap<
    Sheet,
    { readonly rules: HouseRules; readonly follows: readonly Sheet[]; readonly findings: readonly Finding[] }
  >();
  const links = createLinks();

  const sheetOf = (snapshot: Snapshot, words: Words): Sheet => {
    const byWords = sheets.get(snapshot) ?? new WeakMap<Words, Sheet>();
    sheets.set(snapshot, byWords);
    const known = byWords.get(words);
    // One whose text was passed by is read by itself: its spans have moved on.
    if (known !== undefined && isStanding(known.note)) return known;
    const sheet = readSheet(reader.readNote(snapshot), words);
    byWords.set(words, sheet);
    return sheet;
  };

  const houseOf = (snapshot: Snapshot): HouseRules => {
    const known = houses.get(snapshot);
    if (known !== undefined) return known;
    const rules = readHouseRules(sheetOf(snapshot, defaultWords));
    houses.set(snapshot, rules);
    return rules;
  };

  /** The nearest shop sheet upwards; a shop sheet is governed by itself. */
  const findHouse = async (uri: string, asked: string[]): Promise<HouseRules> => {
    for (const candidate of shopSheetsAbove(uri)) {
      if (canonicalUri(candidate) !== canonicalUri(uri)) asked.push(candidate);
      const snapshot = await store.snapshot(candidate);
      if (snapshot !== undefined) return houseOf(snapshot);
    }
    return noHouseRules;
  };

  /** A sheet that another names, or why it is not there. */
  const findNamed = async (
    sheet: Sheet,
    { field, path, span }: NamedSheet,
    words: Words,
    asked: string[],
  ): Promise<Sheet | MissingSheet> => {
    const miss = (because: string): MissingSheet => ({ field, path, span, because });
    const uri = resolvePath(sheet.uri, path);
    if (uri === undefined) return miss('is not a path to a sheet beside this one');
    if (canonicalUri(uri) === canonicalUri(sheet.uri)) return miss('is this sheet itself');
    asked.push(uri);
    const snapshot = await store.snapshot(uri);
    if (snapshot === undefined) return miss('there is no such file, or it cannot be read');
    return sheetOf(snapshot, words);
  };

  /** A sheet with the revisions that it follows; each is asked for, so that a change of the oldest is heard of here. */
  const lineageOf = async (sheet: Sheet, words: Words, asked: string[]) => {
    const { follows, missing } = await findChain(sheet, async (uri) => {
      asked.push(uri);
      const snapshot = await store.snapshot(uri);
      return snapshot === undefined ? undefined : sheetOf(snapshot, words);
    });
    return { lineage: { sheet, follows }, missing };
  };

  /**
   * The chassis sheet under a job, and under a mod sheet those that it was written for, the first of them in the place of one;
   * under a chassis sheet the revisions that it follows.
   */
  const findUnder = async (sheet: Sheet, words: Words, asked: string[]): Promise<Under> => {
    const missing: MissingSheet[] = [];
    const found: (Lineage & { readonly field: NamedSheet['field']; readonly path: string })[] = [];
    for (const named of namedSheets(sheet)) {
      const each = await findNamed(sheet, named, words, asked);
      if ('because' in each) missing.push(each);
      else {
        const { lineage } = await lineageOf(each, words, asked);
        found.push({ field: named.field, path: named.path, ...lineage });
      }
    }
    const own = sheet.kind === 'chassis' ? await lineageOf(sheet, words, asked) : undefined;
    if (own?.missing !== undefined) missing.push(own.missing);
    const targets = found.filter(({ field }) => field === 'written-for');
    const chassis = found.find(({ field }) => field === 'chassis') ?? targets[0];
    const follows = own?.lineage.follows ?? chassis?.follows ?? [];
    return { ...(chassis === undefined ? {} : { chassis }), follows, targets, missing };
  };

  /** The job that a job returns, with its own chassis sheet. One step back and no further, so a ring of jobs is harmless. */
  const findEarlier = async (
    sheet: Sheet,
    words: Words,
    asked: string[],
  ): Promise<{ readonly earlier?: Earlier; readonly missing: readonly MissingSheet[] }> => {
    const returns = sheet.field('returns');
    if (sheet.kind !== 'job' || returns === undefined || returns.text.trim() === '') return { missing: [] };
    const named = { field: 'returns', path: returns.text, span: returns.span } as const;
    const found = await findNamed(sheet, named, words, asked);
    if ('because' in found) return { missing: [found] };
    if (found.kind !== 'job') return { missing: [{ ...named, because: 'is no job sheet' }] };
    const { chassis } = await findUnder(found, words, asked);
    return { earlier: { sheet: found, ...(chassis === undefined ? {} : { chassis }) }, missing: [] };
  };

  /** All that is said of a chassis sheet by itself, wherever it stands: what a job on it or a later revision need not repeat. */
  const findingsAlone = ({ sheet, follows }: Lineage, rules: HouseRules): readonly Finding[] => {
    const known = alone.get(sheet);
    if (known?.rules === rules && isSameList(known.follows, follows)) return known.findings;
    const { catalogue, house, options } = rules;
    const findings = check({
      amplifier: resolveAmplifier(sheet, undefined, catalogue, { ...options, follows }),
      catalogue,
      house,
      isEverywhere: true,
    });
    alone.set(sheet, { rules, follows, findings });
    return findings;
  };

  const analyseSnapshot = async (snapshot: Snapshot): Promise<Analysis> => {
    const asked: string[] = [];
    const rules = await findHouse(snapshot.uri, asked);
    const { catalogue, house, options, words } = rules;
    const sheet = sheetOf(snapshot, words);
    const { chassis, follows, targets, missing: missingUnder } = await findUnder(sheet, words, asked);
    const { earlier, missing: missingEarlier } = await findEarlier(sheet, words, asked);
    const missing = [...missingUnder, ...missingEarlier];
    links.set(snapshot.uri, asked);
    const known = analyses.get(snapshot);
    // A missing sheet's message may change while the text does not, so only found ones are kept.
    const on = [chassis, { follows }, ...targets, earlier, earlier?.chassis].flatMap(sheetsIn);
    if (
      known?.analysis.sheet === sheet &&
      missing.length === 0 &&
      known.rules === rules &&
      isSameList(known.on, on)
    )
      return known.analysis;
    const amplifier = resolveAmplifier(sheet, chassis?.sheet, catalogue, { ...options, follows });
    const before = follows.at(-1);
    const under =
      chassis ?? (before === undefined ? undefined : { sheet: before, follows: follows.slice(0, -1) });
    const input: CheckInput = {
      amplifier,
      catalogue,
      house,
      missing,
      ...(targets.length === 0
        ? {}
        : {
            targets: targets.map(({ path, sheet: target, follows: before }) => ({
              path,
              amplifier: resolveAmplifier(target, undefined, catalogue, { ...options, follows: before }),
            })),
          }),
      ...(sheet.kind === 'shop' ? { houseProblems: houseOf(snapshot).problems } : {}),
      ...(under === undefined ? {} : { chassisFindings: findingsAlone(under, rules) }),
    };
    const analysis: Analysis = {
      sheet,
      ...(chassis === undefined ? {} : { chassis: chassis.sheet }),
      follows,
      amplifier,
      findings: check(input),
      input,
      page: rules.page,
      ...(earlier === undefined
        ? {}
        : {
            earlier: {
              sheet: earlier.sheet,
              amplifier: resolveAmplifier(earlier.sheet, earlier.chassis?.sheet, catalogue, {
                ...options,
                follows: earlier.chassis?.follows ?? [],
              }),
            },
          }),
    };
    analyses.set(snapshot, { on, rules, analysis });
    return analysis;
  };

  return {
    store,
    analyse: async (uri) => {
      const snapshot = await store.snapshot(uri);
      return snapshot === undefined ? undefined : analyseSnapshot(snapshot);
    },
    dependents: links.dependents,
    known: links.known,
    letGo: (uri) => {
      store.release(uri);
      reader.forget(uri);
    },
  };
}

interface Kept {
  /** All sheets that the analysis rests on, in the order of their use. */
  readonly on: readonly Sheet[];
  readonly rules: HouseRules;
  readonly analysis: Analysis;
}

/** A chassis sheet with the revisions that it follows, oldest first. */
interface Lineage {
  readonly sheet: Sheet;
  readonly follows: readonly Sheet[];
}

interface Earlier {
  readonly sheet: Sheet;
  readonly chassis?: Lineage;
}

interface Under {
  readonly chassis?: Lineage;
  /** What the chassis sheet follows, or this sheet where it is one. */
  readonly follows: readonly Sheet[];
  readonly targets: readonly (Lineage & { readonly path: string })[];
  readonly missing: readonly MissingSheet[];
}

function sheetsIn(of: { readonly sheet?: Sheet; readonly follows?: readonly Sheet[] } | undefined) {
  return [...(of?.sheet === undefined ? [] : [of.sheet]), ...(of?.follows ?? [])];
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
