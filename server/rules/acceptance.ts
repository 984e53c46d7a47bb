/** Owns whether an acceptance written on a sheet speaks of a finding. */
import type { Acceptance } from '../sheet/model.ts';

/** Of a pair (`V4,V5`) every valve must be named; an acceptance that names nobody holds for the whole sheet. */
export function isAcceptedBy(acceptance: Acceptance, rule: string, subject: string): boolean {
  if (acceptance.rule !== rule) return false;
  const { subjects } = acceptance;
  return (
    subjects.length === 0 ||
    subjects.includes(subject) ||
    subject.split(',').every((each) => subjects.includes(each))
  );
}
