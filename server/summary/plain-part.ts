/** Owns how a part is called in plain words. */

/** A part in plain words for its owner: what it is called, and what such a part does. */
export interface PlainPart {
  readonly name: string;
  readonly does: string;
}
