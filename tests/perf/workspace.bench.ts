/** Owns timing an editor with many sheets open: all of them at the start, those of a change of branch, and the server's memory. */
import { spawnSync } from 'node:child_process';
import { rmSync } from 'node:fs';
import { join } from 'node:path';
import { manySheets, writeManySheets } from './many-sheets.ts';

const SHEETS = 2000;
const CHANGED = 500;

interface Measured {
  readonly value: number;
  readonly unit: string;
  readonly baseline?: string;
  readonly ratio?: number;
}

interface Said {
  /** Milliseconds from the server's start to the findings of all sheets. */
  readonly open: number;
  /** Milliseconds from the events of the changed files to the findings that are new. */
  readonly checkout: number;
  readonly sheets: number;
  readonly told: number;
  /** Megabytes at most, and at the end; none where the system does not say. */
  readonly peak: number | null;
  readonly held: number | null;
}

/** `parse` is the bare parser, which the same texts are put through in this process. */
export function measureWorkspace(
  root: string,
  parse: (text: string) => void,
): Readonly<Record<string, Measured>> {
  const texts = manySheets(SHEETS).map(({ text }) => text);
  const began = performance.now();
  for (const text of texts) parse(text);
  const bare = performance.now() - began;
  const folder = writeManySheets(SHEETS);
  try {
    const said = speak(root, folder);
    const { open, checkout, sheets, told, peak, held } = said;
    if (sheets !== SHEETS || told !== CHANGED)
      throw new Error(`${sheets} sheets and ${told} changed ones were told of`);
    return {
      'editor-2000-open': {
        value: open,
        unit: 'ms',
        baseline: `bare remark-parse of the same ${SHEETS} sheets, ${bare.toFixed(0)} ms`,
        ratio: open / bare,
      },
      'editor-checkout-500': {
        value: checkout,
        unit: 'ms',
        baseline: `all ${SHEETS} sheets at the start, ${open.toFixed(0)} ms (100 ms of it the wait for quiet)`,
        ratio: checkout / open,
      },
      ...(peak === null || held === null
        ? {}
        : {
            'editor-memory-2000': {
              value: peak,
              unit: 'MB',
              baseline: `at most; ${held.toFixed(0)} MB at the end`,
            },
          }),
    };
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

function speak(root: string, folder: string): Said {
  const script = join(root, 'tests', 'perf', 'editor.cjs');
  const server = join(root, 'dist', 'tagstrip-lsp.cjs');
  const { status, stdout, stderr } = spawnSync(process.execPath, [script, server, folder, String(CHANGED)], {
    encoding: 'utf8',
    maxBuffer: 1 << 26,
  });
  if (status !== 0 || stdout === '') throw new Error(`the editor failed: ${stderr}`);
  return JSON.parse(stdout) as Said;
}
