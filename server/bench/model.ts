/**
 * Owns what is true of one amplifier: what is fitted where in each phase, what was read, and the figures that follow.
 * Everything says where it came from, by file and span. Rules, features and the summary read this and nothing below it.
 */

import type { Valve, ValveSection } from '../catalogue/valve.ts';
import type { Condition, PartClass, ReadingQuantity, Specification, State } from '../dialect/tree.ts';
import type { Phase, ReadingSet, Sheet } from '../sheet/model.ts';
import type { Span } from '../text/span.ts';
import type { Quantity, Unit } from '../units/si.ts';

/** A place in a sheet. */
export interface Source {
  readonly file: string;
  readonly span: Span;
}

/** How a number is known; a figure's basis is the weakest of its inputs', in this order from the strongest. */
export const BASES = ['read', 'fitted', 'catalogue', 'assumed', 'expected'] as const;
export type Basis = (typeof BASES)[number];

/** A number that says where it came from. `low`/`high` where an assumption or a range widens it. */
export interface Known<U extends Unit = Unit> {
  readonly quantity: Quantity<U>;
  readonly low?: number;
  readonly high?: number;
  /** What its last written digit counts, in its unit: 0.1 of `23.0`. Absent where it was not written as a plain number. */
  readonly digit?: number;
  readonly basis: Basis;
  /** Absent for catalogue data and assumptions, which say themselves in `because`. */
  readonly source?: Source;
  /** `6V6GT data sheet, design-centre; from memory, unverified`; `screen share 5–12 % assumed`. */
  readonly because?: string;
  /** Of a number computed from others: what was assumed on the way to it, in words. */
  readonly assumptions?: readonly string[];
}

/** What was assumed on the way to a number, in words, each once. */
export function assumptionsIn(inputs: readonly { readonly known: Known }[]): readonly string[] {
  let said: string[] | undefined;
  const say = (words: string): void => {
    said ??= [];
    if (!said.includes(words)) said.push(words);
  };
  for (const { known } of inputs) {
    if (known.assumptions !== undefined) known.assumptions.forEach(say);
    else if (known.basis === 'assumed' && known.because !== undefined) say(known.because);
  }
  return said ?? NOTHING_ASSUMED;
}

const NOTHING_ASSUMED: readonly string[] = [];

/** A part as fitted in one phase. */
export interface FittedPart {
  /** `R17`, `V1A`: sections of a valve are parts of their own, and `whole` ties them. */
  readonly ref: string;
  readonly whole: string;
  readonly section?: string;
  readonly class: PartClass;
  /** Main value: Ω, F, H; absent where none is written, ambiguous, or the part is a valve. */
  readonly value?: Known;
  /** What was read on this part itself (resistance, capacitance, ESR) since it was fitted, in sheet order: the last one counts.
   *  For arithmetic it beats the marked value (`findValueInUse`); for tests of the part itself both stay visible. */
  readonly measured: readonly BenchReading[];
  /** As a share, 0.1 for ±10 %: marked, or customary for its kind where nothing is marked. */
  readonly tolerance: number;
  readonly isToleranceMarked: boolean;
  /** Direct-current resistance marked beside the main value: `10H 250R`. */
  readonly resistance?: Known<'Ohm'>;
  /** Nominal impedance of a loudspeaker (its main value) or the impedance rating of another part. */
  readonly impedance?: Known<'Ohm'>;
  readonly ratings: {
    readonly voltage?: Known<'V'>;
    readonly power?: Known<'W'>;
    readonly current?: Known<'A'>;
    readonly temperature?: Known<'degC'>;
    readonly date?: string;
  };
  readonly kinds: readonly string[];
  /** As written, and the catalogue's entry where it knows it. */
  readonly type?: {
    readonly text: string;
    readonly source: Source;
    readonly valve?: Valve;
    readonly remark?: string;
  };
  /** Terminal to node: `a` → `V5.a`, `1`/`2` of a two-terminal part. Node ids are canonical names (`gnd`, `B+1`, `V5.k`). */
  readonly terminals: ReadonlyMap<string, string>;
  /** The tag that fitted it, and the phase it dates from. */
  readonly source: Source;
  readonly since: Phase;
  /** Section of the catalogue's valve that this part is; absent for a section of a twin until the sheet says which pins it has. */
  readonly valveSection?: ValveSection;
  /** All that was written of it: windings, fuse speed, spellings. */
  readonly specification?: Specification;
  /** Refs of the series string that it is part of, itself included (`C40 + C41`). */
  readonly string?: readonly string[];
}

