/**
 * Owns what one line ties when it speaks of several things: the sections of a can by their values, refs written together each
 * with its own point.
 */
import type { Connection, Specification } from '../dialect/tree.ts';
import type { ChangeStatement, FittedStatement } from '../sheet/model.ts';
import type { InForce } from './renumbering.ts';

/** A connection as said, by whom and when: of several refs written together each takes its own point. */
export interface SaidConnection {
  readonly connection: Connection;
  readonly index: number;
  readonly of: number;
  readonly series: boolean;
  /** Refs written together, for a series string. */
  readonly together: readonly string[];
  readonly when: number;
}

/** `C1 = 32+32uF` is C1A and C1B, each with its own point where there are as many. */
export function sectionsOfCan<T extends FittedStatement | ChangeStatement>(
  said: T,
  specification: Specification | undefined,
): readonly T[] {
  const { ref } = said;
  if (ref.class !== 'capacitor' || ref.section !== undefined || specification === undefined || said.of > 1)
    return [said];
  const count = specification.values.filter(
    (each) => each.kind === 'value' && each.value.quantity.unit === 'F',
  ).length;
  if (count < 2) return [said];
  return Array.from({ length: count }, (_, index) => {
    const section = String.fromCharCode('A'.charCodeAt(0) + index);
    return {
      ...said,
      ref: { ...ref, name: `${ref.name}${section}`, whole: ref.name, section },
      index,
      of: count,
    };
  });
}

export function connectionsOf(
  said: FittedStatement | ChangeStatement,
  when: number,
  sheet: InForce,
): readonly SaidConnection[] {
  const together = said.series ? refsBeside(said, sheet) : [];
  return said.connections.map((connection) => ({
    connection,
    index: said.index,
    of: said.of,
    series: said.series,
    together,
    when,
  }));
}

/** Refs of the same tag, for a series string. */
function refsBeside(said: FittedStatement | ChangeStatement, sheet: InForce): readonly string[] {
  return sheet.statements
    .filter(
      (each): each is FittedStatement | ChangeStatement =>
        (each.kind === 'fitted' || each.kind === 'change') &&
        each.series &&
        each.span.start === said.span.start,
    )
    .map(({ ref }) => ref.name);
}
