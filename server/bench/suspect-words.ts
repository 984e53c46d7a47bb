/** Owns how a suspect is said: what is taken to be wrong with it, and what would show whether it is. */
import { type Quantity, quantity } from '../units/si.ts';
import { writePercent, writeQuantity } from '../units/write.ts';
import { endsOf } from './look.ts';
import type { FittedPart, PhaseView } from './model.ts';
import type { FaultKind } from './suspect-faults.ts';
import type { Suspect } from './suspects.ts';

/** What the size of a fault is in. */
export function sizeOf({ kind, size }: Pick<Suspect, 'kind' | 'size'>): Quantity | undefined {
  if (size === undefined) return undefined;
  switch (kind) {
    case 'drifted':
    case 'leaking':
      return quantity(size, 'Ohm');
    case 'dried-out':
      return quantity(size, 'F');
    case 'gassy':
      return quantity(size, 'A');
    case 'weak':
    case 'strong':
    case 'bias-lost':
      return quantity(size, '1');
    default:
      return undefined;
  }
}

/** `drifted to about 210 kΩ, marked 100 kΩ`. */
export function sayFault(suspect: Suspect, view: PhaseView): string {
  const part = view.parts.get(suspect.subject);
  const size = sizeOf(suspect);
  const about =
    size === undefined
      ? ''
      : size.unit === '1'
        ? writePercent(size.value, { digits: 2 })
        : writeQuantity(rounded(size));
  const marked = part?.value === undefined ? '' : `, marked ${writeQuantity(part.value.quantity)}`;
  switch (suspect.kind) {
    case 'open':
      return part?.class.startsWith('transformer') ? 'one half of its primary open' : 'open';
    case 'shorted':
      return 'shorted';
    case 'drifted':
      return `drifted to about ${about}${marked}`;
    case 'leaking':
      return `leaking, as through about ${about}`;
    case 'dried-out':
      return `dried out to about ${about}${marked}`;
    case 'dead':
      return 'passing no current: its heater, its emission or a contact of its socket';
    case 'weak':
      return `weak, passing about ${about} of what an average one would`;
    case 'strong':
      return `passing about ${about} of what an average one would`;
    case 'gassy':
      return `gassy, driving about ${about} out of its grid`;
    case 'bias-lost':
      return suspect.size === 0 ? 'gone' : `down to about ${about} of what is wanted`;
    case 'half-dead':
      return 'rectifying with one half only, or fed by one half of the winding only';
    case 'reading':
      return 'misread or written wrongly, everything else fitting';
  }
}

const CHECKS: Readonly<Record<FaultKind, (ref: string, part: FittedPart | undefined) => string>> = {
  open: measured,
  shorted: measured,
  drifted: measured,
  leaking: (ref) => `Lift one end of ${ref} and read the volts behind it again.`,
  'dried-out': (ref) => `Measure ${ref} out of circuit, with its ESR.`,
  dead: (ref) => `See whether ${ref} glows, and try a known good one.`,
  weak: (ref) => `Try a known good one for ${ref}; what moves with the valve is the valve.`,
  strong: (ref) => `Try a known good one for ${ref}, and look at what sets its bias.`,
  gassy: (ref) =>
    `Pull ${ref} and read the grid again: gas goes with the valve, a leaking capacitor’s volts stay.`,
  'bias-lost': (ref) =>
    `Pull the output valves before anything else is done under power, then trace ${ref} from its winding on.`,
  'half-dead': (ref) => `Measure both halves of ${ref} and of its winding, power off and discharged.`,
  reading: (name) =>
    / measured$/.test(name)
      ? `Measure ${name.replace(/ measured$/, '')} again, one end lifted.`
      : / ripple|ripple /.test(name)
        ? 'Read the ripple again.'
        : `Read ${name} again.`,
};

function measured(ref: string, part: FittedPart | undefined): string {
  const isCapacitor = part?.class === 'capacitor';
  const ends = part && endsOf(part);
  const where = ends === undefined ? '' : `, between ${ends[0]} and ${ends[1]}`;
  return `Power off and discharged, lift one end of ${ref}${where} and measure it${isCapacitor ? ' for a short' : ''}.`;
}

/** What would show whether it is so. */
export function sayCheck({ kind, subject, isMeasured }: Suspect, view: PhaseView): string {
  if (isMeasured)
    return `${subject} was measured, and that is what speaks against it: renew it, then read again.`;
  return CHECKS[kind](subject, view.parts.get(subject));
}

/** Two digits: more are not known. */
function rounded({ value, unit }: Quantity): Quantity {
  return quantity(Number(value.toPrecision(2)), unit);
}
