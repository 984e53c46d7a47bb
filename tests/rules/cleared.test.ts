/** What the readings as left clear: a fault that was mended becomes information, told with what it was and is. */
import { describe, expect, it } from 'vitest';
import { analyse } from '../support/check.ts';

const OUTPUT = `# Job

## As found

- V3, V4 = 5881
- R19, R20 = 330R 5W 5% wirewound, V3.k V4.k to gnd
- C15, C16 = 100uF 63V electrolytic, V3.k V4.k to gnd
- R17, R18 = 220k 0.5W, V3.g V4.g to gnd
- R21, R22 = 1k 5W wirewound, B+2 to V3.g2 V4.g2
- T2 = output 6k6 : 8R 25W, V3.a V4.a, ct B+1
- B+1: 334 V
- B+2: 331 V
`;
const GOOD = '- B+1: 334 V\n- B+2: 331 V\n- V3: a 329, g2 327, g 0, k 23\n- V4: a 329, g2 327, g 0, k 23\n';
const WORK = '\n## Work\n\n- plug out, discharged: B+1: 3 V, B+2: 2 V\n';

async function told(rule: string, sheet: string) {
  const { findings } = await analyse(sheet);
  return findings
    .filter((finding) => finding.rule === rule)
    .map(({ severity, phase, cleared }) => `${severity} ${phase}${cleared === undefined ? '' : ' cleared'}`);
}

describe('as left clears', () => {
  it('a shorted bypass that was renewed', async () => {
    const found = `${OUTPUT}- V3: a 318, g2 315, g 0, k 0.1\n- V4: a 329, g2 327, g 0, k 23\n`;
    expect(await told('cathode-low', found)).toEqual(['error as-found']);
    const mended = `${found}${WORK}- C15 -> 100uF 63V electrolytic\n\n## As left\n\n${GOOD}`;
    expect(await told('cathode-low', mended)).toEqual(['info as-found cleared']);
    // Renewed but not read again: nobody knows.
    const unread = `${found}${WORK}- C15 -> 100uF 63V electrolytic\n`;
    expect(await told('cathode-low', unread)).toEqual(['error as-found']);
  });

  it('a dead stage', async () => {
    const stage =
      '# Job\n\n## As found\n\n- V1A = 12AX7, a R4 B+3, k R5, g R6\n- R4 = 100k 1W\n- R5 = 1k5 0.5W\n- R6 = 1M\n- B+3: 278 V\n- V1A: a 277, k 0.01\n';
    const left = '\n## As left\n\n- B+3: 278 V\n- V1A: a 181, k 1.45\n';
    expect(await told('no-conduction', stage + left)).toEqual(['info as-found cleared']);
  });

  it('a bias that was lost', async () => {
    const found =
      '# Job\n\n## As found\n\n- V5, V6 = 6L6GC\n- R16, R17 = 100k 0.5W, V5.g V6.g to bias\n- bias: -0.4 V\n';
    expect(await told('no-bias', found)).toEqual(['error as-found']);
    expect(await told('no-bias', `${found}\n## As left\n\n- bias: -48 V\n`)).toEqual(['info as-found']);
    expect(await told('no-bias', `${found}\n## As left\n\n- bias: -0.3 V\n`)).toEqual([
      'error as-found',
      'error as-left',
    ]);
  });

  it('half a rectifier', async () => {
    const supply =
      '---\nmains: 230 V 50 Hz\n---\n# Job\n\n## As found\n\n- T1 = mains 280-0-280V 120mA\n- D1, D2 = 1N4007, T1 to B+1\n- C1 = 32uF 500V, B+1 to gnd\n- B+1: 290 V, 44 Vpp 50 Hz\n';
    expect(await told('half-wave-ripple', supply)).toEqual(['error as-found']);
    expect(await told('half-wave-ripple', `${supply}\n## As left\n\n- B+1: 330 V, 16 Vpp 100 Hz\n`)).toEqual([
      'info as-found cleared',
    ]);
  });
});
