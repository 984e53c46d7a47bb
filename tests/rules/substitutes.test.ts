/** Capacitors of networks that a replacement of another value moves. */
import { describe, expect, it } from 'vitest';
import { analyse } from '../support/check.ts';

const BRIGHT = `# Redwing 30

- V1A = 12AX7, a R2 B+4, k R3 C2
- R2 = 100k 1W
- R3 = 1k5
- C2 = .68uF
- C3 = 22n 400V, V1A.a to vol
- VR1 = 1M log, vol to gnd, wiper to V1B.g
- C4 = 120p, vol to V1B.g (bright)
- V1B = 12AX7, a R5 B+4, k R6
- R5 = 100k 1W
- R6 = 1k5
- C5 = 22n, V1B.a to pk
- R7 = 470k, pk to V2A.g
- C6 = 500p, across R7 (treble peaker)
- R8 = 470k, V2A.g to gnd

## Work
- plug out, discharged: B+4: 2 V
`;

const said = async (work: string) =>
  (await analyse(`${BRIGHT}${work}\n`)).findings.flatMap(({ rule, message }) =>
    rule === 'substitute-differs' ? [message.split('. If')[0]?.replace(/\s/g, ' ')] : [],
  );

describe('a capacitor of a network', () => {
  it('over a volume control or a resistor moves its shelf', async () => {
    expect(await said('- C4 120p -> 4n7\n- C6 500p -> 1nF')).toEqual([
      'C4 was 120 pF and is now 4.7 nF: its shelf, wherever its control stands, moves down to 2.55 % of what it was',
      'C6 was 500 pF and is now 1 nF: its shelf, now 339 Hz to 677 Hz, moves down to 50 % of what it was',
    ]);
  });

  it('is not spoken of where it is near enough, or explained', async () => {
    expect(await said('- C4 120p -> 130p 500V\n- C6 500p -> 1nF (less fizz, as asked)')).toEqual([]);
  });
});
