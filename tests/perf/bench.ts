/** Owns the benchmark: each figure as a ratio to a baseline measured in the same run. `npm run bench`, `npm run bench -- --json`. */
import { spawnSync } from 'node:child_process';
import { statSync } from 'node:fs';
import { join } from 'node:path';
import remarkFrontmatter from 'remark-frontmatter';
import remarkGfm from 'remark-gfm';
import remarkParse from 'remark-parse';
import { unified } from 'unified';
import { resolveAmplifier } from '../../server/bench/resolve.ts';
import { builtInCatalogue } from '../../server/catalogue/find-valve.ts';
import { createReader, type NoteReader } from '../../server/dialect/note.ts';
import { defaultHouse } from '../../server/rules/house.ts';
import { check } from '../../server/rules/run.ts';
import { readSheet } from '../../server/sheet/read.ts';
import { createSnapshot, type Snapshot } from '../../server/text/snapshot.ts';
import { printAlarms } from './alarms.ts';
import { measureCompare } from './compare.bench.ts';
import { measureFolder } from './folder.bench.ts';
import { longSheet } from './long-sheet.ts';
import { growthOf, median, medians } from './measure.ts';
import { measureShapes } from './shapes.bench.ts';
import { measureSolver } from './solver.bench.ts';
import { measureSummary } from './summary.bench.ts';
import { measureWorkspace } from './workspace.bench.ts';

interface Measured {
  readonly value: number;
  readonly unit: string;
  readonly baseline?: string;
  readonly ratio?: number;
}

/** The same extensions without the tag: what the text costs to parse at all. */
const bare = unified().use(remarkParse).use(remarkGfm).use(remarkFrontmatter).freeze();

/** As long as a server runs before anybody notices it: what is measured is compiled code, ours and the baseline's. */
const WARM = { runs: 31, warm: 20 };

/** Text to findings, with nothing kept from before. */
function analyse(text: string): number {
  return analyseSnapshot(createSnapshot('file:///long.tagstrip.md', text), createReader());
}

function analyseSnapshot(snapshot: Snapshot, reader: NoteReader): number {
  const sheet = readSheet(reader.readNote(snapshot));
  const amplifier = resolveAmplifier(sheet, undefined, builtInCatalogue);
  return check({ amplifier, catalogue: builtInCatalogue, house: defaultHouse }).length;
}

function analysisAgainstParse(): Measured {
  const text = longSheet(500);
  const [ours, parse] = medians(
    () => analyse(text),
    () => bare.parse(text),
    WARM,
  );
  return {
    value: ours,
    unit: 'ms',
    baseline: `bare remark-parse of the same 500 lines, ${parse.toFixed(1)} ms`,
    ratio: ours / parse,
  };
}

/** The exponent of a power law through the times at growing lengths: 1 is linear. */
function analysisGrowth(): Measured {
  const points = [250, 500, 1000, 2000, 4000].map((lines) => {
    const text = longSheet(lines);
    return [lines, median(() => analyse(text), { runs: 5, warm: 2 })] as const;
  });
  return { value: growthOf(points), unit: '1', baseline: 'linear growth is 1' };
}

/**
 * One letter after another typed in the middle: text to findings, with everything kept that an editor keeps. In prose, or a
 * digit in a chart's reading.
 */
function keystroke(lines: number, where: 'prose' | 'tag', runs: number): Measured {
  const text = longSheet(lines);
  const middle =
    where === 'prose'
      ? text.indexOf('\n\nA plain paragraph', text.length >> 1) + 10
      : text.indexOf(' | 0 | 1.4', text.length >> 1);
  const reader = createReader();
  let snapshot = createSnapshot('file:///long.tagstrip.md', text);
  let typed = 0;
  const type = () => {
    typed++;
    const put = where === 'prose' ? 'x'.repeat((typed % 9) + 1) : String(typed % 10);
    const next = `${text.slice(0, middle)}${put}${text.slice(middle)}`;
    snapshot = createSnapshot(snapshot.uri, next, typed, snapshot);
    analyseSnapshot(snapshot, reader);
  };
  // Ours is over in a moment: it is warmed up here, and then measured beside the other.
  analyseSnapshot(snapshot, reader);
  median(type, { runs: 1, warm: 30 });
  const [ours, parse] = medians(type, () => bare.parse(text), { runs, warm: 2 });
  return {
    value: ours,
    unit: 'ms',
    baseline: `bare remark-parse of the whole ${lines} lines, ${parse.toFixed(1)} ms`,
    ratio: ours / parse,
  };
}

