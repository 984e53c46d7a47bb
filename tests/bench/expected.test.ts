/**
 * What the solver expects of whole amplifiers and of half-written sheets. The numbers it is held against were computed apart
 * from this program: reservoirs by stepping through the mains cycle, valves by the same published laws, supplies by iteration.
 */
import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { expectedFigures, findExpected } from '../../server/bench/expected.ts';
import type { Amplifier, Figure, PhaseView } from '../../server/bench/model.ts';
import type { Phase } from '../../server/sheet/model.ts';
import { amplifierOf, viewOf } from './bench.ts';

const sample = (path: string): string =>
  readFileSync(new URL(`../../samples/${path}`, import.meta.url), 'utf8');
const LARCH = sample('chassis/larch-20.b.tagstrip.md');

const expectedOf = (amplifier: Amplifier, phase: Phase): readonly Figure[] =>
  expectedFigures(viewOf(amplifier, phase), amplifier);

/** Value of a subject; NaN where nothing is expected of it, so that a comparison fails and says so. */
const expectedAt = (amplifier: Amplifier, phase: Phase, subject: string): number =>
  findExpected(viewOf(amplifier, phase), amplifier, subject)?.quantity.value ?? Number.NaN;

const within = (value: number, wanted: number, share: number, what = ''): void => {
  expect(Math.abs(value - wanted), `${what} ${value} against ${wanted}`).toBeLessThanOrEqual(
    Math.abs(wanted) * share,
  );
};

/** A job of as-found lines, with its mains in the front matter. */
const found = (...lines: readonly string[]): Amplifier =>
  amplifierOf(
    `---\nmains: 230 V 50 Hz\n---\n# Job\n\n## As found\n\n${lines.map((each) => `- ${each}`).join('\n')}\n`,
  );

/** Direct volts of the verdict set by point. */
function chartOf(view: PhaseView): readonly (readonly [point: string, volts: number])[] {
  return view.readings
    .filter(({ quantity, set, normal }) => quantity === 'voltage' && normal && set.id === view.verdictSet?.id)
    .map(({ at, value }) => [at, value.quantity.value] as const);
}

describe('a whole chassis sheet', () => {
  const amplifier = amplifierOf(LARCH);
  const view = viewOf(amplifier, 'factory');
  const chart = chartOf(view);

  it('is expected within 1.5 % of its chart at every point, from the mains alone', () => {
    expect(chart.length).toBeGreaterThan(20);
    for (const [point, volts] of chart) {
      const value = expectedAt(amplifier, 'factory', point);
      if (volts === 0) expect(value, point).toBe(0);
      else within(value, volts, 0.015, point);
    }
  });

  it('says of every figure that it is expected, from what, and how far it may be off', () => {
    for (const figure of expectedFigures(view, amplifier)) {
      expect(figure).toMatchObject({ figure: 'expected', basis: 'expected', phase: 'factory', set: 2 });
      expect(figure.formula).toContain('direct-current solution');
      expect(figure.remark).toContain('from T1 at 230 V mains, its source resistance assumed');
      if (figure.quantity.value === 0) continue;
      expect(figure.low).toBeLessThan(figure.quantity.value);
      expect(figure.high).toBeGreaterThan(figure.quantity.value);
      within(((figure.low ?? 0) + (figure.high ?? 0)) / 2, figure.quantity.value, 1e-9);
    }
    const screenCathode = findExpected(view, amplifier, 'V3');
    expect(screenCathode?.quantity.unit).toBe('A');
    within(screenCathode?.quantity.value ?? Number.NaN, 23.0 / 330, 0.01);
    expect(screenCathode?.remark).toContain('5881 by its computed fit, anode current to ±15 %');
    expect(screenCathode?.inputs.map(({ name }) => name)).toEqual(
      expect.arrayContaining(['T1 winding', 'mains', 'R19', 'R21', 'T2.p1', 'valve spread']),
    );
    expect(screenCathode?.inputs.find(({ name }) => name === 'R19')?.known).toMatchObject({
      basis: 'fitted',
    });
    expect(screenCathode?.inputs.find(({ name }) => name === 'T2.p1')?.known).toMatchObject({
      basis: 'read',
    });
  });

  it('stands beside what was read and is never among it', () => {
    expect(view.figures.filter(({ basis, figure }) => basis === 'expected' || figure === 'expected')).toEqual(
      [],
    );
  });

  it('knows a node under any of its names, and tells nothing of jacks and far ends of parts', () => {
    expect(findExpected(view, amplifier, 'V2B.k')?.subject).toBe('V2A.k');
    const subjects = expectedFigures(view, amplifier).map(({ subject }) => subject);
    expect(new Set(subjects).size).toBe(subjects.length);
    expect(subjects).toContain('tail');
    for (const each of ['J1', 'gnd', 'T2.8R', 'T1', 'LS1.2']) expect(subjects).not.toContain(each);
  });

  it('is the same each time, and solved once', () => {
    expect(expectedFigures(view, amplifier)).toBe(expectedFigures(view, amplifier));
    expect(expectedOf(amplifierOf(LARCH), 'factory')).toEqual(expectedFigures(view, amplifier));
  });
});

