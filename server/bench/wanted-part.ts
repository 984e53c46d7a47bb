/** Owns finding the one part of an amplifier that is described by what it does, whom it serves and about what value it has. */
import type { FittedPart, PhaseView, Role } from './model.ts';

/** What is looked for in one amplifier: `the cathode bypass of V1A, about 25 µF; a hint says C2`. */
export interface PartWanted {
  readonly role?: Role;
  /** Valves or sections that it serves: all of them must be among those that the part serves. */
  readonly serves?: readonly string[];
  readonly class?: FittedPart['class'];
  /** In the unit of the class. */
  readonly value?: number;
  /** How far a value may lie from that as a share of it. */
  readonly within?: number;
  /** A hint: it decides only between parts that fit equally well. */
  readonly ref?: string;
}

export type PartFound =
  | {
      readonly kind: 'found';
      readonly part: FittedPart;
      readonly because: string;
      readonly isHinted: boolean;
    }
  | { readonly kind: 'several'; readonly parts: readonly FittedPart[] }
  | { readonly kind: 'other-value'; readonly parts: readonly FittedPart[] }
  | { readonly kind: 'none' };

/** As near as a part of the next lower tolerance class would be marked. */
const ABOUT = 0.11;

/**
 * The part that has a role, serves valves and has about a value. Role and valves must be established; a value that none of
 * those has is answered apart, since that is how a change that was made already looks.
 */
export function findPart(view: PhaseView, wanted: PartWanted): PartFound {
  const { role, serves = [], value, within = ABOUT } = wanted;
  const placed = [...view.parts.values()].filter((part) => {
    const found = view.roles.get(part.ref);
    if (wanted.class !== undefined && part.class !== wanted.class) return false;
    if (role !== undefined && found?.role !== role && found?.network?.name !== role) return false;
    return serves.every((ref) => found?.serves.includes(ref));
  });
  const fitting =
    value === undefined
      ? placed
      : placed.filter((part) => {
          const own = part.value?.quantity.value;
          return own !== undefined && Math.abs(own - value) <= within * Math.abs(value);
        });
  if (fitting.length === 0)
    return placed.length === 0 ? { kind: 'none' } : { kind: 'other-value', parts: placed };
  const hinted = fitting.find(({ ref }) => ref === wanted.ref);
  const part = fitting.length === 1 ? fitting[0] : hinted;
  if (part === undefined) return { kind: 'several', parts: fitting };
  return {
    kind: 'found',
    part,
    because: view.roles.get(part.ref)?.because ?? 'by its ref',
    isHinted: fitting.length > 1,
  };
}