/** A reading with its meaning: at a node or part, in a set. */
export interface BenchReading {
  readonly at: string;
  /** Canonical node of `at` where it is a point. */
  readonly node?: string;
  readonly to?: string;
  readonly toNode?: string;
  readonly quantity: ReadingQuantity;
  readonly value: Known;
  /** Half of the reading's last digit and the meter's own error, in the unit read. */
  readonly uncertainty: number;
  readonly wave?: 'rms' | 'pp' | 'peak' | 'ac';
  readonly frequency?: Quantity<'Hz'>;
  readonly set: ReadingSet;
  readonly phase: Phase;
  readonly nominal: boolean;
  /** `open` has the stand-in value OPEN_OHMS, `short` 0. */
  readonly special?: 'open' | 'short';
  /** For a leakage current: the volts it was read at. */
  readonly atVolts?: Quantity<'V'>;
  /** Second value of `halves` and `arms`. */
  readonly second?: Known;
  /** Conditions of this reading alone, beyond its set's. */
  readonly conditions: readonly Condition[];
  /** In normal running: its set is, and no condition of its own takes it out (`C14 lifted`). Only such readings make figures. */
  readonly normal: boolean;
  readonly source: Source;
}

/** What `open` and `OL` stand for in ohms: more than any ohmmeter of a bench shows. */
export const OPEN_OHMS = 1e12;

/** What is tied to what in one phase. */
export interface Circuit {
  /** Names of all nodes, in natural order. */
  readonly nodes: readonly string[];
  /** The canonical node of a point (`V5.k`, `B+1`, `R17.1`); undefined where no connection or electrode makes one. */
  readonly nodeOf: (point: string) => string | undefined;
  /** What is soldered to a node, in natural order of refs. */
  readonly attached: (node: string) => readonly Attachment[];
}

export interface Attachment {
  readonly ref: string;
  readonly terminal: string;
}

export type Role =
  | 'anode-load'
  | 'cathode-resistor'
  | 'cathode-bypass'
  | 'coupling'
  | 'grid-leak'
  | 'grid-stopper'
  | 'screen-resistor'
  | 'dropper'
  | 'reservoir'
  | 'smoothing'
  | 'sense-resistor'
  | 'bleeder'
  | 'choke'
  | 'output-transformer'
  | 'mains-transformer'
  | 'rectifier'
  | 'tail'
  | 'feedback'
  | 'snubber'
  | Network
  | 'unknown';

/** What several parts are together. A part that has no role of its own but this one bears its name as its role. */
export type Network =
  | 'volume'
  | 'bright'
  | 'tone'
  | 'treble-cut'
  | 'feedback-loop'
  | 'feedback-shelf'
  | 'cathode-follower'
  | 'cathodyne'
  | 'long-tail-pair'
  | 'paraphase'
  /** A capacitor that holds one grid of a pair still for signals: no coupling between stages. */
  | 'grid-return'
  | 'bias-supply'
  | 'standby'
  | 'heater-reference'
  | 'reverb-drive'
  | 'reverb-recovery';

export interface RoleFound {
  readonly ref: string;
  readonly role: Role;
  /** Valves or parts that it serves: the two output valves of a shared cathode resistor. */
  readonly serves: readonly string[];
  /** `between V5.k and gnd`. */
  readonly because: string;
  readonly confidence: 'certain' | 'likely';
  /** What it is a part of. */
  readonly network?: {
    readonly name: Network;
    readonly because: string;
    readonly confidence: RoleFound['confidence'];
  };
}

/** One computed number. (file, subject, figure, phase, set) is unique. */
export interface Figure {
  readonly file: string;
  readonly subject: string;
  readonly figure: FigureName;
  /** What the formula gives for the inputs as they are told. Its band lies around it, and need not be even. */
  readonly quantity: Quantity;
  readonly low?: number;
  readonly high?: number;
  readonly phase: Phase;
  /** 0 where no reading takes part. */
  readonly set: number;
  readonly basis: Basis;
  /** With the symbols of `inputs`: `(Va − Vk) · (Ik − Ig2)`. */
  readonly formula: string;
  readonly inputs: readonly FigureInput[];
  /** Where it is shown: the tag that completed it. */
  readonly source: Source;
  /** Limit it is held against, where it has one of its own (loading, anode-loading, margin). */
  readonly limit?: { readonly quantity: Quantity; readonly source: string };
  /** What a reader must be told with it: `average of the valves that share R18`. */
  readonly remark?: string;
}

export interface FigureInput {
  readonly name: string;
  readonly symbol: string;
  readonly known: Known;
  /** Of a figure as input: whether it rests on a reading of its own subject. */
  readonly isOwn?: boolean;
}

export const FIGURES = [
  'drop',
  'current',
  'dissipation',
  'loading',
  'voltage',
  'cold-voltage',
  'margin',
  'corner',
  'shelf-low',
  'shelf-high',
  'step-db',
  'level-82',
  'level-400',
  'level-1000',
  'level-5000',
  'feedback-db',
  'energy',
  'bleed-time',
  'ripple',
  'attenuation',
  'attenuation-by-parts',
  'effective-capacitance',
  'cathode-current',
  'anode-current',
  'screen-current',
  'anode-dissipation',
  'screen-dissipation',
  'anode-loading',
  'screen-loading',
  'bias',
  'gain',
  'gain-db',
  'output-impedance',
  'input-impedance',
  'insulation',
  'reflected-load',
  'power',
  'heater-current',
  'heater-loading',
  'loaded-voltage',
  'loaded-ripple',
  'current-loading',
  'peak-current',
  'peak-inverse',
  'reservoir-loading',
  'mismatch',
  'expected',
  'answer',
] as const;
export type FigureName = (typeof FIGURES)[number];

