/** Elimination: the answer put back gives the right-hand side, and a dependent column is named. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { determinant, solveComplex, solveReal } from '../../../server/electronics/solver/lu.ts';

const order = 7;
const width = order + 1;
const entry = fc.integer({ min: -1000, max: 1000 }).map((thousandths) => thousandths / 1000);
// Conductances of one network lie decades apart, and many are absent.
const numbers = fc.array(fc.tuple(entry, fc.integer({ min: -6, max: 2 })), {
  minLength: order * width,
  maxLength: order * width,
});
const spread = (pairs: readonly (readonly [number, number])[]): Float64Array =>
  Float64Array.from(pairs, ([value, power], i) =>
    i % 3 === 1 && i % width !== order ? 0 : value * 10 ** power,
  );

/** How far row · x is from its right-hand side, against the size of its terms. */
function misfit(
  a: Float64Array,
  b: Float64Array | undefined,
  x: Float64Array,
  y: Float64Array | undefined,
  row: number,
): number {
  let [re, im, size] = [-(a[row * width + order] ?? 0), -(b?.[row * width + order] ?? 0), 0];
  for (let j = 0; j < order; j++) {
    const [ar, ai] = [a[row * width + j] ?? 0, b?.[row * width + j] ?? 0];
    const [xr, xi] = [x[j * width + order] ?? 0, y?.[j * width + order] ?? 0];
    re += ar * xr - ai * xi;
    im += ar * xi + ai * xr;
    size += (Math.abs(ar) + Math.abs(ai)) * (Math.abs(xr) + Math.abs(xi));
  }
  return Math.hypot(re, im) / (size + Number.MIN_VALUE);
}

test('real equations', () => {
  fc.assert(
    fc.property(numbers, (pairs) => {
      const a = spread(pairs);
      const x = Float64Array.from(a);
      if (solveReal(x, order) >= 0) return;
      for (let row = 0; row < order; row++)
        expect(misfit(a, undefined, x, undefined, row)).toBeLessThan(1e-6);
    }),
    { seed: 2, numRuns: 100 },
  );
});

test('complex equations, and real ones are complex ones without an imaginary part', () => {
  fc.assert(
    fc.property(numbers, numbers, (one, two) => {
      const [a, b] = [spread(one), spread(two)];
      const [x, y] = [Float64Array.from(a), Float64Array.from(b)];
      if (solveComplex(x, y, order) < 0) {
        for (let row = 0; row < order; row++) expect(misfit(a, b, x, y, row)).toBeLessThan(1e-6);
      }
      const [real, imaginary, alone] = [
        Float64Array.from(a),
        new Float64Array(a.length),
        Float64Array.from(a),
      ];
      expect(solveComplex(real, imaginary, order)).toBe(solveReal(alone, order));
      for (let j = 0; j < order; j++) {
        const own = alone[j * width + order] ?? 0;
        expect(Math.abs((real[j * width + order] ?? 0) - own)).toBeLessThanOrEqual(
          1e-6 * Math.abs(own) + 1e-300,
        );
      }
    }),
    { seed: 2, numRuns: 100 },
  );
});

test('a column that others make up is the unknown that nothing determines', () => {
  // The third column is the sum of the first two.
  const a = Float64Array.from([1, 2, 3, 1, 4, 5, 9, 1, 7, 8, 15, 1]);
  expect(solveReal(Float64Array.from(a), 3)).toBe(2);
  expect(solveComplex(Float64Array.from(a), new Float64Array(12), 3)).toBe(2);
  expect(solveReal(new Float64Array(6), 2)).toBe(0);
});

test('determinants', () => {
  expect(determinant(Float64Array.from([2, 1, 1, 3]), 2)).toBeCloseTo(5, 12);
  expect(determinant(Float64Array.from([0, 1, 1, 0]), 2)).toBe(-1);
  expect(determinant(Float64Array.from([1, 2, 2, 4]), 2)).toBe(0);
  expect(determinant(new Float64Array(0), 0)).toBe(1);
});
