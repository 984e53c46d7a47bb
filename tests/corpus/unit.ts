/**
 * Owns one amplifier as it stands on the bench: what each part is marked, what it truly is, and how the circuit then rests.
 * It goes from true values straight to the solver and never through a sheet, so that sheets can be held against it.
 */
import { findModel } from '../../server/electronics/models/find-model.ts';
import type { ValveModel } from '../../server/electronics/models/model.ts';
import { findRectifier } from '../../server/electronics/models/rectifiers.ts';
import type { Result } from '../../server/electronics/result.ts';
import { type AmplifierPoint, settleAmplifier } from '../../server/electronics/solver/amplifier.ts';
import { assembleDirect } from '../../server/electronics/solver/direct-system.ts';
import type { Element, RectifierConnection } from '../../server/electronics/solver/netlist.ts';
import { settle } from '../../server/electronics/solver/operating-point.ts';
import { SILICON } from '../../server/electronics/solver/rectifier-law.ts';
import { amperes, farads, hertz, ohms, volts } from '../../server/units/si.ts';

export interface Resistor {
  readonly kind: 'resistor';
  readonly ref: string;
  readonly marked: number;
  /** What it truly is; Infinity is open. */
  readonly ohms: number;
  readonly watts: number;
  readonly style: string;
  readonly from: string;
  readonly to: string;
}

export interface Capacitor {
  readonly kind: 'capacitor';
  readonly ref: string;
  readonly marked: number;
  readonly farads: number;
  readonly rating: number;
  readonly style: string;
  readonly from: string;
  readonly to: string;
  /** Insulation, where it leaks. */
  readonly leak?: number;
}

export interface Choke {
  readonly kind: 'choke';
  readonly ref: string;
  readonly henries: number;
  readonly marked: number;
  readonly ohms: number;
  readonly from: string;
  readonly to: string;
}

export interface Pot {
  readonly kind: 'pot';
  readonly ref: string;
  readonly marked: string;
  readonly ohms: number;
  readonly top: string;
  readonly wiper: string;
}

export interface Valve {
  readonly kind: 'valve';
  readonly ref: string;
  readonly type: string;
  /** Its current over an average one's; 0 is a dead one. */
  readonly share: number;
  readonly a: string;
  readonly g: string;
  readonly k: string;
  readonly g2?: string;
  /** Driven out of the grid by gas [A]. */
  readonly gas?: number;
}

export interface OutputTransformer {
  readonly ref: string;
  readonly primary: string;
  readonly watts: number;
  readonly anodes: readonly [string] | readonly [string, string];
  readonly feed: string;
  /** True resistance of the primary, or of each half. */
  readonly ohms: readonly [number] | readonly [number, number];
}

export interface Supply {
  /** Marked volts of one half, or of the whole winding in a bridge. */
  readonly winding: number;
  readonly tapped: boolean;
  readonly milliamperes: number;
  readonly rectifier: string;
  readonly rectifierRefs: readonly string[];
  /** How it truly rectifies; a half that is open leaves half-wave. */
  readonly connection: RectifierConnection;
  /** True no-load volts over marked, less 1, and true source resistance. */
  readonly rise: number;
  readonly sourceOhms: number;
  readonly otherWindings: string;
}

export type Part = Resistor | Capacitor | Choke | Pot | Valve;

export interface Unit {
  readonly title: string;
  readonly mains: { readonly nominal: number; readonly hertz: number; readonly now: number };
  readonly supply: Supply;
  readonly parts: readonly Part[];
  readonly output: OutputTransformer;
  /** What the bias supply gives, in fixed bias. */
  readonly bias?: number;
  readonly fuse: string;
  /** Marked rating of the 6.3 V winding, where it is not simply ample [A]. */
  readonly heaterAmperes?: number;
  /** Nodes that the technician reads beside the electrodes. */
  readonly nodes: readonly string[];
}

export function partsOf<K extends Part['kind']>(
  unit: Unit,
  kind: K,
): readonly Extract<Part, { readonly kind: K }>[] {
  return unit.parts.filter((part): part is Extract<Part, { readonly kind: K }> => part.kind === kind);
}

/** The unit with one part changed. */
export function withPart<P extends Part>(unit: Unit, ref: string, change: (part: P) => P): Unit {
  if (!unit.parts.some((part) => part.ref === ref)) throw new Error(`${unit.title} has no ${ref}`);
  return { ...unit, parts: unit.parts.map((part) => (part.ref === ref ? change(part as P) : part)) };
}

/** What a digital meter puts across what it reads [Ω]. */
const METER_OHMS = 10e6;
/** What an open part or an insulator passes [Ω]. */
const OPEN = 1e12;

export interface Rest {
  /** Direct volts as the meter's own load leaves them. */
  readonly volts: (node: string) => number;
  readonly point: AmplifierPoint;
  readonly ripplePeakToPeak: number;
  readonly rippleHertz: number;
  /** Anode and screen watts of a valve. */
  readonly watts: (ref: string) => { readonly anode: number; readonly screen: number };
  readonly cathodeAmperes: (ref: string) => number;
}

