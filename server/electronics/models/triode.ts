/** Owns the law of a triode's anode current and its slopes; the parameters of a particular valve stand in `parameters.ts`. */
import type { Amperes, Ohms, Ratio, Siemens, Volts } from '../../units/si.ts';
import { amperes, ohms, ratio, siemens } from '../../units/si.ts';
import { figure } from '../domain.ts';
import { found, type Result, refused } from '../result.ts';
import { sigmoid, softplus } from './softplus.ts';

/** The five numbers of the triode law; volts and amperes throughout. */
export interface TriodeParameters {
  /** The law's µ: near the valve's amplification factor, but not the local one. */
  readonly mu: number;
  readonly exponent: number;
  readonly kG1: number;
  readonly kP: number;
  /** In V²: the pentode law's number of the same name is in V. */
  readonly kVB: number;
}

/** What the valve does for a small signal about one point. */
export interface Slopes {
  readonly transconductance: Siemens;
  readonly anodeResistance: Ohms;
  readonly amplificationFactor: Ratio;
}

/** Anode current and its partial derivatives, as bare numbers for the solver's inner loop. */
export interface TriodeCurrent {
  anode: number;
  /** ∂Ia/∂Va at constant grid. */
  byAnode: number;
  /** ∂Ia/∂Vg at constant anode. */
  byGrid: number;
}

/**
 * Anode current of a triode.
 *
 * Formula:   E1 = (Va / kP) · ln(1 + exp(kP · (1/µ + Vg / √(kVB + Va²)))), Ia = 2 · E1^x / kG1
 * Symbols:   Va anode to cathode [V], Vg grid to cathode [V], µ, x, kG1, kP, kVB [V²] parameters of the valve, Ia [A]
 * Valid for: grid at or below the cathode (grid current is not part of the law); Va ≤ 0 gives no current
 * Errors:    a few per cent where the set was fitted, a factor of two or worse near cut-off
 * Source:    N. Koren, Glass Audio 8(5), 1996, p. 18, as transcribed
 * Example:   triodeCurrent({ mu: 100, exponent: 1.4, kG1: 1060, kP: 600, kVB: 300 }, volts(250), volts(-2)) → 0.00095180321 A
 */
export function triodeCurrent(parameters: TriodeParameters, anode: Volts, grid: Volts): Result<Amperes> {
  return figure(triodeCurrentAndSlopes(parameters, anode, grid).anode, amperes);
}

/**
 * Transconductance, anode resistance and amplification factor of a triode at a point.
 *
 * Formula:   gm = ∂Ia/∂Vg, 1/ra = ∂Ia/∂Va, µ = gm · ra, by differentiating the law of `triodeCurrent`
 * Symbols:   gm [S], ra [Ω], µ [1] at anode Va [V] and grid Vg [V], both to the cathode
 * Valid for: points where current flows; else refused as "below cut-off"
 * Errors:    the parameter µ of the law is not the local µ: 100 against 92 at the example's point
 * Source:    computed: the derivative of the law of N. Koren, Glass Audio 8(5), 1996, p. 18
 * Example:   triodeSlopes({ mu: 100, exponent: 1.4, kG1: 1060, kP: 600, kVB: 300 }, volts(220.97), volts(-1.6113)) → { transconductance: 0.00187715, anodeResistance: 48995.4, amplificationFactor: 91.9716 }
 */
export function triodeSlopes(parameters: TriodeParameters, anode: Volts, grid: Volts): Result<Slopes> {
  const { byAnode, byGrid } = triodeCurrentAndSlopes(parameters, anode, grid);
  return slopesFrom(byAnode, byGrid);
}

/** Slopes from two partial derivatives, or the refusal where the valve carries nothing. */
export function slopesFrom(byAnode: number, byGrid: number): Result<Slopes> {
  const resistance = 1 / byAnode;
  if (!(byAnode > 0 && byGrid > 0 && Number.isFinite(resistance))) return refused('below cut-off');
  if (!Number.isFinite(byGrid * resistance)) return refused('out of range');
  return found({
    transconductance: siemens(byGrid),
    anodeResistance: ohms(resistance),
    amplificationFactor: ratio(byGrid * resistance),
  });
}

/** The law with its derivatives; total, and never allocates when `into` is given. */
export function triodeCurrentAndSlopes(
  { mu, exponent, kG1, kP, kVB }: TriodeParameters,
  anode: number,
  grid: number,
  into: TriodeCurrent = { anode: 0, byAnode: 0, byGrid: 0 },
): TriodeCurrent {
  if (!(anode > 0)) {
    into.anode = 0;
    into.byAnode = 0;
    into.byGrid = 0;
    return into;
  }
  const root = Math.sqrt(kVB + anode * anode);
  const z = kP * (1 / mu + grid / root);
  const soft = softplus(z);
  const slope = sigmoid(z);
  const e1 = (anode / kP) * soft;
  const current = (2 * e1 ** exponent) / kG1;
  // Deep in cut-off E1 underflows to nothing; then so do the slopes.
  const perE1 = e1 > 0 ? (exponent * current) / e1 : 0;
  into.anode = current;
  into.byAnode = perE1 * (soft / kP - (anode * anode * grid * slope) / (root * root * root));
  into.byGrid = (perE1 * anode * slope) / root;
  return into;
}
