/** Owns circuits that several tests solve: an invented five-valve amplifier of sixty parts, stage by stage. */
import { findModel } from '../../../server/electronics/models/find-model.ts';
import type { ValveModel } from '../../../server/electronics/models/model.ts';
import { findRectifier } from '../../../server/electronics/models/rectifiers.ts';
import type { Element, Netlist } from '../../../server/electronics/solver/netlist.ts';
import { farads, henries, hertz, ohms, ratio, volts } from '../../../server/units/si.ts';

export function model(type: string): ValveModel {
  const found = findModel(type);
  if (!found.ok) throw new Error(found.reason);
  return found.value;
}

export const resistor = (name: string, from: string, to: string, value: number): Element => ({
  kind: 'resistor',
  name,
  from,
  to,
  resistance: ohms(value),
});

export const capacitor = (name: string, from: string, to: string, value: number): Element => ({
  kind: 'capacitor',
  name,
  from,
  to,
  capacitance: farads(value),
});

export const battery = (name: string, plus: string, value: number): Element => ({
  kind: 'voltage-source',
  name,
  plus,
  minus: 'gnd',
  voltage: volts(value),
});

export const valve = (
  name: string,
  type: string,
  electrodes: Partial<Record<'a' | 'g' | 'k' | 's', string>> = {},
): Element => {
  const it = model(type);
  return {
    kind: 'valve',
    name,
    anode: electrodes.a ?? `${name}.a`,
    grid: electrodes.g ?? `${name}.g`,
    cathode: electrodes.k ?? `${name}.k`,
    ...(it.kind === 'pentode' ? { screen: electrodes.s ?? `${name}.g2` } : {}),
    model: it,
  };
};

/** One common-cathode stage: supply at `B+`, grid at `in`, anode `V1.a`, cathode `V1.k`. */
export function triodeStage(
  type: string,
  {
    supply,
    anode,
    cathode,
    bypass,
    leak,
  }: { supply: number; anode: number; cathode: number; bypass?: number; leak?: number },
): Netlist {
  return {
    elements: [
      battery('HT', 'B+', supply),
      resistor('Ra', 'B+', 'V1.a', anode),
      resistor('Rk', 'V1.k', 'gnd', cathode),
      resistor('Rg', 'in', 'gnd', 1e6),
      valve('V1', type, { g: 'in' }),
      ...(bypass === undefined ? [] : [capacitor('Ck', 'V1.k', 'gnd', bypass)]),
      ...(leak === undefined ? [] : [capacitor('Cc', 'V1.a', 'out', 1), resistor('Rl', 'out', 'gnd', leak)]),
    ],
  };
}

