/** Owns the house rules that a check goes by: thresholds and severities, each from the shop sheet or the rule's own default. */
import type { Severity } from './rule.ts';

/** Undefined where the house says nothing and the rule's own default holds. */
export interface House {
  readonly threshold: (rule: string, option: string) => number | undefined;
  readonly severity: (rule: string) => Severity | 'off' | undefined;
}

/** A shop without a shop sheet. */
export const defaultHouse: House = { threshold: () => undefined, severity: () => undefined };
