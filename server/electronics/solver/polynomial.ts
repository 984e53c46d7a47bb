/** Owns the roots of short polynomials with real coefficients, spread over many decades. */

export interface Complex {
  readonly re: number;
  readonly im: number;
}

const MOST_ROUNDS = 300;

/**
 * Roots of Σ c[m] · x^m, smallest modulus first; undefined where the search does not end. Trailing coefficients must not be 0.
 * Aberth's simultaneous iteration, begun at the moduli that neighbouring coefficients suggest: for roots that lie far
 * apart those are nearly right already.
 */
export function findRoots(coefficients: readonly number[]): readonly Complex[] | undefined {
  const zeroRoots = coefficients.findIndex((each) => each !== 0);
  if (zeroRoots < 0) return undefined;
  const c = coefficients.slice(zeroRoots);
  const degree = c.length - 1;
  const roots = Array.from({ length: degree }, (_, i) => {
    const modulus = startModulus(c, i);
    const angle = 2.4 + 1.3 * i;
    return { re: modulus * Math.cos(angle), im: modulus * Math.sin(angle) };
  });
  let moving = degree > 0;
  for (let round = 0; moving; round++) {
    if (round === MOST_ROUNDS) return undefined;
    moving = false;
    for (const [i, root] of roots.entries()) {
      const newton = quotient(c, root);
      if (newton === undefined) continue;
      let repulsion: Complex = { re: 0, im: 0 };
      for (const [j, other] of roots.entries()) {
        if (j === i) continue;
        const apart = inverse({ re: root.re - other.re, im: root.im - other.im });
        repulsion = { re: repulsion.re + apart.re, im: repulsion.im + apart.im };
      }
      const damped = multiply(newton, repulsion);
      const step = multiply(newton, inverse({ re: 1 - damped.re, im: -damped.im }));
      root.re -= step.re;
      root.im -= step.im;
      if (!Number.isFinite(root.re) || !Number.isFinite(root.im)) return undefined;
      if (Math.hypot(step.re, step.im) > 1e-14 * Math.hypot(root.re, root.im)) moving = true;
    }
    // Rounding may keep the last digit alive; after enough rounds the roots are as good as they get.
    if (round > 60 && moving) moving = !roots.every((root) => isGoodEnough(c, root));
  }
  const origin = Array.from({ length: zeroRoots }, (): Complex => ({ re: 0, im: 0 }));
  return [...origin, ...pair(roots)].sort((a, b) => Math.hypot(a.re, a.im) - Math.hypot(b.re, b.im));
}

/** Between which powers a root of rank i tips the balance; gaps of zero coefficients are bridged. */
function startModulus(c: readonly number[], rank: number): number {
  let below = rank;
  while (below > 0 && c[below] === 0) below--;
  let above = rank + 1;
  while (above < c.length - 1 && c[above] === 0) above++;
  const ratio = Math.abs((c[below] ?? 1) / (c[above] ?? 1));
  return ratio ** (1 / (above - below));
}

/** p(x) / p'(x), or undefined where x is a root to the last digit. */
function quotient(c: readonly number[], x: Complex): Complex | undefined {
  let value: Complex = { re: 0, im: 0 };
  let slope: Complex = { re: 0, im: 0 };
  for (let m = c.length - 1; m >= 0; m--) {
    slope = multiply(slope, x);
    slope = { re: slope.re + value.re, im: slope.im + value.im };
    value = multiply(value, x);
    value = { re: value.re + (c[m] ?? 0), im: value.im };
  }
  if (value.re === 0 && value.im === 0) return undefined;
  return multiply(value, inverse(slope));
}

function isGoodEnough(c: readonly number[], x: Complex): boolean {
  const modulus = Math.hypot(x.re, x.im);
  let value: Complex = { re: 0, im: 0 };
  let size = 0;
  for (let m = c.length - 1; m >= 0; m--) {
    value = multiply(value, x);
    value = { re: value.re + (c[m] ?? 0), im: value.im };
    size = size * modulus + Math.abs(c[m] ?? 0);
  }
  return Math.hypot(value.re, value.im) <= 1e-12 * size;
}

/** Takes rounding off: what is nearly real is real, what is nearly a conjugate pair is one. */
function pair(roots: readonly Complex[]): readonly Complex[] {
  const left = [...roots];
  const out: Complex[] = [];
  for (let root = left.pop(); root !== undefined; root = left.pop()) {
    const { re, im } = root;
    const size = Math.hypot(re, im);
    const twin = left.findIndex((other) => Math.hypot(other.re - re, other.im + im) < 1e-6 * size);
    if (Math.abs(im) < 1e-8 * size || twin < 0) {
      out.push({ re, im: 0 });
      continue;
    }
    left.splice(twin, 1);
    out.push({ re, im: Math.abs(im) }, { re, im: -Math.abs(im) });
  }
  return out;
}

function multiply(a: Complex, b: Complex): Complex {
  return { re: a.re * b.re - a.im * b.im, im: a.re * b.im + a.im * b.re };
}

function inverse({ re, im }: Complex): Complex {
  const norm = re * re + im * im;
  return norm === 0 ? { re: 1e150, im: 0 } : { re: re / norm, im: -im / norm };
}
