/**
 * Comparisons of two sheets held against the literature: one part is changed between two chassis sheets, and what the
 * comparison tells of it must be the difference that the published circuit or formula gives. Each row says where its numbers
 * are from. Published: printed and transcribed. Computed: worked out from the formula of the source named, not by this code.
 * RDH4 is the Radiotron Designer's Handbook, 4th edition.
 */
import { describe, expect, it } from 'vitest';
import { findResponses } from '../../server/bench/response.ts';
import { type Comparison, compareAmplifiers, refOf } from '../../server/shop/compare.ts';
import { memoryFiles } from '../../server/shop/files.ts';
import { createShop } from '../../server/shop/shop.ts';
import { englishShop } from '../../server/shop/shop-words.ts';
import { DRAWN, publishedToneGain, type ToneNetworkParts } from './tone-network-formula.ts';

/** Two chassis sheets that are the same but for one line. */
async function compare(
  lines: readonly string[],
  change: readonly [from: string, to: string],
): Promise<Comparison> {
  const write = (own: readonly string[]) =>
    `---\nsheet: chassis\n---\n# Alder\n\n${own
      .filter((line) => line !== '')
      .map((line) => `- ${line}\n`)
      .join('')}`;
  const [from, to] = change;
  expect(lines).toContain(from);
  const [was, is] = ['file:///a.tagstrip.md', 'file:///b.tagstrip.md'];
  const files = memoryFiles({
    [was]: write(lines),
    [is]: write(lines.map((line) => (line === from ? to : line))),
  });
  const shop = createShop({ files });
  const [one, two] = [await shop.analyse(was), await shop.analyse(is)];
  if (one === undefined || two === undefined) throw new Error('there are two sheets');
  const { catalogue, house } = one.input;
  return compareAmplifiers(one.amplifier, two.amplifier, { catalogue, house }, englishShop);
}

/** The effect of the one part that differs. */
async function effectOf(lines: readonly string[], change: readonly [from: string, to: string]) {
  const comparison = await compare(lines, change);
  const differing = comparison.parts.filter(({ verdict }) => verdict !== 'same');
  expect(differing.map(refOf)).toHaveLength(1);
  const [effect] = differing[0]?.effects ?? [];
  if (effect === undefined) throw new Error('the change has an effect');
  const figures = [...effect.direct, ...effect.signal];
  return {
    comparison,
    /** Decibels after less before, by hertz. */
    levels: new Map(
      effect.levels?.levels.map(({ frequency, change: by }) => [frequency.value, by?.value ?? Number.NaN]),
    ),
    figure: (name: string, subject = effect.ref) => {
      const line = figures.find((each) => each.figure === name && each.subject === subject);
      return [line?.before, line?.after].map((each) => each?.quantity.value ?? Number.NaN);
    },
  };
}

const FREQUENCIES = [82, 400, 1000, 5000];
const db = (gain: number) => 20 * Math.log10(gain);

