/**
 * Owns the law of a pentode's or beam tetrode's anode current, its slopes, and the screen current that goes with it.
 * The published formula for the screen current is not used for results: it is wrong by a factor of two at the makers' own
 * points (EL34: 6.7 mA against 14.9 mA). The screen takes its share of the typical point instead.
 */
import { type Amperes, amperes, type Volts } from '../../units/si.ts';
import { figure } from '../domain.ts';
import type { Result } from '../result.ts';
import { sigmoid, softplus } from './softplus.ts';
import { type Slopes, slopesFrom } from './triode.ts';

/** The numbers of the pentode law; volts and amperes throughout. */
export interface PentodeParameters {
  /** The law's µ: near the factor from control grid to screen. */
  readonly mu: number;
  readonly exponent: number;
  readonly kG1: number;
  /** Of the published screen-current formula; absent in sets fitted here, which do not use it. */
  readonly kG2?: number;
  readonly kP: number;
  /** In V: the triode law's number of the same name is in V². */
  readonly kVB: number;
}

/** Below a microvolt the law divides by nothing; the screen then draws no current [V]. */
const LEAST_SCREEN = 1e-6;

/** How soon the screen counts in full against a grid above the cathode: from about four times the grid's volts. */
const FADE = 8;

/** How the screen shares the cathode current at the typical point. */
export interface ScreenShare {
  /** Ig2 / Ia there. */
  readonly toAnodeCurrent: number;
  /** The anode voltage of that point. */
  readonly anode: Volts;
}

/** Currents and partial derivatives, as bare numbers for the solver's inner loop. */
export interface PentodeCurrent {
  anode: number;
  byAnode: number;
  byGrid: number;
  byScreen: number;
  screen: number;
  screenByGrid: number;
  screenByScreen: number;
}

/**
 * Anode current of a pentode or beam tetrode.
 *
 * Formula:   E1 = (Vg2 / kP) · ln(1 + exp(kP · (1/µ + Vg1 / Vg2))), Ia = (2 · E1^x / kG1) · atan(Va / kVB)
 * Symbols:   Va anode, Vg2 screen, Vg1 control grid, all to the cathode [V]; µ, x, kG1, kP, kVB [V] parameters; Ia [A]
 * Valid for: grid at or below the cathode; Va ≤ 0 or Vg2 ≤ 0 gives no current. A grid above both is led to no current smoothly
 * Errors:    about ±15 % in the middle of the curves, a factor of two near cut-off; the knee of a beam tetrode comes out too round
 * Source:    N. Koren, Glass Audio 8(5), 1996, p. 18, as transcribed
 * Example:   pentodeCurrent({ mu: 11, exponent: 1.35, kG1: 650, kP: 60, kVB: 24 }, volts(250), volts(250), volts(-13.5)) → 0.0969617 A
 */
export function pentodeCurrent(
  parameters: PentodeParameters,
  anode: Volts,
  screen: Volts,
  grid: Volts,
): Result<Amperes> {
  return figure(pentodeCurrentAndSlopes(parameters, undefined, anode, screen, grid).anode, amperes);
}

/**
 * Screen current as the share that the screen has at the valve's typical point.
 *
 * Formula:   Ig2 = s · Ia(Va0, Vg2, Vg1)
 * Symbols:   s = Ig2/Ia at the published typical point [1], Va0 its anode voltage [V], Ia the anode current's law [A]
 * Valid for: no signal, anode above the knee
 * Errors:    an estimate; below the knee and at full drive the true screen current is 3 to 5 times as high
 * Source:    the ratio is the typical point's of the valve's data sheet; that it holds elsewhere is common practice, no source
 * Example:   screenCurrent({ mu: 11, exponent: 1.35, kG1: 650, kP: 60, kVB: 24 }, { toAnodeCurrent: 0.149, anode: volts(250) }, volts(250), volts(-13.5)) → 0.0144473 A
 */
export function screenCurrent(
  parameters: PentodeParameters,
  share: ScreenShare,
  screen: Volts,
  grid: Volts,
): Result<Amperes> {
  return figure(pentodeCurrentAndSlopes(parameters, share, share.anode, screen, grid).screen, amperes);
}

