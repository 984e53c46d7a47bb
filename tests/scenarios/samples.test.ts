/** The invented shop's jobs: what was wrong is named by part, and what left the bench is told of as no more than information. */
import { describe, expect, it } from 'vitest';
import { analyseSample, SAMPLES, textOfSample } from '../summary/samples.ts';

/** The one finding that a technician would put at the head of the job. */
const FAULTS: Readonly<Record<string, string>> = {
  '1806-larch-20-buzz': 'capacitance-low C11',
  '1829-larch-20-red-plate': 'leaky-coupling C10',
  '1874-larch-20-half-power': 'screen-open R6',
  '1932-larch-20-thick': 'leaky-coupling C9',
  '1968-larch-20-smell': 'value-out-of-tolerance R5',
  '2041-larch-20-hum': 'capacitance-low C11',
  '2047-larch-20-hot-valve': 'leaky-coupling C10',
  '2052-larch-20-tone': 'bypass-over-voltage C15',
  '2103-larch-20-back-again': 'mismatched-pair V3,V4',
  '2117-larch-20-waiting': 'leaky-coupling C10',
};

const JOBS = SAMPLES.filter((path) => path.startsWith('jobs/'));

describe('the jobs of the samples', () => {
  it.each(JOBS)('%s: the fault is found', async (path) => {
    const { findings } = await analyseSample(path);
    const name = path.replace('jobs/', '').replace('.tagstrip.md', '');
    const found = findings.map(({ rule, subject }) => `${rule} ${subject}`);
    expect(found).toContain(FAULTS[name]);
    // Beside it nothing but its own kind and what was written down for later.
    expect(new Set(found).size).toBeLessThanOrEqual(4);
  });

  it.each(JOBS)('%s: nothing above information is left on one that was returned', async (path) => {
    const { findings } = await analyseSample(path);
    const loud = findings
      .filter(({ severity }) => severity === 'warning' || severity === 'error')
      .map(({ rule, subject }) => `${rule} ${subject}`);
    expect(loud).toEqual(/^returned:/m.test(textOfSample(path)) ? [] : ['leaky-coupling C10']);
  });

  it.each(SAMPLES.filter((path) => /^(?:chassis|mods)\//.test(path)))(
    '%s: what is drawn is silent, but for the known weakness of the first revision',
    async (path) => {
      const { findings } = await analyseSample(path);
      expect(findings.map(({ rule, subject }) => `${rule} ${subject}`)).toEqual(
        path.endsWith('larch-20.a.tagstrip.md')
          ? ['coupling-over-voltage C9', 'coupling-over-voltage C10']
          : [],
      );
    },
  );
});
