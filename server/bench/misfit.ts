/** Owns how badly numbers that should be zero are not, where errors that they share have been put into one covariance. */

/** A linear system that errors make: what each shared error moves every number by, and the error that each has alone. */
export interface Errors {
  /** For one standard deviation of each shared error, how far it moves every number. */
  readonly shared: readonly (readonly number[])[];
  /** One standard deviation of each number's own error. */
  readonly own: readonly number[];
}

/**
 * Residuals over all errors together, squared and summed: about as many as there are numbers where nothing but those errors
 * is at work. It is r · C⁻¹ · r with C the covariance, by Cholesky's factors; undefined where the errors leave it singular.
 */
export function misfitBy(
  errors: Errors,
): ((residuals: readonly number[]) => { readonly total: number }) | undefined {
  const factor = factorOf(errors);
  if (factor === undefined) return undefined;
  return (residuals) => {
    const y: number[] = [];
    let total = 0;
    for (let i = 0; i < residuals.length; i++) {
      let left = residuals[i] ?? 0;
      for (let j = 0; j < i; j++) left -= (factor[i]?.[j] ?? 0) * (y[j] ?? 0);
      const value = left / (factor[i]?.[i] ?? 1);
      y.push(value);
      total += value * value;
    }
    return { total };
  };
}

/** Standard deviation of each number, with what it shares. */
export function spreadOf({ shared, own }: Errors): readonly number[] {
  return own.map((each, i) => Math.hypot(each, ...shared.map((moved) => moved[i] ?? 0)));
}

function factorOf({ shared, own }: Errors): readonly (readonly number[])[] | undefined {
  const n = own.length;
  const factor: number[][] = [];
  for (let i = 0; i < n; i++) {
    const row: number[] = [];
    for (let j = 0; j <= i; j++) {
      let sum = i === j ? (own[i] ?? 0) ** 2 : 0;
      for (const moved of shared) sum += (moved[i] ?? 0) * (moved[j] ?? 0);
      for (let k = 0; k < j; k++) sum -= (row[k] ?? 0) * (factor[j]?.[k] ?? 0);
      if (i === j) {
        if (!(sum > 0)) return undefined;
        row.push(Math.sqrt(sum));
      } else row.push(sum / (factor[j]?.[j] ?? 1));
    }
    factor.push(row);
  }
  return factor;
}
