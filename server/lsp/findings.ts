/**
 * Owns who is to hear of findings when something changed: the editor that asks is told to ask again, the one that does not is told.
 * Never both to one editor.
 */
import type { AllSheets } from './all-sheets.ts';
import type { Context } from './context.ts';
import { createPublisher } from './publish.ts';
import { createAllPublisher } from './publish-all.ts';
import { createRest, type Rest } from './rest.ts';

export interface Findings {
  readonly rest: Rest;
  readonly opened: (uri: string) => void;
  /** A letter was typed. */
  readonly changed: (uri: string) => void;
  /** The line being typed is done: what was held back for it may be shown. */
  readonly lineDone: (uri: string) => void;
  readonly closed: (uri: string) => void;
  /** These files have another text now. */
  readonly changedOnDisk: (uris: readonly string[]) => void;
  /** Something that all sheets rest on is another now: the settings, or the folders. */
  readonly everything: () => void;
  readonly end: () => void;
}

export function createFindings(context: Context, allSheets: AllSheets, quiet: number): Findings {
  const { abilities, after, connection, safely, shop } = context;
  const publisher = createPublisher(context);
  const others = createAllPublisher(context, allSheets, quiet);

  const openDependents = (uris: readonly string[]): readonly string[] => {
    const found = uris
      .flatMap((uri) => shop.dependents(uri))
      .flatMap((uri) => shop.store.open(uri)?.uri ?? []);
    return [...new Set(found)];
  };
  /** Of these sheets an editor that asks knows by itself that it must. */
  const tell = (uris: readonly string[]) => {
    if (abilities().pullsFindings) return;
    void safely(`findings of ${uris.join(' ')}`, async () => {
      for (const uri of uris) await publisher.refresh(uri);
    });
  };
  /** Of the sheets that are not open. */
  const tellOthers = () => {
    if (!abilities().pullsFindings) others.refresh();
  };
  /** Of these it does not. */
  const announce = (uris: readonly string[]) => {
    if (uris.length === 0) return;
    tell(uris);
    const { pullsFindings, refreshesFindings, refreshesInlays } = abilities();
    if (pullsFindings && refreshesFindings)
      void safely('findings', () => connection.languages.diagnostics.refresh());
    if (refreshesInlays) void safely('inlay values', () => connection.languages.inlayHint.refresh());
  };
  const looked = (uri: string) => {
    tell([uri]);
    announce(openDependents([uri]));
    tellOthers();
  };
  const rest = createRest(after, quiet, looked);
  return {
    rest,
    opened: (uri) => {
      allSheets.outdate([uri]);
      others.forget(uri);
      looked(uri);
    },
    changed: (uri) => {
      allSheets.outdate([uri]);
      rest.stir(uri);
    },
    lineDone: (uri) => {
      allSheets.outdate([uri]);
      announce([...new Set([uri, ...openDependents([uri])])]);
      tellOthers();
    },
    closed: (uri) => {
      rest.forget(uri);
      allSheets.outdate([uri]);
      if (!abilities().pullsFindings) publisher.clear(uri);
      announce(openDependents([uri]));
      tellOthers();
    },
    changedOnDisk: (uris) => {
      allSheets.outdate(uris);
      announce(openDependents(uris));
      tellOthers();
    },
    everything: () => {
      allSheets.outdate();
      announce(shop.store.openUris());
      tellOthers();
    },
    end: () => {
      rest.dispose();
      others.end();
    },
  };
}
