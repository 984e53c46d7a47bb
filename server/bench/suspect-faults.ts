/** Owns the single faults that are tried: of every part, valve and reading that the circuit of a phase has. */
import { amperes } from '../units/si.ts';
import { endsOf } from './look.ts';
import type { FittedPart, PhaseView } from './model.ts';
import { compareNames, isBiasNode, isSupplyRail } from './points.ts';
import type { Departure, TrialCircuit } from './trial-circuit.ts';

export type FaultKind =
  | 'open'
  | 'shorted'
  | 'drifted'
  | 'leaking'
  | 'dried-out'
  | 'dead'
  | 'weak'
  | 'strong'
  | 'gassy'
  | 'bias-lost'
  | 'half-dead'
  | 'reading';

/** One fault at one size. */
export interface Fault {
  readonly kind: FaultKind;
  readonly subject: string;
  /** The size of the fault: ohms, a share of an average valve, amperes of gas; none where there is only one. */
  readonly size?: number;
  readonly departure: Departure;
  /** What a meter on the part itself shows, over its marking, as a natural logarithm. */
  readonly ofValue?: number;
}

/** A kind of fault of one part, at sizes between which the best is looked for. */
export interface Family {
  readonly kind: FaultKind;
  readonly subject: string;
  /** In order; one where the fault has no size. */
  readonly sizes: readonly number[];
  readonly at: (size: number) => Fault;
}

/** An open part, and one that is a wire [Ω]. */
const OPEN = 1e12;
const SHORT = 0.2;
const DRIFTS = [0.3, 0.5, 0.7, 1.4, 2, 3, 5, 10];
const LEAKS = [1e5, 3e5, 1e6, 3e6, 1e7, 3e7, 1e8, 3e8];
const SHARES = { weak: [0.2, 0.35, 0.5, 0.65], strong: [1.6, 2.2, 3] };
const GASES = [3e-7, 1e-6, 3e-6, 1e-5, 3e-5];
const DRIED = [0.003, 0.01, 0.025, 0.05, 0.1, 0.2, 0.35, 0.5, 0.7];
const LOST_BIAS = [0, 0.03, 0.1, 0.2, 0.4];
/** What the meter itself puts where an open part leaves an electrode, or what lies behind it, loose [Ω]. */
const METER_OHMS = 10e6;

export function familiesOf(circuit: TrialCircuit): readonly Family[] {
  const { view, pieces, nodes } = circuit;
  const healthy = circuit.solve({});
  const height = (node: string): number => Math.abs(healthy?.volts(node) ?? 0);
  const families: Family[] = [];
  const conductors = new Set<string>();
  const electrodes = new Set(
    pieces.flatMap(({ valves }) =>
      valves.flatMap(({ anode, cathode, screen }) => [anode, cathode, screen ?? anode]),
    ),
  );
  for (const { conductors: own } of pieces)
    for (const { name, ref, from, to, resistance, guess, law } of own) {
      const part = view.parts.get(ref);
      if (conductors.has(name) || guess !== undefined || law !== undefined || part === undefined) continue;
      conductors.add(name);
      const free = [from, to].filter((node) => nodes.has(node)).sort((a, b) => height(a) - height(b));
      const loose = free.find((node) => electrodes.has(node)) ?? free[0];
      families.push(...conductorFaults(part, name, resistance.quantity.value, loose));
    }
  for (const part of view.parts.values()) {
    if (part.class !== 'capacitor') continue;
    families.push(...capacitorFaults(part, view, (node) => nodes.has(node) || circuit.held.has(node)));
  }
  for (const { valves } of pieces)
    for (const { ref, grid } of valves) families.push(...valveFaults(ref, grid));
  families.push(...biasFaults(circuit), ...rectifierFaults(view));
  return families.sort((a, b) => compareNames(a.subject, b.subject));
}

/** Far over its marking, or far under it, a part is no longer that part [ln]. */
const FAR = Math.log(1e3);

/**
 * A part that was measured and that no circuit here runs through, as one over a switch: it is what it measures, and nothing
 * else shows it.
 */
export function measuredFamilies(part: FittedPart, overMarking: number): readonly Family[] {
  const marked = part.value?.quantity.value;
  const kind = overMarking > FAR ? 'open' : overMarking < -FAR ? 'shorted' : 'drifted';
  if (kind === 'drifted' && (part.class !== 'resistor' || marked === undefined)) return [];
  const size = kind === 'drifted' ? { size: (marked ?? 0) * Math.exp(overMarking) } : {};
  const fault: Fault = { kind, subject: part.ref, ...size, departure: {}, ofValue: overMarking };
  return [{ kind, subject: part.ref, sizes: [1], at: () => fault }];
}

