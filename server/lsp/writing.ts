/** Owns the requests that help while a tag is being written: what may come next, and what the whole of it is like. */
import { CompletionTriggerKind } from 'vscode-languageserver';
import { completion } from '../features/completion.ts';
import { isInFrontMatter } from '../features/front-matter-completion.ts';
import { signature } from '../features/signature.ts';
import type { SheetIndex } from '../shop/sheet-index.ts';
import type { Context } from './context.ts';
import { toCompletionItem } from './convert.ts';
import { cancelled, isCurrent, outOfDate } from './dispatch.ts';

/** `sheets` is asked only in the front matter, where paths to other sheets are written. */
export function registerWriting(
  { about, answered, connection, places, shop }: Context,
  sheets: () => SheetIndex,
): void {
  connection.onCompletion(
    answered(['textDocument', 'position'], async ({ textDocument: { uri }, position, context }, token) => {
      const asked = shop.store.open(uri);
      const analysis = await shop.analyse(uri);
      if (analysis === undefined) return null;
      if (shop.store.open(uri) !== asked || !isCurrent(shop, analysis)) return outOfDate();
      const { snapshot } = analysis.sheet;
      const offset = places.offsetAt(snapshot, position);
      const isCancelled = () => token.isCancellationRequested;
      const known = isInFrontMatter(analysis.sheet, offset) ? await sheets().facts(isCancelled) : new Map();
      if (known === undefined) return cancelled();
      // From here to the answer nothing is awaited.
      if (!isCurrent(shop, analysis)) return outOfDate();
      const isByTheWay = context?.triggerKind === CompletionTriggerKind.TriggerCharacter;
      return completion(analysis, offset, { sheets: known.values(), isByTheWay }).map((each) =>
        toCompletionItem(places, snapshot, each),
      );
    }),
  );
  connection.onSignatureHelp(
    about(['position'], (analysis, { position }) => {
      const found = signature(analysis, places.offsetAt(analysis.sheet.snapshot, position));
      if (found === undefined) return null;
      const { label, parameters, active } = found;
      return {
        signatures: [
          {
            label,
            parameters: parameters.map(({ at, about: documentation }) => ({
              label: [at.start, at.end],
              documentation,
            })),
          },
        ],
        activeSignature: 0,
        activeParameter: active,
      };
    }),
  );
}