/** The amplifier in one phase. */
export interface PhaseView {
  readonly phase: Phase;
  readonly parts: ReadonlyMap<string, FittedPart>;
  /** Readings of this phase by set, and part measurements of the phase. Nominals stand apart. */
  readonly readings: readonly BenchReading[];
  readonly nominals: readonly BenchReading[];
  readonly roles: ReadonlyMap<string, RoleFound>;
  readonly circuit: Circuit;
  /** The phase's last set in normal running: verdicts use it. Undefined where nothing was read. */
  readonly verdictSet?: ReadingSet;
  /** All of them. Whoever wants some of a sheet that is read once asks for them by name, so that no more are made. */
  readonly figures: readonly Figure[];
  /** A place where exactly one connection is missing for a figure, and the likeliest one. */
  readonly offers: readonly ConnectionOffer[];
  /** Questions of this phase that have no answer, and why. */
  readonly unanswered: readonly Unanswered[];
  /** What is kept of its readings for those after the next edit is kept by this; absent where the sheet is read once. */
  readonly thread?: object;
}

/** A `{? …}` that could not be answered. */
export interface Unanswered {
  /** Its text with spaces collapsed. */
  readonly subject: string;
  readonly source: Source;
  /** `nothing was read at V1A.a in this set`. */
  readonly reason: string;
}

/** `V5.k to gnd` would complete a figure of `R17`. */
export interface ConnectionOffer {
  readonly ref: string;
  readonly text: string;
  readonly because: string;
  readonly completes: FigureName;
  /** Insert here, with ` ` or `, ` already in the text. */
  readonly at: Source;
}

export interface PartChange {
  readonly ref: string;
  readonly was?: FittedPart;
  readonly is?: FittedPart;
  readonly work?: string;
  readonly planned: boolean;
  readonly source: Source;
}

/** A state written of a part or point. */
export interface PartState {
  readonly subject: string;
  readonly state: State;
  readonly phase: Phase;
  readonly source: Source;
}

/** `R4-R31: as drawn` was looked at, `not seen` was not. */
export interface Seen {
  readonly says: 'as-drawn' | 'not-seen';
  readonly source: Source;
}

/** One amplifier: a job sheet with its chassis sheet under it, or a chassis sheet alone. */
export interface Amplifier {
  readonly sheet: Sheet;
  readonly chassis?: Sheet;
  /** The revisions that the chassis sheet (or this sheet, where it is one) follows, oldest first. */
  readonly follows: readonly Sheet[];
  /** The shop sheet, where it says the mains. */
  readonly shopSheet?: Sheet;
  /** In order of time, only those the sheet has; a chassis sheet alone has `factory`. */
  readonly phases: readonly PhaseView[];
  readonly changes: readonly PartChange[];
  readonly states: readonly PartState[];
  /** Of each part, by ref, the last word on whether it was looked at; a part that nobody says this of is not among them. */
  readonly seen: ReadonlyMap<string, Seen>;
  /** Parts that two lines of one phase fit differently. */
  readonly repeats: readonly RepeatedDeclaration[];
}

/** The same part declared twice in one phase: the later one counts. */
export interface RepeatedDeclaration {
  readonly ref: string;
  readonly phase: Phase;
  readonly first: Source;
  readonly second: Source;
}

/** The last measurement of its main value if there is one, else the marked value; never an `open`. */
export function findValueInUse(part: FittedPart): Known | undefined {
  const reading = findMeasured(part);
  if (reading === undefined) return part.value;
  return reading.special === undefined ? reading.value : undefined;
}

/** The measurement that speaks for a part's main value. A reading in circuit that is low says nothing: something is parallel to it. */
export function findMeasured(part: FittedPart): BenchReading | undefined {
  const wanted =
    part.class === 'capacitor' ? 'capacitance' : part.class === 'inductor' ? 'inductance' : 'resistance';
  return part.measured.findLast(
    (reading) =>
      reading.quantity === wanted &&
      !(
        isReadInCircuit(reading) &&
        part.value !== undefined &&
        reading.value.quantity.value < part.value.quantity.value
      ),
  );
}

const SIGNAL_NETWORKS: ReadonlySet<Role> = new Set<Network>([
  'bright',
  'tone',
  'treble-cut',
  'feedback-loop',
  'feedback-shelf',
  'grid-return',
]);

/** Networks whose capacitors may meet more with cold valves than they do in play, as a coupling capacitor does. */
export function isSignalNetwork(role: Role): boolean {
  return SIGNAL_NETWORKS.has(role);
}

/** Whether something may have been parallel to the part when it was read. */
export function isReadInCircuit(reading: BenchReading): boolean {
  return [...reading.set.conditions, ...reading.conditions].some(({ kind }) => kind === 'in-circuit');
}

/** The weaker of two bases. */
export function weaker(one: Basis, other: Basis): Basis {
  return one !== other && BASES.indexOf(other) > BASES.indexOf(one) ? other : one;
}
