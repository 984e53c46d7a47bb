/**
 * Owns poles and zeros of small networks: the frequencies at which a response bends, exactly, where there are few enough
 * reactive elements to say which is which.
 */
import { type Hertz, hertz, type Ratio, ratio } from '../../units/si.ts';
import { found, type Result, refused } from '../result.ts';
import { assemble, type LinearSystem, type Reactance } from './linear-system.ts';
import { determinant, solveReal } from './lu.ts';
import { GROUND, type Netlist, type Port } from './netlist.ts';
import { type Complex, findRoots } from './polynomial.ts';

/** One pole or zero, as a place in the s plane [rad/s] and as the frequency where it bends the response. */
export interface Break {
  readonly real: number;
  readonly imaginary: number;
  readonly frequency: Hertz;
  /** Of a complex pair; 0.5 and below are two separate breaks. */
  readonly quality?: Ratio;
}

/** H(s) = constant · Π(s − zero) / Π(s − pole). Each list is in rising frequency. */
export interface Breaks {
  readonly poles: readonly Break[];
  readonly zeros: readonly Break[];
  readonly constant: number;
}

/** Beyond this many capacitors and inductors nobody tells the breaks apart, and rounding begins to. */
const MOST_REACTANCES = 6;
/** A coefficient this small against the terms it was summed from is rounding. */
const NEGLIGIBLE = 1e-11;
/** A pole and a zero closer than this, relatively, hide each other. */
const COINCIDENT = 1e-6;

/**
 * Poles and zeros of the transfer function between two points.
 *
 * Formula:   det(G + s·B) = 0 for the poles, det [G + s·B, b; cᵀ, 0] = 0 for the zeros; f = |s| / 2π
 * Symbols:   G, B conductances and reactances of the nodal equations, b drive, c output, s complex frequency [rad/s], f [Hz]
 * Valid for: linear elements with at most six capacitors and inductors, else refused with their number; refused where nothing
 *            of the input reaches the output. A pole and a zero that hide each other are left out
 * Errors:    1e-6 relative for breaks up to five decades apart
 * Source:    generalised eigenvalues of the nodal equations; textbook network theory, no edition named
 * Example:   findBreaks({ elements: [{ kind: 'resistor', name: 'R1', from: 'in', to: 'out', resistance: ohms(10_000) }, { kind: 'capacitor', name: 'C1', from: 'out', to: 'gnd', capacitance: farads(1e-6) }] }, { plus: 'in' }, { plus: 'out' }) → { poles: [{ real: -100, frequency: 15.915494309 }], zeros: [] }
 */
export function findBreaks(netlist: Netlist, input: Port, output: Port): Result<Breaks> {
  const assembled = assemble(netlist, { kind: 'voltage', port: input });
  if (!assembled.ok) return assembled;
  const system = assembled.value;
  const count = system.reactances.length;
  if (count > MOST_REACTANCES) {
    return refused(`${count} capacitors and inductors: breaks are told apart up to ${MOST_REACTANCES}`);
  }
  const plus = system.voltageOf.get(output.plus);
  const minus = system.voltageOf.get(output.minus ?? netlist.ground ?? GROUND);
  if (plus === undefined) return refused(`no node named ${output.plus}`);
  if (minus === undefined) return refused(`no node named ${output.minus ?? GROUND}`);

  const poles = findSingular(withoutDrive(system));
  if (poles === undefined) return refused('nothing determines the circuit');
  const zeros = findSingular(withOutput(system, plus, minus));
  if (zeros === undefined) return refused(`nothing of ${input.plus} reaches ${output.plus}`);
  const constant = findConstant(system, plus, minus, poles, zeros);
  if (constant === undefined) return refused('out of range');
  const [seenPoles, seenZeros] = withoutCoincident(poles, zeros);
  return found({ poles: seenPoles.map(toBreak), zeros: seenZeros.map(toBreak), constant });
}

/** A square pencil A + s·B, B as its rank-one parts. */
interface Pencil {
  readonly order: number;
  readonly matrix: (s: number) => Float64Array;
  readonly reactances: readonly Reactance[];
}

/** G + s·B without the drive's column: a circuit's own frequencies. The right-hand side's column is left empty. */
function withoutDrive({ order, conductance, susceptance, reactances }: LinearSystem): Pencil {
  const width = order + 1;
  return {
    order,
    reactances: reactances.map((each) => ({
      ...each,
      columns: each.columns.filter(([column]) => column < order),
    })),
    matrix: (s) =>
      conductance.map((g, index) => (index % width === order ? 0 : g + s * (susceptance[index] ?? 0))),
  };
}

/** The same with the drive as one more unknown and "nothing comes out" as one more equation. */
function withOutput(system: LinearSystem, plus: number, minus: number): Pencil {
  const { conductance, susceptance, reactances } = system;
  const order = system.order + 1;
  const width = order + 1;
  return {
    order,
    reactances,
    matrix: (s) => {
      const matrix = new Float64Array(order * width);
      for (let row = 0; row < system.order; row++) {
        for (let column = 0; column < order; column++) {
          const index = row * order + column;
          matrix[row * width + column] = (conductance[index] ?? 0) + s * (susceptance[index] ?? 0);
        }
      }
      const last = (order - 1) * width;
      if (plus >= 0) matrix[last + plus] = (matrix[last + plus] ?? 0) + 1;
      if (minus >= 0) matrix[last + minus] = (matrix[last + minus] ?? 0) - 1;
      return matrix;
    },
  };
}

/**
 * Finite s at which the pencil is singular; undefined where it is singular everywhere. With A = G + s0·B and B = Σ r·x·cᵀ
 * these are s0 + 1/λ, λ the eigenvalues of the small matrix −x·cᵀ·A⁻¹·r, whose characteristic polynomial is summed from its
 * principal minors: for networks of resistors and capacitors those do not cancel, so breaks far apart stay exact.
 */
