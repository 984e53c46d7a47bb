/** Owns doing something later. A test passes its own, and so knows what is still to come. */

/** Does `work` once so many milliseconds have gone; what it answers takes that back, and may be called afterwards too. */
export type After = (milliseconds: number, work: () => void) => () => void;

export const after: After = (milliseconds, work) => {
  const timer = setTimeout(work, milliseconds);
  return () => clearTimeout(timer);
};
