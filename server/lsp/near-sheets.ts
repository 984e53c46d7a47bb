/** Owns fetching the analyses of sheets near the one that was asked about, for requests about mods, which speak of several sheets at once. */
import type { CancellationToken } from 'vscode-languageserver';
import { findModLine } from '../features/mods.ts';
import { modsWanted } from '../features/write-mod.ts';
import { chassisNear, modsNear } from '../shop/related-mods.ts';
import type { SheetFacts, SheetIndex } from '../shop/sheet-index.ts';
import type { Analysis, Shop } from '../shop/shop.ts';
import type { Span } from '../text/span.ts';
import { isCurrent } from './dispatch.ts';

export interface NearSheets {
  /** What a hover there wants of other sheets: nothing where no line speaks of a mod. Undefined where something changed meanwhile. */
  readonly forHover: (
    analysis: Analysis,
    offset: number,
    token: CancellationToken,
  ) => Promise<readonly Analysis[] | undefined>;
  /** The same for what can be done there. */
  readonly forActions: (
    analysis: Analysis,
    at: Span,
    token: CancellationToken,
  ) => Promise<readonly Analysis[] | undefined>;
}

export function createNearSheets(shop: Shop, sheets: () => SheetIndex): NearSheets {
  const analysed = async (
    asked: Analysis,
    find: (isCancelled: () => boolean) => Promise<readonly SheetFacts[] | undefined>,
    token: CancellationToken,
  ): Promise<readonly Analysis[] | undefined> => {
    const near = await find(() => token.isCancellationRequested);
    if (near === undefined) return undefined;
    const found: Analysis[] = [];
    for (const { uri } of near) {
      const analysis = await shop.analyse(uri);
      if (token.isCancellationRequested) return undefined;
      if (analysis !== undefined) found.push(analysis);
    }
    return [asked, ...found].every((each) => isCurrent(shop, each)) ? found : undefined;
  };
  return {
    forHover: async (analysis, offset, token) => {
      const line = findModLine(analysis, offset);
      if (line === undefined) return [];
      const { uri } = analysis.sheet;
      return analysed(
        analysis,
        (isCancelled) =>
          line.kind === 'change'
            ? chassisNear(sheets(), uri, isCancelled)
            : modsNear(sheets(), uri, [line.statement.mod], isCancelled),
        token,
      );
    },
    forActions: async (analysis, at, token) => {
      const wanted = modsWanted(analysis, at);
      if (wanted.length === 0) return [];
      const names = wanted === 'all' ? [] : wanted;
      return analysed(
        analysis,
        (isCancelled) => modsNear(sheets(), analysis.sheet.uri, names, isCancelled),
        token,
      );
    },
  };
}