describe('the tone network of D. Yeh and J. O. Smith (DAFx-06, Montreal, September 2006), on a sheet', () => {
  /** Controls at the middle, with the parts that are changed here as arguments. */
  function published(changed: Partial<ToneNetworkParts>, frequency: number): number {
    return db(publishedToneGain({ ...DRAWN, ...changed }, [0.5, 0.5, 0.5], frequency));
  }

  /** Behind a source of so many ohms and, where it is said, into 1 MΩ. */
  const network = (source: string, load: string) => [
    source,
    load,
    'C1 = 250p 500V, drive to treble',
    'R4 = 56k 1W, drive to slope',
    'C2 = 20n 400V, slope to bass',
    'C3 = 20n 400V, slope to middle',
    'VR1 = 250k lin, treble to bass, wiper to V1A.g',
    'VR2 = 1M lin, bass to mids, wiper to mids',
    'VR3 = 25k lin, mids to gnd, wiper to middle',
    'V1A = 12AX7',
  ];

  it('the oracle gives the published row at the middle: −11.75 dB at 1 kHz, −5.29 dB at 5 kHz', () => {
    expect(published({}, 1000)).toBeCloseTo(-11.75, 2);
    expect(published({}, 5000)).toBeCloseTo(-5.29, 2);
  });

  it('another source: 615 Ω to 38.5 kΩ into 1 MΩ, by the table computed by an independent nodal solver', async () => {
    // −12.83 and −6.03 dB behind 615 Ω, −16.64 and −10.28 dB behind 38.5 kΩ, at 1 and 5 kHz.
    const source = 'R40 = 615R 1W, J1 to drive';
    const { levels } = await effectOf(network(source, 'R41 = 1M, V1A.g to gnd'), [
      source,
      'R40 = 38.5k 1W, J1 to drive',
    ]);
    expect(levels.get(1000)).toBeCloseTo(-16.64 + 12.83, 1);
    expect(levels.get(5000)).toBeCloseTo(-10.28 + 6.03, 1);
  });

  it.each([
    ['slope resistor', 'R4 = 56k 1W, drive to slope', 'R4 = 100k 1W, drive to slope', { r4: 100e3 }],
    ['slope resistor', 'R4 = 56k 1W, drive to slope', 'R4 = 33k 1W, drive to slope', { r4: 33e3 }],
    [
      'treble capacitor',
      'C1 = 250p 500V, drive to treble',
      'C1 = 500p 500V, drive to treble',
      { c1: 500e-12 },
    ],
    ['bass capacitor', 'C2 = 20n 400V, slope to bass', 'C2 = 100n 400V, slope to bass', { c2: 100e-9 }],
    ['middle capacitor', 'C3 = 20n 400V, slope to middle', 'C3 = 47n 400V, slope to middle', { c3: 47e-9 }],
  ])('another %s, by the published transfer function (%s to %s)', async (_, from, to, parts) => {
    // As good as an ideal source, and the grid takes nothing.
    const { levels } = await effectOf(network('R40 = 10R 1W, J1 to drive', 'R41 = 22M, V1A.g to gnd'), [
      from,
      to,
    ]);
    for (const frequency of FREQUENCIES)
      expect(levels.get(frequency), `${frequency} Hz`).toBeCloseTo(
        published(parts, frequency) - published({}, frequency),
        1,
      );
  });
});

describe('an anode’s network and a control’s, as RDH4 chapters 12 and 15 have them', () => {
  const STAGE = [
    'V1A = 12AX7, a R6 B+1, k R5 C5, g J1',
    'R6 = 100k 1W',
    'R5 = 1k5 0.5W',
    'C5 = 25uF 25V',
    'C6 = 22uF 400V, V1A.a to V1B.g',
    'R8 = 1M 0.5W, V1B.g to gnd',
    'V1B = 12AX7',
  ];
  const shelf = (zero: number, pole: number, f: number) =>
    10 * Math.log10((1 + (f / zero) ** 2) / (1 + (f / pole) ** 2));

  it('cathode bypass 25 to 0.68 µF: zero 4.244 to 156.0 Hz, pole 8.435 to 310.1 Hz (computed, RDH4 ch. 12)', async () => {
    const { figure, levels } = await effectOf(STAGE, ['C5 = 25uF 25V', 'C5 = 0.68uF 50V']);
    expect(figure('shelf-low')).toEqual([expect.closeTo(4.244, 3), expect.closeTo(156.0, 1)]);
    expect(figure('shelf-high')).toEqual([expect.closeTo(8.435, 3), expect.closeTo(310.1, 1)]);
    for (const f of FREQUENCIES)
      expect(levels.get(f), `${f} Hz`).toBeCloseTo(shelf(156.0, 310.1, f) - shelf(4.244, 8.435, f), 2);
  });

  it('cathode bypass taken out: gain 59.26 to 29.82, 5.97 dB less (computed, RDH4 ch. 12)', async () => {
    const { levels, figure } = await effectOf(STAGE, ['C5 = 25uF 25V', '']);
    expect(levels.get(5000)).toBeCloseTo(-5.97, 2);
    expect(figure('gain', 'V1A')).toEqual([expect.closeTo(59.26, 1), expect.closeTo(29.82, 1)]);
  });

  it('coupling capacitor into 1 MΩ: 22 nF has its corner at 6.966 Hz, with the source’s 38.46 kΩ (computed, RDH4 ch. 12)', async () => {
    const lines = STAGE.map((line) => line.replace('C6 = 22uF', 'C6 = 22n'));
    const { figure, levels } = await effectOf(lines, [
      'C6 = 22n 400V, V1A.a to V1B.g',
      'C6 = 2n2 400V, V1A.a to V1B.g',
    ]);
    expect(figure('corner')).toEqual([expect.closeTo(6.966, 3), expect.closeTo(69.66, 2)]);
    const highPass = (corner: number, f: number) => -10 * Math.log10(1 + (corner / f) ** 2);
    for (const f of FREQUENCIES)
      expect(levels.get(f), `${f} Hz`).toBeCloseTo(highPass(69.66, f) - highPass(6.966, f), 1);
  });

  it('470 pF and 47 kΩ at the anode: pole 4029.5 Hz, zero 7204.8 Hz, down to −5.05 dB (computed, RDH4 ch. 15)', async () => {
    const lines = [...STAGE, 'C9 = 470p 500V, V1A.a to corner', 'R9 = 47k 1W, corner to gnd'];
    const { levels } = await effectOf(lines, ['C9 = 470p 500V, V1A.a to corner', '']);
    for (const f of FREQUENCIES) expect(levels.get(f), `${f} Hz`).toBeCloseTo(-shelf(7204.8, 4029.5, f), 1);
  });

  it('120 pF across the upper 900 kΩ of 1 MΩ: zero 1473.7 Hz, pole 14 737 Hz, up to +20 dB (computed, RDH4 ch. 15)', async () => {
    const lines = [
      'R1 = 900k 0.5W, J1 to V1A.g',
      'R2 = 100k 0.5W, V1A.g to gnd',
      'V1A = 12AX7',
      'C9 = 120p 500V, J1 to V1A.g',
    ];
    const { levels } = await effectOf(lines, ['C9 = 120p 500V, J1 to V1A.g', '']);
    for (const f of FREQUENCIES) expect(levels.get(f), `${f} Hz`).toBeCloseTo(-shelf(1473.7, 14_737, f), 2);
  });
});

