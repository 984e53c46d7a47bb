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
import { isStanding } from '../dialect/note.ts';
import { type Analysis, type Shop, sheetsOf } from '../shop/shop.ts';

export interface Dispatcher {
  /** Answers a request about one sheet, open or not, from its analysis: at once, or by work that asks `isCurrent` after each wait. */
  readonly about: <P extends Asked, R>(
    answer: (
      analysis: Analysis,
      params: P,
      token: CancellationToken,
    ) => R | Promise<R | ResponseError<never>>,
  ) => Handler<P, R | null>;
  /** Answers a request by work that takes its time, and asks `isCurrent` after each wait. */
  readonly answered: <P, R>(
    answer: (params: P, token: CancellationToken) => Promise<R | ResponseError<never>>,
  ) => Handler<P, R>;
  /** Makes a notification's handler; a fault is logged and the server stays alive. */
  readonly told: <P>(what: string, work: (params: P) => void) => (params: P) => void;
  /** Runs work that answers nobody; a fault is logged. It ends with the work and never fails, so it may be left alone. */
  readonly safely: (what: string, work: () => Promise<void>) => Promise<void>;
}

/** What every request about a sheet says of it. */
interface Asked {
  readonly textDocument: { readonly uri: string };
}

type Handler<P, R> = (params: P, token: CancellationToken) => Promise<R | ResponseError<never>>;

/** The editor took its request back. */
export const cancelled = (): ResponseError<never> =>
  new ResponseError(LSPErrorCodes.RequestCancelled, 'cancelled');

/** The sheet that was asked about went on in the meantime: an answer in its old offsets would be wrong. */
export const outOfDate = (): ResponseError<never> =>
  new ResponseError(LSPErrorCodes.ContentModified, 'the sheet has changed');

/**
 * Whether the sheets of an analysis are still those that count. To be asked after every wait: reading a newer text of a sheet
 * moves the spans of the older one.
 */
export function isCurrent({ store }: Shop, analysis: Analysis): boolean {
  return sheetsOf(analysis).every(({ snapshot, note }) => {
    const now = store.open(snapshot.uri);
    return isStanding(note) && (now === undefined || now === snapshot);
  });
}

/** Rounds of looking again while sheets under the one asked about change; more means that somebody types faster than that. */
const MOST_ROUNDS = 5;

export function createDispatcher(connection: Connection, shop: Shop): Dispatcher {
  const log = (what: string, error: unknown) => connection.console.error(`${what}: ${describe(error)}`);
  const answered: Dispatcher['answered'] = (answer) => async (params, token) => {
    try {
      const result = await answer(params, token);
      return token.isCancellationRequested ? cancelled() : result;
    } catch (error) {
      log('a request', error);
      return new ResponseError(LSPErrorCodes.RequestFailed, `a fault of Tagstrip: ${messageOf(error)}`);
    }
  };
  return {
    about: (answer) =>
      answered(async (params, token) => {
        const uri: unknown = params?.textDocument?.uri;
        if (typeof uri !== 'string')
          return new ResponseError(ErrorCodes.InvalidParams, 'the request names no sheet');
        const asked = shop.store.open(uri);
        for (let round = 0; round < MOST_ROUNDS; round++) {
          const analysis = await shop.analyse(uri);
          if (token.isCancellationRequested) return cancelled();
          if (shop.store.open(uri) !== asked) return outOfDate();
          if (analysis === undefined) return null;
          // From here to the answer nothing is awaited, unless it says so itself.
          if (isCurrent(shop, analysis)) return answer(analysis, params, token);
        }
        return outOfDate();
      }),
    answered,
    told: (what, work) => (params) => {
      try {
        work(params);
      } catch (error) {
        log(what, error);
      }
    },
    safely: (what, work) => work().catch((error: unknown) => log(what, error)),
  };
}

function messageOf(error: unknown): string {
  return error instanceof Error ? error.message : String(error);
}

function describe(error: unknown): string {
  return error instanceof Error ? (error.stack ?? error.message) : String(error);
}
