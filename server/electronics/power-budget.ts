/** Owns the power that an amplifier takes from the mains. */
import type { Amperes, Ratio, Volts, Watts } from '../units/si.ts';
import { watts } from '../units/si.ts';
import { figure, refuseIfNegative } from './domain.ts';
import type { Result } from './result.ts';
import { refused } from './result.ts';

/**
 * Mains power of an amplifier from what its windings deliver.
 *
 * Formula:   P = (Ph + (Vdc + Vr)·Idc) / (1 − l)
 * Symbols:   Ph heaters, the rectifier's too [W], Vdc direct supply [V], Vr mean drop in the rectifier [V], Idc direct current
 *            [A], l loss of the transformer as a share of what it takes in [1], P mains power [W]
 * Valid for: all ≥ 0, l < 1; 0.10 to 0.15 is usual
 * Errors:    a capacitor-input supply draws current in short peaks: the winding's volt-amperes are well above these watts
 * Source:    definition; the loss is common practice, no source
 * Example:   primaryPower({ heaters: watts(28.4), direct: volts(326), current: amperes(0.082), rectifierDrop: volts(20), transformerLoss: ratio(0.12) }) → 64.51364 W
 */
export function primaryPower(amplifier: {
  readonly heaters: Watts;
  readonly direct: Volts;
  readonly current: Amperes;
  readonly rectifierDrop?: Volts;
  readonly transformerLoss: Ratio;
}): Result<Watts> {
  const { heaters, direct, current, transformerLoss } = amplifier;
  const drop: number = amplifier.rectifierDrop ?? 0;
  const outside = refuseIfNegative({
    'heater power': heaters,
    'direct voltage': direct,
    current,
    'rectifier drop': drop,
    'transformer loss': transformerLoss,
  });
  if (outside) return outside;
  if (transformerLoss >= 1) return refused('transformer loss of all it takes in');
  return figure((heaters + (direct + drop) * current) / (1 - transformerLoss), watts);
}
