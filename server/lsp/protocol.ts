/** Owns our own messages beside the protocol's. The client names them in the same words. */
import type { Range } from 'vscode-languageserver';

/** A sheet's summary for one reader; null where there is no such sheet. */
export const SUMMARY_REQUEST = 'tagstrip/summary';

export interface SummaryParams {
  readonly textDocument: { readonly uri: string };
  /** The bench where it is none of these. */
  readonly reader: 'bench' | 'customer' | 'label';
  /** For the customer: with the readings before and after. */
  readonly withReadings?: boolean;
}

export interface SummaryAnswer {
  /** One page, whole in itself, without script. */
  readonly html: string;
  /** The language that its words are in, as HTML writes it: `en-GB`. */
  readonly language: string;
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

/** Asks the client for the text of `{ uri }`; null where there is none. */
export const READ_REQUEST = 'tagstrip/read';

/** Asks the client for the URIs of all sheets in the folder `{ uri }` and below it. */
export const LIST_REQUEST = 'tagstrip/list';

/** The client's command behind a hover's link: put text in place of a range, if the sheet is still of that version. */
export const WRITE_COMMAND = 'tagstrip.write';

export interface WriteParams {
  readonly uri: string;
  readonly version: number;
  readonly range: Range;
  readonly text: string;
}
