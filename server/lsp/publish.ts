/**
 * Owns what the editor has been told: one publisher that sends differences, with the version they belong to. A sheet that is
 * closed or gone is told empty, and nothing older than the newest computation is ever sent.
 */
import type { Connection, Diagnostic } from 'vscode-languageserver';
import { diagnostics } from '../features/diagnostics.ts';
import type { Shop } from '../shop/shop.ts';
import { toDiagnostic } from './convert.ts';

export interface Publisher {
  /** Computes and sends the findings of a sheet, if it is open and they differ from what was sent. */
  readonly refresh: (uri: string) => Promise<void>;
  /** Tells the editor that nothing is said of a sheet any more. */
  readonly clear: (uri: string) => void;
}

export function createPublisher(
  connection: Pick<Connection, 'sendDiagnostics'>,
  shop: Shop,
  typingLine: (uri: string) => number | undefined,
): Publisher {
  const sent = new Map<string, string>();
  const generation = new Map<string, number>();
  const send = (uri: string, version: number | undefined, list: readonly Diagnostic[]) => {
    const text = JSON.stringify(list);
    if ((sent.get(uri) ?? '[]') === text) return;
    if (list.length === 0) sent.delete(uri);
    else sent.set(uri, text);
    void connection.sendDiagnostics({
      uri,
      ...(version === undefined ? {} : { version }),
      diagnostics: [...list],
    });
  };
  const next = (uri: string) => {
    const number = (generation.get(uri) ?? 0) + 1;
    generation.set(uri, number);
    return number;
  };
  return {
    refresh: async (uri) => {
      const mine = next(uri);
      const analysis = await shop.analyse(uri);
      const open = shop.store.open(uri);
      if (generation.get(uri) !== mine || analysis === undefined || open !== analysis.sheet.snapshot) return;
      const snapshotOf = (file: string) =>
        file === uri
          ? analysis.sheet.snapshot
          : file === analysis.chassis?.uri
            ? analysis.chassis.snapshot
            : undefined;
      const list = diagnostics(analysis, typingLine(uri)).map((finding) => toDiagnostic(finding, snapshotOf));
      send(uri, open.version, list);
    },
    clear: (uri) => {
      next(uri);
      send(uri, undefined, []);
    },
  };
}