function bundleSize(root: string): Measured {
  const bytes = ['tagstrip.cjs', 'tagstrip-lsp.cjs', 'extension.cjs', 'extension-server.cjs'].reduce(
    (sum, name) => sum + statSync(join(root, 'dist', name)).size,
    0,
  );
  return { value: bytes / 1e6, unit: 'MB' };
}

/** From starting the server's process to the first findings on its output. */
function coldStart(root: string): Measured {
  const message = (content: object) => {
    const body = JSON.stringify({ jsonrpc: '2.0', ...content });
    return `Content-Length: ${Buffer.byteLength(body)}\r\n\r\n${body}`;
  };
  const uri = 'file:///cold.tagstrip.md';
  const input = [
    message({ id: 1, method: 'initialize', params: { processId: null, rootUri: null, capabilities: {} } }),
    message({ method: 'initialized', params: {} }),
    message({
      method: 'textDocument/didOpen',
      params: {
        textDocument: {
          uri,
          languageId: 'markdown',
          version: 1,
          text: '# Job\n\n## As found\n\n- V5 = 6V6GT\n- V5: a 331, 38 A\n',
        },
      },
    }),
  ].join('');
  const script = `
    const { spawn } = require('node:child_process');
    const child = spawn(process.execPath, [${JSON.stringify(join(root, 'dist', 'tagstrip-lsp.cjs'))}, '--stdio']);
    const start = process.hrtime.bigint();
    child.stdout.on('data', (data) => {
      if (!String(data).includes('publishDiagnostics')) return;
      process.stdout.write(String(Number(process.hrtime.bigint() - start) / 1e6));
      child.kill();
    });
    child.stdin.write(${JSON.stringify(input)});
    setTimeout(() => process.exit(1), 20000).unref();
  `;
  const times = [1, 2, 3, 4, 5].map(() =>
    Number(spawnSync(process.execPath, ['-e', script], { encoding: 'utf8' }).stdout),
  );
  return { value: times.sort((a, b) => a - b)[2] ?? Number.NaN, unit: 'ms' };
}

async function measureAll(root: string): Promise<Readonly<Record<string, Measured>>> {
  return {
    'analyse-500-vs-parse': analysisAgainstParse(),
    'analyse-growth': analysisGrowth(),
    'keystroke-500-vs-parse': keystroke(500, 'prose', 21),
    'keystroke-10000-vs-parse': keystroke(10_000, 'prose', 5),
    'keystroke-tag-500-vs-parse': keystroke(500, 'tag', 21),
    'keystroke-tag-10000-vs-parse': keystroke(10_000, 'tag', 5),
    ...(await measureSummary()),
    ...(await measureCompare()),
    ...measureSolver(),
    ...measureShapes(),
    'cold-start': coldStart(root),
    ...measureFolder(root),
    ...measureWorkspace(root, (text) => void bare.parse(text)),
    bundle: bundleSize(root),
  };
}

function print(results: Readonly<Record<string, Measured>>): void {
  if (process.argv.includes('--json')) {
    console.log(JSON.stringify(results, null, 2));
    return;
  }
  for (const [name, { value, unit, baseline, ratio }] of Object.entries(results)) {
    const against = ratio === undefined ? (baseline ?? '') : `${ratio.toPrecision(3)}× of ${baseline}`;
    console.log(`${name.padEnd(26)} ${value.toPrecision(4).padStart(8)} ${unit.padEnd(3)} ${against}`);
  }
  console.log('');
  printAlarms((line) => console.log(line));
}

void measureAll(process.argv[2] ?? '.').then(print);
