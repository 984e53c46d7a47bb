/** Valves held against their sheets: bias, screens, cathodes, heaters, grid leaks. */
import { describe, expect, it } from 'vitest';
import { analyse } from '../support/check.ts';

const say = async (rule: string, text: string, others?: Readonly<Record<string, string>>) =>
  (await analyse(text, others)).findings
    .filter((finding) => finding.rule === rule)
    .map(({ severity, subject }) => `${severity} ${subject}`);

const message = async (rule: string, text: string) =>
  (await analyse(text)).findings.find((finding) => finding.rule === rule)?.message.replaceAll('\u00a0', ' ');

const job = (body: string) => `# Job\n\n## As found\n\n${body}`;

describe('fixed bias and cathode bias are judged by their own rules', () => {
  /** A 6L6GC at 448 V over a 1 Ω sense resistor: 30 W is reached at about 71 mA. */
  const fixed = (milliamperes: number) =>
    job(
      `- V5 = 6L6GC\n- R16 = 100k 0.5W, V5.g to bias\n- R43 = 1R 1W, V5.k to gnd\n- V5: a 448, g2 446, g -44\n- R43: ${milliamperes} mV\n`,
    );
  it.each([
    [41, []],
    [56, ['info V5']],
    [64, ['warning V5']],
    [78, ['error V5']],
  ] as const)('%i mA', async (milliamperes, expected) => {
    expect(await say('fixed-bias-hot', fixed(milliamperes))).toEqual(expected);
    expect(await say('anode-over-dissipation', fixed(milliamperes))).toEqual([]);
  });
  it('a cold one is information', async () => {
    expect(await say('fixed-bias-cold', fixed(14.2))).toEqual(['info V5']);
    expect(await say('fixed-bias-cold', fixed(41))).toEqual([]);
  });
  it('a valve that lost its screen is not cold by its bias', async () => {
    expect(await say('fixed-bias-cold', fixed(0.3).replace('g2 446', 'g2 24'))).toEqual([]);
  });
  it('a cathode resistor makes it cathode bias, whatever the grid hangs on', async () => {
    const self = job(
      '- V5 = 6V6GT\n- R16 = 220k 0.5W, V5.g to gnd\n- R17 = 330R 5W, V5.k to gnd\n- V5: a 361, g2 352, g 0, k 19.4\n',
    );
    expect(await say('anode-over-dissipation', self)).toEqual(['error V5']);
    expect(await say('fixed-bias-hot', self)).toEqual([]);
  });
  it('a grid read well below ground is enough to know fixed bias by', async () => {
    const read = fixed(64).replace('- R16 = 100k 0.5W, V5.g to bias\n', '');
    expect(await say('fixed-bias-hot', read)).toEqual(['warning V5']);
    expect(await say('fixed-bias-hot', read.replace(', g -44', ''))).toEqual([]);
  });
  it('says nothing of small valves', async () => {
    const small = job('- V1 = 12AX7\n- R4 = 100k 1W, V1.a to B+3\n- V1: a 180, g -6, k 0\n- B+3: 270 V\n');
    expect(await say('fixed-bias-cold', small)).toEqual([]);
  });
});

describe('screen-over-voltage', () => {
  const id = 'screen-over-voltage';
  const screen = (type: string, volts: number, cathode = 16) =>
    job(`- V5 = ${type}\n- R17 = 470R 5W, V5.k to gnd\n- V5: a 300, g2 ${volts}, k ${cathode}\n`);
  it('takes the last half per cent for the meter: EL84 at the 300 V of their sheet', async () => {
    const pair = (anode: number) =>
      job(`- V3 = EL84\n- R12 = 130R 5W, V3.k to gnd\n- V3: a ${anode}, g2 306, k 10.6\n`);
    expect(await say('anode-over-voltage', pair(311))).toEqual([]);
    expect(await say('anode-over-voltage', pair(314))).toEqual(['warning V3']);
  });
  it('holds to the cathode, not to ground', async () => {
    expect(await say(id, screen('6V6GT', 300))).toEqual([]);
    expect(await say(id, screen('6V6GT', 303))).toEqual(['warning V5']);
    expect(await say(id, screen('6V6GT', 346))).toEqual(['error V5']);
  });
  it('a later type has its own limit', async () => {
    expect(await say(id, screen('6V6GTA', 317))).toEqual([]);
    expect(await say(id, screen('6V6GTA', 334))).toEqual(['warning V5']);
  });
  it('names the edition where two editions of one sheet differ, and warns only above the higher', async () => {
    expect(await say(id, screen('EL34', 440))).toEqual([]);
    expect(await say(id, screen('EL34', 452))).toEqual(['info V5']);
    expect(await message(id, screen('EL34', 452))).toMatch(/425 V.*later sheet allows 500 V/);
    expect(await say(id, screen('EL34', 520))).toEqual(['warning V5']);
  });
  it('leaves room for a cathode that nobody read', async () => {
    const unread = job('- V5 = 6V6GT\n- R17 = 470R 5W, V5.k to gnd\n- V5: a 300, g2 340\n');
    expect(await say(id, unread)).toEqual([]);
    expect(await say(id, unread.replace('g2 340', 'g2 348'))).toEqual(['warning V5']);
  });
  it('a screen tied to its anode is an anode', async () => {
    const triode = job(
      '- V5 = 6V6GT\n- R17 = 470R 5W, V5.k to gnd\n- R31 = 100R 1W, V5.g2 to V5.a\n- V5: a 330, g2 329, k 20\n',
    );
    expect(await say(id, triode)).toEqual(['warning V5']);
    expect(await say(id, triode.replace('R31 = 100R 1W, V5.g2 to V5.a', '{V5.g2 = V5.a}'))).toEqual([]);
  });
});

