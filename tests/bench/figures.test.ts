/** Each family of figures on the least that must be written for it: the lines of a note, then what follows from them. */
import { describe, expect, it } from 'vitest';
import { analyse } from '../support/check.ts';
import { amplifierOf, asFound, figureOf, findFigure, linesOf, viewOf } from './bench.ts';

describe('resistors', () => {
  it('between two nodes that were read', () => {
    expect(linesOf(asFound('R20 = 4k7 1W, B+1 to B+2', 'B+1: 352', 'B+2: 310'))).toEqual([
      'R20 drop 42 V read',
      'R20 current 0.00894 A fitted',
      'R20 dissipation 0.375 W fitted',
      'R20 loading 0.375 1 fitted',
    ]);
  });

  it('by volts across or amperes through, wherever it sits', () => {
    expect(linesOf(asFound('R7 = 470k', 'R7: 12 V'))).toEqual([
      'R7 drop 12 V read',
      'R7 current 0.0000255 A fitted',
      'R7 dissipation 0.000306 W fitted',
    ]);
    expect(linesOf(asFound('R7 = 10R 1W', 'R7: 38 mA'))).toEqual([
      'R7 current 0.038 A read',
      'R7 dissipation 0.0144 W fitted',
      'R7 loading 0.0144 1 fitted',
    ]);
    expect(figureOf(asFound('R7 = 1k, B+1 to B+2', 'B+1 to B+2: 3.4 V'), 'R7', 'current')).toBeCloseTo(
      0.0034,
      6,
    );
  });

  it('says nothing where nothing was read, or nothing drops', () => {
    expect(linesOf(asFound('R20 = 4k7 1W, B+1 to B+2', 'B+1: 352'))).toEqual([]);
    expect(linesOf(asFound('R9 = 220k, V5.g to gnd', 'V5.g: 0 V'), 'R9')).toEqual(['R9 drop 0 V read']);
  });

  it('takes from nothing to what the digits hide for two like readings over a choke or a dropper, and over nothing else', () => {
    const choke = asFound('L1 = 10H 100R, B+1 to B+2', 'B+1: 372', 'B+2: 372');
    expect(linesOf(choke, 'L1').slice(0, 2)).toEqual([
      'L1 drop 0 V (0 to 1) read',
      'L1 current 0 A (0 to 0.01) fitted',
    ]);
    const dropper = asFound('R23 = 1k 2W, B+2 to B+3', 'B+2: 372.0', 'B+3: 372.0');
    expect(linesOf(dropper, 'R23').slice(0, 2)).toEqual([
      'R23 drop 0 V (0 to 0.1) read',
      'R23 current 0 A (0 to 0.0001) fitted',
    ]);
    const leak = asFound('R9 = 1M, V2A.g to tail', 'V2A.g: 36', 'tail: 36');
    expect(linesOf(leak, 'R9')).toEqual(['R9 drop 0 V read']);
  });

  it('so tells the capacitance of a reservoir whose choke drops nothing that the meter shows', () => {
    const view = asFound(
      'T1 = mains 230V 50Hz : 300-0-300V 200mA',
      'D1, D2 = 1N4007, T1 to B+1',
      'C11 = 47uF 500V electrolytic, B+1 to gnd',
      'L1 = 10H 100R, B+1 to B+2',
      'R20 = 10k 5W, B+1 to gnd',
      'B+1: 372 V, 4 Vpp 100 Hz',
      'B+2: 372 V',
    );
    // 37.2 mA through R20 and 0 to 10 mA through the choke.
    expect(linesOf(view, 'B+1')).toContain('B+1 current 0.0372 A (0.0372 to 0.0472) fitted');
    expect(figureOf(view, 'C11', 'effective-capacitance')).toBeGreaterThan(50e-6);
  });

  it('goes by the resistance that was read, but not by a low one read in circuit', () => {
    const lines = ['R17 = 470R, V5.k to gnd', 'V5.k: 19.4'];
    expect(figureOf(asFound(...lines, 'R17: 512R'), 'R17', 'current')).toBeCloseTo(19.4 / 512, 6);
    expect(figureOf(asFound(...lines, 'R17 in circuit: R17: 300R'), 'R17', 'current')).toBeCloseTo(
      19.4 / 470,
      6,
    );
  });

  it('widens by a range that was written', () => {
    expect(linesOf(asFound('R17 = 100R, B+1 to B+2', 'R17: 10-20 V'))).toEqual([
      'R17 drop 15 V (10 to 20) read',
      'R17 current 0.15 A (0.1 to 0.2) fitted',
      'R17 dissipation 2.25 W (1 to 4) fitted',
    ]);
  });

  it('makes a band of a difference that the last digits blur', () => {
    const blurred = asFound('R41 = 1k, B+1 to V5.g2', 'B+1: 446', 'V5: g2 441');
    expect(linesOf(blurred, 'R41').slice(0, 2)).toEqual([
      'R41 drop 5 V (4 to 6) read',
      'R41 current 0.005 A (0.004 to 0.006) fitted',
    ]);
    const fine = asFound('R41 = 1k, B+1 to V5.g2', 'B+1: 446.2', 'V5: g2 441.1');
    expect(linesOf(fine, 'R41')[0]).toBe('R41 drop 5.1 V read');
  });

  it('never takes readings of two sets together', () => {
    const view = asFound('R20 = 4k7 1W, B+1 to B+2', 'mains: 230 V', 'B+1: 352', 'mains: 200 V', 'B+2: 270');
    expect(linesOf(view)).toEqual([]);
  });
});

