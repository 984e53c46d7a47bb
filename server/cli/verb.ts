/**
 * Owns what a verb of the command is: its words, its options, and the desk it works at. A verb that takes sheets one by one
 * says what it makes of one (`part`) and how the parts are put together; where the parts are made is the desk's affair.
 */
import type { Severity } from '../rules/rule.ts';
import type { PageStyle } from '../shop/house-sheet.ts';
import type { Analysis, Shop } from '../shop/shop.ts';
import type { Places } from './json.ts';
import type { Terminal } from './terminal.ts';

export type Format = 'text' | 'json' | 'sarif' | 'md' | 'html';

/** Options beside `--format` and `--out`; a verb takes those that it names. */
export type Option = 'fail-on' | 'fix' | 'for' | 'like' | 'serial' | 'with-readings' | 'write';

/** Who reads a summary. */
export const READERS = ['bench', 'customer', 'label'] as const;
export type Reader = (typeof READERS)[number];

/** What was asked for, all plain data. */
export interface Call {
  readonly paths: readonly string[];
  readonly format: Format;
  readonly failOn: Severity | 'never';
  readonly reader: Reader;
  readonly withReadings: boolean;
  readonly write: boolean;
  readonly fix: boolean;
  /** The job that others are to be like. */
  readonly like?: string;
  /** The one amplifier that is asked for. */
  readonly serial?: string;
  readonly out?: string;
  /** How the shop of the first sheet prints, for one page over many. */
  readonly page?: PageStyle;
}

/** How the output looks, all plain data. */
export interface Setting {
  readonly terminal: Terminal;
  /** The folder that the command runs in; paths are shown from here. */
  readonly folder: string;
  readonly version: string;
}

/** One sheet at a time. */
export interface Analysed {
  readonly analysis: Analysis;
  readonly places: Places;
  readonly call: Call;
  readonly setting: Setting;
}

interface VerbWords {
  readonly name: string;
  /** The first is what a call without `--format` gets. */
  readonly formats: readonly [Format, ...Format[]];
  readonly options: readonly Option[];
  /** One line of the usage. */
  readonly does: string;
  /** `--out` may name a folder: the verb writes there by itself. */
  readonly writesItself?: true;
  /** It answers with one document over all sheets, whose page speaks the language of the first one's shop. */
  readonly isOneDocument?: true;
}

/** A verb over each sheet by itself. A part is plain data, so that it may come from another thread. */
export interface SheetVerb<Part = unknown> extends VerbWords {
  readonly part: (analysed: Analysed) => Part;
  /** Puts the parts together as they come, in the order of the sheets; the answer is the exit code. A method, so that any kind of part goes into one list of verbs. */
  run(desk: Desk, parts: () => AsyncIterable<Part>): Promise<number>;
}

/** A verb over all sheets together. */
export interface ShopVerb extends VerbWords {
  readonly part?: undefined;
  readonly run: (desk: Desk) => Promise<number>;
}

export type Verb = SheetVerb | ShopVerb;

/** Where the command writes; a test gives its own. */
export interface Streams extends Setting {
  readonly out: (text: string) => void;
  readonly err: (text: string) => void;
  /** The command's own script, which other threads may run for their share of many sheets; without it there is one thread. */
  readonly script?: string;
  /** From so many sheets on. */
  readonly threadsFrom?: number;
}

export interface Desk {
  readonly call: Call;
  readonly setting: Setting;
  readonly shop: Shop;
  /** To the terminal, or to the file of `--out`. */
  readonly print: (text: string) => void;
  /** The sheets that the paths name, sorted; that there are none makes the call unusable. */
  readonly sheets: () => Promise<readonly string[]>;
  /** Each sheet's analysis in turn. A job is let go when the next is asked for. */
  readonly analyses: () => AsyncGenerator<Analysed>;
}

/** The call cannot be done as asked: a file that is not there, cannot be read or written. The command ends with 2. */
export class Unusable extends Error {}
