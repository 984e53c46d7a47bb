/**
 * Owns the typed tree that a note is read into: blocks in reading order and, in them, tags with exact spans.
 * The tree says how a thing was spelled and what that spelling means by itself (class letters, units); what it means
 * beside the rest of the sheet (phases, sets, what is fitted) is `sheet`'s to say.
 */
import type { Snapshot } from '../text/snapshot.ts';
import type { Span } from '../text/span.ts';
import type { Quantity } from '../units/si.ts';
import type { WrittenValue } from '../units/value.ts';

// ---------------------------------------------------------------------------------------------------------------
// Names of parts and points

/** What a class letter stands for. `TR` is a transformer or a transistor by what it is said to be. */
export type PartClass =
  | 'resistor'
  | 'potentiometer'
  | 'capacitor'
  | 'inductor'
  | 'transformer'
  | 'valve'
  | 'diode'
  | 'transistor'
  | 'integrated-circuit'
  | 'fuse'
  | 'switch'
  | 'connector'
  | 'loudspeaker'
  | 'lamp'
  | 'relay'
  | 'tank'
  | 'test-point'
  | 'thermistor'
  | 'battery'
  | 'transformer-or-transistor'
  | 'other';

/** A reference designator in normal form: `V1A`, `R17`, `C5A`. */
export interface Ref {
  readonly kind: 'ref';
  /** Normal form: letters and section in capitals, no hyphen. */
  readonly name: string;
  /** The name without the section: `V1` of `V1A`. */
  readonly whole: string;
  readonly section?: string;
  readonly class: PartClass;
  readonly span: Span;
}

/** A part's terminal: an electrode, pin, pot terminal, transformer winding or tap. */
export interface Terminal {
  readonly kind: 'terminal';
  readonly ref: Ref;
  /** Normal form in lower case but for taps: `a`, `g`, `g1`, `g2`, `g3`, `k`, `h`, `b`, `c`, `e`, `d`, `s`, `1`, `wiper`, `8R`.
   *  A pin by number is its number with `by: 'pin'` on a valve; pot and part terminals by number are `by: 'number'`. */
  readonly terminal: string;
  readonly by: 'electrode' | 'pin' | 'number' | 'tap' | 'name';
  readonly span: Span;
}

/** A named place in the circuit. */
export interface Node {
  readonly kind: 'node';
  /** Normal form: `B+`, `B+1`, `B-`, `HT`, `HT+`, `gnd`, `mains`, `tail` (free names as written first, lower case). */
  readonly name: string;
  /** `free` names are candidates until a connection of the sheet uses them. */
  readonly nature: 'rail' | 'ready-made' | 'free';
  readonly span: Span;
}

export type Point = Terminal | Node | Ref;

// ---------------------------------------------------------------------------------------------------------------
// What a tag says

/** What is fitted: values, ratings and words after `=`. */
export interface Specification {
  readonly span: Span;
  /** Main values in order; a can of `32+32uF` has two, `mains 290-0-290V …` of a transformer stands in `windings`. */
  readonly values: readonly WrittenValue[];
  readonly ratings: readonly Rating[];
  /** Kind words in lower case: `electrolytic`, `film`, `wirewound`, `log`, `choke`, `output`, `mains` … */
  readonly kinds: readonly Word[];
  /** A valve, semiconductor or other type as written: `6V6GT`, `ECC83/12AX7`, `1N4007`. */
  readonly type?: Word;
  /** `T2 = output 8k : 4R 8R 16R 18W` and `T1 = mains 290-0-290V 150mA 6.3V 4A`. */
  readonly windings: readonly Winding[];
  /** A word of the fuse's speed (`T`, `F`, `TT`, `FF`, `M`, `slow`, `fast`). */
  readonly fuseSpeed?: Word;
}

export interface Rating {
  readonly of: 'voltage' | 'power' | 'current' | 'temperature' | 'tolerance' | 'date' | 'impedance';
  readonly value: WrittenValue;
  /** For a date: as written, ISO where it is one. */
  readonly text: string;
  readonly span: Span;
}

export interface Word {
  readonly text: string;
  readonly span: Span;
}

/** One winding of a transformer in the order written, or a primary/secondary impedance of an output transformer. */
export interface Winding {
  /** `290-0-290V` has `half: 290 V` and `centreTapped`; `6.3V` has `volts`; `8k` / `8R` have `impedance`. */
  readonly side: 'primary' | 'secondary';
  readonly volts?: WrittenValue;
  readonly centreTapped: boolean;
  readonly impedance?: WrittenValue;
  readonly current?: WrittenValue;
  readonly span: Span;
}