describe('cathode current', () => {
  it('by its own resistor', () => {
    const view = asFound('V5 = 6V6GT', 'R17 = 470R 5W, V5.k to gnd', 'V5: a 331, g2 322, k 19.4');
    expect(linesOf(view, 'V5')).toEqual([
      'V5 cathode-current 0.0413 A fitted',
      'V5 screen-current 0.00314 A (0.00178 to 0.0045) assumed',
      'V5 anode-current 0.0381 A (0.0368 to 0.0395) assumed',
      'V5 anode-dissipation 11.9 W (11.5 to 12.3) assumed',
      'V5 anode-loading 0.99 1 (0.955 to 1.03) assumed',
      'V5 screen-dissipation 0.951 W (0.54 to 1.36) assumed',
      'V5 screen-loading 0.476 1 (0.27 to 0.681) assumed',
    ]);
    const loading = findFigure(view, 'V5', 'anode-loading');
    expect(loading?.limit?.quantity).toEqual({ value: 12, unit: 'W' });
    expect(loading?.limit?.source).toContain('design-centre');
  });

  it('by two resistors side by side', () => {
    const view = asFound('V5 = EL84', 'R17, R18 = 270R 3W, V5.k to gnd', 'V5: k 7.3');
    expect(figureOf(view, 'V5', 'cathode-current')).toBeCloseTo(7.3 / 135, 6);
  });

  it('as an average where several share a resistor, and says so', () => {
    const view = asFound('V5, V6 = EL84', 'R18 = 130R 5W, V5.k V6.k to gnd', 'V6: k 10.4');
    expect(figureOf(view, 'V5', 'cathode-current')).toBeCloseTo(0.04, 6);
    expect(findFigure(view, 'V6', 'cathode-current')?.remark).toBe('average of the 2 valves that share R18');
    expect(findFigure(view, 'V5,V6', 'mismatch')).toBeUndefined();
  });

  it('by the halves of the transformer, which tell two on one resistor apart', () => {
    const view = asFound(
      'V5, V6 = 6V6GT',
      'R18 = 250R 5W, V5.k V6.k to gnd',
      'T2 = output 8k : 8R, V5.a V6.a, ct B+1',
      'T2: 138R + 124R',
      'V5.a to B+1: 5.5 V',
      'V6.a to B+1: 4.2 V',
      'V5: a 331, k 19.4',
    );
    expect(figureOf(view, 'V5', 'anode-current')).toBeCloseTo(5.5 / 138, 6);
    expect(figureOf(view, 'V6', 'anode-current')).toBeCloseTo(4.2 / 124, 6);
    expect(findFigure(view, 'V5', 'anode-dissipation')?.formula).toBe('(Va − Vk) · Ia');
    expect(figureOf(view, 'V5', 'anode-dissipation')).toBeCloseTo((331 - 19.4) * (5.5 / 138), 3);
    expect(figureOf(view, 'V5,V6', 'mismatch')).toBeCloseTo(0.163, 2);
  });

  it('by millivolts only over a resistor of ten ohms or less', () => {
    expect(
      figureOf(asFound('V5 = 6L6GC', 'R43 = 1R 1%, V5.k to gnd', 'V5: k 35 mV'), 'V5', 'cathode-current'),
    ).toBeCloseTo(0.035, 6);
    expect(linesOf(asFound('V5 = 6L6GC', 'V5: a 440, k 35 mV'))).toEqual([
      'heaters heater-current 0.9 A catalogue',
    ]);
  });

  it('by a sense resistor below the cathode resistor, which is there to be read', () => {
    const view = asFound(
      'V5 = EL84',
      'R17 = 130R, V5.k to sense',
      'R18 = 1R, sense to gnd',
      'V5: k 7.3',
      'sense: 48 mV',
    );
    expect(linesOf(view, 'V5')[0]).toBe('V5 cathode-current 0.048 A fitted');
    expect(view.roles.get('R18')).toMatchObject({ role: 'sense-resistor', serves: ['V5'] });
  });

  it('of a long-tailed pair through resistor and tail', () => {
    const view = asFound(
      'V3 = 12AX7',
      'R12 = 470R, V3A.k V3B.k to tail',
      'R13 = 10k, tail to gnd',
      'V3A: k 31.4',
      'V3B: a 210',
    );
    expect(figureOf(view, 'V3A', 'cathode-current')).toBeCloseTo(31.4 / 10_470 / 2, 7);
    expect(view.roles.get('R13')?.role).toBe('tail');
  });
});

