/**
 * Owns the verb `stats`: what reading a folder costs, phase by phase and rule by rule, and on which sheet the most. The figures
 * are for comparing two editions of Tagstrip on one machine; they say nothing of an amplifier.
 */
import { createReader } from '../dialect/note.ts';
import { hover } from '../features/hover.ts';
import { rules } from '../rules/registry.ts';
import { contextFor } from '../rules/run.ts';
import { readSheet } from '../sheet/read.ts';
import { defaultWords } from '../sheet/words.ts';
import { diskFiles } from '../shop/disk-files.ts';
import { createSnapshot } from '../text/snapshot.ts';
import { pathOf } from './desk.ts';
import { VERSION } from './json.ts';
import { plain } from './terminal.ts';
import type { ShopVerb } from './verb.ts';

/** Hovers asked for of one sheet, evenly spread over its text. */
const HOVERS = 100;

/** Milliseconds of one phase, over all that was timed. */
interface Phase {
  readonly name: string;
  readonly count: number;
  readonly total: number;
  readonly p50: number;
  readonly p95: number;
  readonly max: number;
  /** The sheet with the longest. */
  readonly worst: string;
}

export const statsVerb: ShopVerb = {
  name: 'stats',
  formats: ['text', 'json'],
  options: [],
  does: 'what reading the sheets costs: milliseconds by phase and by rule',
  run: async ({ call, setting, shop, sheets, print }) => {
    const uris = await sheets();
    const [phases, byRule] = [createTimes(), createTimes()];
    let characters = 0;
    for (const uri of uris) {
      const file = pathOf(uri, setting.folder);
      const text = (await phases.timeLater('load', file, () => diskFiles.read(uri))) ?? '';
      characters += text.length;
      const snapshot = createSnapshot(uri, text);
      const note = phases.time('parse', file, () => createReader().readNote(snapshot));
      phases.time('read', file, () => readSheet(note, defaultWords));
      const analysis = await phases.timeLater('analyse', file, () => shop.analyse(uri));
      if (analysis === undefined) continue;
      for (const rule of rules)
        byRule.time(rule.id, file, () => rule.check(contextFor(analysis.input, rule)));
      const step = Math.max(1, text.length / HOVERS);
      for (let at = 0; at < text.length; at += step)
        phases.time('hover', file, () => hover(analysis, Math.floor(at)));
      if (analysis.sheet.kind === 'job') shop.letGo(uri);
    }
    const stats = {
      sheets: uris.length,
      characters,
      heap: process.memoryUsage().heapUsed,
      phases: phases.all(),
      rules: byRule.all().toSorted((a, b) => b.total - a.total),
    };
    print(
      call.format === 'json'
        ? `${JSON.stringify({ tagstrip: VERSION, stats }, null, 2)}\n`
        : `${table('phase', stats.phases)}\n${table('rule', stats.rules)}\n${uris.length} ${uris.length === 1 ? 'sheet' : 'sheets'}, ${characters} characters; heap at the end ${(stats.heap / 1e6).toFixed(0)} MB\n`,
    );
    return 0;
  },
};

function createTimes() {
  const times = new Map<string, { readonly ms: number; readonly file: string }[]>();
  const add = (name: string, file: string, ms: number): void => {
    const list = times.get(name) ?? [];
    times.set(name, list);
    list.push({ ms, file });
  };
  return {
    time: <T>(name: string, file: string, work: () => T): T => {
      const start = performance.now();
      const result = work();
      add(name, file, performance.now() - start);
      return result;
    },
    timeLater: async <T>(name: string, file: string, work: () => Promise<T>): Promise<T> => {
      const start = performance.now();
      const result = await work();
      add(name, file, performance.now() - start);
      return result;
    },
    all: (): readonly Phase[] =>
      [...times].map(([name, list]) => {
        const sorted = list.toSorted((a, b) => a.ms - b.ms);
        const share = (part: number) => sorted[Math.floor(part * (sorted.length - 1))]?.ms ?? 0;
        const last = sorted.at(-1);
        return {
          name,
          count: list.length,
          total: round(list.reduce((sum, { ms }) => sum + ms, 0)),
          p50: round(share(0.5)),
          p95: round(share(0.95)),
          max: round(last?.ms ?? 0),
          worst: last?.file ?? '',
        };
      }),
  };
}

/** To a microsecond. */
function round(ms: number): number {
  return Math.round(ms * 1000) / 1000;
}

function table(what: string, phases: readonly Phase[]): string {
  const rows = [
    [what, 'count', 'total ms', 'p50', 'p95', 'max', 'longest on'],
    ...phases.map(({ name, count, total, p50, p95, max, worst }) => [
      name,
      String(count),
      ...[total, p50, p95, max].map((ms) => ms.toFixed(3)),
      plain(worst),
    ]),
  ];
  const widths = rows[0]?.map((_, i) => Math.max(...rows.map((row) => row[i]?.length ?? 0))) ?? [];
  const isText = (i: number) => i === 0 || i === 6;
  return `${rows
    .map((row) =>
      row
        .map((cell, i) => (isText(i) ? cell.padEnd(widths[i] ?? 0) : cell.padStart(widths[i] ?? 0)))
        .join('  ')
        .trimEnd(),
    )
    .join('\n')}\n`;
}
