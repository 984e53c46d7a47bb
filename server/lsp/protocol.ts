/** Owns our own messages beside the protocol's. The client names them in the same words. */
import type { Range } from 'vscode-languageserver';

/** A sheet's summary as one HTML page; null where there is no such sheet. */
export const SUMMARY_REQUEST = 'tagstrip/summary';

export interface SummaryParams {
  readonly textDocument: { readonly uri: string };
  readonly reader: 'bench' | 'customer';
}

/** The client says which line the caret is on, so that values appear as one leaves a line. */
export const CARET_NOTIFICATION = 'tagstrip/caret';

export interface CaretParams {
  readonly uri: string;
  readonly line: number;
}

/** What a client says of itself when it starts the server. */
export interface ClientOptions {
  /** It has the command below, and trusts links in hovers to it. */
  readonly writeCommand?: boolean;
  /** It answers the two requests below, for folders that are on no disk of the server's. */
  readonly readsFiles?: boolean;
  /** It lists and folds the headings of Markdown by itself, and finds links in Markdown text. */
  readonly showsHeadings?: boolean;
  /** The settings under `tagstrip`, from an editor that cannot be asked for them. */
  readonly settings?: unknown;
}

/** Asks the client for a file's text; null where there is none. */
export const READ_REQUEST = 'tagstrip/read';

/** Asks the client for the URIs of all sheets in a folder and below it. */
export const LIST_REQUEST = 'tagstrip/list';

export interface FileParams {
  readonly uri: string;
}

/** The client's command behind a hover's link: put text in place of a range, if the sheet is still of that version. */
export const WRITE_COMMAND = 'tagstrip.write';

export interface WriteParams {
  readonly uri: string;
  readonly version: number;
  readonly range: Range;
  readonly text: string;
}
