/**
 * Owns what a mod would do to the amplifier that it was judged against: the effect of each change that still applies, all else
 * as it stands, and what the rules would say of the amplifier with all of them done and do not say of it now.
 *
 * For the rules both states are given a chart of volts and currents. Before: what was read, and where nothing was read what
 * average valves give. After: the same, moved by what the solver says that the changes move. So a fault of the valve model is in
 * both and tells in neither; nothing of it was read, and whoever shows it says so.
 */
import { openState } from '../bench/change-states.ts';
import { deriveFigures } from '../bench/derive/derive.ts';
import { sheetsOf } from '../bench/derive/mains.ts';
import { type EffectWords, sayEffect } from '../bench/effect-words.ts';
import { effectOf, TELLING_FREQUENCIES, UNREAD_SET } from '../bench/effects.ts';
import { averageState } from '../bench/expected.ts';
import { findJointLevels, type JointLevels } from '../bench/joint-response.ts';
import { lookAt } from '../bench/look.ts';
import type { Amplifier, BenchReading, Figure, FittedPart, PartChange, PhaseView } from '../bench/model.ts';
import { isRail } from '../bench/points.ts';
import { AUDIBLE_FREQUENCIES, isMoved } from '../bench/response.ts';
import { withPart } from '../bench/variant.ts';
import type { Catalogue } from '../catalogue/find-valve.ts';
import type { House } from '../rules/house.ts';
import { rules as registry } from '../rules/registry.ts';
import { type Finding, SEVERITIES } from '../rules/rule.ts';
import { check } from '../rules/run.ts';
import type { ReadingSet } from '../sheet/model.ts';
import { type Hertz, ohms } from '../units/si.ts';
import { lastState, type SettledMove } from './compare.ts';
import type { ModChange } from './mod-changes.ts';
import type { ChangeVerdict } from './mod-verdict.ts';
import type { ModJudged } from './mods.ts';
import type { ShopLanguage } from './shop-words.ts';

export interface EffectOptions {
  readonly catalogue: Catalogue;
  readonly house: House;
}

/** What one change that still applies does here, in words; none where it cannot be told where the new part goes. */
export function changeEffects(
  judged: ChangeVerdict,
  amplifier: Amplifier,
  { terms }: ShopLanguage,
): readonly EffectWords[] {
  const view = lastState(amplifier);
  if (view === undefined) return [];
  const changes = partChanges(judged, view);
  return changes.flatMap((change) => {
    const effect = effectOf(change, amplifier);
    const words = effect && sayEffect(effect, terms);
    if (words === undefined) return [];
    if (changes.length === 1) return words;
    const { direct, signal } = words;
    return {
      ...words,
      ...(direct !== undefined && { direct: `${change.ref}: ${direct}` }),
      ...(signal !== undefined && { signal: `${change.ref}: ${signal}` }),
    };
  });
}

/** The changes of parts that one change of the mod is: a valve that is written half by half changes half by half. */
function partChanges({ change, part, next, ref }: ChangeVerdict, view: PhaseView): readonly PartChange[] {
  const { source } = change;
  if (change.kind !== 'remove' && next === undefined) return [];
  const own = part && (view.parts.get(part.ref) ?? part);
  if (part?.class === 'valve' && !view.parts.has(part.ref)) {
    return [...view.parts.values()]
      .filter(({ whole }) => whole === part.ref)
      .map((half) => {
        const is = next && halfOf(next, half);
        return { ref: half.ref, was: half, ...(is && { is }), planned: true, source };
      });
  }
  return [{ ref, ...(own && { was: own }), ...(next && { is: next }), planned: true, source }];
}

/** The same half of another valve. */
function halfOf(next: FittedPart, half: FittedPart): FittedPart {
  const index =
    half.valveSection === undefined ? -1 : (half.type?.valve?.sections.indexOf(half.valveSection) ?? -1);
  const valveSection = next.type?.valve?.sections[index];
  const { ref, whole, section, terminals } = half;
  const { valveSection: _, section: __, ...rest } = next;
  return {
    ...rest,
    ref,
    whole,
    ...(section !== undefined && { section }),
    terminals,
    ...(valveSection && { valveSection }),
  };
}