describe('a job on it', () => {
  it('is expected at the mains of its own readings, with parts as they measured', () => {
    // 6.8 µF of a 47 µF reservoir at 236 V, then a new one at 234 V.
    const amplifier = amplifierOf(sample('jobs/2041-larch-20-hum.tagstrip.md'), LARCH);
    within(expectedAt(amplifier, 'as-found', 'B+1'), 325.6, 0.015);
    within(expectedAt(amplifier, 'as-found', 'V3.k'), 22.4, 0.02);
    within(expectedAt(amplifier, 'as-left', 'B+1'), 339.6, 0.015);
    expect(expectedOf(amplifier, 'as-left')[0]).toMatchObject({ file: 'file:///shop/job.tagstrip.md' });
    expect(expectedOf(amplifier, 'work')).toEqual([]);
  });

  it('follows a coupling capacitor that was measured to leak, and its replacement', () => {
    const amplifier = amplifierOf(sample('jobs/2047-larch-20-hot-valve.tagstrip.md'), LARCH);
    within(expectedAt(amplifier, 'as-found', 'V4.g'), 11.2, 0.03);
    within(expectedAt(amplifier, 'as-found', 'V4.k'), 29.9, 0.03);
    expect(expectedAt(amplifier, 'as-left', 'V4.g')).toBe(0);
  });
});

describe('without a transformer', () => {
  it('the rest follows from the first rail that was read, and says so', () => {
    const lines = LARCH.split('\n').filter((line) => !/^- (?:T1|V5) =/.test(line));
    const amplifier = amplifierOf(lines.join('\n'));
    const view = viewOf(amplifier, 'factory');
    expect(findExpected(view, amplifier, 'B+1')).toBeUndefined();
    for (const [point, volts] of chartOf(view)) {
      if (volts !== 0 && point !== 'B+1') within(expectedAt(amplifier, 'factory', point), volts, 0.01, point);
    }
    expect(findExpected(view, amplifier, 'B+3')?.remark).toContain('from B+1 as read');
    // The band is now the valves' alone.
    const b3 = findExpected(view, amplifier, 'B+3');
    expect((b3?.high ?? 0) - (b3?.low ?? 0)).toBeLessThan(10);
  });

  it('an anode load explains both readings once it is measured, and is what they were after it is renewed', () => {
    const amplifier = amplifierOf(`# Wagtail

## As found

- V1A = 12AX7, a R4 B+3, k R5 C5, g R2
- R4 = 100k 0.5W carbon composition
- R5 = 1k5 0.5W
- C5 = 25uF 25V
- R2 = 1M
- B+3: 278
- R4 out of circuit: R4: 172k

## Work

- R4 -> 100k 1W metal film

## As left

- B+3: 278
`);
    within(expectedAt(amplifier, 'as-found', 'V1A.a'), 142.3, 0.002);
    within(expectedAt(amplifier, 'as-found', 'V1A.k'), 1.18, 0.005);
    within(expectedAt(amplifier, 'as-found', 'V1A'), 0.789e-3, 0.002);
    within(expectedAt(amplifier, 'as-left', 'V1A.a'), 181.4, 0.002);
    within(expectedAt(amplifier, 'as-left', 'V1A.k'), 1.45, 0.005);
    within(expectedAt(amplifier, 'as-left', 'V1A'), 0.966e-3, 0.002);
  });

  it('fixed bias stands where it was read: on its node, or on the grids themselves', () => {
    const pair = [
      'V3, V4 = EL34',
      'R41, R42 = 1k 5W, V3.g2 V4.g2 to B+1',
      'R43, R44 = 1R, V3.k V4.k to gnd',
      'R45, R46 = 220k, V3.g V4.g to bias',
      'T2 = output 3k4 : 8R, V3.a V4.a, ct B+1',
      'B+1: 440.5 V',
    ];
    const byNode = found(...pair, 'bias: -40.7 V');
    const byGrid = found(...pair, 'V3: g -40.7', 'V4: g -40.7');
    for (const amplifier of [byNode, byGrid]) {
      within(expectedAt(amplifier, 'as-found', 'V3'), 40.3e-3, 0.01);
      within(expectedAt(amplifier, 'as-found', 'V4.g2'), 435.8, 0.003);
    }
    expect(expectedAt(byNode, 'as-found', 'V3.g')).toBeCloseTo(-40.7, 6);
    expect(findExpected(viewOf(byGrid, 'as-found'), byGrid, 'V3.g')).toBeUndefined();
    // Without the bias nothing can be known of the pair.
    expect(expectedOf(found(...pair), 'as-found')).toEqual([]);
  });

  it('a bias winding and its diode bias the grids below ground', () => {
    const amplifier = found(
      'T1 = mains 300-0-300V 200mA 50V 50mA 6.3V 4A',
      'D1, D2 = 1N4007, T1 to B+1',
      'C1 = 47uF 500V, B+1 to gnd',
      'D3 = 1N4007, bias1 to T1.2',
      'C9 = 50uF 100V, bias1 to gnd',
      'R50 = 10k, bias1 to bias',
      'R51 = 22k, bias to gnd',
      'R45, R46 = 220k, V3.g V4.g to bias',
      'V3, V4 = EL34, k gnd',
      'R41, R42 = 1k 5W, V3.g2 V4.g2 to B+1',
      'T2 = output 3k4 : 8R, V3.a V4.a, ct B+1',
    );
    const bias = expectedAt(amplifier, 'as-found', 'bias');
    // Under √2 · 50 V less a volt for the diode, divided 22 to 32.
    expect(bias).toBeGreaterThan(-(Math.SQRT2 * 50 - 1) * (22 / 32));
    within(bias, -46.5, 0.05);
    within(expectedAt(amplifier, 'as-found', 'bias1'), (bias * 32) / 22, 1e-6);
    expect(expectedAt(amplifier, 'as-found', 'V3.g')).toBeCloseTo(bias, 3);
    expect(expectedAt(amplifier, 'as-found', 'B+1')).toBeLessThan(Math.SQRT2 * 300);
  });
});

