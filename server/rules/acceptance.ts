/** Owns whether an acceptance written on a sheet speaks of a finding. */
import type { Acceptance } from '../sheet/model.ts';
import { isAbout } from './subject.ts';

/** Of several together (`V4,V5`) one name is enough; an acceptance that names nobody holds for the whole sheet. */
export function isAcceptedBy(acceptance: Acceptance, rule: string, subject: string): boolean {
  if (acceptance.rule !== rule) return false;
  const { subjects } = acceptance;
  return subjects.length === 0 || subjects.some((each) => isAbout(subject, each));
}
