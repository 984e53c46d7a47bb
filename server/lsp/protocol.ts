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
}

/** The client's command behind a hover's link: put text in place of a range, if the sheet is still of that version. */
export const WRITE_COMMAND = 'tagstrip.write';

export interface WriteParams {
  readonly uri: string;
  readonly version: number;
  readonly range: Range;
  readonly text: string;
}
