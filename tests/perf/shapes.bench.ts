/** Measures how the time of reading grows with texts of hard shapes, and how long what is refused takes to be refused. */
import { readNote } from '../../server/dialect/note.ts';
import { createSnapshot } from '../../server/text/snapshot.ts';
import { LINEAR, REFUSED } from './hostile-texts.ts';
import { fastest, growthOf } from './measure.ts';

interface Measured {
  readonly value: number;
  readonly unit: string;
  readonly baseline?: string;
}

const timeOf = (text: string): number => fastest(() => readNote(createSnapshot('a.tagstrip.md', text)));

/** The shape that grows fastest, by the exponent of a power law through four lengths; 1 is linear, 2 is a square. */
export function measureShapes(): Record<string, Measured> {
  const growths = LINEAR.map(([name, make]) => {
    const points = [250, 500, 1000, 2000].map((n) => [n, timeOf(make(n))] as const);
    return { name, growth: growthOf(points) };
  });
  const refusals = REFUSED.map(([name, text]) => ({ name, time: timeOf(text) }));
  const [worst] = growths.toSorted((one, other) => other.growth - one.growth);
  const [slowest] = refusals.toSorted((one, other) => other.time - one.time);
  return {
    'hard-shapes-growth': {
      value: worst?.growth ?? Number.NaN,
      unit: '1',
      baseline: `linear growth is 1; of ${growths.length} shapes the worst is: ${worst?.name}`,
    },
    'hard-shapes-refused': {
      value: slowest?.time ?? Number.NaN,
      unit: 'ms',
      baseline: `of ${refusals.length} texts beyond a limit the slowest to be refused is: ${slowest?.name}`,
    },
  };
}
