/** Output pairs, screens, stages and bias: what the rules say of a note, and what they leave alone. */
import { describe, expect, it } from 'vitest';
import { analyse } from '../support/check.ts';

const say = async (text: string, others?: Readonly<Record<string, string>>) =>
  (await analyse(text, others)).findings
    .filter(({ severity }) => severity !== 'hint')
    .map(({ severity, rule, subject }) => `${severity} ${rule} ${subject}`);

const PAIR = `# Job

## As found

- V5, V6 = 6L6GC
- R43, R44 = 1R 1W 5%, V5.k V6.k to gnd
- V5: a 448, g2 446, g -44
- V6: a 448, g2 446, g -44
`;

describe('leaky-coupling', () => {
  const HOT = `# Job

## As found

- V4 = 6V6GT
- C10 = 22n 630V paper, V2B.a to V4.g
- R16 = 220k 0.5W, V4.g to gnd
- V2B.a: 175 V
- V4: g +15.6
`;
  const told = async (text: string) =>
    (await analyse(text)).findings.find(({ rule }) => rule === 'leaky-coupling')?.message;

  it('is proved by the capacitor alone, where it was measured by itself', async () => {
    expect(await told(HOT)).toContain('Lift C10 and read again');
    expect(await told(`${HOT}- C10: 2.1 Mohm (out of circuit)\n`)).toContain(
      'By itself C10 reads 2.1\u00a0MΩ, so it is the capacitor: renew it.',
    );
    // An ohmmeter's few volts do not tell what three hundred do.
    expect(await told(`${HOT}- C10: 2 Gohm (out of circuit)\n`)).toContain('Lift C10 and read again');
  });
});

describe('mismatched-pair', () => {
  it('grows from information to an error', async () => {
    expect(await say(`${PAIR}- R43: 41 mV\n- R44: 34.5 mV\n`)).toContain('info mismatched-pair V5,V6');
    expect(await say(`${PAIR}- R43: 41 mV\n- R44: 31 mV\n`)).toContain('warning mismatched-pair V5,V6');
    expect(await say(`${PAIR}- R43: 41 mV\n- R44: 20 mV\n`)).toContain('error mismatched-pair V5,V6');
  });
  it('says nothing of what two unmeasured resistors may differ by themselves', async () => {
    const rough = PAIR.replace('5%', '20%');
    expect(await say(`${rough}- R43: 41 mV\n- R44: 31 mV\n`)).toEqual([]);
  });
  it('is found by a column of millivolts, as a quad with one dead valve is written', async () => {
    const quad = `# Job

## As found

- V5-V8 = 6L6GC
- R61-64 = 1R 1W, V5.k V6.k V7.k V8.k to gnd

| Tube | Plate | Screen | Grid | mV   |
| ---- | ----- | ------ | ---- | ---- |
| V5   | 462   | 448    | -49  | 33.1 |
| V6   | 462   | 448    | -49  | 0.2  |
| V7   | 462   | 448    | -49  | 34.8 |
| V8   | 462   | 448    | -49  | 31.9 |
`;
    expect(await say(quad)).toEqual(['error mismatched-pair V5,V6,V7,V8']);
    expect(await say(quad.replace('0.2 ', '33.0'))).toEqual([]);
  });
  it('takes no verdict from a shared cathode resistor', async () => {
    const shared =
      '# Job\n\n## As found\n\n- V5, V6 = 6V6GT\n- R18 = 270R 5W, V5.k V6.k to gnd\n- V5: a 301, g2 282, k 18.4\n- V6: a 280, g2 282, k 18.4\n';
    expect((await say(shared)).filter((line) => line.includes('mismatched'))).toEqual([]);
  });
  it('is cleared when the pair reads alike as left', async () => {
    const { findings } = await analyse(
      `${PAIR}- R43: 41 mV\n- R44: 20 mV\n\n## As left\n\n- V5: a 448, g2 446, g -44\n- V6: a 448, g2 446, g -44\n- R43: 40 mV\n- R44: 39 mV\n`,
    );
    const own = findings.find(({ rule }) => rule === 'mismatched-pair');
    expect(own?.severity).toBe('info');
    expect(own?.cleared).toMatch(/was 68.9.% , now|was .*%, now/);
  });
  it('is told with the leak that makes it', async () => {
    const leak =
      '# Job\n\n## As found\n\n- V5, V6 = 6V6GT\n- C14 = 22n 400V, V3.a to V6.g\n- R16, R17 = 220k, V5.g V6.g to gnd\n- R18, R19 = 470R 5W 5%, V5.k V6.k to gnd\n- V3.a: 165 V\n- V5: a 300, g2 290, g 0, k 16.5\n- V6: a 297, g2 288, g +6, k 22\n';
    const { findings } = await analyse(leak);
    const loud = findings.filter(({ severity }) => severity === 'warning' || severity === 'error');
    expect(loud.map(({ rule, subject }) => `${rule} ${subject}`)).toEqual(['leaky-coupling C14']);
    expect(loud[0]?.related?.map(({ subject }) => subject)).toContain('V5,V6');
  });
});

