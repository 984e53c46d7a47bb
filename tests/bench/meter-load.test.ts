/** What the voltmeter itself takes away: figures rest on what would stand there without it, and say so. */
import { describe, expect, it } from 'vitest';
import { resolveAmplifier } from '../../server/bench/resolve.ts';
import { builtInCatalogue } from '../../server/catalogue/find-valve.ts';
import { ohms } from '../../server/units/si.ts';
import { amplifierOf, asFound, figureOf, findFigure, sheetOf, viewOf } from './bench.ts';

const plain = (text: string | undefined) => text?.replaceAll('\u00a0', ' ');

describe('a grid that only its leak holds', () => {
  const LINES = [
    'V2A = 12AX7',
    'C6 = 22n 630V, V1B.a to V2A.g',
    'R9 = 1M, V2A.g to tail',
    'V2A: g 32.6, k 37',
  ];

  it('is put right for a meter of 10 MΩ', () => {
    const bias = findFigure(asFound(...LINES), 'V2A', 'bias');
    expect(bias?.quantity.value).toBeCloseTo(32.6 * 1.1 - 37, 9);
    expect(bias?.basis).toBe('assumed');
    expect(plain(bias?.remark)).toBe(
      'Vg put right for the 9.09 % that a 10 MΩ meter takes away on the 1 MΩ there',
    );
    expect(plain(bias?.inputs[0]?.known.because)).toContain('read 32.6 V');
  });

  it('is put right for the meter that the shop has', () => {
    const note = `# Job\n\n## As found\n\n${LINES.map((line) => `- ${line}`).join('\n')}\n`;
    const of = (meter: number) =>
      viewOf(
        resolveAmplifier(sheetOf(note), undefined, builtInCatalogue, { meter: ohms(meter) }),
        'as-found',
      );
    const bias = findFigure(of(11e6), 'V2A', 'bias');
    expect(bias?.quantity.value).toBeCloseTo(32.6 * (1 + 1 / 11) - 37, 9);
    expect(bias?.basis).toBe('read');
    expect(figureOf(of(1e9), 'V2A', 'bias')).toBeCloseTo(32.6 - 37, 9);
  });

  it('stands as read where something else holds it, or where little is lost', () => {
    const held = asFound(...LINES, 'R10 = 10k, V2A.g to node', 'R11 = 10k, node to gnd');
    expect(figureOf(held, 'V2A', 'bias')).toBeCloseTo(32.6 - 37, 9);
    const small = asFound(
      'V5 = 6L6GC',
      'R9 = 220k, V5.g to bias',
      'R43 = 1R, V5.k to gnd',
      'V5: g -40, k 0.04',
    );
    expect(figureOf(small, 'V5', 'bias')).toBeCloseTo(-40.04, 9);
  });

  it('stands as printed on a chassis sheet, whose meter was another', () => {
    const chart = LINES.map((line) => `- ${line}`).join('\n');
    const view = viewOf(amplifierOf(`---\nsheet: chassis\n---\n# C\n\n${chart}\n`), 'factory');
    expect(figureOf(view, 'V2A', 'bias')).toBeCloseTo(32.6 - 37, 9);
  });
});

describe('an electrode behind a large resistor', () => {
  it('has a band from the reading up: a screen', () => {
    const view = asFound(
      'V1 = EF86',
      'R5 = 470k, V1.g2 to B+3',
      'R6 = 1k5, V1.k to gnd',
      'B+3: 250 V',
      'V1: g2 140, k 1.9',
    );
    // 110 V over 470 kΩ, of which the meter takes up to 140 V / 10 MΩ.
    const current = findFigure(view, 'V1', 'screen-current');
    expect(current?.high).toBeCloseTo(110 / 470e3, 9);
    expect(current?.low).toBeCloseTo(110 / 470e3 - 140 / 10e6, 9);
    expect(plain(current?.inputs.find(({ symbol }) => symbol === 'Vg2')?.known.because)).toContain(
      'a 10 MΩ meter may have taken away behind R5',
    );
  });

  it('has a band from the reading up: an anode, but not behind the usual 100 kΩ', () => {
    const stage = (load: string) =>
      asFound('V1A = 12AX7', `R4 = ${load}, V1A.a to B+3`, 'B+3: 300 V', 'V1A: a 100');
    const large = findFigure(stage('1M'), 'V1A', 'anode-current');
    expect(large?.high).toBeCloseTo(200e-6, 9);
    expect(large?.low).toBeCloseTo(190e-6, 9);
    expect(findFigure(stage('100k'), 'V1A', 'anode-current')?.low).toBeUndefined();
  });

  it('never stands above what feeds it', () => {
    const view = asFound('V1A = 12AX7', 'R4 = 1M, V1A.a to B+3', 'B+3: 300 V', 'V1A: a 295');
    // Five volts and what the digits of the supply hide.
    expect(findFigure(view, 'R4', 'drop')?.low).toBeCloseTo(0, 9);
    expect(findFigure(view, 'R4', 'drop')?.high).toBeCloseTo(5.5, 9);
  });
});
