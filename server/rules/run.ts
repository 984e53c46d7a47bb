/**
 * Owns the running of rules over one amplifier and the laws that hold for all of them: one cause one finding, a finding
 * that as-left clears is information, what the chassis sheet already says is said there, accepted is not forgotten.
 */
import { partsOfClass } from '../bench/by-class.ts';
import { figuresNamed } from '../bench/figures-by-name.ts';
import type { Amplifier, FittedPart, PhaseView } from '../bench/model.ts';
import { sayQuantity } from '../bench/saying.ts';
import type { Catalogue } from '../catalogue/find-valve.ts';
import type { SheetKind } from '../sheet/model.ts';
import { lineAt } from '../text/snapshot.ts';
import { writeQuantity } from '../units/write.ts';
import { isAcceptedBy } from './acceptance.ts';
import { joinAlike } from './alike.ts';
import type { House } from './house.ts';
import { sayReport, sayTimeless } from './phrases.ts';
import { rules as registry } from './registry.ts';
import {
  type Check,
  type Finding,
  type HouseProblem,
  type MissingSheet,
  type ModTarget,
  type OthersSaid,
  type Report,
  type Rule,
  type RuleContext,
  SEVERITIES,
  type Severity,
} from './rule.ts';
import { isAbout, namesIn } from './subject.ts';
import { reportsOf } from './watched.ts';

export interface CheckInput {
  readonly amplifier: Amplifier;
  readonly catalogue: Catalogue;
  readonly house: House;
  readonly missing?: readonly MissingSheet[];
  readonly targets?: readonly ModTarget[];
  readonly houseProblems?: readonly HouseProblem[];
  /** What a check of the chassis sheet alone finds: a job repeats none of it unless the part or its stress changed. */
  readonly chassisFindings?: readonly Finding[];
  /** What is said of parts that stand in another sheet, too: not for showing, but for what others need not repeat. */
  readonly isEverywhere?: boolean;
  readonly rules?: readonly Rule[];
}

interface Raw {
  readonly rule: Rule;
  readonly report: Report;
  /** Said at the line that names the revision before, of something that stands there. */
  readonly isInherited?: boolean;
}

/** Everything that the rules say about a sheet, in the order of its text. */
export function check(input: CheckInput): readonly Finding[] {
  const { amplifier } = input;
  const { ids, first, last } = inOrder(input.rules ?? registry);
  const raw = runRules(input, first, NO_OTHERS);
  const others: OthersSaid = {
    ids,
    off: new Set(ids.filter((id) => input.house.severity(id) === 'off')),
    found: raw.map(({ rule, report }) => ({ rule: rule.id, subject: report.subject })),
  };
  raw.push(...runRules(input, last, others));
  const here = input.isEverywhere === true ? raw : raw.flatMap((each) => broughtHome(each, amplifier) ?? []);
  const once = withoutTwins(here);
  const told = relateConsequences(once, amplifier.sheet.kind);
  return joinAlike(told.filter((each) => !saidOnChassisSheet(each, input)))
    .map((each) => finish(each, told, input))
    .sort(
      (a, b) =>
        a.source.span.start - b.source.span.start ||
        a.rule.localeCompare(b.rule) ||
        a.subject.localeCompare(b.subject),
    );
}

const NONE: readonly never[] = [];
const NO_OTHERS: OthersSaid = { ids: [], off: new Set(), found: [] };

interface Order {
  readonly ids: readonly string[];
  readonly first: readonly Rule[];
  /** Those that judge what the others found. */
  readonly last: readonly Rule[];
}

const orders = new WeakMap<readonly Rule[], Order>();

/** Found once for all sheets, which nearly always are checked by the same rules. */
function inOrder(rules: readonly Rule[]): Order {
  const known = orders.get(rules);
  if (known !== undefined) return known;
  const isLast = ({ afterOthers }: Rule): boolean => afterOthers === true;
  const order = {
    ids: rules.map(({ id }) => id),
    first: rules.filter((rule) => !isLast(rule)),
    last: rules.filter(isLast),
  };
  orders.set(rules, order);
  return order;
}

