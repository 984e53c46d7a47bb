/**
 * Faults on one amplifier, as its chart shows them: each is one finding, with what follows from it beside it. The amplifier and its
 * readings are invented; they follow from Ohm's law on the parts and stay near published operating points.
 */
import { describe, expect, it } from 'vitest';
import { analyse } from '../support/check.ts';

const CHASSIS = `---
sheet: chassis
mains: 230 V 50 Hz
---
# Larch-like, two 5881

- T1 = mains 290-0-290V 300mA 6.3V 4A 5V 3A
- V5 = GZ34, T1 to B+1
- C11 = 47uF 500V electrolytic, B+1 to gnd
- L1 = 10H 200R, B+1 to B+2
- C12 = 47uF 500V electrolytic, B+2 to gnd
- R23 = 22k 2W, B+2 to B+4
- C14 = 22uF 500V electrolytic, B+4 to gnd
- V1A = 12AX7, a R4 B+4, k R3 C2, g R2
- R4 = 100k 1W
- R3 = 1k5 0.5W
- R2 = 1M 0.5W
- C2 = 22uF 25V electrolytic
- C9 = 22n 630V film, V2A.a to V3.g
- V2A = 12AX7
- V3, V4 = 5881
- R17, R18 = 220k 0.5W, V3.g V4.g to gnd
- R19, R20 = 330R 5W wirewound, V3.k V4.k to gnd
- C15, C16 = 100uF 63V electrolytic, V3.k V4.k to gnd
- R21, R22 = 1k 5W wirewound, B+2 to V3.g2 V4.g2
- T2 = output 6k6 : 4R 8R 16R 25W, V3.a V4.a, ct B+1

## Voltages

{mains: 230 V}, dummy load, twenty minutes warm.

- B+1: 333.6 V
- B+2: 331 V
- B+4: 289 V
- V1A: a 184, k 1.5
- V3: a 329.6, g2 326.6, g 0, k 23
- V4: a 329.2, g2 326.6, g 0, k 23
`;

const found = (chart: string) => `---
chassis: ../chassis/larch.tagstrip.md
---
# Job

## As found

Mains {mains: 231 V}, dummy load, twenty minutes warm.

${chart}`;

async function accusedBy(chart: string) {
  const { findings } = await analyse(found(chart), { '../chassis/larch.tagstrip.md': CHASSIS });
  const loud = findings.filter(({ severity }) => severity === 'error' || severity === 'warning');
  return {
    said: loud.map(({ severity, rule, subject }) => `${severity} ${rule} ${subject}`),
    beside: loud.flatMap(({ related }) => related ?? []).map(({ subject }) => subject),
  };
}

describe('one cause, one finding', () => {
  it('the chart itself, a little off', async () => {
    const { said } = await accusedBy(
      '- B+1: 341 V\n- B+2: 338 V\n- B+4: 297 V\n- V1A: a 176, k 1.6\n- V3: a 337, g2 333, g 0, k 24.4\n- V4: a 337, g2 333, g 0, k 22.7\n',
    );
    expect(said).toEqual([]);
  });

  it('a shorted bypass: the cathode, and the pair only beside it', async () => {
    const { said, beside } = await accusedBy(
      '- B+1: 322 V\n- B+2: 319 V\n- V3: a 310, g2 312, g 0, k 0.1\n- V4: a 319, g2 315, g 0, k 22\n',
    );
    expect(said).toEqual(['error cathode-low V3']);
    expect(beside).toContain('V3,V4');
  });

  it('an open screen resistor: the resistor, not the valve', async () => {
    const { said, beside } = await accusedBy(
      '- B+1: 341 V\n- B+2: 339 V\n- V3: a 337, g2 12, g 0, k 0.3\n- V4: a 336, g2 334, g 0, k 23.6\n',
    );
    expect(said).toEqual(['error screen-open R21']);
    expect(beside).toEqual(expect.arrayContaining(['V3,V4', 'R21', 'V3.g2', 'V3.k']));
  });

  it('an open cathode resistor that was measured: the resistor', async () => {
    const { said, beside } = await accusedBy(
      '- B+1: 341 V\n- B+2: 339 V\n- V3: a 339, g2 339, g 0, k 62\n- V4: a 336, g2 334, g 0, k 23.6\n- R19: open (out of circuit)\n',
    );
    expect(said).toEqual(['warning value-out-of-tolerance R19']);
    expect(beside).toEqual(expect.arrayContaining(['C15', 'V3.k']));
  });

  it('a dead first stage: the stage, with its voltages beside it', async () => {
    const { said } = await accusedBy('- B+1: 334 V\n- B+2: 331 V\n- B+4: 320 V\n- V1A: a 319, k 0.01, g 0\n');
    expect(said).toEqual(['error no-conduction V1A']);
  });

  it('a gassy valve: the valve, not the coupling capacitor', async () => {
    const { said } = await accusedBy(
      '- B+1: 330 V\n- B+2: 328 V\n- V2A.a: 190 V\n- V3: a 324, g2 320, g +4, k 26.5\n- V4: a 326, g2 323, g 0, k 22.5\n- V3 out: V3.g: 0 V\n',
    );
    expect(said).toEqual(['warning gassy-valve V3']);
  });

  it('an open output transformer: the winding, with the screen that carries it all beside it', async () => {
    const { said, beside } = await accusedBy(
      '- B+1: 340 V\n- B+2: 337 V\n- V3: a 2, g2 250, g 0, k 14\n- V4: a 336, g2 334, g 0, k 23.5\n- T2: open\n',
    );
    expect(said).toEqual(['warning coil-open T2']);
    expect(beside).toEqual(expect.arrayContaining(['V3.a', 'V3,V4', 'R21']));
  });

  it('a dried reservoir measured both ways: once', async () => {
    const { said, beside } = await accusedBy('- C11: 30uF ESR 45R (out of circuit)\n');
    expect(said).toEqual(['warning capacitance-low C11']);
    expect(beside).toEqual(['C11']);
  });

  it('worn valves, unequally: the pair, with the low cathode beside it', async () => {
    const { said, beside } = await accusedBy(
      '- B+1: 345 V\n- B+2: 343 V\n- V3: a 342, g2 340, g 0, k 17\n- V4: a 342, g2 339, g 0, k 12\n',
    );
    expect(said).toEqual(['warning mismatched-pair V3,V4']);
    expect(beside).toContain('V4.k');
  });

  it('half a rectifier: its ripple, with the low supply and the accused reservoir beside it', async () => {
    const { said, beside } = await accusedBy(
      '- B+1: 248 V, 95 Vpp 50 Hz\n- B+2: 246 V\n- V3: a 245, g2 242, g 0, k 16.9\n- V4: a 245, g2 242, g 0, k 16.8\n',
    );
    expect(said).toEqual(['error half-wave-ripple B+1']);
    expect(beside).toEqual(expect.arrayContaining(['B+1', 'V3.a', 'C11']));
  });
});