describe('feedback, as RDH4 chapter 7 has it', () => {
  const AMPLIFIER = [
    'V2 = 12AX7',
    'R12 = 470R, V2A.k V2B.k to tail',
    // So large that it takes nothing from the loop: the formula has none.
    'R13 = 1M, tail to loop',
    'R31 = 4k7, loop to gnd',
    'R32 = 47k, T2.8R to loop',
    'C32 = 1pF 100V, loop to gnd',
    'R9, R10 = 1M, V2A.g V2B.g to tail',
    'C10 = 100n 400V, V2B.g to loop',
    'C7 = 22n 400V, V1B.a to V2A.g',
    'V1 = 12AX7',
    'R6 = 100k, V1B.a to B+3',
    'R7 = 1k5, V1B.k to gnd',
    'R14 = 82k, V2A.a to B+3',
    'R15 = 100k, V2B.a to B+3',
    'C8 = 100n 400V, V2A.a to V3.g',
    'C9 = 100n 400V, V2B.a to V4.g',
    'R16, R17 = 220k, V3.g V4.g to bias',
    'V3, V4 = 6L6GC',
    'R43, R44 = 1R, V3.k V4.k to gnd',
    'T2 = output 6k6 : 4R 8R 16R, V3.a V4.a, ct B+1, LS1 on 8R',
    'LS1 = 8R 50W',
  ];

  it('another resistor moves its decibels by 20·log(1 + βA), β = Rt / (Rt + Rf) (published: 60 dB open, 40 dB closed are 20 dB)', async () => {
    // With the printed example: A 1000 and 1 + βA = 10 are 20 dB.
    expect(db(1 + 1000 * 0.009)).toBeCloseTo(20, 9);
    const { figure } = await effectOf(AMPLIFIER, ['R32 = 47k, T2.8R to loop', 'R32 = 100k, T2.8R to loop']);
    const [before = Number.NaN, after = Number.NaN] = figure('feedback-db');
    // The gain that the loop is closed around is the same on both sides.
    const gain = (10 ** (before / 20) - 1) / (4700 / 51_700);
    expect(gain).toBeGreaterThan(5);
    expect(after).toBeCloseTo(db(1 + (gain * 4700) / 104_700), 1);
  });

  it('100 nF across the foot of 47 kΩ and 4.7 kΩ: what comes back falls from 372.5 Hz on (computed, RDH4 ch. 7)', async () => {
    const { comparison } = await effectOf(AMPLIFIER, [
      'C32 = 1pF 100V, loop to gnd',
      'C32 = 100n 100V, loop to gnd',
    ]);
    const changes = comparison.parts.flatMap(({ effects }) => effects.map(({ change }) => change));
    const [response] = findResponses({ ...comparison.was.amplifier, changes });
    expect(response?.path).toBe('fed-back');
    const checked = (response?.levels ?? []).filter(
      ({ frequency }) => frequency.value >= 300 && frequency.value <= 6000,
    );
    expect(checked.length).toBeGreaterThan(20);
    for (const { frequency, change } of checked)
      expect(change?.value, `${frequency.value} Hz`).toBeCloseTo(
        -10 * Math.log10(1 + (frequency.value / 372.5) ** 2),
        1,
      );
  });
});
