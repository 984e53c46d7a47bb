/** Owns the list of verbs, in the order in which the usage shows them. */
import { changesVerb } from './changes.ts';
import { checkVerb } from './check.ts';
import { compareVerb } from './compare.ts';
import { figuresVerb } from './figures.ts';
import { historyVerb } from './history.ts';
import { modsVerb } from './mods.ts';
import { ordersVerb } from './orders.ts';
import { readVerb } from './read.ts';
import { repeatsVerb } from './repeats.ts';
import { statementsVerb } from './statements.ts';
import { statsVerb } from './stats.ts';
import { summaryVerb } from './summary.ts';
import { suspectsVerb } from './suspects.ts';
import { tidyVerb } from './tidy.ts';
import type { Verb } from './verb.ts';

export const VERBS: readonly Verb[] = [
  readVerb,
  checkVerb,
  figuresVerb,
  summaryVerb,
  tidyVerb,
  compareVerb,
  changesVerb,
  statementsVerb,
  modsVerb,
  suspectsVerb,
  ordersVerb,
  repeatsVerb,
  historyVerb,
  statsVerb,
];
