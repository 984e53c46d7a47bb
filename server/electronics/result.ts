/** Owns how a calculation answers: a value, or a refusal that says why; never NaN and never a throw. */

export type Result<T> = { readonly ok: true; readonly value: T } | Refusal;

/** `reason` is a short id in words: `non-positive resistance`, `below cut-off`. */
export interface Refusal {
  readonly ok: false;
  readonly reason: string;
}

export function found<T>(value: T): Result<T> {
  return { ok: true, value };
}

export function refused(reason: string): Refusal {
  return { ok: false, reason };
}
