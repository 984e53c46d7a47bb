/** Owns what a hover says of a part, point or question: the verdict first, what it rests on, then each figure's workings. Data only; the words' markup is `lsp`'s. */

import { englishBenchWords } from '../bench/bench-words.ts';
import { findEffect } from '../bench/effect-words.ts';
import { departuresFromChassis } from '../bench/effects.ts';
import { findExpected } from '../bench/expected.ts';
import type {
  BenchReading,
  ConnectionOffer,
  Figure,
  FittedPart,
  PartChange,
  PhaseView,
} from '../bench/model.ts';
import { PHASE_WORDS } from '../bench/saying.ts';
import type { Analysis } from '../shop/shop.ts';
import type { Edit } from '../text/edits.ts';
import type { Span } from '../text/span.ts';
import { describePart } from './part-words.ts';
import { findSubject, findView, type Subject } from './subject.ts';
import { figuresOn, findVerdict, setsOf, show, showBand, subjectsOf, type Verdict } from './verdict.ts';
import { basisOf, type Working, workingsOf } from './workings.ts';

export interface Hover {
  readonly span: Span;
  /** `V6 17.7 W, 148 % of 12 W (design-centre); as left 10.8 W`. */
  readonly headline: string;
  /** `6V6GT; from V6.a 347 V, V6.k 24.6 V, read on line 23; R18 270 Ω, chassis sheet`. */
  readonly restsOn?: string;
  /** What is no reading and no verdict, apart from both: what the solver expects here, what a change does. */
  readonly asides: readonly Aside[];
  /** Whose valve model the expected values are by, and how far it may be trusted: last, in small print. */
  readonly footnotes: readonly string[];
  readonly workings: readonly Working[];
  /** Connections that would complete a figure, each with the edit that writes it. */
  readonly offers: readonly HoverOffer[];
}

export interface Aside {
  /** `V1A.a expected 163 V (…)`; `DC: voltage margin 8 → 63.5 %`. */
  readonly lines: readonly string[];
  /** In small print: what was held constant. */
  readonly small?: string;
}

interface Expected {
  /** `V1A.a expected 163 V (by the solver, from B+4 as read; band 158 to 168 V)`. */
  readonly line: string;
  readonly model?: string;
}

export interface HoverOffer {
  readonly because: string;
  /** Begins with a verb. */
  readonly title: string;
  readonly edit: Edit;
}

/** What to say at an offset; undefined where there is nothing to say. */
export function hover(analysis: Analysis, offset: number): Hover | undefined {
  const subject = findSubject(analysis, offset);
  if (subject === undefined) return undefined;
  const view = viewFor(analysis, subject);
  if (view === undefined) return undefined;
  const names = namesFor(view, subject);
  const part = subject.ref === undefined ? undefined : view.parts.get(subject.ref);
  const change = findChange(analysis, subject);
  const expected = findAllExpected(analysis, view, subject, names);
  const headline =
    headlineFor(analysis, view, subject, names, part) ??
    (change?.was === undefined ? undefined : `${change.ref} ${describePart(view, change.was)}, taken out`) ??
    (expected.length === 0 ? undefined : `${subject.name}, nothing read`);
  if (headline === undefined) return undefined;
  const figures = [...names, ...networksOf(view, subject)].flatMap((name) =>
    figuresFor(view, name, subject.set),
  );
  const telling = names
    .map((name) => verdictFor(view, name, subject.set)?.figure)
    .find((figure) => figure !== undefined);
  const restsOn = telling === undefined ? undefined : basisOf(analysis, view, telling, part?.ref);
  const what = part === undefined || telling === undefined ? undefined : describePart(view, part);
  const second = [what, restsOn === undefined ? undefined : `from ${restsOn}`].filter(
    (each) => each !== undefined,
  );
  return {
    span: subject.span,
    headline,
    ...(second.length === 0 ? {} : { restsOn: second.join('; ') }),
    asides: [
      ...expected.map(({ line }) => ({ lines: [line] })),
      ...(change === undefined ? [] : effectAside(analysis, change)),
    ],
    // Sections share a model, which is said once.
    footnotes: [...new Set(expected.flatMap(({ model }) => model ?? []))],
    workings: workingsOf(view, names.length === 1 ? names[0] : undefined, telling, figures),
    offers: view.offers
      .filter(({ ref, at }) => ref === subject.ref && at.file === analysis.sheet.uri)
      .map(toOffer),
  };
}

