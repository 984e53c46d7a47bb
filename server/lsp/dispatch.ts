/**
 * Owns how messages are answered: the only catch on this side, the check that an answer still speaks of the text it was asked
 * about, and the mapping of both to the protocol's errors. An answer is never an empty list in place of an error.
 */
import {
  type CancellationToken,
  type Connection,
  ErrorCodes,
  LSPErrorCodes,
  ResponseError,
} from 'vscode-languageserver';
import type { Analysis, Shop } from '../shop/shop.ts';

export interface Dispatcher {
  /** Answers a request about one sheet, open or not, from its analysis. */
  readonly about: <P extends Asked, R>(answer: (analysis: Analysis, params: P) => R) => Handler<P, R | null>;
  /** Makes a notification's handler; a fault is logged and the server stays alive. */
  readonly told: <P>(what: string, work: (params: P) => void) => (params: P) => void;
  /** Runs work that no one awaits; a fault is logged. */
  readonly safely: (what: string, work: () => Promise<void>) => void;
}

/** What every request about a sheet says of it. */
interface Asked {
  readonly textDocument: { readonly uri: string };
}

type Handler<P, R> = (params: P, token: CancellationToken) => Promise<R | ResponseError<void>>;

export function createDispatcher(connection: Connection, shop: Shop): Dispatcher {
  const log = (what: string, error: unknown) => connection.console.error(`${what}: ${describe(error)}`);
  return {
    about: (answer) => async (params, token) => {
      try {
        const uri: unknown = params?.textDocument?.uri;
        if (typeof uri !== 'string') {
          return new ResponseError(ErrorCodes.InvalidParams, 'the request names no sheet');
        }
        const analysis = await shop.analyse(uri);
        if (token.isCancellationRequested) {
          return new ResponseError(LSPErrorCodes.RequestCancelled, 'cancelled');
        }
        if (analysis === undefined) return null;
        // The sheet went on while its analysis was awaited: an answer in old offsets would be wrong.
        const now = shop.store.open(uri);
        if (now !== undefined && now !== analysis.sheet.snapshot) {
          return new ResponseError(LSPErrorCodes.ContentModified, 'the sheet has changed');
        }
        return answer(analysis, params);
      } catch (error) {
        log('a request', error);
        return new ResponseError(LSPErrorCodes.RequestFailed, `a fault of Tagstrip: ${messageOf(error)}`);
      }
    },
    told: (what, work) => (params) => {
      try {
        work(params);
      } catch (error) {
        log(what, error);
      }
    },
    safely: (what, work) => {
      work().catch((error: unknown) => log(what, error));
    },
  };
}

function messageOf(error: unknown): string {
  return error instanceof Error ? error.message : String(error);
}

function describe(error: unknown): string {
  return error instanceof Error ? (error.stack ?? error.message) : String(error);
}
