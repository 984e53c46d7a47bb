/** How far the ripple falls over each section of a supply, against what its parts should make of it. */
import { describe, expect, it } from 'vitest';
import { amplifierOf, figureOf, findFigure, viewOf } from './bench.ts';

const SUPPLY = [
  'T1 = mains 280-0-280V 150mA 6.3V 4A 5V 2A',
  'V5 = GZ34, T1 to B+1',
  'C1 = 32uF 500V electrolytic, B+1 to gnd',
  'L1 = 10H 250R, B+1 to B+2',
  'C2 = 32uF 500V electrolytic, B+2 to gnd',
  'R20 = 10k 2W, B+2 to B+3',
  'C3 = 22uF 500V electrolytic, B+3 to gnd',
];

const view = (...lines: readonly string[]) =>
  viewOf(
    amplifierOf(
      `---\nmains: 230 V 50 Hz\n---\n# Job\n\n## As found\n\n${[...SUPPLY, ...lines].map((line) => `- ${line}`).join('\n')}\n`,
    ),
    'as-found',
  );

describe('a section of a supply', () => {
  // Computed by time-stepping: 80 V p-p (25.5 V rms) on B+1, 204 mV on B+2, 1.5 mV on B+3; ×1/125.3 and ×1/138 by the parts.
  const found = view('B+1: 318 V, 25.5 Vrms', 'B+2: 204 mVrms', 'B+3: 1.5 mVrms');

  it('should attenuate by its parts', () => {
    expect(figureOf(found, 'L1', 'attenuation-by-parts')).toBeCloseTo(125.3, 1);
    expect(figureOf(found, 'R20', 'attenuation-by-parts')).toBeCloseTo(138.2, 1);
  });

  it('attenuates by what was read before and after it, the saw-tooth counted', () => {
    const choke = findFigure(found, 'L1', 'attenuation');
    expect(choke?.high).toBeCloseTo(125, 0);
    expect(choke?.low).toBeCloseTo((125 * Math.sqrt(6)) / Math.PI, 0);
    expect(choke?.remark).toBe('ripple from B+1 to B+2');
    expect(figureOf(found, 'R20', 'attenuation')).toBeCloseTo(136, 0);
  });

  it('shows what its capacitor is worth', () => {
    const c2 = findFigure(found, 'C2', 'effective-capacitance');
    expect(c2?.low).toBeLessThan(32e-6);
    expect(c2?.high).toBeGreaterThan(32e-6);
    expect(c2?.basis).toBe('assumed');
    expect(figureOf(found, 'C3', 'effective-capacitance') / 22e-6).toBeCloseTo(1, 1);
  });

  it('takes a peak-to-peak reading before and an rms one after for what they are', () => {
    const mixed = findFigure(view('B+1: 318 V, 80 Vpp', 'B+2: 204 mVrms'), 'L1', 'attenuation');
    expect(mixed?.low).toBeLessThan(125.3);
    expect(mixed?.high).toBeGreaterThan(125.3);
  });

  it('shows a dried-out smoothing capacitor', () => {
    const dried = view('B+2: 204 mVrms', 'B+3: 15 mVrms');
    // 13.6 times less through 10 kΩ at 100 Hz: 2.16 µF.
    expect(figureOf(dried, 'C3', 'effective-capacitance') / 2.16e-6).toBeCloseTo(1, 1);
  });

  it('is told by one reading as little as by none', () => {
    const one = view('B+1: 80 Vpp');
    expect(one.figures.filter(({ figure }) => figure.startsWith('attenuation'))).toEqual([]);
  });
});
