/** How long a bank holds its charge: times worked by hand as exponentials, and by stepping the same bank (computed). */
import { describe, expect, it } from 'vitest';
import type { PhaseView } from '../../server/bench/model.ts';
import { asFound, figureOf, findFigure } from './bench.ts';

const timeOf = (view: PhaseView, ref: string): number => figureOf(view, ref, 'bleed-time');
const remarkOf = (view: PhaseView, ref: string): string =>
  (findFigure(view, ref, 'bleed-time')?.remark ?? '').replaceAll('\u00a0', ' ');

describe('a capacitor on its own', () => {
  it('with its bleeder: 100 µF · 220 kΩ · ln(450 / 60), and further to 30 and 10 V', () => {
    const view = asFound('C1 = 100uF 500V, B+1 to gnd', 'R25 = 220k 2W, B+1 to gnd', 'B+1: 450 V');
    expect(timeOf(view, 'C1')).toBeCloseTo(44.33, 2);
    // 22 s · ln(15) and 22 s · ln(45).
    expect(remarkOf(view, 'C1')).toBe(
      'to 60 V through R25 alone, valves cold; to 30 V 59.6 s, to 10 V 83.7 s; verify with a meter on every electrolytic',
    );
  });

  it('through a divider, which is no bleeder by name', () => {
    const view = asFound(
      'C1 = 100uF 500V, B+1 to gnd',
      'R60 = 200k 2W, B+1 to elevation',
      'R61 = 20k 1W, elevation to gnd',
      'B+1: 450 V',
    );
    expect(timeOf(view, 'C1')).toBeCloseTo(44.33, 2);
  });

  it('through two bleeders side by side', () => {
    const view = asFound('C1 = 100uF 500V, B+1 to gnd', 'R25, R26 = 440k 2W, B+1 to gnd', 'B+1: 450 V');
    expect(timeOf(view, 'C1')).toBeCloseTo(44.33, 2);
    expect(remarkOf(view, 'C1')).toContain('through R25 and R26');
  });

  it('has no time where nothing leads to ground: an anode load does not while its valve is cold', () => {
    const view = asFound(
      'C1 = 100uF 500V, B+1 to gnd',
      'V1A = 12AX7, a R4 B+1, k R5',
      'R4 = 100k 1W',
      'R5 = 1k5',
      'B+1: 450 V',
    );
    expect(findFigure(view, 'C1', 'energy')).toBeDefined();
    expect(findFigure(view, 'C1', 'bleed-time')).toBeUndefined();
  });

  it('of a negative supply', () => {
    const view = asFound('C20 = 47uF 100V, gnd to bias', 'R62 = 100k, bias to gnd', 'bias: -75 V');
    // 4.7 s · ln(75 / 60).
    expect(timeOf(view, 'C20')).toBeCloseTo(1.049, 2);
  });
});

describe('a bank', () => {
  const BANK = [
    'C1 = 50uF 500V, B+1 to gnd',
    'C2 = 50uF 500V, B+2 to gnd',
    'R20 = 10k 5W, B+1 to B+2',
    'R25 = 220k 2W, B+1 to gnd',
  ];

  it('empties together through the one bleeder, what is behind a dropper later', () => {
    const view = asFound(...BANK, 'B+1: 450 V', 'B+2: 450 V');
    // By steps of a millisecond.
    expect(timeOf(view, 'C1')).toBeCloseTo(44.58, 2);
    expect(timeOf(view, 'C2')).toBeGreaterThan(timeOf(view, 'C1'));
    expect(remarkOf(view, 'C1')).toContain('to 60 V through R25 together with C2, valves cold');
  });

  it('takes one that was not read to be as full, and says so', () => {
    const view = asFound(...BANK, 'B+1: 450 V');
    expect(timeOf(view, 'C1')).toBeCloseTo(44.58, 2);
    expect(findFigure(view, 'C1', 'bleed-time')?.basis).toBe('assumed');
  });

  it('of two in series, each with its own resistor', () => {
    const view = asFound(
      'C40 + C41 = 100uF 350V, B+1 to gnd',
      'R50, R51 = 220k 2W, across C40 C41',
      'B+1: 450 V',
    );
    // Each 225 V over 220 kΩ: 22 s · ln(225 / 60).
    expect(timeOf(view, 'C40')).toBeCloseTo(29.08, 1);
    expect(timeOf(view, 'C41')).toBeCloseTo(29.08, 1);
  });
});