function runRules(input: CheckInput, some: readonly Rule[], others: OthersSaid): Raw[] {
  const raw: Raw[] = [];
  const contextOf = contextsFor(input, others);
  const isReadOnce = input.amplifier.sheet.note.thread === undefined;
  for (const rule of some) {
    const severity = input.house.severity(rule.id);
    if (severity === 'off') continue;
    const context = contextOf(rule);
    try {
      const reports = isReadOnce ? rule.check(context) : reportsOf(rule, context, input);
      for (const report of reports) {
        raw.push({ rule, report: severity === undefined ? report : { ...report, severity } });
      }
    } catch (error) {
      raw.push({ rule, report: internalError(input.amplifier, rule, error) });
    }
  }
  return raw;
}

/** What a rule may look at, to compute fixes on the current snapshot. */
export function contextFor(input: CheckInput, rule: Rule): RuleContext {
  return contextsFor(input, NO_OTHERS)(rule);
}

/** What each rule of one run may look at. */
function contextsFor(input: CheckInput, others: OthersSaid): (rule: Rule) => RuleContext {
  const { amplifier, catalogue, house, missing = NONE, targets = NONE, houseProblems = NONE } = input;
  const { sheet } = amplifier;
  const verdictViews = verdictViewsOf(amplifier);
  const isOwn = (part: FittedPart): boolean => part.source.file === sheet.uri;
  return (rule) => {
    const context: RuleContext = {
      amplifier,
      sheet,
      catalogue,
      missing,
      targets,
      houseProblems,
      verdictViews,
      option: (name) => {
        const option = rule.options[name];
        if (option === undefined) throw new Error(`rule ${rule.id} has no option ${name}`);
        return house.threshold(rule.id, name) ?? option.default;
      },
      figures: figuresNamed,
      eachPart: (check, of, ...also) => goThrough(context, (view) => partsOfClass(view, of, ...also), check),
      eachReading: (check) => goThrough(context, ({ readings }) => readings, check),
      isOwn,
      others,
    };
    return context;
  };
}

/** The states that are judged: not the middle of the work, and of a mod sheet what it makes of an amplifier, not what it finds. */
function verdictViewsOf({ sheet, phases }: Amplifier): readonly PhaseView[] {
  if (sheet.kind === 'mod') return phases.filter(({ phase }) => phase === 'work');
  return phases.filter(({ phase }) => phase !== 'work' && (sheet.kind === 'chassis' || phase !== 'factory'));
}

/** What a rule says of each thing of each view. */
function goThrough<T, R>(
  context: RuleContext,
  of: (view: PhaseView) => readonly T[],
  check: Check<T, R>,
): readonly R[] {
  const said: R[] = [];
  for (const view of context.verdictViews) {
    for (const thing of of(view)) {
      const each = check(context, view, thing);
      if (each !== undefined) said.push(each);
    }
  }
  return said;
}

function internalError(amplifier: Amplifier, rule: Rule, error: unknown): Report {
  const what = error instanceof Error ? error.message : String(error);
  return {
    severity: 'warning',
    subject: rule.id,
    message: `The rule ${rule.id} failed on this sheet (${what}). That is a fault of Tagstrip, not of the sheet; the other rules were run.`,
    source: { file: amplifier.sheet.uri, span: { start: 0, end: 0 } },
  };
}

/**
 * A finding stands in the sheet that is checked. What a revision makes of a part that it took over (a higher supply on an old
 * capacitor) is said at the line that names the revision before; the part's own line is related.
 */
function broughtHome(raw: Raw, { sheet, follows }: Amplifier): Raw | undefined {
  const { report, rule } = raw;
  if (report.source.file === sheet.uri) return raw;
  const named = sheet.kind === 'chassis' ? sheet.field('follows') : undefined;
  if (named === undefined || rule.category === 'writing') return undefined;
  if (!follows.some(({ uri }) => uri === report.source.file)) return undefined;
  const there = {
    subject: report.subject,
    message: 'it stands here, in a revision that this one follows',
    source: report.source,
  };
  return {
    rule,
    isInherited: true,
    report: {
      ...report,
      source: { file: sheet.uri, span: named.span },
      related: [there, ...(report.related ?? [])],
    },
  };
}

