/**
 * Owns the figures of signal stages that follow from fitted parts and the catalogue alone: coupling corners, the shelf of
 * a cathode bypass, gain and output impedance.
 */
import { anodeOutputImpedance } from '../../electronics/anode-output-impedance.ts';
import { cathodeBypassShelf } from '../../electronics/cathode-bypass-shelf.ts';
import { cathodeFollower } from '../../electronics/cathode-follower.ts';
import { pentodeCathodeImpedance, triodeCathodeImpedance } from '../../electronics/cathode-impedance.ts';
import { couplingCorner } from '../../electronics/coupling-corner.ts';
import { pentodeGain } from '../../electronics/pentode-gain.ts';
import { found, type Result } from '../../electronics/result.ts';
import { triodeGain } from '../../electronics/triode-gain.ts';
import { farads, ohms, quantity, ratio, siemens } from '../../units/si.ts';
import { endsOf } from '../look.ts';
import { type FigureInput, type FittedPart, findValueInUse } from '../model.ts';
import { type Ledger, type PhaseBench, roleOf, type ValveAt } from './bench.ts';
import { as, assumed, calculate, input, type Moment } from './figure.ts';
import { addGain } from './gain.ts';
import { resistanceOf } from './resistors.ts';
import { constantsOf, findStage, inParallel, loadAt, type Stage } from './stage.ts';

export interface StageBench extends PhaseBench {
  readonly moment: Moment;
  readonly ledger: Ledger;
}

export function stageFigures(bench: StageBench): void {
  for (const part of bench.parts) {
    if (part.class !== 'capacitor') continue;
    const role = roleOf(bench, part.ref);
    if (role === 'coupling' || role === 'grid-return') cornerOf(bench, part);
    else if (role === 'cathode-bypass') shelfOf(bench, part);
  }
  for (const valve of bench.valves) gainOf(bench, valve);
}

/** Capacitance for arithmetic: read, else marked. */
export function capacitanceOf(part: FittedPart): FigureInput | undefined {
  const known = findValueInUse(part);
  if (known === undefined || known.quantity.unit !== 'F' || !(known.quantity.value > 0)) return undefined;
  return input('C', part.ref, known);
}

/** Symbols for several resistances side by side: `Rg` or `Rg1 ∥ Rg2`. */
function sideBySide(
  symbol: string,
  inputs: readonly FigureInput[],
): { inputs: readonly FigureInput[]; text: string } {
  if (inputs.length === 1) return { inputs: inputs.map((each) => as(symbol, each)), text: symbol };
  const named = inputs.map((each, i) => as(`${symbol}${i + 1}`, each));
  return { inputs: named, text: named.map((each) => each.symbol).join(' ∥ ') };
}

/** What drives a coupling capacitor, as an impedance with its formula. */
interface Drive {
  readonly inputs: readonly FigureInput[];
  readonly text: string;
  readonly by: (...values: readonly number[]) => Result<number>;
  readonly remark?: string;
}

function cornerOf(bench: StageBench, part: FittedPart): void {
  const ends = endsOf(part);
  const capacitance = capacitanceOf(part);
  if (ends === undefined || capacitance === undefined) return;
  const isDriver = (node: string): boolean =>
    bench.look.at(node, 'a').length > 0 || bench.look.at(node, 'k').length > 0;
  // Between two places that no valve drives, the one with a grid is the one that is driven.
  const isHearing = (node: string): boolean => bench.look.at(node, 'g').length > 0;
  const drives = (one: string, other: string): boolean =>
    isDriver(one) === isDriver(other) ? isHearing(other) && !isHearing(one) : isDriver(one);
  const [source, driven] = drives(ends[1], ends[0]) ? [ends[1], ends[0]] : ends;
  const load = loadAt(bench, driven);
  if (load.inputs.length === 0) return;
  const rg = sideBySide('Rg', load.inputs);
  const drive =
    roleOf(bench, part.ref) === 'grid-return' ? stillDrive(bench, source) : driveAt(bench, source);
  const loads = rg.inputs.length;
  bench.ledger.add(
    calculate(bench.moment, {
      subject: part.ref,
      figure: 'corner',
      unit: 'Hz',
      formula: `1 / (2π · C · (${drive.text} + ${rg.inputs.length > 1 ? `(${rg.text})` : rg.text}))`,
      inputs: [capacitance, ...rg.inputs, ...drive.inputs],
      by: (c = 0, ...rest) => {
        const impedance = drive.by(...rest.slice(loads));
        if (!impedance.ok) return impedance;
        const total = inParallel(...rest.slice(0, loads));
        return couplingCorner({ capacitance: farads(c), source: ohms(impedance.value), load: ohms(total) });
      },
      source: part.source,
      remark: [load.remark, drive.remark].filter((each) => each !== undefined).join('; '),
      assumed: load.remark !== undefined,
    }),
  );
}