describe('screen and anode', () => {
  it('by the drop over the screen resistor', () => {
    const view = asFound(
      'V5 = EL34',
      'R41 = 1k 5W, V5.g2 to B+2',
      'R43 = 1R, V5.k to gnd',
      'B+2: 441',
      'V5: a 443, g2 436, k 44.2 mV, g -40.7',
    );
    expect(figureOf(view, 'V5', 'screen-current')).toBeCloseTo(0.005, 6);
    expect(findFigure(view, 'V5', 'anode-dissipation')?.formula).toBe('(Va − Vk) · (Ik − Ig2)');
    expect(figureOf(view, 'V5', 'anode-dissipation')).toBeCloseTo((443 - 0.0442) * 0.0392, 3);
    expect(figureOf(view, 'V5', 'bias')).toBeCloseTo(-40.74, 2);
  });

  it('is no more exact than the last digit of two like readings', () => {
    const view = asFound(
      'V5 = EL34',
      'R41 = 1k, V5.g2 to B+2',
      'R43 = 1R, V5.k to gnd',
      'B+2: 441',
      'V5: a 443, g2 441, k 44 mV',
    );
    expect(linesOf(view, 'V5')[1]).toBe('V5 screen-current 0 A (0 to 0.001) fitted');
  });

  it('takes no screen current that is more than the whole valve’s', () => {
    const view = asFound(
      'V5 = EL34',
      'R41 = 1k 5W, V5.g2 to B+2',
      'R43 = 1R, V5.k to gnd',
      'B+2: 446',
      'V5: a 446, g2 24, k 0.3 mV',
    );
    expect(figureOf(view, 'V5', 'screen-current')).toBeLessThan(0.0003);
    expect(figureOf(view, 'V5', 'anode-dissipation')).toBeCloseTo(0.116, 2);
  });

  it('needs only a type, the anode and a current', () => {
    const view = asFound('V5 6V6GT: a 331, 38 mA');
    const power = findFigure(view, 'V5', 'anode-dissipation');
    expect(power?.remark).toBe('anode to ground: cathode voltage not read');
    // From 301 V and the largest screen share to 331 V and the smallest.
    expect(power?.low).toBeCloseTo(301 * 0.038 * (1 - 0.1091), 1);
    expect(power?.high).toBeCloseTo(331 * 0.038 * (1 - 0.0432), 1);
    expect(power?.basis).toBe('assumed');
  });

  it('by a meter in the anode, which leaves the screen what the cathode has more', () => {
    const view = asFound('V5 = EL34', 'R43 = 1R, V5.k to gnd', 'V5: a 443, k 44 mV', 'V5.a: 39 mA');
    expect(linesOf(view, 'V5').slice(0, 4)).toEqual([
      'V5 cathode-current 0.044 A fitted',
      'V5 anode-current 0.039 A read',
      'V5 screen-current 0.005 A fitted',
      'V5 anode-dissipation 17.3 W read',
    ]);
  });

  it('by a sense resistor in the anode’s lead', () => {
    const view = asFound(
      'V5, V6 = EL34',
      'R45 = 10R 1%, V5.a to left',
      'R46 = 10R 1%, right to V6.a',
      'T2 = output 3k4 : 8R, R45.2 R46.1, ct B+',
      'R47, R48 = 1k 5W, V5.g2 V6.g2 to B+',
      '{V5.k = gnd}',
      '{V6.k = gnd}',
      'B+: 440',
      'R45: 380 mV',
      'V6.a to right: 350 mV',
      'V5: a 436, g2 435.2',
      'V6: a 436, g2 435.4',
    );
    expect(view.roles.get('R45')).toMatchObject({ role: 'sense-resistor', serves: ['V5'] });
    expect(figureOf(view, 'V5', 'anode-current')).toBeCloseTo(0.038, 6);
    expect(figureOf(view, 'V6', 'anode-current')).toBeCloseTo(0.035, 6);
    expect(figureOf(view, 'V5', 'anode-dissipation')).toBeCloseTo(436 * 0.038, 3);
    expect(figureOf(view, 'V5', 'cathode-current')).toBeCloseTo(0.038 + 0.0048, 4);
    expect(figureOf(view, 'V5,V6', 'mismatch')).toBeCloseTo((0.0428 - 0.0396) / 0.0412, 2);
  });

  it('takes the cathode at ground where the grid is biased from a supply', () => {
    const view = asFound('V5 6L6GC: a 440, g -42, 35 mA');
    expect(findFigure(view, 'V5', 'anode-dissipation')?.remark).toBe('cathode taken at ground');
    expect(figureOf(view, 'V5', 'bias')).toBe(-42);
  });

  it('works the cathode’s volts from a current that was read and the resistor', () => {
    const view = asFound('V5 6V6GT: a 331, 38 mA', 'R17 = 470R, V5.k to gnd');
    const share = (0.0432 + 0.1091) / 2;
    expect(figureOf(view, 'V5', 'anode-dissipation')).toBeCloseTo((331 - 17.86) * 0.038 * (1 - share), 1);
  });

  it('of a triode by its anode load, where nobody read the cathode', () => {
    const view = asFound('V1A = 12AX7, a R4 B+3', 'R4 = 100k', 'B+3: 280', 'V1A: a 180');
    expect(figureOf(view, 'V1A', 'anode-current')).toBeCloseTo(0.001, 6);
    expect(findFigure(view, 'V1A', 'anode-dissipation')?.remark).toContain('by the drop over R4');
  });

  it('says nothing of a rectifier, and no loading of an unknown type', () => {
    expect(linesOf(asFound('V9 = GZ34, T1 to B+1', 'V9.k: 340'), 'V9')).toEqual([]);
    const view = asFound('V5 = 6XYZ9', 'R17 = 470R, V5.k to gnd', 'V5: a 331, g2 322, k 19.4');
    expect(findFigure(view, 'V5', 'anode-dissipation')).toBeDefined();
    expect(findFigure(view, 'V5', 'anode-loading')).toBeUndefined();
  });
});