describe('screen-open', () => {
  const ONE = `# Job

## As found

- V2 = EL84
- R13 = 150R 5W, V2.k to gnd
- R14 = 1k 1W, B+2 to V2.g2
- T2 = output 5k : 8R, V2.a, ct B+1
- R12 = 470k, V2.g to gnd
- B+1: 290 V
- B+2: 280 V
`;
  it('measures a lone valve by what an average one would pass', async () => {
    expect(await say(`${ONE}- V2: a 289, g2 20, g 0, k 0.1\n`)).toContain('error screen-open R14');
  });
  it('does not take a screen that is pulled down by a valve at work for one that is open', async () => {
    expect(
      (await say(`${ONE}- V2: a 270, g2 120, g 0, k 7\n`)).filter((l) => l.includes('screen-open')),
    ).toEqual([]);
  });
  it('is not where the screens’ own supply is dead: that is the choke', async () => {
    const choke = `# Job

## As found

- L1 = 4H 90R, B+1 to B+2
- V4, V5 = 6L6GC
- R5, R6 = 470R 5W, B+2 to V4.g2 V5.g2
- R7, R8 = 1R, V4.k V5.k to gnd
- B+1: 468 V, B+2: 0.4 V
- V4: a 468, g2 0, g -46, k 0
- V5: a 468, g2 0, g -46, k 0
`;
    expect(await say(choke)).toEqual(['warning contradictory-readings L1']);
    expect(await say(`${choke}- L1: OL\n`)).toEqual(['warning coil-open L1']);
  });
});

describe('no-conduction and bottomed', () => {
  const STAGE = `# Job

## As found

- V1A = 12AX7, a R4 B+3, k R5, g R6
- R4 = 100k
- R5 = 1k5
- R6 = 1M
- B+3: 278 V
`;
  it('tells a stage without current, and only warns where the cathode was not read', async () => {
    expect(await say(`${STAGE}- V1A: a 277, k 0.02\n`)).toEqual(['error no-conduction V1A']);
    expect(await say(`${STAGE}- V1A: a 277\n`)).toEqual(['warning no-conduction V1A']);
  });
  it('leaves a stage alone that its grid holds shut', async () => {
    expect(await say(`${STAGE}- V1A: a 277, k 0, g -14\n`)).toEqual([]);
  });
  it('blames an open cathode resistor once, not the valve', async () => {
    expect(await say(`${STAGE}- V1A: a 277\n- R5: open (out of circuit)\n`)).toEqual([
      'warning value-out-of-tolerance R5',
    ]);
  });
  it('leaves a driver alone that is coupled directly', async () => {
    const direct = `${STAGE}- V1B = 12AX7, a B+3, k R8\n- R8 = 100k\n- {V1B.g = V1A.a}\n- V1A: a 60\n`;
    expect((await say(direct)).filter((line) => line.includes('bottomed'))).toEqual([]);
  });
});

describe('no-bias', () => {
  const chassis =
    '---\nsheet: chassis\n---\n# Amp\n\n- V5, V6 = 6L6GC\n- R16, R17 = 100k, V5.g V6.g to bias\n\n## Voltages\n\n- bias: -48 V\n';
  const job = (volts: string) =>
    `---\nchassis: ../chassis/x.tagstrip.md\n---\n# Job\n\n## As found\n\n- bias: ${volts}\n`;
  it('holds the rail against a fifth of the chassis sheet’s', async () => {
    const others = { '../chassis/x.tagstrip.md': chassis };
    expect((await say(job('-7 V'), others)).filter((l) => l.startsWith('error'))).toEqual([
      'error no-bias bias',
    ]);
    expect((await say(job('-46 V'), others)).filter((l) => l.includes('no-bias'))).toEqual([]);
  });
  it('says nothing of a bias point that holds no output valve', async () => {
    const small = '# Job\n\n## As found\n\n- V1A = 12AX7\n- R16 = 100k, V1A.g to bias\n- bias: 0 V\n';
    expect(await say(small)).toEqual([]);
  });
});

describe('half-wave-ripple', () => {
  const supply = (rectifier: string, hertz: number) =>
    `---\nmains: 230 V 50 Hz\n---\n# Job\n\n## As found\n\n- T1 = mains 280-0-280V 120mA 5V 2A\n- ${rectifier}\n- C1 = 32uF 500V, B+1 to gnd\n- B+1: 310 V\n- B+1: 16 Vpp ${hertz} Hz\n`;
  it('tells a dead half of two diodes, not a lone diode that works as it should', async () => {
    expect(await say(supply('D1, D2 = 1N4007, T1 to B+1', 50))).toContain('error half-wave-ripple B+1');
    expect((await say(supply('D1 = 1N4007, T1 to B+1', 50))).filter((l) => l.includes('half-wave'))).toEqual(
      [],
    );
    expect(
      (await say(supply('D1, D2 = 1N4007, T1 to B+1', 100))).filter((l) => l.includes('half-wave')),
    ).toEqual([]);
  });
});
