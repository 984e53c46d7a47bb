/** A pot's word for one of its ends that is also the name of a node of the sheet. */
import { describe, expect, it } from 'vitest';
import { tidyWritten } from '../../server/dialect/tidy.ts';
import { analyse } from '../support/check.ts';

const AROUND = `# Redwing 30

- V1A = 12AX7, a R2 B+4, k R3 C2
- R2 = 100k 1W
- R3 = 1k5
- C2 = .68uF
- V1B = 12AX7, a R5 B+4, k R6
- R5 = 100k 1W
- R6 = 1k5

## As found
- B+4 290

## Parts
`;

const endsOf = async (lines: string) => {
  const { amplifier, findings } = await analyse(`${AROUND}${lines}`);
  const ends = Object.fromEntries(amplifier.phases[0]?.parts.get('VR1')?.terminals ?? []);
  return {
    ends,
    asked: findings.filter(({ rule }) => rule === 'value-ambiguous').map(({ subject }) => subject),
  };
};

describe('the end of a pot', () => {
  it('is the node that the sheet uses elsewhere', async () => {
    const { ends, asked } = await endsOf(
      '- C3 = 22n, V1A.a to top\n- VR1 = 1M log, top to gnd, wiper to V1B.g\n',
    );
    expect(ends).toEqual({ 1: 'gnd', 2: 'V1B.g', 3: 'top' });
    expect(asked).toEqual([]);
  });

  it('is so wherever the node is used, and by its other end too', async () => {
    expect(
      (await endsOf('- VR1 = 1M log, bottom to gnd, wiper to V1B.g\n- C3 = 22n, V1A.a to bottom\n')).ends,
    ).toEqual({ 1: 'gnd', 2: 'V1B.g', 3: 'bottom' });
  });

  it('is its clockwise end where no node is called so', async () => {
    expect((await endsOf('- VR1 = 1M log, top to V1A.a, bottom to gnd, wiper to V1B.g\n')).ends).toEqual({
      1: 'gnd',
      2: 'V1B.g',
      3: 'V1A.a',
    });
  });

  it('is asked where both ends are said and a node is called so', async () => {
    const { ends, asked } = await endsOf(
      '- C3 = 22n, V1A.a to top\n- VR1 = 1M log, top to vol, bottom to gnd, wiper to V1B.g\n',
    );
    expect(ends).toEqual({ 1: 'gnd', 2: 'V1B.g', 3: 'vol' });
    expect(asked).toEqual(['top']);
  });
});

describe('the tidier, which sees no other line', () => {
  it('leaves such a word as it is', async () => {
    const written = 'VR1 = 1M log,top to gnd, wiper to V1B.g';
    expect(tidyWritten(written, 'item')).toBe('VR1 = 1M log, top to gnd, wiper to V1B.g');
  });
});