describe('a transformer that only its chassis sheet measures', () => {
  const CHASSIS = `---
sheet: chassis
---
# C

- V3, V4 = 6V6GT
- T2 = output 8k : 8R, V3.a V4.a, ct B+1
- T2: 120R + 130R
`;
  const job = (...lines: readonly string[]) =>
    `# Job\n\n## As found\n\n${lines.map((line) => `- ${line}`).join('\n')}\n`;
  const READ = ['B+1: 330 V', 'V3: a 325.8, g2 320, k 19', 'V4: a 325.45, g2 320, k 19'];

  it('gives the current of each valve by its halves', () => {
    const view = viewOf(amplifierOf(job(...READ), CHASSIS), 'as-found');
    expect(figureOf(view, 'V3', 'anode-current')).toBeCloseTo(4.2 / 120, 6);
    expect(figureOf(view, 'V4', 'anode-current')).toBeCloseTo(4.55 / 130, 6);
    expect(findFigure(view, 'V3', 'anode-current')?.inputs.at(-1)?.known.source?.file).toContain('chassis');
  });

  it('gives way to what the job measured, and holds for no other transformer', () => {
    const measured = viewOf(amplifierOf(job('T2: 100R + 100R', ...READ), CHASSIS), 'as-found');
    expect(figureOf(measured, 'V3', 'anode-current')).toBeCloseTo(0.042, 6);
    const other = viewOf(amplifierOf(job('T2 = output 6k6 : 8R', ...READ), CHASSIS), 'as-found');
    expect(findFigure(other, 'V3', 'anode-current')).toBeUndefined();
  });
});

