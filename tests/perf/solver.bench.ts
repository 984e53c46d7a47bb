/** Owns the solver's share of the benchmark: a tone network's sweep against mathjs, and a whole amplifier coming to rest. */
import { settleAmplifier } from '../../server/electronics/solver/amplifier.ts';
import { logarithmicSweep, transfer } from '../../server/electronics/solver/sweep.ts';
import { hertz } from '../../server/units/si.ts';
import { fiveValveAmplifier } from '../electronics/solver/amplifiers.ts';
import { ladder, sweepByMathjs } from '../electronics/solver/by-mathjs.ts';
import { median, medians } from './measure.ts';

interface Measured {
  readonly value: number;
  readonly unit: string;
  readonly baseline?: string;
  readonly ratio?: number;
}

const NODES = 12;
const FREQUENCIES = 400;

export function measureSolver(): Readonly<Record<'sweep-vs-mathjs' | 'settle-60-parts', Measured>> {
  return { 'sweep-vs-mathjs': sweepAgainstMathjs(), 'settle-60-parts': settleSixtyParts() };
}

/** How many times faster than putting the same equations together and solving them by mathjs at each frequency. */
function sweepAgainstMathjs(): Measured {
  const netlist = ladder(NODES);
  const frequencies = logarithmicSweep(hertz(20), hertz(20_000), FREQUENCIES);
  if (!frequencies.ok) throw new Error(frequencies.reason);
  const sweepOurs = () => {
    const response = transfer(netlist, { plus: 'in' }, { plus: `n${NODES}` }, frequencies.value);
    if (!response.ok) throw new Error(response.reason);
  };
  // Ours is over in a moment: it is warmed up here, and then measured beside the other.
  median(sweepOurs, { runs: 20, warm: 40 });
  const [ours, mathjs] = medians(
    sweepOurs,
    () => {
      sweepByMathjs(netlist, `n${NODES}`, frequencies.value);
    },
    { runs: 5, warm: 1 },
  );
  return {
    value: mathjs / ours,
    unit: '1',
    baseline: `the same ${NODES} nodes at ${FREQUENCIES} frequencies by mathjs, ${mathjs.toFixed(1)} ms (ours ${ours.toFixed(2)} ms)`,
    ratio: ours / mathjs,
  };
}

/** Supply and operating point of a five-valve amplifier together. */
function settleSixtyParts(): Measured {
  const netlist = fiveValveAmplifier();
  const settle = () => {
    const point = settleAmplifier(netlist);
    if (!point.ok) throw new Error(point.reason);
  };
  return { value: median(settle, { runs: 41, warm: 40 }), unit: 'ms' };
}
