/**
 * Owns the command `tagstrip` from its arguments to its exit code. It analyses nothing itself. What cannot be done as asked
 * ends with 2 and a sentence; a bug is left to the process (3).
 */
import { readArguments, USAGE } from './arguments.ts';
import { runVerb } from './desk.ts';
import { plain } from './terminal.ts';
import { type Streams, Unusable } from './verb.ts';

/** Runs the command; the answer is the exit code. */
export async function runCommand(args: readonly string[], streams: Streams): Promise<number> {
  const parsed = readArguments(args);
  switch (parsed.kind) {
    case 'help':
      streams.out(USAGE);
      return 0;
    case 'version':
      streams.out(`${streams.version}\n`);
      return 0;
    case 'wrong':
      streams.err(`tagstrip: ${parsed.message}\n\n${USAGE}`);
      return 2;
    case 'call':
      try {
        return await runVerb(parsed.verb, parsed.call, streams);
      } catch (error) {
        if (!(error instanceof Unusable)) throw error;
        streams.err(`tagstrip: ${plain(error.message)}\n`);
        return 2;
      }
  }
}
