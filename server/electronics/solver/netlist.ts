/**
 * Owns the plain description of a circuit that the solver takes: elements with names, between nodes with names. It knows
 * neither sheets nor catalogues; whoever has fitted parts writes them down in this form.
 */

import type { Amperes, Farads, Henries, Hertz, Ohms, Ratio, Siemens, Volts } from '../../units/si.ts';
import { ohms } from '../../units/si.ts';
import type { ValveModel } from '../models/model.ts';
import { found, type Result, refused } from '../result.ts';
import type { RectifierLaw } from './rectifier-law.ts';

export interface Netlist {
  readonly elements: readonly Element[];
  /** The node that all others are measured against. */
  readonly ground?: string;
}

export const GROUND = 'gnd';

export type Element =
  | Resistor
  | Capacitor
  | Inductor
  | VoltageSource
  | CurrentSource
  | Transformer
  | LinearValve
  | ValveElement
  | Rectifier
  | Supply;

/** 0 Ω is a wire: its two nodes become one. */
export interface Resistor {
  readonly kind: 'resistor';
  readonly name: string;
  readonly from: string;
  readonly to: string;
  readonly resistance: Ohms;
}

export interface Capacitor {
  readonly kind: 'capacitor';
  readonly name: string;
  readonly from: string;
  readonly to: string;
  readonly capacitance: Farads;
}

/** A choke with its winding resistance. */
export interface Inductor {
  readonly kind: 'inductor';
  readonly name: string;
  readonly from: string;
  readonly to: string;
  readonly inductance: Henries;
  readonly resistance?: Ohms;
}

/** For signals a source stands still: it is a short, or its own resistance. */
export interface VoltageSource {
  readonly kind: 'voltage-source';
  readonly name: string;
  readonly plus: string;
  readonly minus: string;
  readonly voltage: Volts;
  readonly resistance?: Ohms;
}

/** Takes current out of `from` and drives it into `to`. For signals it is open. */
export interface CurrentSource {
  readonly kind: 'current-source';
  readonly name: string;
  readonly from: string;
  readonly to: string;
  readonly current: Amperes;
}

/** One winding, or one half of a tapped one; `start` ends of all windings move together. */
export interface Winding {
  readonly start: string;
  readonly end: string;
  /** In any common measure: only ratios between windings of one transformer matter. */
  readonly turns: Ratio;
  readonly resistance?: Ohms;
}

/** Ideal but for its windings' resistance and, where given, the magnetising inductance seen at the first winding. */
export interface Transformer {
  readonly kind: 'transformer';
  readonly name: string;
  readonly windings: readonly Winding[];
  readonly magnetising?: Henries;
}

/** A valve about one point of its curves, for signals. */
export interface LinearValve {
  readonly kind: 'linear-valve';
  readonly name: string;
  readonly anode: string;
  readonly grid: string;
  readonly cathode: string;
  readonly transconductance: Siemens;
  readonly anodeResistance: Ohms;
  readonly screen?: LinearScreen;
}

export interface LinearScreen {
  readonly node: string;
  /** ∂Ia/∂Vg2. */
  readonly toAnode: Siemens;
  /** ∂Ig2/∂Vg1. */
  readonly fromGrid: Siemens;
  /** ∂Ig2/∂Vg2. */
  readonly own: Siemens;
}

/** A valve by its curves. A model of a pentode needs `screen`. */
export interface ValveElement {
  readonly kind: 'valve';
  readonly name: string;
  readonly anode: string;
  readonly grid: string;
  readonly cathode: string;
  readonly screen?: string;
  readonly model: ValveModel;
}

/** One rectifying path for direct current. */
export interface Rectifier {
  readonly kind: 'rectifier';
  readonly name: string;
  readonly anode: string;
  readonly cathode: string;
  readonly law: RectifierLaw;
}

export type RectifierConnection = 'full-wave' | 'bridge' | 'half-wave';

/** A winding, its rectifiers and the reservoir, as one source of direct current. A bias supply has `plus` at ground. */
export interface Supply {
  readonly kind: 'supply';
  readonly name: string;
  readonly plus: string;
  readonly minus: string;
  readonly connection: RectifierConnection;
  readonly law: RectifierLaw;
  /** Open-circuit volts r.m.s. of the winding; of one half of it for `full-wave`. */
  readonly winding: Volts;
  /** Of the path that charges the reservoir: winding, primary carried over, added resistors. */
  readonly sourceResistance: Ohms;
  readonly mains: Hertz;
  readonly reservoir: Farads;
}

/** What stands between two nodes: `minus` is ground where it is not given. */
export interface Port {
  readonly plus: string;
  readonly minus?: string;
}

