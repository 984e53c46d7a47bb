/** Owns what is known of the editor at the other end: what it can do, and which folders it has open. Asked of it once. */
import {
  type ClientCapabilities,
  type InitializeParams,
  MarkupKind,
  type PositionEncodingKind,
} from 'vscode-languageserver';
import { canonicalUri, encodeSegment } from '../shop/uris.ts';
import { agreeOn } from './positions.ts';
import type { ClientOptions } from './protocol.ts';

export interface Abilities {
  readonly encoding: PositionEncodingKind;
  /** It asks for findings itself; otherwise it is told. */
  readonly pullsFindings: boolean;
  /** Its asking can be arranged later, and otherwise. */
  readonly registersFindings: boolean;
  readonly refreshesFindings: boolean;
  readonly refreshesInlays: boolean;
  /** It shows what a finding brings with it, beside the finding. */
  readonly showsRelated: boolean;
  readonly watches: boolean;
  readonly hasConfiguration: boolean;
  readonly registersConfiguration: boolean;
  readonly showsProgress: boolean;
  readonly readsMarkdown: boolean;
  readonly takesVersionedEdits: boolean;
  /** It can ask its user before it makes an edit that is marked so. */
  readonly asksBeforeEdits: boolean;
  /** It has our command for links in hovers. */
  readonly writes: boolean;
  /** It reads files for us that no disk has. */
  readonly readsFiles: boolean;
  /** It lists and folds Markdown's headings by itself. */
  readonly showsHeadings: boolean;
  readonly reportsFolders: boolean;
  /** The folders open at the start. */
  readonly folders: readonly string[];
  /** Settings given at the start, for an editor that cannot be asked. */
  readonly settings: unknown;
}

export const noAbilities: Abilities = abilitiesOf({}, {}, []);

export function readAbilities(params: InitializeParams): Abilities {
  const options: ClientOptions = params.initializationOptions ?? {};
  const { rootPath, rootUri, workspaceFolders } = params;
  const root = rootUri || (rootPath ? uriOfPath(rootPath) : undefined);
  const folders = workspaceFolders?.map(({ uri }) => uri) ?? (root === undefined ? [] : [root]);
  return abilitiesOf(params.capabilities, options, folders);
}

/** `/srv/shop` and `C:\\shop` as URIs; where this server runs there may be no disk, and so nobody to ask. */
function uriOfPath(path: string): string {
  const spelt = path
    .replaceAll('\\', '/')
    .replace(/^(?=[a-z]:)/i, '/')
    .split('/')
    .map(encodeSegment)
    .join('/');
  return canonicalUri(spelt.startsWith('//') ? `file:${spelt}` : `file://${spelt}`);
}

function abilitiesOf(
  { general, textDocument, window, workspace }: ClientCapabilities,
  options: ClientOptions,
  folders: readonly string[],
): Abilities {
  return {
    encoding: agreeOn(general?.positionEncodings),
    pullsFindings: textDocument?.diagnostic !== undefined,
    registersFindings: textDocument?.diagnostic?.dynamicRegistration === true,
    refreshesFindings: workspace?.diagnostics?.refreshSupport === true,
    refreshesInlays: workspace?.inlayHint?.refreshSupport === true,
    showsRelated:
      (textDocument?.publishDiagnostics?.relatedInformation ??
        textDocument?.diagnostic?.relatedInformation) === true,
    watches: workspace?.didChangeWatchedFiles?.dynamicRegistration === true,
    hasConfiguration: workspace?.configuration === true,
    registersConfiguration: workspace?.didChangeConfiguration?.dynamicRegistration === true,
    showsProgress: window?.workDoneProgress === true,
    readsMarkdown: textDocument?.hover?.contentFormat?.includes(MarkupKind.Markdown) ?? true,
    takesVersionedEdits: workspace?.workspaceEdit?.documentChanges === true,
    asksBeforeEdits: workspace?.workspaceEdit?.changeAnnotationSupport !== undefined,
    writes: options.writeCommand === true,
    readsFiles: options.readsFiles === true,
    showsHeadings: options.showsHeadings === true,
    reportsFolders: workspace?.workspaceFolders === true,
    folders,
    settings: options.settings,
  };
}
