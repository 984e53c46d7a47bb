/** Small sheets with one thing to notice each, and the things that must not be noticed. Numbers by Ohm's law and the formulas named. */
import { describe, expect, it } from 'vitest';
import { analyse, findingsOf } from '../support/check.ts';

const asFound = (...lines: readonly string[]) =>
  `---\nmains: 230 V 50 Hz\n---\n# Job\n\n## As found\n\n${lines.map((line) => `- ${line}`).join('\n')}\n`;

async function loud(...lines: readonly string[]) {
  const { findings } = await analyse(asFound(...lines));
  return findings
    .filter(({ severity }) => severity === 'error' || severity === 'warning')
    .map(({ severity, rule, subject }) => `${severity} ${rule} ${subject}`);
}

async function figureOf(subject: string, name: string, ...lines: readonly string[]) {
  const { amplifier } = await analyse(asFound(...lines));
  return amplifier.phases.flatMap(({ figures }) =>
    figures.filter((each) => each.subject === subject && each.figure === name),
  )[0];
}

describe('a quarter-watt resistor', () => {
  it('of 470 kΩ with 500 V on it is over its 250 V, whatever its watts', async () => {
    // 500²/470 k = 0.53 W is too much as well; with 300 V, 0.19 W is not, and the volts still are.
    expect(await loud('R7 = 470k 0.25W', 'R7: 500 V')).toContain('error resistor-over-voltage R7');
    expect((await loud('R7 = 470k 0.25W', 'R7: 300 V')).join()).toContain('resistor-over-voltage R7');
    expect(await loud('R7 = 470k 0.25W', 'R7: 200 V')).toEqual([]);
  });
});

describe('heaters', () => {
  const four = (type: string) => [`V1, V2, V3, V4 = ${type}`, 'T1 = mains 250-0-250V 100mA 6.3V 1.35A'];
  it('of four 5751 draw 1.40 A where four 12AX7 draw 1.20 A', async () => {
    expect((await figureOf('heaters', 'heater-current', ...four('5751')))?.quantity.value).toBeCloseTo(
      1.4,
      9,
    );
    expect((await figureOf('heaters', 'heater-current', ...four('12AX7')))?.quantity.value).toBeCloseTo(
      1.2,
      9,
    );
    expect(await loud(...four('5751'))).toEqual(['error heater-overload T1']);
    expect((await loud(...four('12AX7'))).filter((line) => line.startsWith('error'))).toEqual([]);
  });
});

describe('the ripple of a full-wave supply', () => {
  const SUPPLY = [
    'T1 = mains 280-0-280V 150mA 6.3V 3A 5V 2A',
    'V5 = GZ34, T1 to B+1',
    'C1 = 32uF 500V electrolytic, B+1 to gnd',
  ];
  it('at 50 Hz says that one half is dead, at 100 Hz nothing', async () => {
    expect(await loud(...SUPPLY, 'B+1: 310 V, 22 Vpp 50 Hz')).toEqual(['error half-wave-ripple B+1']);
    expect(await loud(...SUPPLY, 'B+1: 326 V, 16 Vpp 100 Hz')).toEqual([]);
  });
});

describe('a bleeder', () => {
  it('of 220 kΩ takes 100 µF from 450 V to 60 V in 44 s, and to 10 V in 84 s, never in 10 s', async () => {
    const figure = await figureOf(
      'C31',
      'bleed-time',
      'C31 = 100uF 500V electrolytic, B+1 to gnd',
      'R25 = 220k 2W, B+1 to gnd',
      'B+1: 450 V',
    );
    expect(figure?.quantity.value).toBeCloseTo(44.3, 1);
    expect(figure?.remark?.replaceAll('\u00a0', ' ')).toContain('to 30 V 59.6 s, to 10 V 83.7 s');
  });
});

describe('a leak of 2 V on the grid of an EL84', () => {
  const LEAK = [
    'C14 = 22n 400V, V3.a to V5.g',
    'R16 = 470k, V5.g to gnd',
    'V5 = EL84',
    'R17 = 135R 2W, V5.k to gnd',
    'V3.a: 165 V',
  ];
  it('is the capacitor’s until the valve is shown to draw the current itself', async () => {
    expect(await loud(...LEAK, 'V5: a 250, g +2.4, k 8.5')).toEqual(['error leaky-coupling C14']);
    expect(await loud(...LEAK, 'V5: a 250, g +2.4, k 8.5', 'V5 out: V5.g: 0 V')).toEqual([
      'warning gassy-valve V5',
    ]);
    // Contact potential and the meter.
    expect(await loud(...LEAK, 'V5: a 250, g 0.02, k 7.3')).toEqual([]);
  });
});

describe('a supply whose capacitors stand near their rating', () => {
  const supply = (third: string) => [
    'T1 = mains 280-0-280V 150mA 6.3V 3A 5V 2A',
    'V5 = GZ34, T1 to B+1',
    'C1 = 32uF 500V electrolytic, B+1 to gnd',
    'L1 = 10H 250R, B+1 to B+2',
    'C2 = 32uF 500V electrolytic, B+2 to gnd',
    'R20 = 10k 2W, B+2 to B+3',
    `C3 = 22uF ${third} electrolytic, B+3 to gnd`,
  ];
  it('are judged at switch-on: 500 V parts bear it, a 450 V part behind the dropper does not', async () => {
    // 280 · √2 · 1.07 · 1.10 = 466 V: no current flows in R20 while the valves are cold.
    expect(await loud(...supply('500V'))).toEqual([]);
    expect(await loud(...supply('450V'))).toEqual(['warning cold-start-over-voltage C3']);
  });
});

describe('an anode load of 1 MΩ', () => {
  const STAGE = ['V1A = 12AX7, a R4 B+3, k R5', 'R4 = 1M 1%', 'R5 = 4k7 1%', 'B+3: 300 V'];
  it('is not accused for what the meter took while it was on the anode', async () => {
    // 200 V over 1 MΩ make 200 µA, of which 10 µA may have gone through the meter; the cathode passes 190 µA.
    expect(await loud(...STAGE, 'V1A: a 100, k 0.893')).toEqual([]);
  });
  it('is where the two ends stand further apart than that, and the meter is spoken of', async () => {
    const { findings } = await analyse(asFound(...STAGE, 'V1A: a 100, k 0.5'));
    const found = findings.find(({ rule }) => rule === 'contradictory-readings');
    expect(found?.subject).toBe('R4');
    expect(found?.message.replaceAll('\u00a0', ' ')).toContain(
      '10 µA counted that the meter itself may have taken',
    );
  });
});

describe('values of old drawings', () => {
  it('are no slips', async () => {
    expect(
      (
        await findingsOf(
          asFound(
            'C9 = 0.02uF 400V',
            'C5 = 25uF 25V',
            'C11 = 16uF 450V',
            'VR1 = 500k log',
            'C7 = 250pF 500V',
          ),
        )
      ).filter((line) => !line.startsWith('hint')),
    ).toEqual([]);
  });
});
