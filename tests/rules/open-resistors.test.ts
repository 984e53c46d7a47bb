/** Volts across a resistor that it could not bear: one finding on the resistor, and none on what its impossible current would do. */
import { describe, expect, it } from 'vitest';
import { analyse } from '../support/check.ts';

const FIXED = (chart: string): string =>
  `# Job\n\n- T1 = mains 330V 300mA 6.3V 6A\n- D1-D4 = 1N4007, T1 to B+\n- C1 = 100uF 550V, B+ to gnd\n- L1 = 5H 80R, B+ to B+2\n- V4, V5 = 6L6GC\n- OT = output 4k2 : 8R 50W, V4.a V5.a, ct B+\n- R30, R31 = 470R 5W, B+2 to V4.g2 V5.g2\n- R32, R33 = 1R 1W, V4.k V5.k to gnd\n- R20, R21 = 100k, V4.g V5.g to bias\n\n## As found\n\n- B+: 440 V\n- B+2: 436 V\n- bias: -48 V\n${chart}- V5: a 437, g2 434, g -48, k 37 mV\n`;

async function said(sheet: string): Promise<readonly string[]> {
  const { findings } = await analyse(sheet);
  return findings
    .filter(({ severity }) => severity === 'error' || severity === 'warning')
    .map(({ rule, subject }) => `${rule} ${subject}`);
}

describe('a resistor with more across it than it could bear', () => {
  it('is open where it is under a cathode, and the valve does not make kilowatts', async () => {
    expect(await said(FIXED('- V4: a 440, g2 436, g -48, k 41 V\n'))).toEqual(['resistor-open R32']);
  });

  it('is open where it feeds the screen of one of two valves on one cathode resistor', async () => {
    expect(
      await said(
        '# Job\n\n- V3, V4 = EL84\n- OT = output 8k : 8R 15W, V3.a V4.a, ct B+\n- R1 = 1k 5W, B+ to B+2\n- R20 = 130R 5W, V3.k V4.k to gnd\n- R21, R22 = 100R 2W, B+2 to V3.g2 V4.g2\n\n## As found\n\n- B+: 310 V\n- B+2: 296 V\n- V3: a 309, g2 3, k 6.1\n- V4: a 307, g2 295, k 6.1\n',
      ),
    ).toEqual(['resistor-open R21']);
  });

  it('is not open where two that share a point seem so: the reading there is wrong', async () => {
    const found = await said(FIXED('- V4: a 437, g2 434, g -48, k 38 mV\n').replace('B+2: 436', 'B+2: 43.6'));
    expect(found.filter((each) => each.startsWith('resistor-open'))).toEqual([]);
  });

  it('is not open where nothing is wrong', async () => {
    expect(await said(FIXED('- V4: a 437, g2 434, g -48, k 38 mV\n'))).toEqual([]);
  });
});

describe('a grid leak that reads open', () => {
  const PAIR =
    '# Job\n\n- V3, V4 = EL84\n- OT = output 8k : 8R 15W, V3.a V4.a, ct B+\n- R20 = 130R 5W, V3.k V4.k to gnd\n- C20 = 100uF 25V, across R20\n- R23, R24 = 470k, V3.g V4.g to gnd\n- C8, C9 = 22n 630V film, V2A.a V2B.a to V3.g V4.g\n\n## As found\n\n- V3: a 298, g2 288, g 9, k 15.2\n- V4: a 304, g2 290, g 0, k 15.2\n';

  it('is what lets the grid drift, and the capacitor is not accused', async () => {
    expect(await said(`${PAIR}- R23: OL\n`)).toEqual(['value-out-of-tolerance R23']);
    expect(await said(PAIR)).toEqual(['leaky-coupling C8']);
  });

  it('is to be measured where a grid has lost its bias', async () => {
    const { findings } = await analyse(
      `${FIXED('- V4: a 425, g2 415, g -3, k 180 mV\n').replace('\n## As', '- C8, C9 = 22n 630V film, V3A.a V3B.a to V4.g V5.g\n\n## As')}`,
    );
    expect(findings.find(({ rule }) => rule === 'leaky-coupling')?.message).toContain(
      'Measure R20 with the power off as well',
    );
  });
});
