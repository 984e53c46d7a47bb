/**
 * Owns the analysis of sheets in their folder: which chassis sheet lies under a job, and the one place where text becomes
 * findings. A snapshot is read once, and everything that follows from it is kept until the snapshot or its chassis changes.
 */
import type { Amplifier } from '../bench/model.ts';
import { resolveAmplifier } from '../bench/resolve.ts';
import { builtInCatalogue, type Catalogue } from '../catalogue/find-valve.ts';
import { createReader } from '../dialect/note.ts';
import { defaultHouse, type House } from '../rules/house.ts';
import type { Finding, MissingSheet } from '../rules/rule.ts';
import { type CheckInput, check } from '../rules/run.ts';
import type { Sheet } from '../sheet/model.ts';
import { readSheet } from '../sheet/read.ts';
import type { Snapshot } from '../text/snapshot.ts';
import type { Files } from './files.ts';
import { resolvePath } from './paths.ts';
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
  readonly catalogue: Catalogue;
  readonly analyse: (uri: string) => Promise<Analysis | undefined>;
  /** The sheets whose analysis rests on this one: jobs on a chassis sheet. */
  readonly dependents: (uri: string) => readonly string[];
}

export interface ShopOptions {
  readonly files: Files;
  readonly house?: House;
  readonly catalogue?: Catalogue;
}

export function createShop({ files, house = defaultHouse, catalogue = builtInCatalogue }: ShopOptions): Shop {
  const store = createStore(files);
  const reader = createReader();
  const sheets = new WeakMap<Snapshot, Sheet>();
  const analyses = new WeakMap<
    Snapshot,
    { readonly chassis: Snapshot | undefined; readonly analysis: Analysis }
  >();
  const chassisOf = new Map<string, string>();

  const sheetOf = (snapshot: Snapshot): Sheet => {
    const known = sheets.get(snapshot);
    if (known !== undefined) return known;
    const sheet = readSheet(reader.readNote(snapshot));
    sheets.set(snapshot, sheet);
    return sheet;
  };

  const findChassis = async (
    sheet: Sheet,
  ): Promise<{ chassis?: Sheet; missing: readonly MissingSheet[] }> => {
    const named = sheet.field('chassis');
    chassisOf.delete(sheet.uri);
    if (named === undefined || named.text.trim() === '') return { missing: [] };
    const miss = (because: string) => ({
      missing: [{ field: 'chassis', path: named.text, span: named.span, because }],
    });
    const uri = resolvePath(sheet.uri, named.text);
    if (uri === undefined) return miss('is not a path to a sheet beside this one');
    if (uri === sheet.uri) return miss('is this sheet itself');
    chassisOf.set(sheet.uri, uri);
    const snapshot = await store.snapshot(uri);
    if (snapshot === undefined) return miss('there is no such file, or it cannot be read');
    return { chassis: sheetOf(snapshot), missing: [] };
  };

  /** A sheet by itself, as a chassis sheet is checked for what a job on it need not repeat. */
  const alone = new WeakMap<Snapshot, readonly Finding[]>();
  const findingsAlone = (sheet: Sheet): readonly Finding[] => {
    const known = alone.get(sheet.snapshot);
    if (known !== undefined) return known;
    const findings = check({ amplifier: resolveAmplifier(sheet, undefined, catalogue), catalogue, house });
    alone.set(sheet.snapshot, findings);
    return findings;
  };

  const analyseSnapshot = async (snapshot: Snapshot): Promise<Analysis> => {
    const sheet = sheetOf(snapshot);
    const { chassis, missing } = await findChassis(sheet);
    const known = analyses.get(snapshot);
    // A missing chassis sheet's message may change while the text does not, so only found ones are kept.
    if (known !== undefined && missing.length === 0 && known.chassis === chassis?.snapshot)
      return known.analysis;
    const amplifier = resolveAmplifier(sheet, chassis, catalogue);
    const input: CheckInput = {
      amplifier,
      catalogue,
      house,
      missing,
      ...(chassis === undefined ? {} : { chassisFindings: findingsAlone(chassis) }),
    };
    const analysis: Analysis = {
      sheet,
      ...(chassis ? { chassis } : {}),
      amplifier,
      findings: check(input),
      input,
    };
    analyses.set(snapshot, { chassis: chassis?.snapshot, analysis });
    return analysis;
  };

  return {
    store,
    catalogue,
    analyse: async (uri) => {
      const snapshot = await store.snapshot(uri);
      return snapshot === undefined ? undefined : analyseSnapshot(snapshot);
    },
    dependents: (uri) => [...chassisOf].filter(([, chassis]) => chassis === uri).map(([job]) => job),
  };
}