export interface Outcome {
  /** Volts and currents that all changes together move, rails first, then what moves most. Solved; nothing of it was read. */
  readonly moves: readonly SettledMove[];
  /** What all changes together do to the signal, a way at a time; of one change its own effect tells it. */
  readonly levels: readonly JointLevels[];
  /** Findings at warning or above that the amplifier has with the changes and has not, or has milder, without them. */
  readonly findings: readonly Finding[];
  /** Whether volts and currents could be solved; where not, only what needs none was looked at. */
  readonly isSolved: boolean;
  /** Changes that could not be put in, by their words: what they do is not in it. */
  readonly left: readonly string[];
}

/** What all these changes together would do and break. */
export function findOutcome(
  open: readonly ChangeVerdict[],
  amplifier: Amplifier,
  { catalogue, house }: EffectOptions,
): Outcome {
  const view = lastState(amplifier);
  const left = open.filter(({ change, next }) => change.kind !== 'remove' && next === undefined);
  const words = left.map(({ change }) => change.words);
  const done = open.filter((each) => !left.includes(each));
  if (view === undefined || done.length === 0)
    return { moves: [], levels: [], findings: [], isSolved: false, left: words };
  const before = settled(view, amplifier);
  const after = withAll(done, before, amplifier);
  const [was, is] = [before, after].map((state) => averageState(state, standing(amplifier, state)).figures);
  const charts = chartsOf(before, after, was ?? [], is ?? []);
  const said = (state: PhaseView, chart: readonly BenchReading[]) =>
    check({
      amplifier: standing(amplifier, withChart(state, chart, amplifier)),
      catalogue,
      house,
      isEverywhere: true,
      rules: RULES,
    });
  const now = new Map(said(before, charts.before).map((finding) => [keyOf(finding), finding]));
  const findings = said(after, charts.after).filter((finding) => {
    if (rank(finding) > rank({ severity: 'warning' })) return false;
    const own = now.get(keyOf(finding));
    return own === undefined || rank(finding) < rank(own);
  });
  return {
    moves: done.length > 1 ? movesOf(was ?? [], is ?? []) : [],
    levels: done.length > 1 ? levelsOf(done, before, after, amplifier) : [],
    findings: findings.map((finding) => ({ ...finding, message: finding.timeless })),
    isSolved: (is?.length ?? 0) > 0,
    left: words,
  };
}

/** The state with every change put in. */
function withAll(done: readonly ChangeVerdict[], before: PhaseView, amplifier: Amplifier): PhaseView {
  return done.reduce(
    (state, each) =>
      partChanges(each, state).reduce(
        (changed, change) => withPart(changed, change.ref, inThisSheet(change, amplifier)),
        state,
      ),
    before,
  );
}

/** What a mod does to the signal over the audible range, the way first that moves most; none where nothing of it is heard. */
export function findModResponses({ open }: ModJudged, amplifier: Amplifier): readonly JointLevels[] {
  const view = lastState(amplifier);
  const done = open.filter(({ change, next }) => change.kind === 'remove' || next !== undefined);
  if (view === undefined || done.length === 0) return [];
  const before = settled(view, amplifier);
  const after = withAll(done, before, amplifier);
  const widest = ({ levels }: JointLevels) =>
    Math.max(...levels.map(({ change }) => Math.abs(change?.value ?? 0)));
  return jointLevels(done, before, after, amplifier, AUDIBLE_FREQUENCIES)
    .filter(isMoved)
    .toSorted((one, other) => widest(other) - widest(one));
}

