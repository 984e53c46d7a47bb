/** Owns how a part is described on a page: its value, ratings and kind for the bench, its plain name for its owner. */
import type { FittedPart, Known, PhaseView, Role } from '../bench/model.ts';
import { findPartClass } from '../dialect/letters.ts';
import type { PartClass } from '../dialect/tree.ts';
import { show } from '../rules/phrases.ts';
import { type PlainPart, plainClasses, plainRoles, words } from './words.ts';

/** `47 µF 450 V electrolytic`, `5881`, `T 1 A`; undefined where nothing but the ref is written. */
export function describePart(part: FittedPart): string | undefined {
  const { ratings, specification } = part;
  const said = [
    part.type?.text,
    specification?.fuseSpeed?.text,
    ...valuesOf(part),
    showKnown(part.resistance),
    // A loudspeaker's impedance is its main value already.
    part.impedance?.quantity.value === part.value?.quantity.value ? undefined : showKnown(part.impedance),
    showKnown(ratings.voltage),
    showKnown(ratings.current),
    showKnown(ratings.power),
    showKnown(ratings.temperature),
    part.isToleranceMarked ? `±${show({ value: part.tolerance, unit: '1' })}` : undefined,
    ...part.kinds,
    ratings.date,
  ].filter((each): each is string => each !== undefined && each !== '');
  return said.length === 0 ? undefined : [...new Set(said)].join(' ');
}

/** What a part is made for, without words of its construction unless they are asked for. */
export function describeForOwner(part: FittedPart, withKinds: boolean): string | undefined {
  const { ratings, specification } = part;
  const said = [
    part.type?.text,
    specification?.fuseSpeed?.text,
    ...valuesOf(part),
    showKnown(ratings.voltage),
    showKnown(ratings.current),
    showKnown(ratings.power),
    ...(withKinds ? part.kinds : []),
  ].filter((each): each is string => each !== undefined && each !== '');
  return said.length === 0 ? undefined : [...new Set(said)].join(' ');
}

function valuesOf(part: FittedPart): readonly (string | undefined)[] {
  if (part.value !== undefined) return [showKnown(part.value)];
  return (part.specification?.values ?? []).map((each) =>
    each.kind === 'value' ? show(each.value.quantity) : each.spelling,
  );
}

export function showKnown(known: Known | undefined): string | undefined {
  return known === undefined ? undefined : show(known.quantity);
}

/** The part's role where its connections tell it in any phase, the latest that knows one. */
export function roleOf(phases: readonly PhaseView[], ref: string): Role {
  return phases.findLast((view) => known(view, ref) !== undefined)?.roles.get(ref)?.role ?? 'unknown';
}

function known(view: PhaseView, ref: string): Role | undefined {
  const role = view.roles.get(ref)?.role;
  return role === 'unknown' ? undefined : role;
}

/** What a part is called for its owner, and what it does. */
export function plainPart(
  phases: readonly PhaseView[],
  ref: string,
  part: FittedPart | undefined,
): PlainPart {
  const role = roleOf(phases, ref);
  const byRole = plainRoles[role];
  if (byRole !== undefined) {
    if (part?.class !== 'valve') return byRole;
    return role === 'rectifier' ? { ...byRole, name: 'rectifier valve' } : byRole;
  }
  const found = part ?? phases.findLast((view) => view.parts.has(ref))?.parts.get(ref);
  return plainClasses[found?.class ?? classOf(ref)];
}

/** The class that a ref's letters name, of a part that no sheet declares. */
function classOf(ref: string): PartClass {
  return findPartClass(ref.match(/^[A-Z]+/)?.[0] ?? '') ?? 'other';
}

/** `reservoir` beside a ref on the bench; empty where nothing tells it. */
export function benchRole(phases: readonly PhaseView[], ref: string): string {
  return words.roles[roleOf(phases, ref)];
}
