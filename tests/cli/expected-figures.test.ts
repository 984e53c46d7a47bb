/** What `tagstrip figures` says of expected voltages: after what was read, marked as such, one beside the other. */
import { describe, expect, it } from 'vitest';
import { tagstrip } from '../support/command.ts';

const JOB = 'samples/jobs/2047-larch-20-hot-valve.tagstrip.md';

async function figures(...args: readonly string[]): Promise<string> {
  const { code, out } = await tagstrip(['figures', JOB, ...args]);
  expect(code).toBe(0);
  return out;
}

interface FigureJson {
  readonly subject: string;
  readonly figure: string;
  readonly basis: string;
  readonly phase: string;
  readonly value: number;
  readonly unit: string;
  readonly range: unknown;
}

describe('figures', () => {
  it('give the expected volts and currents of each phase behind those that follow from readings', async () => {
    const report = JSON.parse(await figures('--format', 'json')) as { figures: readonly FigureJson[] };
    for (const phase of ['factory', 'as-found', 'as-left']) {
      const own = report.figures.filter((each) => each.phase === phase);
      const first = own.findIndex(({ figure }) => figure === 'expected');
      expect(first).toBeGreaterThan(0);
      // Nothing is expected that is not called so, and nothing called so rests on readings alone.
      own.forEach(({ figure, basis }, i) => {
        expect([figure === 'expected', basis === 'expected']).toEqual([i >= first, i >= first]);
      });
      expect(own.slice(first).map(({ subject, unit }) => [subject, unit])).toEqual(
        expect.arrayContaining([
          ['V4.k', 'V'],
          ['V4', 'A'],
        ]),
      );
    }
  });

  it('say them in words for people', async () => {
    const lines = (await figures()).replaceAll('\u00a0', ' ').split('\n');
    const line = lines.find((each) => / as-left +V4\.k +expected /.test(each));
    expect(line).toMatch(/expected +23\.\d+ V \(\d+\.\d+ V to \d+\.\d+ V\) +expected/);
    expect(line).toContain('from T1 at 231 V mains');
  });
});
