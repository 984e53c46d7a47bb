/**
 * Owns how messages are answered: the only catch on this side, the checks that the server may answer now, that a request says what
 * it must and that an answer still speaks of the text it was asked about, and the mapping of all to the protocol's errors. An answer
 * is never an empty list in place of an error.
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
    needs: readonly Need[],
    answer: (
      analysis: Analysis,
      params: P,
      token: CancellationToken,
    ) => R | Promise<R | ResponseError<never>>,
  ) => Handler<P, R | null>;
  /** Answers a request by work that takes its time, and asks `isCurrent` after each wait. */
  readonly answered: <P, R>(
    needs: readonly Need[],
    answer: (params: P, token: CancellationToken) => Promise<R | ResponseError<never>>,
  ) => Handler<P, R>;
  /** Why nothing is answered now; undefined between the editor's introduction and its goodbye. */
  readonly refusal: () => ResponseError<never> | undefined;
  /** The editor has introduced itself. */
  readonly begin: () => void;
  /** The editor has said goodbye. */
  readonly end: () => void;
  /** Makes a notification's handler, which hears nothing where nothing would be answered. A fault is logged and the server stays alive. */
  readonly told: <P>(what: string, work: (params: P) => void) => (params: P) => void;
  /** Runs work that answers nobody; a fault is logged. It ends with the work and never fails, so it may be left alone. */
  readonly safely: (what: string, work: () => Promise<void>) => Promise<void>;
}

/** What a request may not lack. What it says beyond these may be left out. */
export type Need = keyof typeof NEEDS;

const NEEDS = {
  textDocument: (given) => typeof entry(given, 'uri') === 'string',
  position: isPosition,
  range: (given) => isPosition(entry(given, 'start')) && isPosition(entry(given, 'end')),
  context: (given) => typeof given === 'object' && given !== null,
  newName: (given) => typeof given === 'string',
  query: (given) => typeof given === 'string',
  previousResultIds: Array.isArray,
} satisfies Readonly<Record<string, (given: unknown) => boolean>>;

function isPosition(given: unknown): boolean {
  return typeof entry(given, 'line') === 'number' && typeof entry(given, 'character') === 'number';
}

function entry(given: unknown, name: string): unknown {
  return typeof given === 'object' && given !== null
    ? (given as Readonly<Record<string, unknown>>)[name]
    : undefined;
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
  let phase: 'waiting' | 'running' | 'ended' = 'waiting';
  const refusal: Dispatcher['refusal'] = () => {
    if (phase === 'waiting')
      return new ResponseError(
        ErrorCodes.ServerNotInitialized,
        'initialize comes before every other request',
      );
    return phase === 'ended'
      ? new ResponseError(ErrorCodes.InvalidRequest, 'the server was shut down')
      : undefined;
  };
  const answered: Dispatcher['answered'] = (needs, answer) => async (params, token) => {
    const refused = refusal();
    if (refused !== undefined) return refused;
    const missing = needs.find((need) => !NEEDS[need](entry(params, need)));
    if (missing !== undefined)
      return new ResponseError(ErrorCodes.InvalidParams, `the request says no ${missing}`);
    try {
      const result = await answer(params, token);
      return token.isCancellationRequested ? cancelled() : result;
    } catch (error) {
      log('a request', error);
      return new ResponseError(LSPErrorCodes.RequestFailed, `a fault of Tagstrip: ${messageOf(error)}`);
    }
  };
  return {
    about: (needs, answer) =>
      answered(['textDocument', ...needs], async (params, token) => {
        const { uri } = params.textDocument;
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
    refusal,
    begin: () => {
      phase = 'running';
    },
    end: () => {
      phase = 'ended';
    },
    told: (what, work) => (params) => {
      if (refusal() !== undefined) return;
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
