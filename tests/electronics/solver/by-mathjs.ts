/**
 * Owns the second opinion: the same network put together by plain nodal analysis and solved by mathjs' complex lusolve.
 * It shares no code with the solver under test.
 */
import { type Complex, complex, lusolve, type Matrix, matrix } from 'mathjs';
import type { Element, Netlist } from '../../../server/electronics/solver/netlist.ts';
import { capacitor, resistor } from './amplifiers.ts';

/** A tone-network-like ladder: resistors and capacitors by turns along it, both to ground and across two nodes. */
export function ladder(nodes: number): Netlist {
  const elements: Element[] = [];
  for (let i = 1; i <= nodes; i++) {
    const before = i === 1 ? 'in' : `n${i - 1}`;
    elements.push(
      i % 3 === 2
        ? capacitor(`C${i}`, before, `n${i}`, 100e-9 * i)
        : resistor(`R${i}`, before, `n${i}`, 1e3 * i),
    );
    elements.push(resistor(`Rg${i}`, `n${i}`, 'gnd', 1e6 / i));
    if (i % 2 === 0) elements.push(capacitor(`Cg${i}`, `n${i}`, 'gnd', 0.1e-9 * i));
    if (i > 2) elements.push(capacitor(`Cx${i}`, `n${i - 2}`, `n${i}`, 250e-12));
  }
  return { elements };
}

/** Resistors and capacitors only, 1 V at `in`. */
export function sweepByMathjs(
  netlist: Netlist,
  output: string,
  frequencies: readonly number[],
): readonly Complex[] {
  const names = new Map<string, number>();
  for (const element of netlist.elements) {
    if (element.kind !== 'resistor' && element.kind !== 'capacitor') throw new Error(element.kind);
    for (const node of [element.from, element.to]) {
      if (node !== 'gnd' && node !== 'in' && !names.has(node)) names.set(node, names.size);
    }
  }
  const size = names.size;
  return frequencies.map((frequency) => {
    const a = Array.from({ length: size }, () => Array.from({ length: size }, () => complex(0, 0)));
    const b = Array.from({ length: size }, () => [complex(0, 0)]);
    const add = (row: Complex[] | undefined, column: number, re: number, im: number): void => {
      const old = row?.[column];
      if (row !== undefined && old !== undefined) row[column] = complex(old.re + re, old.im + im);
    };
    for (const element of netlist.elements) {
      const re = element.kind === 'resistor' ? 1 / element.resistance : 0;
      const im = element.kind === 'capacitor' ? 2 * Math.PI * frequency * element.capacitance : 0;
      if (element.kind !== 'resistor' && element.kind !== 'capacitor') continue;
      for (const [here, there] of [
        [element.from, element.to],
        [element.to, element.from],
      ] as const) {
        const row = names.get(here);
        if (row === undefined) continue;
        add(a[row], row, re, im);
        const column = names.get(there);
        if (column !== undefined) add(a[row], column, -re, -im);
        else if (there === 'in') add(b[row], 0, re, im);
      }
    }
    const x = lusolve(matrix(a), matrix(b)) as Matrix<Complex>;
    return x.get([names.get(output) ?? 0, 0]) as Complex;
  });
}