/** Where a part is connected. */
export type Connection =
  /** `V5.k V6.k to gnd`, `VR4.3 to tail`; one end alone goes to gnd (`toWritten` false). */
  | {
      readonly kind: 'ends';
      readonly from: readonly Point[];
      readonly to: readonly Point[];
      readonly toWritten: boolean;
      readonly span: Span;
    }
  /** `across R17` */
  | { readonly kind: 'across'; readonly ref: Ref; readonly span: Span }
  /** `wiper to V1B.g`, `ct B+1`, `plus at B+1`, `LS1 on 8R`: one named terminal of this part to a point. */
  | { readonly kind: 'terminal'; readonly terminal: Word; readonly to: Point; readonly span: Span }
  /** Of a stage line: `a R4 B+3`: the electrode, what hangs on it (a part or a point), then its other end. */
  | {
      readonly kind: 'hangs';
      readonly electrode: Word;
      readonly on: Point;
      readonly far?: Point;
      readonly span: Span;
    };

/** One reading in a tag: what was read, where, and the value or values. */
export interface ReadingItem {
  /** The point or part read. For `V5: a 331` it is the terminal V5.a, its span the label's. */
  readonly at: Point;
  /** The second point of `X to Y: …`. */
  readonly to?: Point;
  /** By the unit and the class of the part (design, "Meaning by unit"). */
  readonly quantity: ReadingQuantity;
  /** One value; `arms` and `halves` have two; `: 12 -> 14` has `then`. */
  readonly values: readonly WrittenValue[];
  /** As left, of `: 3.4 V -> 3.1 V`. */
  readonly then?: WrittenValue;
  /** `at 1 kHz`, `300mV 120Hz`; and of a leakage current the volts it was read at. */
  readonly frequency?: Quantity<'Hz'>;
  readonly atVolts?: Quantity<'V'>;
  readonly span: Span;
}

export type ReadingQuantity =
  | 'voltage' /* DC to gnd, or between two points, or across a part */
  | 'ac-voltage' /* mains, heater, winding, loudspeaker */
  | 'ripple' /* AC on a rail, node or supply point */
  | 'current'
  | 'resistance'
  | 'capacitance'
  | 'inductance'
  | 'esr'
  | 'insulation'
  | 'leakage'
  | 'setting' /* of a pot, 0 to 10 */
  | 'arms' /* of a pot, clockwise arm first */
  | 'halves' /* of a winding */
  | 'power'
  | 'frequency'
  | 'temperature'
  | 'time';

/** A condition under which readings were taken. */
export interface Condition {
  readonly kind:
    | 'mains'
    | 'lamp'
    | 'variac'
    | 'in-play'
    | 'in-standby'
    | 'standby-on' /* means both: asked */
    | 'off'
    | 'discharged'
    | 'cold'
    | 'hot'
    | 'warm-up'
    | 'no-signal'
    | 'signal'
    | 'clipping'
    | 'dummy-load'
    | 'speaker'
    | 'no-load'
    | 'out' /* V6 out */
    | 'lifted' /* C22 lifted */
    | 'swapped'
    | 'in-circuit'
    | 'out-of-circuit'
    | 'setting' /* VR3 at 3 */
    | 'same' /* same conditions */
    | 'named' /* a word of the shop sheet */;
  readonly refs: readonly Ref[];
  readonly value?: Quantity;
  readonly words: string;
  readonly span: Span;
}

/** States of a part and work that is not a new value. */
export type State =
  | 'charred'
  | 'cracked'
  | 'lifted'
  | 'dry joint'
  | 'leaking'
  | 'noisy'
  | 'scratchy'
  | 'microphonic'
  | 'glowing'
  | 'gassy'
  | 'missing';
export type Work = 'removed' | 'same' | 'resoldered' | 'raised' | 'moved';

/** What every tag has. */
interface TagBase {
  /** Braced in running text, a whole list item, or a table cell or row. */
  readonly form: 'braces' | 'item' | 'cell';
  /** The whole, braces included. */
  readonly span: Span;
  /** Conditions written before it (`C14 lifted: V5.g: 0 V`) or in brackets after it, for this tag alone. */
  readonly conditions: readonly Condition[];
  /** What stands behind or in brackets and could not or need not be read, all of it; its place is that of what stands behind. */
  readonly remark?: Word;
}