function conductorFaults(
  part: FittedPart,
  name: string,
  marked: number,
  loose: string | undefined,
): readonly Family[] {
  const set = (value: number): Departure => ({
    ohms: new Map([[name, value]]),
    ...(value === OPEN && loose !== undefined && { leak: { from: loose, to: 'gnd', ohms: METER_OHMS } }),
  });
  const only = (kind: FaultKind, value: number): Family => ({
    kind,
    subject: part.ref,
    sizes: [value],
    at: () => ({ kind, subject: part.ref, departure: set(value), ofValue: Math.log(value / marked) }),
  });
  const open = only('open', OPEN);
  switch (part.class) {
    case 'resistor':
      return [
        open,
        only('shorted', SHORT),
        {
          kind: 'drifted',
          subject: part.ref,
          sizes: DRIFTS.map((times) => times * marked),
          at: (size) => ({
            kind: 'drifted',
            subject: part.ref,
            size,
            departure: set(size),
            ofValue: Math.log(size / marked),
          }),
        },
      ];
    case 'inductor':
      return [open];
    case 'transformer':
    case 'transformer-or-transistor':
      return /\.p\d$/.test(name) ? [open] : [];
    case 'potentiometer':
      return [open];
    default:
      return [];
  }
}

/** Leaking and shorted where both ends are in the circuit; dried out where ripple or a meter may tell. */
function capacitorFaults(
  part: FittedPart,
  { roles }: PhaseView,
  isIn: (node: string) => boolean,
): readonly Family[] {
  const ends = endsOf(part);
  if (ends === undefined) return [];
  const [from, to] = ends;
  const families: Family[] = [];
  const { ref } = part;
  const role = roles.get(ref)?.role;
  const leak = (size: number): Departure => ({ leak: { from, to, ohms: size } });
  const isSolved = [from, to].every((node) => node === 'gnd' || isIn(node));
  const isSupply = [from, to].some(isSupplyRail);
  if (isSolved) {
    if (!isSupply)
      families.push({
        kind: 'leaking',
        subject: ref,
        sizes: role === 'cathode-bypass' ? [100, 300, 1000, 3000, 1e4] : LEAKS,
        at: (size) => ({ kind: 'leaking', subject: ref, size, departure: leak(size) }),
      });
    families.push({
      kind: 'shorted',
      subject: ref,
      sizes: [2],
      at: () => ({ kind: 'shorted', subject: ref, departure: leak(2) }),
    });
  }
  if (part.value !== undefined)
    families.push({
      kind: 'dried-out',
      subject: ref,
      sizes: DRIED,
      at: (size) => ({
        kind: 'dried-out',
        subject: ref,
        size: size * (part.value?.quantity.value ?? 0),
        departure: {},
        ofValue: Math.log(size),
      }),
    });
  return families;
}

function valveFaults(ref: string, grid: string): readonly Family[] {
  const share =
    (kind: FaultKind) =>
    (size: number): Fault => ({
      kind,
      subject: ref,
      size,
      departure: { shares: new Map([[ref, size]]) },
    });
  return [
    {
      kind: 'dead',
      subject: ref,
      sizes: [1],
      at: () => ({ kind: 'dead', subject: ref, departure: { shares: new Map([[ref, 1e-6]]) } }),
    },
    { kind: 'weak', subject: ref, sizes: SHARES.weak, at: share('weak') },
    { kind: 'strong', subject: ref, sizes: SHARES.strong, at: share('strong') },
    ...(grid === 'gnd'
      ? []
      : [
          {
            kind: 'gassy',
            subject: ref,
            sizes: GASES,
            at: (size: number): Fault => ({
              kind: 'gassy',
              subject: ref,
              size,
              departure: { gas: { grid, current: amperes(size) } },
            }),
          } satisfies Family,
        ]),
  ];
}

/** A bias that was read is what it is; as a fault it is told against what the circuit would want in its stead. */
function biasFaults({ held }: TrialCircuit): readonly Family[] {
  return [...held.keys()].filter(isBiasNode).map((node) => ({
    kind: 'bias-lost',
    subject: node,
    sizes: LOST_BIAS,
    at: (size) => ({ kind: 'bias-lost', subject: node, size, departure: {} }),
  }));
}

/** One half that gives nothing shows only in the ripple. */
function rectifierFaults({ roles, parts }: PhaseView): readonly Family[] {
  const wholes = new Set(
    [...roles.values()].flatMap(({ ref, role }) =>
      role === 'rectifier' ? (parts.get(ref)?.whole ?? []) : [],
    ),
  );
  return [...wholes].map((ref) => ({
    kind: 'half-dead',
    subject: ref,
    sizes: [1],
    at: () => ({ kind: 'half-dead', subject: ref, departure: {} }),
  }));
}
