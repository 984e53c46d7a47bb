/** Owns the requests that lead from place to place over all sheets of the folders: references, renames, symbols, links; and folds and colours. */
import {
  type CancellationToken,
  LSPErrorCodes,
  MessageType,
  type Position,
  ResponseError,
  type SemanticTokensRangeParams,
  ShowMessageNotification,
} from 'vscode-languageserver';
import { declaration } from '../features/declaration.ts';
import { folds } from '../features/folding.ts';
import { isInFrontMatter } from '../features/front-matter-completion.ts';
import { type Link, links } from '../features/links.ts';
import { findTarget } from '../features/named-places.ts';
import { highlights, references } from '../features/references.ts';
import { relatives } from '../features/relatives.ts';
import { findHindrance, prepareRename, type RenameFamily, rename } from '../features/rename.ts';
import { semanticTokens } from '../features/semantic-tokens.ts';
import { workspaceSymbols } from '../features/workspace-symbols.ts';
import type { Sheet } from '../sheet/model.ts';
import { findResting } from '../shop/family.ts';
import { createSheetIndex, type SheetIndex } from '../shop/sheet-index.ts';
import { type Analysis, sheetsOf } from '../shop/shop.ts';
import type { Context } from './context.ts';
import {
  toDocumentLink,
  toFoldingRange,
  toHighlight,
  toLocation,
  toSheetLocation,
  toSymbolInformation,
  toWorkspaceEdit,
} from './convert-navigation.ts';
import { cancelled, isCurrent, outOfDate } from './dispatch.ts';
import { toSemanticTokens } from './tokens.ts';

interface Asked {
  readonly textDocument: { readonly uri: string };
  readonly position: Position;
}

