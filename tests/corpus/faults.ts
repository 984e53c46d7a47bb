/**
 * Owns the faults of the corpus, one at a time: what is done to a unit, or to what the technician writes, and which rule must
 * name which part. Readings of a faulty circuit are the solver's, with the fault in.
 */
import { anodeRating, setBias } from './designs.ts';
import type { Chance } from './random.ts';
import {
  type Capacitor,
  type Choke,
  partsOf,
  type Resistor,
  rest,
  type Unit,
  type Valve,
  withPart,
} from './unit.ts';
import { type Notes, show, spellFarads, spellOhms } from './write.ts';

/** One way of saying it right. */
export interface Verdict {
  readonly rule: string;
  readonly subject: string;
}

/** A unit with its fault, as it comes to be written down. */
export interface Case extends Partial<Omit<Notes, 'unit' | 'layout'>> {
  readonly unit: Unit;
  /** The rule and part that must be named; any one of them will do. */
  readonly expected: readonly Verdict[];
  /** What may be named besides: the faulty part, and what truly suffers and is written as such. */
  readonly guilty: readonly string[];
}

export interface Fault {
  readonly kind: string;
  /** Undefined where the unit has no such part, or the fault could not be seen on it. */
  readonly make: (unit: Unit, chance: Chance) => Case | undefined;
}

const outputsOf = (unit: Unit): readonly Valve[] =>
  partsOf(unit, 'valve').filter(({ g2 }) => g2 !== undefined);
const isFixed = (unit: Unit): boolean => unit.bias !== undefined;
const isShared = (unit: Unit): boolean => {
  const [one, two] = outputsOf(unit);
  return two !== undefined && one?.k === two.k;
};
const pairOf = (unit: Unit): string =>
  outputsOf(unit)
    .map(({ ref }) => ref)
    .join(',');
const resistorAt = (unit: Unit, ref: string): Resistor | undefined =>
  partsOf(unit, 'resistor').find((part) => part.ref === ref);
const capacitorAt = (unit: Unit, ref: string): Capacitor | undefined =>
  partsOf(unit, 'capacitor').find((part) => part.ref === ref);

function withOhms(unit: Unit, ref: string, times: number): Unit {
  return withPart<Resistor>(unit, ref, (part) => ({ ...part, ohms: part.ohms * times }));
}

function withRating(unit: Unit, ref: string, rating: number): Unit {
  return withPart<Capacitor>(unit, ref, (part) => ({ ...part, rating }));
}

/** What the ohmmeter shows of a part that is lifted at one end. */
function measured(unit: Unit, ref: string): string {
  const ohms = resistorAt(unit, ref)?.ohms ?? 0;
  return `${ref} out of circuit: ${ref}: ${spellOhms(ohms)}`;
}

const power = (unit: Unit, { from, to, ohms }: Resistor): number => {
  const { volts } = rest(unit);
  return (volts(from) - volts(to)) ** 2 / ohms;
};

