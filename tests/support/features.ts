/**
 * Owns how tests ask the editor's features: a marked sheet in, readable text out, with the slice of the sheet that each answer
 * is about. Every sheet is asked four ways (LF, CRLF, byte-order mark, 🔥 before the marks), and all must answer alike.
 */
import { completion } from '../../server/features/completion.ts';
import { definition } from '../../server/features/definition.ts';
import { diagnostics } from '../../server/features/diagnostics.ts';
import { connections, fixes } from '../../server/features/fixes.ts';
import { hover } from '../../server/features/hover.ts';
import { inlays } from '../../server/features/inlays.ts';
import { type OutlineSymbol, symbols } from '../../server/features/symbols.ts';
import type { SheetFacts } from '../../server/shop/sheet-index.ts';
import type { Analysis } from '../../server/shop/shop.ts';
import { applyEdits } from '../../server/text/edits.ts';
import { lineAt, lineSpan } from '../../server/text/snapshot.ts';
import type { Span } from '../../server/text/span.ts';
import { analyse, sayFinding } from './check.ts';
import { type FixtureFile, getCursor, markSpans, readFile, sliceOf, variants } from './fixture.ts';

export interface Options {
  /** Off where 🔥 before a mark would change what the line means: a list item that opens as a tag. */
  readonly emoji?: boolean;
  /** Sheets beside it, by path from it. */
  readonly others?: Readonly<Record<string, string>>;
  /** All sheets, for paths in the front matter. */
  readonly sheets?: readonly SheetFacts[];
  /** Off for an editor that lists headings itself. */
  readonly headings?: boolean;
  /** The line being typed, from 0. */
  readonly typing?: number;
}

/** The word hovered over in brackets, then the hover; `nothing` where there is none. */
export function checkHover(marked: string, options: Options = {}): Promise<string> {
  return ask(marked, options, (analysis, file) => {
    const found = hover(analysis, getCursor(file));
    if (found === undefined) return 'nothing';
    const workings = found.workings.flatMap(({ name, formula, numbers, result, limit, remarks }) => [
      `  ${name} ${result}${limit === undefined ? '' : `, ${limit}`}`,
      ...(formula === undefined ? [] : [`    ${formula}${numbers === undefined ? '' : ` = ${numbers}`}`]),
      ...remarks.map((remark) => `    (${remark})`),
    ]);
    return [
      `⟦${sliceOf(file.text, found.span)}⟧`,
      found.headline,
      ...(found.restsOn === undefined ? [] : [found.restsOn]),
      ...found.asides.flatMap(({ lines, small }) => [
        ...lines,
        ...(small === undefined ? [] : [`(${small})`]),
      ]),
      ...workings,
      ...found.footnotes.map((footnote) => `(${footnote})`),
      ...found.offers.map(({ because, title }) => `${because} (${title})`),
    ].join('\n');
  });
}

/** Every line that has a value, with the value behind it in guillemets. */
export function checkInlays(marked: string, options: Options = {}): Promise<string> {
  return ask(marked, options, (analysis, file) =>
    inlays(analysis, 0, Number.MAX_SAFE_INTEGER, options.typing)
      .map(({ line, offset, text }) => {
        const { start, end } = lineSpan(analysis.sheet.snapshot, line);
        if (offset !== end) throw new Error(`a value stands inside line ${line + 1}`);
        return `${file.text.slice(start, end)}  «${text}»`;
      })
      .join('\n'),
  );
}

/** What is replaced in brackets, then what is offered, in order; `nothing` where there is none. */
export function checkCompletion(marked: string, options: Options = {}): Promise<string> {
  return ask(marked, options, (analysis, file) => {
    const offers = completion(analysis, getCursor(file), { sheets: options.sheets ?? [] });
    const [first] = offers;
    if (first === undefined) return 'nothing';
    const isInOrder = offers.every(({ order }, i) => order === i);
    if (!isInOrder) throw new Error('the order is not that of the list');
    return [
      `⟦${sliceOf(file.text, first.replace)}⟧`,
      ...offers.map(
        ({ text, kind, detail }) => `${text} (${kind}${detail === undefined ? '' : `: ${detail}`})`,
      ),
    ].join('\n');
  });
}

/** File and line of each declaration, the declared name in brackets. */
export function checkDefinition(marked: string, options: Options = {}): Promise<string> {
  return ask(marked, options, (analysis, file) =>
    definition(analysis, getCursor(file))
      .map(({ file: uri, span }) => {
        const sheet = [analysis.sheet, analysis.chassis].find((each) => each?.uri === uri);
        if (sheet === undefined) throw new Error(`no sheet ${uri}`);
        const { snapshot } = sheet;
        const { start, end } = lineSpan(snapshot, lineAt(snapshot, span.start));
        const inLine = { start: span.start - start, end: span.end - start };
        const text = markSpans(snapshot.text.slice(start, end), [inLine]);
        return `${uri.split('/').at(-1)}: ${text}`;
      })
      .join('\n'),
  );
}