/** Registers the handlers, and answers with the index that they share. */
export function registerNavigation(context: Context): () => SheetIndex {
  const { about, abilities, answered, connection, files, folders, places, shop } = context;
  const index = createSheetIndex({ files, store: shop.store });
  let looked: readonly string[] | undefined;
  /** The index, for the folders that are open now. */
  const sheets = (): SheetIndex => {
    const now = folders();
    if (now !== looked) index.setFolders(now);
    looked = now;
    return index;
  };
  const isNow = ({ uri, snapshot }: Sheet) => {
    const open = shop.store.open(uri);
    return open === undefined || open === snapshot;
  };
  const refused = (reason: string) => new ResponseError<never>(LSPErrorCodes.RequestFailed, reason);

  /** The sheet asked about, if its analysis is still that of the text which the position speaks of. */
  const analyse = async (uri: string): Promise<Analysis | ResponseError<never> | null> => {
    const asked = shop.store.open(uri);
    const analysis = await shop.analyse(uri);
    if (analysis === undefined) return null;
    return shop.store.open(uri) === asked && isCurrent(shop, analysis) ? analysis : outOfDate();
  };
  /** Reads the family, and answers from it if nothing has changed meanwhile. */
  const withFamily = async <R>(
    analysis: Analysis,
    target: { readonly kind: 'part' | 'point'; readonly name: string },
    other: string | undefined,
    token: CancellationToken,
    answer: (family: RenameFamily) => R,
  ): Promise<R | ResponseError<never>> => {
    const isCancelled = () => token.isCancellationRequested;
    const family = await relatives(sheets(), analysis, target, other, isCancelled);
    if (family === undefined) return isCancelled() ? cancelled() : outOfDate();
    // From here to the answer nothing is awaited.
    return family.sheets.every(isNow) && isCurrent(shop, analysis) ? answer(family) : outOfDate();
  };

  connection.onReferences(
    answered(
      ['textDocument', 'position', 'context'],
      async ({ textDocument: { uri }, position, context: { includeDeclaration } }, token) => {
        const analysis = await analyse(uri);
        if (analysis === null || analysis instanceof ResponseError) return analysis;
        const target = findTarget(analysis, places.offsetAt(analysis.sheet.snapshot, position));
        if (target === undefined) {
          if (!isInFrontMatter(analysis.sheet, places.offsetAt(analysis.sheet.snapshot, position))) return [];
          // The head of a sheet stands for the sheet: what refers to it is what rests on it.
          const resting = await findResting(sheets(), uri, () => token.isCancellationRequested);
          return resting === undefined ? cancelled() : resting.map((each) => toSheetLocation(each.uri));
        }
        return withFamily(analysis, target, undefined, token, (family) =>
          references(target, family.sheets)
            .filter(({ how }) => includeDeclaration || how !== 'declaration')
            .map((each) => toLocation(places, each)),
        );
      },
    ),
  );
  connection.onDeclaration(
    about(['position'], (analysis, { position }: Asked) => {
      const found = declaration(analysis, places.offsetAt(analysis.sheet.snapshot, position));
      return found.flatMap(({ file, span }) => {
        const sheet = sheetsOf(analysis).find(({ uri }) => uri === file);
        return sheet === undefined ? [] : [toLocation(places, { sheet, span })];
      });
    }),
  );
  connection.onDocumentHighlight(
    about(['position'], (analysis, { position }: Asked) => {
      const { snapshot } = analysis.sheet;
      return highlights(analysis, places.offsetAt(snapshot, position)).map((each) =>
        toHighlight(places, snapshot, each),
      );
    }),
  );
  connection.onPrepareRename(
    answered(['textDocument', 'position'], async ({ textDocument: { uri }, position }, token) => {
      const analysis = await analyse(uri);
      if (analysis === null || analysis instanceof ResponseError) return analysis;
      const { snapshot } = analysis.sheet;
      const prepared = prepareRename(analysis, places.offsetAt(snapshot, position));
      if (!prepared.ok) return refused(prepared.reason);
      const { name: placeholder } = prepared;
      const range = places.rangeOf(snapshot, prepared.span);
      return withFamily(analysis, { kind: 'part', name: placeholder }, undefined, token, (family) => {
        const hindrance = findHindrance(placeholder, family);
        return hindrance === undefined ? { range, placeholder } : refused(hindrance.reason);
      });
    }),
  );
  connection.onRenameRequest(
    answered(
      ['textDocument', 'position', 'newName'],
      async ({ textDocument: { uri }, position, newName }, token) => {
        const analysis = await analyse(uri);
        if (analysis === null || analysis instanceof ResponseError) return analysis;
        const prepared = prepareRename(analysis, places.offsetAt(analysis.sheet.snapshot, position));
        if (!prepared.ok) return refused(prepared.reason);
        const { name } = prepared;
        return withFamily(analysis, { kind: 'part', name }, newName, token, (family) => {
          const made = rename(name, newName, family);
          if (!made.ok) return refused(made.reason);
          const { asksBeforeEdits, takesVersionedEdits } = abilities();
          const form = {
            isVersioned: takesVersionedEdits,
            asksFirst: asksBeforeEdits,
            versionOf: (file: string) => shop.store.open(file)?.version ?? null,
          };
          const left = made.sheets.flatMap(({ edits }) => edits.filter(({ isProse }) => isProse)).length;
          if (left > 0 && !(asksBeforeEdits && takesVersionedEdits)) {
            void connection.sendNotification(ShowMessageNotification.type, {
              type: MessageType.Info,
              message: `${name} was renamed in tags. ${left === 1 ? 'One bare word' : `${left} bare words`} in prose may mean it too and ${left === 1 ? 'was' : 'were'} left: this editor cannot ask before it changes them.`,
            });
          }
          return toWorkspaceEdit(places, made, form);
        });
      },
    ),
  );
  connection.onWorkspaceSymbol(
    answered(['query'], async ({ query }, token) => {
      const isCancelled = () => token.isCancellationRequested;
      const found = await workspaceSymbols(sheets(), query, isCancelled);
      return found === undefined ? cancelled() : found.map((each) => toSymbolInformation(places, each));
    }),
  );
  connection.onFoldingRanges(
    about([], (analysis) => folds(analysis, { headings: !abilities().showsHeadings }).map(toFoldingRange)),
  );
  connection.onDocumentLinks(
    answered(['textDocument'], async ({ textDocument: { uri } }, token) => {
      const analysis = await analyse(uri);
      if (analysis === null || analysis instanceof ResponseError) return analysis;
      // An editor that reads Markdown links its photos itself.
      const found = links(analysis).filter(({ kind }) => kind === 'sheet' || !abilities().showsHeadings);
      const there = await Promise.all(found.map(isThere));
      if (token.isCancellationRequested) return cancelled();
      if (!isCurrent(shop, analysis)) return outOfDate();
      const { snapshot } = analysis.sheet;
      return found.filter((_, i) => there[i] === true).map((each) => toDocumentLink(places, snapshot, each));
    }),
  );
  /** A link that leads nowhere would only offer to make an empty file. */
  const isThere = async ({ uri, kind }: Link): Promise<boolean> => {
    if (shop.store.open(uri) !== undefined) return true;
    if (files.has !== undefined) return files.has(uri);
    return kind === 'sheet' && (await files.read(uri)) !== undefined;
  };
  connection.languages.semanticTokens.on(
    about([], (analysis) => toSemanticTokens(places, analysis.sheet.snapshot, semanticTokens(analysis))),
  );
  connection.languages.semanticTokens.onRange(
    about(['range'], (analysis, { range }: SemanticTokensRangeParams) => {
      const { snapshot } = analysis.sheet;
      return toSemanticTokens(places, snapshot, semanticTokens(analysis, places.spanOf(snapshot, range)));
    }),
  );
  return sheets;
}