/** The same rule on the same subject in the same phase says one thing: the worst. */
function withoutTwins(raws: readonly Raw[]): readonly Raw[] {
  const byKey = new Map<string, Raw>();
  for (const raw of raws) {
    const { rule, report } = raw;
    const key =
      rule.category === 'writing'
        ? `${rule.id} ${report.source.span.start} ${report.source.span.end}`
        : `${rule.id} ${report.subject} ${report.phase ?? ''}`;
    const twin = byKey.get(key);
    if (twin === undefined || rank(report.severity) < rank(twin.report.severity)) byKey.set(key, raw);
  }
  return [...byKey.values()];
}

function rank(severity: Severity): number {
  return SEVERITIES.indexOf(severity);
}

/** One cause, one finding: a finding that another explains becomes that one's related information. */
function relateConsequences(raws: readonly Raw[], kind: SheetKind): readonly Raw[] {
  const taken = new Map<Raw, Raw>();
  const take = (effect: Raw, cause: Raw): void => {
    if (effect === cause || taken.has(effect) || rootCause(cause, taken) === effect) return;
    const sameTime = effect.report.phase === undefined || effect.report.phase === cause.report.phase;
    if (sameTime) taken.set(effect, cause);
  };
  for (const cause of raws) {
    for (const { rule, subject } of cause.report.explains ?? [])
      for (const effect of raws)
        if (effect.rule.id === rule && isAbout(effect.report.subject, subject)) take(effect, cause);
  }
  for (const effect of raws) {
    for (const { rule, subject } of effect.report.consequenceOf ?? [])
      for (const cause of raws)
        if (cause.rule.id === rule && isAbout(cause.report.subject, subject)) take(effect, cause);
  }
  if (taken.size === 0) return raws;
  return raws
    .filter((raw) => !taken.has(raw))
    .map((raw) => {
      const effects = raws.filter((effect) => rootCause(effect, taken) === raw && effect !== raw);
      if (effects.length === 0) return raw;
      const related = effects.map(({ report }) => ({
        subject: report.subject,
        message: sayReport(report, kind),
        source: report.source,
      }));
      return {
        ...raw,
        report: { ...raw.report, related: [...(raw.report.related ?? []), ...related] },
      };
    });
}

function rootCause(raw: Raw, taken: ReadonlyMap<Raw, Raw>): Raw {
  let at = raw;
  for (let steps = 0; steps <= taken.size; steps++) {
    const cause = taken.get(at);
    if (cause === undefined) return at;
    at = cause;
  }
  return at;
}

/** Whether the chassis sheet's own check says the same, the part was not touched here, and it is no worse. */
function saidOnChassisSheet({ rule, report, isInherited }: Raw, input: CheckInput): boolean {
  if (rule.category === 'writing') return false;
  // What a revision writes itself is its own.
  if (input.amplifier.sheet.kind === 'chassis' && isInherited !== true) return false;
  const said = input.chassisFindings?.find(
    (finding) =>
      finding.rule === rule.id &&
      (finding.subject === report.subject || isSectionOf(finding.subject, report.subject)),
  );
  if (said === undefined || rank(report.severity) < rank(said.severity)) return false;
  if (isTouched(input.amplifier, report.subject)) return false;
  const key = report.measure;
  const now = key === undefined ? undefined : report.figures?.[key]?.value;
  const then = key === undefined ? undefined : said.figures?.[key]?.value;
  // A tenth more than the chassis sheet's own figure is more than meters and mains explain.
  return now === undefined || then === undefined || Math.abs(now) <= Math.abs(then) * 1.1;
}

/** The chassis sheet's own check says once for all sections of a body (`V3A,V3B`) what a job may say of one. */
function isSectionOf(said: string, subject: string): boolean {
  const body = subject.replace(/[A-D]$/, '');
  return (
    body !== subject &&
    namesIn(said).every((name) => name.replace(/[A-D]$/, '') === body) &&
    isAbout(said, subject)
  );
}

function isTouched(amplifier: Amplifier, subject: string): boolean {
  return amplifier.changes.some((change) => isAbout(subject, change.ref) && !change.planned);
}

