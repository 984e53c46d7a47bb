/**
 * Owns what the editor has been told of findings: one publisher that sends what is new, with the version it belongs to. A sheet
 * that is closed is told empty, and nothing older than the newest computation is ever sent.
 */
import type { Connection, Diagnostic } from 'vscode-languageserver';
import { diagnostics } from '../features/diagnostics.ts';
import type { Shop } from '../shop/shop.ts';
import { toDiagnostic } from './convert.ts';

export interface Publisher {
  /** Computes the findings of an open sheet and sends them, unless the same were sent for the same version. */
  readonly refresh: (uri: string) => Promise<void>;
  /** Tells the editor that nothing is said of a sheet any more. */
  readonly clear: (uri: string) => void;
}

export function createPublisher(
  connection: Pick<Connection, 'sendDiagnostics'>,
  shop: Shop,
  typingLine: (uri: string) => number | undefined,
): Publisher {
  /** Of open sheets only: what was sent last, and how many computations were begun. */
  const sent = new Map<string, string>();
  const generation = new Map<string, number>();
  const send = (uri: string, version: number | undefined, list: readonly Diagnostic[]) => {
    void connection.sendDiagnostics({
      uri,
      ...(version === undefined ? {} : { version }),
      diagnostics: [...list],
    });
  };
  return {
    refresh: async (uri) => {
      const mine = (generation.get(uri) ?? 0) + 1;
      generation.set(uri, mine);
      const analysis = await shop.analyse(uri);
      const open = shop.store.open(uri);
      if (generation.get(uri) !== mine || analysis === undefined || open !== analysis.sheet.snapshot) return;
      const { sheet, chassis } = analysis;
      const snapshotOf = (file: string) =>
        file === uri ? sheet.snapshot : file === chassis?.uri ? chassis.snapshot : undefined;
      const list = diagnostics(analysis, typingLine(uri)).map((finding) => toDiagnostic(finding, snapshotOf));
      const text = JSON.stringify([open.version, list]);
      if (sent.get(uri) === text) return;
      sent.set(uri, text);
      send(uri, open.version, list);
    },
    clear: (uri) => {
      sent.delete(uri);
      // A computation that is still under way finds its number gone, and that of a sheet opened again is another.
      generation.set(uri, (generation.get(uri) ?? 0) + 1);
      send(uri, undefined, []);
    },
  };
}