describe('a half-written sheet', () => {
  const stage = ['V1A = 12AX7, a R4 B+3, k R5', 'R4 = 100k', 'R5 = 1k5', 'R2 = 1M, V1A.g to gnd'];

  it('gives nothing where a value, a type or an end is missing', () => {
    for (const lines of [
      ['V5 6V6GT: a 331, 38 mA'],
      ['B+1: 331 V'],
      ['R20 = 10k, B+1 to B+2', 'B+1: 331 V'],
      stage,
      [...stage.filter((line) => !line.startsWith('R4')), 'B+3: 278 V'],
      [...stage.filter((line) => !line.startsWith('R5')), 'B+3: 278 V'],
      [...stage.map((line) => line.replace('12AX7', '6SC7')), 'B+3: 278 V'],
      [...stage.map((line) => line.replace('= 12AX7, a', '= a')), 'B+3: 278 V'],
    ]) {
      expect(expectedOf(found(...lines), 'as-found'), lines.join('; ')).toEqual([]);
    }
  });

  it('gives what the rest allows: one stage does not wait for another', () => {
    const amplifier = found(
      ...stage,
      'B+3: 278 V',
      'V2A = 12AX7, a R7 B+3, k R8',
      'V6 = 6SC7, a R9 B+3, k R10',
      'R9 = 100k',
      'R10 = 1k',
      'R77 = 10k, V7.a to V7.k',
    );
    const subjects = expectedOf(amplifier, 'as-found').map(({ subject }) => subject);
    expect(subjects).toEqual(['V1A.a', 'V1A.g', 'V1A.k', 'V1A']);
    within(expectedAt(amplifier, 'as-found', 'V1A.a'), 181.4, 0.002);
  });

  it('takes the grid of a lone self-biased triode to ground, and says so', () => {
    const amplifier = found(...stage.filter((line) => !line.startsWith('R2')), 'B+3: 278 V');
    within(expectedAt(amplifier, 'as-found', 'V1A.k'), 1.45, 0.005);
    const figure = findExpected(viewOf(amplifier, 'as-found'), amplifier, 'V1A.k');
    expect(figure?.remark).toContain('V1A.g taken at ground, since nothing says where it goes');
  });

  it('does not mind a resistor without a value where no current flows', () => {
    const amplifier = found(
      ...stage.filter((line) => !line.startsWith('R2')),
      'R2 = 0.5W, V1A.g to J1',
      'R1 = 1M, J1 to gnd',
      'B+3: 278 V',
    );
    within(expectedAt(amplifier, 'as-found', 'V1A.k'), 1.45, 0.005);
  });

  it('shows what electrodes that were read lead one to expect of the cathode', () => {
    // 250/250 V, 12.5 V of bias and 45 + 4.5 mA are the type's published point.
    const amplifier = found('V5 = 6V6GT', 'R17 = 250R 5W, V5.k to gnd', 'V5: a 262.5, g2 262.5, g 0');
    within(expectedAt(amplifier, 'as-found', 'V5'), 49.5e-3, 0.03);
    within(expectedAt(amplifier, 'as-found', 'V5.k'), 12.5, 0.03);
    expect(expectedOf(amplifier, 'as-found').map(({ subject }) => subject)).toEqual(['V5.k', 'V5']);
  });

  it('leaves a supply alone while an output valve on it cannot be solved, and starts at the rail that was read', () => {
    const supply = ['T1 = mains 290-0-290V 300mA', 'V9 = GZ34, T1 to B+1', 'C1 = 47uF, B+1 to gnd'];
    const first = stage.map((line) => line.replace('B+3', 'B+2'));
    const pair = ['R20 = 22k, B+1 to B+2', 'V5 = 6V6GT', 'R17 = 250R, V5.k to gnd'];
    expect(expectedOf(found(...supply, ...first, ...pair), 'as-found')).toEqual([]);
    const amplifier = found(...supply, ...first, ...pair, 'B+1: 330 V');
    const b2 = findExpected(viewOf(amplifier, 'as-found'), amplifier, 'B+2');
    expect(b2?.remark).toContain('from B+1 as read');
    expect(b2?.quantity.value).toBeLessThan(330);
  });

  it('solves a supply without a triode of which nothing is said but that it is there, and says so', () => {
    const amplifier = found(
      'T1 = mains 280-0-280V 150mA',
      'V9 = GZ34, T1 to B+3',
      'C1 = 32uF, B+3 to gnd',
      ...stage,
      'V7 = 12AX7',
    );
    const figure = findExpected(viewOf(amplifier, 'as-found'), amplifier, 'V1A.a');
    expect(figure?.remark).toContain('without V7, of which too little is known');
  });

  it('never takes an unloaded rail for a finished one', () => {
    const amplifier = found(...stage, 'R20 = 10k, B+3 to B+4', 'C4 = 22uF, B+4 to gnd', 'B+3: 278 V');
    expect(findExpected(viewOf(amplifier, 'as-found'), amplifier, 'B+4')).toBeUndefined();
  });

  it('has no set where no reading took part', () => {
    const amplifier = found(
      'T1 = mains 280-0-280V 150mA',
      'V9 = GZ34, T1 to B+3',
      'C1 = 32uF, B+3 to gnd',
      ...stage,
    );
    const figures = expectedOf(amplifier, 'as-found');
    expect(figures.map(({ subject }) => subject)).toContain('B+3');
    for (const { set, remark } of figures) {
      expect(set).toBe(0);
      expect(remark).toContain('at 230 V mains, none being read');
    }
  });

  it('never fails, whatever is left of an amplifier', () => {
    const job = sample('jobs/2047-larch-20-hot-valve.tagstrip.md');
    const lines = LARCH.split('\n');
    const drop = fc.array(fc.nat(lines.length - 1), { minLength: 1, maxLength: 60 });
    const value = fc.constantFrom('0', '1', '1G', '-5k', 'open', '1e300', '0.0001', '', '47u');
    fc.assert(
      fc.property(drop, fc.nat(lines.length - 1), value, (dropped, odd, text) => {
        const rest = lines
          .map((line, i) => (i === odd ? line.replace(/= \S+/, `= ${text}`) : line))
          .filter((_, i) => !dropped.includes(i));
        const amplifier = amplifierOf(job, rest.join('\n'));
        for (const view of amplifier.phases) {
          const figures = expectedFigures(view, amplifier);
          const keys = figures.map(({ file, subject, set }) => `${file} ${subject} ${set}`);
          expect(new Set(keys).size).toBe(keys.length);
          for (const { quantity, low, high, basis, source } of figures) {
            expect(basis).toBe('expected');
            expect(source.file).toMatch(/^file:/);
            for (const number of [quantity.value, low ?? 0, high ?? 0])
              expect(Number.isFinite(number)).toBe(true);
            expect(Math.abs(quantity.value)).toBeLessThan(600);
          }
        }
      }),
      { numRuns: 8, seed: 20 },
    );
  });
});
