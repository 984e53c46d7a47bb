/** Owns what a hover says of a part, point or question: the verdict first, what it rests on, then each figure's workings. Data only; the words' markup is `lsp`'s. */
import type { Figure, FittedPart, PhaseView } from '../bench/model.ts';
import type { Phase } from '../sheet/model.ts';
import type { Analysis } from '../shop/shop.ts';
import { positionAt } from '../text/snapshot.ts';
import type { Span } from '../text/span.ts';
import { findSubject, findView, type Subject } from './subject.ts';
import { figuresOn, findVerdict, show, showBand } from './verdict.ts';

export interface Hover {
  readonly span: Span;
  /** `V6 17.7 W, 148 % of 12 W (design-centre); as left 10.8 W`. */
  readonly headline: string;
  /** `6V6GT, a 347 V, k 24.6 V, read on line 23; R18 = 270 Ω, chassis sheet`. */
  readonly restsOn?: string;
  readonly workings: readonly Working[];
  /** Remarks and findings' first sentences that belong to the figures. */
  readonly remarks: readonly string[];
}

export interface Working {
  /** `anode dissipation`. */
  readonly name: string;
  /** `(Va − Vk) · (Ik − Ig2)`. */
  readonly formula: string;
  /** `(347 V − 24.6 V) · …`: the symbols with their numbers. */
  readonly numbers: readonly string[];
  readonly result: string;
  /** `12 W, 6V6GT data sheet, design-centre`. */
  readonly limit?: string;
}

const PHASE_WORDS: Readonly<Record<Phase, string>> = {
  factory: 'chassis sheet',
  'as-found': 'as found',
  work: 'during the work',
  'as-left': 'as left',
  noted: 'noted',
};

/** What to say at an offset; undefined where there is nothing to say. */
export function hover(analysis: Analysis, offset: number): Hover | undefined {
  const subject = findSubject(analysis, offset);
  if (subject === undefined) return undefined;
  const view = viewFor(analysis, subject);
  if (view === undefined) return undefined;
  const names = namesFor(view, subject);
  const figures = names.flatMap((name) => figuresOf(view, name, subject.set));
  const headline = headlineFor(analysis, view, subject, names);
  if (headline === undefined) return undefined;
  const telling = names
    .map((name) => findVerdict(view, name, subject.set)?.figure)
    .find((figure) => figure !== undefined);
  const ordered = telling === undefined ? figures : [telling, ...figures.filter((each) => each !== telling)];
  return {
    span: subject.span,
    headline,
    ...(telling === undefined ? {} : { restsOn: basisOf(analysis, telling) }),
    workings: ordered.map(workingOf),
    remarks: [
      ...new Set(ordered.flatMap(({ remark, inputs }) => [...(remark ? [remark] : []), ...assumed(inputs)])),
    ],
  };
}

/** Figures of a work-phase line are of the circuit as it was changed: as left where that was read. */
function viewFor(analysis: Analysis, subject: Subject): PhaseView | undefined {
  const { phases } = analysis.amplifier;
  const own = findView(analysis, subject.phase);
  const isSpoken = (view: PhaseView | undefined) =>
    view !== undefined && namesFor(view, subject).some((name) => figuresOf(view, name, undefined).length > 0);
  if (isSpoken(own)) return own;
  return phases.findLast((view) => view.phase !== 'work' && isSpoken(view)) ?? own;
}

/** A part and, where only its sections have figures, those; a point alone for itself. */
function namesFor(view: PhaseView, subject: Subject): readonly string[] {
  const names = new Set<string>();
  if (subject.ref === undefined) {
    names.add(subject.name);
    const node = view.circuit.nodeOf(subject.name);
    if (node !== undefined) names.add(node);
    return [...names];
  }
  names.add(subject.ref);
  for (const part of view.parts.values()) if (part.whole === subject.ref) names.add(part.ref);
  return [...names];
}

