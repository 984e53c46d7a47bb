/** Owns the question which limits are printed for a valve, so that a verdict can name the edition that it goes by. */
import type { RatingSystem, Trust, Valve } from './valve.ts';

/** One printed limit. */
export interface Edition {
  /** In the unit of the limit. */
  readonly value: number;
  /** `` for the one that the catalogue goes by. */
  readonly name: string;
  readonly system: RatingSystem;
  readonly trust: Trust;
}

type What = Valve['otherEditions'][number]['what'];

const editions = new WeakMap<Valve, Map<What, readonly Edition[]>>();

/** All limits printed for `what`, the one that the catalogue goes by first; none where none is known. */
export function editionsOf(valve: Valve, what: What): readonly Edition[] {
  const ofValve = editions.get(valve) ?? new Map<What, readonly Edition[]>();
  editions.set(valve, ofValve);
  const known = ofValve.get(what) ?? listEditions(valve, what);
  ofValve.set(what, known);
  return known;
}

function listEditions(valve: Valve, what: What): readonly Edition[] {
  const main = what === 'reservoir' ? valve.rectifier?.reservoir : valve.limits[what];
  if (main === undefined) return [];
  const others = valve.otherEditions.filter((other) => other.what === what);
  return [
    { value: main.value, name: '', system: main.system ?? valve.system, trust: main.trust },
    ...others.map(({ value, name, trust }) => ({
      value,
      name,
      system: systemIn(name) ?? valve.system,
      trust,
    })),
  ];
}

function systemIn(name: string): RatingSystem | undefined {
  return (['design-centre', 'design-maximum', 'absolute-maximum'] as const).find((system) =>
    name.includes(system),
  );
}
