/** Owns the request for what can be done at a place: fixes of its findings, offers to complete or accept, rewritings, and tidying. */
import { CodeActionKind, type CodeActionParams } from 'vscode-languageserver';
import { acceptances } from '../features/acceptances.ts';
import { addReading } from '../features/add-reading.ts';
import { connections, fixes } from '../features/fixes.ts';
import { moveToTable } from '../features/move-to-table.ts';
import { tidyAll, tidyHere } from '../features/tidy.ts';
import { modsWanted, writeMods } from '../features/write-mod.ts';
import type { Finding, Fix } from '../rules/rule.ts';
import type { Analysis } from '../shop/shop.ts';
import type { Span } from '../text/span.ts';
import type { Context } from './context.ts';
import { toCodeAction } from './convert.ts';
import { cancelled, outOfDate } from './dispatch.ts';
import type { NearSheets } from './near-sheets.ts';
import { snapshotsOf } from './report.ts';

/** Tidies the whole sheet, on demand or on saving. */
const TIDY = `${CodeActionKind.Source}.tidy`;

type Offer = (analysis: Analysis, at: Span) => readonly (Fix & { readonly finding?: Finding })[];

/** What is offered of each kind, in the order in which an editor shows it. */
const OFFERS: readonly (readonly [CodeActionKind, Offer])[] = [
  [
    CodeActionKind.QuickFix,
    (...asked) => [fixes, connections, acceptances].flatMap((offer) => offer(...asked)),
  ],
  [
    CodeActionKind.RefactorRewrite,
    (analysis, at) => [
      ...tidyHere(analysis.sheet, at),
      ...addReading(analysis, at),
      ...moveToTable(analysis, at),
    ],
  ],
  [TIDY, ({ sheet }) => tidyAll(sheet)],
];

export const ACTION_KINDS: readonly CodeActionKind[] = OFFERS.map(([kind]) => kind);

export function registerActions({ about, abilities, connection, places }: Context, near: NearSheets): void {
  connection.onCodeAction(
    about(['range', 'context'], (analysis, { range, context: { only } }: CodeActionParams, token) => {
      const { snapshot } = analysis.sheet;
      const snapshotOf = snapshotsOf(analysis);
      const at = places.spanOf(snapshot, range);
      const isWanted = (kind: CodeActionKind) => only?.some((wanted) => isKind(kind, wanted)) ?? true;
      const action = (kind: CodeActionKind) => (fix: Fix & { readonly finding?: Finding }) =>
        toCodeAction(places, snapshot, snapshotOf, { ...fix, kind }, abilities());
      const own = OFFERS.filter(([kind]) => isWanted(kind)).flatMap(([kind, offer]) =>
        offer(analysis, at).map(action(kind)),
      );
      if (!isWanted(CodeActionKind.RefactorRewrite) || modsWanted(analysis, at).length === 0) return own;
      return near.forActions(analysis, at, token).then((mods) => {
        if (mods === undefined) return token.isCancellationRequested ? cancelled() : outOfDate();
        return [...own, ...writeMods(analysis, at, mods).map(action(CodeActionKind.RefactorRewrite))];
      });
    }),
  );
}

/** Whether a kind of action is `wanted` or below it: asking for `quickfix` or for everything wants quick fixes. */
function isKind(kind: string, wanted: string): boolean {
  return wanted === '' || kind === wanted || kind.startsWith(`${wanted}.`);
}
