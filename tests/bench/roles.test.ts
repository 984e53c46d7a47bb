/** What each part does, by what it is tied to: one amplifier as its lines are written, and the cases that must not be guessed. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { findBiasMethod } from '../../server/bench/bias.ts';
import { amplifierOf, asFound, figureOf, viewOf } from './bench.ts';

const LINES = [
  'T1 = mains 290-0-290V 150mA 6.3V 4A 5V 2A',
  'V9 = GZ34, T1 to B+1',
  'C1 = 32uF 500V, B+1 to gnd',
  'L1 = 10H 250R, B+1 to B+2',
  'C2 = 32uF 500V, B+2 to gnd',
  'R20 = 10k 2W, B+2 to B+3',
  'C3 = 22uF 500V, B+3 to gnd',
  'R25 = 220k 2W, B+1 to gnd',
  'V1A = 12AX7, a R4 B+3, k R5 C5, g R2 J1',
  'R1 = 1M, J1 to gnd',
  'R2 = 68k',
  'R4 = 100k',
  'R5 = 1k5',
  'C5 = 25uF 25V',
  'C6 = 22n 400V, V1A.a to vol',
  'VR1 = 1M log, vol to gnd, wiper to V1B.g',
  'R6 = 100k, V1B.a to B+3',
  'R7 = 1k5, V1B.k to gnd',
  'C7 = 22n 400V, V1B.a to V2A.g',
  'R9, R10 = 1M, V2A.g V2B.g to tail',
  'V2 = 12AX7',
  'R12 = 470R, V2A.k V2B.k to tail',
  'R13 = 10k, tail to gnd',
  'R14 = 82k, V2A.a to B+3',
  'R15 = 100k, V2B.a to B+3',
  'C8 = 100n 400V, V2A.a to drive',
  'R16 = 220k, drive to bias',
  'R18 = 5k6, drive to V3.g',
  'C9 = 100n 400V, V2B.a to V4.g',
  'R17 = 220k, V4.g to bias',
  'C40 = 22uF 100V, bias to gnd',
  'V3, V4 = 6L6GC',
  'R41, R42 = 470R 5W, V3.g2 V4.g2 to B+2',
  'R43, R44 = 1R, V3.k V4.k to gnd',
  'T2 = output 6k6 : 8R, V3.a V4.a, ct B+1, LS1 on 8R',
  'R30 = 47k, T2.8R to V2B.g',
];

describe('the bias of a valve', () => {
  it.each([
    ['by the resistor at its cathode', ['R17 = 470R, V5.k to gnd'], 'cathode'],
    ['from a supply that its grid leak returns to', ['R9 = 220k, V5.g to bias'], 'fixed'],
    ['from a supply, by a grid well below ground', ['V5: g -41'], 'fixed'],
    ['from a supply, by a sense resistor', ['R43 = 1R, V5.k to gnd'], 'fixed'],
    ['untold', ['V5: a 440'], undefined],
  ])('is %s', (_, lines, method) => {
    expect(findBiasMethod(asFound('V5 = 6L6GC', ...lines), 'V5')).toBe(method);
  });
});

describe('the role of a part', () => {
  const view = asFound(...LINES);
  it.each([
    ['R4', 'anode-load', 'V1A'],
    ['R5', 'cathode-resistor', 'V1A'],
    ['C5', 'cathode-bypass', 'V1A'],
    ['R2', 'grid-stopper', 'V1A'],
    ['R1', 'grid-leak', 'V1A'],
    ['C6', 'coupling', 'V1B'],
    ['VR1', 'grid-leak', 'V1B'],
    ['C7', 'coupling', 'V2A'],
    ['R9', 'grid-leak', 'V2A'],
    ['R12', 'cathode-resistor', 'V2A V2B'],
    ['R13', 'tail', ''],
    ['R18', 'grid-stopper', 'V3'],
    ['R16', 'grid-leak', 'V3'],
    ['C8', 'coupling', 'V3'],
    ['R17', 'grid-leak', 'V4'],
    ['R41', 'screen-resistor', 'V3'],
    ['R43', 'sense-resistor', 'V3'],
    ['L1', 'choke', ''],
    ['R20', 'dropper', ''],
    ['R25', 'bleeder', ''],
    ['C1', 'reservoir', ''],
    ['C2', 'smoothing', ''],
    ['C40', 'smoothing', ''],
    ['V9', 'rectifier', ''],
    ['T1', 'mains-transformer', ''],
    ['T2', 'output-transformer', 'V3 V4'],
  ])('%s is %s of %s', (ref, role, serves) => {
    const found = view.roles.get(ref);
    expect([found?.role, found?.serves.join(' ')]).toEqual([role, serves]);
    expect(found?.because).not.toBe('');
  });

  const STAGE = [
    'V1B = 12AX7',
    'R6 = 100k, V1B.a to B+3',
    'R7 = 1k5, V1B.k to gnd',
    'C8 = 25uF 25V, across R7',
    'C9 = 22n 400V, V1A.a to V1B.g',
    'R11 = 1M, V1B.g to gnd',
  ];

  it('is no coupling from an anode back to its own grid, which would load it', () => {
    const found = asFound(...STAGE, 'C20 = 47p 500V, V1B.a to V1B.g');
    expect(found.roles.get('C20')).toMatchObject({ role: 'snubber', serves: ['V1B'] });
    const [gain, without] = [found, asFound(...STAGE)].map((each) => figureOf(each, 'V1B', 'gain'));
    expect(gain).toBeGreaterThan(50);
    expect(gain).toBe(without);
    expect(asFound(...STAGE, 'C20 = 22n 400V, V1B.a to V2A.g').roles.get('C20')?.role).toBe('coupling');
  });

  it.each([
    ['from a tap', 'T2 = output 8k : 8R, V3.a V4.a, ct B+1, LS1 on 8R', 'R23 = 47k, T2.8R to V1B.k'],
    ['from the loudspeaker', 'T2 = output 8k : 8R, V3.a V4.a, ct B+1, LS1 on 8R', 'R23 = 47k, LS1 to V1B.k'],
    [
      'from the jack that a tap leads to',
      'T2 = output 8k : 8R, V3.a V4.a, ct B+1, J2 on 8R',
      'R23 = 47k, J2 to V1B.k',
    ],
    [
      'from a place that a tap is wired to',
      'T2 = output 8k : 8R, V3.a V4.a, ct B+1',
      'R23 = 47k, spk to V1B.k',
      'T2.8R = spk',
    ],
  ])('is feedback %s, and no cathode resistor', (_, ...lines) => {
    expect(asFound(...STAGE, 'V3, V4 = EL84', ...lines).roles.get('R23')).toMatchObject({
      role: 'feedback',
      serves: ['V1B'],
    });
  });

  it('says between what it found it', () => {
    expect(view.roles.get('R5')?.because).toBe('between V1A.k and gnd');
    expect(view.roles.get('C5')?.because).toBe('across R5');
    expect(view.roles.get('C1')?.because).toBe('on B+1, which the rectifier feeds');
  });

  it('is only likely where something had to be taken for granted', () => {
    const loose = asFound('C1 = 32uF 500V, B+1 to gnd', 'C2 = 32uF, B+2 to gnd');
    expect(loose.roles.get('C1')).toMatchObject({ role: 'reservoir', confidence: 'likely' });
    expect(view.roles.get('C1')?.confidence).toBe('certain');
  });

  it.each([
    ['a part that nothing is said of', 'R17 = 470R', 'R17'],
    ['a resistor between two places nobody knows', 'R50 = 10k, fx to send', 'R50'],
  ])('is unknown for %s', (_, line, ref) => {
    expect(asFound(line).roles.get(ref)?.role).toBe('unknown');
  });
});

/** Networks by ref, `ref role of serves, network confidence`. */
const networksOf = (...lines: readonly string[]): readonly string[] =>
  [...asFound(...lines).roles.values()].flatMap(({ ref, role, network }) =>
    network === undefined ? [] : [`${ref} ${role}: ${network.name}, ${network.confidence}`],
  );