/** Two double triodes' worth of preamplifier and phase splitter, two 6V6GT, a GZ34: sixty parts. */
export function fiveValveAmplifier(): Netlist {
  const rectifier = findRectifier('GZ34');
  if (!rectifier.ok) throw new Error(rectifier.reason);
  const elements: Element[] = [
    {
      kind: 'supply',
      name: 'V5',
      plus: 'B+1',
      minus: 'gnd',
      connection: 'full-wave',
      law: rectifier.value.law,
      winding: volts(290),
      sourceResistance: ohms(140),
      mains: hertz(50),
      reservoir: farads(32e-6),
    },
    { kind: 'inductor', name: 'L1', from: 'B+1', to: 'B+2', inductance: henries(10), resistance: ohms(250) },
    capacitor('C20', 'B+2', 'gnd', 32e-6),
    resistor('R20', 'B+2', 'B+3', 10e3),
    capacitor('C21', 'B+3', 'gnd', 22e-6),
    resistor('R21', 'B+3', 'B+4', 22e3),
    capacitor('C22', 'B+4', 'gnd', 22e-6),
    resistor('R22', 'B+1', 'gnd', 220e3),
    // First stage.
    resistor('R1', 'in', 'gnd', 1e6),
    resistor('R2', 'in', 'V1A.g', 68e3),
    valve('V1A', '12AX7'),
    resistor('R3', 'B+4', 'V1A.a', 100e3),
    resistor('R4', 'V1A.k', 'gnd', 1500),
    capacitor('C1', 'V1A.k', 'gnd', 25e-6),
    // Tone network and volume.
    resistor('R5', 'V1A.a', 'slope', 56e3),
    capacitor('C2', 'V1A.a', 'treble', 250e-12),
    resistor('VR1.1', 'treble', 'tone', 125e3),
    resistor('VR1.2', 'tone', 'bass', 125e3),
    capacitor('C3', 'slope', 'bass', 22e-9),
    resistor('VR2', 'bass', 'middle', 500e3),
    capacitor('C4', 'slope', 'middle', 22e-9),
    resistor('VR3', 'middle', 'gnd', 12e3),
    capacitor('C5', 'tone', 'volume', 100e-9),
    resistor('VR4.1', 'volume', 'V1B.g', 500e3),
    resistor('VR4.2', 'V1B.g', 'gnd', 500e3),
    capacitor('C6', 'volume', 'V1B.g', 120e-12),
    // Second stage.
    valve('V1B', '12AX7'),
    resistor('R6', 'B+4', 'V1B.a', 100e3),
    resistor('R7', 'V1B.k', 'gnd', 1500),
    capacitor('C7', 'V1B.k', 'gnd', 25e-6),
    capacitor('C8', 'V1B.a', 'V2A.g', 22e-9),
    // Long-tailed pair.
    valve('V2A', '12AX7'),
    valve('V2B', '12AX7'),
    resistor('R8', 'B+3', 'V2A.a', 82e3),
    resistor('R9', 'B+3', 'V2B.a', 100e3),
    resistor('R10', 'V2A.k', 'tail', 470),
    resistor('W1', 'V2A.k', 'V2B.k', 0),
    resistor('R11', 'V2A.g', 'tail', 1e6),
    resistor('R12', 'V2B.g', 'tail', 1e6),
    resistor('R13', 'tail', 'feedback', 10e3),
    resistor('R14', 'feedback', 'gnd', 4700),
    capacitor('C9', 'V2B.g', 'feedback', 100e-9),
    resistor('R15', 'speaker', 'feedback', 47e3),
    // Output stage.
    capacitor('C10', 'V2A.a', 'drive-a', 100e-9),
    capacitor('C11', 'V2B.a', 'drive-b', 100e-9),
    resistor('R16', 'drive-a', 'gnd', 220e3),
    resistor('R17', 'drive-b', 'gnd', 220e3),
    resistor('R18', 'drive-a', 'V3.g', 1500),
    resistor('R19', 'drive-b', 'V4.g', 1500),
    valve('V3', '6V6GT'),
    valve('V4', '6V6GT'),
    resistor('R23', 'B+2', 'V3.g2', 470),
    resistor('R24', 'B+2', 'V4.g2', 470),
    resistor('R25', 'V3.k', 'cathodes', 0),
    resistor('R26', 'V4.k', 'cathodes', 0),
    resistor('R27', 'cathodes', 'gnd', 270),
    capacitor('C12', 'cathodes', 'gnd', 25e-6),
    {
      kind: 'transformer',
      name: 'T2',
      windings: [
        { start: 'V3.a', end: 'B+1', turns: ratio(15.8), resistance: ohms(138) },
        { start: 'B+1', end: 'V4.a', turns: ratio(15.8), resistance: ohms(124) },
        { start: 'speaker', end: 'gnd', turns: ratio(1), resistance: ohms(0.4) },
      ],
      magnetising: henries(15),
    },
    resistor('LS1', 'speaker', 'gnd', 8),
    resistor('R28', 'V3.a', 'zobel', 10e3),
    capacitor('C13', 'zobel', 'V4.a', 4.7e-9),
  ];
  return { elements };
}
