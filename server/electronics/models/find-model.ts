/** Owns the choice of a model for a valve's type. */
import { found, type Result, refused } from '../result.ts';
import type { ValveModel } from './model.ts';
import { MODELLED_VALVES } from './parameters.ts';

/** The best set for a type, by its name or a synonym; refused for a valve without data. Section letters are no part of a type. */
export function findModel(valveType: string): Result<ValveModel> {
  const models = findModels(valveType);
  const best = models[0];
  return best === undefined ? refused(`no model of the valve ${valveType}`) : found(best);
}

/** Every set of a type, best first; empty for a valve without data. */
export function findModels(valveType: string): readonly ValveModel[] {
  const wanted = valveType.trim().toUpperCase();
  const entry = MODELLED_VALVES.find(({ valve, synonyms }) => valve === wanted || synonyms.includes(wanted));
  return entry?.models ?? [];
}