export const FAULTS: readonly Fault[] = [
  {
    kind: 'leaky coupling capacitor',
    make: (unit, chance) => {
      const ref = chance.pick(['C9', 'C10']);
      const leak = capacitorAt(unit, ref);
      if (leak === undefined) return undefined;
      const { volts } = rest(unit);
      const share = chance.between(0.15, 0.3);
      const pulled = isFixed(unit) ? -share * (unit.bias ?? 0) : chance.between(2, 6);
      const grid = resistorAt(unit, ref === 'C9' ? 'R17' : 'R18')?.ohms ?? 0;
      const insulation = (grid * (volts(leak.from) - pulled)) / pulled;
      return {
        unit: withPart<Capacitor>(unit, ref, (part) => ({ ...part, leak: insulation })),
        expected: [{ rule: 'leaky-coupling', subject: ref }],
        // The hot valve's current does overload a small winding.
        guilty: [ref, 'T1'],
      };
    },
  },
  {
    kind: 'drifted anode load, by its volts',
    make: (unit, chance) => {
      const ref = chance.pick(['R4', 'R7']);
      return {
        unit: withOhms(unit, ref, chance.between(1.7, 2.4)),
        expected: [{ rule: 'contradictory-readings', subject: ref }],
        guilty: [ref],
      };
    },
  },
  {
    kind: 'drifted anode load, measured',
    make: (unit, chance) => {
      const ref = chance.pick(['R4', 'R7']);
      const drifted = withOhms(unit, ref, chance.between(1.8, 2.4));
      return {
        unit: drifted,
        evidence: [measured(drifted, ref)],
        expected: [{ rule: 'value-out-of-tolerance', subject: ref }],
        guilty: [ref],
      };
    },
  },
  {
    kind: 'drifted cathode resistor, its anode load measured good',
    make: (unit, chance) => {
      const [ref, load] = chance.pick([
        ['R3', 'R4'],
        ['R6', 'R7'],
      ] as const);
      const drifted = withOhms(unit, ref, chance.between(1.7, 2.4));
      return {
        unit: drifted,
        evidence: [measured(drifted, load)],
        expected: [{ rule: 'contradictory-readings', subject: ref }],
        guilty: [ref],
      };
    },
  },
  {
    kind: 'drifted output cathode resistor, measured',
    make: (unit, chance) => {
      if (isFixed(unit)) return undefined;
      const drifted = withOhms(unit, 'R19', chance.between(1.7, 2.5));
      return {
        unit: drifted,
        evidence: [measured(drifted, 'R19')],
        expected: [{ rule: 'value-out-of-tolerance', subject: 'R19' }],
        guilty: ['R19', ...outputsOf(unit).map(({ ref }) => ref), pairOf(unit)],
      };
    },
  },
  {
    kind: 'cathode resistor of the wrong value',
    make: (unit) => {
      const part = resistorAt(unit, 'R19');
      if (isFixed(unit) || part === undefined) return undefined;
      const marked =
        { 150: 68, 220: 82, 270: 100, 330: 120, 390: 120, 430: 150, 470: 150 }[part.marked] ?? 100;
      const wrong = withPart<Resistor>(unit, 'R19', (each) => ({
        ...each,
        marked,
        ohms: marked * 1.02,
        watts: 10,
      }));
      const hot = outputsOf(unit).filter(
        ({ ref, type }) => rest(wrong).watts(ref).anode > 1.15 * anodeRating(type),
      );
      if (hot.length === 0) return undefined;
      return {
        unit: wrong,
        expected: hot.map(({ ref }) => ({ rule: 'anode-over-dissipation', subject: ref })),
        // With its own resistor on each, the pair is unlike because of it.
        guilty: ['R19', ...outputsOf(unit).map(({ ref }) => ref), pairOf(unit), 'V9', 'T1'],
      };
    },
  },
  {
    kind: 'open anode load',
    make: (unit, chance) => {
      const [ref, valve] = chance.pick([
        ['R4', 'V1A'],
        ['R7', 'V1B'],
      ] as const);
      return {
        unit: withOhms(unit, ref, Number.POSITIVE_INFINITY),
        expected: [
          { rule: 'bottomed', subject: valve },
          { rule: 'contradictory-readings', subject: ref },
        ],
        guilty: [ref, valve],
      };
    },
  },
  {
    kind: 'open screen resistor',
    make: (unit) => {
      if (isShared(unit)) return undefined;
      return {
        unit: withOhms(unit, 'R21', Number.POSITIVE_INFINITY),
        expected: [{ rule: 'screen-open', subject: 'R21' }],
        guilty: ['R21'],
      };
    },
  },
  {
    kind: 'shorted cathode bypass',
    make: (unit, chance) => {
      const [ref, valve, resistor] = chance.pick([
        ['C2', 'V1A', 'R3'],
        ['C5', 'V1B', 'R6'],
      ] as const);
      if (capacitorAt(unit, ref) === undefined) return undefined;
      return {
        unit: withPart<Capacitor>(unit, ref, (part) => ({ ...part, leak: 2 })),
        expected: [
          { rule: 'cathode-low', subject: valve },
          { rule: 'contradictory-readings', subject: resistor },
        ],
        guilty: [ref, valve, resistor],
      };
    },
  },
  {
    kind: 'dead valve',
    make: (unit, chance) => {
      const ref = chance.pick(['V1A', 'V1B']);
      return {
        unit: withPart<Valve>(unit, ref, (valve) => ({ ...valve, share: 0 })),
        expected: [{ rule: 'no-conduction', subject: ref }],
        guilty: [ref],
      };
    },
  },
  {
    kind: 'dried-out reservoir, by its ripple',
    make: (unit, chance) => ({
      unit: withPart<Capacitor>(unit, 'C11', (part) => ({
        ...part,
        farads: part.farads * chance.between(0.1, 0.25),
      })),
      expected: [{ rule: 'excess-ripple', subject: 'C11' }],
      guilty: ['C11'],
    }),
  },
  {
    kind: 'dried-out smoothing capacitor, measured',
    make: (unit, chance) => {
      const farads = (capacitorAt(unit, 'C13')?.marked ?? 0) * chance.between(0.15, 0.6);
      return {
        unit: withPart<Capacitor>(unit, 'C13', (part) => ({ ...part, farads })),
        evidence: [`C13: ${spellFarads(farads)} (out of circuit)`],
        expected: [{ rule: 'capacitance-low', subject: 'C13' }],
        guilty: ['C13'],
      };
    },
  },
  {
    kind: 'under-rated reservoir',
    make: (unit, chance) => {
      const top = rest(unit).volts('B+1');
      const rating = [160, 200, 250, 300, 350, 400, 450].findLast(
        (each) => each < top * chance.between(0.9, 1.03),
      );
      return {
        unit: withRating(unit, 'C11', rating ?? 160),
        expected: [
          { rule: 'over-voltage', subject: 'C11' },
          { rule: 'cold-start-over-voltage', subject: 'C11' },
        ],
        guilty: ['C11'],
      };
    },
  },
  {
    kind: 'smoothing capacitor that only stands the warm supply',
    make: (unit) => {
      const warm = rest(unit).volts('B+3');
      const cold = unit.supply.winding * Math.SQRT2 * 1.1;
      const rating = [250, 300, 315, 350, 400, 450].find((each) => each > warm && each < cold * 0.98);
      if (rating === undefined) return undefined;
      return {
        unit: withRating(unit, 'C13', rating),
        expected: [
          { rule: 'cold-start-over-voltage', subject: 'C13' },
          { rule: 'over-voltage', subject: 'C13' },
        ],
        guilty: ['C13'],
      };
    },
  },
  {
    kind: 'under-rated cathode bypass',
    make: (unit) => {
      if (isFixed(unit)) return undefined;
      const idle = rest(unit).volts(outputsOf(unit)[0]?.k ?? '');
      const rating = [6.3, 10, 16, 25, 35].findLast((each) => each < idle * 1.4);
      if (rating === undefined) return undefined;
      return {
        unit: withRating(unit, 'C15', rating),
        expected: [{ rule: 'bypass-over-voltage', subject: 'C15' }],
        guilty: ['C15'],
      };
    },
  },
  {
    kind: 'under-rated coupling capacitor',
    make: (unit, chance) => {
      const ref = chance.pick(['C3', 'C9']);
      return {
        unit: withRating(unit, ref, chance.pick([160, 250])),
        expected: [
          { rule: 'coupling-over-voltage', subject: ref },
          { rule: 'over-voltage', subject: ref },
        ],
        guilty: [ref],
      };
    },
  },
  {
    kind: 'under-rated cathode resistor',
    make: (unit, chance) => {
      const part = resistorAt(unit, 'R19');
      if (isFixed(unit) || part === undefined) return undefined;
      const watts = [0.125, 0.25, 0.5, 1, 2].findLast(
        (each) => each < power(unit, part) * chance.between(0.7, 0.95),
      );
      if (watts === undefined) return undefined;
      return {
        unit: withPart<Resistor>(unit, 'R19', (each) => ({ ...each, watts, style: 'carbon film' })),
        expected: [{ rule: 'resistor-over-dissipation', subject: 'R19' }],
        guilty: ['R19'],
      };
    },
  },
  {
    kind: 'bleeder of too short a body',
    make: (unit) => {
      if (resistorAt(unit, 'R25') === undefined) return undefined;
      return {
        unit: withPart<Resistor>(unit, 'R25', (each) => ({ ...each, watts: 0.5, style: 'metal film' })),
        expected: [
          { rule: 'resistor-over-voltage', subject: 'R25' },
          { rule: 'resistor-over-dissipation', subject: 'R25' },
        ],
        guilty: ['R25'],
      };
    },
  },
  {
    kind: 'mismatched output valves',
    make: (unit, chance) => {
      const [one, two] = outputsOf(unit);
      if (isShared(unit) || one === undefined || two === undefined) return undefined;
      const share = isFixed(unit) ? chance.between(0.5, 0.65) : chance.between(0.25, 0.35);
      return {
        unit: withPart<Valve>(unit, two.ref, (valve) => ({ ...valve, share })),
        expected: [{ rule: 'mismatched-pair', subject: pairOf(unit) }],
        guilty: [one.ref, two.ref, pairOf(unit)],
      };
    },
  },
  {
    kind: 'fixed bias set hot',
    make: (unit, chance) => {
      if (!isFixed(unit)) return undefined;
      const refs = outputsOf(unit).map(({ ref }) => ref);
      return {
        unit: setBias(unit, chance.between(0.92, 1.15)),
        expected: refs.map((subject) => ({ rule: 'fixed-bias-hot', subject })),
        guilty: refs,
      };
    },
  },
  {
    kind: 'missing bias',
    make: (unit, chance) => {
      if (!isFixed(unit)) return undefined;
      return {
        unit: { ...unit, bias: -chance.pick([0, 0.2, 0.6]) },
        expected: [{ rule: 'no-bias', subject: 'bias' }],
        // All that the valves draw without it passes the rectifier as well.
        guilty: ['bias', ...outputsOf(unit).map(({ ref }) => ref), pairOf(unit), 'V9', 'T1'],
      };
    },
  },
  {
    kind: 'gassy valve',
    make: (unit, chance) => {
      const [first] = outputsOf(unit);
      if (first === undefined) return undefined;
      const grid = resistorAt(unit, 'R17')?.ohms ?? 1;
      const gas = chance.between(1, 4) / grid;
      const left = isFixed(unit) ? show(unit.bias ?? 0) : '0';
      return {
        unit: withPart<Valve>(unit, first.ref, (valve) => ({ ...valve, gas })),
        evidence: [`${first.ref} out: ${first.ref}.g: ${left} V`],
        expected: [{ rule: 'gassy-valve', subject: first.ref }],
        guilty: [first.ref, 'T1'],
      };
    },
  },
  {
    kind: 'one half of the rectifier gives nothing',
    make: (unit) => {
      if (unit.supply.connection === 'bridge') return undefined;
      return {
        unit: { ...unit, supply: { ...unit.supply, connection: 'half-wave' } },
        showsRippleFrequency: true,
        expected: [{ rule: 'half-wave-ripple', subject: 'B+1' }],
        guilty: ['B+1', ...unit.supply.rectifierRefs],
      };
    },
  },
  {
    kind: 'reservoir larger than its rectifier stands',
    make: (unit) => {
      if (unit.supply.rectifier.startsWith('1N')) return undefined;
      const times = 4;
      const larger = withPart<Capacitor>(unit, 'C11', (part) => ({
        ...part,
        marked: part.marked * times,
        farads: part.farads * times,
      }));
      return {
        unit: larger,
        expected: ['C11', 'V9'].map((subject) => ({ rule: 'reservoir-over-limit', subject })),
        guilty: ['C11', 'V9'],
      };
    },
  },
  {
    kind: 'under-rated rectifier diodes',
    make: (unit) => {
      if (!unit.supply.rectifier.startsWith('1N')) return undefined;
      const refs = ['D1', 'D2', 'D3', 'D4'];
      return {
        unit: { ...unit, supply: { ...unit.supply, rectifier: '1N4003' } },
        expected: refs.map((subject) => ({ rule: 'diode-over-voltage', subject })),
        guilty: refs,
      };
    },
  },
  {
    kind: 'heater winding too small for the valves',
    make: (unit) => ({
      unit: { ...unit, heaterAmperes: isFixed(unit) ? 2.5 : outputsOf(unit).length > 1 ? 1.2 : 0.8 },
      expected: [{ rule: 'heater-overload', subject: 'T1' }],
      guilty: ['T1'],
    }),
  },
  {
    kind: 'low heater volts',
    make: (unit, chance) => ({
      unit,
      evidence: [`heaters: ${chance.between(5.1, 5.6).toFixed(2)} V`],
      expected: [{ rule: 'heater-voltage-off', subject: 'heaters' }],
      guilty: ['heaters', 'T1'],
    }),
  },
  {
    kind: 'larger fuse fitted',
    make: (unit) => ({
      unit,
      work: { lines: [`F1 = ${unit.fuse} -> T5A`], after: unit },
      expected: [{ rule: 'fuse-mismatch', subject: 'F1' }],
      guilty: ['F1'],
    }),
  },
  {
    kind: 'loudspeaker of the wrong impedance',
    make: (unit, chance) => ({
      unit,
      speaker: chance.pick(['4R', '2R', '16R']),
      expected: [{ rule: 'speaker-mismatch', subject: 'LS1' }],
      guilty: ['LS1', 'T2'],
    }),
  },
  {
    kind: 'slipped prefix of a resistance',
    make: (unit, chance) => {
      const ref = chance.pick(['R4', 'R7', 'R23']);
      const ohms = resistorAt(unit, ref)?.ohms ?? 0;
      return {
        unit,
        evidence: [`${ref} out of circuit: ${ref}: ${spellOhms(ohms / 1000)}`],
        expected: [{ rule: 'unit-slip', subject: ref }],
        guilty: [ref],
      };
    },
  },
  {
    kind: 'slipped prefix of a current',
    make: (unit) => {
      const [first] = outputsOf(unit);
      if (first === undefined || isShared(unit)) return undefined;
      const milliamperes = rest(unit).cathodeAmperes(first.ref) * 1000;
      return {
        unit,
        evidence: [`${first.ref}: ${show(milliamperes)} A`],
        expected: [{ rule: 'unit-slip', subject: first.ref }],
        guilty: [first.ref],
      };
    },
  },
  {
    kind: 'slipped prefix of a capacitance',
    make: (unit) => ({
      unit,
      evidence: [`C12: ${spellFarads((capacitorAt(unit, 'C12')?.farads ?? 0) / 1000)} (out of circuit)`],
      expected: [{ rule: 'unit-slip', subject: 'C12' }],
      guilty: ['C12'],
    }),
  },
  {
    kind: 'rail read at an anode behind it',
    make: (unit) => ({
      unit,
      miswrite: (point, shown) => (point === 'B+4' ? shown('V1A.a') : undefined),
      expected: [{ rule: 'wrong-point', subject: 'B+4' }],
      guilty: ['B+4'],
    }),
  },
  {
    kind: 'two values of one part',
    make: (unit, chance) => {
      const ref = chance.pick(['R3', 'R6']);
      return {
        unit,
        moreParts: [`${ref} = 2k7 0.5W carbon film`],
        expected: [{ rule: 'two-values', subject: ref }],
        guilty: [ref],
      };
    },
  },
  {
    kind: 'smoothing capacitor of high resistance',
    make: (unit, chance) => {
      const farads = capacitorAt(unit, 'C12')?.farads ?? 0;
      const esr = chance.between(45, 80).toFixed(0);
      return {
        unit,
        evidence: [`C12: ${spellFarads(farads)} ESR ${esr}R (out of circuit)`],
        expected: [{ rule: 'esr-high', subject: 'C12' }],
        guilty: ['C12'],
      };
    },
  },
  {
    kind: 'bad earth bond',
    make: (unit, chance) => ({
      unit,
      evidence: [`earth to chassis: ${chance.between(0.9, 3).toFixed(1)}R`],
      expected: [{ rule: 'earth-high', subject: 'earth' }],
      guilty: ['earth'],
    }),
  },
  {
    kind: 'supply left charged',
    make: (unit, chance) => ({
      unit,
      work: {
        lines: [`plug out, discharged: B+2: ${chance.between(65, 140).toFixed(0)} V`, 'C12 -> resoldered'],
        after: unit,
      },
      expected: [{ rule: 'residual-voltage', subject: 'B+2' }],
      guilty: ['B+2'],
    }),
  },
  {
    kind: 'grid that the meter pulls down',
    make: (unit) => {
      const grid = partsOf(unit, 'resistor').find(({ ref, to }) => ref === 'R9' && to === 'tail')?.from;
      if (grid === undefined) return undefined;
      return {
        unit,
        evidence: [`${grid}: ${show(rest(unit).volts(grid))} V`],
        expected: [{ rule: 'meter-loading', subject: grid }],
        guilty: [grid],
      };
    },
  },
  {
    kind: 'bias capacitor the wrong way round',
    make: (unit) => {
      if (!isFixed(unit)) return undefined;
      return {
        unit,
        moreParts: ['C50 = 47uF 100V electrolytic, bias to gnd, plus at bias'],
        expected: [{ rule: 'electrolytic-reversed', subject: 'C50' }],
        guilty: ['C50'],
      };
    },
  },
  {
    kind: 'open choke',
    make: (unit) => {
      if (partsOf(unit, 'choke').length === 0) return undefined;
      return {
        unit: withPart<Choke>(unit, 'L1', (part) => ({ ...part, ohms: Number.POSITIVE_INFINITY })),
        evidence: ['L1: open'],
        expected: [{ rule: 'coil-open', subject: 'L1' }],
        // Without their screens the output valves are shut, and the supply rises on them.
        guilty: ['L1', ...outputsOf(unit).map(({ ref }) => ref)],
      };
    },
  },
  {
    kind: 'digit too many',
    make: (unit) => ({
      unit,
      miswrite: (point, shown) =>
        point === 'B+2' ? `${shown('B+2').slice(0, 2)}9${shown('B+2').slice(2)}` : undefined,
      expected: [
        { rule: 'impossible-reading', subject: 'B+2' },
        { rule: 'unit-slip', subject: 'B+2' },
      ],
      guilty: ['B+2'],
    }),
  },
];
