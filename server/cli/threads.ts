/**
 * Owns sharing many sheets out to threads: each takes a few sheets at a time and gives back what the verb made of them, and
 * the parts come out in the order of the sheets. No thread runs far ahead of what was printed, so memory stays flat.
 */
import { availableParallelism } from 'node:os';
import { Worker } from 'node:worker_threads';
import { type Call, type Setting, Unusable } from './verb.ts';

/** What a thread is told once. */
export interface Share {
  readonly verb: string;
  readonly call: Call;
  readonly setting: Setting;
}

/** What a thread answers to a few sheets. */
export type Answer =
  | { readonly kind: 'parts'; readonly parts: readonly unknown[] }
  | { readonly kind: 'unusable'; readonly message: string };

/** Sheets to a handful: enough that asking costs nothing, few enough that no thread is left with a long tail. */
const HANDFUL = 16;
/** Each thread's reading and arithmetic is its own; more threads than this only fill memory. */
const MOST_THREADS = 4;
/** Room for what lives only as long as one sheet, in megabytes: measured, more of it saves no time and only fills memory. */
const YOUNG = 24;

export async function* partsFromThreads<Part>(
  script: string,
  share: Share,
  uris: readonly string[],
): AsyncGenerator<Part> {
  const handfuls: (readonly string[])[] = [];
  for (let i = 0; i < uris.length; i += HANDFUL) handfuls.push(uris.slice(i, i + HANDFUL));
  const count = Math.min(availableParallelism(), MOST_THREADS, handfuls.length);
  const threads = Array.from({ length: count }, () => startThread(script, share));
  try {
    // Each thread has its next handful waiting while the one before is printed.
    const waiting: Promise<Answer>[] = [];
    const ahead = count * 2;
    for (let next = 0, done = 0; done < handfuls.length; done++) {
      for (; next < handfuls.length && next < done + ahead; next++) {
        const answer = threads[next % count]?.ask(handfuls[next] ?? []);
        if (answer === undefined) break;
        // A thread that fails while others are waited for must not end the process by itself.
        answer.catch(() => {});
        waiting.push(answer);
      }
      const answer = await waiting.shift();
      if (answer === undefined) return;
      if (answer.kind === 'unusable') throw new Unusable(answer.message);
      yield* answer.parts as readonly Part[];
    }
  } finally {
    await Promise.all(threads.map(({ worker }) => worker.terminate()));
  }
}

interface Thread {
  readonly worker: Worker;
  readonly ask: (uris: readonly string[]) => Promise<Answer>;
}

function startThread(script: string, share: Share): Thread {
  const worker = new Worker(script, {
    workerData: share,
    resourceLimits: { maxYoungGenerationSizeMb: YOUNG },
  });
  const asked: { readonly resolve: (answer: Answer) => void; readonly reject: (error: unknown) => void }[] =
    [];
  worker.on('message', (answer: Answer) => asked.shift()?.resolve(answer));
  // A bug in a thread is the command's bug: it ends as it would have here.
  worker.on('error', (error) => {
    for (const { reject } of asked.splice(0)) reject(error);
  });
  return {
    worker,
    ask: (uris) =>
      new Promise((resolve, reject) => {
        asked.push({ resolve, reject });
        worker.postMessage(uris);
      }),
  };
}
