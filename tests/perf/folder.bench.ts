/** Owns timing whole folders as processes: `check` beside a general Markdown linter on the same files, how its time grows, the memory of `check` and `summary`, and `repeats` over all of them. */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { writeManySheets } from './many-sheets.ts';
import { growthOf } from './measure.ts';

const SHEETS = 2000;
const FEWER = [250, 500, 1000];
const REPEATED = [500, 1000];

interface Measured {
  readonly value: number;
  readonly unit: string;
  readonly baseline: string;
  readonly ratio?: number;
}

interface Run {
  /** Milliseconds from start to end of the process. */
  readonly time: number;
  /** Megabytes, the most that it held. */
  readonly peak: number;
}

/** Each once: a run of seconds is its own average, and the whole bench is to end while somebody waits for it. */
export function measureFolder(root: string): Readonly<Record<string, Measured>> {
  const check = (folder: string): Run => command(root, 'check', folder, '--fail-on', 'never');
  return inFolder(SHEETS, (folder) => {
    const ours = check(folder);
    const theirs = run(root, [join(root, 'tests', 'perf', 'lint.mjs'), folder]);
    const pace = ({ time }: Run) => `${Math.round(SHEETS / (time / 1000))} sheets/s`;
    const repeats = (of: string): Run => command(root, 'repeats', of);
    const counted = repeats(folder);
    const fewer = FEWER.map((sheets) => [sheets, inFolder(sheets, check).time] as const);
    return {
      'check-2000-vs-linter': {
        value: ours.time,
        unit: 'ms',
        baseline: `a general Markdown linter on the same files, ${theirs.time.toFixed(0)} ms (${pace(ours)} against ${pace(theirs)})`,
        ratio: ours.time / theirs.time,
      },
      'check-growth': {
        value: growthOf([...fewer, [SHEETS, ours.time]]),
        unit: '1',
        baseline: 'linear growth is 1, and less where the start of the process weighs',
      },
      'repeats-2000': {
        value: counted.time,
        unit: 'ms',
        baseline: `check of the same ${SHEETS} sheets, ${ours.time.toFixed(0)} ms; it holds ${counted.peak.toFixed(0)} MB`,
        ratio: counted.time / ours.time,
      },
      'repeats-growth': {
        value: growthOf([
          ...REPEATED.map((sheets) => [sheets, inFolder(sheets, repeats).time] as const),
          [SHEETS, counted.time],
        ]),
        unit: '1',
        baseline: 'linear growth is 1, and less where the start of the process weighs',
      },
      'memory-2000': {
        value: ours.peak,
        unit: 'MB',
        baseline: `the linter holds ${theirs.peak.toFixed(0)} MB`,
      },
      'summary-memory-2000': {
        value: summary(root, folder).peak,
        unit: 'MB',
        baseline: `a page for each of ${SHEETS} sheets; ${inFolder(FEWER[1] ?? 0, (few) => summary(root, few)).peak.toFixed(0)} MB for ${FEWER[1]}`,
      },
    };
  });
}

function summary(root: string, folder: string): Run {
  const out = mkdtempSync(join(tmpdir(), 'tagstrip-pages-'));
  try {
    return command(root, 'summary', folder, '--out', out);
  } finally {
    rmSync(out, { recursive: true, force: true });
  }
}

function inFolder<T>(sheets: number, work: (folder: string) => T): T {
  const folder = writeManySheets(sheets);
  try {
    return work(folder);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

function command(root: string, ...args: readonly string[]): Run {
  return run(root, [join(root, 'dist', 'tagstrip.cjs'), ...args]);
}

function run(root: string, args: readonly string[]): Run {
  const start = performance.now();
  const { stderr, status } = spawnSync(
    process.execPath,
    ['--require', join(root, 'tests', 'perf', 'peak-memory.cjs'), ...args],
    { cwd: root, encoding: 'utf8', maxBuffer: 1 << 30 },
  );
  const time = performance.now() - start;
  const peak = Number(/^peak (\d+)$/m.exec(stderr)?.[1]) / 1024;
  if (status !== 0 || !Number.isFinite(peak)) throw new Error(`${args.join(' ')} failed: ${stderr}`);
  return { time, peak };
}