describe('capacitors', () => {
  it('margin from both ends', () => {
    expect(linesOf(asFound('C21 = 47uF 450V electrolytic, B+1 to gnd', 'B+1: 352'))).toEqual([
      'C21 voltage 352 V read',
      'C21 margin 0.218 1 fitted',
      'C21 energy 2.91 J fitted',
    ]);
    expect(
      figureOf(asFound('C14 = 22n 400V, V1A.a to V5.g', 'V1A.a: 181', 'V5.g: -40'), 'C14', 'voltage'),
    ).toBe(221);
  });

  it('a bypass has its cathode’s volts', () => {
    const view = asFound(
      'V5 = 6V6GT',
      'R17 = 470R, V5.k to gnd',
      'C31 = 100uF 50V, across R17',
      'V5: k 19.4',
    );
    expect(figureOf(view, 'C31', 'voltage')).toBe(19.4);
    expect(figureOf(view, 'C31', 'margin')).toBeCloseTo(0.612, 3);
  });

  it('a series pair shares by capacitance, unless its middle was read', () => {
    const pair = asFound('C40 + C41 = 100uF 350V, B+1 to gnd', 'B+1: 480');
    expect(figureOf(pair, 'C40', 'voltage')).toBeCloseTo(240, 6);
    expect(findFigure(pair, 'C40', 'voltage')?.basis).toBe('assumed');
    const unequal = asFound('C40 = 100uF 350V', 'C41 = 50uF 350V', 'C40 + C41 = , B+1 to gnd', 'B+1: 480');
    expect(unequal.parts.get('C40')?.ref).toBe('C40');
  });

  it('sections of a can are parts of their own', () => {
    const view = asFound('C1 = 32+16uF 450V electrolytic, B+1 B+2 to gnd', 'B+1: 352', 'B+2: 310');
    expect(figureOf(view, 'C1A', 'voltage')).toBe(352);
    expect(figureOf(view, 'C1B', 'voltage')).toBe(310);
    expect(view.parts.get('C1B')?.value?.quantity.value).toBeCloseTo(16e-6, 12);
    expect(view.parts.get('C1B')?.whole).toBe('C1');
  });

  it('bleeds through a bleeder', () => {
    const view = asFound('C1 = 100uF 500V, B+1 to gnd', 'R50 = 220k 2W, B+1 to gnd', 'B+1: 450');
    expect(figureOf(view, 'C1', 'bleed-time')).toBeCloseTo(44.3, 1);
  });

  it('shows its insulation by the volts on the next grid', () => {
    const view = asFound(
      'V1A = 12AX7',
      'V5 = EL84',
      'C14 = 22n 400V, V1A.a to V5.g',
      'R9 = 470k, V5.g to gnd',
      'V1A: a 165',
      'V5: g +2.4',
    );
    expect(figureOf(view, 'C14', 'insulation')).toBeCloseTo(31.8e6, -5);
    expect(
      findFigure(asFound('C14 = 22n, V1A.a to V5.g', 'V1A: a 165', 'V5: g +2.4'), 'C14', 'insulation'),
    ).toBeUndefined();
  });

  it('says what the meter itself took away from a grid on a high resistance', () => {
    const remarkOf = (leak: string, figure: 'bias' | 'insulation', grid = '+2.4') => {
      const view = asFound(
        'V1A = 12AX7',
        'V5 = EL84',
        'C14 = 22n 400V, V1A.a to V5.g',
        `R9 = ${leak}, V5.g to ${figure === 'bias' ? 'bias' : 'gnd'}`,
        'R17 = 130R, V5.k to gnd',
        'V1A: a 165',
        `V5: g ${grid}, k 7.0`,
        'bias: -36',
      );
      const subject = figure === 'bias' ? 'V5' : 'C14';
      return findFigure(view, subject, figure)?.remark?.replaceAll('\u00a0', ' ') ?? '';
    };
    expect(remarkOf('470k', 'insulation')).toContain(
      'a 10 MΩ meter on the 470 kΩ there takes 4.49 % of Vg away',
    );
    expect(remarkOf('1M', 'bias', '-33')).toBe(
      'Vg put right for the 9.09 % that a 10 MΩ meter takes away on the 1 MΩ there',
    );
    // 2 % is what the meter may be off by itself; of a fraction of a volt nothing is worth telling.
    expect(remarkOf('220k', 'bias', '-35')).toBe('');
    expect(remarkOf('1M', 'insulation', '+0.4')).not.toContain('meter');
  });

  it('shows its insulation by a reading of its own', () => {
    expect(linesOf(asFound('C14 = 22n 400V', 'C14: 31 Mohm'))).toEqual(['C14 insulation 31000000 Ohm read']);
    expect(linesOf(asFound('C14 = 22n 400V', 'C14: 5uA at 300 V'))).toEqual([
      'C14 insulation 60000000 Ohm read',
    ]);
  });
});

