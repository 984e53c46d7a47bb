/** Owns what rules ask of the circuit round a valve: the parts that serve it, what lies behind them, its partners. */
import { partsOfClass } from '../bench/by-class.ts';
import type { Figure, FigureName, FittedPart, PhaseView, Role } from '../bench/model.ts';
import type { Quantity } from '../units/si.ts';
import { findFigure } from './figure-of.ts';
import type { Report, RuleContext } from './rule.ts';
import { findAverage, isAbout } from './subject.ts';

/** By the roles of a view and its parts, which stay while only readings change. */
const servingOf = new WeakMap<PhaseView['roles'], Serving>();

interface Serving {
  readonly parts: PhaseView['parts'];
  /** By valve, then by role. */
  readonly by: ReadonlyMap<string, ReadonlyMap<Role, readonly FittedPart[]>>;
}

/** The parts of a role that serve a valve, in the order of their roles. */
export function partsServing(view: PhaseView, valve: string, role: Role): readonly FittedPart[] {
  const { roles, parts } = view;
  let serving = servingOf.get(roles);
  if (serving?.parts !== parts) {
    serving = { parts, by: listServing(roles, parts) };
    servingOf.set(roles, serving);
  }
  return serving.by.get(valve)?.get(role) ?? NONE;
}

const NONE: readonly FittedPart[] = [];

function listServing(roles: PhaseView['roles'], parts: PhaseView['parts']): Serving['by'] {
  const byValve = new Map<string, Map<Role, FittedPart[]>>();
  for (const { ref, role, serves } of roles.values()) {
    const part = parts.get(ref);
    if (part === undefined) continue;
    for (const valve of serves) {
      const byRole = byValve.get(valve);
      const list = byRole?.get(role);
      if (list !== undefined) list.push(part);
      else if (byRole !== undefined) byRole.set(role, [part]);
      else byValve.set(valve, new Map([[role, [part]]]));
    }
  }
  return byValve;
}

/** The parts at a node, each once. */
export function partsAt({ circuit, parts }: PhaseView, node: string): readonly FittedPart[] {
  const found: FittedPart[] = [];
  for (const { ref } of circuit.attached(node)) {
    const part = parts.get(ref);
    if (part !== undefined && !found.includes(part)) found.push(part);
  }
  return found;
}

/** The node at the other end of a two-terminal part; undefined where it has none. */
export function farEnd(part: FittedPart, node: string | undefined): string | undefined {
  const nodes = [...part.terminals.values()];
  return nodes.length === 2 && nodes.some((each) => each === node)
    ? nodes.find((each) => each !== node)
    : undefined;
}

/** The valves that amplify: no rectifiers. */
export function amplifyingValves(view: PhaseView): readonly FittedPart[] {
  return partsOfClass(view, 'valve').filter(isAmplifying);
}

export function isAmplifying(part: FittedPart): boolean {
  return part.class === 'valve' && part.type?.valve?.kind !== 'rectifier';
}

/** A figure of the verdict set that speaks of this subject alone, not the mean of several valves. */
export function ownFigure(
  context: RuleContext,
  view: PhaseView,
  name: 'cathode-current' | 'anode-current',
  subject: string,
): Figure | undefined {
  const figure = findFigure(context, view, name, subject);
  return figure === undefined || findAverage(figure) !== undefined ? undefined : figure;
}

/** The subjects of pairs (`V3,V4`) that a valve belongs to, as their mismatch is called. */
export function pairsOf(context: RuleContext, view: PhaseView, valve: string): readonly string[] {
  return context
    .figures(view, 'mismatch')
    .map(({ subject }) => subject)
    .filter((subject) => isAbout(subject, valve));
}

/** The phase and set that a verdict is given on. */
export function momentOf(view: PhaseView): Pick<Report, 'phase' | 'set'> {
  return { phase: view.phase, ...(view.verdictSet === undefined ? {} : { set: view.verdictSet }) };
}

/** What a fault at a valve does to the chart of its electrodes. */
export function offNominalOf(valve: string): readonly { readonly rule: string; readonly subject: string }[] {
  return ['a', 'g', 'g2', 'k'].map((electrode) => ({
    rule: 'off-nominal',
    subject: `${valve}.${electrode}`,
  }));
}

/** The contradictions that one wrong number makes: they may be told of either resistor of each stage that the part serves. */
export function contradictionsRound(
  view: PhaseView,
  ref: string,
): readonly { readonly rule: string; readonly subject: string }[] {
  const valves = view.roles.get(ref)?.serves ?? [];
  const resistors = valves.flatMap((valve) => [
    ...partsServing(view, valve, 'anode-load'),
    ...partsServing(view, valve, 'cathode-resistor'),
  ]);
  return [...new Set([ref, ...resistors.map((part) => part.ref)])].map((subject) => ({
    rule: 'contradictory-readings',
    subject,
  }));
}

/** The valve's own current as a measure: read again as left, it tells whether a finding of as-found is cleared. */
export function currentMeasure(
  context: RuleContext,
  view: PhaseView,
  name: 'cathode-current' | 'anode-current',
  valve: string,
): { readonly figures: Readonly<Record<string, Quantity>>; readonly measure?: FigureName } {
  const figure = ownFigure(context, view, name, valve);
  return figure === undefined ? { figures: {} } : { figures: { [name]: figure.quantity }, measure: name };
}
