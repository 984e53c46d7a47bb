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

/** Milliseconds of the fastest of a few runs: where only growth is asked for, a pause of the machine must not bend it. */
export function fastest(work: () => void, { runs = 7, warm = 2 } = {}): number {
  for (let i = 0; i < warm; i++) work();
  let best = Number.POSITIVE_INFINITY;
  for (let i = 0; i < runs; i++) {
    const start = performance.now();
    work();
    best = Math.min(best, performance.now() - start);
  }
  return best;
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

/** The exponent of a power law through times at growing sizes: 1 is linear. */
export function growthOf(points: readonly (readonly [size: number, time: number])[]): number {
  const logs = points.map(([size, time]) => [Math.log(size), Math.log(time)] as const);
  const mean = (pick: 0 | 1) => logs.reduce((sum, point) => sum + point[pick], 0) / logs.length;
  const [mx, my] = [mean(0), mean(1)];
  return (
    logs.reduce((sum, [x, y]) => sum + (x - mx) * (y - my), 0) /
    logs.reduce((sum, [x]) => sum + (x - mx) ** 2, 0)
  );
}
