/** Owns the list of rules, alphabetical by id. A rule that is not here does not run, and a test holds the list against the folder. */
import type { Rule } from './rule.ts';

export const rules: readonly Rule[] = [];
