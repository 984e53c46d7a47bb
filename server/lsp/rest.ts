/** Owns when typing on a sheet has come to rest, which is when its findings are worth working out. */
import type { After } from './after.ts';

export interface Rest {
  /** A letter was typed: the quiet begins anew. */
  readonly stir: (uri: string) => void;
  /** Resolves when typing rests; at once where nobody types. */
  readonly until: (uri: string) => Promise<void>;
  /** Nothing more is awaited of this sheet. */
  readonly forget: (uri: string) => void;
  readonly dispose: () => void;
}

interface Stirred {
  readonly takeBack: () => void;
  readonly waiting: (() => void)[];
}

/** `rested` is called once for each rest that was reached. */
export function createRest(after: After, quiet: number, rested: (uri: string) => void): Rest {
  const stirred = new Map<string, Stirred>();
  const end = (uri: string) => {
    const known = stirred.get(uri);
    stirred.delete(uri);
    known?.takeBack();
    for (const resolve of known?.waiting ?? []) resolve();
  };
  return {
    stir: (uri) => {
      const known = stirred.get(uri);
      known?.takeBack();
      const takeBack = after(quiet, () => {
        end(uri);
        rested(uri);
      });
      stirred.set(uri, { takeBack, waiting: known?.waiting ?? [] });
    },
    until: (uri) => {
      const waiting = stirred.get(uri)?.waiting;
      return waiting === undefined ? Promise.resolve() : new Promise((resolve) => waiting.push(resolve));
    },
    forget: end,
    dispose: () => {
      for (const uri of [...stirred.keys()]) end(uri);
    },
  };
}
