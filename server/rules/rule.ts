/**
 * Owns what a rule is: its page, its options and messages as data, a pure check over the amplifier, and fixes.
 * One rule, one file named by its id; `registry.ts` lists them, `run.ts` runs them.
 */
import type {
  Amplifier,
  BenchReading,
  Figure,
  FigureName,
  FittedPart,
  PhaseView,
  Source,
} from '../bench/model.ts';
import type { Catalogue } from '../catalogue/find-valve.ts';
import type { PartClass } from '../dialect/tree.ts';
import type { Phase, ReadingSet, Sheet } from '../sheet/model.ts';
import type { Edit } from '../text/edits.ts';
import type { Span } from '../text/span.ts';
import type { Quantity, Unit } from '../units/si.ts';

export type Severity = 'error' | 'warning' | 'info' | 'hint';
export const SEVERITIES: readonly Severity[] = ['error', 'warning', 'info', 'hint'];

/** A number that a finding is held against, and whose it is: `V5 data sheet, design-centre`, `house rule`, `IEC 60062`. */
export interface Limit<U extends Unit = Unit> {
  readonly quantity: Quantity<U>;
  readonly source: string;
}

/** What a check gives; `run.ts` adds file, rule and acceptance. */
export interface Report {
  readonly severity: Severity;
  /** `V5`, `R17`, `B+1`; a pair `V4,V5`. */
  readonly subject: string;
  readonly phase?: Phase;
  readonly set?: ReadingSet;
  /**
   * Complete sentence(s): what is wrong, by how much, against which limit and whose, what to do. Where `tellsPhase`, without the
   * opening that says when.
   */
  readonly message: string;
  /** It is told with its phase before it, `As left, V5 …`, once it is known what else it was alike to. */
  readonly tellsPhase?: boolean;
  /** The smallest text that the author must change or look at. */
  readonly source: Source;
  readonly figures?: Readonly<Record<string, Quantity>>;
  readonly limit?: Limit;
  readonly related?: readonly Related[];
  /** As found the same was to be said, and is said here; `at` is its figure then, where a meter would read another. */
  readonly stoodBefore?: { readonly at?: Quantity };
  /** The figure that the verdict rests on, by its key in `figures`: as left it tells whether the finding is cleared. */
  readonly measure?: FigureName;
  /** Findings that are consequences of this one: they become related information of it. */
  readonly explains?: readonly { readonly rule: string; readonly subject: string }[];
  /** Findings that this one is a consequence of, where they are there: it becomes related information of the first. */
  readonly consequenceOf?: readonly { readonly rule: string; readonly subject: string }[];
}

export interface Related {
  readonly subject: string;
  readonly message: string;
  readonly source: Source;
}

export interface Finding extends Report {
  readonly rule: string;
  /** The message without when it was so, for a state that no sheet has. */
  readonly timeless: string;
  readonly file: string;
  readonly accepted?: string;
  /** Stable over edits elsewhere: rule, subject, phase and the slice of text, hashed. */
  readonly fingerprint: string;
  /** Of a finding of as-found that as-left clears: what cleared it, `was 116 %, now 71 %`. It is information then. */
  readonly cleared?: string;
}

/** A sheet that this one names and that could not be read. */
export interface MissingSheet {
  /** The front-matter key that names it. */
  readonly field: string;
  readonly path: string;
  readonly span: Span;
  readonly because: string;
  /** What to do, where it is not the path that is wrong. */
  readonly advice?: string;
}

/** A chassis that a mod sheet was written for. */
export interface ModTarget {
  /** As the mod sheet writes it. */
  readonly path: string;
  /** The chassis sheet by itself. */
  readonly amplifier: Amplifier;
}

/** A setting of the shop sheet that cannot be read. */
export interface HouseProblem {
  readonly span: Span;
  readonly message: string;
}

export interface RuleContext {
  readonly amplifier: Amplifier;
  readonly sheet: Sheet;
  readonly catalogue: Catalogue;
  readonly missing: readonly MissingSheet[];
  /** Of a mod sheet: the chassis that it was written for, those that could be read. */
  readonly targets: readonly ModTarget[];
  /** Of a shop sheet: what in it cannot be read. */
  readonly houseProblems: readonly HouseProblem[];
  /** The rule's option by name: its default, or the house's. */
  readonly option: (name: string) => number;
  /** The views whose state a verdict is given on: as found, as left, noted; of a chassis sheet, factory. Never work. */
  readonly verdictViews: readonly PhaseView[];
  /** Figures of a view by name, in its verdict set, with those that need no reading. */
  readonly figures: (view: PhaseView, name: FigureName) => readonly Figure[];
  /**
   * What `check` says (a report, or what one is made of) of each part of a class, or of several, in each of these views, in
   * order. It must go by what it is given alone: after an edit it is called again only for parts that asked for volts or
   * figures that have changed, and for all if it looked at anything else that has.
   */
  readonly eachPart: <R>(
    check: Check<FittedPart, R>,
    of: PartClass,
    ...also: readonly PartClass[]
  ) => readonly R[];
  /** The same for each reading. */
  readonly eachReading: <R>(check: Check<BenchReading, R>) => readonly R[];
  /** Whether the part was written on this sheet, not taken over from the chassis sheet. */
  readonly isOwn: (part: FittedPart) => boolean;
  /** What the other rules said; only for a rule that runs `afterOthers`, else nothing. */
  readonly others: OthersSaid;
}

/** What a rule says of one thing of a view, if anything. */
export type Check<T, R> = (context: RuleContext, view: PhaseView, thing: T) => R | undefined;

/** What the rules found that ran before those that judge acceptances. */
export interface OthersSaid {
  /** Ids of all rules, run or not. */
  readonly ids: readonly string[];
  /** Those that the house has switched off. */
  readonly off: ReadonlySet<string>;
  /** Everything that was found, before consequences were joined and what the chassis sheet says was left to it. */
  readonly found: readonly { readonly rule: string; readonly subject: string }[];
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
  /** Sheets beside it that it names, by file name. */
  readonly beside?: Readonly<Record<string, string>>;
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
  /** It judges what the others found (`context.others`) and runs when they have. */
  readonly afterOthers?: true;
  readonly check: (context: RuleContext) => readonly Report[];
  /** Fixes for one finding, on the current snapshot. */
  readonly fix?: (context: RuleContext, finding: Finding) => readonly Fix[];
}

/** Of one shape, which spares time: all rules are looked at for every sheet. */
export function defineRule(rule: Rule): Rule {
  return Object.freeze({
    id: rule.id,
    since: rule.since,
    category: rule.category,
    severities: rule.severities,
    summary: rule.summary,
    why: rule.why,
    howToFix: rule.howToFix,
    source: rule.source,
    options: rule.options,
    bad: rule.bad,
    good: rule.good,
    afterOthers: rule.afterOthers,
    check: rule.check,
    fix: rule.fix,
  });
}