/** Where only one change is heard, its own effect tells all there is. */
function levelsOf(
  done: readonly ChangeVerdict[],
  before: PhaseView,
  after: PhaseView,
  amplifier: Amplifier,
): readonly JointLevels[] {
  const levels = jointLevels(done, before, after, amplifier, TELLING_FREQUENCIES);
  return levels.filter(({ refs }) => refs.length > 1);
}

function jointLevels(
  done: readonly ChangeVerdict[],
  before: PhaseView,
  after: PhaseView,
  amplifier: Amplifier,
  frequencies: readonly Hertz[],
): readonly JointLevels[] {
  const [was, is] = [before, after].map((state) => openState(state, amplifier));
  if (was === undefined || is === undefined) return [];
  const changes = done.flatMap((each) => partChanges(each, before));
  return findJointLevels(changes, was, is, frequencies);
}

/** What moves by less than this share of itself is not worth telling of the whole. */
const WORTH_TELLING = 0.03;
const LEAST_VOLTS = 0.1;
const LEAST_AMPERES = 50e-6;
const MOST_MOVES = 6;

function movesOf(was: readonly Figure[], is: readonly Figure[]): readonly SettledMove[] {
  const earlier = new Map(was.map((figure) => [figure.subject, figure]));
  const share = ({ was: { quantity: a }, is: { quantity: b } }: SettledMove) =>
    Math.abs(b.value - a.value) / Math.max(Math.abs(a.value), Math.abs(b.value));
  return is
    .flatMap((figure): readonly SettledMove[] => {
      const before = earlier.get(figure.subject);
      if (before === undefined || before.quantity.unit !== figure.quantity.unit) return [];
      const move = { subject: figure.subject, was: before, is: figure };
      const moved = Math.abs(figure.quantity.value - before.quantity.value);
      const least = figure.quantity.unit === 'A' ? LEAST_AMPERES : LEAST_VOLTS;
      return moved > least && share(move) > WORTH_TELLING ? [move] : [];
    })
    .toSorted(
      (one, other) =>
        Number(isRail(other.subject)) - Number(isRail(one.subject)) || share(other) - share(one),
    )
    .slice(0, MOST_MOVES);
}

/** Rules that tell of what breaks a part or upsets the bias; of how a sheet is written and what was recorded none tells. */
const BIAS: ReadonlySet<string> = new Set([
  'no-bias',
  'bottomed',
  'grid-floating',
  'electrolytic-reversed',
  'trimmer-reaches-unsafe',
  'winding-overload',
  'bleed-slow',
]);

/** Of the sheet as it is, the same rules keep what they found; these are others. */
const RULES = registry
  .filter(({ id, category }) => (category === 'ratings' && id !== 'rating-missing') || BIAS.has(id))
  .map((rule) => ({ ...rule }));

function rank({ severity }: Pick<Finding, 'severity'>): number {
  return SEVERITIES.indexOf(severity);
}

function keyOf({ rule, subject }: Finding): string {
  return `${rule} ${subject}`;
}

/** The state as one that a verdict is given on: a job's as it would be left. */
function settled(view: PhaseView, { sheet }: Amplifier): PhaseView {
  return sheet.kind === 'chassis' ? view : { ...view, phase: 'as-left' };
}

/** The amplifier in that state alone. */
function standing(amplifier: Amplifier, view: PhaseView): Amplifier {
  return { ...amplifier, phases: [view], changes: [], states: [], repeats: [] };
}

function inThisSheet({ is }: PartChange, { sheet }: Amplifier): FittedPart | undefined {
  return is && { ...is, source: { file: sheet.uri, span: { start: 0, end: 0 } } };
}

/** Beside what holds of parts in every set. */
const AS_RECKONED: ReadingSet = { ...UNREAD_SET, id: 1 };