/** What holds a grid still stands on the resistances from there to ground. */
function stillDrive(bench: StageBench, node: string): Drive {
  if (node === 'gnd') return groundDrive();
  const still = loadAt(bench, node);
  if (still.inputs.length === 0) return driveAt(bench, node);
  const { inputs, text } = sideBySide('Rs', still.inputs);
  return {
    inputs,
    text: inputs.length > 1 ? `(${text})` : text,
    by: (...values) => found(inParallel(...values)),
  };
}

function groundDrive(): Drive {
  const none = input('Rs', 'gnd', { quantity: quantity(0, 'Ohm'), basis: 'fitted', because: 'ground' });
  return { inputs: [none], text: 'Rs', by: (rs = 0) => found(rs) };
}

function driveAt(bench: StageBench, node: string): Drive {
  const byAnode = bench.valves.find((valve) => valve.a === node);
  const stage = byAnode && findStage(bench, byAnode);
  if (stage !== undefined) return anodeDrive(stage);
  const follower = bench.valves.find((valve) => valve.k === node && valve.onCathode.length === 1);
  const byCathode = follower && cathodeDrive(bench, follower);
  if (byCathode !== undefined) return byCathode;
  const none = input('Rs', 'source', assumed(0, 'Ohm', 'what drives it is not known, taken as 0 Ω'));
  return {
    inputs: [none],
    text: 'Rs',
    by: (rs = 0) => found(rs),
    remark: 'source taken as 0 Ω: the true corner is lower',
  };
}

function anodeDrive({ anodeLoad, constants, unbypassed }: Stage): Drive {
  const { anodeResistance: ra, amplification: mu } = constants;
  if (ra === undefined || mu === undefined) {
    // The anode resistance may be anything: what drives it lies between nothing and the load itself.
    const load = anodeLoad.known.quantity.value;
    const span = input(
      'Rs',
      'source',
      assumed(load / 2, 'Ohm', `source taken as 0 Ω to ${anodeLoad.name}`, [0, load]),
    );
    return { inputs: [span], text: 'Rs', by: (rs = 0) => found(rs) };
  }
  const cathode = unbypassed === undefined ? [] : [unbypassed];
  return {
    inputs: [anodeLoad, ra, ...(unbypassed ? [mu, unbypassed] : [])],
    text: unbypassed ? '(Ra ∥ (ra + (µ + 1) · Rk))' : '(Ra ∥ ra)',
    by: (load = 0, resistance = 0, amplification = mu.known.quantity.value, rk = 0) =>
      anodeOutputImpedance({
        anodeLoad: ohms(load),
        anodeResistance: ohms(resistance),
        amplificationFactor: ratio(amplification),
        ...(cathode.length > 0 && { unbypassedCathode: ohms(rk) }),
      }),
  };
}

function cathodeDrive(bench: StageBench, valve: ValveAt): Drive | undefined {
  const constants = valve.valve && constantsOf(valve.valve);
  const resistor = bench.look.partsAt(valve.k).find((part) => roleOf(bench, part.ref) === 'cathode-resistor');
  const rk = resistor && resistanceOf(resistor);
  const ra = constants?.anodeResistance;
  const mu = constants?.amplification;
  if (rk === undefined || ra === undefined || mu === undefined) return undefined;
  return {
    inputs: [as('Rk', rk), ra, mu],
    text: '(Rk ∥ ra / (µ + 1))',
    by: (cathode = 0, resistance = 0, amplification = 0) => {
      const follower = cathodeFollower({
        amplificationFactor: ratio(amplification),
        anodeResistance: ohms(resistance),
        cathodeLoad: ohms(cathode),
      });
      return follower.ok ? found(follower.value.outputImpedance) : follower;
    },
  };
}

