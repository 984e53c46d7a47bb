/**
 * Owns what a reservoir capacitor stands at behind its rectifier: mean volts, ripple, peak and capacitor currents, found by
 * stepping through the mains cycle until it repeats. There is no closed form; √2 times the winding is 5 to 15 % too high.
 */
import {
  type Amperes,
  amperes,
  type Farads,
  type Hertz,
  hertz,
  type Ohms,
  type Ratio,
  ratio,
  type Volts,
  volts,
} from '../../units/si.ts';
import { found, type Result, refused } from '../result.ts';
import type { RectifierConnection } from './netlist.ts';
import type { RectifierLaw } from './rectifier-law.ts';

/** A winding with its rectifiers and the capacitor they charge. */
export interface ReservoirCircuit {
  readonly connection: RectifierConnection;
  readonly law: RectifierLaw;
  /** Open-circuit volts r.m.s.: of one half of the winding for `full-wave`, of the whole winding otherwise. */
  readonly winding: Volts;
  /** In the charging path: half winding, primary carried over, added resistors. */
  readonly sourceResistance: Ohms;
  readonly mains: Hertz;
  readonly reservoir: Farads;
}

export type ReservoirLoad =
  | { readonly kind: 'current'; readonly current: Amperes }
  | { readonly kind: 'resistance'; readonly resistance: Ohms };

export interface ReservoirState {
  readonly mean: Volts;
  readonly peak: Volts;
  readonly trough: Volts;
  readonly ripplePeakToPeak: Volts;
  readonly rippleRms: Volts;
  /** Of the ripple: twice the mains' unless half-wave. */
  readonly rippleFrequency: Hertz;
  /** Share of the time in which some rectifier conducts. */
  readonly conduction: Ratio;
  readonly loadCurrent: Amperes;
  /** Highest current through one rectifier. */
  readonly peakCurrent: Amperes;
  readonly capacitorCurrentRms: Amperes;
  /** In one half of the winding for `full-wave`, in the whole winding otherwise. */
  readonly windingCurrentRms: Amperes;
  /** Highest voltage that one rectifier must hold off. */
  readonly peakInverse: Volts;
}

/** Steps in one charging period; doubling them moves mean volts by less than 1e-5 and ripple by less than 1e-3. */
const STEPS = 400;
const STIFF_STEPS = 4000;
const MOST_PERIODS = 60;
/** Volts, ohms, hertz and farads beyond this are slips of the pen, and would overflow. */
const ABSURD = 1e30;
const CLOSED = 1e-9;

/**
 * Steady state of a reservoir fed by rectifiers.
 *
 * Formula:   C · dVc/dt = Ir − IL, |v| − Vc = n · u + Rs · Ir, Ir = P · u^1.5 (valve) or u = drop (silicon), periodic
 * Symbols:   v = √2 · Vrms · sin(2πft) [V], Vc reservoir [V], Ir charging current [A], IL load [A], u drop of one rectifier [V],
 *            n rectifiers in series (2 in a bridge, else 1), Rs source resistance [Ω], P perveance [A/V^1.5], C [F], f [Hz]
 * Valid for: capacitor input; equal halves; resistive source (no leakage inductance); Rs may be 0 for a valve or silicon.
 *            Refused: values that are not positive, a load that takes the reservoir to nothing, a cycle that does not close
 * Errors:    stepping 1e-4; held against a maker's remembered output voltages within 3 %. A real mains wave is flatter: 1 to 3 % lower
 * Source:    O. H. Schade, Proc. IRE 31(7), 1943, for the problem (from memory, unverified); computed by the trapezoidal rule
 * Example:   settleReservoir({ connection: 'full-wave', law: { kind: 'valve', perveance: 0.00321 }, winding: volts(280), sourceResistance: ohms(140), mains: hertz(50), reservoir: farads(32e-6) }, { kind: 'current', current: amperes(0.082) }) → { mean: 326.3386, ripplePeakToPeak: 16.6527, conduction: 0.3850 }
 */
export function settleReservoir(circuit: ReservoirCircuit, load: ReservoirLoad): Result<ReservoirState> {
  const fault = findFault(circuit, load);
  if (fault !== undefined) return refused(fault);
  if (load.kind === 'current' && load.current === 0) return found(atRest(circuit));
  const stepper = startStepper(circuit, load);

  // The voltage after one period rises with the voltage before it, but by less: one crossing, which Newton's rule finds from
  // the period's own slope and the bracket keeps it honest.
  let low = 0;
  let high = Math.SQRT2 * circuit.winding;
  let start = 0.9 * high;
  for (let period = 0; period < MOST_PERIODS; period++) {
    stepper.run(start);
    const gap = stepper.end - start;
    if (Math.abs(gap) <= CLOSED * high) return describe(circuit, stepper);
    if (gap > 0) low = start;
    else high = start;
    if (high < 1e-3 * circuit.winding) return refused('the load takes the reservoir to nothing');
    const next = start + gap / (1 - stepper.endBySlope);
    start = next > low && next < high ? next : (low + high) / 2;
  }
  return refused('the cycle does not close');
}

