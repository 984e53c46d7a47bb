/** Owns timing whole folders: `check`, `repeats` and `summary` of many sheets as processes, beside a general Markdown linter on the same files. */
import { spawnSync } from 'node:child_process';
import { rmSync } from 'node:fs';
import { join } from 'node:path';
import { writeManySheets } from './many-sheets.ts';

const SHEETS = 2000;

interface Run {
  /** Milliseconds from start to end of the process. */
  readonly time: number;
  /** Megabytes, the most that it held. */
  readonly peak: number;
}

/** Runs in turn with the baseline, so that what else the machine does falls on both; the better of two counts. */
export function measureFolder(root: string) {
  const folder = writeManySheets(SHEETS);
  try {
    const command = (...args: readonly string[]) => run(root, [join(root, 'dist', 'tagstrip.cjs'), ...args]);
    const check: Run[] = [];
    const linter: Run[] = [];
    for (let turn = 0; turn < 2; turn++) {
      check.push(command('check', folder, '--fail-on', 'never'));
      linter.push(run(root, [join(root, 'tests', 'perf', 'lint.mjs'), folder]));
    }
    const ours = best(check);
    const theirs = best(linter);
    const pace = ({ time }: Run) => `${Math.round(SHEETS / (time / 1000))} sheets/s`;
    return {
      'check-2000-vs-linter': {
        value: ours.time,
        unit: 'ms',
        baseline: `a general Markdown linter on the same files, ${theirs.time.toFixed(0)} ms (${pace(ours)} against ${pace(theirs)})`,
        ratio: theirs.time / ours.time,
      },
      'memory-2000': {
        value: ours.peak,
        unit: 'MB',
        baseline: `the linter holds ${theirs.peak.toFixed(0)} MB`,
      },
    };
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

function best(runs: readonly Run[]): Run {
  return {
    time: Math.min(...runs.map(({ time }) => time)),
    peak: Math.max(...runs.map(({ peak }) => peak)),
  };
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
