/**
 * Owns the analysis of sheets in their folder: which shop sheet governs a sheet, which chassis sheet lies under a job, and the
 * one place where text becomes findings. What follows from a snapshot is kept until it, its chassis or its shop sheet changes.
 */
import type { Amplifier } from '../bench/model.ts';
import { resolveAmplifier } from '../bench/resolve.ts';
import { createReader } from '../dialect/note.ts';
import type { Finding, MissingSheet } from '../rules/rule.ts';
import { type CheckInput, check } from '../rules/run.ts';
import type { Sheet } from '../sheet/model.ts';
import { readSheet } from '../sheet/read.ts';
import { defaultWords, type Words } from '../sheet/words.ts';
import type { Snapshot } from '../text/snapshot.ts';
import type { Files } from './files.ts';
import { type HouseRules, noHouseRules, readHouseRules } from './house-sheet.ts';
import { resolvePath, shopSheetsAbove } from './paths.ts';
import { createStore, type Store } from './store.ts';

/** All that is known of one sheet at one moment. */
export interface Analysis {
  readonly sheet: Sheet;
  readonly chassis?: Sheet;
  readonly amplifier: Amplifier;
  readonly findings: readonly Finding[];
  /** What the findings were checked from, for fixes. */
  readonly input: CheckInput;
}

export interface Shop {
  readonly store: Store;
  readonly analyse: (uri: string) => Promise<Analysis | undefined>;
  /** The sheets whose analysis rests on this one: jobs on a chassis sheet, all that a shop sheet governs. */
  readonly dependents: (uri: string) => readonly string[];
}

export interface ShopOptions {
  readonly files: Files;
}

export function createShop({ files }: ShopOptions): Shop {
  const store = createStore(files);
  const reader = createReader();
  const sheets = new WeakMap<Snapshot, { readonly words: Words; readonly sheet: Sheet }>();
  const houses = new WeakMap<Snapshot, HouseRules>();
  const analyses = new WeakMap<Snapshot, Kept>();
  const alone = new WeakMap<Sheet, { readonly rules: HouseRules; readonly findings: readonly Finding[] }>();
  /** For each sheet that was analysed, the sheets it rested on, there or not. */
  const restsOn = new Map<string, readonly string[]>();

  const sheetOf = (snapshot: Snapshot, words: Words): Sheet => {
    const known = sheets.get(snapshot);
    if (known?.words === words) return known.sheet;
    const sheet = readSheet(reader.readNote(snapshot), words);
    sheets.set(snapshot, { words, sheet });
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
      if (candidate !== uri) asked.push(candidate);
      const snapshot = await store.snapshot(candidate);
      if (snapshot !== undefined) return houseOf(snapshot);
    }
    return noHouseRules;
  };

  const findChassis = async (sheet: Sheet, words: Words, asked: string[]): Promise<ChassisFound> => {
    const named = sheet.field('chassis');
    if (named === undefined || named.text.trim() === '') return { missing: [] };
    const miss = (because: string): ChassisFound => ({
      missing: [{ field: 'chassis', path: named.text, span: named.span, because }],
    });
    const uri = resolvePath(sheet.uri, named.text);
    if (uri === undefined) return miss('is not a path to a sheet beside this one');
    if (uri === sheet.uri) return miss('is this sheet itself');
    asked.push(uri);
    const snapshot = await store.snapshot(uri);
    if (snapshot === undefined) return miss('there is no such file, or it cannot be read');
    return { chassis: sheetOf(snapshot, words), missing: [] };
  };

  /** A sheet by itself, as a chassis sheet is checked for what a job on it need not repeat. */
  const findingsAlone = (sheet: Sheet, rules: HouseRules): readonly Finding[] => {
    const known = alone.get(sheet);
    if (known?.rules === rules) return known.findings;
    const { catalogue, house, options } = rules;
    const findings = check({
      amplifier: resolveAmplifier(sheet, undefined, catalogue, options),
      catalogue,
      house,
    });
    alone.set(sheet, { rules, findings });
    return findings;
  };

  const analyseSnapshot = async (snapshot: Snapshot): Promise<Analysis> => {
    const asked: string[] = [];
    const rules = await findHouse(snapshot.uri, asked);
    const { catalogue, house, options, words } = rules;
    const sheet = sheetOf(snapshot, words);
    const { chassis, missing } = await findChassis(sheet, words, asked);
    restsOn.set(snapshot.uri, asked);
    const known = analyses.get(snapshot);
    // A missing sheet's message may change while the text does not, so only found ones are kept.
    if (known !== undefined && missing.length === 0 && known.chassis === chassis && known.rules === rules) {
      return known.analysis;
    }
    const amplifier = resolveAmplifier(sheet, chassis, catalogue, options);
    const input: CheckInput = {
      amplifier,
      catalogue,
      house,
      missing,
      ...(sheet.kind === 'shop' ? { houseProblems: houseOf(snapshot).problems } : {}),
      ...(chassis === undefined ? {} : { chassisFindings: findingsAlone(chassis, rules) }),
    };
    const analysis: Analysis = {
      sheet,
      ...(chassis === undefined ? {} : { chassis }),
      amplifier,
      findings: check(input),
      input,
    };
    analyses.set(snapshot, { chassis, rules, analysis });
    return analysis;
  };

  return {
    store,
    analyse: async (uri) => {
      const snapshot = await store.snapshot(uri);
      return snapshot === undefined ? undefined : analyseSnapshot(snapshot);
    },
    dependents: (uri) => [...restsOn].filter(([, asked]) => asked.includes(uri)).map(([sheet]) => sheet),
  };
}

interface Kept {
  readonly chassis: Sheet | undefined;
  readonly rules: HouseRules;
  readonly analysis: Analysis;
}

interface ChassisFound {
  readonly chassis?: Sheet;
  readonly missing: readonly MissingSheet[];
}
