/**
 * Owns what is true of one amplifier: what is fitted where in each phase, what was read, and the figures that follow.
 * Everything says where it came from, by file and span. Rules, features and the summary read this and nothing below it.
 */

import type { Valve, ValveSection } from '../catalogue/valve.ts';
import type { PartClass, ReadingQuantity, State } from '../dialect/tree.ts';
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
  readonly basis: Basis;
  /** Absent for catalogue data and assumptions, which say themselves in `because`. */
  readonly source?: Source;
  /** `6V6GT data sheet, design-centre; from memory, unverified`; `screen share 5–12 % assumed`. */
  readonly because?: string;
}

/** A part as fitted in one phase. */
export interface FittedPart {
  /** `R17`, `V1A`: sections of a valve are parts of their own, and `whole` ties them. */
  readonly ref: string;
  readonly whole: string;
  readonly section?: string;
  readonly class: PartClass;
  /** Main value: Ω, F, H; absent where none is written, ambiguous, or the part is a valve. */
  readonly value?: Known;
  /** What was read on this part itself (resistance, capacitance, ESR); beats the marked value. Sheet order; last counts. */
  readonly tolerance: number;
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
  /** Section of the catalogue's valve that this part is. */
  readonly valveSection?: ValveSection;
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
  readonly special?: 'open' | 'short';
  readonly source: Source;
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
  | 'unknown';

export interface RoleFound {
  readonly ref: string;
  readonly role: Role;
  /** Valves or parts that it serves: the two output valves of a shared cathode resistor. */
  readonly serves: readonly string[];
  /** `between V5.k and gnd`. */
  readonly because: string;
  readonly confidence: 'certain' | 'likely';
}

/** One computed number. (file, subject, figure, phase, set) is unique. */
export interface Figure {
  readonly file: string;
  readonly subject: string;
  readonly figure: FigureName;
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
  'energy',
  'bleed-time',
  'ripple',
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
  /** The phase's last set in normal running: verdicts use it. Undefined where nothing was read. */
  readonly verdictSet?: ReadingSet;
  readonly figures: readonly Figure[];
  /** A place where exactly one connection is missing for a figure, and the likeliest one. */
  readonly offers: readonly ConnectionOffer[];
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

/** One amplifier: a job sheet with its chassis sheet under it, or a chassis sheet alone. */
export interface Amplifier {
  readonly sheet: Sheet;
  readonly chassis?: Sheet;
  /** In order of time, only those the sheet has; a chassis sheet alone has `factory`. */
  readonly phases: readonly PhaseView[];
  readonly changes: readonly PartChange[];
  readonly states: readonly PartState[];
}

export function weakest(bases: readonly Basis[]): Basis {
  return bases.reduce<Basis>(
    (worst, basis) => (BASES.indexOf(basis) > BASES.indexOf(worst) ? basis : worst),
    'read',
  );
}