/**
 * The two arms of a potentiometer.
 *
 * Formula:   upper arm = R · (1 − p), lower arm = R · p
 * Symbols:   R track resistance [Ω], p fraction of the track between the lower end and the wiper, 0 to 1 [1]
 * Valid for: R ≥ 0, 0 ≤ p ≤ 1; otherwise refused as "wiper outside its track" or "negative resistance"
 * Errors:    p is the fraction of resistance, not of rotation: a logarithmic track has 0.1 to 0.15 at half turn
 * Source:    definition of a potentiometer
 * Example:   potentiometer('VR1', { top: 'in', wiper: 'out', bottom: 'gnd' }, ohms(1_000_000), 0.25) → [{ resistance: 750000 }, { resistance: 250000 }] Ω
 */
export function potentiometer(
  name: string,
  ends: { readonly top: string; readonly wiper: string; readonly bottom: string },
  track: Ohms,
  position: number,
): Result<readonly [Resistor, Resistor]> {
  if (!(position >= 0 && position <= 1)) return refused(`wiper outside its track: ${name}`);
  if (track < 0) return refused(`negative resistance: ${name}`);
  const arm = (suffix: string, from: string, to: string, resistance: number): Resistor => ({
    kind: 'resistor',
    name: `${name}.${suffix}`,
    from,
    to,
    resistance: ohms(resistance),
  });
  return found([
    arm('upper', ends.top, ends.wiper, track * (1 - position)),
    arm('lower', ends.wiper, ends.bottom, track * position),
  ]);
}

/** Every node an element touches, control electrodes included. */
export function nodesOf(element: Element): readonly string[] {
  switch (element.kind) {
    case 'resistor':
    case 'capacitor':
    case 'inductor':
    case 'current-source':
      return [element.from, element.to];
    case 'voltage-source':
    case 'supply':
      return [element.plus, element.minus];
    case 'rectifier':
      return [element.anode, element.cathode];
    case 'transformer':
      return element.windings.flatMap(({ start, end }) => [start, end]);
    case 'linear-valve': {
      const { anode, grid, cathode, screen } = element;
      return screen === undefined ? [anode, grid, cathode] : [anode, grid, cathode, screen.node];
    }
    case 'valve': {
      const { anode, grid, cathode, screen } = element;
      return screen === undefined ? [anode, grid, cathode] : [anode, grid, cathode, screen];
    }
  }
}

/** Refuses what no circuit can have: a name twice, a negative value, a pentode without a screen. */
export function checkElements(netlist: Netlist): Result<readonly Element[]> {
  const names = new Set<string>();
  for (const element of netlist.elements) {
    if (names.has(element.name)) return refused(`two elements named ${element.name}`);
    names.add(element.name);
    const fault = findFault(element);
    if (fault !== undefined) return refused(`${fault}: ${element.name}`);
  }
  return found(netlist.elements);
}

function findFault(element: Element): string | undefined {
  switch (element.kind) {
    case 'resistor':
      return element.resistance < 0 ? 'negative resistance' : undefined;
    case 'capacitor':
      return element.capacitance < 0 ? 'negative capacitance' : undefined;
    case 'inductor':
      if (element.inductance < 0) return 'negative inductance';
      return (element.resistance ?? 0) < 0 ? 'negative resistance' : undefined;
    case 'voltage-source':
      return (element.resistance ?? 0) < 0 ? 'negative resistance' : undefined;
    case 'current-source':
    case 'rectifier':
      return undefined;
    case 'transformer':
      if (element.windings.length < 2) return 'transformer with fewer than two windings';
      if (element.windings.some(({ turns }) => !(turns > 0))) return 'winding without turns';
      if (element.windings.some(({ resistance }) => (resistance ?? 0) < 0)) return 'negative resistance';
      if (element.magnetising === undefined) return undefined;
      return element.magnetising > 0 ? undefined : 'non-positive inductance';
    case 'linear-valve':
      if (!(element.anodeResistance > 0)) return 'non-positive anode resistance';
      return element.transconductance < 0 ? 'negative transconductance' : undefined;
    case 'valve':
      return element.model.kind === 'pentode' && element.screen === undefined
        ? 'pentode without a screen'
        : undefined;
    case 'supply':
      if (!(element.winding > 0)) return 'non-positive winding voltage';
      if (element.winding > 1e30) return 'out of range';
      if (!(element.reservoir > 0)) return 'non-positive capacitance';
      if (!(element.mains > 0)) return 'non-positive frequency';
      return element.sourceResistance < 0 ? 'negative resistance' : undefined;
  }
}
