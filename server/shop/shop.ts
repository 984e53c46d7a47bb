/**
 * Owns the analysis of sheets in their folder: which shop sheet governs a sheet, which chassis sheet lies under a job, and the
 * one place where text becomes findings. What follows from a snapshot is kept until it, its chassis or its shop sheet changes.
 */
import type { Amplifier } from '../bench/model.ts';
import { resolveAmplifier } from '../bench/resolve.ts';
import { createReader, isStanding, type ReaderOptions } from '../dialect/note.ts';
import type { Finding } from '../rules/rule.ts';
import { type CheckInput, check } from '../rules/run.ts';
import { isSameList } from '../sheet/keeping.ts';
import type { Sheet } from '../sheet/model.ts';
import { readSheet } from '../sheet/read.ts';
import { defaultWords, type Words } from '../sheet/words.ts';
import type { Snapshot } from '../text/snapshot.ts';
import type { Files } from './files.ts';
import { type HouseRules, noHouseRules, type PageStyle, readHouseRules } from './house-sheet.ts';
import { createLinks } from './links.ts';
import { shopSheetsAbove } from './paths.ts';
import {
  type Earlier,
  type FindSheet,
  findEarlier,
  findUnder,
  type Lineage,
  type Under,
} from './sheets-under.ts';
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
    const { words } = rules;
    const sheet = sheetOf(snapshot, words);
    const find: FindSheet = async (uri) => {
      asked.push(uri);
      const there = await store.snapshot(uri);
      return there === undefined ? undefined : sheetOf(there, words);
    };
    const { chassis, follows, targets, missing: missingUnder } = await findUnder(sheet, find);
    const { earlier, missing: missingEarlier } = await findEarlier(sheet, find);
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
    const before = follows.at(-1);
    const below =
      chassis ?? (before === undefined ? undefined : { sheet: before, follows: follows.slice(0, -1) });
    const analysis = analysisOf(sheet, { chassis, follows, targets, missing }, earlier, rules, {
      houseProblems: () => (sheet.kind === 'shop' ? houseOf(snapshot).problems : undefined),
      chassisFindings: () => below && findingsAlone(below, rules),
    });
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

/** What follows from a sheet, those that lie under it and the rules of its house; `said` is asked once that is resolved. */
function analysisOf(
  sheet: Sheet,
  { chassis, follows, targets, missing }: Under,
  earlier: Earlier | undefined,
  { catalogue, house, options, page }: HouseRules,
  said: {
    readonly houseProblems: () => CheckInput['houseProblems'];
    readonly chassisFindings: () => CheckInput['chassisFindings'];
  },
): Analysis {
  const resolve = (of: Sheet, on: Sheet | undefined, after: readonly Sheet[]) =>
    resolveAmplifier(of, on, catalogue, { ...options, follows: after });
  const amplifier = resolve(sheet, chassis?.sheet, follows);
  const onTargets = targets.map(({ path, ...target }) => ({
    path,
    amplifier: resolve(target.sheet, undefined, target.follows),
  }));
  const [houseProblems, chassisFindings] = [said.houseProblems(), said.chassisFindings()];
  const input: CheckInput = {
    amplifier,
    catalogue,
    house,
    missing,
    ...(onTargets.length > 0 && { targets: onTargets }),
    ...(houseProblems && { houseProblems }),
    ...(chassisFindings && { chassisFindings }),
  };
  return {
    sheet,
    ...(chassis && { chassis: chassis.sheet }),
    follows,
    amplifier,
    findings: check(input),
    input,
    page,
    ...(earlier && {
      earlier: {
        sheet: earlier.sheet,
        amplifier: resolve(earlier.sheet, earlier.chassis?.sheet, earlier.chassis?.follows ?? []),
      },
    }),
  };
}

interface Kept {
  /** All sheets that the analysis rests on, in the order of their use. */
  readonly on: readonly Sheet[];
  readonly rules: HouseRules;
  readonly analysis: Analysis;
}

function sheetsIn(of: { readonly sheet?: Sheet; readonly follows?: readonly Sheet[] } | undefined) {
  return [...(of?.sheet === undefined ? [] : [of.sheet]), ...(of?.follows ?? [])];
}
