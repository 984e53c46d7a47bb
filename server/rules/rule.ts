/**
 * Owns what a rule is: its page, its options and messages as data, a pure check over the amplifier, and fixes.
 * One rule, one file named by its id; `registry.ts` lists them, `run.ts` runs them.
 */
import type { Amplifier, Figure, PhaseView, Source } from '../bench/model.ts';
import type { Phase, ReadingSet, Sheet } from '../sheet/model.ts';
import type { Edit } from '../text/edits.ts';
import type { Snapshot } from '../text/snapshot.ts';
import type { Quantity, Unit } from '../units/si.ts';

export type Severity = 'error' | 'warning' | 'info' | 'hint';
export const SEVERITIES: readonly Severity[] = ['error', 'warning', 'info', 'hint'];

/** A number that a finding is held against, and whose it is: `V5 data sheet, design-centre`, `house rule`, `IEC 60062`. */
export interface Limit<U extends Unit = Unit> {
  readonly quantity: Quantity<U>;
  readonly source: string;
}

/** What a check yields; `run.ts` adds file, rule and acceptance. */
export interface Report {
  readonly severity: Severity;
  /** `V5`, `R17`, `B+1`; a pair `V4,V5`. */
  readonly subject: string;
  readonly phase?: Phase;
  readonly set?: ReadingSet;
  /** Complete sentence(s): what is wrong, by how much, against which limit and whose, what to do. */
  readonly message: string;
  /** The smallest text that the author must change or look at. */
  readonly source: Source;
  readonly figures?: Readonly<Record<string, Quantity>>;
  readonly limit?: Limit;
  readonly related?: readonly Related[];
  /** Subjects whose findings of `explains` are consequences of this one: they become related information of it. */
  readonly explains?: readonly { readonly rule: string; readonly subject: string }[];
}

export interface Related {
  readonly subject: string;
  readonly message: string;
  readonly source: Source;
}

export interface Finding extends Report {
  readonly rule: string;
  readonly file: string;
  readonly accepted?: string;
  /** Stable over edits elsewhere: rule, subject, phase and the slice of text, hashed. */
  readonly fingerprint: string;
  /** A finding of as-found that as-left clears: "was 116 %, now 71 %". */
  readonly clearedBy?: string;
}

/** Thresholds and severities, from the shop sheet or defaults. */
export interface House {
  readonly threshold: (rule: string, option: string) => number;
  readonly severity: (rule: string) => Severity | 'off' | undefined;
}

export interface RuleContext {
  readonly amplifier: Amplifier;
  readonly sheet: Sheet;
  readonly snapshot: Snapshot;
  /** The rule's option by name: its default, or the house's. */
  readonly option: (name: string) => number;
  /** Figures of a phase by name, in its verdict set (and those of set 0). */
  readonly figures: (view: PhaseView, name: Figure['figure']) => readonly Figure[];
  /** As left against as found for the same subject: the later view, if there is one. */
  readonly laterView: (view: PhaseView) => PhaseView | undefined;
}

export interface Fix {
  /** Begins with a verb. */
  readonly title: string;
  /** `safe` ones are applied by `check --fix`. */
  readonly safety: 'safe' | 'suggestion';
  readonly edits: readonly Edit[];
}

export interface RuleExample {
  /** A whole sheet. */
  readonly sheet: string;
  /** Of a bad example: the subject that the rule must name, exactly once. */
  readonly names?: string;
  /** The sheet after the first fix, where there is one. */
  readonly fixed?: string;
}

export interface Rule {
  readonly id: string;
  readonly since: string;
  readonly category: 'ratings' | 'readings' | 'record' | 'writing';
  /** The severity it can reach at most and its thresholds, for the table: `I >90 %, W >95 %, E >100 %`. */
  readonly severities: string;
  /** One line. */
  readonly summary: string;
  readonly why: string;
  readonly howToFix: string;
  /** Where the limit comes from. */
  readonly source: string;
  readonly options: Readonly<
    Record<string, { readonly default: number; readonly unit: Unit; readonly means: string }>
  >;
  readonly bad: RuleExample;
  readonly good: RuleExample;
  readonly check: (context: RuleContext) => Iterable<Report>;
  /** Fixes for one finding, on the current snapshot. */
  readonly fix?: (context: RuleContext, finding: Finding) => readonly Fix[];
}

export function defineRule(rule: Rule): Rule {
  return Object.freeze(rule);
}
