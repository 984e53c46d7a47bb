/** Owns the operating point of a valve that biases itself through its cathode resistor. */
import type { Amperes, Ohms, Volts } from '../units/si.ts';
import { amperes, volts } from '../units/si.ts';
import { figures, refuseIfNegative, refuseUnlessPositive } from './domain.ts';
import type { Result } from './result.ts';
import { refused } from './result.ts';

/** What a valve draws at given voltages. `cathode` is there for a law that needs the screen's voltage to the cathode. */
export type ValveLaw = (at: {
  readonly anodeCathode: number;
  readonly gridCathode: number;
  readonly cathode: number;
}) => { readonly anode: number; readonly screen: number };

/** Voltages to chassis are `anode` and `cathode`; the others are to the cathode. */
export interface SelfBiasPoint {
  readonly anodeCurrent: Amperes;
  readonly cathodeCurrent: Amperes;
  readonly cathode: Volts;
  readonly anode: Volts;
  readonly anodeCathode: Volts;
}

/** Halvings of the interval: enough to use up the digits of a number. */
const HALVINGS = 60;

/**
 * Operating point of a self-biased valve, its grid at 0 V, for any law of anode and screen current.
 *
 * Formula:   Ia = f(Vb − Ia·Ra − Ik·Rk, −Ik·Rk); Ik = Ia + Ig2
 * Symbols:   Vb supply [V], Ra anode load [Ω], Rk cathode resistor [Ω], f the valve's law; anodeCurrent Ia and
 *            cathodeCurrent Ik [A], cathode = Ik·Rk and anode = Vb − Ia·Ra to chassis [V], anodeCathode between them [V]
 * Valid for: Vb > 0, Ra ≥ 0, Rk > 0; a law that rises with the anode's voltage and falls as the grid goes negative. Both
 *            currents are found by halving an interval, so that no slope is needed
 * Errors:    the cathode of a pentode carries the screen current too. The point is as good as the law: bogey valves
 *            differ by 20 % and more, and the cathode resistor hides most of that
 * Source:    Kirchhoff's laws; Radiotron Designer's Handbook, 4th ed., chapter 12 (voltage amplifiers); form from memory
 * Example:   selfBias({ supply: volts(300), anodeLoad: ohms(100_000), cathodeResistor: ohms(1500), law: ({ anodeCathode, gridCathode }) => ({ anode: Math.max(0, anodeCathode + 100 * gridCathode) / 80_000, screen: 0 }) }) → anodeCurrent 0.0009049774 A, cathodeCurrent 0.0009049774 A, cathode 1.357466 V, anode 209.5023 V, anodeCathode 208.1448 V
 */
export function selfBias(stage: {
  readonly supply: Volts;
  readonly anodeLoad: Ohms;
  readonly cathodeResistor: Ohms;
  readonly law: ValveLaw;
}): Result<SelfBiasPoint> {
  const { supply, anodeLoad, cathodeResistor, law } = stage;
  const outside =
    refuseUnlessPositive({ supply, 'cathode resistance': cathodeResistor }) ??
    refuseIfNegative({ 'anode load': anodeLoad });
  if (outside) return outside;

  // A law that fails gives no number, and comparing with that is false: it would pass for a valve that draws nothing.
  let hasFailed = false;
  const drawn = (cathode: number, anodeCurrent: number) => {
    const anodeCathode = Math.max(0, supply - anodeCurrent * anodeLoad - cathode);
    const currents = law({ anodeCathode, gridCathode: -cathode, cathode });
    if (!Number.isFinite(currents.anode + currents.screen)) hasFailed = true;
    return currents;
  };
  // For a given cathode voltage the anode current settles where load line and law meet.
  const anodeCurrentAt = (cathode: number): number => {
    if (anodeLoad === 0) return drawn(cathode, 0).anode;
    return halve(0, (supply - cathode) / anodeLoad, (current) => drawn(cathode, current).anode > current);
  };
  const cathodeCurrentAt = (cathode: number): number => {
    const anode = anodeCurrentAt(cathode);
    return anode + drawn(cathode, anode).screen;
  };
  const cathode = halve(0, supply, (voltage) => cathodeCurrentAt(voltage) * cathodeResistor > voltage);
  const anodeCurrent = anodeCurrentAt(cathode);
  const anode = supply - anodeCurrent * anodeLoad;
  if (hasFailed) return refused('the valve law gives no number');
  return figures<SelfBiasPoint>(
    {
      anodeCurrent,
      cathodeCurrent: cathode / cathodeResistor,
      cathode,
      anode,
      anodeCathode: anode - cathode,
    },
    { anodeCurrent: amperes, cathodeCurrent: amperes, cathode: volts, anode: volts, anodeCathode: volts },
  );
}

/** The place in an interval up to which a condition holds. */
function halve(from: number, to: number, isBelow: (value: number) => boolean): number {
  let low = from;
  let high = to;
  for (let step = 0; step < HALVINGS; step += 1) {
    const middle = (low + high) / 2;
    if (isBelow(middle)) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}
