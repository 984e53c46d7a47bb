/** Items that lack their sign are told of where the amplifier has the part or point that they begin with. */
import { describe, expect, it } from 'vitest';
import { analyse } from '../support/check.ts';

const AROUND = `# Dunlin 22

- R31 = 2k7 1W, V4A.k to gnd
- R33 = 1M, ph1 to gnd
- C33 = 10n 400V, ph1 to ph2
- R45 = 10k 1W, bias to biasraw

## As found

`;

const wordsOnly = async (items: string, others?: Readonly<Record<string, string>>) =>
  (await analyse(items, others)).findings
    .filter(({ rule }) => rule === 'line-in-prose')
    .map(({ severity, subject }) => `${severity} ${subject}`);

describe('an item without its sign', () => {
  it('is told of where the sheet has the part or the point', async () => {
    expect(await wordsOnly(`${AROUND}- R31 2k9\n- C33 leaky, ph2 +1.7V\n- bias -34.5\n- ph1 3\n`)).toEqual([
      'hint R31 2k9',
      'hint C33 leaky, ph2 +1.7V',
      'hint bias -34.5',
      'hint ph1 3',
    ]);
  });

  it('is words where it has not', async () => {
    expect(await wordsOnly(`${AROUND}- R77 2k9\n- mid 310\n- L1 OL\n`)).toEqual([]);
  });

  it('is told of where the chassis sheet has it', async () => {
    expect(
      await wordsOnly('---\nchassis: c.tagstrip.md\n---\n# Job\n\n## As found\n- R31 2k9\n', {
        'c.tagstrip.md': `---\nsheet: chassis\n---\n${AROUND.slice(0, AROUND.indexOf('## As'))}`,
      }),
    ).toEqual(['hint R31 2k9']);
  });
});
