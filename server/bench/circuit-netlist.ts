/**
 * Owns the writing down of one phase's fitted parts for direct current: what each part is between its nodes, which parts
 * have no number to go by, and which valves have a model. Capacitors are open but for an insulation that was read.
 */
import { findModel } from '../electronics/models/find-model.ts';
import type { ValveModel } from '../electronics/models/model.ts';
import { type RectifierLaw, SILICON } from '../electronics/solver/rectifier-law.ts';
import { ohms, quantity } from '../units/si.ts';
import { valvesOf } from './derive/bench.ts';
import { assumed } from './derive/figure.ts';
import { endsOf, isRectifier, type Look, rectifierEnds } from './look.ts';
import type { BenchReading, FittedPart, Known, PhaseView } from './model.ts';
import { findMeasured } from './model.ts';
import { compareNames, isSupplyRail } from './points.ts';
import { findOnTransformer, windingNamed } from './windings.ts';

/** What carries direct current between two nodes by a number. */
export interface Conductor {
  readonly name: string;
  readonly ref: string;
  readonly from: string;
  readonly to: string;
  /** As it enters the solution, with what was read, marked or assumed. */
  readonly resistance: Known<'Ohm'>;
  /** A diode conducts one way; its resistance is not used. */
  readonly law?: RectifierLaw;
  /** Not written, but taken to be there; this says so. */
  readonly guess?: string;
}

/** A part without a number. `passive`: no current can start in it, so it does no harm where none can flow. */
export interface Gap {
  readonly ref: string;
  readonly nature: 'passive' | 'active';
  readonly nodes: readonly string[];
}

/** An amplifying valve or section, and the nodes of its electrodes. */
export interface PlacedValve {
  readonly ref: string;
  readonly part: FittedPart;
  readonly anode: string;
  readonly grid: string;
  readonly cathode: string;
  readonly screen?: string;
  /** Absent where its type is not known or has no model. */
  readonly model?: ValveModel;
}

export interface DirectCircuit {
  readonly conductors: readonly Conductor[];
  readonly gaps: readonly Gap[];
  readonly valves: readonly PlacedValve[];
}

/** Anything lower is a wire; kept above nothing, so that two nodes stay two [Ω]. */
const LEAST_OHMS = 0.1;
/** A choke or inductor of which no resistance is said (common practice, no source) [Ω]. */
const CHOKE_OHMS = [100, 200, 400] as const;
/** One half of a push-pull primary, and a whole single-ended one, as a share of its impedance (common practice, no source). */
const HALF_SHARE = [0.01, 0.015, 0.025] as const;
const SINGLE_SHARE = [0.03, 0.05, 0.08] as const;
/** The same where not even the impedance is said [Ω]. */
const PRIMARY_OHMS = [50, 100, 200] as const;
/** A loudspeaker winding or a tank's pick-up: next to nothing beside what else sits there [Ω]. */
const SMALL_COIL = 1;

const TAP = /^\d+(?:\.\d+)?R$/;
/** Diodes that are nothing but rectifiers; a Zener or a light-emitting diode is not. */
const RECTIFIER_DIODE =
  /^(?:1N400\d|1N540\d|1N539\d|UF400\d|UF540\d|BY\d+|BA159|EM5\d+|FR\d+|RL20\d|1N4148|1N914)/i;

export function readDirectCircuit(view: PhaseView, look: Look): DirectCircuit {
  const conductors: Conductor[] = [];
  const gaps: Gap[] = [];
  const add = (
    part: FittedPart,
    suffix: string,
    from: string | undefined,
    to: string | undefined,
    known: Known | undefined,
    law?: RectifierLaw,
  ): void => {
    if (from === undefined || to === undefined || from === to) return;
    if (known === undefined) {
      gaps.push({ ref: part.ref, nature: 'passive', nodes: [from, to] });
      return;
    }
    const name = suffix === '' ? part.ref : `${part.ref}.${suffix}`;
    conductors.push({ name, ref: part.ref, from, to, resistance: asOhms(known), ...(law && { law }) });
  };
  const active = (part: FittedPart): void => {
    gaps.push({ ref: part.ref, nature: 'active', nodes: [...new Set(part.terminals.values())] });
  };

  for (const part of [...view.parts.values()].sort((a, b) => compareNames(a.ref, b.ref))) {
    const [one, two] = [part.terminals.get('1'), part.terminals.get('2')];
    switch (part.class) {
      case 'resistor':
        if (!isOpen(part)) add(part, '', one, two, ohmsInUse(part));
        break;
      case 'inductor':
        if (!isOpen(part)) add(part, '', one, two, windingOhms(part) ?? assumedOhms(part.ref, CHOKE_OHMS));
        break;
      case 'potentiometer':
        addTrack(part, add);
        break;
      case 'capacitor': {
        const leak = part.measured.findLast(({ quantity: of }) => of === 'insulation');
        if (leak !== undefined && leak.special !== 'open') add(part, '', one, two, leak.value);
        break;
      }
      case 'fuse':
        add(part, '', one, two, assumed(1, 'Ohm', `${part.ref} taken as whole`));
        break;
      case 'switch': {
        // A switch in the supply stands closed in play; of another nobody knows.
        const isStandby = endsOf(part)?.every((node) => isSupplyRail(node) || look.rectified.has(node));
        add(part, '', one, two, isStandby ? assumed(1, 'Ohm', `${part.ref} taken as closed`) : undefined);
        break;
      }
      case 'diode':
        addDiode(part, view, add);
        break;
      case 'transformer':
      case 'transformer-or-transistor':
        if (view.roles.get(part.ref)?.role === 'output-transformer') addOutputTransformer(part, view, add);
        else if (part.class !== 'transformer' && part.kinds.length === 0) active(part);
        break;
      case 'tank':
        add(part, 'out', two, 'gnd', assumed(SMALL_COIL, 'Ohm', `${part.ref}: pick-up coil to ground`));
        break;
      case 'lamp':
      case 'relay':
      case 'thermistor':
      case 'other':
        add(part, '', one, two, undefined);
        break;
      case 'transistor':
      case 'integrated-circuit':
      case 'battery':
        active(part);
        break;
      default:
        // Valves follow below; loudspeakers, connectors and test points carry no direct current of the circuit.
        break;
    }
  }
  return { conductors, gaps, valves: placeValves(view, look) };
}