describe('stages', () => {
  it('the corner takes the next grid leak and what drives it', () => {
    const lines = [
      'V1A = 12AX7, a R4 B+3, k R5 C5',
      'R4 = 100k',
      'R5 = 1k5',
      'C5 = 25uF 25V',
      'C6 = 22n, V1A.a to V1B.g',
      'R9 = 1M, V1B.g to gnd',
    ];
    expect(figureOf(asFound(...lines), 'C6', 'corner')).toBeCloseTo(6.966, 2);
    expect(
      findFigure(asFound(...lines), 'C6', 'corner')?.inputs.some(({ known }) => known.basis === 'catalogue'),
    ).toBe(true);
    // An unknown driver can only be said to be nothing.
    const loose = asFound('C6 = 22n, J1 to V1B.g', 'R9 = 1M, V1B.g to gnd');
    expect(figureOf(loose, 'C6', 'corner')).toBeCloseTo(7.234, 2);
    expect(findFigure(loose, 'C6', 'corner')?.basis).toBe('assumed');
  });

  it('a volume control is the load of the stage before it', () => {
    const view = asFound(
      'V1A = 12AX7, a R4 B+3, k R5 C5',
      'R4 = 100k',
      'R5 = 1k5',
      'C5 = 25uF 25V',
      'C6 = 22n, V1A.a to VR1',
      'VR1 = 1M log, C6.2 to gnd, wiper to V1B.g',
    );
    expect(figureOf(view, 'C6', 'corner')).toBeCloseTo(6.966, 2);
  });

  it('a follower has no load of its own, and drives by its cathode', () => {
    const view = asFound(
      'V2A, V2B = 12AX7',
      'R4 = 100k, B+3 to V2A.a',
      'R5 = 820R, V2A.k to gnd',
      '{V2B.g = V2A.a}',
      '{V2B.a = B+3}',
      'R6 = 100k, V2B.k to gnd',
      'C7 = 22n, V2B.k to tone',
      'R7 = 1M, tone to gnd',
    );
    expect(view.roles.get('R4')).toMatchObject({ role: 'anode-load', serves: ['V2A'] });
    expect(figureOf(view, 'V2B', 'gain')).toBeCloseTo(0.98, 2);
    // 615 Ω of the follower and the megohm.
    expect(figureOf(view, 'C7', 'corner')).toBeCloseTo(7.23, 2);
    expect(findFigure(view, 'C7', 'corner')?.basis).toBe('catalogue');
  });

  it('the shelf of a bypass', () => {
    const view = asFound(
      'V1A = 12AX7, a R4 B+3, k R5 C5',
      'R4 = 100k',
      'R5 = 1k5',
      'C5 = 0.68uF 25V',
      'C6 = 22n, V1A.a to V1B.g',
      'R9 = 1M, V1B.g to gnd',
    );
    expect(figureOf(view, 'C5', 'shelf-low')).toBeCloseTo(156, 0);
    expect(figureOf(view, 'C5', 'shelf-high')).toBeCloseTo(310.1, 0);
    expect(figureOf(view, 'C5', 'step-db')).toBeCloseTo(5.97, 2);
  });

  it('is told of as found and as left, not of the middle of the work', () => {
    const amplifier = amplifierOf(
      '# J\n\n## As found\n\n- V1A = 12AX7, a R4 B+3, k R5 C5\n- R4 = 100k\n- R5 = 1k5\n- C5 = 25uF 25V\n\n## Work\n\n- C5 -> 0.68uF 63V film\n\n## As left\n\n- V1A: k 1.4\n',
    );
    expect(figureOf(viewOf(amplifier, 'as-found'), 'C5', 'shelf-low')).toBeCloseTo(4.24, 1);
    expect(findFigure(viewOf(amplifier, 'work'), 'C5', 'shelf-low')).toBeUndefined();
    expect(figureOf(viewOf(amplifier, 'as-left'), 'C5', 'shelf-low')).toBeCloseTo(156, 0);
  });
});

