/** Owns the process around the command: its streams, its threads, its exit code, and the last word when the fault is ours. */
import { setFlagsFromString } from 'node:v8';
import { isMainThread } from 'node:worker_threads';
import manifest from '../../package.json' with { type: 'json' };
import { runCommand } from './main.ts';
import { serveShare } from './thread.ts';

if (isMainThread) {
  tuneEngine();
  runProcess();
} else serveShare();

/**
 * A command is over in seconds, and much of its code runs too seldom to earn being optimised in that time: with the engine's
 * usual eagerness a third of a run over hundreds of sheets is compiling, in each thread. Since each sheet is let go, the heap
 * need not grow to several times what is in use before it is swept; and each thread sweeps its young by itself, for the others
 * are at work and to share it out costs more than it saves. Only where these flags are known to be.
 */
function tuneEngine(): void {
  if (!process.versions.v8.startsWith('11.')) return;
  setFlagsFromString('--interrupt-budget=1000000');
  setFlagsFromString('--max-inlined-bytecode-size-cumulative=200');
  setFlagsFromString('--heap-growing-percent=50');
  setFlagsFromString('--no-parallel-scavenge');
}

function runProcess(): void {
  const colour = process.stdout.isTTY === true && process.env.NO_COLOR === undefined;

  // Whoever reads our output may have read enough (`| head`): that is no fault of anybody's.
  process.stdout.on('error', (error: NodeJS.ErrnoException) => {
    if (error.code !== 'EPIPE') throw error;
    process.exit();
  });

  runCommand(process.argv.slice(2), {
    out: (text) => process.stdout.write(text),
    err: (text) => process.stderr.write(text),
    terminal: { colour, width: process.stdout.columns ?? 110 },
    folder: process.cwd(),
    // The bundle is one script; threads run it too.
    script: __filename,
    version: manifest.version,
  }).then(
    (code) => {
      process.exitCode = code;
    },
    (error: unknown) => {
      const what = error instanceof Error ? (error.stack ?? error.message) : String(error);
      process.stderr.write(
        `tagstrip: this is a fault of Tagstrip, not of your sheets. Please report it with the sheet.\n${what}\n`,
      );
      process.exitCode = 3;
    },
  );
}
