/**
 * Owns how requests are answered: the only catch on this side, the check that an answer still speaks of the text it was asked
 * about, and the mapping of both to the protocol's errors. An answer is never an empty list in place of an error.
 */
import { type CancellationToken, type Connection, LSPErrorCodes, ResponseError } from 'vscode-languageserver';
import type { Analysis, Shop } from '../shop/shop.ts';

export interface Dispatcher {
  /** Answers a request about one sheet, open or not, from its analysis. */
  readonly about: <P extends Asked, R>(answer: (analysis: Analysis, params: P) => R) => Handler<P, R | null>;
  /** Runs a notification's work; a fault is logged and the server stays alive. */
  readonly safely: (what: string, work: () => void | Promise<void>) => void;
}

/** What every request about a sheet says of it. */
interface Asked {
  readonly textDocument: { readonly uri: string };
}

type Handler<P, R> = (params: P, token: CancellationToken) => Promise<R | ResponseError<void>>;

export function createDispatcher(connection: Connection, shop: Shop): Dispatcher {
  return {
    about: (answer) => async (params, token) => {
      const { uri } = params.textDocument;
      try {
        const analysis = await shop.analyse(uri);
        if (token.isCancellationRequested)
          return new ResponseError(LSPErrorCodes.RequestCancelled, 'cancelled');
        if (analysis === undefined) return null;
        // The sheet went on while its analysis was awaited: an answer in old offsets would be wrong.
        const now = shop.store.open(uri);
        if (now !== undefined && now !== analysis.sheet.snapshot) {
          return new ResponseError(LSPErrorCodes.ContentModified, 'the sheet has changed');
        }
        return answer(analysis, params);
      } catch (error) {
        connection.console.error(`${uri}: ${describe(error)}`);
        return new ResponseError(LSPErrorCodes.RequestFailed, `a fault of Tagstrip: ${describe(error)}`);
      }
    },
    safely: (what, work) => {
      Promise.resolve()
        .then(work)
        .catch((error: unknown) => connection.console.error(`${what}: ${describe(error)}`));
    },
  };
}

function describe(error: unknown): string {
  return error instanceof Error ? (error.stack ?? error.message) : String(error);
}
