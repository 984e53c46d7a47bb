/** Three whole jobs, read as a technician would: the figures that decide each, with the numbers computed by hand beside them. */
import { describe, expect, it } from 'vitest';
import { amplifierOf, figureOf, findFigure, viewOf } from './bench.ts';

/** Volts agree within 3 %, currents and watts within 5 %, ripple within 10 %. */
const within = (value: number, wanted: number, share: number): void => {
  expect(Math.abs(value - wanted), `${value} against ${wanted}`).toBeLessThanOrEqual(
    Math.abs(wanted) * share,
  );
};

describe('a dried-out reservoir', () => {
  const amplifier = amplifierOf(`---
mains: 230 V 50 Hz
---
# Tansy 12

## As found

- T1 = mains 280-0-280V 150mA 6.3V 4A 5V 2A
- V5 = GZ34, T1 to B+1
- C1 = 32uF 500V electrolytic, B+1 to gnd
- L1 = 10H 250R, B+1 to B+2
- C2 = 32uF 500V electrolytic, B+2 to gnd
- R20 = 10k 2W, B+2 to B+3
- C3 = 22uF 500V electrolytic, B+3 to gnd
- T2 = output 8k : 8R, V3.a V4.a, ct B+1, LS1 on 8R
- LS1 = 8R 30W
- V3, V4 = 6V6GT
- {V3.g2 = B+2}
- {V4.g2 = B+2}
- R18 = 270R 5W, V3.k V4.k to gnd
- C18 = 25uF 50V, across R18
- B+1: 318 V
- B+1: 82 mA
- B+1: 80 Vpp 100 Hz
- V3: a 314, k 19.7
- C1 out of circuit: C1: 6.5uF

## Work

- C1 = 32uF 500V -> 32uF 500V electrolytic

## As left

- B+1: 326 V
- B+1: 82 mA
- B+1: 16.7 Vpp 100 Hz
- V3: a 322, k 19.7
`);
  const found = viewOf(amplifier, 'as-found');
  const left = viewOf(amplifier, 'as-left');

  it('shows what the reservoir is worth by its ripple, in a band for the rectifier’s share of the cycle', () => {
    const figure = findFigure(found, 'C1', 'effective-capacitance');
    within(figure?.quantity.value ?? Number.NaN, 6.5e-6, 0.1);
    expect(figure?.low).toBeLessThan(6.1e-6);
    expect(figure?.high).toBeGreaterThan(6.1e-6);
    within(figureOf(left, 'C1', 'effective-capacitance'), 32e-6, 0.1);
    expect(figureOf(found, 'B+1', 'ripple')).toBe(80);
  });

  it('finds the output valves within their rating', () => {
    within(figureOf(found, 'V3', 'cathode-current'), 0.0365, 0.01);
    // The anodes stand 4 V under B+1.
    within(figureOf(left, 'V3', 'anode-dissipation'), 10.3, 0.05);
    within(figureOf(left, 'V3', 'anode-loading'), 0.86, 0.05);
    expect(findFigure(found, 'V3', 'anode-dissipation')?.remark).toBe(
      'average of the 2 valves that share R18',
    );
    expect(findFigure(found, 'V3,V4', 'mismatch')).toBeUndefined();
  });

  it('knows what cold valves leave on every capacitor behind the rectifier', () => {
    for (const ref of ['C1', 'C2', 'C3']) within(figureOf(found, ref, 'cold-voltage'), 462, 0.03);
    expect(findFigure(found, 'C1', 'cold-voltage')?.remark).toContain('indirectly heated');
    expect(findFigure(found, 'C18', 'cold-voltage')).toBeUndefined();
  });

  it('tells the load on the transformer and the current of the heaters', () => {
    expect(figureOf(found, 'T2', 'reflected-load')).toBe(8000);
    within(figureOf(found, 'heaters', 'heater-current'), 0.9, 0.001);
  });
});