export function rest(unit: Unit): Rest {
  const elements = elementsOf(unit);
  const point = need(settleAmplifier({ elements }), unit.title);
  const supply = point.supplies.get('HT');
  if (supply === undefined) throw new Error(`${unit.title}: no supply`);
  const { reservoir, outputResistance } = supply;
  // For the meter's small load the supply is what it is at this current: volts behind its own slope.
  const direct = elements.map(
    (element): Element =>
      element.kind === 'supply'
        ? {
            kind: 'voltage-source',
            name: 'HT',
            plus: element.plus,
            minus: 'gnd',
            voltage: volts(reservoir.mean + outputResistance * reservoir.loadCurrent),
            resistance: outputResistance,
          }
        : element,
  );
  const known = new Map<string, number>();
  const stiff = new Set<string>(unit.output.anodes);
  const read = (node: string): number => {
    if (node === 'gnd') return 0;
    const unloaded = point.nodes.get(node);
    if (unloaded === undefined) throw new Error(`${unit.title}: nothing at ${node}`);
    // Rails, cathodes and what hangs on a transformer do not feel a meter.
    if (/^B\+|\.k$/.test(node) || stiff.has(node)) return unloaded;
    const system = need(
      assembleDirect({
        elements: [
          ...direct,
          { kind: 'resistor', name: 'meter', from: node, to: 'gnd', resistance: ohms(METER_OHMS) },
        ],
      }),
      node,
    );
    const start = new Float64Array(system.order);
    for (const [name, at] of system.voltageOf) {
      if (at !== undefined && at >= 0) start[at] = point.nodes.get(name) ?? 0;
    }
    const settled = need(settle(system, start), node);
    return settled.x[system.voltageOf.get(node) ?? -1] ?? 0;
  };
  const valveAt = (ref: string) => {
    const valve = point.valves.get(ref);
    if (valve === undefined) throw new Error(`${unit.title}: no valve ${ref}`);
    return valve;
  };
  return {
    point,
    volts: (node) => {
      const value = known.get(node) ?? read(node);
      known.set(node, value);
      return value;
    },
    ripplePeakToPeak: reservoir.ripplePeakToPeak,
    rippleHertz: reservoir.rippleFrequency,
    watts: (ref) => {
      const { anodeDissipation, screenDissipation } = valveAt(ref);
      return { anode: anodeDissipation, screen: screenDissipation };
    },
    cathodeAmperes: (ref) => valveAt(ref).cathodeCurrent,
  };
}

function need<T>(result: Result<T>, what: string): T {
  if (!result.ok) throw new Error(`${what}: ${result.reason}`);
  return result.value;
}

function elementsOf(unit: Unit): readonly Element[] {
  const resistor = (name: string, from: string, to: string, value: number): Element => ({
    kind: 'resistor',
    name,
    from,
    to,
    resistance: ohms(Math.min(value, OPEN)),
  });
  const elements: Element[] = [];
  for (const part of unit.parts) {
    switch (part.kind) {
      case 'resistor':
      case 'choke':
        elements.push(resistor(part.ref, part.from, part.to, part.ohms));
        break;
      case 'capacitor':
        if (part.leak !== undefined) elements.push(resistor(part.ref, part.from, part.to, part.leak));
        break;
      case 'pot':
        elements.push(resistor(`${part.ref}.upper`, part.top, part.wiper, part.ohms * 0.7));
        elements.push(resistor(`${part.ref}.lower`, part.wiper, 'gnd', part.ohms * 0.3));
        break;
      case 'valve':
        elements.push(...valveElements(part));
        break;
    }
  }
  const { ref, anodes, feed, ohms: copper } = unit.output;
  for (const [i, anode] of anodes.entries())
    elements.push(resistor(`${ref}.${i + 1}`, anode, feed, copper[i] ?? 0));
  if (unit.bias !== undefined) {
    elements.push({
      kind: 'voltage-source',
      name: 'bias',
      plus: 'bias',
      minus: 'gnd',
      voltage: volts(unit.bias),
    });
  }
  elements.push(supplyElement(unit));
  return elements;
}

function valveElements({ ref, type, share, a, g, k, g2, gas }: Valve): readonly Element[] {
  const gasFlow: readonly Element[] =
    gas === undefined
      ? []
      : [{ kind: 'current-source', name: `${ref}.gas`, from: 'gnd', to: g, current: amperes(gas) }];
  const model = scaled(need(findModel(type), ref), Math.max(share, 1e-6));
  return [
    ...gasFlow,
    {
      kind: 'valve',
      name: ref,
      anode: a,
      grid: g,
      cathode: k,
      model,
      ...(g2 === undefined ? {} : { screen: g2 }),
    },
  ];
}

function scaled(model: ValveModel, share: number): ValveModel {
  return model.kind === 'triode'
    ? { ...model, parameters: { ...model.parameters, kG1: model.parameters.kG1 / share } }
    : { ...model, parameters: { ...model.parameters, kG1: model.parameters.kG1 / share } };
}

function supplyElement({ supply, mains, parts, title }: Unit): Element {
  const reservoir = parts
    .filter((part): part is Capacitor => part.kind === 'capacitor' && part.from === 'B+1')
    .reduce((sum, part) => sum + part.farads, 0);
  if (!(reservoir > 0)) throw new Error(`${title}: no reservoir`);
  return {
    kind: 'supply',
    name: 'HT',
    plus: 'B+1',
    minus: 'gnd',
    connection: supply.connection,
    law: supply.rectifier.startsWith('1N')
      ? SILICON
      : need(findRectifier(supply.rectifier), supply.rectifier).law,
    winding: volts((supply.winding * (1 + supply.rise) * mains.now) / mains.nominal),
    sourceResistance: ohms(supply.sourceOhms),
    mains: hertz(mains.hertz),
    reservoir: farads(reservoir),
  };
}
