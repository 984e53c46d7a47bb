/** Owns the requests about one sheet as it stands: hover, values at line ends, places, outline and summary. */
import type { HoverParams, Hover as ProtocolHover } from 'vscode-languageserver';
import { definition } from '../features/definition.ts';
import { type Hover, hover } from '../features/hover.ts';
import { inlays } from '../features/inlays.ts';
import { findModLine, modHover } from '../features/mods.ts';
import { symbols } from '../features/symbols.ts';
import { type Analysis, sheetsOf } from '../shop/shop.ts';
import { renderHtml } from '../summary/html.ts';
import { languages } from '../summary/languages.ts';
import type { Context } from './context.ts';
import { toDocumentSymbol, toHover, toInlayHint } from './convert.ts';
import { cancelled, outOfDate } from './dispatch.ts';
import type { NearSheets } from './near-sheets.ts';
import { SUMMARY_REQUEST, type SummaryAnswer, type SummaryParams } from './protocol.ts';

const READERS = ['bench', 'customer', 'label'] as const;

export function registerReading(
  { about, abilities, connection, places, settings, typing }: Context,
  near: NearSheets,
): void {
  const shown = ({ sheet: { snapshot } }: Analysis, found: Hover | undefined): ProtocolHover | null => {
    const { readsMarkdown, writes } = abilities();
    const form = { isMarkdown: readsMarkdown, hasWriteCommand: writes };
    return found === undefined ? null : toHover(places, snapshot, found, form);
  };
  connection.onHover(
    about(['position'], (analysis, { position }: HoverParams, token) => {
      const offset = places.offsetAt(analysis.sheet.snapshot, position);
      const line = findModLine(analysis, offset);
      const own = hover(analysis, offset);
      if (line === undefined) return shown(analysis, own);
      return near.forHover(analysis, offset, token).then((others) => {
        if (others === undefined) return token.isCancellationRequested ? cancelled() : outOfDate();
        return shown(analysis, modHover(line, analysis, others, own));
      });
    }),
  );
  connection.languages.inlayHint.on(
    about(['range'], (analysis, { textDocument: { uri }, range }) => {
      if (!settings().inlayValues) return [];
      const { snapshot } = analysis.sheet;
      const shown = inlays(analysis, range.start.line, range.end.line, typing.line(uri));
      return shown.map((each) => toInlayHint(places, snapshot, each));
    }),
  );
  connection.onDefinition(
    about(['position'], (analysis, { position }) => {
      const found = definition(analysis, places.offsetAt(analysis.sheet.snapshot, position));
      const sheets = sheetsOf(analysis);
      return found.flatMap(({ file, span }) => {
        const sheet = sheets.find((each) => each.uri === file);
        return sheet === undefined ? [] : [{ uri: file, range: places.rangeOf(sheet.snapshot, span) }];
      });
    }),
  );
  connection.onDocumentSymbol(
    about([], (analysis) =>
      symbols(analysis, { headings: !abilities().showsHeadings }).map((each) =>
        toDocumentSymbol(places, analysis.sheet.snapshot, each),
      ),
    ),
  );
  connection.onRequest<SummaryAnswer | null, never>(
    SUMMARY_REQUEST,
    about([], (analysis, { reader, withReadings }: SummaryParams) => {
      const known = READERS.find((each) => each === reader) ?? 'bench';
      const options = { reader: known, withReadings: withReadings === true };
      return { html: renderHtml(analysis, options), language: languages[analysis.page.language].language };
    }),
  );
}
