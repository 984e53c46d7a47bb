/** Owns the healthy half of the corpus: units with nothing wrong with them, written down. No rule may warn of any. */
import { DESIGNS, drawUnit } from './designs.ts';
import { createChance } from './random.ts';
import { type Unit, type Valve, withPart } from './unit.ts';
import { type Layout, writeSheet } from './write.ts';

export interface HealthySheet {
  readonly name: string;
  readonly text: string;
}

/** Units of each design. */
const RUN = 3;
const LAYOUTS: readonly Layout[] = ['items', 'table', 'table'];

export function healthySheets(): readonly HealthySheet[] {
  return DESIGNS.flatMap((design, which) =>
    LAYOUTS.slice(0, RUN).map((layout, number): HealthySheet => {
      const chance = createChance(1000 * (which + 1) + number);
      const unit = drawUnit(design, chance);
      const isServiced = number === 2;
      return {
        name: `${design.name} ${number + 1}`,
        text: writeSheet(
          { unit, layout, ...(isServiced && { work: service(unit, chance.between(0.85, 1.15)) }) },
          chance,
        ),
      };
    }),
  );
}

/** A routine visit: a new first valve, and the mains has moved by the time it is read again. */
function service(unit: Unit, share: number): { readonly lines: readonly string[]; readonly after: Unit } {
  const renewed = ['V1A', 'V1B'].reduce(
    (so, ref) => withPart<Valve>(so, ref, (valve) => ({ ...valve, share })),
    unit,
  );
  const now = unit.mains.now + (unit.mains.now > unit.mains.nominal ? -2 : 2);
  return {
    lines: ['V1 = 12AX7 -> 12AX7'],
    after: { ...renewed, mains: { ...unit.mains, now } },
  };
}
