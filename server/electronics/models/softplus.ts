/** Owns ln(1 + exp(z)) and its derivative, written so that no argument overflows. */

/** Beyond this exp(z) drowns the 1 in double precision, so that ln(1 + exp(z)) is z. */
const LARGE = 50;

export function softplus(z: number): number {
  return z > LARGE ? z : Math.log1p(Math.exp(z));
}

/** d softplus / dz. */
export function sigmoid(z: number): number {
  if (z > LARGE) return 1;
  const e = Math.exp(z);
  return e / (1 + e);
}
