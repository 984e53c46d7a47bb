/**
 * Owns the fit of the pentode law to published operating points: weighted least squares in the logarithms of the parameters,
 * by a damped Gauss-Newton search from fixed starting values. Deterministic: the same points give the same parameters.
 *
 * What is asked of the five parameters, with the spread (1 σ, relative) that each request is given:
 *   anode current at each published point          3 %
 *   transconductance, where published              10 %
 *   µ between control grid and screen, published   10 %
 *   anode resistance, where published              a factor of e^0.7: the law cannot have both it and the knee
 *   x = 1.35, kP and kVB of the family             4 %, factor 1.5, factor 1.5: where the points do not decide
 */
import {
  type PentodeParameters,
  pentodeCurrentAndSlopes,
} from '../../../server/electronics/models/pentode.ts';

export interface PublishedPoint {
  readonly anode: number;
  readonly screen: number;
  readonly grid: number;
  readonly anodeCurrent: number;
  readonly transconductance?: number;
  readonly anodeResistance?: number;
}

export interface FitTask {
  readonly valve: string;
  readonly points: readonly PublishedPoint[];
  readonly gridToScreen?: number;
  /** Starting values, and what the family is like where the points do not decide. */
  readonly family: PentodeParameters;
}

export function fitPentode({ points, gridToScreen, family }: FitTask): PentodeParameters {
  const residuals = (logs: readonly number[]): number[] => {
    const parameters = fromLogs(logs);
    const out: number[] = [];
    for (const point of points) {
      const at = pentodeCurrentAndSlopes(parameters, undefined, point.anode, point.screen, point.grid);
      out.push(Math.log(at.anode / point.anodeCurrent) / 0.03);
      if (point.transconductance !== undefined) out.push(Math.log(at.byGrid / point.transconductance) / 0.1);
      if (point.anodeResistance !== undefined)
        out.push(Math.log(1 / at.byAnode / point.anodeResistance) / 0.7);
    }
    if (gridToScreen !== undefined) out.push(Math.log(parameters.mu / gridToScreen) / 0.1);
    out.push(Math.log(parameters.exponent / 1.35) / 0.04);
    out.push(Math.log(parameters.kP / family.kP) / Math.log(1.5));
    out.push(Math.log(parameters.kVB / family.kVB) / Math.log(1.5));
    return out;
  };
  let logs = toLogs(family);
  let lambda = 1e-2;
  let cost = sumOfSquares(residuals(logs));
  for (let iteration = 0; iteration < 200; iteration++) {
    const here = residuals(logs);
    const slopes = logs.map((_, j) => {
      const moved = logs.map((log, i) => (i === j ? log + 1e-6 : log));
      return residuals(moved).map((value, i) => (value - (here[i] ?? 0)) / 1e-6);
    });
    const normal = slopes.map((a, i) =>
      slopes.map((b, j) => dot(a, b) * (i === j ? 1 + lambda : 1)).concat(-dot(a, here)),
    );
    const step = solve(normal);
    const tried = logs.map((log, i) => log + Math.max(-0.5, Math.min(0.5, step[i] ?? 0)));
    const triedCost = sumOfSquares(residuals(tried));
    if (triedCost < cost) {
      const gain = cost - triedCost;
      logs = tried;
      cost = triedCost;
      lambda = Math.max(lambda / 4, 1e-9);
      if (gain < 1e-14) break;
    } else {
      lambda *= 4;
      if (lambda > 1e9) break;
    }
  }
  return fromLogs(logs);
}

function toLogs({ mu, exponent, kG1, kP, kVB }: PentodeParameters): number[] {
  return [mu, exponent, kG1, kP, kVB].map(Math.log);
}

function fromLogs(logs: readonly number[]): PentodeParameters {
  const [mu = 0, exponent = 0, kG1 = 0, kP = 0, kVB = 0] = logs.map(Math.exp);
  return { mu, exponent, kG1, kP, kVB };
}

function dot(a: readonly number[], b: readonly number[]): number {
  return a.reduce((sum, value, i) => sum + value * (b[i] ?? 0), 0);
}

function sumOfSquares(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + (Number.isFinite(value) ? value * value : 1e12), 0);
}

/** Gauss elimination with row exchange; rows carry their right-hand side last. */
function solve(rows: readonly (readonly number[])[]): number[] {
  const a = rows.map((row) => [...row]);
  const n = a.length;
  const entry = (i: number, j: number): number => a[i]?.[j] ?? 0;
  for (let k = 0; k < n; k++) {
    let pivot = k;
    for (let i = k + 1; i < n; i++) if (Math.abs(entry(i, k)) > Math.abs(entry(pivot, k))) pivot = i;
    const kept = a[k] ?? [];
    a[k] = a[pivot] ?? [];
    a[pivot] = kept;
    for (let i = k + 1; i < n; i++) {
      const factor = entry(i, k) / entry(k, k);
      a[i] = (a[i] ?? []).map((value, j) => value - factor * entry(k, j));
    }
  }
  const x = new Array<number>(n).fill(0);
  for (let i = n - 1; i >= 0; i--) {
    const rest = x.reduce((sum, value, j) => (j > i ? sum + entry(i, j) * value : sum), 0);
    x[i] = (entry(i, n) - rest) / entry(i, i);
  }
  return x;
}
