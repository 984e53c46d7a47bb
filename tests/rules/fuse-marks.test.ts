/** A fuse against what is marked beside its holder, and fuses for several mains taps. */
import { describe, expect, it } from 'vitest';
import { analyse } from '../support/check.ts';

const fuses = async (text: string, others?: Readonly<Record<string, string>>) =>
  (await analyse(text, others)).findings
    .filter(({ rule }) => rule === 'fuse-mismatch')
    .map(({ severity, message }) => `${severity} ${message.split(/(?<=[a-z])\. Fit/)[0]}`);

describe('a fuse', () => {
  it.each([
    [
      'F1 = 1A (marked T500mA)',
      'error As found, F1 is 1A and its holder is marked T500mA: 2 times the rating',
    ],
    [
      'F1 = T1A - holder says T630mA',
      'warning As found, F1 is T1A and its holder is marked T630mA: 1.59 times the rating',
    ],
    [
      'F1 = T1A (should be F1A)',
      'error As found, F1 is T1A and its holder is marked F1A: slow where fast is marked',
    ],
  ])('%s', async (line, says) => {
    expect(await fuses(`# Job\n\n## As found\n\n- ${line}\n`)).toEqual([says]);
  });

  it.each(['F1 = T500mA (marked T500mA)', 'F1 = T1A (new)', 'F1 = T1A, marked and dated'])(
    'is right: %s',
    async (line) => {
      expect(await fuses(`# Job\n\n## As found\n\n- ${line}\n`)).toEqual([]);
    },
  );

  it('that is put in is held against the marking that was written of the one before', async () => {
    const sheet = (is: string) =>
      `# Job\n\n## As found\n\n- F1 = 1A (marked T500mA)\n\n## Work\n\n- F1 -> ${is}\n\n## As left\n\n- mains: 230 V\n`;
    expect((await fuses(sheet('T500mA'))).filter((said) => said.includes('As left,'))).toEqual([]);
    expect((await fuses(sheet('T1A'))).at(-1)).toMatch(
      /^error As left, F1 is T1A and its holder is marked T500mA/,
    );
  });
});

describe('two ratings by mains tap', () => {
  const CHASSIS = '---\nsheet: chassis\n---\n# Sparrow\n\n- F1 = T500mA (230/240), T1A (100/120)\n';

  it('are both read, and connect the fuse to nothing', async () => {
    const { amplifier } = await analyse(CHASSIS);
    const fuse = amplifier.phases[0]?.parts.get('F1');
    expect(fuse?.specification?.values).toHaveLength(2);
    expect(fuse?.terminals.size).toBe(0);
  });

  it('are both right, and no third is', async () => {
    const job = (is: string) => `---\nchassis: c.tagstrip.md\n---\n# Job\n\n## As found\n\n- F1 = ${is}\n`;
    const others = { 'c.tagstrip.md': CHASSIS };
    expect(await fuses(job('T500mA'), others)).toEqual([]);
    expect(await fuses(job('T1A'), others)).toEqual([]);
    expect((await fuses(job('T2A'), others))[0]).toMatch(/^error .* the chassis sheet has T1A: 2 times/);
  });
});