type Add = (
  part: FittedPart,
  suffix: string,
  from: string | undefined,
  to: string | undefined,
  known: Known | undefined,
  law?: RectifierLaw,
) => void;

/** The last measurement beats the mark; `short` is a wire. */
function ohmsInUse(part: FittedPart): Known | undefined {
  const reading = findMeasured(part);
  if (reading === undefined) return part.value;
  return reading.value;
}

function isOpen(part: FittedPart): boolean {
  return lastResistance(part)?.special === 'open';
}

function lastResistance(part: FittedPart): BenchReading | undefined {
  return part.measured.findLast(({ quantity: of }) => of === 'resistance');
}

function windingOhms(part: FittedPart): Known | undefined {
  return lastResistance(part)?.value ?? part.resistance;
}

function asOhms({ quantity: { value }, low, high, basis, source, because }: Known): Known<'Ohm'> {
  return {
    quantity: quantity(Math.max(LEAST_OHMS, value), 'Ohm'),
    ...(low !== undefined && { low }),
    ...(high !== undefined && { high }),
    basis,
    ...(source && { source }),
    ...(because !== undefined && { because }),
  };
}

function assumedOhms(ref: string, [low, middle, high]: readonly [number, number, number]): Known<'Ohm'> {
  return assumed(middle, 'Ohm', `resistance of ${ref} not said: ${low} to ${high} ohms assumed`, [low, high]);
}

/** A pot's two arms: as they were read, else its track divided at the setting that was written, else in the middle. */
function addTrack(part: FittedPart, add: Add): void {
  const [top, wiper, bottom] = ['3', '2', '1'].map((terminal) => part.terminals.get(terminal));
  const arms = part.measured.findLast(({ quantity: of }) => of === 'arms');
  if (arms?.second !== undefined) {
    add(part, 'upper', top, wiper ?? bottom, arms.value);
    if (wiper !== undefined) add(part, 'lower', wiper, bottom, arms.second);
    return;
  }
  const track = ohmsInUse(part);
  if (wiper === undefined) {
    add(part, '', top, bottom, track);
    return;
  }
  const setting = part.measured.findLast(({ quantity: of }) => of === 'setting');
  const turn = Math.min(1, Math.max(0, (setting?.value.quantity.value ?? 5) / 10));
  // A logarithmic track has an eighth of its resistance at half turn.
  const share = part.kinds.some((kind) => kind.includes('log')) && setting !== undefined ? turn ** 3 : turn;
  const said = setting === undefined ? 'wiper taken in the middle' : `wiper at ${turn * 10}`;
  const arm = (of: number): Known | undefined =>
    track && {
      ...track,
      quantity: quantity(track.quantity.value * of, 'Ohm'),
      basis: 'assumed',
      because: said,
    };
  add(part, 'upper', top, wiper, arm(1 - share));
  add(part, 'lower', wiper, bottom, arm(share));
}

/** A diode away from the windings; those on a winding belong to a supply. */
function addDiode(part: FittedPart, view: PhaseView, add: Add): void {
  if (isSupplyRectifier(part, view)) return;
  const [anode, cathode] = [part.terminals.get('a'), part.terminals.get('k')];
  const isPlain =
    RECTIFIER_DIODE.test(part.type?.text ?? '') && part.kinds.every((kind) => !/zener|led/.test(kind));
  add(part, '', anode, cathode, isPlain ? assumed(1, 'Ohm', 'silicon rectifier') : undefined, SILICON);
}

