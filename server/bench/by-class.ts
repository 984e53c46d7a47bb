/** Owns the parts of a phase by class and its roles by name: listed once for all who go through one kind of them. */
import type { PartClass } from '../dialect/tree.ts';
import { groupBy } from '../text/grouping.ts';
import type { FittedPart, PhaseView, Role, RoleFound } from './model.ts';

const partsByClass = new WeakMap<PhaseView['parts'], ReadonlyMap<PartClass, readonly FittedPart[]>>();

/** The parts of a class, or of several, in the order of all parts. */
export function partsOfClass(
  { parts }: Pick<PhaseView, 'parts'>,
  of: PartClass,
  ...also: readonly PartClass[]
): readonly FittedPart[] {
  let byClass = partsByClass.get(parts);
  if (byClass === undefined) {
    byClass = groupBy(parts.values(), (part) => part.class);
    partsByClass.set(parts, byClass);
  }
  if (also.length === 0) return byClass.get(of) ?? NONE;
  return [...parts.values()].filter((part) => part.class === of || also.includes(part.class));
}

const rolesByName = new WeakMap<PhaseView['roles'], ReadonlyMap<Role, readonly RoleFound[]>>();

/** All that have a role, in the order of all roles. */
export function allInRole({ roles }: Pick<PhaseView, 'roles'>, role: Role): readonly RoleFound[] {
  let byName = rolesByName.get(roles);
  if (byName === undefined) {
    byName = groupBy(roles.values(), (found) => found.role);
    rolesByName.set(roles, byName);
  }
  return byName.get(role) ?? NONE;
}

const NONE: readonly never[] = [];
