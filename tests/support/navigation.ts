/**
 * Owns how tests go from name to name over several sheets: marked sheets in (`%%% jobs/7` starts another), readable text out. Each
 * is asked with LF, CRLF and a byte-order mark, and all must answer alike.
 */
import { findTarget, placesIn } from '../../server/features/named-places.ts';
import { highlights, references } from '../../server/features/references.ts';
import { relatives } from '../../server/features/relatives.ts';
import { prepareRename, rename } from '../../server/features/rename.ts';
import { memoryFiles } from '../../server/shop/files.ts';
import { createSheetIndex, type SheetIndex } from '../../server/shop/sheet-index.ts';
import { type Analysis, createShop } from '../../server/shop/shop.ts';
import { applyEdits } from '../../server/text/edits.ts';
import { lineAt, lineSpan } from '../../server/text/snapshot.ts';
import { getCursor, markSpans, variants } from './fixture.ts';

const uriOf = (path: string) => `file:///shop/${path}.tagstrip.md`;
const pathOf = (uri: string) => uri.replace('file:///shop/', '').replace('.tagstrip.md', '');

interface Asked {
  readonly analysis: Analysis;
  readonly offset: number;
  readonly index: SheetIndex;
  readonly texts: Readonly<Record<string, string>>;
}

/** Asks each variant and demands one answer. */
export async function askAll(
  marked: string,
  answer: (asked: Asked) => Promise<string> | string,
): Promise<string> {
  const answers = new Map<string, string>();
  for (const { name, fixture } of variants(marked, { emoji: false })) {
    const texts = Object.fromEntries(
      fixture.files.map(({ path, text }) => [uriOf(path.replace('.tagstrip.md', '')), text]),
    );
    const asked = fixture.files.find(({ cursor }) => cursor !== undefined);
    if (asked === undefined) throw new Error('no cursor in any sheet');
    const files = memoryFiles(texts);
    const shop = createShop({ files });
    const index = createSheetIndex({ files, store: shop.store });
    index.setFolders(['file:///shop']);
    const analysis = await shop.analyse(uriOf(asked.path.replace('.tagstrip.md', '')));
    if (analysis === undefined) throw new Error('the sheet is not there');
    const said = await answer({ analysis, offset: getCursor(asked), index, texts });
    answers.set(said.replaceAll('\r\n', '\n').replaceAll('\uFEFF', ''), name);
  }
  if (answers.size > 1) throw new Error(`the variants differ: ${JSON.stringify([...answers], undefined, 1)}`);
  return [...answers.keys()][0] ?? '';
}

/** Each line that refers to what is at the cursor, with the sheet and how. */
export function checkReferences(marked: string): Promise<string> {
  return askAll(marked, async ({ analysis, offset, index }) => {
    const target = findTarget(analysis, offset);
    if (target === undefined) return 'nothing';
    const family = await relatives(index, analysis, target);
    if (family === undefined) throw new Error('cancelled by nobody');
    return references(target, family.sheets)
      .map(({ sheet: { uri, snapshot }, span, how }) => {
        const line = lineSpan(snapshot, lineAt(snapshot, span.start));
        const inLine = { start: span.start - line.start, end: span.end - line.start };
        return `${pathOf(uri)}: ${markSpans(snapshot.text.slice(line.start, line.end), [inLine])} (${how})`;
      })
      .join('\n');
  });
}

/** The sheet with all that is highlighted in brackets. */
export function checkHighlights(marked: string): Promise<string> {
  return askAll(marked, ({ analysis, offset }) => {
    const found = highlights(analysis, offset);
    const text = markSpans(
      analysis.sheet.snapshot.text,
      found.map(({ span }) => span),
    );
    return `${text.trimEnd()}\n(${found.map(({ kind }) => kind).join(', ')})`;
  });
}

/**
 * The lines that a rename changes, by sheet, those in prose marked `?`; or why there are none. What it makes must say the same of
 * the new name as was said of the old.
 */
export function checkRename(marked: string, to: string): Promise<string> {
  return askAll(marked, async ({ analysis, offset, index }) => {
    const prepared = prepareRename(analysis, offset);
    if (!prepared.ok) return `no: ${prepared.reason}`;
    const family = await relatives(index, analysis, { kind: 'part', name: prepared.name }, to);
    if (family === undefined) throw new Error('cancelled by nobody');
    const made = rename(prepared.name, to, family);
    if (!made.ok) return `no: ${made.reason}`;
    const count = (text: string) => text.split(/\r\n|\n/);
    return made.sheets
      .flatMap(({ sheet, edits }) => {
        const { text } = sheet.snapshot;
        const before = count(text);
        const after = count(applyEdits(text, edits));
        const tagsOnly = count(
          applyEdits(
            text,
            edits.filter(({ isProse }) => !isProse),
          ),
        );
        if (before.length !== after.length) throw new Error('a rename changes no line ends');
        return after.flatMap((line, i) =>
          line === before[i] ? [] : `${pathOf(sheet.uri)}${line === tagsOnly[i] ? '' : '?'}: ${line}`,
        );
      })
      .join('\n');
  });
}

/** How often each part is named on a sheet. */
export function countNames(
  sheet: Parameters<typeof placesIn>[0],
  known: ReadonlySet<string>,
): Map<string, number> {
  const counts = new Map<string, number>();
  for (const { ref } of placesIn(sheet, known))
    if (ref !== undefined) counts.set(ref, (counts.get(ref) ?? 0) + 1);
  return counts;
}
