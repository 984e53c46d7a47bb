/** What flows into a node flows out of it: within tolerance, meter and last digit. Currents worked by hand (computed). */
import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { type Consistency, findConsistency } from '../../server/bench/consistency.ts';
import { amplifierOf, asFound } from './bench.ts';

const consistencyOf = (...lines: readonly string[]): Consistency => findConsistency(asFound(...lines));
/** `B+3 node 4.0 in, 8.5 out`, in mA. */
const told = ({ conflicts }: Consistency): readonly string[] =>
  conflicts.map(
    ({ node, kind, into, outOf }) =>
      `${node} ${kind} ${milliamperes(into.middle)} in, ${milliamperes(outOf.middle)} out`,
  );
const milliamperes = (value: number): string => (value * 1000).toFixed(1);

const CHAIN = [
  'R23 = 10k 2W 5%, B+2 to B+3',
  'R24 = 22k 1W 5%, B+3 to B+4',
  'R15 = 82k 5%, V2A.a to B+3',
  'R16 = 100k 5%, V2B.a to B+3',
  'R4 = 100k 5%, V1A.a to B+4',
  'R7 = 100k 5%, V1B.a to B+4',
  'C13 = 22uF 500V, B+3 to gnd',
  'C14 = 22uF 500V, B+4 to gnd',
  'V1, V2 = 12AX7',
];
const READ = ['V2A.a: 192.1 V', 'V2B.a: 184.0 V', 'V1A.a: 163.4 V', 'V1B.a: 163.4 V', 'B+4: 251.8 V'];

describe('a chain of droppers', () => {
  it('adds up where everything is as marked', () => {
    const sums = consistencyOf(...CHAIN, ...READ, 'B+2: 331.0 V', 'B+3: 290.7 V');
    expect(told(sums)).toEqual([]);
    expect(sums.agreeing).toEqual(['B+3', 'B+4']);
  });

  it('does not where one dropper is not what is marked, and that one is suspected first', () => {
    // 70.3 V over 10 kΩ is 7.0 mA, and only 4.0 mA go anywhere: unless somebody left out a load.
    const sums = consistencyOf(...CHAIN, ...READ, 'B+2: 361.0 V', 'B+3: 290.7 V');
    expect(told(sums)).toEqual(['B+3 node 7.0 in, 4.0 out']);
    expect(sums.conflicts[0]?.mayBeUnwritten).toBe(true);
    const [first] = sums.conflicts[0]?.suspicions ?? [];
    expect(first).toMatchObject({
      ref: 'R23',
      marked: 10_000,
      isMeasured: false,
      isConfirmedElsewhere: false,
    });
    expect(first?.implied).toBeCloseTo(17_412, -2);
  });

  it('clears the part that its other end confirms', () => {
    const sums = consistencyOf(...CHAIN, ...READ, 'B+2: 361.0 V', 'B+3: 290.7 V');
    const confirmed = sums.conflicts[0]?.suspicions.filter((each) => each.isConfirmedElsewhere);
    expect(sums.agreeing).toEqual(['B+4']);
    expect(confirmed?.map(({ ref }) => ref) ?? []).not.toContain('R23');
  });

  it('needs no missing load to contradict a dropper that brings too little', () => {
    const sums = consistencyOf(...CHAIN, ...READ, 'B+2: 301.0 V', 'B+3: 290.7 V');
    expect(told(sums)).toEqual(['B+3 node 1.0 in, 4.0 out']);
    expect(sums.conflicts[0]?.mayBeUnwritten).toBe(false);
  });

  it('says nothing of a node with one unknown current or two', () => {
    for (const read of [
      [...READ, 'B+3: 290.7 V'],
      ['B+3: 290.7 V', 'V2A.a: 192.1 V', 'V2B.a: 184.0 V'],
    ]) {
      const sums = consistencyOf(...CHAIN, ...read);
      expect(sums.conflicts).toEqual([]);
      expect(sums.agreeing).not.toContain('B+3');
    }
  });
});

const PAIR = [
  'V5, V6 = EL84',
  'R17 = 130R 5W 5%, V5.k V6.k to gnd',
  'R41, R42 = 1k 5%, V5.g2 V6.g2 to B+2',
  'T2 = output 8k : 8R, V5.a V6.a, ct B+1',
  'T2: 150R + 150R',
  'B+1: 310.0 V',
  'B+2: 305.0 V',
];

