/** What each part does, by what it is tied to: one amplifier as its lines are written, and the cases that must not be guessed. */
import { describe, expect, it } from 'vitest';
import { findBiasMethod } from '../../server/bench/bias.ts';
import { asFound } from './bench.ts';

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
    ['a capacitor from a grid to a control that goes to ground', 'C7 = 1n, V2A.g to cut', 'C7'],
    ['a resistor between two places nobody knows', 'R50 = 10k, fx to send', 'R50'],
  ])('is unknown for %s', (_, line, ref) => {
    expect(asFound(line, 'VR2 = 250k, cut to gnd, wiper to gnd').roles.get(ref)?.role).toBe('unknown');
  });
});
