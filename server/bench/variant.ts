/** Owns the state of an amplifier with one part other than it is: everything else stays as it stands in that phase. */
import { lookAt } from './look.ts';
import type { Circuit, FittedPart, PhaseView } from './model.ts';
import { findNetworks } from './networks.ts';
import { compareNames } from './points.ts';
import { findRoles } from './roles.ts';

/** The view with this part in place of whatever bears its ref there; without it where `part` is undefined. */
export function withPart(view: PhaseView, ref: string, part: FittedPart | undefined): PhaseView {
  const own = view.parts.get(ref);
  if (own === part) return view;
  const parts = new Map(view.parts);
  const gone = new Set<string>();
  if (part === undefined) {
    for (const each of view.parts.values()) if (each.ref === ref || each.whole === ref) gone.add(each.ref);
    for (const each of gone) parts.delete(each);
  } else {
    parts.set(ref, part);
    for (const each of view.parts.values())
      if (each.ref !== ref && each.whole === ref) parts.set(each.ref, sectionOf(each, part));
  }
  const circuit =
    part !== undefined && own !== undefined && isTiedAlike(own, part)
      ? view.circuit
      : rewired(view.circuit, part === undefined ? gone : new Set([ref]), part);
  const look = lookAt(parts, circuit);
  const roles = findNetworks(look, findRoles(look));
  return { ...view, parts, circuit, roles };
}

/** A section of another valve in the same socket. */
function sectionOf(section: FittedPart, whole: FittedPart): FittedPart {
  const index = section.valveSection
    ? (section.type?.valve?.sections.indexOf(section.valveSection) ?? -1)
    : -1;
  const valveSection = whole.type?.valve?.sections[index];
  const { valveSection: _, type: __, ...rest } = section;
  return { ...rest, ...(whole.type && { type: whole.type }), ...(valveSection && { valveSection }) };
}

export function isTiedAlike(one: FittedPart, other: FittedPart): boolean {
  if (one.terminals.size !== other.terminals.size) return false;
  for (const [terminal, node] of one.terminals) if (other.terminals.get(terminal) !== node) return false;
  return true;
}

function rewired(circuit: Circuit, without: ReadonlySet<string>, part: FittedPart | undefined): Circuit {
  return {
    ...circuit,
    attached: (node) => {
      const kept = circuit.attached(node).filter(({ ref }) => !without.has(ref));
      if (part === undefined) return kept;
      const own = [...part.terminals].flatMap(([terminal, at]) =>
        at === node ? [{ ref: part.ref, terminal }] : [],
      );
      return [...kept, ...own].sort(
        (a, b) => compareNames(a.ref, b.ref) || compareNames(a.terminal, b.terminal),
      );
    },
  };
}
