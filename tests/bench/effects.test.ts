/** What a change does, against values worked by hand from the formulas (computed), each with all that was held. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { englishBenchWords } from '../../server/bench/bench-words.ts';
import { sayLevels } from '../../server/bench/effect-words.ts';
import { type ChangeEffect, departuresFromChassis, effectOf } from '../../server/bench/effects.ts';
import { amplifierOf, lineOf } from './bench.ts';

/** The effect of the first change of a job whose amplifier is written in as-found lines. */
function effect(found: readonly string[], change: string): ChangeEffect | undefined {
  const lines = found.map((line) => `- ${line}`).join('\n');
  const amplifier = amplifierOf(`# Job\n\n## As found\n\n${lines}\n\n## Work\n\n- ${change}\n`);
  const [first] = amplifier.changes;
  if (first === undefined) throw new Error('nothing is changed');
  return effectOf(first, amplifier);
}

function lines(of: ChangeEffect | undefined, kind: 'direct' | 'signal'): readonly string[] {
  return (of?.[kind] ?? []).map(
    ({ before, after }) => `${before ? lineOf(before) : '-'} -> ${after ? lineOf(after) : '-'}`,
  );
}

function lineFor(of: ChangeEffect | undefined, subject: string, figure: string) {
  const line = [...(of?.direct ?? []), ...(of?.signal ?? [])].find(
    (each) => each.subject === subject && each.figure === figure,
  );
  return [line?.before?.quantity.value ?? Number.NaN, line?.after?.quantity.value ?? Number.NaN] as const;
}

/** dB at 82, 400, 1000 and 5000 Hz, after less before. */
function changes(of: ChangeEffect | undefined): readonly number[] {
  return (of?.levels?.levels ?? []).map(({ change }) => change?.value ?? Number.NaN);
}

const FREQUENCIES = [82, 400, 1000, 5000];
/** Level of a first-order shelf, against well below both corners. */
const shelf = (zero: number, pole: number) => (f: number) =>
  10 * Math.log10((1 + (f / zero) ** 2) / (1 + (f / pole) ** 2));
const highPass = (corner: number) => (f: number) => -10 * Math.log10(1 + (corner / f) ** 2);

const STAGE = [
  'V1A = 12AX7, a R4 B+1, k R3, g J1',
  'R4 = 100k',
  'R3 = 1k5',
  'V1B = 12AX7',
  'R9 = 1M, V1B.g to gnd',
];

describe('a cathode bypass', () => {
  const changed = effect(
    [...STAGE, 'C2 = 25uF 25V, across R3', 'C3 = 10uF 400V, V1A.a to V1B.g'],
    'C2 = 25uF 25V -> 0.68uF 50V',
  );
  it('moves its shelf by the impedance into the cathode, not by 1/(2πRC) alone', () => {
    const [zero, lowAfter] = lineFor(changed, 'C2', 'shelf-low');
    const [pole, highAfter] = lineFor(changed, 'C2', 'shelf-high');
    expect(zero).toBeCloseTo(4.244, 3);
    expect(pole).toBeCloseTo(8.435, 3);
    expect(lowAfter).toBeCloseTo(156.0, 1);
    expect(highAfter).toBeCloseTo(310.1, 1);
  });

  it('changes the level as the two shelves do, at every telling frequency', () => {
    const [before, after] = [shelf(4.24413, 8.435453), shelf(156.034, 310.127)];
    for (const [i, f] of FREQUENCIES.entries())
      expect(changes(changed)[i]).toBeCloseTo(after(f) - before(f), 2);
    expect(changed?.levels).toMatchObject({ from: 'J1', at: 'V1B.g', basis: 'catalogue' });
  });

  it('leaves everything at rest alone, and says what was held', () => {
    expect(lines(changed, 'direct')).toEqual([]);
    expect(changed?.held).toEqual([
      { kind: 'parts', phase: 'work' },
      { kind: 'valve-constants', refs: ['V1A'] },
      { kind: 'no-strays' },
    ]);
  });
});

