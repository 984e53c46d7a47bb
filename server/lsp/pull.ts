/**
 * Owns answering an editor that asks for findings: of one sheet once typing rests, and of all sheets whenever something changed.
 * What the editor knows already is not sent again.
 */
import {
  type CancellationToken,
  type DiagnosticRegistrationOptions,
  type DiagnosticServerCancellationData,
  type Disposable,
  type DocumentDiagnosticParams,
  type DocumentDiagnosticReport,
  DocumentDiagnosticRequest,
  LSPErrorCodes,
  ResponseError,
  type ResultProgressReporter,
  type WorkDoneProgressReporter,
  type WorkspaceDiagnosticParams,
  type WorkspaceDiagnosticReport,
  type WorkspaceDiagnosticReportPartialResult,
  type WorkspaceDocumentDiagnosticReport,
} from 'vscode-languageserver';
import { canonicalUri } from '../shop/uris.ts';
import type { AllSheets } from './all-sheets.ts';
import type { Context } from './context.ts';
import { createProgress } from './progress.ts';
import { findReport, type Report } from './report.ts';
import type { Rest } from './rest.ts';

export interface Pull {
  /** What is said at the start to an editor whose asking cannot be arranged later. */
  readonly provider: () => DiagnosticRegistrationOptions | undefined;
  /** Arranges with the editor that it asks, and whether for all sheets, as the settings are now. */
  readonly arrange: () => Promise<void>;
  /** Ends what is held open. */
  readonly close: () => void;
}

type Refusal = ResponseError<DiagnosticServerCancellationData>;

export function registerPull(context: Context, allSheets: AllSheets, rest: Rest): Pull {
  const { abilities, answered, connection, ready, settings } = context;
  let arranged: { readonly all: boolean; readonly ends: Promise<Disposable> } | undefined;
  let isClosed = false;
  const options = (all: boolean): DiagnosticRegistrationOptions => ({
    documentSelector: null,
    interFileDependencies: true,
    workspaceDiagnostics: all,
  });

  connection.languages.diagnostics.on((params, token) =>
    answered<DocumentDiagnosticParams, DocumentDiagnosticReport>(['textDocument'], async (asked, asking) => {
      await ready();
      await Promise.race([rest.until(asked.textDocument.uri), ended(asking)]);
      const report = await findReport(context, asked.textDocument.uri);
      return report === undefined ? { kind: 'full', items: [] } : toReport(report, asked.previousResultId);
    })(params, token),
  );
  connection.languages.diagnostics.onWorkspace((params, token, workDone, partial) =>
    answered<WorkspaceDiagnosticParams, WorkspaceDiagnosticReport | Refusal>(
      ['previousResultIds'],
      (asked, asking) => answerAll(asked, asking, workDone, partial),
    )(params, token),
  );

  /** Stays open while there is nothing new, where the editor has asked before. */
  const answerAll = async (
    { previousResultIds }: WorkspaceDiagnosticParams,
    token: CancellationToken,
    workDone: WorkDoneProgressReporter,
    partial: ResultProgressReporter<WorkspaceDiagnosticReportPartialResult> | undefined,
  ): Promise<WorkspaceDiagnosticReport | Refusal> => {
    await ready();
    const known = new Map(previousResultIds.map(({ uri, value }) => [canonicalUri(uri), { uri, id: value }]));
    for (;;) {
      const change = allSheets.change();
      const progress = createProgress(context, 'Checking all sheets', workDone);
      let sent = 0;
      const send = (made: readonly Report[]) => {
        const items = made.flatMap((report) => newsOf(report, known));
        sent += items.length;
        if (items.length > 0) partial?.report({ items });
      };
      await allSheets.check({
        isStopped: () => token.isCancellationRequested || isClosed || progress.isStopped(),
        tell: (done, of, made) => {
          progress.tell(done, of);
          if (partial !== undefined) send(made);
        },
      });
      progress.end();
      if (isClosed) return shuttingDown();
      const items = newsOfAll(allSheets.reports(), known, partial === undefined);
      if (token.isCancellationRequested || items.some(isNews) || sent > 0 || previousResultIds.length === 0) {
        if (partial === undefined) return { items };
        partial.report({ items });
        return { items: [] };
      }
      await Promise.race([change, ended(token)]);
      if (token.isCancellationRequested) return { items: [] };
    }
  };

  return {
    provider: () => {
      const { pullsFindings, registersFindings } = abilities();
      return pullsFindings && !registersFindings ? options(true) : undefined;
    },
    arrange: async () => {
      const { pullsFindings, registersFindings } = abilities();
      const all = settings().checksAllSheets;
      if (!pullsFindings || !registersFindings || arranged?.all === all) return;
      const before = arranged?.ends;
      const register = async () => {
        (await before?.catch(() => undefined))?.dispose();
        return connection.client.register(DocumentDiagnosticRequest.type, options(all));
      };
      // Known at once: settings that change while the editor is asked take this arrangement back, and make no second one.
      const mine = { all, ends: register() };
      arranged = mine;
      await mine.ends.catch((error: unknown) => {
        if (arranged === mine) arranged = undefined;
        throw error;
      });
    },
    close: () => {
      isClosed = true;
      allSheets.outdate([]);
    },
  };
}

/** What the editor knows of each sheet, by the sheet's key: under which spelling, and the mark of the findings it has. */
type Known = Map<string, { readonly uri: string; readonly id: string }>;

const isNews = ({ kind }: WorkspaceDocumentDiagnosticReport): boolean => kind === 'full';

function toReport({ id, items }: Report, previous: string | undefined): DocumentDiagnosticReport {
  return previous === id ? { kind: 'unchanged', resultId: id } : { kind: 'full', resultId: id, items };
}

/** Nothing where the editor has it already; and it has it from now on. */
function newsOf(report: Report, known: Known): readonly WorkspaceDocumentDiagnosticReport[] {
  const { uri, version, items, id } = report;
  const key = canonicalUri(uri);
  if (known.get(key)?.id === id) return [];
  known.set(key, { uri, id });
  return [{ kind: 'full', uri, version, resultId: id, items }];
}

/** Of sheets that are no more, that nothing is said of them; of those the editor knows that it does, where `all` are to be named. */
function newsOfAll(
  reports: ReadonlyMap<string, Report>,
  known: Known,
  all: boolean,
): WorkspaceDocumentDiagnosticReport[] {
  const found: WorkspaceDocumentDiagnosticReport[] = [];
  for (const [key, { uri }] of [...known]) {
    if (reports.has(key)) continue;
    known.delete(key);
    found.push({ kind: 'full', uri, version: null, items: [] });
  }
  for (const report of reports.values()) {
    const news = newsOf(report, known);
    found.push(...news);
    if (all && news.length === 0)
      found.push({ kind: 'unchanged', uri: report.uri, version: report.version, resultId: report.id });
  }
  return found;
}

function shuttingDown(): Refusal {
  return new ResponseError(LSPErrorCodes.ServerCancelled, 'the server ends', { retriggerRequest: false });
}

/** Resolves when the editor takes its request back. */
function ended(token: CancellationToken): Promise<void> {
  return new Promise((resolve) => {
    if (token.isCancellationRequested) resolve();
    else token.onCancellationRequested(() => resolve());
  });
}
