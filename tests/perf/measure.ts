/** Owns how a benchmark times: warm, alternating with its baseline, and the median of each. */

/** Milliseconds of the median of `runs` after `warm` runs. */
export function median(work: () => void, { runs = 15, warm = 4 } = {}): number {
  for (let i = 0; i < warm; i++) work();
  const times: number[] = [];
  for (let i = 0; i < runs; i++) {
    const start = performance.now();
    work();
    times.push(performance.now() - start);
  }
  return times.sort((a, b) => a - b)[runs >> 1] ?? Number.NaN;
}

/** Medians of two jobs run in turn, so that what else the machine does falls on both. */
export function medians(
  one: () => void,
  two: () => void,
  { runs = 15, warm = 4 } = {},
): readonly [number, number] {
  for (let i = 0; i < warm; i++) {
    one();
    two();
  }
  const times: [number[], number[]] = [[], []];
  for (let i = 0; i < runs; i++) {
    for (const [k, work] of [one, two].entries()) {
      const start = performance.now();
      work();
      times[k as 0 | 1].push(performance.now() - start);
    }
  }
  const middle = (list: number[]) => list.sort((a, b) => a - b)[runs >> 1] ?? Number.NaN;
  return [middle(times[0]), middle(times[1])];
}
