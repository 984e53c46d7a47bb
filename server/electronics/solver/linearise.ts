/** Owns the step from a circuit at rest to the circuit for small signals about that rest. */
import { type Ohms, ohms, siemens, volts } from '../../units/si.ts';
import { pentodeCurrentAndSlopes } from '../models/pentode.ts';
import { triodeCurrentAndSlopes } from '../models/triode.ts';
import { found, type Result, refused } from '../result.ts';
import type { AmplifierPoint } from './amplifier.ts';
import type { Element, LinearValve, Netlist, Rectifier, Supply, ValveElement } from './netlist.ts';
import type { OperatingPoint } from './operating-point.ts';

/** What stands for no conduction at all: the insulation of a cut-off valve. */
const INSULATION: Ohms = ohms(1e12);

/**
 * The circuit for small signals about an operating point.
 *
 * Formula:   valve → gm, ra (and the screen's slopes) at its point; rectifier → its slope; supply → reservoir ∥ output resistance
 * Symbols:   gm ∂Ia/∂Vg1 [S], ra ∂Va/∂Ia [Ω]; output resistance −∂V/∂I of the supply [Ω]
 * Valid for: signals small against the bias; refused where the point does not know a node of a valve, by its name
 * Errors:    those of the models' slopes: gain about ±10 %, anode resistance of pentodes up to a factor of three
 * Source:    first-order expansion; computed
 * Example:   linearise({ elements: [] }, { nodes: new Map(), branches: new Map(), valves: new Map(), undetermined: [], route: 'newton', iterations: 0 }) → { elements: [] }
 */
export function linearise(netlist: Netlist, point: OperatingPoint | AmplifierPoint): Result<Netlist> {
  const elements: Element[] = [];
  for (const element of netlist.elements) {
    if (element.kind === 'valve') {
      const valve = lineariseValve(element, point);
      if (!valve.ok) return valve;
      elements.push(valve.value);
    } else if (element.kind === 'rectifier') elements.push(lineariseRectifier(element, point));
    else if (element.kind === 'supply') elements.push(...lineariseSupply(element, point));
    else elements.push(element);
  }
  return found({ ...netlist, elements });
}

function lineariseValve(element: ValveElement, point: OperatingPoint): Result<LinearValve> {
  const { name, anode, grid, cathode, screen, model } = element;
  const unknown = [anode, grid, cathode, screen].find((node) => node !== undefined && !point.nodes.has(node));
  if (unknown !== undefined) return refused(`nothing is known of ${unknown}`);
  const between = (a: string, b: string): number => (point.nodes.get(a) ?? 0) - (point.nodes.get(b) ?? 0);
  const [va, vg] = [between(anode, cathode), between(grid, cathode)];
  const common = { kind: 'linear-valve', name, anode, grid, cathode } as const;
  const toResistance = (slope: number): Ohms => (slope > 1 / INSULATION ? ohms(1 / slope) : INSULATION);
  if (model.kind === 'triode') {
    const slopes = triodeCurrentAndSlopes(model.parameters, va, vg);
    return found({
      ...common,
      transconductance: siemens(slopes.byGrid),
      anodeResistance: toResistance(slopes.byAnode),
    });
  }
  if (screen === undefined) return refused(`pentode without a screen: ${name}`);
  const slopes = pentodeCurrentAndSlopes(
    model.parameters,
    model.screenShare,
    va,
    between(screen, cathode),
    vg,
  );
  return found({
    ...common,
    transconductance: siemens(slopes.byGrid),
    anodeResistance: toResistance(slopes.byAnode),
    screen: {
      node: screen,
      toAnode: siemens(slopes.byScreen),
      fromGrid: siemens(slopes.screenByGrid),
      own: siemens(Math.max(slopes.screenByScreen, 1 / INSULATION)),
    },
  });
}

/** By its current at the point: 1.5 · I / V for a valve, the softened junction's 1 Ω at most for silicon. */
function lineariseRectifier(element: Rectifier, point: OperatingPoint): Element {
  const current = point.branches.get(element.name) ?? 0;
  const drop = volts((point.nodes.get(element.anode) ?? 0) - (point.nodes.get(element.cathode) ?? 0));
  const slope = element.law.kind === 'valve' ? (drop > 0 ? (1.5 * current) / drop : 0) : current / 0.05;
  return {
    kind: 'resistor',
    name: element.name,
    from: element.anode,
    to: element.cathode,
    resistance: slope > 1 / INSULATION ? ohms(1 / slope) : INSULATION,
  };
}

function lineariseSupply(
  { name, plus, minus, reservoir }: Supply,
  point: OperatingPoint | AmplifierPoint,
): Element[] {
  const capacitor: Element = {
    kind: 'capacitor',
    name: `${name}.reservoir`,
    from: plus,
    to: minus,
    capacitance: reservoir,
  };
  const resistance = 'supplies' in point ? point.supplies.get(name)?.outputResistance : undefined;
  if (resistance === undefined || resistance <= 0) return [capacitor];
  return [capacitor, { kind: 'resistor', name: `${name}.source`, from: plus, to: minus, resistance }];
}