/**
 * Screen current by the formula published with the anode current's; kept to compare, not to be relied on.
 *
 * Formula:   Ig2 = (Vg1 + Vg2/µ)^1.5 / kG2 where that is positive, else 0
 * Symbols:   Vg1 control grid, Vg2 screen, both to the cathode [V]; µ, kG2 parameters; Ig2 [A]
 * Valid for: orders of magnitude; it does not know the anode voltage
 * Errors:    misses published points by a factor of two
 * Source:    N. Koren, Glass Audio 8(5), 1996, p. 18, as transcribed
 * Example:   publishedScreenCurrent({ mu: 11, exponent: 1.35, kG1: 650, kG2: 4200, kP: 60, kVB: 24 }, volts(250), volts(-13.5)) → 0.00667361 A
 */
export function publishedScreenCurrent(
  parameters: PentodeParameters & { readonly kG2: number },
  screen: Volts,
  grid: Volts,
): Result<Amperes> {
  const drive = grid + screen / parameters.mu;
  return figure(drive > 0 ? drive ** 1.5 / parameters.kG2 : 0, amperes);
}

/**
 * Transconductance, anode resistance and amplification factor of a pentode at a point.
 *
 * Formula:   gm = ∂Ia/∂Vg1, 1/ra = ∂Ia/∂Va, µ = gm · ra, by differentiating the law of `pentodeCurrent`
 * Symbols:   gm [S], ra [Ω], µ [1] at anode Va, screen Vg2 and grid Vg1 [V], all to the cathode
 * Valid for: points where current flows; else refused as "below cut-off"
 * Errors:    ra is the law's weakest number: up to a factor of three
 * Source:    computed: the derivative of the law of N. Koren, Glass Audio 8(5), 1996, p. 18
 * Example:   pentodeSlopes({ mu: 11, exponent: 1.35, kG1: 650, kP: 60, kVB: 24 }, volts(250), volts(250), volts(-13.5)) → { transconductance: 0.0122176, anodeResistance: 39982.6, amplificationFactor: 488.491 }
 */
export function pentodeSlopes(
  parameters: PentodeParameters,
  anode: Volts,
  screen: Volts,
  grid: Volts,
): Result<Slopes> {
  const { byAnode, byGrid } = pentodeCurrentAndSlopes(parameters, undefined, anode, screen, grid);
  return slopesFrom(byAnode, byGrid);
}

/** The law with its derivatives; total, and never allocates when `into` is given. Without a share the screen takes nothing. */
export function pentodeCurrentAndSlopes(
  { mu, exponent, kG1, kP, kVB }: PentodeParameters,
  share: ScreenShare | undefined,
  anode: number,
  screen: number,
  grid: number,
  into: PentodeCurrent = blank(),
): PentodeCurrent {
  if (!(screen > LEAST_SCREEN)) return Object.assign(into, blank());
  const z = kP * (1 / mu + grid / screen);
  const soft = softplus(z);
  const slope = sigmoid(z);
  const e1 = (screen / kP) * soft;
  // A grid above the cathode with the screen below the grid would leave a current that jumps to nothing with the screen's
  // last volt: there it is led to nothing smoothly. Elsewhere `left` is nothing, to the last digit.
  const left = grid > 0 ? Math.exp((-FADE * screen) / grid) : 0;
  const whole = (2 * e1 ** exponent) / kG1;
  const space = whole * (1 - left);
  const perE1 = e1 > 0 ? (exponent * space) / e1 : 0;
  const fading = left > 0 ? (whole * left * FADE) / grid : 0;
  const spaceByGrid = perE1 * slope - (left > 0 ? (fading * screen) / grid : 0);
  const spaceByScreen = perE1 * (soft / kP - (grid * slope) / screen) + fading;
  const knee = anode > 0 ? Math.atan(anode / kVB) : 0;
  into.anode = space * knee;
  into.byAnode = anode > 0 ? (space * kVB) / (kVB * kVB + anode * anode) : 0;
  into.byGrid = spaceByGrid * knee;
  into.byScreen = spaceByScreen * knee;
  const part = share === undefined ? 0 : share.toAnodeCurrent * Math.atan(share.anode / kVB);
  into.screen = space * part;
  into.screenByGrid = spaceByGrid * part;
  into.screenByScreen = spaceByScreen * part;
  return into;
}

function blank(): PentodeCurrent {
  return { anode: 0, byAnode: 0, byGrid: 0, byScreen: 0, screen: 0, screenByGrid: 0, screenByScreen: 0 };
}
