/**
 * Owns telling an editor that does not ask for findings those of the sheets that are not open, where the settings have all sheets
 * checked.
 */
import { canonicalUri } from '../shop/uris.ts';
import type { AllSheets } from './all-sheets.ts';
import type { Context } from './context.ts';
import { createProgress } from './progress.ts';
import type { Report } from './report.ts';

export interface AllPublisher {
  /** Checks what may say something else now, and tells what does. */
  readonly refresh: () => void;
  /** Somebody else tells of this sheet, or took back what was told. */
  readonly forget: (uri: string) => void;
  readonly end: () => void;
}

/** `quiet` is how long nothing must have changed before it begins, in milliseconds: a rename opens sheet after sheet. */
export function createAllPublisher(context: Context, allSheets: AllSheets, quiet: number): AllPublisher {
  const { after, connection, safely, settings, shop } = context;
  /** What the editor shows of sheets that are not open, by the sheet's key. Of a sheet that never said anything, nothing. */
  const told = new Map<string, { readonly uri: string; readonly id: string }>();
  let takeBack: (() => void) | undefined;
  let isWorking = false;
  let isWanted = false;
  let isEnded = false;

  const isOpen = (uri: string) => shop.store.open(uri) !== undefined;
  const tell = ({ uri, items, id }: Report) => {
    const key = canonicalUri(uri);
    const known = told.get(key);
    if (isOpen(uri) || known?.id === id || (known === undefined && items.length === 0)) return;
    told.set(key, { uri, id });
    void connection.sendDiagnostics({ uri, diagnostics: items });
  };
  const round = async () => {
    const progress = createProgress(context, 'Checking all sheets');
    const isStopped = () => isEnded || progress.isStopped();
    await allSheets.check({
      isStopped,
      tell: (done, of, made) => {
        progress.tell(done, of);
        for (const report of made) tell(report);
      },
    });
    progress.end();
    if (isStopped()) return;
    const reports = allSheets.reports();
    for (const report of reports.values()) tell(report);
    for (const [key, { uri }] of told) {
      if (reports.has(key)) continue;
      told.delete(key);
      if (!isOpen(uri)) void connection.sendDiagnostics({ uri, diagnostics: [] });
    }
  };
  const work = async () => {
    while (isWanted && !isEnded) {
      isWanted = false;
      await round();
    }
  };
  const start = () => {
    isWanted = true;
    if (isWorking) return;
    isWorking = true;
    void safely('findings of all sheets', work).finally(() => {
      isWorking = false;
    });
  };
  return {
    refresh: () => {
      if (!settings().checksAllSheets && told.size === 0) return;
      takeBack?.();
      takeBack = after(quiet, start);
    },
    forget: (uri) => void told.delete(canonicalUri(uri)),
    end: () => {
      isEnded = true;
      takeBack?.();
    },
  };
}