/**
 * Direct volts that a supply gives over a range of currents.
 *
 * Formula:   as for `settleReservoir`, once a current
 * Symbols:   as for `settleReservoir`
 * Valid for: as for `settleReservoir`; a current that it refuses refuses the whole
 * Errors:    as for `settleReservoir`
 * Source:    computed
 * Example:   regulation({ connection: 'full-wave', law: { kind: 'valve', perveance: 0.00321 }, winding: volts(280), sourceResistance: ohms(140), mains: hertz(50), reservoir: farads(32e-6) }, [amperes(0.02), amperes(0.1)]) → [366.4, 317.3] V
 */
export function regulation(
  circuit: ReservoirCircuit,
  currents: readonly Amperes[],
): Result<readonly Volts[]> {
  const means: Volts[] = [];
  for (const current of currents) {
    const state = settleReservoir(circuit, { kind: 'current', current });
    if (!state.ok) return state;
    means.push(state.value.mean);
  }
  return found(means);
}

function findFault(circuit: ReservoirCircuit, load: ReservoirLoad): string | undefined {
  if (!(circuit.winding > 0)) return 'non-positive winding voltage';
  if (!(circuit.reservoir > 0)) return 'non-positive capacitance';
  if (!(circuit.mains > 0)) return 'non-positive frequency';
  if (circuit.sourceResistance < 0) return 'negative resistance';
  const isAbsurd =
    circuit.winding > ABSURD ||
    circuit.sourceResistance > ABSURD ||
    circuit.mains > ABSURD ||
    circuit.reservoir > ABSURD ||
    circuit.reservoir * circuit.mains < 1 / ABSURD;
  if (isAbsurd) return 'out of range';
  if (circuit.law.kind === 'valve' && !(circuit.law.perveance > 0)) return 'non-positive perveance';
  if (circuit.law.kind === 'silicon' && circuit.law.drop < 0) return 'negative drop';
  if (load.kind === 'resistance') return load.resistance > 0 ? undefined : 'non-positive load resistance';
  return load.current < 0 ? 'the supply is fed backwards' : undefined;
}

/** Rectifiers that the charging current passes one after another. */
function inSeries({ connection }: ReservoirCircuit): number {
  return connection === 'bridge' ? 2 : 1;
}

/** Volts that must be overcome before any current flows. */
function threshold(circuit: ReservoirCircuit): number {
  return circuit.law.kind === 'silicon' ? inSeries(circuit) * circuit.law.drop : 0;
}

/** Without a load the reservoir stands at the peak and nothing flows. */
function atRest(circuit: ReservoirCircuit): ReservoirState {
  const peak = Math.SQRT2 * circuit.winding;
  const level = volts(Math.max(0, peak - threshold(circuit)));
  return {
    mean: level,
    peak: level,
    trough: level,
    ripplePeakToPeak: volts(0),
    rippleRms: volts(0),
    rippleFrequency: rippleFrequency(circuit),
    conduction: ratio(0),
    loadCurrent: amperes(0),
    peakCurrent: amperes(0),
    capacitorCurrentRms: amperes(0),
    windingCurrentRms: amperes(0),
    peakInverse: volts(circuit.connection === 'bridge' ? peak : peak + level),
  };
}

function rippleFrequency({ connection, mains }: ReservoirCircuit): Hertz {
  return hertz(connection === 'half-wave' ? mains : 2 * mains);
}

type Stepper = ReturnType<typeof startStepper>;

/**
 * One charging period by the trapezoidal rule. At each step charging current and drop
 * are solved together: with the capacitor's answer put in, n·u + (Rs + h/2C)·P·u^1.5 stands against a known voltage.
 */
