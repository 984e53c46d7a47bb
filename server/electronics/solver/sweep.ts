/**
 * Owns answers over frequency: what comes out at one point for a signal at another, and the impedance seen at a point.
 * Sources in the netlist are at rest, so a supply rail is ground for signals.
 */
import { type Decibels, decibels, type Hertz, type Ohms, ohms, type Ratio, ratio } from '../../units/si.ts';
import { found, type Result, refused } from '../result.ts';
import { assemble, type LinearSystem } from './linear-system.ts';
import { solveComplex } from './lu.ts';
import { GROUND, type Netlist, type Port } from './netlist.ts';

/** Anything beyond is an overflow on its way. */
const LARGEST = 1e300;

/** One complex number a frequency. */
export interface Response {
  readonly frequencies: readonly Hertz[];
  readonly real: Float64Array;
  readonly imaginary: Float64Array;
}

/**
 * Voltage at one point over the voltage at another, by frequency.
 *
 * Formula:   (G + jω·B)·v = s, H = v(output) for 1 V at the input
 * Symbols:   G conductances [S], B capacitances and inductances [F, H], ω = 2πf [1/s], v node voltages [V], H [1]
 * Valid for: linear elements; the input driven by an ideal source (put a real one's resistance in as a resistor). Refused where
 *            a node floats or nothing determines it, by its name
 * Errors:    rounding only; strays and leakage inductance that the elements leave out are missing. Whether a fed-back circuit
 *            would oscillate is not asked
 * Source:    modified nodal analysis: C.-W. Ho, A. E. Ruehli, P. A. Brennan, IEEE Trans. Circuits and Systems 22(6), 1975; from memory, unverified
 * Example:   transfer({ elements: [{ kind: 'resistor', name: 'R1', from: 'in', to: 'out', resistance: ohms(1000) }, { kind: 'resistor', name: 'R2', from: 'out', to: 'gnd', resistance: ohms(1000) }] }, { plus: 'in' }, { plus: 'out' }, [hertz(1000)]) → { real: [0.5], imaginary: [0] }
 */
export function transfer(
  netlist: Netlist,
  input: Port,
  output: Port,
  frequencies: readonly Hertz[],
): Result<Response> {
  const system = assemble(netlist, { kind: 'voltage', port: input });
  if (!system.ok) return system;
  return sweep(system.value, output, netlist.ground ?? GROUND, frequencies);
}

/**
 * Impedance seen into a point, by frequency.
 *
 * Formula:   (G + jω·B)·v = s, Z = v(port) for 1 A into the port
 * Symbols:   as for `transfer`; Z [Ω]
 * Valid for: linear elements. For an output impedance the input must be held by a source of the netlist; for an input impedance
 *            leave the source out
 * Errors:    rounding only
 * Source:    modified nodal analysis: C.-W. Ho, A. E. Ruehli, P. A. Brennan, IEEE Trans. Circuits and Systems 22(6), 1975; from memory, unverified
 * Example:   impedance({ elements: [{ kind: 'resistor', name: 'R1', from: 'a', to: 'gnd', resistance: ohms(3000) }, { kind: 'resistor', name: 'R2', from: 'a', to: 'gnd', resistance: ohms(6000) }] }, { plus: 'a' }, [hertz(1000)]) → { real: [2000], imaginary: [0] }
 */
export function impedance(netlist: Netlist, port: Port, frequencies: readonly Hertz[]): Result<Response> {
  const system = assemble(netlist, { kind: 'current', port });
  if (!system.ok) return system;
  return sweep(system.value, port, netlist.ground ?? GROUND, frequencies);
}

/** Solves an assembled system at each frequency. */
function sweep(
  system: LinearSystem,
  output: Port,
  ground: string,
  frequencies: readonly Hertz[],
): Result<Response> {
  const plus = system.voltageOf.get(output.plus);
  const minus = system.voltageOf.get(output.minus ?? ground);
  if (plus === undefined) return refused(`no node named ${output.plus}`);
  if (minus === undefined) return refused(`no node named ${output.minus ?? ground}`);
  const { order, conductance, susceptance } = system;
  const width = order + 1;
  const re = new Float64Array(conductance.length);
  const im = new Float64Array(conductance.length);
  const real = new Float64Array(frequencies.length);
  const imaginary = new Float64Array(frequencies.length);
  for (const [number, frequency] of frequencies.entries()) {
    if (frequency < 0) return refused('negative frequency');
    const omega = 2 * Math.PI * frequency;
    re.set(conductance);
    for (let i = 0; i < im.length; i++) im[i] = omega * (susceptance[i] ?? 0);
    const undetermined = solveComplex(re, im, order);
    if (undetermined >= 0) {
      return refused(`nothing determines ${system.unknowns[undetermined] ?? ''} at ${frequency} Hz`);
    }
    // The drive's column stands on the left, so the answer comes out with its sign turned.
    const at = (array: Float64Array, index: number, own: number): number => {
      if (index === order) return own;
      return index < 0 ? 0 : -(array[index * width + order] ?? 0);
    };
    real[number] = at(re, plus, 1) - at(re, minus, 1);
    imaginary[number] = at(im, plus, 0) - at(im, minus, 0);
    if (!(Math.abs(real[number]) + Math.abs(imaginary[number]) < LARGEST)) return refused('out of range');
  }
  return found({ frequencies, real, imaginary });
}

/** Levels in decibels; undefined where exactly nothing comes out, which has no level. */
export function levels(response: Response): readonly (Decibels | undefined)[] {
  return moduli(response).map((modulus) => (modulus > 0 ? decibels(20 * Math.log10(modulus)) : undefined));
}

/** Magnitudes of a transfer function. */
export function magnitudes(response: Response): readonly Ratio[] {
  return moduli(response).map(ratio);
}

/** Magnitudes of an impedance. */
export function impedances(response: Response): readonly Ohms[] {
  return moduli(response).map(ohms);
}

/** Phase angles in degrees, -180 to 180; 0 where nothing comes out. */
export function phases(response: Response): readonly number[] {
  return response.frequencies.map(
    (_, i) => (Math.atan2(response.imaginary[i] ?? 0, response.real[i] ?? 0) * 180) / Math.PI,
  );
}

function moduli({ frequencies, real, imaginary }: Response): number[] {
  return frequencies.map((_, i) => Math.hypot(real[i] ?? 0, imaginary[i] ?? 0));
}

/**
 * Frequencies spaced evenly on a logarithmic scale, ends included.
 *
 * Formula:   f(i) = f0 · (f1/f0)^(i/(n − 1))
 * Symbols:   f0 first, f1 last frequency [Hz], n their number [1]
 * Valid for: 0 < f0 < f1, n a whole number from 2 to 100 000; otherwise refused as "non-positive frequency", "empty range" or "number of points"
 * Errors:    none
 * Source:    definition
 * Example:   logarithmicSweep(hertz(10), hertz(1000), 3) → [10, 100, 1000] Hz
 */
export function logarithmicSweep(first: Hertz, last: Hertz, count: number): Result<readonly Hertz[]> {
  if (!(first > 0)) return refused('non-positive frequency');
  if (!(last > first)) return refused('empty range');
  if (!Number.isInteger(count) || count < 2 || count > 100_000) return refused('number of points');
  const span = Math.log(last / first);
  if (!Number.isFinite(span)) return refused('out of range');
  return found(
    Array.from({ length: count }, (_, i) => {
      if (i === count - 1) return last;
      return (first * Math.exp((span * i) / (count - 1))) as Hertz;
    }),
  );
}