/**
 * How the valves on one cathode are driven: alone and `same` for one, `same` where their grids are one, `opposite` where
 * they stand at the two ends of an output transformer or are a long-tail pair; else nothing tells.
 */
function phaseOf(bench: StageBench, refs: readonly string[]): 'same' | 'opposite' | undefined {
  const valves = bench.valves.filter(({ ref }) => refs.includes(ref));
  const [one, two] = valves;
  if (one === undefined || valves.length !== refs.length) return undefined;
  if (valves.every(({ g }) => g === one.g)) return 'same';
  if (two === undefined || valves.length !== 2) return undefined;
  const isPair = valves.every(({ ref }) => bench.view.roles.get(ref)?.network?.name === 'long-tail-pair');
  const isPushPull = bench.outputTransformers.some(({ terminals }) => {
    const ends = [terminals.get('p1'), terminals.get('p2')];
    return (
      terminals.get('ct') !== undefined && one.a !== two.a && ends.includes(one.a) && ends.includes(two.a)
    );
  });
  return isPair || isPushPull ? 'opposite' : undefined;
}

/** The shelf of a cathode bypass. On a shared cathode it goes by how the valves are driven. */
function shelfOf(bench: StageBench, part: FittedPart): void {
  const role = bench.view.roles.get(part.ref);
  const [ref] = role?.serves ?? [];
  const valve = bench.valves.find((each) => each.ref === ref);
  const capacitance = capacitanceOf(part);
  if (valve === undefined || capacitance === undefined || role === undefined) return;
  const phase = phaseOf(bench, role.serves);
  if (phase === undefined) return;
  const resistor = bench.look.partsAt(valve.k).find((each) => roleOf(bench, each.ref) === 'cathode-resistor');
  const rk = resistor && resistanceOf(resistor);
  if (rk !== undefined && phase === 'opposite') {
    bench.ledger.add(
      calculate(bench.moment, {
        subject: part.ref,
        figure: 'step-db',
        unit: 'dB',
        formula: '0, in opposite phase',
        inputs: [capacitance, as('Rk', rk)],
        by: () => found(0),
        remark: `${role.serves.join(' and ')} work in opposite phase: while both conduct alike, their cathodes do not move`,
        source: part.source,
      }),
    );
    return;
  }
  const impedance = cathodeImpedance(bench, valve);
  if (rk === undefined || impedance === undefined) return;
  const sections = role.serves.length;
  const times = sections > 1 ? `${sections} · ` : '';
  const shelf = (pick: 'zero' | 'pole' | 'step') => (c: number, r: number, rest: readonly number[]) => {
    const looking = impedance.by(...rest);
    if (!looking.ok) return looking;
    const answer = cathodeBypassShelf({
      cathodeResistor: ohms(r),
      bypass: farads(c),
      cathodeImpedance: ohms(looking.value),
      sectionsInPhase: sections,
    });
    return answer.ok ? found<number>(answer.value[pick]) : answer;
  };
  const { ledger, moment } = bench;
  const base = { subject: part.ref, source: part.source } as const;
  const all = [capacitance, as('Rk', rk), ...impedance.inputs];
  ledger.add(
    calculate(moment, {
      ...base,
      figure: 'shelf-low',
      unit: 'Hz',
      formula: '1 / (2π · Rk · C)',
      inputs: [capacitance, as('Rk', rk)],
      by: (c = 0, r = 0) =>
        shelf('zero')(
          c,
          r,
          impedance.inputs.map(({ known }) => known.quantity.value),
        ),
    }),
  );
  ledger.add(
    calculate(moment, {
      ...base,
      figure: 'shelf-high',
      unit: 'Hz',
      formula:
        sections > 1
          ? `1 / (2π · (Rk ∥ ${impedance.text} / ${sections}) · C)`
          : `1 / (2π · (Rk ∥ ${impedance.text}) · C)`,
      inputs: all,
      by: (c = 0, r = 0, ...rest) => shelf('pole')(c, r, rest),
    }),
  );
  ledger.add(
    calculate(moment, {
      ...base,
      figure: 'step-db',
      unit: 'dB',
      formula: `20 · log10(1 + ${times}Rk / ${impedance.text})`,
      inputs: all,
      by: (c = 0, r = 0, ...rest) => shelf('step')(c, r, rest),
    }),
  );
}

