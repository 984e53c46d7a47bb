/** Owns how long a bank of charged capacitors takes to empty through whatever resistance is soldered to it. */
import type { Farads, Ohms, Seconds, Volts } from '../units/si.ts';
import { seconds } from '../units/si.ts';
import { figure, refuseUnlessPositive } from './domain.ts';
import type { Result } from './result.ts';
import { found, refused } from './result.ts';
import { solveReal } from './solver/lu.ts';

export interface BankResistor {
  /** Names of its nodes; `gnd` is ground. */
  readonly between: readonly [string, string];
  readonly resistance: Ohms;
}

export interface BankCapacitor {
  readonly between: readonly [string, string];
  readonly capacitance: Farads;
  /** Of its first node against its second, at first. */
  readonly volts: Volts;
}

/** A mode this much faster than the slowest is over before anybody looks. */
const INSTANT = 1e-9;
/** More sweeps than a symmetric matrix of this size ever needed. */
const SWEEPS = 60;
const SAMPLES = 400;

/**
 * Time until one capacitor of a bank is below a voltage for good.
 *
 * Formula:   u = −R·C·du/dt, with R the resistances that the capacitors see of each other; the symmetric
 *            √C·R·√C has the time constants τi, and u(t) = Σ Ai·exp(−t / τi); t is the last for which |u(t)| = V1
 * Symbols:   u the capacitors' voltages [V], C their capacitances [F], R by all resistors between the nodes [Ω], V1 voltage
 *            at last [V], t time [s]
 * Valid for: all resistances, capacitances and V1 > 0; every node with a way to ground through resistors, else refused
 * Errors:    no load but resistors: cold valves take nothing, warm ones empty it sooner. An open bleeder or an open
 *            standby switch leaves part of the bank charged, and a capacitor recovers some charge by itself. The figure
 *            plans the wait; only a meter on every electrolytic ends it
 * Source:    Kirchhoff's and Ohm's laws; normal modes of a resistance and capacitance network (definition)
 * Example:   bankDischargeTime([{ between: ['B+1', 'gnd'], resistance: ohms(220_000) }, { between: ['B+1', 'B+2'], resistance: ohms(10_000) }], [{ between: ['B+1', 'gnd'], capacitance: farads(50e-6), volts: volts(450) }, { between: ['B+2', 'gnd'], capacitance: farads(50e-6), volts: volts(450) }], 0, volts(60)) → 44.58016 s
 */
export function bankDischargeTime(
  resistors: readonly BankResistor[],
  capacitors: readonly BankCapacitor[],
  which: number,
  to: Volts,
): Result<Seconds> {
  const outside = refuseUnlessPositive({ 'final voltage': to });
  if (outside) return outside;
  const known = drained.get(capacitors);
  const drain = known?.resistors === resistors ? known.drain : drainBank(resistors, capacitors);
  drained.set(capacitors, { resistors, drain });
  return drain.ok ? drain.value(which, to) : drain;
}

type Drain = (which: number, to: Volts) => Result<Seconds>;

/** Whoever asks about several capacitors or voltages of the very same bank has its network solved once. */
const drained = new WeakMap<
  readonly BankCapacitor[],
  { readonly resistors: readonly BankResistor[]; readonly drain: Result<Drain> }
>();

function drainBank(resistors: readonly BankResistor[], capacitors: readonly BankCapacitor[]): Result<Drain> {
  for (const { resistance } of resistors) {
    const refusal = refuseUnlessPositive({ resistance });
    if (refusal) return refusal;
  }
  for (const { capacitance } of capacitors) {
    const refusal = refuseUnlessPositive({ capacitance });
    if (refusal) return refusal;
  }
  const seen = resistancesSeen(resistors, capacitors);
  if (seen === undefined) return refused('no way to ground');
  const roots = capacitors.map(({ capacitance }) => Math.sqrt(capacitance));
  const n = capacitors.length;
  const scaled = new Float64Array(n * n);
  for (const [i, row] of seen.entries())
    for (const [j, value] of row.entries()) scaled[i * n + j] = value * (roots[i] ?? 0) * (roots[j] ?? 0);
  const { values, vectors } = eigenOf(scaled, n);
  const slowest = Math.max(...values);
  const starts = values.map((_, i) =>
    capacitors.reduce((sum, { volts }, j) => sum + at(vectors, j * n + i) * (roots[j] ?? 0) * volts, 0),
  );
  return found((which, to) => {
    if (capacitors[which] === undefined) return refused('no such capacitor');
    const modes = values.flatMap((tau, i) =>
      tau > INSTANT * slowest
        ? [{ tau, amplitude: (at(vectors, which * n + i) * (starts[i] ?? 0)) / (roots[which] ?? 1) }]
        : [],
    );
    return figure(lastAbove(modes, to), seconds);
  });
}

interface Mode {
  readonly tau: number;
  readonly amplitude: number;
}