function finish({ rule, report }: Raw, all: readonly Raw[], input: CheckInput): Finding {
  const { amplifier } = input;
  const cleared = report.phase === 'as-found' ? whatCleared(rule, report, all, amplifier) : undefined;
  const said = sayReport(report, amplifier.sheet.kind);
  const message = cleared === undefined ? said : `${said} As left: ${cleared}.`;
  const severity = cleared !== undefined && rank(report.severity) < rank('info') ? 'info' : report.severity;
  const accepted = amplifier.sheet.acceptances.find((each) => isAcceptedBy(each, rule.id, report.subject));
  const slice = amplifier.sheet.snapshot.text.slice(report.source.span.start, report.source.span.end);
  return {
    ...report,
    severity,
    message,
    timeless: sayTimeless(report),
    rule: rule.id,
    file: report.source.file,
    ...(cleared === undefined ? {} : { cleared }),
    ...(accepted === undefined ? {} : { accepted: accepted.reason ?? 'no reason written' }),
    fingerprint: fingerprint([rule.id, report.subject, report.phase ?? '', slice].join('|')),
  };
}

/**
 * What clears a finding of as-found: as left, the rule is silent on the subject and either the part was changed or its
 * figure was read again. Silence for want of a reading clears nothing.
 */
function whatCleared(
  rule: Rule,
  report: Report,
  all: readonly Raw[],
  amplifier: Amplifier,
): string | undefined {
  const asLeft = amplifier.phases.find(({ phase }) => phase === 'as-left');
  if (asLeft === undefined) return undefined;
  const stands = all.some(
    (other) =>
      other.rule.id === rule.id &&
      namesIn(report.subject).some((name) => isAbout(other.report.subject, name)) &&
      other.report.phase === 'as-left',
  );
  if (stands) return undefined;
  const was = report.measure === undefined ? undefined : report.figures?.[report.measure];
  const again = (report.measure === undefined ? [] : figuresNamed(asLeft, report.measure)).find((figure) =>
    isAbout(report.subject, figure.subject),
  );
  const changes = amplifier.changes.filter(
    (each) => isAbout(report.subject, each.ref) && !each.planned && each.work !== 'same',
  );
  // One of a pair renewed says nothing of the other, unless it was read again.
  const isAllChanged = namesIn(report.subject).every((name) => changes.some(({ ref }) => ref === name));
  const change = isAllChanged || again !== undefined ? changes.at(-1) : undefined;
  const figures =
    was === undefined || again === undefined
      ? undefined
      : `was ${sayQuantity(was)}, now ${sayQuantity(again.quantity)}`;
  if (change === undefined) return figures;
  // Where the part was renewed and the figure hardly moved, it was the part's rating that cleared it.
  const hasMoved =
    was !== undefined &&
    again !== undefined &&
    Math.abs(again.quantity.value - was.value) > 0.05 * Math.abs(was.value);
  const line = lineAt(amplifier.sheet.snapshot, change.source.span.start) + 1;
  const now = change.is === undefined ? undefined : describeFitted(change.is);
  const renewed = `${change.ref} ${change.work ?? (now === undefined ? 'was changed' : `is now ${now}`)} (line ${line})`;
  return figures === undefined || !hasMoved ? renewed : `${figures}; ${renewed}`;
}

/** `47 µF 500 V electrolytic`. */
function describeFitted({ value, type, ratings, kinds }: FittedPart): string | undefined {
  const parts = [value?.quantity, ratings.voltage?.quantity, ratings.power?.quantity].flatMap((each) =>
    each === undefined ? [] : [writeQuantity(each)],
  );
  const words = [type?.text, ...parts, ...kinds].filter((word) => word !== undefined);
  return words.length === 0 ? undefined : words.join(' ');
}

/** FNV-1a over UTF-16 units: short, stable, no claim to be secret. */
function fingerprint(text: string): string {
  let hash = 0x811c9dc5;
  for (let i = 0; i < text.length; i++) {
    hash ^= text.charCodeAt(i);
    hash = Math.imul(hash, 0x01000193);
  }
  return (hash >>> 0).toString(16).padStart(8, '0');
}