describe('an anode load that drifted', () => {
  const amplifier = amplifierOf(`# Wagtail

## As found

- V1A = 12AX7, a R4 B+3, k R5 C5, g R2
- R4 = 100k 0.5W carbon composition
- R5 = 1k5 0.5W
- C5 = 25uF 25V
- C6 = 22n 400V, V1A.a to V2A.g
- R9 = 1M, V2A.g to gnd
- R2 = 1M
- B+3: 278
- V1A: a 142, k 1.18, g 0
- R4 out of circuit: R4: 172k
- R5: 1.50k

## Work

- R4 -> 100k 1W metal film

## As left

- B+3: 278
- V1A: a 181, k 1.45, g 0
- R4: 100k
`);
  const found = viewOf(amplifier, 'as-found');
  const left = viewOf(amplifier, 'as-left');

  it('has the same current by both ends once the load is what was read', () => {
    within(figureOf(found, 'V1A', 'cathode-current'), 0.787e-3, 0.01);
    within(figureOf(found, 'R4', 'current'), 0.791e-3, 0.01);
    within(figureOf(found, 'V1A', 'anode-dissipation'), 0.111, 0.01);
    within(figureOf(found, 'V1A', 'anode-loading'), 0.111, 0.01);
  });

  it('keeps the marked value beside the read one, for who asks what is wrong', () => {
    const part = found.parts.get('R4');
    expect(part?.value?.quantity.value).toBe(100_000);
    expect(part?.measured.map(({ value }) => value.quantity.value)).toEqual([172_000]);
    expect(left.parts.get('R4')?.measured.map(({ value }) => value.quantity.value)).toEqual([100_000]);
  });

  it('tells the gain before and after: less with the right load', () => {
    within(figureOf(found, 'V1A', 'gain'), 70.6, 0.05);
    within(figureOf(left, 'V1A', 'gain'), 59.7, 0.05);
    within(figureOf(left, 'C5', 'shelf-high'), 8.4, 0.01);
    within(figureOf(left, 'C6', 'corner'), 6.966, 0.001);
    within(figureOf(left, 'V1A', 'bias'), -1.45, 0.001);
  });
});

describe('an open screen resistor', () => {
  const amplifier = amplifierOf(`# Heron 50

## As found

- V3, V4 = EL34
- R41 = 1k 5W, V3.g2 to B+1
- R42 = 1k 5W, V4.g2 to B+1
- R43, R44 = 1R 1%, V3.k V4.k to gnd
- T2 = output 3k4 : 8R, V3.a V4.a, ct B+1
- B+1: 446
- V3: a 443, g2 441, k 44.2mV, g -40.7
- V4: a 446, g2 24, k 0.3mV, g -40.7
- R42: open

## Work

- R42 -> 1k 5W

## As left

- B+1: 440.5
- V3: a 437.5, g2 435.8, k 40.3mV
- V4: a 437.5, g2 435.8, k 40.3mV
- R42: 1.00k
`);
  const found = viewOf(amplifier, 'as-found');
  const left = viewOf(amplifier, 'as-left');

  it('reads the sense resistors', () => {
    within(figureOf(found, 'V3', 'cathode-current'), 44.2e-3, 0.001);
    within(figureOf(found, 'V3', 'screen-current'), 5.1e-3, 0.05);
    within(figureOf(found, 'V3', 'anode-current'), 39.1e-3, 0.05);
    within(figureOf(found, 'V3', 'anode-loading'), 0.69, 0.05);
    within(figureOf(found, 'V4', 'anode-dissipation'), 0.13, 0.05);
    within(figureOf(found, 'V3,V4', 'mismatch'), 1.97, 0.01);
    within(figureOf(found, 'V3', 'bias'), -40.7, 0.03);
  });

  it('puts no current through the resistor that was read open', () => {
    expect(figureOf(found, 'R42', 'drop')).toBe(422);
    expect(findFigure(found, 'R42', 'current')).toBeUndefined();
    expect(findFigure(found, 'R42', 'dissipation')).toBeUndefined();
  });

  it('finds both valves alike as left', () => {
    for (const valve of ['V3', 'V4']) {
      within(figureOf(left, valve, 'anode-dissipation'), 15.6, 0.05);
      within(figureOf(left, valve, 'anode-loading'), 0.62, 0.05);
      within(figureOf(left, valve, 'screen-dissipation'), 2, 0.05);
    }
    expect(figureOf(left, 'V3,V4', 'mismatch')).toBe(0);
  });
});
