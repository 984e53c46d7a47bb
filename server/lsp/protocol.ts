/** Owns our own messages beside the protocol's. The client names them in the same words. */

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
