/**
 * Owns telling findings to an editor that does not ask for them: one publisher that sends what is new, with the version it belongs
 * to. A sheet that is closed is told empty, and nothing older than the newest computation is ever sent.
 */
import type { Diagnostic } from 'vscode-languageserver';
import type { Context } from './context.ts';
import { findReport } from './report.ts';

export interface Publisher {
  /** Computes the findings of an open sheet and sends them, unless the same were sent for the same version. */
  readonly refresh: (uri: string) => Promise<void>;
  /** Tells the editor that nothing is said of a sheet any more. */
  readonly clear: (uri: string) => void;
}

export function createPublisher(context: Context): Publisher {
  const { connection, shop } = context;
  /** Of open sheets only: what was sent last, and which computation is the newest. Computations are counted over all sheets. */
  const sent = new Map<string, string>();
  const newest = new Map<string, number>();
  let begun = 0;
  const send = (uri: string, version: number | null, diagnostics: Diagnostic[]) => {
    void connection.sendDiagnostics({ uri, ...(version === null ? {} : { version }), diagnostics });
  };
  return {
    refresh: async (uri) => {
      if (shop.store.open(uri) === undefined) return;
      begun += 1;
      const mine = begun;
      newest.set(uri, mine);
      const report = await findReport(context, uri);
      if (newest.get(uri) !== mine || report === undefined) return;
      const { version, items, id } = report;
      const mark = `${version} ${id}`;
      if (sent.get(uri) === mark) return;
      sent.set(uri, mark);
      send(uri, version, items);
    },
    clear: (uri) => {
      sent.delete(uri);
      // A computation that is still under way finds its number gone, and that of a sheet opened again is another.
      newest.delete(uri);
      send(uri, null, []);
    },
  };
}