/** Impedance looking into a cathode. */
function cathodeImpedance(bench: StageBench, valve: ValveAt): Drive | undefined {
  if (valve.valve === undefined) return undefined;
  const constants = constantsOf(valve.valve);
  if (valve.kind !== 'triode') {
    const gm = constants.transconductance;
    if (gm === undefined) return undefined;
    return {
      inputs: [gm],
      text: `(1 / (gm · ${(1 + constants.screenToAnode).toPrecision(4)}))`,
      by: (s = 0) =>
        pentodeCathodeImpedance({
          transconductance: siemens(s),
          screenToAnode: ratio(constants.screenToAnode),
        }),
    };
  }
  const { anodeResistance: ra, amplification: mu } = constants;
  const stage = findStage(bench, valve);
  if (ra === undefined || mu === undefined || stage === undefined) return undefined;
  const loads = sideBySide('Rg', stage.following.inputs);
  const following = loads.inputs.length > 0;
  return {
    inputs: [ra, mu, stage.anodeLoad, ...loads.inputs],
    text: `((ra + ${following ? `(Ra ∥ ${loads.text})` : 'Ra'}) / (µ + 1))`,
    by: (resistance = 0, amplification = 0, ...rest) =>
      triodeCathodeImpedance({
        anodeResistance: ohms(resistance),
        amplificationFactor: ratio(amplification),
        load: ohms(inParallel(...rest)),
      }),
  };
}

/** Mid-band gain and output impedance of a stage with an anode load resistor. */
function gainOf(bench: StageBench, valve: ValveAt): void {
  const stage = findStage(bench, valve);
  if (stage === undefined || valve.onCathode.length > 1) return;
  const { ledger, moment } = bench;
  const { anodeLoad, constants, following, unbypassed } = stage;
  const { anodeResistance: ra, amplification: mu, transconductance: gm } = constants;
  const loads = sideBySide('Rg', following.inputs);
  const rl = loads.inputs.length > 0 ? `(Ra ∥ ${loads.text})` : 'Ra';
  if (ra === undefined) return;
  const isPentode = valve.kind !== 'triode';
  if (isPentode && gm === undefined) return;
  const extra = isPentode ? gm : mu;
  if (extra === undefined) return;
  const cathode = !isPentode && unbypassed ? [unbypassed] : [];
  // Without the screen's and cathode's decoupling a pentode's gain is another sum, which is not made here.
  if (isPentode && unbypassed !== undefined) return;
  addGain(bench, valve, {
    formula: isPentode
      ? `gm · (${rl} ∥ ra)`
      : `µ · ${rl} / (ra + ${rl}${cathode.length > 0 ? ' + (µ + 1) · Rk' : ''})`,
    inputs: [extra, ra, ...cathode, anodeLoad, ...loads.inputs],
    by: (constant = 0, resistance = 0, ...rest) => {
      const rk = cathode.length > 0 ? (rest[0] ?? 0) : 0;
      const load = inParallel(...rest.slice(cathode.length));
      return isPentode
        ? pentodeGain({
            transconductance: siemens(constant),
            load: ohms(load),
            anodeResistance: ohms(resistance),
          })
        : triodeGain({
            amplificationFactor: ratio(constant),
            anodeResistance: ohms(resistance),
            load: ohms(load),
            unbypassedCathode: ohms(rk),
          });
    },
  });
  const drive = anodeDrive(stage);
  ledger.add(
    calculate(moment, {
      subject: valve.ref,
      figure: 'output-impedance',
      unit: 'Ohm',
      formula: drive.text,
      inputs: drive.inputs,
      by: drive.by,
      source: valve.part.source,
    }),
  );
}
