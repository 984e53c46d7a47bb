/** What a part does shows where it is pointed at and where it is offered; what is not established is said nowhere. */
import { describe, expect, it } from 'vitest';
import { asFound } from '../bench/bench.ts';
import { checkCompletion, checkHover } from '../support/features.ts';

const PAIR = [
  'V2 = 12AX7',
  'R12 = 470R, V2A.k V2B.k to tail',
  'R13 = 10k, tail to gnd',
  'R14 = 82k, V2A.a to B+3',
  'R15 = 100k, V2B.a to B+3',
  'C8 = 100n 400V, V2A.a to V3.g',
  'C9 = 100n 400V, V2B.a to V4.g',
  'R16, R17 = 220k, V3.g V4.g to bias',
  'V3, V4 = 6L6GC',
  'C6 = 22n 400V, V1A.a to vol',
  'VR1 = 1M log, vol to gnd, wiper to V1B.g',
  'R50 = 10k, send to back',
];
const sheet = (last: string): string => `${PAIR.map((line) => `- ${line}`).join('\n')}\n\n${last}\n`;
const plain = { emoji: false } as const;

describe('a role', () => {
  it.each([
    ['{R1‸4}', 'R14 82 kΩ, anode load of V2A in a long-tail pair'],
    ['{R1‸3}', 'R13 10 kΩ, tail in a long-tail pair'],
    ['{C‸8}', '100 nF 400 V, coupling of V3'],
    ['{VR‸1}', 'VR1 1 MΩ log, volume control of V1B'],
    ['{R5‸0}', 'R50 10 kΩ'],
  ])('is said where %s is pointed at', async (word, said) => {
    expect((await checkHover(sheet(word), plain)).replaceAll('\u00a0', ' ')).toContain(said);
  });

  it('that is not established is not said, and no figure rests on one', async () => {
    expect(await checkHover(sheet('{R5‸0}'), plain)).not.toMatch(/unknown|role/);
    const view = asFound(...PAIR, 'send: 12', 'back: 2');
    expect(view.roles.get('R50')?.role).toBe('unknown');
    // Ohm's law holds for it as for any; of what it does nothing follows.
    const figures = view.figures.filter(({ inputs }) => inputs.some(({ name }) => name.startsWith('R50')));
    expect(figures.every(({ subject }) => subject === 'R50')).toBe(true);
    expect(
      new Set(view.figures.filter(({ subject }) => subject === 'R50').map(({ figure }) => figure)),
    ).toEqual(new Set(['drop', 'current', 'dissipation']));
  });

  it('is said where the part is offered', async () => {
    const offered = (await checkCompletion(sheet('So {R1‸'), plain)).replaceAll('\u00a0', ' ');
    expect(offered).toContain('R14 (part: 82 kΩ, anode load of V2A in a long-tail pair)');
    expect(await checkCompletion(sheet('So {R5‸'), plain)).not.toMatch(/unknown/);
  });
});

describe('a control of a tone network', () => {
  const STACK = [
    'V1 = 12AX7',
    'R4 = 100k, V1A.a to B+3',
    'R5 = 1k5, V1A.k to gnd',
    'R2 = 1M, V1A.g to gnd',
    'C1 = 250p, V1A.a to treble',
    'R40 = 56k, V1A.a to slope',
    'C2 = 20n, slope to bass',
    'C3 = 20n, slope to middle',
    'VR1 = 250k lin, treble to bass, wiper to V1B.g',
    'VR2 = 1M lin, bass to mids, wiper to mids',
    'VR3 = 25k lin, mids to gnd, wiper to middle',
    'R8 = 1M, V1B.g to gnd',
    'VR1: at 5',
    'VR2: at 5',
    'VR3: at 5',
  ];

  it('says what all of them make of the sound together', async () => {
    const text = `${STACK.map((line) => `- ${line}`).join('\n')}\n\n{VR‸2}\n`;
    const said = (await checkHover(text, { emoji: false })).replaceAll('\u00a0', ' ');
    expect(said).toContain('VR2 1 MΩ lin, tone');
    expect(said).toMatch(/level at 1000 Hz [\d.]+ dB/);
    expect(said).toContain('VR3 at 5: 50 % below the wiper');
  });
});
