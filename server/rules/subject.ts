/** Owns the subject of a finding where it is several parts: a pair, or valves of which only the average is known (`V5,V6`). */
import type { Figure } from '../bench/model.ts';
import { compareNames } from '../bench/points.ts';

/** `V5` of `V5,V6`, and `V5,V6` of itself; `V1` of `V1 pins 6 7 8`, a half that has no other name. */
export function isAbout(subject: string, name: string): boolean {
  if (subject === name) return true;
  return subject.includes(name) && (namesIn(subject).includes(name) || subject.startsWith(`${name} pins `));
}

export function namesIn(subject: string): readonly string[] {
  return subject.split(',');
}

/** Several names as one subject, in natural order. */
export function subjectOf(names: readonly string[]): string {
  return [...names].sort(compareNames).join(',');
}

/** `V5, V6 and V7`. */
export function sayNames(subject: string): string {
  const names = namesIn(subject);
  const last = names.at(-1) ?? '';
  return names.length < 2 ? last : `${names.slice(0, -1).join(', ')} and ${last}`;
}

/** What the figure is an average of; undefined of one that speaks of its subject alone. */
export function findAverage({ remark }: Figure): string | undefined {
  if (remark === undefined || !remark.includes('average of ')) return undefined;
  return remark.split('; ').find((each) => each.startsWith('average of '));
}
