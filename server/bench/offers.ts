/**
 * Owns the offers: where exactly one connection is missing for a figure, the likeliest one, worded to be written into the
 * part's line. An offer is never used by itself.
 */

import { endOf } from '../text/span.ts';
import { endsOf } from './look.ts';
import { type ConnectionOffer, type FittedPart, findValueInUse, type PhaseView } from './model.ts';
import { compareNames } from './points.ts';
import { readingsBy } from './read-by-name.ts';

/** Cathode resistors of output valves and of preamplifier stages lie within these. */
const CATHODE_OHMS = { least: 27, most: 10_000 } as const;
/** Cathode current that makes the offer likely, for output valves and for triodes. */
const LIKELY_AMPERES = { output: [0.005, 0.15], triode: [0.0002, 0.02] } as const;

/** Parts that an offer can be made for, in the order of their names. */
export interface LooseParts {
  readonly cathodeResistors: readonly FittedPart[];
  readonly bypasses: readonly FittedPart[];
}

export function looseParts(parts: PhaseView['parts']): LooseParts {
  const loose = [...parts.values()]
    .filter((part) => isLoose(part) && isWritten(part))
    .sort((a, b) => compareNames(a.ref, b.ref));
  return {
    cathodeResistors: loose.filter(isForCathode),
    bypasses: loose.filter(isForBypass),
  };
}

export function findOffers(
  view: Omit<PhaseView, 'figures' | 'offers' | 'unanswered'>,
  { cathodeResistors, bypasses }: LooseParts,
): readonly ConnectionOffer[] {
  return [...cathodeResistorOffers(view, cathodeResistors), ...bypassOffers(view, bypasses)];
}

/** A two-terminal part that nothing says a connection of. */
function isLoose(part: FittedPart): boolean {
  return (
    (part.class === 'resistor' || part.class === 'capacitor') &&
    endsOf(part) === undefined &&
    part.terminals.size === 0
  );
}

function isWritten(part: FittedPart): boolean {
  return part.specification !== undefined && part.value !== undefined;
}

function isForCathode(part: FittedPart): boolean {
  const ohms = findValueInUse(part)?.quantity.value;
  return (
    part.class === 'resistor' && ohms !== undefined && ohms >= CATHODE_OHMS.least && ohms <= CATHODE_OHMS.most
  );
}

/** A cathode was read, nothing is known below it, and one loose resistor fits. */
function cathodeResistorOffers(
  view: Omit<PhaseView, 'figures' | 'offers' | 'unanswered'>,
  resistors: readonly FittedPart[],
): readonly ConnectionOffer[] {
  if (resistors.length === 0) return [];
  const open = openCathodes(view);
  if (open.length === 0) return [];
  const offers: ConnectionOffer[] = [];
  for (const resistor of resistors) {
    const ohms = findValueInUse(resistor)?.quantity.value ?? 0;
    const fitting = open.filter(({ volts, valves, isTriode }) => {
      const amperes = volts / (ohms * valves.length);
      const [least, most] = isTriode ? LIKELY_AMPERES.triode : LIKELY_AMPERES.output;
      return amperes >= least && amperes <= most;
    });
    const [only] = fitting;
    if (only === undefined || fitting.length > 1) continue;
    const rivals = resistors.filter((other) => other !== resistor && fits(other, only));
    if (rivals.length > 0) continue;
    offers.push({
      ref: resistor.ref,
      text: `, ${only.valves.map((ref) => `${ref}.k`).join(' ')} to gnd`,
      because: `${only.valves.join(' and ')} has ${only.volts} V at the cathode, which through ${resistor.ref} makes a usual current`,
      completes: 'cathode-current',
      at: insertBehind(resistor),
    });
  }
  return offers;
}

interface OpenCathode {
  readonly valves: readonly string[];
  readonly volts: number;
  readonly isTriode: boolean;
}

function fits(resistor: FittedPart, { volts, valves, isTriode }: OpenCathode): boolean {
  const amperes = volts / ((findValueInUse(resistor)?.quantity.value ?? 0) * valves.length);
  const [least, most] = isTriode ? LIKELY_AMPERES.triode : LIKELY_AMPERES.output;
  return amperes >= least && amperes <= most;
}

/** Cathodes that were read in the verdict set and have no resistor; output valves that read alike count as one pair. */
function openCathodes(view: Omit<PhaseView, 'figures' | 'offers' | 'unanswered'>): readonly OpenCathode[] {
  const open: OpenCathode[] = [];
  for (const part of [...view.parts.values()].sort((a, b) => compareNames(a.ref, b.ref))) {
    const valve = part.type?.valve;
    if (part.class !== 'valve' || valve === undefined || valve.kind === 'rectifier') continue;
    const node = part.terminals.get('k');
    if (node === undefined || node === 'gnd') continue;
    const hasBelow = view.circuit.attached(node).some(({ ref }) => view.parts.get(ref)?.class === 'resistor');
    if (hasBelow) continue;
    const reading = readingsBy(view, node).findLast(
      (each) =>
        each.node === node &&
        each.quantity === 'voltage' &&
        each.toNode === undefined &&
        each.set.id === view.verdictSet?.id,
    );
    const volts = reading?.value.quantity.value;
    if (volts === undefined || volts <= 0) continue;
    const isTriode = valve.kind === 'triode';
    const twin = isTriode
      ? undefined
      : open.findIndex((each) => !each.isTriode && Math.abs(each.volts - volts) <= 0.01 * volts);
    const known = twin === undefined || twin < 0 ? undefined : open[twin];
    if (twin !== undefined && known !== undefined)
      open[twin] = { ...known, valves: [...known.valves, part.ref] };
    else open.push({ valves: [part.ref], volts, isTriode });
  }
  return open;
}

function isForBypass(part: FittedPart): boolean {
  const farads = part.value?.quantity.value;
  const rated = part.ratings.voltage?.quantity.value;
  return (
    part.class === 'capacitor' &&
    farads !== undefined &&
    farads >= 0.1e-6 &&
    rated !== undefined &&
    rated <= 100
  );
}

/** A loose electrolytic of low voltage where exactly one cathode resistor has no bypass. */
function bypassOffers(
  view: Omit<PhaseView, 'figures' | 'offers' | 'unanswered'>,
  capacitors: readonly FittedPart[],
): readonly ConnectionOffer[] {
  const [capacitor] = capacitors;
  if (capacitor === undefined || capacitors.length > 1) return [];
  const bypassed = new Set<string>();
  const resistors: string[] = [];
  for (const { ref, role, because, serves } of view.roles.values()) {
    if (role === 'cathode-bypass') bypassed.add(because.replace(/^across /, ''));
    if (role === 'cathode-resistor' && serves.length > 0) resistors.push(ref);
  }
  const free = resistors.filter((ref) => !bypassed.has(ref));
  const [resistor] = free;
  if (resistor === undefined || free.length > 1) return [];
  return [
    {
      ref: capacitor.ref,
      text: `, across ${resistor}`,
      because: `${resistor} is the only cathode resistor without a bypass, and ${capacitor.ref} is rated for one`,
      completes: 'shelf-low',
      at: insertBehind(capacitor),
    },
  ];
}

function insertBehind({ specification, source }: FittedPart): ConnectionOffer['at'] {
  return { file: source.file, span: endOf(specification?.span ?? source.span) };
}