export type Tag =
  | (TagBase & { readonly kind: 'mention'; readonly points: readonly Point[] })
  /** `=`, with several refs at once; `series` for `C40 + C41`; and a reading where a type stands before a colon. */
  | (TagBase & {
      readonly kind: 'fitted';
      readonly refs: readonly Ref[];
      readonly series: boolean;
      /** Absent where only connections are said. */
      readonly specification?: Specification;
      readonly connections: readonly Connection[];
      /** `V3: 12AX7` is read as fitted, with a hint. */
      readonly colonForEquals: boolean;
      /** The type of a chart's row: it says which valve was read. */
      readonly isBesideReading?: true;
    })
  | (TagBase & {
      readonly kind: 'reading';
      readonly items: readonly ReadingItem[];
      /** `V5 6V6GT: a 331`: fitted and read at once. */
      readonly refs: readonly Ref[];
      readonly type?: Specification;
      /** States said beside what was read: `R31: charred, 520R`. */
      readonly states?: readonly (Word & { readonly state: State })[];
    })
  | (TagBase & {
      readonly kind: 'change';
      readonly refs: readonly Ref[];
      readonly series: boolean;
      readonly was?: Specification;
      /** What it is now, or work that is not a new value. */
      readonly is: Specification | Word;
      readonly work?: Work;
      readonly connections: readonly Connection[];
    })
  | (TagBase & { readonly kind: 'wire'; readonly from: Point; readonly to: Point })
  | (TagBase & { readonly kind: 'question'; readonly expression: Word })
  | (TagBase & {
      readonly kind: 'state';
      readonly subjects: readonly Point[];
      readonly states: readonly (Word & { readonly state: State })[];
    })
  | (TagBase & {
      readonly kind: 'accept';
      readonly rule: Word;
      readonly subjects: readonly Point[];
      readonly reason?: Word;
    })
  | (TagBase & { readonly kind: 'keep'; readonly refs: readonly Ref[]; readonly reason?: Word })
  /** `R4-R31: as drawn`, `R7: not seen`, `R17: was R44`. */
  | (TagBase & {
      readonly kind: 'provenance';
      readonly refs: readonly Ref[];
      readonly says: 'as-drawn' | 'not-seen' | 'was';
      readonly was?: Ref;
    })
  /** `- mod screens-5w: still applies` (list items only). */
  | (TagBase & {
      readonly kind: 'mod-verdict';
      readonly mod: Word;
      readonly verdict: string;
      readonly why?: Word;
    })
  /** Opens as a tag and cannot be read. */
  | (TagBase & {
      readonly kind: 'unreadable';
      readonly opens: Word;
      readonly expected: string;
      readonly at: Span;
    })
  /** `{tail: -1.2 V}`: kept only if a connection of the sheet uses the name; text if not. */
  | (TagBase & { readonly kind: 'candidate'; readonly node: Node; readonly tag: Tag });

/** Something about the writing itself that the reader noticed: the rules of "Writing" turn these into findings. */
export interface WritingProblem {
  readonly kind:
    | 'tag-unreadable'
    | 'value-ambiguous'
    | 'unit-missing'
    | 'text-garbled'
    | 'date-impossible'
    | 'front-matter-unreadable'
    | 'sheet-too-large'
    | 'conflict-marked'
    | 'colon-for-equals'
    | 'equals-for-reading'
    | 'link-definition' /* `- [C14]: 4n4` vanishes */
    | 'standby-on'
    | 'chart-reference-asked'
    | 'line-in-prose' /* a reading or a part's line without braces or the mark of a list */
    | 'point-unknown' /* a node one letter from one that a connection uses */;
  readonly span: Span;
  /** In a technician's words, complete: what is wrong and what was expected. */
  readonly message: string;
  /** It is one only where the amplifier has a part or a point of this name: else the words are only words. */
  readonly about?: string;
  /** Replacements that would mend it, each with what it would then mean. */
  readonly offers: readonly {
    readonly saying: string;
    readonly edit: { readonly span: Span; readonly text: string };
  }[];
}

// ---------------------------------------------------------------------------------------------------------------
// Blocks in reading order

export interface Heading {
  readonly kind: 'heading';
  readonly depth: number;
  /** The heading's text without tags' braces and marks, for phase words and outlines. */
  readonly text: string;
  readonly tags: readonly Tag[];
  readonly prose: readonly Span[];
  readonly span: Span;
}

