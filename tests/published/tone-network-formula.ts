/**
 * Owns the published third-order transfer function of the tone network with C3 on the wiper of the middle control (D. Yeh and
 * J. O. Smith, DAFx-06, Montreal, September 2006; coefficients from memory, and held to an independent nodal solver).
 */

/** Ohms and farads. */
export interface ToneNetworkParts {
  readonly r1: number;
  readonly r2: number;
  readonly r3: number;
  readonly r4: number;
  readonly c1: number;
  readonly c2: number;
  readonly c3: number;
}

/** Circuit A of that paper. */
export const DRAWN: ToneNetworkParts = {
  r1: 250e3,
  r2: 1e6,
  r3: 25e3,
  r4: 56e3,
  c1: 0.25e-9,
  c2: 20e-9,
  c3: 20e-9,
};

/** Its modulus with an ideal source and no load; `t`, `m` and `l` are treble, middle and bass from 0 to 1. */
export function publishedToneGain(
  { r1, r2, r3, r4, c1, c2, c3 }: ToneNetworkParts,
  [t, m, l]: readonly [t: number, m: number, l: number],
  frequency: number,
): number {
  const c123 = c1 * c2 * c3;
  const b1 = t * c1 * r1 + m * c3 * r3 + l * (c1 * r2 + c2 * r2) + (c1 * r3 + c2 * r3);
  const b2 =
    t * (c1 * c2 * r1 * r4 + c1 * c3 * r1 * r4) -
    m * m * (c1 * c3 * r3 ** 2 + c2 * c3 * r3 ** 2) +
    m * (c1 * c3 * r1 * r3 + c1 * c3 * r3 ** 2 + c2 * c3 * r3 ** 2) +
    l * (c1 * c2 * r1 * r2 + c1 * c2 * r2 * r4 + c1 * c3 * r2 * r4) +
    l * m * (c1 * c3 * r2 * r3 + c2 * c3 * r2 * r3) +
    (c1 * c2 * r1 * r3 + c1 * c2 * r3 * r4 + c1 * c3 * r3 * r4);
  const b3 =
    l * m * (c123 * r1 * r2 * r3 + c123 * r2 * r3 * r4) -
    m * m * (c123 * r1 * r3 ** 2 + c123 * r3 ** 2 * r4) +
    m * (c123 * r1 * r3 ** 2 + c123 * r3 ** 2 * r4) +
    t * c123 * r1 * r3 * r4 -
    t * m * c123 * r1 * r3 * r4 +
    t * l * c123 * r1 * r2 * r4;
  const a1 = c1 * r1 + c1 * r3 + c2 * r3 + c2 * r4 + c3 * r4 + m * c3 * r3 + l * (c1 * r2 + c2 * r2);
  const a2 =
    m * (c1 * c3 * r1 * r3 - c2 * c3 * r3 * r4 + c1 * c3 * r3 ** 2 + c2 * c3 * r3 ** 2) +
    l * m * (c1 * c3 * r2 * r3 + c2 * c3 * r2 * r3) -
    m * m * (c1 * c3 * r3 ** 2 + c2 * c3 * r3 ** 2) +
    l * (c1 * c2 * r2 * r4 + c1 * c2 * r1 * r2 + c1 * c3 * r2 * r4 + c2 * c3 * r2 * r4) +
    (c1 * c2 * r1 * r4 + c1 * c3 * r1 * r4 + c1 * c2 * r3 * r4) +
    (c1 * c2 * r1 * r3 + c1 * c3 * r3 * r4 + c2 * c3 * r3 * r4);
  const a3 =
    l * m * (c123 * r1 * r2 * r3 + c123 * r2 * r3 * r4) -
    m * m * (c123 * r1 * r3 ** 2 + c123 * r3 ** 2 * r4) +
    m * (c123 * r3 ** 2 * r4 + c123 * r1 * r3 ** 2 - c123 * r1 * r3 * r4) +
    l * c123 * r1 * r2 * r4 +
    c123 * r1 * r3 * r4;
  const w = 2 * Math.PI * frequency;
  return Math.hypot(-b2 * w * w, b1 * w - b3 * w ** 3) / Math.hypot(1 - a2 * w * w, a1 * w - a3 * w ** 3);
}
