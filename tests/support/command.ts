/** Owns how tests call the command: its arguments and the folder it runs in, and what it printed and ended with. */
import { fileURLToPath } from 'node:url';
import { runCommand } from '../../server/cli/main.ts';
import type { Streams } from '../../server/cli/verb.ts';

/** The project's own folder, where `samples/` is. */
export const root = fileURLToPath(new URL('../..', import.meta.url));

export interface Called {
  readonly at?: string;
  readonly colour?: boolean;
  readonly width?: number;
  readonly threads?: Pick<Streams, 'script' | 'threadsFrom'>;
}

export async function tagstrip(
  args: readonly string[],
  { at = root, colour = false, width = 100, threads = {} }: Called = {},
): Promise<{ readonly code: number; readonly out: string; readonly err: string }> {
  let out = '';
  let err = '';
  const code = await runCommand(args, {
    out: (text) => {
      out += text;
    },
    err: (text) => {
      err += text;
    },
    terminal: { colour, width },
    folder: at,
    version: '0.0.0-test',
    ...threads,
  });
  return { code, out, err };
}
