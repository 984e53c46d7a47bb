/** Owns showing how far long work is: only once it has turned out to be long, and with a way to stop it. */
import { type CancellationToken, WorkDoneProgressReporter } from 'vscode-languageserver';
import type { Context } from './context.ts';

export interface Progress {
  /** So much of so much is done; the first of these begins the showing. */
  readonly tell: (done: number, of: number) => void;
  readonly end: () => void;
  /** The user has had enough. */
  readonly isStopped: () => boolean;
}

/** `given` is where a request asked for its progress to be shown; without it a place of our own is asked for. */
export function createProgress(
  { abilities, connection, safely }: Pick<Context, 'abilities' | 'connection' | 'safely'>,
  title: string,
  given?: WorkDoneProgressReporter,
): Progress {
  let shown: WorkDoneProgressReporter | undefined;
  let stop: CancellationToken | undefined;
  let state: 'quiet' | 'asked' | 'ended' = 'quiet';
  const begin = (reporter: WorkDoneProgressReporter, isStoppable: boolean) => {
    shown = reporter;
    reporter.begin(title, 0, undefined, isStoppable);
  };
  const ask = () => {
    state = 'asked';
    if (given !== undefined && !WorkDoneProgressReporter.isNullInstance(given)) begin(given, false);
    else if (abilities().showsProgress)
      void safely('progress', async () => {
        const own = await connection.window.createWorkDoneProgress();
        stop = own.token;
        begin(own, true);
        if (state === 'ended') own.done();
      });
  };
  return {
    tell: (done, of) => {
      if (state === 'quiet') ask();
      shown?.report(Math.round((100 * done) / Math.max(of, 1)), `${done} of ${of} sheets`);
    },
    end: () => {
      state = 'ended';
      shown?.done();
    },
    isStopped: () => stop?.isCancellationRequested === true,
  };
}