function startStepper(circuit: ReservoirCircuit, load: ReservoirLoad) {
  const peak = Math.SQRT2 * circuit.winding;
  const period = 1 / rippleFrequency(circuit);
  // A capacitor that follows the wave within a step would make the trapezoidal rule ring: there the plain implicit rule
  // takes over, with finer steps for its lower order.
  const isStiff =
    circuit.law.kind === 'silicon' && circuit.sourceResistance * circuit.reservoir < (4 * period) / STEPS;
  const steps = isStiff ? STIFF_STEPS : STEPS;
  const h = period / steps;
  const series = inSeries(circuit);
  const { law } = circuit;
  const perveance = law.kind === 'valve' ? law.perveance : 0;
  const drop = threshold(circuit);
  const constant = load.kind === 'current' ? load.current : 0;
  const conductance = load.kind === 'resistance' ? 1 / load.resistance : 0;
  // What the currents at the end and at the start of a step count for, in volts an ampere.
  const late = (isStiff ? h : h / 2) / circuit.reservoir;
  const early = (isStiff ? 0 : h / 2) / circuit.reservoir;
  const grow = 1 / (1 + late * conductance);
  const shrink = 1 - early * conductance;
  const resistance = circuit.sourceResistance + late * grow;
  const halfWave = circuit.connection === 'half-wave';
  const wave = Float64Array.from({ length: steps + 1 }, (_, i) => {
    const value = peak * Math.sin(((halfWave ? 2 : 1) * Math.PI * i) / steps);
    return halfWave ? value : Math.abs(value);
  });
  const voltage = new Float64Array(steps + 1);
  const charging = new Float64Array(steps + 1);
  let root = 0;

  /** Charging current at which drops and resistance make up `excess` volts. */
  const currentAt = (excess: number, against: number): number => {
    if (!(excess > drop)) return 0;
    if (law.kind === 'silicon') return (excess - drop) / against;
    // Newton in w = √u on n·w² + R·P·w³ = excess: convex, so that after one step it comes down from above; no root lies
    // beyond the drop of a rectifier with no resistance behind it.
    const cubic = against * perveance;
    const most = Math.sqrt(excess / series);
    let w = root > 0 ? Math.min(root, most) : most;
    for (let i = 0; i < 30; i++) {
      const change = (w * w * (series + cubic * w) - excess) / (w * (2 * series + 3 * cubic * w));
      w = Math.min(w - change, most);
      if (Math.abs(change) < 1e-12 * w) break;
    }
    root = w;
    return perveance * w * w * w;
  };

  /** How much the charging current falls for a volt more on the reservoir. */
  const slopeAt = (current: number, against: number): number => {
    if (current <= 0) return 0;
    if (law.kind === 'silicon') return against > 0 ? 1 / against : 0;
    const w = Math.cbrt(current / perveance);
    return 1 / ((2 * series) / (3 * perveance * w) + against);
  };

  const run = (start: number): void => {
    root = 0;
    let v = start;
    let i = isStiff ? 0 : currentAt((wave[0] ?? 0) - v, circuit.sourceResistance);
    let slope = 1;
    voltage[0] = v;
    charging[0] = i;
    for (let n = 1; n <= steps; n++) {
      const before = slopeAt(i, circuit.sourceResistance);
      const known = grow * (shrink * v + early * i - (early + late) * constant);
      i = currentAt((wave[n] ?? 0) - known, resistance);
      v = known + grow * late * i;
      const knownSlope = grow * (shrink - early * before);
      slope *= knownSlope * (1 - grow * late * slopeAt(i, resistance));
      voltage[n] = v;
      charging[n] = i;
    }
    stepper.end = v;
    stepper.endBySlope = Math.max(0, Math.min(slope, 0.999_999));
  };

  const stepper = { run, steps, voltage, charging, wave, constant, conductance, end: 0, endBySlope: 0 };
  return stepper;
}

function describe(circuit: ReservoirCircuit, stepper: Stepper): Result<ReservoirState> {
  const { steps, voltage, charging, wave, constant, conductance } = stepper;
  let sum = 0;
  let peak = Number.NEGATIVE_INFINITY;
  let trough = Number.POSITIVE_INFINITY;
  let chargingSquares = 0;
  let capacitorSquares = 0;
  let peakCurrent = 0;
  let conducting = 0;
  let inverse = 0;
  for (let n = 1; n <= steps; n++) {
    const v = voltage[n] ?? 0;
    const i = charging[n] ?? 0;
    const net = i - constant - conductance * v;
    sum += v;
    peak = Math.max(peak, v);
    trough = Math.min(trough, v);
    chargingSquares += i * i;
    capacitorSquares += net * net;
    peakCurrent = Math.max(peakCurrent, i);
    if (i > 0) conducting++;
    // In a bridge each rectifier holds off the winding; otherwise the winding's other swing adds to the reservoir.
    const swing = wave[n] ?? 0;
    if (circuit.connection === 'bridge') inverse = Math.max(inverse, swing);
    else inverse = Math.max(inverse, circuit.connection === 'half-wave' ? v - swing : v + swing);
  }
  const mean = sum / steps;
  let rippleSquares = 0;
  for (let n = 1; n <= steps; n++) rippleSquares += ((voltage[n] ?? 0) - mean) ** 2;
  const numbers = [
    mean,
    peak,
    trough,
    peakCurrent,
    chargingSquares,
    capacitorSquares,
    rippleSquares,
    inverse,
  ];
  if (!numbers.every(Number.isFinite)) return refused('out of range');
  if (!(mean > 0)) return refused('the load takes the reservoir to nothing');
  // One half of a centre-tapped winding works in every other charging period.
  const windingShare = circuit.connection === 'full-wave' ? 2 : 1;
  return found({
    mean: volts(mean),
    peak: volts(peak),
    trough: volts(trough),
    ripplePeakToPeak: volts(peak - trough),
    rippleRms: volts(Math.sqrt(rippleSquares / steps)),
    rippleFrequency: rippleFrequency(circuit),
    conduction: ratio(conducting / steps),
    loadCurrent: amperes(constant + conductance * mean),
    peakCurrent: amperes(peakCurrent),
    capacitorCurrentRms: amperes(Math.sqrt(capacitorSquares / steps)),
    windingCurrentRms: amperes(Math.sqrt(chargingSquares / steps / windingShare)),
    peakInverse: volts(inverse),
  });
}