describe('a cathode resistor that two valves share', () => {
  it('carries what both anodes and screens take', () => {
    // Drops of 5.8 V over 150 Ω hot: 35 mA each; 4 mA each into the screens: 78 mA, 10.2 V.
    const sums = consistencyOf(...PAIR, 'V5: a 304.2, g2 301, k 10.2', 'V6: a 304.2, g2 301');
    expect(told(sums)).toEqual([]);
  });

  it('contradicts them where it carries three times as much', () => {
    const sums = consistencyOf(
      ...PAIR.filter((line) => !line.startsWith('B+') && !line.startsWith('T2:')),
      'V5: 20 mA',
      'V6: 20 mA',
      'V5.k: 15.6 V',
    );
    expect(told(sums)).toEqual(['V5.k shared-cathode 40.0 in, 120.0 out']);
    expect(sums.conflicts[0]?.suspicions).toMatchObject([{ ref: 'R17', marked: 130 }]);
    expect(sums.conflicts[0]?.suspicions[0]?.implied).toBeCloseTo(390, 0);
  });
});

describe('a long tail', () => {
  const TAIL = [
    'V2A, V2B = 12AX7',
    'R15 = 82k 5%, V2A.a to B+3',
    'R16 = 100k 5%, V2B.a to B+3',
    'R11 = 470R 5%, V2A.k V2B.k to tail',
    'R12 = 16k 5%, tail to gnd',
    'R9, R10 = 1M, V2A.g V2B.g to tail',
    'C6 = 22n, V1B.a to V2A.g',
    'B+3: 290.7 V',
    'V2A.a: 192.1 V',
    'V2B.a: 184.0 V',
    'V2A.k: 37.3 V',
  ];
  it('takes what both anode loads bring; grid leaks carry nothing', () => {
    const sums = consistencyOf(...TAIL, 'tail: 36.2 V');
    expect(told(sums)).toEqual([]);
    expect(sums.agreeing).toEqual(['V2A.k', 'tail']);
  });

  it('contradicts them where it would carry twice as much', () => {
    const sums = consistencyOf(...TAIL.map((line) => line.replace('16k', '8k2')), 'tail: 36.2 V');
    expect(told(sums)).toEqual(['tail node 2.3 in, 4.4 out']);
  });
});

describe('what is no contradiction of a node', () => {
  it.each([
    [
      'the two ends of one valve',
      ['V1A = 12AX7, a R4 B+3, k R5', 'R4 = 100k 5%', 'R5 = 1k5 5%', 'B+3: 278 V', 'V1A: a 142, k 1.18'],
    ],
    [
      'a drop as small as the meter’s digits',
      ['R21 = 1k, B+2 to V3.g2', 'R22 = 1k, B+2 to B+3', 'B+2: 331 V', 'B+3: 331 V', 'V3.g2: 330 V'],
    ],
    [
      'a node with a capacitor that was found leaking',
      [
        'R1 = 1M 5%, x to gnd',
        'R2 = 1M 5%, B+1 to x',
        'C1 = 22n, x to gnd',
        'C1: 2M insulation',
        'B+1: 300 V',
        'x: 100 V',
      ],
    ],
    [
      'high resistances behind the meter’s own',
      ['R1 = 1M 5%, x to gnd', 'R2 = 1M 5%, B+1 to x', 'B+1: 300 V', 'x: 143 V'],
    ],
  ])('%s', (_, lines) => {
    expect(told(consistencyOf(...lines))).toEqual([]);
  });
});

describe('the samples', () => {
  const chassis = readFileSync('samples/chassis/larch-20.b.tagstrip.md', 'utf8');
  it.each(readdirSync('samples/jobs'))('%s contradicts nothing', (job) => {
    const { phases } = amplifierOf(readFileSync(`samples/jobs/${job}`, 'utf8'), chassis);
    expect(phases.flatMap((view) => told(findConsistency(view)))).toEqual([]);
  });

  it('have a chart that adds up at every supply node and cathode', () => {
    const [factory] = amplifierOf(chassis).phases;
    expect(factory && findConsistency(factory).agreeing).toEqual(
      expect.arrayContaining(['B+2', 'B+3', 'B+4', 'V1A.k', 'V2A.k', 'V3.k', 'V4.k']),
    );
  });
});