/** A paragraph, a list item's own text, a quote's paragraph, a footnote's. Lists are flattened, `depth` says how deep. */
export interface Passage {
  readonly kind: 'passage';
  readonly container: 'paragraph' | 'item' | 'quote' | 'footnote';
  /** 0 outside lists. */
  readonly listDepth: number;
  /** Of a task list item. */
  readonly task?: 'open' | 'done';
  readonly tags: readonly Tag[];
  /** Conditions that hold for the tags which follow, where the passage is condition words ending in a colon, or names mains. */
  readonly standing?: readonly Condition[];
  /** Stretches of plain text outside tags, code, links' targets and HTML: where bare words can be mentions. */
  readonly prose: readonly Span[];
  readonly images: readonly {
    readonly alt: string;
    readonly url: string;
    readonly span: Span;
    readonly refs: readonly Ref[];
  }[];
  readonly span: Span;
}

export interface Table {
  readonly kind: 'table';
  /** By its first heading: a parts list, a chart of readings, or any other table (whose cells are only prose and braced tags). */
  readonly nature: 'parts' | 'chart' | 'other';
  readonly columns: readonly Column[];
  readonly rows: readonly Row[];
  readonly span: Span;
}

export interface Column {
  readonly text: string;
  /** Of a parts list: ref, value, rating, kind, from, to, was, now. Of a chart: valve, electrode, pin, quantity, found, left, nominal.
   *  `remark` for any other. */
  readonly means:
    | 'ref'
    | 'value'
    | 'rating'
    | 'kind'
    | 'type'
    | 'from'
    | 'to'
    | 'was'
    | 'now'
    | 'date'
    | 'point'
    | 'electrode'
    | 'pin'
    | 'quantity'
    | 'found'
    | 'left'
    | 'nominal'
    | 'tolerance'
    | 'remark';
  /** Electrode letter, pin number or quantity, where it is one. */
  readonly name?: string;
  /** The unit that the heading gives to bare numbers below it: `a (V)`, `k mV`, `mA`. */
  readonly unit?: string;
  /** `found`/`left` of a column that is also an electrode: `a found`. */
  readonly phase?: 'found' | 'left' | 'nominal';
  readonly span: Span;
}

export interface Row {
  /** What the row's cells say, as tags of form `cell`; a bad cell spoils only itself. */
  readonly tags: readonly Tag[];
  /** For each tag the phase that its column gives, by index; absent for most. */
  readonly phases: readonly ('found' | 'left' | 'nominal' | undefined)[];
  readonly prose: readonly Span[];
  readonly span: Span;
}

/** Code, HTML, rules, math: nothing is read in it. */
export interface Opaque {
  readonly kind: 'opaque';
  readonly span: Span;
}

export type Block = Heading | Passage | Table | Opaque;

/** The YAML at the head. Scalars are kept as written (`0123`, `12E4`, `1.10`). */
export interface FrontMatter {
  readonly span: Span;
  /** Entries in order; nested structures are kept as data for the shop sheet's reader. */
  readonly entries: readonly FrontMatterEntry[];
}

export interface FrontMatterEntry {
  readonly key: string;
  readonly keySpan: Span;
  /** A scalar's text exactly as written; undefined for a map or list. */
  readonly scalar?: string;
  readonly items?: readonly FrontMatterEntry[] /* of a map, or of a list with keys `0`, `1` … */;
  readonly valueSpan: Span;
}

/** Blocks that were read together and stay the very same object, with all in it, while no edit touches their text. */
export interface NotePiece {
  readonly blocks: readonly Block[];
  readonly problems: readonly WritingProblem[];
}

/**
 * One sheet's text, read. Never fails: what cannot be read is in it as `unreadable` tags and problems. Its spans hold until
 * its reader reads the next snapshot of the same sheet.
 */
export interface Note {
  readonly snapshot: Snapshot;
  readonly frontMatter?: FrontMatter;
  readonly blocks: readonly Block[];
  readonly problems: readonly WritingProblem[];
  /** The blocks again, piece by piece. */
  readonly pieces: readonly NotePiece[];
  /** The end of the text, empty; it moves as the text grows. */
  readonly end: Span;
  /**
   * The same object for all notes that one reader read of one sheet: what is kept from one to the next is kept by it. Absent
   * where the sheet is read once: then nothing is worth keeping for the next.
   */
  readonly thread?: object;
}