/** The change that a statement makes, or the departure from the chassis sheet that an as-found line tells of. */
function findChange({ amplifier, sheet }: Analysis, { statement }: Subject): PartChange | undefined {
  if (statement?.kind !== 'change' && statement?.kind !== 'fitted') return undefined;
  const changes = statement.kind === 'change' ? amplifier.changes : departuresFromChassis(amplifier);
  return changes.find(
    ({ ref, source }) =>
      ref === statement.ref.name &&
      source.file === sheet.uri &&
      source.span.start === statement.span.start &&
      source.span.end === statement.span.end,
  );
}

/** What the solver expects at a point, or through a valve and each of its sections, in the phase that is told or the last settled one. */
function findAllExpected(
  { amplifier }: Analysis,
  told: PhaseView,
  subject: Subject,
  names: readonly string[],
): readonly Expected[] {
  if (subject.statement?.kind === 'question') return [];
  const isPoint = subject.ref !== subject.name;
  const asked = isPoint ? [subject.name] : names;
  const isValve = subject.ref !== undefined && told.parts.get(subject.ref)?.class === 'valve';
  if (!isPoint && !isValve) return [];
  const views = told.phase === 'work' || told.phase === 'noted' ? [...amplifier.phases].reverse() : [told];
  return asked.flatMap((name): readonly Expected[] => {
    for (const view of views) {
      const figure = findExpected(view, amplifier, name);
      if (figure !== undefined) return isFootingOf(figure) ? [] : [sayExpected(name, figure, view !== told)];
    }
    return [];
  });
}

/** A source that the solver was given is no answer of its. */
function isFootingOf({ inputs, subject }: Figure): boolean {
  return inputs.some(({ name, known }) => name === subject && known.basis === 'read');
}

/** Where the solver stands on what was read, or lacks a part, belongs to the value; the valve's model is a footnote. */
function sayExpected(name: string, figure: Figure, isElsewhen: boolean): Expected {
  const remarks = (figure.remark ?? '').split('; ').filter((each) => each !== '');
  const isFooting = (each: string) => /^(?:from|without) /.test(each);
  const band = figure.low === undefined ? [] : [`band ${showBand(figure)}`];
  const model = remarks.filter((each) => !isFooting(each)).join('; ');
  const how = [['by the solver', ...remarks.filter(isFooting)].join(', '), ...band].join('; ');
  const what = figure.quantity.unit === 'A' ? 'cathode current ' : '';
  const when = isElsewhen ? `, ${PHASE_WORDS[figure.phase]}` : '';
  return {
    line: `${name} expected ${what}${show(figure.quantity)}${when} (${how})`,
    ...(model === '' ? {} : { model }),
  };
}

function effectAside({ amplifier }: Analysis, change: PartChange): readonly Aside[] {
  const effect = findEffect(change, amplifier, englishBenchWords);
  if (effect === undefined) return [];
  const { direct, directHead, signal, held, heldAlways } = effect;
  const lines = [
    ...(direct === undefined ? [] : [`${directHead}: ${direct}`]),
    ...(signal === undefined ? [] : [`AC: ${signal}`]),
  ];
  return [{ lines, small: `Held constant: ${[...heldAlways, ...held].join('; ')}` }];
}

/**
 * Figures of a work-phase line are of the circuit as it was changed: as left where that was read. A point that was read here
 * stays here, though only the chassis sheet has figures of it.
 */