function findSingular(pencil: Pencil): readonly Complex[] | undefined {
  // A capacitor in series leaves G singular; then the pencil is looked at from beside the origin.
  for (const origin of [0, 1, 37]) {
    const small = reduce(pencil, origin);
    if (small === undefined) continue;
    const coefficients = characteristic(small, pencil.reactances.length);
    return findRoots(coefficients)?.map(({ re, im }) => {
      const moved = { re: re + origin, im };
      return Math.hypot(moved.re, moved.im) < 1e-9 * origin ? { re: 0, im: 0 } : moved;
    });
  }
  return undefined;
}

function reduce({ order, matrix, reactances }: Pencil, origin: number): Float64Array | undefined {
  const count = reactances.length;
  const width = order + 1;
  const small = new Float64Array(count * count);
  const base = matrix(origin);
  if (solveReal(Float64Array.from(base), order) >= 0) return undefined;
  for (const [j, { rows }] of reactances.entries()) {
    const work = Float64Array.from(base);
    for (const [row, factor] of rows) work[row * width + order] = factor;
    if (solveReal(work, order) >= 0) return undefined;
    for (const [i, { columns, value }] of reactances.entries()) {
      let sum = 0;
      for (const [column, factor] of columns) sum += factor * (work[column * width + order] ?? 0);
      small[i * count + j] = -value * sum;
    }
  }
  return small;
}

/** Coefficients of det(1 − σ·K) in rising powers of σ, without those that are only rounding. */
function characteristic(small: Float64Array, count: number): readonly number[] {
  const coefficients = new Array<number>(count + 1).fill(0);
  const sizes = new Array<number>(count + 1).fill(0);
  for (let subset = 0; subset < 1 << count; subset++) {
    const members = Array.from({ length: count }, (_, i) => i).filter((i) => subset & (1 << i));
    const order = members.length;
    const minor = new Float64Array(order * order);
    for (const [i, row] of members.entries()) {
      for (const [j, column] of members.entries()) minor[i * order + j] = small[row * count + column] ?? 0;
    }
    const bound = largestDeterminant(minor, order);
    coefficients[order] = (coefficients[order] ?? 0) + (order % 2 === 0 ? 1 : -1) * determinant(minor, order);
    sizes[order] = (sizes[order] ?? 0) + bound;
  }
  const kept = coefficients.map((each, i) => (Math.abs(each) > NEGLIGIBLE * (sizes[i] ?? 0) ? each : 0));
  while (kept.length > 1 && kept[kept.length - 1] === 0) kept.pop();
  return kept;
}

/**
 * What a determinant of such entries could be at most: the product of the scales that bring every row and column to a largest
 * entry near 1. Scaling first keeps a short time constant beside a long one from being taken for rounding.
 */
function largestDeterminant(matrix: Float64Array, order: number): number {
  const scaled = Float64Array.from(matrix, Math.abs);
  let bound = 1;
  for (let round = 0; round < 4; round++) {
    for (let i = 0; i < order; i++) {
      const byRow = round % 2 === 0;
      const index = (j: number): number => (byRow ? i * order + j : j * order + i);
      let largest = 0;
      for (let j = 0; j < order; j++) largest = Math.max(largest, scaled[index(j)] ?? 0);
      if (largest === 0) return 0;
      for (let j = 0; j < order; j++) scaled[index(j)] = (scaled[index(j)] ?? 0) / largest;
      bound *= largest;
    }
  }
  return bound;
}

/** The factor before the quotient of the products, from one point of the real axis that is no pole. */
function findConstant(
  { order, conductance, susceptance }: LinearSystem,
  plus: number,
  minus: number,
  poles: readonly Complex[],
  zeros: readonly Complex[],
): number | undefined {
  const moduli = [...poles, ...zeros]
    .map(({ re, im }) => Math.hypot(re, im))
    .filter((modulus) => modulus > 0);
  const logs = moduli.reduce((sum, modulus) => sum + Math.log(modulus), 0);
  const s = moduli.length === 0 ? 1 : Math.exp(logs / moduli.length);
  const work = conductance.map((g, index) => g + s * (susceptance[index] ?? 0));
  if (solveReal(work, order) >= 0) return undefined;
  const at = (index: number): number => {
    if (index === order) return 1;
    return index < 0 ? 0 : -(work[index * (order + 1) + order] ?? 0);
  };
  // Complex roots come in pairs, so that the moduli of the distances multiply to the product itself, but for real roots' sign.
  const product = (roots: readonly Complex[]): number =>
    roots.reduce((all, { re, im }) => all * (im === 0 ? s - re : Math.hypot(s - re, im)), 1);
  const constant = ((at(plus) - at(minus)) * product(poles)) / product(zeros);
  return Number.isFinite(constant) ? constant : undefined;
}

function withoutCoincident(
  poles: readonly Complex[],
  zeros: readonly Complex[],
): readonly [readonly Complex[], readonly Complex[]] {
  const left = [...zeros];
  const kept = poles.filter((pole) => {
    const size = Math.hypot(pole.re, pole.im);
    const twin = left.findIndex(
      (zero) => Math.hypot(zero.re - pole.re, zero.im - pole.im) <= COINCIDENT * size,
    );
    if (twin >= 0) left.splice(twin, 1);
    return twin < 0;
  });
  return [kept, left];
}

function toBreak({ re, im }: Complex): Break {
  const modulus = Math.hypot(re, im);
  const place = { real: re, imaginary: im, frequency: hertz(modulus / (2 * Math.PI)) };
  return im === 0 || re === 0 ? place : { ...place, quality: ratio(modulus / (2 * Math.abs(re))) };
}