describe('supply and output', () => {
  it('ripple is peak to peak, in a band where a meter showed rms', () => {
    expect(linesOf(asFound('B+1: 8.2 Vpp'))).toEqual(['B+1 ripple 8.2 V read']);
    expect(linesOf(asFound('B+1: 3 V AC ripple'))).toEqual(['B+1 ripple 9.44 V (8.49 to 10.4) assumed']);
  });

  it('sums what a reservoir feeds, where all of it is known', () => {
    const view = asFound(
      'V9 = GZ34, T1 to B+1',
      'C1 = 32uF 500V, B+1 to gnd',
      'R20 = 1k 5W, B+1 to B+2',
      'B+1: 340',
      'B+2: 320',
      'B+1: 4 Vpp 100 Hz',
    );
    expect(figureOf(view, 'B+1', 'current')).toBeCloseTo(0.02, 6);
    expect(figureOf(view, 'C1', 'effective-capacitance')).toBeCloseTo((0.02 * (1 - 0.355)) / (100 * 4), 6);
  });

  it('power into a loudspeaker, under whatever signal it was read', () => {
    expect(linesOf(asFound('LS1 = 8R 30W', 'LS1: 11.66 Vrms at 1 kHz'))).toEqual(['LS1 power 17 W fitted']);
    expect(linesOf(asFound('dummy 8R, clipping: LS1: 33 Vpp'))).toEqual(['LS1 power 17 W fitted']);
    // What is on the bench goes before what the label says.
    expect(linesOf(asFound('LS1 = 16R 30W', 'dummy 8R: LS1: 11.66 Vrms'))).toEqual(['LS1 power 17 W fitted']);
    expect(linesOf(asFound('LS1 = 16R 30W', 'no load: LS1: 11.66 Vrms'))).toEqual([]);
  });

  it('power out of a tap, into what is on it', () => {
    const tap = ['T2 = output 8k : 4R 8R 16R 18W, V5.a V6.a, ct B+1'];
    expect(linesOf(asFound(...tap, 'dummy 16R, clipping: T2.16R: 16.5 Vrms'))).toEqual([
      'T2.16R power 17 W fitted',
    ]);
    expect(
      linesOf(asFound(...tap, 'LS1, LS2 = 16R 30W, T2.8R to gnd', 'T2.8R: 11.66 Vrms at 1 kHz')),
    ).toEqual(['T2 reflected-load 8000 Ohm fitted', 'T2.8R power 17 W fitted']);
    // Nobody says what is on it: where a signal was driven through it, the load that it is for, and that is said.
    const unsaid = asFound(...tap, 'T2.8R: 11.66 Vrms at 1 kHz');
    expect(linesOf(unsaid)).toEqual(['T2.8R power 17 W assumed']);
    expect(unsaid.figures[0]?.remark).toBe('with 8 Ω on it, which nobody says');
    // Hum tells of no power.
    expect(linesOf(asFound(...tap, 'T2.8R: 4 mVrms'))).toEqual([]);
  });

  it('the load that loudspeakers make at the primary: of several, of a lone one, of none whose impedance is not known', () => {
    const t = 'T2 = output 8k : 8R, V5.a V6.a, ct B+1';
    expect(linesOf(asFound(t, 'LS1 = 16R 30W'), 'T2')).toEqual(['T2 reflected-load 16000 Ohm fitted']);
    expect(linesOf(asFound(t, 'LS1 = 30W, T2.8R to gnd'), 'T2')).toEqual([]);
  });

  it('heaters are told only when every valve is known', () => {
    expect(
      figureOf(asFound('V1, V2, V3, V4 = 12AX7', 'V5, V6 = 6L6GC'), 'heaters', 'heater-current'),
    ).toBeCloseTo(3, 6);
    expect(linesOf(asFound('V1 = 12AX7', 'V2 = 6XYZ9'))).toEqual([]);
  });
});