/** The outline, indented. */
export function checkSymbols(marked: string, options: Options = {}): Promise<string> {
  return ask(marked, options, (analysis, file) => {
    const say = (symbol: OutlineSymbol, indent: string): string => {
      const { name, kind, detail, span, nameSpan, children } = symbol;
      if (nameSpan.start < span.start || nameSpan.end > span.end)
        throw new Error(`${name} is outside itself`);
      for (const child of children)
        if (child.span.start < span.start || child.span.end > span.end)
          throw new Error(`${child.name} is outside ${name}`);
      const slice = sliceOf(file.text, nameSpan).replaceAll('\r\n', '\n');
      return [
        `${indent}${kind} ${name} ⟦${slice}⟧${kind === 'section' ? ` ${detail}` : ''}`,
        ...children.map((child) => say(child, `${indent}  `)),
      ].join('\n');
    };
    return symbols(analysis, { headings: options.headings ?? true })
      .map((symbol) => say(symbol, ''))
      .join('\n');
  });
}

/** Findings as an editor shows them while a line is being typed. */
export function checkDiagnostics(marked: string, options: Options = {}): Promise<string> {
  return ask(marked, options, (analysis, file) =>
    diagnostics(analysis, options.typing)
      .map((finding) => sayFinding(finding, file.text))
      .join('\n'),
  );
}

/**
 * Each fix at the first marked span, with the lines it changes. A fix must leave the rest of the text alone, keep its line
 * ends, mend its finding, and be offered no second time.
 */
export async function checkFixes(marked: string, options: Options = {}): Promise<string> {
  const laws: Promise<void>[] = [];
  const said = await ask(marked, options, (analysis, file) => {
    const at: Span = file.spans[0] ?? { start: getCursor(file), end: getCursor(file) };
    const own = fixes(analysis, at);
    for (const fix of own) laws.push(holdToLaws(file, fix.edits, fix.finding, options));
    return [...own, ...connections(analysis, at)]
      .map(({ title, edits, safety }) => {
        const fixed = applyEdits(file.text, edits);
        if (/[^\r]\n/.test(fixed) && /\r\n/.test(file.text)) throw new Error('a bare line end in CRLF text');
        const before = file.text.split(/\r\n|\n/);
        const lines = fixed.split(/\r\n|\n/).filter((line, i) => line !== before[i]);
        return [`${title} (${safety})`, ...lines.map((line) => `  ${line}`)].join('\n');
      })
      .join('\n');
  });
  await Promise.all(laws);
  return said;
}

async function holdToLaws(
  file: FixtureFile,
  edits: Parameters<typeof applyEdits>[1],
  finding: { readonly rule: string; readonly subject: string },
  { others }: Options,
): Promise<void> {
  const fixed = applyEdits(file.text, edits);
  const again = await analyse(fixed, others);
  const isSame = ({ rule, subject }: typeof finding) => rule === finding.rule && subject === finding.subject;
  if (again.findings.some(isSame)) throw new Error(`the fix did not mend ${finding.rule}: ${fixed}`);
}

/** Asks each variant and demands one answer, which has its no-break spaces written as spaces. */
async function ask(
  marked: string,
  { emoji, others }: Options,
  answer: (analysis: Analysis, file: FixtureFile) => string,
): Promise<string> {
  const answers = new Map<string, string>();
  const all = variants(marked, { emoji: false }).map(({ name, fixture }) => ({
    name,
    file: fixture.files[0],
  }));
  const withEmoji = { name: 'emoji' as const, file: readFile(putEmoji(marked)) };
  for (const { name, file } of emoji === false ? all : [...all, withEmoji]) {
    if (file === undefined) throw new Error('no file');
    const said = answer(await analyse(file.text, others), file);
    answers.set(said.replaceAll(/🔥 |\uFEFF/g, '').replaceAll('\u00a0', ' '), name);
  }
  if (answers.size > 1) throw new Error(`the variants differ: ${JSON.stringify([...answers], undefined, 1)}`);
  return [...answers.keys()][0] ?? '';
}

/** `🔥 ` before the tag that a mark stands in, or before the mark in prose: a tag itself must stay one. */
function putEmoji(marked: string): string {
  return marked.replace(/^[^\n]*?(?=(?:\{[^{}\n]*)?[‸⟦])/gm, (before) => `${before}🔥 `);
}