function viewFor(analysis: Analysis, subject: Subject): PhaseView | undefined {
  const { phases } = analysis.amplifier;
  const own = findView(analysis, subject.phase);
  const isSpoken = (view: PhaseView | undefined) =>
    view !== undefined &&
    (namesFor(view, subject).some((name) => figuresFor(view, name, undefined).length > 0) ||
      (subject.ref === undefined && findVolts(view, subject.name) !== undefined));
  if (isSpoken(own) || subject.statement?.kind === 'reading') return own;
  return phases.findLast((view) => view.phase !== 'work' && isSpoken(view)) ?? own;
}

/** A part with its sections; a point for itself and the node it is part of. */
/** What several controls do together goes by all their names. */
function networksOf(view: PhaseView, { ref }: Subject): readonly string[] {
  if (ref === undefined || view.parts.get(ref)?.class !== 'potentiometer') return [];
  return [...subjectsOf(view)].filter((name) => name.includes(',') && name.split(',').includes(ref));
}

function namesFor(view: PhaseView, { name, ref }: Subject): readonly string[] {
  if (ref !== undefined) return [ref, ...(sectionsOf(view).get(ref) ?? [])];
  const node = view.circuit.nodeOf(name);
  return node === undefined || node === name ? [name] : [name, node];
}

const sections = new WeakMap<PhaseView, ReadonlyMap<string, readonly string[]>>();

/** The sections of each valve or can by the whole's ref. */
function sectionsOf(view: PhaseView): ReadonlyMap<string, readonly string[]> {
  const known = sections.get(view);
  if (known !== undefined) return known;
  const wholes = new Map<string, string[]>();
  for (const { ref, whole } of view.parts.values()) {
    if (ref === whole) continue;
    const there = wholes.get(whole);
    if (there === undefined) wholes.set(whole, [ref]);
    else there.push(ref);
  }
  sections.set(view, wholes);
  return wholes;
}

/**
 * The set that speaks for a subject: the one asked for if it has figures there, else the phase's verdict set, else the last
 * that has any. A set that was read out of normal running has none.
 */
function setFor(view: PhaseView, name: string, asked: number | undefined): number | undefined {
  const sets = [...setsOf(view, name)].filter((set) => set !== 0);
  return [asked, view.verdictSet?.id].find((set) => set !== undefined && sets.includes(set)) ?? sets.at(-1);
}

function figuresFor(view: PhaseView, name: string, asked: number | undefined): readonly Figure[] {
  return figuresOn(view, name, setFor(view, name, asked) ?? 0);
}

function verdictFor(view: PhaseView, name: string, asked: number | undefined): Verdict | undefined {
  return findVerdict(view, name, setFor(view, name, asked) ?? 0);
}

function headlineFor(
  analysis: Analysis,
  view: PhaseView,
  subject: Subject,
  names: readonly string[],
  part: FittedPart | undefined,
): string | undefined {
  if (subject.statement?.kind === 'question' && subject.ref === undefined) {
    const answer = verdictFor(view, subject.name, subject.set);
    if (answer !== undefined) return `${subject.name} = ${answer.text}`;
    const unanswered = view.unanswered.find((each) => each.subject === subject.name);
    return unanswered === undefined ? undefined : `${subject.name}: no answer, because ${unanswered.reason}`;
  }
  // A rail's first question is how many volts; so is a point's where its part has no figures.
  const verdicts = names.flatMap((name) => {
    const verdict = verdictFor(view, name, subject.set);
    return verdict === undefined ? [] : [{ name, verdict }];
  });
  const readings =
    subject.ref === undefined || verdicts.length === 0
      ? readingsLine(analysis, view, subject, verdicts[0]?.verdict.text)
      : undefined;
  if (readings !== undefined) return readings;
  if (verdicts.length > 0) {
    const when =
      view.phase === subject.phase || subject.phase === 'noted' ? '' : `, ${PHASE_WORDS[view.phase]}`;
    return verdicts
      .map(({ name, verdict }) => `${name} ${verdict.text}${when}${otherPhase(analysis, view, name)}`)
      .join(' · ');
  }
  return part === undefined ? undefined : `${part.ref} ${describePart(view, part)}`;
}