describe('what parts are together', () => {
  it('a cathode follower: the anode on the supply, the signal from the cathode', () => {
    const lines = [
      'V1B = 12AX7, a B+3, k R8, g V1A.a',
      'R8 = 100k, V1B.k to gnd',
      'C9 = 22n, V1B.k to treble',
    ];
    expect(networksOf(...lines)).toEqual([
      'R8 cathode-resistor: cathode-follower, likely',
      'V1B cathode-follower: cathode-follower, certain',
    ]);
    expect(
      networksOf('V5 = 6V6GT, a B+1, g2 B+1, k R17', 'C17 = 25uF 25V, across R17', 'R17 = 470R'),
    ).toEqual([]);
  });

  it('a cathodyne: one valve, two equal loads, two grids', () => {
    const lines = [
      'V2A = 12AX7, a R14 B+3',
      'R14 = 56k, V2A.a to B+3',
      'R15 = 1k5, V2A.k to foot',
      'R16 = 56k, foot to gnd',
      'R13 = 1M, V2A.g to foot',
      'C8 = 22n, V2A.a to V3.g',
      'C9 = 22n, foot to V4.g',
      'V3, V4 = 6V6GT',
    ];
    expect(networksOf(...lines)).toEqual(
      expect.arrayContaining(['V2A cathodyne: cathodyne, certain', 'R14 anode-load: cathodyne, certain']),
    );
  });

  it('a long-tail pair: one cathode, two loads, one grid held still', () => {
    const found = networksOf(...LINES, 'C30 = 100n 400V, V2B.g to gnd');
    expect(found).toEqual(
      expect.arrayContaining([
        'V2A long-tail-pair: long-tail-pair, certain',
        'V2B long-tail-pair: long-tail-pair, certain',
        'R14 anode-load: long-tail-pair, certain',
        'R12 cathode-resistor: long-tail-pair, certain',
        'R13 tail: long-tail-pair, certain',
        'C30 grid-return: grid-return, certain',
      ]),
    );
  });

  it('a paraphase: the second valve hears a part of what the first sends on', () => {
    const lines = [
      'V2A, V2B = 12AX7',
      'R14, R15 = 100k, V2A.a V2B.a to B+3',
      'R20, R21 = 1k5, V2A.k V2B.k to gnd',
      'C8 = 22n, V2A.a to V3.g',
      'R22 = 470k, V3.g to V2B.g',
      'R23 = 6k8, V2B.g to gnd',
      'C9 = 22n, V2B.a to V4.g',
      'R24 = 470k, V4.g to gnd',
      'V3, V4 = 6V6GT',
    ];
    expect(networksOf(...lines)).toEqual(
      expect.arrayContaining(['V2A paraphase: paraphase, likely', 'V2B paraphase: paraphase, likely']),
    );
  });

  it('a volume control with its bright capacitor, directly or through a resistor', () => {
    const volume = ['C6 = 22n 400V, V1A.a to vol', 'VR1 = 1M log, vol to gnd, wiper to V1B.g'];
    expect(networksOf(...volume, 'C7 = 120p, vol to V1B.g')).toEqual([
      'VR1 grid-leak: volume, likely',
      'C7 bright: bright, certain',
    ]);
    expect(networksOf(...volume, 'R7 = 150k, vol to mid', 'C7 = 120p, mid to V1B.g')).toEqual([
      'R7 bright: bright, certain',
      'VR1 grid-leak: volume, likely',
      'C7 bright: bright, certain',
    ]);
    expect(networksOf(...volume, 'C7 = 1uF, vol to V1B.g')).toEqual(['VR1 grid-leak: volume, likely']);
  });

  it('a treble cut through a control', () => {
    const lines = ['C7 = 1n, V2A.g to cut', 'VR2 = 250k, cut to gnd, wiper to gnd'];
    expect(networksOf(...lines)).toEqual([
      'VR2 treble-cut: treble-cut, likely',
      'C7 treble-cut: treble-cut, likely',
    ]);
  });

  it('a tone network behind a stage', () => {
    const lines = [
      'V1A = 12AX7, a R4 B+3',
      'C1 = 250p, V1A.a to top',
      'R1 = 100k, V1A.a to slope',
      'C2 = 100n, slope to bass',
      'C3 = 47n, slope to middle',
      'VR1 = 250k, top to bass, wiper to out',
      'VR2 = 1M log, bass to middle, wiper to bass',
      'VR3 = 25k, middle to gnd, wiper to middle',
    ];
    const found = networksOf(...lines).filter((line) => line.includes('tone'));
    expect(found.map((line) => line.slice(0, 3))).toEqual(expect.arrayContaining(['VR1', 'VR2', 'VR3']));
  });

  it('a feedback loop with the capacitor that shapes it', () => {
    const lines = [
      'T2 = output 8k : 8R, V3.a V4.a, ct B+1',
      'R30 = 47k, T2.8R to fb',
      'R31 = 4k7, fb to gnd',
      'C31 = 100n, fb to pres',
      'VR5 = 5k, pres to gnd, wiper to gnd',
      'C32 = 100p, across R30',
    ];
    expect(networksOf(...lines)).toEqual(
      expect.arrayContaining([
        'R30 feedback: feedback-loop, likely',
        'R31 feedback-loop: feedback-loop, likely',
        'C31 feedback-shelf: feedback-shelf, likely',
        'VR5 feedback-shelf: feedback-shelf, likely',
        'C32 feedback-shelf: feedback-shelf, likely',
      ]),
    );
  });

  it('a bias supply, a standby switch, a heater reference', () => {
    const found = networksOf(
      'D3 = 1N4007, bias to T1.2',
      'C40 = 22uF 100V, bias to gnd',
      'VR4 = 50k, bias to gnd, wiper to set',
      'S2 = standby, B+1 to B+2',
      'V9 = GZ34, T1 to B+1',
      'R50, R51 = 100R, heaters to gnd',
    );
    expect(found).toEqual(
      expect.arrayContaining([
        'C40 smoothing: bias-supply, certain',
        'VR4 bias-supply: bias-supply, likely',
        'R50 heater-reference: heater-reference, likely',
      ]),
    );
  });

  it('a reverberation: who drives the tank and who hears it', () => {
    const found = networksOf(
      'TK1 = tank in 8R out 2k2, T3 to V2A.g',
      'T3 = 22k : 8R, V1B.a to B+2',
      'V1B = 12AT7',
      'V2A = 12AX7',
    );
    expect(found).toEqual(expect.arrayContaining(['V2A reverb-recovery: reverb-recovery, certain']));
  });

  it('is left unsaid where nothing shows it', () => {
    expect(
      networksOf('R50 = 10k, fx to send', 'V1A = 12AX7, a R4 B+3, k R5', 'R4 = 100k', 'R5 = 1k5'),
    ).toEqual([]);
  });
});

describe('the sample chassis', () => {
  const view = viewOf(amplifierOf(readFileSync('samples/chassis/larch-20.b.tagstrip.md', 'utf8')), 'factory');
  it('has a treble cut and a held grid in its splitter, neither of them a coupling', () => {
    expect(view.roles.get('C7')).toMatchObject({ role: 'treble-cut' });
    expect(view.roles.get('C8')).toMatchObject({ role: 'grid-return', serves: ['V2B'] });
  });

  it('counts the grid leak in the corner of the capacitor that holds a grid', () => {
    // 1/(2π · 100 nF · (1 MΩ + 1 kΩ)).
    expect(figureOf(view, 'C8', 'corner')).toBeCloseTo(1.59, 3);
    expect(figureOf(view, 'C7', 'corner')).toBeNaN();
  });
});