function chartsOf(
  before: PhaseView,
  after: PhaseView,
  was: readonly Figure[],
  is: readonly Figure[],
): { readonly before: readonly BenchReading[]; readonly after: readonly BenchReading[] } {
  const set = before.verdictSet;
  const read = new Map(
    before.readings
      .filter((each) => each.normal && each.set.id === set?.id && isOfState(each))
      .map((each) => [each.quantity === 'current' ? each.at : (each.node ?? each.at), each] as const),
  );
  const earlier = new Map(was.map((figure) => [figure.subject, figure]));
  const later = new Map(is.map((figure) => [figure.subject, figure]));
  const value = (subject: string, from: Figure | undefined): number | undefined => {
    const [own, solved] = [read.get(subject), earlier.get(subject)];
    if (from === undefined) return undefined;
    if (own === undefined || solved === undefined) return from.quantity.value;
    return own.value.quantity.value + from.quantity.value - solved.quantity.value;
  };
  const chart = (state: PhaseView, figures: ReadonlyMap<string, Figure>): BenchReading[] =>
    [...figures.values()].flatMap((figure): BenchReading[] => {
      const volts = value(figure.subject, figure);
      return volts === undefined || !Number.isFinite(volts) ? [] : [reckoned(figure, volts, state)];
    });
  // What was read where nothing can be solved stays only where nothing moves.
  const rest = [...read].flatMap(([subject, each]) => (earlier.has(subject) ? [] : [each]));
  const isMoved = was.length > 0 && is.length > 0;
  return {
    before: [...chart(before, earlier), ...rest],
    after: [
      ...chart(after, later),
      ...(isMoved ? rest.filter(({ node }) => node !== undefined && isRail(node)) : []),
    ],
  };
}

/** Volts at a place and currents through a valve, direct. */
function isOfState({ quantity, to }: BenchReading): boolean {
  return to === undefined && (quantity === 'voltage' || quantity === 'current');
}

function reckoned({ subject, quantity, file }: Figure, value: number, view: PhaseView): BenchReading {
  const isCurrent = quantity.unit === 'A';
  return {
    at: subject,
    ...(!isCurrent && { node: view.circuit.nodeOf(subject) ?? subject }),
    quantity: isCurrent ? 'current' : 'voltage',
    value: { quantity: { ...quantity, value }, basis: 'expected', because: 'by average valves' },
    uncertainty: 0,
    set: AS_RECKONED,
    phase: view.phase,
    nominal: false,
    conditions: [],
    normal: true,
    source: { file, span: { start: 0, end: 0 } },
  };
}

/** The state with that chart in place of its readings; what was measured on parts themselves stays with them. */
function withChart(state: PhaseView, chart: readonly BenchReading[], amplifier: Amplifier): PhaseView {
  const { sheet } = amplifier;
  const kept = state.readings.filter((each) => !isOfState(each) && each.quantity !== 'ripple');
  const readings = [...chart.map((each) => ({ ...each, set: AS_RECKONED })), ...kept];
  const look = lookAt(state.parts, state.circuit);
  const base = { ...state, readings, nominals: [], verdictSet: AS_RECKONED };
  const { figures, unanswered } = deriveFigures(base, look, {
    sheet,
    sheets: sheetsOf(amplifier).slice(state.phase === 'factory' && amplifier.chassis !== undefined ? 1 : 0),
    questions: [],
    isState: true,
    // These are the volts themselves, and no meter stands at them.
    meter: ohms(1e12),
  });
  return { ...base, figures, unanswered, offers: [] };
}

/** One mod with what it would do. */
export interface ModTold {
  readonly mod: ModJudged;
  /** Of each change that is open. */
  readonly effects: ReadonlyMap<ModChange, readonly EffectWords[]>;
  readonly outcome: Outcome;
}

export function tellMod(
  mod: ModJudged,
  amplifier: Amplifier,
  options: EffectOptions,
  language: ShopLanguage,
): ModTold {
  return {
    mod,
    effects: new Map(mod.open.map((each) => [each.change, changeEffects(each, amplifier, language)])),
    outcome: findOutcome(mod.open, amplifier, options),
  };
}