/** `T1` or `T1.2`, where that transformer is no output transformer. */
export function findWindingName(
  node: string | undefined,
  view: PhaseView,
): { readonly transformer: FittedPart; readonly index?: number } | undefined {
  const named = windingNamed(node ?? '');
  const transformer = named === undefined ? undefined : view.parts.get(named.ref);
  if (transformer === undefined || view.roles.get(transformer.ref)?.role === 'output-transformer')
    return undefined;
  return { transformer, ...(named?.index !== undefined && { index: named.index }) };
}

/** Primary halves or the whole primary by what was read, marked or usual; a secondary with something on it is at ground. */
function addOutputTransformer(part: FittedPart, view: PhaseView, add: Add): void {
  const at = (terminal: string): string | undefined => part.terminals.get(terminal);
  const readings = [...view.nominals, ...view.readings, ...part.measured];
  const halves = findOnTransformer(view, part, 'halves');
  const whole = findOnTransformer(view, part, 'resistance')?.value;
  const primary = part.specification?.windings.find(({ side }) => side === 'primary')?.impedance;
  const impedance = primary?.kind === 'value' ? primary.value.quantity.value : undefined;
  const isPushPull = at('ct') !== undefined;
  const byShare = (shares: readonly [number, number, number]): Known<'Ohm'> => {
    if (impedance === undefined) return assumedOhms(part.ref, PRIMARY_OHMS);
    const [low, middle, high] = shares.map((share) => Math.round(share * impedance));
    return assumedOhms(part.ref, [low ?? 0, middle ?? 0, high ?? 0]);
  };
  const across = (one: string | undefined, other: string | undefined): Known | undefined =>
    readings.findLast(
      ({ quantity: of, node, toNode }) =>
        of === 'resistance' &&
        toNode !== undefined &&
        ((node === one && toNode === other) || (node === other && toNode === one)),
    )?.value;
  if (isPushPull) {
    const half = (known: Known | undefined, terminal: string): void =>
      add(
        part,
        terminal,
        at(terminal),
        at('ct'),
        across(at(terminal), at('ct')) ?? known ?? byShare(HALF_SHARE),
      );
    half(halves?.value, 'p1');
    half(halves?.second, 'p2');
  } else {
    add(part, 'p1', at('p1'), at('p2'), across(at('p1'), at('p2')) ?? whole ?? byShare(SINGLE_SHARE));
  }
  for (const [terminal, node] of part.terminals) {
    if (['p1', 'p2', 'ct'].includes(terminal)) continue;
    if (TAP.test(terminal)) {
      add(
        part,
        terminal,
        node,
        'gnd',
        assumed(SMALL_COIL, 'Ohm', `secondary of ${part.ref} taken as grounded`),
      );
    } else add(part, terminal, node, at('ct') ?? at('p2'), undefined);
  }
}

function placeValves(view: PhaseView, look: Look): readonly PlacedValve[] {
  return valvesOf(view, look).map(({ ref, part, a, g, g2, k }) => {
    // Of a twin that nobody divided into sections it is not known which half is meant.
    const isWholeTwin = part.section === undefined && (part.type?.valve?.sections.length ?? 1) > 1;
    const model = isWholeTwin ? undefined : modelOf(part);
    return {
      ref,
      part,
      anode: a,
      grid: g,
      cathode: k,
      ...(model?.kind !== 'triode' && { screen: g2 }),
      ...(model && { model }),
    };
  });
}

function modelOf({ type }: FittedPart): ValveModel | undefined {
  if (type === undefined) return undefined;
  const names = [type.valve?.type, ...(type.valve?.synonyms ?? []), type.text];
  for (const name of names) {
    const model = name === undefined ? undefined : findModel(name);
    if (model?.ok) return model.value;
  }
  return undefined;
}

/**
 * The same valve with its current at every point times `share`: 0.8 is a weak one, 1.2 a strong one; and with its
 * amplification factor times `factor`.
 */
export function scaledModel(model: ValveModel, share: number, factor = 1): ValveModel {
  const { kG1, mu } = model.parameters;
  const scaled = { kG1: kG1 / share, mu: mu * factor };
  if (model.kind === 'triode') return { ...model, parameters: { ...model.parameters, ...scaled } };
  return { ...model, parameters: { ...model.parameters, ...scaled } };
}

/** A conductor in the solver's form. */
export function asElement({ name, from, to, resistance, law }: Conductor) {
  if (law !== undefined) return { kind: 'rectifier', name, anode: from, cathode: to, law } as const;
  return { kind: 'resistor', name, from, to, resistance: ohms(resistance.quantity.value) } as const;
}

/** Whether a part is a rectifier that a winding feeds, and so no part of the circuit behind the supply. */
export function isSupplyRectifier(part: FittedPart, view: PhaseView): boolean {
  if (!isRectifier(part)) return false;
  const { anodes, cathode } = rectifierEnds(part, view.parts);
  return [...anodes, cathode].some((node) => findWindingName(node, view) !== undefined);
}