describe('a coupling capacitor', () => {
  const found = [...STAGE, 'C2 = 1000uF 25V, across R3', 'C3 = 22n 400V, V1A.a to V1B.g'];
  it('moves its corner by the grid leak and what drives it', () => {
    const changed = effect(found, 'C3 = 22n 400V -> 2n2 400V');
    expect(lineFor(changed, 'C3', 'corner')[0]).toBeCloseTo(6.966, 3);
    expect(lineFor(changed, 'C3', 'corner')[1]).toBeCloseTo(69.66, 2);
    const [before, after] = [highPass(6.9664), highPass(69.664)];
    for (const [i, f] of FREQUENCIES.entries())
      expect(changes(changed)[i]).toBeCloseTo(after(f) - before(f), 2);
  });

  it('of 100 nF into 220 kΩ is 17 % lower than without the source', () => {
    const loaded = found.map((line) => line.replace('R9 = 1M', 'R9 = 220k'));
    const changed = effect(loaded, 'C3 = 22n 400V -> 100n 400V');
    expect(lineFor(changed, 'C3', 'corner')[1]).toBeCloseTo(6.158, 3);
  });

  it('taken out lets nothing through, which is no number of decibels', () => {
    const changed = effect(found, 'C3 -> removed');
    expect(
      changed?.levels?.levels.every(({ before, after }) => before !== undefined && after === undefined),
    ).toBe(true);
    expect(lineFor(changed, 'C3', 'corner')[1]).toBeNaN();
  });
});

describe('a series resistor and capacitor across an anode circuit', () => {
  it('steps down from its pole by the node’s own resistance', () => {
    const found = [
      ...STAGE,
      'C2 = 10000uF 25V, across R3',
      'C3 = 100uF 400V, V1A.a to V1B.g',
      'R30 = 47k, V1A.a to mid',
      'C30 = 470p 500V, mid to gnd',
    ];
    const changed = effect(found, 'C30 -> removed');
    const step = shelf(7204.8, 4029.5);
    for (const [i, f] of FREQUENCIES.entries()) expect(changes(changed)[i]).toBeCloseTo(-step(f), 2);
  });
});

describe('a bright capacitor on a volume control', () => {
  const found = ['J1: 0 V', 'VR1 = 1M log, J1 to gnd, wiper to V1A.g', 'V1A = 12AX7, a R4 B+1, k R3'];
  it('lifts by the arms of the control as they were read', () => {
    const changed = effect([...found, 'VR1: 900k / 100k', 'C1 = 120p 500V, J1 to VR1.2'], 'C1 -> removed');
    const lift = shelf(1473.7, 14737);
    for (const [i, f] of FREQUENCIES.entries()) expect(changes(changed)[i]).toBeCloseTo(-lift(f), 2);
    expect(changed?.levels?.basis).toBe('fitted');
  });

  it('lifts less with a resistor in series', () => {
    const changed = effect(
      [...found, 'VR1: 900k / 100k', 'R1 = 150k, J1 to bright', 'C1 = 120p 500V, bright to VR1.2'],
      'C1 -> removed',
    );
    const lift = shelf(1263.1, 5526.2);
    for (const [i, f] of FREQUENCIES.entries()) expect(changes(changed)[i]).toBeCloseTo(-lift(f), 2);
  });

  it('takes a written setting, else the middle, which it says is assumed', () => {
    const bright = 'C1 = 120p 500V, J1 to VR1.2';
    const written = effect([...found, 'VR1: at 3', bright], 'C1 -> removed');
    const unwritten = effect([...found, bright], 'C1 -> removed');
    const setting = (of: ChangeEffect | undefined) => of?.held.find(({ kind }) => kind === 'setting');
    expect(setting(written)).toMatchObject({ ref: 'VR1', position: 3, isAssumed: false });
    expect(setting(unwritten)).toMatchObject({ ref: 'VR1', position: 5, share: 0.125, isAssumed: true });
    expect(unwritten?.levels?.basis).toBe('assumed');
  });
});

describe('a cathode resistor', () => {
  const found = [
    'V5 = 6V6GT, a B+1, g2 B+1, k R17, g R9',
    'R9 = 220k, V5.g to gnd',
    'R17 = 470R 2W, V5.k to gnd',
    'B+1: 280 V',
  ];
  const changed = effect(found, 'R17 = 470R 2W -> 680R 2W');
  it('of more ohms takes less current at more bias, solved with average valves', () => {
    const [before, after] = lineFor(changed, 'V5', 'cathode-current');
    expect(after / before).toBeGreaterThan(470 / 680);
    expect(after).toBeLessThan(before);
    const [warm, cool] = lineFor(changed, 'V5', 'anode-dissipation');
    expect(cool).toBeLessThan(warm);
    const [bias, deeper] = lineFor(changed, 'V5', 'bias');
    expect(deeper).toBeLessThan(bias);
    expect(changed?.held).toContainEqual({ kind: 'average-valves' });
    expect(changed?.direct.every(({ before: b }) => b === undefined || b.basis === 'expected')).toBe(true);
  });

  it('of the same ohms and more watts only changes its loading, by the readings', () => {
    const rated = effect([...found, 'V5.k: 18.8 V'], 'R17 = 470R 2W -> 470R 5W');
    expect(lines(rated, 'direct')).toEqual(['R17 loading 0.376 1 fitted -> R17 loading 0.15 1 fitted']);
    expect(rated?.levels).toBeUndefined();
    expect(rated?.held).toContainEqual({ kind: 'readings', phase: 'as-found', set: 1 });
  });
});

