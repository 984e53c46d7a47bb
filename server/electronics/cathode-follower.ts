/** Owns the gain and the output impedance of a cathode follower. */
import type { Ohms, Ratio } from '../units/si.ts';
import { ohms, ratio } from '../units/si.ts';
import { figures, refuseUnlessPositive } from './domain.ts';
import type { Result } from './result.ts';

export interface CathodeFollower {
  readonly gain: Ratio;
  readonly outputImpedance: Ohms;
}

/**
 * Gain and output impedance of a cathode follower whose anode stands at the supply.
 *
 * Formula:   gain = µ·R / (ra + (µ + 1)·R); outputImpedance = R ∥ ra/(µ + 1)
 * Symbols:   µ amplification factor [1], ra anode resistance of the valve [Ω], R cathode resistor in parallel with what
 *            follows [Ω], gain [1], outputImpedance [Ω]
 * Valid for: small signal, no resistance in the anode; µ > 0, ra > 0, R > 0
 * Errors:    coupled directly, its grid stands at the anode before it: compare the cathode's voltage with the valve's
 *            heater-cathode limit, and think of the grid at full supply while the valve is cold
 * Source:    Radiotron Designer's Handbook, 4th ed., chapter 12 (voltage amplifiers); form from memory
 * Example:   cathodeFollower({ amplificationFactor: ratio(100), anodeResistance: ohms(62_500), cathodeLoad: ohms(100_000) }) → gain 0.9840 1, outputImpedance 615.0062 Ω
 */
export function cathodeFollower(stage: {
  readonly amplificationFactor: Ratio;
  readonly anodeResistance: Ohms;
  readonly cathodeLoad: Ohms;
}): Result<CathodeFollower> {
  const { amplificationFactor: mu, anodeResistance, cathodeLoad } = stage;
  const outside = refuseUnlessPositive({
    'amplification factor': mu,
    'anode resistance': anodeResistance,
    load: cathodeLoad,
  });
  if (outside) return outside;
  return figures<CathodeFollower>(
    {
      gain: (mu * cathodeLoad) / (anodeResistance + (mu + 1) * cathodeLoad),
      outputImpedance: 1 / (1 / cathodeLoad + (mu + 1) / anodeResistance),
    },
    { gain: ratio, outputImpedance: ohms },
  );
}