describe('cathode-over-current', () => {
  const id = 'cathode-over-current';
  const valve = (anode: number, cathode: number) =>
    job(`- V5 = EL84\n- R17 = 100R 5W, V5.k to gnd\n- V5: a ${anode}, g2 ${anode - 3}, k ${cathode}\n`);
  it('warns near the limit and errs above it', async () => {
    expect(await say(id, valve(160, 5.5))).toEqual([]);
    expect(await say(id, valve(160, 6.2))).toEqual(['warning V5']);
    expect(await say(id, valve(160, 7.2))).toEqual(['error V5']);
  });
  it('leaves it to the dissipation where that is exceeded by as much', async () => {
    expect(await say(id, valve(290, 7.2))).toEqual([]);
    expect(await say('anode-over-dissipation', valve(290, 7.2))).toEqual(['error V5']);
  });
  it('knows nothing of a type whose sheet prints no limit', async () => {
    expect(await say(id, valve(160, 7.2).replace('EL84', '6V6GT'))).toEqual([]);
  });
});

describe('heater-overload', () => {
  const id = 'heater-overload';
  const set = (valves: string, windings = '6.3V 2A 5V 2A') =>
    job(`- T1 = mains 290-0-290V 150mA ${windings}\n${valves}`);
  it('sums the heaters: four 5751 want 1.4 A where four 12AX7 want 1.2 A', async () => {
    const four = (type: string) => set(`- V1, V2, V3, V4 = ${type}\n`, '6.3V 1.35A');
    expect(await say(id, four('12AX7'))).toEqual([]);
    expect(await say(id, four('5751'))).toEqual(['error T1']);
    expect(await message(id, four('5751'))).toMatch(/V1, V2, V3 and V4 draw 1\.4 A: 104 % of the 1\.35 A/);
  });
  it('wants a tenth in reserve', async () => {
    expect(await say(id, set('- V1, V2 = 12AX7\n- V3, V4 = 6V6GT\n', '6.3V 1.65A'))).toEqual(['warning T1']);
  });
  it('a rectifier may fill its own winding, and not more', async () => {
    expect(await say(id, set('- V9 = 5Y3GT, T1 to B+1\n- V1 = 12AX7\n'))).toEqual([]);
    expect(await say(id, set('- V9 = 5U4G, T1 to B+1\n- V1 = 12AX7\n'))).toEqual(['error T1']);
  });
  it('says nothing of a winding without rating, nor with a valve that is not known', async () => {
    expect(await say(id, set('- V5, V6 = EL34\n', '6.3V'))).toEqual([]);
    expect(await say(id, set('- V5, V6 = EL34\n- V7 = XYZ9\n'))).toEqual([]);
  });
  it('says nothing where nobody says which transformer or winding heats what', async () => {
    const hungry = '- V5, V6 = EL34\n';
    expect(await say(id, set(`${hungry}- T3 = heater 6.3V 3A\n`))).toEqual([]);
    expect(await say(id, set(hungry, '6.3V 2A 12.6V 1A'))).toEqual([]);
  });
  it('is told on the job that fits hungrier valves, not on the next one that fits none', async () => {
    const chassis =
      '---\nsheet: chassis\nmodel: Rowan 8\n---\n# Rowan 8\n\n- T1 = mains 290-0-290V 150mA 6.3V 2A\n- V1 = 12AX7\n- V5, V6 = 6V6GT\n';
    const others = { '../chassis/rowan.tagstrip.md': chassis };
    const on = (body: string) =>
      `---\nchassis: ../chassis/rowan.tagstrip.md\n---\n# Job\n\n## As found\n\n${body}`;
    expect(await say(id, on('- V5, V6 = EL34\n'), others)).toEqual(['error T1']);
    expect(await say(id, on('- V1 = 12AX7\n'), others)).toEqual([]);
  });
});

