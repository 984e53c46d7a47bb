/** Owns what the editor is to know of one sheet's findings: which of them, in its own counting, and a mark by which it knows them again. */
import type { Diagnostic } from 'vscode-languageserver';
import { diagnostics } from '../features/diagnostics.ts';
import { type Analysis, sheetsOf } from '../shop/shop.ts';
import { canonicalUri } from '../shop/uris.ts';
import type { Snapshot } from '../text/snapshot.ts';
import type { Context } from './context.ts';
import { toDiagnostic } from './convert.ts';
import { isCurrent } from './dispatch.ts';
import { isShown } from './settings.ts';

export interface Report {
  /** As the editor spells it where it has the sheet open. */
  readonly uri: string;
  readonly version: number | null;
  readonly items: Diagnostic[];
  /** The same for the same items, in this server's life and the next. */
  readonly id: string;
}

type Reporting = Pick<Context, 'abilities' | 'shop' | 'places' | 'typing' | 'settings'>;

/** Analyses a sheet until what came out is about the newest texts; undefined where there is no such sheet. */
export async function findReport(context: Reporting, uri: string): Promise<Report | undefined> {
  for (;;) {
    const analysis = await context.shop.analyse(uri);
    if (analysis === undefined) return undefined;
    if (isCurrent(context.shop, analysis)) return reportOf(context, analysis);
  }
}

function reportOf({ abilities, shop, places, typing, settings }: Reporting, analysis: Analysis): Report {
  const { uri } = analysis.sheet;
  const snapshotOf = snapshotsOf(analysis);
  const items = diagnostics(analysis, typing.line(uri))
    .filter(({ severity }) => isShown(severity, settings().minimum))
    .map((finding) => toDiagnostic(places, finding, snapshotOf, abilities()));
  return {
    uri,
    version: shop.store.open(uri)?.version ?? null,
    items,
    id: fingerprint(JSON.stringify(items)),
  };
}

/** The texts of all sheets that an analysis rests on, by their names. */
export function snapshotsOf(analysis: Analysis): (uri: string) => Snapshot | undefined {
  const texts = new Map(sheetsOf(analysis).map(({ uri, snapshot }) => [canonicalUri(uri), snapshot]));
  return (uri) => texts.get(canonicalUri(uri));
}

/** Two sums over the text that differ in their steps, and its length: the same text gives the same, another hardly ever. */
function fingerprint(text: string): string {
  let one = 0x811c9dc5;
  let other = 0x9747b28c;
  for (let i = 0; i < text.length; i++) {
    const code = text.charCodeAt(i);
    one = Math.imul(one ^ code, 0x01000193);
    other = Math.imul(other + code, 0x85ebca6b) ^ (other >>> 13);
  }
  return [one, other, text.length].map((part) => (part >>> 0).toString(36)).join('-');
}
