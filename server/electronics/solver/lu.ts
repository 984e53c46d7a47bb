/**
 * Owns the solution of dense linear equations, real and complex, by elimination with row exchange. Matrices are row-major
 * typed arrays with the right-hand side as their last column; both are overwritten, so that a sweep allocates nothing.
 */

/** A pivot this much smaller than its column began counts as nothing: what is left is rounding. */
const SINGULAR = 1e-14;

/**
 * Solves `a x = b` in place, `a` being `order` rows of `order + 1` numbers, the last one b; the answer is left in that last
 * column. Returns -1, or the number of the unknown that nothing determines.
 */
export function solveReal(a: Float64Array, order: number): number {
  const width = order + 1;
  for (let k = 0; k < order; k++) {
    const scale = columnScale(a, undefined, k, order);
    let best = 0;
    let pivotRow = k;
    for (let i = k; i < order; i++) {
      const size = Math.abs(at(a, i * width + k));
      if (size > best) {
        best = size;
        pivotRow = i;
      }
    }
    if (!(best > SINGULAR * scale)) return k;
    if (pivotRow !== k) swapRows(a, k * width, pivotRow * width, width);
    const pivot = at(a, k * width + k);
    for (let i = k + 1; i < order; i++) {
      const entry = at(a, i * width + k);
      if (entry === 0) continue;
      const factor = entry / pivot;
      a[i * width + k] = 0;
      for (let j = k + 1; j < width; j++) {
        a[i * width + j] = at(a, i * width + j) - factor * at(a, k * width + j);
      }
    }
  }
  for (let i = order - 1; i >= 0; i--) {
    let sum = at(a, i * width + order);
    for (let j = i + 1; j < order; j++) sum -= at(a, i * width + j) * at(a, j * width + order);
    a[i * width + order] = sum / at(a, i * width + i);
  }
  return -1;
}

/** The same for complex numbers in two arrays of equal shape. */
export function solveComplex(re: Float64Array, im: Float64Array, order: number): number {
  const width = order + 1;
  for (let k = 0; k < order; k++) {
    const scale = columnScale(re, im, k, order);
    let best = 0;
    let pivotRow = k;
    for (let i = k; i < order; i++) {
      const size = Math.abs(at(re, i * width + k)) + Math.abs(at(im, i * width + k));
      if (size > best) {
        best = size;
        pivotRow = i;
      }
    }
    if (!(best > SINGULAR * scale)) return k;
    const kk = k * width;
    if (pivotRow !== k) {
      swapRows(re, kk, pivotRow * width, width);
      swapRows(im, kk, pivotRow * width, width);
    }
    const pr = at(re, kk + k);
    const pi = at(im, kk + k);
    const norm = pr * pr + pi * pi;
    const inverseRe = pr / norm;
    const inverseIm = -pi / norm;
    for (let i = k + 1; i < order; i++) {
      const ii = i * width;
      const er = at(re, ii + k);
      const ei = at(im, ii + k);
      if (er === 0 && ei === 0) continue;
      const fr = er * inverseRe - ei * inverseIm;
      const fi = er * inverseIm + ei * inverseRe;
      for (let j = k + 1; j < width; j++) {
        const ar = at(re, kk + j);
        const ai = at(im, kk + j);
        re[ii + j] = at(re, ii + j) - (fr * ar - fi * ai);
        im[ii + j] = at(im, ii + j) - (fr * ai + fi * ar);
      }
    }
  }
  for (let i = order - 1; i >= 0; i--) {
    const ii = i * width;
    let sumRe = at(re, ii + order);
    let sumIm = at(im, ii + order);
    for (let j = i + 1; j < order; j++) {
      const ar = at(re, ii + j);
      const ai = at(im, ii + j);
      const xr = at(re, j * width + order);
      const xi = at(im, j * width + order);
      sumRe -= ar * xr - ai * xi;
      sumIm -= ar * xi + ai * xr;
    }
    const pr = at(re, ii + i);
    const pi = at(im, ii + i);
    const norm = pr * pr + pi * pi;
    re[ii + order] = (sumRe * pr + sumIm * pi) / norm;
    im[ii + order] = (sumIm * pr - sumRe * pi) / norm;
  }
  return -1;
}

/** Determinant by the same elimination; `a` is `order` rows of `order` numbers and is overwritten. */
export function determinant(a: Float64Array, order: number): number {
  let product = 1;
  for (let k = 0; k < order; k++) {
    let pivotRow = k;
    for (let i = k + 1; i < order; i++) {
      if (Math.abs(at(a, i * order + k)) > Math.abs(at(a, pivotRow * order + k))) pivotRow = i;
    }
    const pivot = at(a, pivotRow * order + k);
    if (pivot === 0) return 0;
    if (pivotRow !== k) {
      swapRows(a, k * order, pivotRow * order, order);
      product = -product;
    }
    product *= pivot;
    for (let i = k + 1; i < order; i++) {
      const factor = at(a, i * order + k) / pivot;
      for (let j = k + 1; j < order; j++) {
        a[i * order + j] = at(a, i * order + j) - factor * at(a, k * order + j);
      }
    }
  }
  return product;
}

/** Largest entry of a column over all rows: what a vanishing pivot is measured against. */
function columnScale(re: Float64Array, im: Float64Array | undefined, column: number, order: number): number {
  const width = order + 1;
  let largest = 0;
  for (let i = 0; i < order; i++) {
    const index = i * width + column;
    const size = Math.abs(at(re, index)) + (im === undefined ? 0 : Math.abs(at(im, index)));
    if (size > largest) largest = size;
  }
  return largest;
}

function swapRows(a: Float64Array, first: number, second: number, width: number): void {
  for (let j = 0; j < width; j++) {
    const kept = at(a, first + j);
    a[first + j] = at(a, second + j);
    a[second + j] = kept;
  }
}

/** Indices here are in range by construction; the 0 is for the type checker and is never taken. */
function at(a: Float64Array, index: number): number {
  return a[index] ?? 0;
}
