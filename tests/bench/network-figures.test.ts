/** Figures of the networks around a stage, against values worked by hand from the formulas (computed). */
import { describe, expect, it } from 'vitest';
import { asFound, figureOf, findFigure } from './bench.ts';

const VOLUME = ['C6 = 22n 400V, V1A.a to vol', 'VR1 = 1M log, vol to gnd, wiper to V1B.g'];

describe('a bright capacitor', () => {
  it('lifts by the arms of its control as they were read', () => {
    const view = asFound(...VOLUME, 'VR1: 900k / 100k', 'C7 = 120p, vol to V1B.g');
    expect(figureOf(view, 'C7', 'shelf-low')).toBeCloseTo(1473.7, 1);
    expect(figureOf(view, 'C7', 'shelf-high')).toBeCloseTo(14736.6, 0);
    expect(figureOf(view, 'C7', 'step-db')).toBeCloseTo(20, 9);
    expect(findFigure(view, 'C7', 'step-db')?.basis).toBe('fitted');
  });

  it('lifts less through a resistor', () => {
    const view = asFound(...VOLUME, 'VR1: 900k / 100k', 'R7 = 150k, vol to mid', 'C7 = 120p, mid to V1B.g');
    expect(figureOf(view, 'C7', 'shelf-low')).toBeCloseTo(1263.1, 1);
    expect(figureOf(view, 'C7', 'shelf-high')).toBeCloseTo(5526.2, 1);
    expect(figureOf(view, 'C7', 'step-db')).toBeCloseTo(12.82, 2);
  });

  it('says that a setting nobody wrote is assumed', () => {
    const figure = findFigure(asFound(...VOLUME, 'C7 = 120p, vol to V1B.g'), 'C7', 'step-db');
    expect(figure?.basis).toBe('assumed');
    expect(figure?.remark).toBe('VR1 at 5, taken since no setting is written: 12.5 % below the wiper');
  });
});

describe('the input of a stage', () => {
  const STAGE = [
    'V1A = 12AX7, a R4 B+3, k R5, g R2 J1',
    'R1 = 1M, J1 to gnd',
    'R2 = 68k',
    'R4 = 100k',
    'R5 = 1k5',
    'C5 = 25uF 25V, across R5',
  ];
  it('is its grid leak, before the stopper too', () => {
    expect(figureOf(asFound(...STAGE), 'V1A', 'input-impedance')).toBe(1e6);
    const two = asFound('V1B = 12AX7', 'R8 = 1M, V1B.g to gnd', 'R9 = 470k, V1B.g to gnd');
    expect(figureOf(two, 'V1B', 'input-impedance')).toBeCloseTo(319_728, 0);
  });

  it('loses treble by the stopper and the capacitance that its gain makes', () => {
    const view = asFound(...STAGE);
    // A = 100 · 100 k / (62.5 k + 100 k) = 61.54; 1.6 + 1.7 · 62.54 = 107.9 pF; with 68 kΩ 21.7 kHz.
    expect(figureOf(view, 'V1A', 'gain')).toBeCloseTo(61.54, 2);
    expect(figureOf(view, 'R2', 'corner') / 1000).toBeCloseTo(21.69, 2);
    expect(findFigure(view, 'R2', 'corner')?.remark).toContain('lower');
  });

  it('is not told where a leak follows the signal without saying so', () => {
    const view = asFound(
      'V2A = 12AX7',
      'R9 = 1M, V2A.g to tail',
      'R12 = 470R, V2A.k to tail',
      'R13 = 10k, tail to gnd',
    );
    expect(findFigure(view, 'V2A', 'input-impedance')?.remark).toContain('higher');
    expect(findFigure(view, 'V2A', 'input-impedance')?.basis).toBe('assumed');
  });
});

describe('a presence capacitor', () => {
  const LOOP = ['T2 = output 8k : 8R, V3.a V4.a, ct B+1', 'R30 = 47k, T2.8R to fb', 'R31 = 4k7, fb to gnd'];
  it('begins to lift by the loop’s resistors', () => {
    const view = asFound(...LOOP, 'C31 = 100n, fb to gnd');
    expect(figureOf(view, 'C31', 'shelf-low')).toBeCloseTo(372.5, 1);
    expect(figureOf(view, 'C31', 'shelf-high')).toBeNaN();
  });

  it('begins anywhere in the control’s travel', () => {
    const view = asFound(...LOOP, 'C31 = 100n, fb to pres', 'VR5 = 5k, pres to gnd, wiper to gnd');
    const figure = findFigure(view, 'C31', 'shelf-low');
    expect(figure?.low).toBeCloseTo(171.6, 1);
    expect(figure?.high).toBeCloseTo(372.5, 1);
    expect(figure?.basis).toBe('assumed');
  });
});

describe('a bypass on a cathode that two valves share', () => {
  const PAIR = ['V5, V6 = EL84', 'R17 = 130R 5W, V5.k V6.k to gnd', 'C17 = 100uF 25V, across R17'];
  it('makes no step where they work in opposite phase', () => {
    const view = asFound(...PAIR, 'T2 = output 8k : 8R, V5.a V6.a, ct B+1');
    expect(figureOf(view, 'C17', 'step-db')).toBe(0);
    expect(findFigure(view, 'C17', 'step-db')?.remark).toContain('opposite phase');
    expect(figureOf(view, 'C17', 'shelf-low')).toBeNaN();
  });

  it('counts the resistor twice where one grid drives both', () => {
    const view = asFound(...PAIR, 'R9 = 470k, V5.g V6.g to gnd');
    const alone = asFound('V5 = EL84', 'R17 = 130R 5W, V5.k to gnd', 'C17 = 100uF 25V, across R17');
    expect(figureOf(view, 'C17', 'shelf-low')).toBeCloseTo(12.243, 3);
    const [both, one] = [view, alone].map((each) => 10 ** (figureOf(each, 'C17', 'step-db') / 20) - 1);
    expect((both ?? 0) / (one ?? 1)).toBeCloseTo(2, 6);
  });

  it('is not told where nothing says how they are driven', () => {
    expect(findFigure(asFound(...PAIR), 'C17', 'step-db')).toBeUndefined();
  });
});
