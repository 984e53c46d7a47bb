/** The values at the ends of lines: one each, the most telling, none on the line being typed. */
import { describe, expect, it } from 'vitest';
import { checkInlays } from '../support/features.ts';

describe('values at line ends', () => {
  it('stand once a line, the worst of a row first', async () => {
    expect(
      await checkInlays(`- V3, V4 = 6V6GT
- R19 = 330R 5W, V3.k to gnd
- R20 = 330R 5W, V4.k to gnd
- R17 = 220k 0.5W, V4.g to gnd

| Valve | a   | g   | k    |
| ----- | --- | --- | ---- |
| V3    | 328 | 0   | 12.7 |
| V4    | 326 | +11 | 29.9 |
`),
    ).toMatchInlineSnapshot(`
      "| V3    | 328 | 0   | 12.7 |  «V3 10.8 to 11.6 W, 93 %»
      | V4    | 326 | +11 | 29.9 |  «V4 23.9 to 25.7 W, 207 %»"
    `);
  });

  it('prefer the part that the line is about', async () => {
    expect(
      await checkInlays(`- V5 = 6V6GT
- R18 = 470R 1W, V5.k to gnd
- V5: a 331
- R18: 19.4 V
`),
    ).toMatchInlineSnapshot(`
      "- V5: a 331  «V5 11.5 to 12.3 W, 99 %»
      - R18: 19.4 V  «R18 0.801 W, 80 %»"
    `);
  });

  it('that need no reading stand beside the part', async () => {
    expect(
      await checkInlays(`- V1A = 12AX7, a R4 B+1, k R3 C2
- R3 = 1k5
- R4 = 100k
- C2 = 22uF 25V
- C3 = 22n 630V, V1A.a to V2A.g
- R9 = 1M, V2A.g to gnd
`),
    ).toMatchInlineSnapshot(`
      "- C2 = 22uF 25V  «C2 4.82 to 9.59 Hz, 5.97 dB shelf»
      - C3 = 22n 630V, V1A.a to V2A.g  «C3 6.97 Hz corner»"
    `);
  });

  it('tell only how deep a shelf is, as a band, where nobody wrote how its control stands', async () => {
    expect(
      await checkInlays(`- V1A = 12AX7, a R2 B+4, k R3 C2
- R2 = 100k
- C3 = 22n 400V, V1A.a to vol
- VR1 = 1M log, vol to gnd, wiper to V1B.g
- C4 = 120p, vol to V1B.g (bright)
- V1B = 12AX7, a R5 B+4, k R6
`),
    ).toMatchInlineSnapshot(`
      "- C3 = 22n 400V, V1A.a to vol  «C3 6.97 Hz corner»
      - C4 = 120p, vol to V1B.g (bright)  «C4 5.81 to 41.9 dB shelf»"
    `);
  });

  it('show what a change moved', async () => {
    expect(
      await checkInlays(`## As found
- R4 = 100k, V1A.a to B+1
- V1A = 12AX7
- C3 = 22n 630V, V1A.a to V2A.g
- R9 = 1M, V2A.g to gnd

## Work
- C3 = 22n 630V -> 10n 630V
`),
    ).toMatchInlineSnapshot(`
      "- C3 = 22n 630V, V1A.a to V2A.g  «C3 6.97 Hz corner»
      - C3 = 22n 630V -> 10n 630V  «C3 6.97 → 15.3 Hz corner»"
    `);
  });

  it('show both phases of a row that has both', async () => {
    expect(
      await checkInlays(`- R18 = 470R 5W, V5.k to gnd
- V5 = 6V6GT

| Point | Found | Left |
| ----- | ----- | ---- |
| V5.k  | 19.4  | 12.2 |
`),
    ).toMatchInlineSnapshot(`"| V5.k  | 19.4  | 12.2 |  «V5 41.3 → 26 mA»"`);
  });

  it('do not say again what was read on the line', async () => {
    expect(
      await checkInlays(`- C11 = 100uF 500V, B+1 to gnd
- C10 = 22n 400V paper, V2B.a to V4.g
- B+1: 332.5 V, 22 Vpp

| Point | Found | Left  |
| ----- | ----- | ----- |
| B+1   | 330.6 | 333.5 |

- V2B.a: 180 V
- V4.g: 0.5 V
`),
    ).toMatchInlineSnapshot(`
      "| B+1   | 330.6 | 333.5 |  «C11 67 % of 500 V»
      - V4.g: 0.5 V  «C10 180 V, 45 % of 400 V»"
    `);
  });

  it('leave out a resistor that is hardly warm', async () => {
    const at = (volts: string) =>
      checkInlays(`- R21 = 1k 5W, B+2 to V3.g2\n- B+2: 330 V, V3.g2: ${volts} V\n`);
    expect(await at('325')).toBe('');
    expect(await at('320')).toContain('«R21 0.1 W, 2 %»');
  });

  it('answer a question where it is asked', async () => {
    expect(
      await checkInlays('{R18 = 470R} {V5.k: 19.4 V}\n\nSo {? V5.k / R18} flows.\n'),
    ).toMatchInlineSnapshot(`"So {? V5.k / R18} flows.  «= 41.3 mA»"`);
  });

  it('are left out on the line being typed, and only there', async () => {
    const text = '- V5 6V6GT: a 331, 60 mA\n- V6 6V6GT: a 331, 30 mA\n';
    expect(await checkInlays(text, { typing: 0 })).not.toContain('V5 1');
    expect(await checkInlays(text, { typing: 0 })).toContain('«V6');
    expect((await checkInlays(text)).split('\n')).toHaveLength(2);
  });

  it('say a tenth of a percent where a whole one would hide the limit', async () => {
    expect(await checkInlays('- R18 = 1R 1W\n- R18: 1.002 V\n')).toMatch(/10\d(\.\d)? %/);
  });

  it('say nothing where there is nothing to say', async () => {
    expect(await checkInlays('# Larch\n\nIt hums.\n\n{V5 = 6V6GT}\n')).toBe('');
    expect(await checkInlays('')).toBe('');
  });
});