/** `B+1 332.5 V, 165 mA, as found; chassis sheet 333.6 V; as left 335.4 V`. */
function readingsLine(
  { amplifier }: Analysis,
  view: PhaseView,
  { name, set }: Subject,
  beside: string | undefined,
): string | undefined {
  const own = findVolts(view, name, set);
  if (own === undefined) return undefined;
  const how = own.set.off ? ', powered down' : own.set.limited ? ', on the lamp or variac' : '';
  const when = `${PHASE_WORDS[view.phase]}${how}`;
  const others = amplifier.phases.flatMap((other) => {
    const volts = other === view || other.phase === 'work' ? undefined : findVolts(other, name);
    return volts === undefined ? [] : [`${PHASE_WORDS[other.phase]} ${showReading(volts)}`];
  });
  const first = [`${name} ${showReading(own)}`, own.normal ? beside : undefined, when].filter(
    (each) => each !== undefined,
  );
  return [first.join(', '), ...(own.normal ? others : [])].join('; ');
}

interface VoltsRead {
  /** The last direct voltage in normal running at each point. */
  readonly normal: Map<string, BenchReading>;
  /** The last one of each set, by point and set, whatever the conditions. */
  readonly bySet: Map<string, BenchReading>;
}

const voltsBy = new WeakMap<PhaseView, VoltsRead>();

/** The direct voltage read at a point in one set, else the last one in normal running; of a chassis sheet its nominal. */
function findVolts(view: PhaseView, point: string, set?: number): BenchReading | undefined {
  const { normal, bySet } = getVolts(view);
  const node = view.circuit.nodeOf(point) ?? point;
  const inSet = set === undefined ? undefined : (bySet.get(`${point} ${set}`) ?? bySet.get(`${node} ${set}`));
  return inSet ?? normal.get(point) ?? normal.get(node);
}

function getVolts(view: PhaseView): VoltsRead {
  const known = voltsBy.get(view);
  if (known !== undefined) return known;
  const volts: VoltsRead = { normal: new Map(), bySet: new Map() };
  for (const reading of view.phase === 'factory' ? [...view.nominals, ...view.readings] : view.readings) {
    if (reading.quantity !== 'voltage' || reading.to !== undefined) continue;
    for (const point of new Set([reading.at, reading.node ?? reading.at])) {
      volts.bySet.set(`${point} ${reading.set.id}`, reading);
      if (reading.normal) volts.normal.set(point, reading);
    }
  }
  voltsBy.set(view, volts);
  return volts;
}

/** Four digits: a meter's reading is shown as it was read. */
function showReading({ value }: BenchReading): string {
  return show(value.quantity, 4);
}

/** `; as left 10.8 W`, so that the reason for the work and its result stand side by side. */
function otherPhase(analysis: Analysis, view: PhaseView, name: string): string {
  const other = analysis.amplifier.phases.find(
    ({ phase }) =>
      (view.phase === 'as-found' && phase === 'as-left') ||
      (view.phase === 'as-left' && phase === 'as-found'),
  );
  const here = verdictFor(view, name, undefined);
  const there = other === undefined ? undefined : verdictFor(other, name, undefined);
  if (other === undefined || here === undefined || there === undefined) return '';
  if (here.figure.figure !== there.figure.figure) return '';
  // What needs no reading and was not moved by the work is not worth saying twice.
  if (here.value === there.value && here.figure.set === 0) return '';
  return `; ${PHASE_WORDS[other.phase]} ${there.value}`;
}

function toOffer({ ref, text, because, completes, at }: ConnectionOffer): HoverOffer {
  const said = text.replace(/^[\s,]+/, '');
  return {
    because: `Where ${ref} is connected is not written. “${said}” would give the ${completes.replaceAll('-', ' ')}: ${because}.`,
    title: `Write “${said}” behind ${ref}`,
    edit: { span: at.span, text },
  };
}
