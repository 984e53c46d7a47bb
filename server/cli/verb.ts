/**
 * Owns what a verb of the command is: its words, its options, and the desk it works at: which sheets were named, their
 * analyses one after another, and where its output goes. A verb that goes over many sheets lets each go before the next.
 */
import type { Severity } from '../rules/rule.ts';
import type { Analysis, Shop } from '../shop/shop.ts';
import type { Places } from './json.ts';
import type { Terminal } from './text.ts';

export type Format = 'text' | 'json' | 'sarif' | 'md' | 'html';

/** Options beside `--format` and `--out`; a verb takes those that it names. */
export type Option = 'fail-on' | 'fix' | 'for' | 'with-readings' | 'write';

/** Who reads a summary. */
export const READERS = ['bench', 'customer', 'label'] as const;
export type Reader = (typeof READERS)[number];

export interface Call {
  readonly verb: Verb;
  readonly paths: readonly string[];
  readonly format: Format;
  readonly failOn: Severity | 'never';
  readonly reader: Reader;
  readonly withReadings: boolean;
  readonly fix: boolean;
  readonly write: boolean;
  readonly out?: string;
}

export interface Verb {
  readonly name: string;
  /** The first is what a call without `--format` gets. */
  readonly formats: readonly [Format, ...Format[]];
  readonly options: readonly Option[];
  /** One line of the usage. */
  readonly does: string;
  /** `--out` names a folder as soon as there are several sheets: the verb writes one file a sheet by itself. */
  readonly outIsFolder?: true;
  /** The answer is the exit code. */
  readonly run: (desk: Desk) => Promise<number>;
}

/** Where the command writes; a test gives its own. */
export interface Streams {
  readonly out: (text: string) => void;
  readonly err: (text: string) => void;
  readonly terminal: Terminal;
  readonly folder: string;
  readonly version: string;
}

export interface Desk {
  readonly call: Call;
  readonly streams: Streams;
  readonly shop: Shop;
  /** To the terminal, or to the file of `--out`. */
  readonly print: (text: string) => void;
  /** The sheets that the paths name, sorted; none is unusable. */
  readonly sheets: () => Promise<readonly string[]>;
  /** Each sheet's analysis in turn. What only that sheet needed is let go when the next is asked for. */
  readonly analyses: () => AsyncGenerator<Analysed>;
}

export interface Analysed {
  readonly analysis: Analysis;
  readonly places: Places;
}

/** The call cannot be done as asked: a file that is not there, cannot be read or written. The command ends with 2. */
export class Unusable extends Error {}
