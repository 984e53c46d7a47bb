/** The budget of a supply: what is drawn against what each part gives, and what the transformer should leave under that load. */
import { describe, expect, it } from 'vitest';
import { amplifierOf, figureOf, findFigure, viewOf } from './bench.ts';

const view = (mains: string, ...lines: readonly string[]) =>
  viewOf(
    amplifierOf(
      `---\nmains: ${mains}\n---\n# Job\n\n## As found\n\n${lines.map((line) => `- ${line}`).join('\n')}\n`,
    ),
    'as-found',
  );

const EUROPE = '230 V 50 Hz';
const SUPPLY = [
  'T1 = mains 280-0-280V 150mA 6.3V 4A 5V 2A',
  'V5 = GZ34, T1 to B+1',
  'C1 = 32uF 500V electrolytic, B+1 to gnd',
  'V3, V4 = 6V6GT',
];

describe('the supply under the load that was read', () => {
  // Computed by time-stepping: 2 × 280 V r.m.s., 140 Ω at each anode (93.3 Ω of half winding and half as much of primary),
  // GZ34, 82 mA: 326.4 V with 32 µF and 16.7 V peak to peak; 317.8 V and 80.2 V with 6.5 µF.
  it.each([
    ['C1 = 32uF 500V electrolytic, B+1 to gnd', 326.4, 16.7],
    ['C1 = 6.5uF 500V electrolytic, B+1 to gnd', 317.8, 80.2],
  ])('%s', (capacitor, mean, ripple) => {
    const lines = SUPPLY.map((line) => (line.startsWith('C1') ? capacitor : line));
    const found = view(EUROPE, ...lines, 'T1: 93.3R + 93.3R', 'B+1: 82 mA');
    expect(figureOf(found, 'B+1', 'loaded-voltage') / mean).toBeCloseTo(1, 2);
    expect(figureOf(found, 'B+1', 'loaded-ripple') / ripple).toBeCloseTo(1, 1);
    expect(findFigure(found, 'B+1', 'loaded-voltage')?.remark).toContain('halves as read');
  });

  it.each(['PT', 'PT1', 'MT', 'T3'])('knows the transformer that is called %s', (name) => {
    const lines = SUPPLY.map((line) => line.replace(/\bT1\b/, name));
    expect(figureOf(view(EUROPE, ...lines), 'C1', 'cold-voltage')).toBeCloseTo(466, 0);
  });

  it('takes a winding without load from one assumption, of which nobody has a source', () => {
    const found = view(EUROPE, ...SUPPLY, 'B+1: 82 mA');
    const rises = (['cold-voltage', 'loaded-voltage'] as const).map((name) =>
      findFigure(found, name === 'cold-voltage' ? 'C1' : 'B+1', name)?.inputs.find((each) =>
        each.name.endsWith('no-load rise'),
      ),
    );
    const [cold, loaded] = rises.map((each) => each?.known);
    expect(cold).toMatchObject({ quantity: { value: 0.07 }, low: 0.04, high: 0.1 });
    // The label as without load, up to what it would be as with load.
    expect(loaded).toMatchObject({ quantity: { value: 0 }, low: 0, high: 0.07 });
    expect(loaded?.because).toContain('it would have 7\u00a0% more without');
    for (const each of [cold, loaded]) expect(each?.because).toContain('common practice, no source');
  });

  it('is a band where nobody read the winding', () => {
    const found = findFigure(view(EUROPE, ...SUPPLY, 'B+1: 82 mA'), 'B+1', 'loaded-voltage');
    expect(found?.low).toBeLessThan(found?.quantity.value ?? 0);
    expect(found?.high).toBeGreaterThan(found?.quantity.value ?? 0);
    expect(found?.basis).toBe('assumed');
  });

  it('is not told while a load is unknown', () => {
    const found = view(EUROPE, ...SUPPLY, 'R20 = 10k, B+1 to B+2', 'B+1: 320 V');
    for (const name of ['current', 'loaded-voltage', 'current-loading'] as const)
      expect(findFigure(found, 'B+1', name)).toBeUndefined();
  });
});

describe('the current budget', () => {
  const found = view(
    EUROPE,
    ...SUPPLY,
    'R20 = 10k 2W, B+1 to B+2',
    'R18 = 1k 5W, B+1 to B+3',
    'B+1: 330 V',
    'B+2: 300 V',
    'B+3: 250 V',
  );

  it('adds what each branch takes', () => {
    expect(figureOf(found, 'B+1', 'current')).toBeCloseTo(0.083, 6);
    expect(findFigure(found, 'B+1', 'current')?.formula).toBe('I1 + I2');
  });

  it('stands against rectifier and winding', () => {
    expect(figureOf(found, 'V5', 'current-loading')).toBeCloseTo(0.083 / 0.25, 6);
    expect(findFigure(found, 'V5', 'current-loading')?.limit?.source).toContain('GZ34');
    expect(figureOf(found, 'T1', 'current-loading')).toBeCloseTo(0.083 / 0.15, 6);
    const peak = findFigure(found, 'V5', 'peak-current');
    expect([peak?.low, peak?.high]).toEqual([expect.closeTo(0.2905, 6), expect.closeTo(0.498, 6)]);
  });
});

describe('what holds whatever is read', () => {
  it('the heaters against their winding', () => {
    const found = view(EUROPE, ...SUPPLY, 'V1 = 12AX7');
    // Two of 0.45 A and one of 0.3 A; the rectifier hangs on 5 V.
    expect(figureOf(found, 'T1', 'heater-loading')).toBeCloseTo(1.2 / 4, 9);
    expect(findFigure(view(EUROPE, ...SUPPLY, 'V1 = 99ZZ9'), 'T1', 'heater-loading')).toBeUndefined();
  });

  it('the reservoir against the largest that the rectifier bears', () => {
    expect(figureOf(view(EUROPE, ...SUPPLY), 'V5', 'reservoir-loading')).toBeCloseTo(32 / 60, 9);
  });

  it('the inverse voltage: twice the peak with a centre tap, once in a bridge', () => {
    const tapped = figureOf(view(EUROPE, ...SUPPLY), 'V5', 'peak-inverse');
    expect(tapped / (2 * Math.SQRT2 * 280 * 1.07 * 1.1)).toBeCloseTo(1, 6);
    const bridge = view(
      EUROPE,
      'T1 = mains 280V 150mA',
      'D1, D2 = 1N4007, T1 to B+1',
      'D3, D4 = 1N4007, gnd to T1',
      'C1 = 47uF 500V, B+1 to gnd',
    );
    expect(figureOf(bridge, 'D1', 'peak-inverse') / (Math.SQRT2 * 280 * 1.07 * 1.1)).toBeCloseTo(1, 6);
    expect(findFigure(bridge, 'D1', 'peak-inverse')?.limit?.quantity.value).toBe(1000);
  });

  it('high mains by the network: 10 % in Europe, 127 V on 120 V in America, the former where none is said', () => {
    const cold = (mains: string) => figureOf(view(mains, ...SUPPLY), 'C1', 'cold-voltage');
    expect(cold(EUROPE) / (Math.SQRT2 * 280 * 1.07)).toBeCloseTo(1.1, 9);
    expect(cold('120 V 60 Hz') / (Math.SQRT2 * 280 * 1.07)).toBeCloseTo(127 / 120, 9);
    expect(cold('100 V') / (Math.SQRT2 * 280 * 1.07)).toBeCloseTo(1.1, 9);
  });
});
