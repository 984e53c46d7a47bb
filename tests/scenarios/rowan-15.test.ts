/**
 * Two 6V6GT with a cathode resistor each, one grid pulled up by a leaky coupling capacitor. Amplifier and readings are
 * invented; V6 follows from V5 with a slope of 4.1 mA/V at the anode: a grid at +19.4 V lifts its cathode by some 13 V.
 */
import { describe, expect, it } from 'vitest';
import { analyse } from '../support/check.ts';

const ROWAN = `---
mains: 230 V 50 Hz
---
# Rowan 15: one output valve glows

## As found
Mains {mains: 229 V}, dummy 8R, no signal, 20 min.

- V5, V6 = 6V6GT
- R18, R19 = 470R 5W, V5.k V6.k to gnd
- C31, C32 = 25uF 50V electrolytic, V5.k V6.k to gnd
- C14, C15 = 22n 400V film, V4A.a V4B.a to V5.g V6.g
- R14, R15 = 220k 0.5W, V5.g V6.g to gnd
- V4 = 12AX7
- R10, R11 = 100k 1W, B+3 to V4A.a V4B.a

| Valve | a   | g2  | g     | k    |
| ----- | --- | --- | ----- | ---- |
| V5    | 326 | 280 | 0     | 17.3 |
| V6    | 331 | 279 | +19.4 | 29.9 |
| V4A   | 196 |     |       |      |
| V4B   | 197 |     |       |      |

- C15 lifted: V6.g: 0 V

## Work
- [x] plug out, discharged: B+1: 3 V, B+2: 2 V, B+3: 2 V
- C15 = 22n 400V film -> 22n 630V film

## As left
Mains {mains: 230 V}, dummy 8R, no signal, 20 min.

- V5: a 331, g2 282, g 0, k 17.4
- V6: a 331, g2 282, g 0, k 17.5
- earth to chassis: 0.1R
`;

describe('Rowan 15: a leaky coupling capacitor overdrives one of two output valves', () => {
  it('dissipates 17.7 W of 12 W as found and 10.8 W as left', async () => {
    const { amplifier } = await analyse(ROWAN);
    const dissipation = (phase: string, figure: string) =>
      amplifier.phases
        .find((view) => view.phase === phase)
        ?.figures.find((each) => each.subject === 'V6' && each.figure === figure)?.quantity.value;
    // (331 − 29.9) · 29.9 / 470 · (1 − 0.0762), and the same with 331 and 17.5 V.
    expect(dissipation('as-found', 'anode-dissipation')).toBeCloseTo(17.7, 1);
    expect(dissipation('as-found', 'anode-loading')).toBeCloseTo(1.475, 2);
    expect(dissipation('as-left', 'anode-dissipation')).toBeCloseTo(10.78, 1);
  });

  it('accuses the capacitor alone: valve, pair and bypass are its consequences, and all of it is mended', async () => {
    const { findings } = await analyse(ROWAN);
    const leak = findings.find(({ rule }) => rule === 'leaky-coupling');
    expect(leak?.subject).toBe('C15');
    expect(leak?.severity).toBe('info');
    // (197 − 19.4) / (19.4 / 220k) = 2.01 MΩ.
    expect(leak?.figures?.insulation?.value).toBeCloseTo(2.014e6, -4);
    expect(leak?.related?.map(({ subject }) => subject)).toEqual(
      expect.arrayContaining(['C15', 'V6.g', 'V6', 'V5,V6', 'C32']),
    );
    const loud = findings.filter(({ severity }) => severity === 'error' || severity === 'warning');
    // 331 V less the cathode's 17.4 V is under the 315 V of the sheet's design-centre edition, but by little.
    expect(loud.map(({ rule, subject, phase }) => `${rule} ${subject} ${phase}`)).toEqual([]);
  });
});
