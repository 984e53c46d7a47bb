/** Every feature at every place of every sample and of scrambled ones: nothing throws, spans are inside, and long sheets cost in proportion. */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { acceptances } from '../../server/features/acceptances.ts';
import { completion } from '../../server/features/completion.ts';
import { declaration } from '../../server/features/declaration.ts';
import { definition } from '../../server/features/definition.ts';
import { diagnostics } from '../../server/features/diagnostics.ts';
import { connections, fixes } from '../../server/features/fixes.ts';
import { folds } from '../../server/features/folding.ts';
import { hover } from '../../server/features/hover.ts';
import { inlays } from '../../server/features/inlays.ts';
import { links } from '../../server/features/links.ts';
import { highlights } from '../../server/features/references.ts';
import { prepareRename } from '../../server/features/rename.ts';
import { semanticTokens } from '../../server/features/semantic-tokens.ts';
import { signature } from '../../server/features/signature.ts';
import { symbols } from '../../server/features/symbols.ts';
import { toHover } from '../../server/lsp/convert.ts';
import { createPlaces } from '../../server/lsp/positions.ts';
import { diskFiles } from '../../server/shop/disk-files.ts';
import { type Analysis, createShop } from '../../server/shop/shop.ts';
import { longSheet } from '../perf/long-sheet.ts';
import { median } from '../perf/measure.ts';
import { analyse } from '../support/check.ts';

const PLACES = createPlaces(() => 'utf-16');

const root = join(fileURLToPath(new URL('../..', import.meta.url)), 'samples');
const samples = readdirSync(root, { recursive: true, encoding: 'utf8' })
  .filter((path) => path.endsWith('.tagstrip.md'))
  .sort();

/** Hovers over every offset; asks the rest, which walks the sheet each time, at every `step`th. */
function askEverywhere(analysis: Analysis, step: number): void {
  const { snapshot } = analysis.sheet;
  const { length } = snapshot.text;
  const seen = new Set<number>();
  for (let offset = 0; offset <= length; offset++) {
    const found = hover(analysis, offset);
    if (found !== undefined) {
      const { start, end } = found.span;
      if (start > offset || offset > end || end > length)
        throw new Error(`a hover is elsewhere at ${offset}`);
      if (!seen.has(start)) {
        seen.add(start);
        const said = JSON.stringify(
          toHover(PLACES, snapshot, found, { isMarkdown: true, hasWriteCommand: true }),
        );
        expect(said).not.toMatch(/undefined|NaN|Infinity|\[object|\bsafe\b/);
      }
    }
    if (offset % step !== 0) continue;
    for (const { replace } of completion(analysis, offset)) {
      if (replace.end !== offset || replace.start < 0)
        throw new Error(`a completion replaces elsewhere at ${offset}`);
    }
    definition(analysis, offset);
    declaration(analysis, offset);
    prepareRename(analysis, offset);
    for (const { span } of highlights(analysis, offset)) {
      if (span.start < 0 || span.end > length) throw new Error(`a highlight is outside at ${offset}`);
    }
    const form = signature(analysis, offset);
    if (form !== undefined && form.parameters[form.active] === undefined)
      throw new Error(`no piece of the form is next at ${offset}`);
  }
}

function askAll(analysis: Analysis): void {
  const { lineStarts, text } = analysis.sheet.snapshot;
  const lines = inlays(analysis, 0, Number.MAX_SAFE_INTEGER).map(({ line }) => line);
  expect(new Set(lines).size).toBe(lines.length);
  for (const line of lines) expect(line).toBeLessThan(lineStarts.length);
  diagnostics(analysis, 0);
  symbols(analysis);
  links(analysis);
  for (const { from, to } of folds(analysis, { headings: true })) {
    if (from >= to || to >= lineStarts.length) throw new Error(`a fold from ${from} to ${to}`);
  }
  let end = 0;
  for (const { span } of semanticTokens(analysis)) {
    if (span.start < end || span.end <= span.start || span.end > text.length)
      throw new Error(`a token at ${span.start}`);
    end = span.end;
  }
  fixes(analysis, { start: 0, end: text.length });
  acceptances(analysis, { start: 0, end: text.length });
  connections(analysis, { start: 0, end: text.length });
}

describe.each(samples)('%s', (path) => {
  it('is answered at every offset', async () => {
    const analysis = await createShop({ files: diskFiles }).analyse(pathToFileURL(join(root, path)).href);
    if (analysis === undefined) throw new Error('not read');
    askEverywhere(analysis, 5);
    askAll(analysis);
  });
});

it('scrambled samples are answered without a throw', async () => {
  const fragments = samples.flatMap((path) => readFileSync(join(root, path), 'utf8').split(/(?<=\n)/));
  const nasty = [
    '\uFEFF',
    '\r',
    '\u2028',
    '🔥',
    '{',
    '}',
    '{? ',
    '| ',
    '\\|',
    '---\n',
    '\0',
    '\uD83D',
    '- V5: a ',
    '`',
    '$',
    ': ',
    '->',
    '&amp;',
  ];
  const piece = fc.oneof(fc.constantFrom(...fragments), fc.constantFrom(...nasty));
  await fc.assert(
    fc.asyncProperty(fc.array(piece, { maxLength: 25 }), async (pieces) => {
      const text = pieces.join('');
      const analysis = await analyse(text);
      askAll(analysis);
      askEverywhere(analysis, 3);
    }),
    { seed: 47, numRuns: 40 },
  );
});

it('cost grows with the length of a sheet and no faster', async () => {
  const [short, long] = [await analyse(longSheet(200)), await analyse(longSheet(1600))];
  const fresh = (analysis: Analysis): Analysis => ({
    ...analysis,
    // What is kept is kept by identity: new identities make everything anew.
    sheet: { ...analysis.sheet },
    amplifier: { ...analysis.amplifier, phases: analysis.amplifier.phases.map((view) => ({ ...view })) },
  });
  const cost = (analysis: Analysis) => () => {
    const all = fresh(analysis);
    askAll(all);
    const step = Math.ceil(all.sheet.snapshot.text.length / 400);
    for (let offset = 0; offset < all.sheet.snapshot.text.length; offset += step) hover(all, offset);
  };
  // Eight times the lines for eight times the time, twice that for what else the machine does; three rounds must all bend.
  const rounds = [0, 1, 2];
  const bends = rounds.every(
    () => median(cost(long), { runs: 3, warm: 1 }) > 16 * median(cost(short), { runs: 3, warm: 1 }),
  );
  expect(bends).toBe(false);
});