function lastAbove(modes: readonly Mode[], to: number): number {
  const now = (t: number): number => {
    let sum = 0;
    for (const { tau, amplitude } of modes) sum += amplitude * Math.exp(-t / tau);
    return Math.abs(sum);
  };
  let bound = 0;
  let slowest = 0;
  for (const { tau, amplitude } of modes) {
    bound += Math.abs(amplitude);
    slowest = Math.max(slowest, tau);
  }
  if (!(bound > to)) return 0;
  // Nothing is above it after this, whatever the signs.
  const end = slowest * Math.log(bound / to);
  // From the end, since the last is looked for.
  let above = SAMPLES;
  while (above >= 0 && !(now((end * above) / SAMPLES) >= to)) above--;
  if (above < 0) return 0;
  let low = (end * above) / SAMPLES;
  let high = Math.min(end, (end * (above + 1)) / SAMPLES);
  for (let i = 0; i < 60; i++) {
    const middle = (low + high) / 2;
    // There is no number between them: halving goes no further.
    if (middle === low) break;
    if (now(middle) >= to) low = middle;
    else high = middle;
  }
  return high;
}

/** Volts over capacitor i for one ampere out of capacitor j, all others carrying nothing. */
function resistancesSeen(
  resistors: readonly BankResistor[],
  capacitors: readonly BankCapacitor[],
): readonly (readonly number[])[] | undefined {
  const nodes = [...new Set([...resistors, ...capacitors].flatMap(({ between }) => between))].filter(
    (node) => node !== 'gnd',
  );
  const placeOf = new Map(nodes.map((node, i) => [node, i]));
  const order = nodes.length;
  const width = order + 1;
  const conductances = new Float64Array(order * width);
  const add = (row: number | undefined, column: number | undefined, value: number): void => {
    if (row === undefined || column === undefined) return;
    const place = row * width + column;
    conductances[place] = (conductances[place] ?? 0) + value;
  };
  for (const { between, resistance } of resistors) {
    const [a, b] = [placeOf.get(between[0]), placeOf.get(between[1])];
    add(a, a, 1 / resistance);
    add(b, b, 1 / resistance);
    add(a, b, -1 / resistance);
    add(b, a, -1 / resistance);
  }
  const columns: (readonly number[])[] = [];
  for (const { between } of capacitors) {
    const system = Float64Array.from(conductances);
    const [a, b] = [placeOf.get(between[0]), placeOf.get(between[1])];
    if (a !== undefined) system[a * width + order] = 1;
    if (b !== undefined) system[b * width + order] = -1;
    if (solveReal(system, order) >= 0) return undefined;
    const volts = (node: number | undefined): number =>
      node === undefined ? 0 : (system[node * width + order] ?? 0);
    columns.push(
      capacitors.map((each) => volts(placeOf.get(each.between[0])) - volts(placeOf.get(each.between[1]))),
    );
  }
  return columns;
}

/** Eigenvalues and orthonormal eigenvectors (as columns) of a symmetric matrix of n rows, by Jacobi's rotations; `a` is overwritten. */
function eigenOf(a: Float64Array, n: number): { readonly values: number[]; readonly vectors: Float64Array } {
  const v = new Float64Array(n * n);
  for (let i = 0; i < n; i++) v[i * n + i] = 1;
  for (let sweep = 0; sweep < SWEEPS; sweep++) {
    let off = 0;
    let size = 0;
    for (let i = 0; i < n; i++)
      for (let j = 0; j < n; j++) {
        if (i === j) size += at(a, i * n + j) ** 2;
        else off += at(a, i * n + j) ** 2;
      }
    if (off <= 1e-30 * size) break;
    for (let p = 0; p < n; p++) for (let q = p + 1; q < n; q++) rotate(a, v, n, p, q);
  }
  const values: number[] = [];
  for (let i = 0; i < n; i++) values.push(at(a, i * n + i));
  return { values, vectors: v };
}

/** Turns the plane of p and q so that nothing of a is left between them. */
function rotate(a: Float64Array, v: Float64Array, n: number, p: number, q: number): void {
  const apq = at(a, p * n + q);
  if (apq === 0) return;
  const theta = (at(a, q * n + q) - at(a, p * n + p)) / (2 * apq);
  const t = (theta < 0 ? -1 : 1) / (Math.abs(theta) + Math.sqrt(theta * theta + 1));
  const c = 1 / Math.sqrt(t * t + 1);
  const s = t * c;
  const tau = s / (1 + c);
  a[p * n + p] = at(a, p * n + p) - t * apq;
  a[q * n + q] = at(a, q * n + q) + t * apq;
  a[p * n + q] = 0;
  a[q * n + p] = 0;
  for (let i = 0; i < n; i++) {
    if (i === p || i === q) continue;
    turn(a, i * n + p, i * n + q, s, tau);
    a[p * n + i] = at(a, i * n + p);
    a[q * n + i] = at(a, i * n + q);
  }
  for (let i = 0; i < n; i++) turn(v, i * n + p, i * n + q, s, tau);
}

function turn(m: Float64Array, one: number, other: number, s: number, tau: number): void {
  const g = at(m, one);
  const h = at(m, other);
  m[one] = g - s * (h + g * tau);
  m[other] = h + s * (g - h * tau);
}

function at(numbers: Float64Array, place: number): number {
  return numbers[place] ?? 0;
}
