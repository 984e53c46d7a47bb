/** Windings that are read by name: a coil that is open, and power at a tap. */
import { describe, expect, it } from 'vitest';
import { analyse } from '../support/check.ts';

const said = async (text: string, rule: string) =>
  (await analyse(text)).findings
    .filter((finding) => finding.rule === rule)
    .map(({ message }) => message.split(/, and a|\. With/)[0]);

const TANK = '# Curlew\n\n- TK1 = tank in 8R out 2k2, T3.8R to V4A.g\n\n## As found\n';

describe('a coil of a tank', () => {
  it('that was read open after it was read whole is open', async () => {
    expect(await said(`${TANK}- TK1 in 1.1R, out 180R\n- TK1: in OL, out 200R\n`, 'coil-open')).toEqual([
      'As found, TK1.in reads open',
    ]);
  });

  it('that reads again is not', async () => {
    expect(await said(`${TANK}- TK1: in OL, out 200R\n- TK1 in 1.1R, out 180R\n`, 'coil-open')).toEqual([]);
  });
});

const WREN = `# Wren 12

- V3, V4 = 6V6GT
- R15 = 270R 5W, V3.k V4.k to gnd
- OT = output 8k : 8R 12W, V3.a V4.a, ct B+1, LS1 on 8R
- LS1 = 8R 25W

## As found
mains 231
- B+1 318
- V3: a 314 g2 290 g 0 k 19.8
- V4: a 313 g2 290 g 0 k 19.8
`;

describe('power at a tap', () => {
  it('is low, with the condition behind the braces', async () => {
    const [message, ...others] = await said(`${WREN}- {OT.8R: 2.1 Vrms at 1 kHz} clipping\n`, 'power-low');
    expect(others).toEqual([]);
    expect(message).toMatch(/^As found, OT\.8R gives 0\.551\sW at clipping/);
  });

  it('is what it should be, or says nothing without the condition', async () => {
    expect(await said(`${WREN}- {OT.8R: 9.2 Vrms at 1 kHz} clipping\n`, 'power-low')).toEqual([]);
    expect(await said(`${WREN}- {OT.8R: 2.1 Vrms at 1 kHz}\n`, 'power-low')).toEqual([]);
  });
});