describe('questions', () => {
  it('are answered from the set they stand beside', () => {
    const view = asFound('R6 = 100k, V1A.a to B+1', 'B+1: 280 V', 'V1A.a: 180 V', '{? (B+1 - V1A.a)  / R6}');
    expect(linesOf(view, '(B+1 - V1A.a) / R6')).toEqual(['(B+1 - V1A.a) / R6 answer 0.001 A fitted']);
    const answer = findFigure(view, '(B+1 - V1A.a) / R6', 'answer');
    expect(answer?.inputs.map(({ name }) => name)).toEqual(['B+1', 'V1A.a', 'R6']);
  });

  it('say why they have no answer', () => {
    const view = asFound('R6 = 100k', '{? V1A.a / R6}');
    expect(view.unanswered.map(({ reason }) => reason)).toEqual(['nothing was read at V1A.a in this set']);
    expect(asFound('V5 = 6V6GT', '{? V5 + 1}').unanswered[0]?.reason).toContain('V5.a');
  });
});

describe('every figure', () => {
  it('is the only one of its subject, phase and set, is finite, and says where it came from', () => {
    const amplifier = amplifierOf(
      '# J\n\n## As found\n\n- V5, V6 = 6V6GT\n- R18 = 250R 5W, V5.k V6.k to gnd\n- mains: 230 V\n- V5: a 331, g2 322, k 19.4\n- mains: 200 V\n- V5: a 290, g2 280, k 17\n- V5 out: V6: a 350, k 11\n\n## As left\n\n- V5: a 331, g2 322, k 19.4\n',
    );
    const keys = amplifier.phases.flatMap(({ figures }) =>
      figures.map(({ file, subject, figure, phase, set }) => [file, subject, figure, phase, set].join(' ')),
    );
    expect(new Set(keys).size).toBe(keys.length);
    expect(viewOf(amplifier, 'as-found').verdictSet?.id).toBe(2);
    for (const { figures } of amplifier.phases) {
      for (const { quantity, inputs, source, low, high } of figures) {
        expect(Number.isFinite(quantity.value)).toBe(true);
        expect(inputs.length).toBeGreaterThan(0);
        expect(source.span.end).toBeGreaterThan(source.span.start);
        if (low !== undefined && high !== undefined) expect((low + high) / 2).toBeCloseTo(quantity.value, 9);
      }
    }
  });
});

describe('a drop that the last digit may undo', () => {
  it('accuses no screen by the last digit: 0.4 V over 100 Ω is the usual share', async () => {
    const { findings, amplifier } = await analyse(
      '# Job\n\n## As found\n\n- V5, V6 = EL84\n- R18 = 130R 5W, V5.k V6.k to gnd\n- R44, R45 = 100R 1W, B+2 to V5.g2 V6.g2\n- B+2: 295\n- V5: a 296, g2 294.6, k 9.8\n- V6: a 296, g2 294.6, k 9.8\n',
    );
    const screen = amplifier.phases[0]?.figures.find(
      ({ subject, figure }) => subject === 'V5' && figure === 'screen-current',
    );
    expect(screen?.formula).toBe('s · Ik');
    expect(findings.map(({ rule }) => rule)).toEqual([]);
  });

  it.each([
    ['KT66', 'R20 = 250R 10W, V4.k V5.k to gnd', 'R21, R22 = 220R 2W', 'HT2: 402', 'a 415, g2 399, k 31.2'],
    ['EL84', 'R20 = 130R 5W, V4.k V5.k to gnd', 'R21, R22 = 100R 2W', 'HT2: 306', 'a 307, g2 303, k 11.2'],
  ])('%s: neither by a screen 3 V under its supply', async (type, cathode, screens, supply, read) => {
    const { findings, amplifier } = await analyse(
      `# Job\n\n## As found\n\n- V4, V5 = ${type}\n- ${cathode}\n- ${screens}, HT2 to V4.g2 V5.g2\n- ${supply}\n- V4: ${read}\n- V5: ${read}\n`,
    );
    const screen = amplifier.phases[0]?.figures.find(
      ({ subject, figure }) => subject === 'V4' && figure === 'screen-current',
    );
    expect(screen?.formula).toBe('s · Ik');
    expect(findings.filter(({ severity }) => severity !== 'info').map(({ message }) => message)).toEqual([]);
  });
});
