/** Owns one thread's side of a shared run: it analyses the sheets that it is given and answers with what the verb makes of each. */
import { parentPort, workerData } from 'node:worker_threads';
import { analysesOf, createDiskShop } from './desk.ts';
import type { Answer, Share } from './threads.ts';
import { Unusable } from './verb.ts';
import { VERBS } from './verbs.ts';

export function serveShare(): void {
  const { verb: name, call, setting } = workerData as Share;
  const verb = VERBS.find((each) => each.name === name);
  const part = verb?.part;
  if (parentPort === null || part === undefined) throw new Error(`no thread can do ${name}`);
  const port = parentPort;
  const shop = createDiskShop();
  const make = async (uris: readonly string[]): Promise<Answer> => {
    const parts: unknown[] = [];
    try {
      for await (const analysed of analysesOf(uris, shop, call, setting)) parts.push(part(analysed));
    } catch (error) {
      if (error instanceof Unusable) return { kind: 'unusable', message: error.message };
      throw error;
    }
    return { kind: 'parts', parts };
  };
  let turn: Promise<void> = Promise.resolve();
  port.on('message', (uris: readonly string[]) => {
    turn = turn.then(async () => port.postMessage(await make(uris)));
  });
}
