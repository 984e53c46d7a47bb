/** Holds the job that a job returns: read one step back with its own chassis sheet, missed out loud, harmless in a ring. */
import { describe, expect, it } from 'vitest';
import { analyse, sayFinding } from '../support/check.ts';

const TODAY = '---\nreturns: 2031.tagstrip.md\n---\n# Back again\n\n## As found\n\n- B+1: 340 V\n';
const THEN =
  '---\njob: 2031\nchassis: ../chassis/larch.tagstrip.md\n---\n# Then\n\n## As left\n\n- B+1: 338 V\n';
const CHASSIS = '---\nsheet: chassis\nmodel: Larch\n---\n# Larch\n\n- C1 = 47uF 450V, B+1 to gnd\n';

describe('a job that returns', () => {
  it('has the earlier one beside it, on its own chassis sheet', async () => {
    const { earlier, findings } = await analyse(TODAY, {
      '2031.tagstrip.md': THEN,
      '../chassis/larch.tagstrip.md': CHASSIS,
    });
    expect(earlier?.sheet.field('job')?.text).toBe('2031');
    expect(earlier?.amplifier.phases.at(-1)?.parts.has('C1')).toBe(true);
    expect(findings.map(({ rule }) => rule)).not.toContain('sheet-missing');
  });

  it('is told where the earlier one is not there, or is no job', async () => {
    const { earlier, findings } = await analyse(TODAY);
    expect(earlier).toBeUndefined();
    expect(findings.map((each) => sayFinding(each, TODAY))).toContain(
      'warning sheet-missing 2031.tagstrip.md "2031.tagstrip.md"',
    );
    const chassis = await analyse(TODAY, { '2031.tagstrip.md': CHASSIS });
    expect(chassis.earlier).toBeUndefined();
    expect(chassis.findings.find(({ rule }) => rule === 'sheet-missing')?.message).toContain(
      'is no job sheet',
    );
  });

  it('goes one step back and no further, so that a ring ends', async () => {
    const { earlier, findings } = await analyse(TODAY, {
      '2031.tagstrip.md': '---\nreturns: job.tagstrip.md\n---\n# Then\n\n## As left\n\n- B+1: 338 V\n',
    });
    expect(earlier?.sheet.title).toBe('Then');
    expect(findings.map(({ rule }) => rule)).not.toContain('sheet-missing');
    const itself = await analyse('---\nreturns: job.tagstrip.md\n---\n# X\n');
    expect(itself.findings.find(({ rule }) => rule === 'sheet-missing')?.message).toContain(
      'is this sheet itself',
    );
  });
});