describe('another valve in the same socket', () => {
  it('is judged by its own limits', () => {
    const found = [
      'V5 = 6V6GT, a B+1, g2 B+1, k R17, g R9',
      'R9 = 220k, V5.g to gnd',
      'R17 = 470R 5W',
      'B+1: 280 V',
    ];
    const changed = effect(found, 'V5 = 6V6GT -> 6L6GC');
    expect(lineFor(changed, 'V5', 'anode-loading').every(Number.isFinite)).toBe(true);
    const line = changed?.direct.find(({ figure }) => figure === 'anode-loading');
    expect(line?.before?.limit?.source).toContain('6V6GT');
    expect(line?.after?.limit?.source).toContain('6L6GC');
  });
});

describe('what has no effect to tell', () => {
  it.each([
    ['a resoldered part', 'R17 -> resoldered'],
    ['the same value again', 'R17 = 470R 2W -> 470R 2W'],
    ['a part that sits nowhere', 'R99 = 1k -> 2k'],
  ])('%s', (_, change) => {
    expect(effect(['R17 = 470R 2W, V5.k to gnd'], change)).toBeUndefined();
  });
});

describe('the samples', () => {
  const chassis = readFileSync('samples/chassis/larch-20.b.tagstrip.md', 'utf8');
  const sampleOf = (name: string) =>
    amplifierOf(readFileSync(`samples/jobs/${name}.tagstrip.md`, 'utf8'), chassis);

  it('tell what a dried reservoir’s successor does to the ripple', () => {
    const amplifier = sampleOf('2041-larch-20-hum');
    const change = amplifier.changes.find(({ ref, planned }) => ref === 'C11' && !planned);
    const [before, after] = lineFor(change && effectOf(change, amplifier), 'B+1', 'ripple');
    expect(before).toBeGreaterThan(5 * after);
    expect(after).toBeGreaterThan(15);
    expect(after).toBeLessThan(25);
  });

  it('tell what a leak did to the grid behind it', () => {
    const amplifier = sampleOf('2047-larch-20-hot-valve');
    const change = amplifier.changes.find(({ ref }) => ref === 'C10');
    const effectOfLeak = change && effectOf(change, amplifier);
    const [before, after] = lineFor(effectOfLeak, 'V4', 'anode-dissipation');
    expect(before).toBeGreaterThan(1.1 * after);
    expect(lineFor(effectOfLeak, 'V4', 'bias')[0]).toBeGreaterThan(lineFor(effectOfLeak, 'V4', 'bias')[1]);
  });

  it('agree with the loudspeaker volts that were read', () => {
    const amplifier = sampleOf('2052-larch-20-tone');
    const of = (ref: string) => {
      const change = amplifier.changes.find((each) => each.ref === ref);
      return changes(change && effectOf(change, amplifier))[0] ?? Number.NaN;
    };
    // 3.20 to 1.82 V at 100 Hz is -4.9 dB; 82 Hz is a little lower still.
    expect(of('C2') + of('C6')).toBeCloseTo(-5.6, 0);
  });

  it('tell of parts as found against the chassis sheet', () => {
    const amplifier = sampleOf('2052-larch-20-tone');
    const found = departuresFromChassis(amplifier);
    expect(found.map(({ ref }) => ref)).toEqual(['C15', 'C16']);
    const [first] = found;
    expect(lines(first && effectOf(first, amplifier), 'direct')).toEqual([
      'C15 margin 0.638 1 fitted -> C15 margin 0.088 1 fitted',
    ]);
  });
});

describe('a level that comes from next to nothing', () => {
  it('is told as it was and is, and not as so many decibels more', () => {
    const at = (frequency: number, before: number, after: number) => ({
      frequency: { value: frequency, unit: 'Hz' } as const,
      before: { value: before, unit: 'dB' } as const,
      after: { value: after, unit: 'dB' } as const,
      change: { value: after - before, unit: 'dB' } as const,
    });
    const said = sayLevels(
      { from: 'T2.8R', at: 'V1B.k', levels: [at(82, -52.1, -26), at(5000, -87.8, -26)] },
      englishBenchWords,
    );
    expect(said.replaceAll('\u00a0', ' ')).toBe(
      'level from T2.8R to V1B.k moved: 82 Hz +26.1 dB, 5 kHz −87.8 → −26 dB',
    );
  });
});
