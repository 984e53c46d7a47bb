/** Owns which sheets the analysis of each sheet rested on, there or not, and so which sheets a change of one concerns. */
import { canonicalUri } from './uris.ts';

export interface Links {
  /** The last analysis of a sheet asked for these. */
  readonly set: (uri: string, asked: readonly string[]) => void;
  readonly dependents: (uri: string) => readonly string[];
  /** Keys of all sheets that were analysed or asked for, there or not. */
  readonly known: () => ReadonlySet<string>;
}

export function createLinks(): Links {
  const asked = new Map<string, ReadonlySet<string>>();
  /** The same the other way round: by the sheet that was asked for, those that asked, as they are spelled. */
  const askers = new Map<string, Map<string, string>>();
  return {
    set: (uri, uris) => {
      const key = canonicalUri(uri);
      for (const each of asked.get(key) ?? []) askers.get(each)?.delete(key);
      const keys = new Set(uris.map(canonicalUri));
      asked.set(key, keys);
      for (const each of keys) {
        const there = askers.get(each) ?? new Map<string, string>();
        there.set(key, uri);
        askers.set(each, there);
      }
    },
    dependents: (uri) => [...(askers.get(canonicalUri(uri))?.values() ?? [])],
    known: () => new Set([...asked.keys(), ...askers.keys()]),
  };
}
