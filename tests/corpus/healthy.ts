/** Owns the healthy half of the corpus: units with nothing wrong with them, written down. No rule may warn of any. */
import { DESIGNS, drawUnit } from './designs.ts';
import { type Chance, createChance } from './random.ts';
import { partsOf, rest, type Unit, type Valve, withPart } from './unit.ts';
import { type Notes, show, spellFarads, spellOhms, writeChassis, writeSheet } from './write.ts';

export interface HealthySheet {
  readonly name: string;
  readonly text: string;
  /** The chassis sheet beside it, where it goes by one. */
  readonly chassis?: string;
}

/** Where the chassis sheet of a sheet stands, as the sheet names it. */
const CHASSIS = '../chassis/unit.tagstrip.md';

/** Three units of each design: one on its chassis sheet, one measured through, one serviced. */
export function healthySheets(from = 1000): readonly HealthySheet[] {
  return DESIGNS.flatMap((design, which): readonly HealthySheet[] => {
    const seed = from + 10 * which;
    const [first, second, third] = [seed, seed + 1, seed + 2].map(createChance);
    if (first === undefined || second === undefined || third === undefined) return [];
    const [plain, thorough, serviced] = [first, second, third].map((chance) => drawUnit(design, chance));
    if (plain === undefined || thorough === undefined || serviced === undefined) return [];
    const work = service(serviced, third.between(0.85, 1.15));
    return [
      {
        name: `${design.name} on its chassis sheet`,
        text: writeSheet({ unit: plain, layout: 'items', chassis: CHASSIS }, first),
        chassis: writeChassis(design.unit, first),
      },
      {
        name: `${design.name} measured through`,
        text: writeSheet({ unit: thorough, layout: 'items', ...measureThrough(thorough, second) }, second),
      },
      {
        name: `${design.name} serviced`,
        text: writeSheet({ unit: serviced, layout: 'table', work }, third),
      },
    ];
  });
}

/** All else that a careful technician writes down of a good unit, before the chart and after it. */
function measureThrough(unit: Unit, chance: Chance): Pick<Notes, 'before' | 'evidence'> {
  const state = rest(unit);
  const limited = rest({ ...unit, mains: { ...unit.mains, now: unit.mains.now * 0.7 } });
  const heater = (6.3 * chance.near(1, 0.02) * unit.mains.now) / unit.mains.nominal;
  const wanted = chance.pick(['R4', 'R7', 'R23']);
  const resistor = partsOf(unit, 'resistor').find(({ ref }) => ref === wanted);
  const can = partsOf(unit, 'capacitor').find(({ ref }) => ref === 'C12');
  const [output] = partsOf(unit, 'valve').filter(({ g2 }) => g2 !== undefined);
  if (output === undefined || can === undefined || resistor === undefined)
    throw new Error(`${unit.title} lacks a part`);
  const drops = unit.output.anodes.map(
    (anode) =>
      `${anode} to B+1: ${show((state.point.nodes.get('B+1') ?? 0) - (state.point.nodes.get(anode) ?? 0))} V`,
  );
  return {
    before: [
      'lamp 60 W:',
      '',
      `- B+1: ${show(limited.volts('B+1'))} V`,
      `- ${output.a}: ${show(limited.volts(output.a))} V`,
      '',
    ],
    evidence: [
      ...drops,
      `heaters: ${heater.toFixed(2)} V`,
      `${resistor.ref} out of circuit: ${resistor.ref}: ${spellOhms(resistor.ohms)}`,
      `C12: ${spellFarads(can.farads)} ESR ${chance.between(0.2, 0.6).toFixed(1)}R (out of circuit)`,
      `C9 lifted: ${output.ref}.g: ${show(unit.bias ?? 0)} V`,
      'earth to chassis: 0.1R',
    ],
  };
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