function figuresOf(view: PhaseView, name: string, set: number | undefined): readonly Figure[] {
  const own = figuresOn(view, name);
  const inSet = own.filter((figure) => figure.set === 0 || figure.set === (set ?? view.verdictSet?.id));
  // A reading of another set than the one hovered on still has a verdict of its own phase.
  return inSet.some((figure) => figure.set !== 0) || set === undefined
    ? inSet
    : own.filter((figure) => figure.set === 0 || figure.set === view.verdictSet?.id);
}

function headlineFor(
  analysis: Analysis,
  view: PhaseView,
  subject: Subject,
  names: readonly string[],
): string | undefined {
  const lines: string[] = [];
  for (const name of names) {
    const verdict = findVerdict(view, name, subject.set) ?? findVerdict(view, name);
    if (verdict === undefined) continue;
    lines.push(`${name} ${verdict.text}${otherPhase(analysis, view, name)}`);
  }
  if (lines.length > 0) return lines.join(' · ');
  const part = subject.ref === undefined ? undefined : view.parts.get(subject.ref);
  if (part !== undefined) return `${part.ref} ${describePart(view, part)}`;
  const node = view.circuit.nodeOf(subject.name) ?? subject.name;
  const volts = view.readings.findLast(
    (each) => (each.node ?? each.at) === node && each.quantity === 'voltage',
  );
  return volts === undefined
    ? undefined
    : `${subject.name} ${show(volts.value.quantity)}, ${PHASE_WORDS[view.phase]}`;
}

/** `; as left 10.8 W`, so that the reason for the work and its result stand side by side. */
function otherPhase(analysis: Analysis, view: PhaseView, name: string): string {
  const other = analysis.amplifier.phases.find(
    ({ phase }) =>
      (view.phase === 'as-found' && phase === 'as-left') ||
      (view.phase === 'as-left' && phase === 'as-found'),
  );
  const here = findVerdict(view, name)?.figure;
  const there = other === undefined ? undefined : findVerdict(other, name)?.figure;
  if (other === undefined || here === undefined || there === undefined || here.figure !== there.figure)
    return '';
  return `; ${PHASE_WORDS[other.phase]} ${showBand(there)}`;
}

/** `470 Ω 5 W, cathode resistor of V5, V6`. */
export function describePart(view: PhaseView, part: FittedPart): string {
  const value = part.value === undefined ? part.type?.text : show(part.value.quantity);
  const ratings = [part.ratings.voltage, part.ratings.power, part.ratings.current].flatMap((each) =>
    each === undefined ? [] : [show(each.quantity)],
  );
  const role = view.roles.get(part.ref);
  const does =
    role === undefined || role.role === 'unknown'
      ? undefined
      : `${role.role.replaceAll('-', ' ')}${role.serves.length === 0 ? '' : ` of ${role.serves.join(', ')}`}`;
  const words = [
    [value, ...ratings, ...part.kinds].filter((word) => word !== undefined).join(' '),
    does,
  ].filter((word) => word !== undefined && word !== '');
  return words.length === 0 ? part.class.replaceAll('-', ' ') : words.join(', ');
}

function basisOf({ sheet, chassis }: Analysis, figure: Figure): string {
  const said = figure.inputs.map(({ name, known }) => {
    const value = `${name} ${show(known.quantity)}`;
    if (known.source === undefined) return `${value} (${known.because ?? known.basis})`;
    if (known.source.file === sheet.uri) {
      return `${value} (${known.basis}, line ${positionAt(sheet.snapshot, known.source.span.start).line + 1})`;
    }
    return `${value} (${known.basis}${known.source.file === chassis?.uri ? ', chassis sheet' : ''})`;
  });
  return said.join('; ');
}

function workingOf(figure: Figure): Working {
  return {
    name: figure.figure.replaceAll('-', ' '),
    formula: figure.formula,
    numbers: figure.inputs.map(({ symbol, known }) => `${symbol} = ${showBand(known)}`),
    result: showBand(figure),
    ...(figure.limit === undefined
      ? {}
      : { limit: `${show(figure.limit.quantity)}, ${figure.limit.source}` }),
  };
}

function assumed(inputs: Figure['inputs']): readonly string[] {
  return inputs.flatMap(({ known }) =>
    known.basis === 'assumed' && known.because !== undefined ? [`Assumed: ${known.because}`] : [],
  );
}