describe('heater-voltage-off', () => {
  const id = 'heater-voltage-off';
  const read = (volts: number, mains: string) =>
    `---\nmains: 230 V 50 Hz\n---\n# Job\n\n## As found\n\n${mains}- heaters: ${volts} V\n- B+1: 331 V\n`;
  it('is judged at nominal mains', async () => {
    expect(await say(id, read(6.7, 'Mains {mains: 230 V}.\n\n'))).toEqual(['info heaters']);
    expect(await say(id, read(6.7, 'Mains {mains: 241 V}.\n\n'))).toEqual([]);
    expect(await say(id, read(6.8, 'Mains {mains: 229 V}.\n\n'))).toEqual(['warning heaters']);
    expect(await say(id, read(5.6, 'Mains {mains: 231 V}.\n\n'))).toEqual(['error heaters']);
  });
  it('makes no error where the mains is not written', async () => {
    expect(await say(id, read(7.1, ''))).toEqual(['warning heaters']);
    expect(await say(id, read(6.7, ''))).toEqual([]);
  });
  it('knows the heater of a valve and the winding of a transformer', async () => {
    const at = (line: string) => job(`- T1 = mains 290-0-290V 150mA 6.3V 4A 5V 2A\n- V9 = GZ34\n${line}\n`);
    expect(await say(id, at('- V9.h: 5.1 V'))).toEqual([]);
    expect(await say(id, at('- V9.h: 5.7 V'))).toEqual(['warning V9']);
    expect(await say(id, at('- T1.3: 4.3 V'))).toEqual(['warning T1']);
  });
  it('says nothing behind a lamp or with valves out', async () => {
    const lamp = read(5.1, '').replace('- heaters', 'lamp 60 W:\n\n- heaters');
    expect(await say(id, lamp)).toEqual([]);
    expect(await say(id, read(7.1, '').replace('- heaters', 'V5 out:\n\n- heaters'))).toEqual([]);
  });
});

describe('heater-cathode-over-voltage', () => {
  const id = 'heater-cathode-over-voltage';
  const follower = (volts: number, heaters: string) =>
    job(`- V2A = 12AT7\n- R21 = 47k 1W, V2A.k to gnd\n- V2A.k: ${volts} V\n${heaters}`);
  it('holds against where the heaters stand', async () => {
    expect(await say(id, follower(70, '- heaters to gnd: 0 V\n'))).toEqual([]);
    expect(await say(id, follower(80, '- heaters to gnd: 0 V\n'))).toEqual(['warning V2A']);
    expect(await say(id, follower(96, '- heaters to gnd: 0 V\n'))).toEqual(['error V2A']);
    expect(await say(id, follower(96, '- heaters to gnd: 45 V\n'))).toEqual([]);
  });
  it('makes no error of heaters that nobody placed, and knows two resistors to ground', async () => {
    expect(await say(id, follower(96, ''))).toEqual(['warning V2A']);
    expect(await say(id, follower(96, '- R90, R91 = 100R 0.5W, heaters to gnd\n'))).toEqual(['error V2A']);
  });
  it('says nothing where they are lifted by a divider that nobody read', async () => {
    expect(
      await say(id, follower(96, '- R90 = 220k 1W, B+1 to heaters\n- R91 = 33k 1W, heaters to gnd\n')),
    ).toEqual([]);
  });
});

describe('grid-leak-over-limit', () => {
  const id = 'grid-leak-over-limit';
  it('goes by the kind of bias', async () => {
    const self = '- V5 = 6L6GC\n- R16 = 220k 0.5W, V5.g to gnd\n- R18 = 330R 10W, V5.k to gnd\n';
    expect(await say(id, job(self))).toEqual([]);
    const fixed = '- V5 = 6L6GC\n- R16 = 220k 0.5W, V5.g to bias\n- R43 = 1R 1W, V5.k to gnd\n';
    expect(await say(id, job(fixed))).toEqual(['info R16']);
    expect(await say(id, job(fixed.replace('220k', '470k')))).toEqual(['warning R16']);
  });
  it('a stopper counts in series, a second leak in parallel, a control not at all', async () => {
    const two = '- V5 = 6L6GC\n- R16, R19 = 180k 0.5W, V5.g to bias\n- R43 = 1R 1W, V5.k to gnd\n';
    expect(await say(id, job(two))).toEqual([]);
    const pot = '- V5 = 6L6GC\n- VR1 = 1M log, in to gnd, wiper to V5.g\n- R18 = 330R 10W, V5.k to gnd\n';
    expect(await say(id, job(pot))).toEqual([]);
  });
  it('an oscillator’s grid stands negative by its own swing and is not in fixed bias', async () => {
    const tremolo =
      '- V1 = 12AU7, a R4 B+3\n- R4 = 220k 0.5W\n- R1 = 1M 0.5W, V1.g to gnd\n- V1: a 180, g -9, k 0\n';
    expect(await say(id, job(tremolo))).toEqual([]);
  });
  it('the usual megohm of a small triode is within its sheet', async () => {
    const small =
      '- V1 = ECC83, a R4 B+3, k R5\n- R4 = 100k 0.5W\n- R5 = 1k5 0.5W\n- R1 = 1M 0.5W, V1.g to gnd\n';
    expect(await say(id, job(small))).toEqual([]);
  });
});
