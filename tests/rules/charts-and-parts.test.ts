/** Charts against nominals, parts measured on their own, mains and earth: what the rules say of a note, and what they leave alone. */
import { describe, expect, it } from 'vitest';
import { analyse } from '../support/check.ts';

const say = async (text: string, others?: Readonly<Record<string, string>>) =>
  (await analyse(text, others)).findings
    .filter(({ severity }) => severity !== 'hint')
    .map(({ severity, rule, subject }) => `${severity} ${rule} ${subject}`);
const only = async (rule: string, text: string, others?: Readonly<Record<string, string>>) =>
  (await say(text, others)).filter((line) => line.split(' ')[1] === rule);

const CHASSIS = `---
sheet: chassis
mains: 230 V 50 Hz
---
# Amp

- V1A = 12AX7, a R4 B+3, k R5, g R6
- R4 = 100k 1W
- R5 = 1k5 0.5W
- R6 = 1M 0.5W
- R23 = 10k 2W, B+1 to B+3

## Voltages

{mains: 230 V}, twenty minutes warm.

- B+1: 334 V
- B+3: 290 V
- V1A: a 185, k 1.45
`;
const OTHERS = { '../chassis/amp.tagstrip.md': CHASSIS };
const job = (body: string) => `---\nchassis: ../chassis/amp.tagstrip.md\n---\n# Job\n\n${body}`;

describe('off-nominal', () => {
  it('compares at the same mains', async () => {
    const at = (mains: number) =>
      job(`## As found\n\nMains {mains: ${mains} V}.\n\n- B+1: 292 V\n- B+3: 254 V\n- V1A: a 160, k 1.25\n`);
    // 292 of 334 V is 12.6 % low at 230 V and right at 201 V.
    expect(await only('off-nominal', at(230))).toEqual([]);
    expect(await only('off-nominal', at(230), OTHERS)).toEqual(['info off-nominal B+1']);
    expect(await only('off-nominal', at(205), OTHERS)).toEqual([]);
  });
  it('says it once, of the supply, and keeps what hangs on it as related', async () => {
    const { findings } = await analyse(
      job('## As found\n\nMains {mains: 231 V}.\n\n- B+1: 230 V\n- B+3: 190 V\n- V1A: a 120, k 0.95\n'),
      OTHERS,
    );
    const own = findings.filter(({ rule }) => rule === 'off-nominal');
    expect(own.map(({ severity, subject }) => `${severity} ${subject}`)).toEqual(['warning B+1']);
    expect(own[0]?.related?.map(({ subject }) => subject)).toContain('B+3');
  });
  it('allows a valve its spread: a fifth more on a cathode is nothing', async () => {
    const read = (k: string) => job(`## As found\n\nMains {mains: 230 V}.\n\n- B+1: 334 V\n- V1A: k ${k}\n`);
    expect(await only('off-nominal', read('1.75'), OTHERS)).toEqual([]);
    expect(await only('off-nominal', read('2.20'), OTHERS)).toEqual(['warning off-nominal V1A.k']);
  });
  it('is mended when the point reads right as left', async () => {
    const sheet = job(
      '## As found\n\nMains {mains: 230 V}.\n\n- B+1: 228 V\n\n## As left\n\nMains {mains: 230 V}.\n\n- B+1: 331 V\n',
    );
    expect(await only('off-nominal', sheet, OTHERS)).toEqual(['info off-nominal B+1']);
  });
  it('compares nothing that was read behind a lamp, and says so where there is no other chart', async () => {
    const lamp = job('## As found\n\nlamp 60 W:\n\n- B+1: 96 V\n- B+3: 90 V\n');
    expect(await say(lamp, OTHERS)).toEqual(['info limited-chart B+1']);
    const both = `${lamp}\n20 min, no signal:\n\n- B+1: 331 V\n`;
    expect(await say(both, OTHERS)).toEqual([]);
  });
});

describe('cathode-high and cathode-low', () => {
  const stage = (k: string, more = '') =>
    `# Job\n\n## As found\n\n- V1A = 12AX7, a R4 B+3, k R5, g R6\n- R4 = 100k 1W\n- R5 = 1k5 0.5W\n- R6 = 1M\n- B+3: 278 V\n- V1A: k ${k}\n${more}`;
  it('stays quiet within what valves vary', async () => {
    for (const k of ['1.0', '1.45', '2.0']) expect(await say(stage(k)), k).toEqual([]);
  });
  it('grows to an error at three times', async () => {
    expect(await say(stage('2.6'))).toEqual(['warning cathode-high V1A']);
    expect(await say(stage('6.2'))).toEqual(['error cathode-high V1A']);
  });
  it('is explained by the resistor that was measured', async () => {
    expect(await say(stage('6.2', '- R5: open (out of circuit)\n'))).toEqual([
      'warning value-out-of-tolerance R5',
    ]);
  });
  it('does not judge a follower that its driver puts there', async () => {
    const follower =
      '# Job\n\n## As found\n\n- V1A = 12AX7, a R4 B+3, k R5, g R6\n- R4 = 100k 1W\n- R5 = 1k5 0.5W\n- R6 = 1M\n- V1B = 12AX7, a B+3, k R8\n- R8 = 100k 1W\n- {V1B.g = V1A.a}\n- B+3: 278 V\n- V1B: k 140\n';
    expect(await say(follower)).toEqual([]);
  });
});

describe('capacitors', () => {
  it('a reversed one in the bias supply is an error, the same the right way round is not', async () => {
    const bias = (plus: string) =>
      `# Job\n\n## As found\n\n- C32 = 47uF 100V electrolytic, bias to gnd, plus at ${plus}\n- bias: -46 V\n`;
    expect(await say(bias('bias'))).toEqual(['error electrolytic-reversed C32']);
    expect(await say(bias('gnd'))).toEqual([]);
    // Nothing is said where nobody wrote the polarity.
    expect(await say(bias('gnd').replace(', plus at gnd', ''))).toEqual([]);
  });
  it('age is told once a sheet, by the sheet’s own date, and not of what was renewed', async () => {
    const aged = (head: string, tail = '') =>
      `${head}# Job\n\n## As found\n\n- C31 = 47uF 450V electrolytic date 2003, B+1 to gnd\n- C32 = 22uF 450V electrolytic date 2003, B+2 to gnd\n${tail}`;
    const dated = '---\nreceived: 2026-02-01\n---\n';
    expect(await only('electrolytic-aged', aged(dated))).toEqual(['warning electrolytic-aged C31']);
    expect(await only('electrolytic-aged', aged(''))).toEqual([]);
    const renewed =
      '\n## Work\n\n- C31 -> 47uF 500V electrolytic\n- C32 -> 22uF 500V electrolytic\n\n## As left\n\n- B+1: 330 V\n';
    expect(await only('electrolytic-aged', aged(dated, renewed))).toEqual([]);
  });
  it('series resistance is held against volts and microfarads, and not when read in circuit', async () => {
    const esr = (ohms: string, how: string) =>
      `# Job\n\n## As found\n\n- C5 = 25uF 25V electrolytic, V1A.k to gnd\n- C5: 24uF ESR ${ohms} (${how})\n`;
    expect(await say(esr('60R', 'out of circuit'))).toEqual(['warning esr-high C5']);
    expect(await say(esr('6R', 'out of circuit'))).toEqual([]);
    expect(await say(esr('60R', 'in circuit'))).toEqual([]);
  });
  it('a string over its rating is one error', async () => {
    const string =
      '# Job\n\n## As found\n\n- C40 + C41 = 100uF 350V electrolytic, B+1 to gnd\n- R50, R51 = 220k 2W, across C40 C41\n- C40: 372 V\n- C41: 120 V\n';
    expect(await say(string)).toContain('error series-capacitors-unbalanced C40');
    expect(await only('over-voltage', string)).toEqual([]);
  });
});

describe('mains, earth and insulation', () => {
  it('an earth is a warning when high, an error when open, and mended as left', async () => {
    const found = (ohms: string) => `# Job\n\n## As found\n\n- earth to chassis: ${ohms}\n`;
    expect(await say(found('0.4R'))).toEqual([]);
    expect(await say(found('0.9R'))).toEqual(['warning earth-high earth']);
    expect(await say(found('open'))).toEqual(['error earth-high earth']);
    expect(await say(`${found('open')}\n## As left\n\n- earth to chassis: 0.1R\n`)).toEqual([
      'info earth-high earth',
    ]);
  });
  it('insulation below a megohm is a warning', async () => {
    expect(await say('# Job\n\n## As found\n\n- line to chassis: 300k\n')).toEqual([
      'warning insulation-low line',
    ]);
    expect(await say('# Job\n\n## As found\n\n- line to chassis: 30M\n- neutral to chassis: open\n')).toEqual(
      [],
    );
  });
  it('a mains within a tenth of the nominal is left alone, a tap is held more strictly', async () => {
    const nominal = (mains: number) =>
      `---\nmains: 230 V 50 Hz\n---\n# Job\n\n## As found\n\nMains {mains: ${mains} V}.\n\n- B+1: 330 V\n`;
    expect(await say(nominal(245))).toEqual([]);
    expect(await say(nominal(256))).toEqual(['warning mains-tap mains']);
    const tap = (mains: number) =>
      `# Job\n\n## As found\n\n- T1 = mains 117V : 300-0-300V 120mA\n\nMains {mains: ${mains} V}.\n\n- B+1: 330 V\n`;
    expect(await say(tap(121))).toEqual([]);
    expect(await say(tap(130))).toEqual(['error mains-tap T1']);
  });
});

describe('impossible-reading', () => {
  const supply = (body: string, rectifier = 'D1, D2 = 1N4007, T1 to B+1') =>
    `---\nmains: 230 V 50 Hz\n---\n# Job\n\n## As found\n\n- T1 = mains 280-0-280V 120mA\n- ${rectifier}\n- C1 = 32uF 630V, B+1 to gnd\n${body}`;
  it('tells volts that the supply cannot give, and a rail below ground', async () => {
    expect(await say(supply('- V5.a: 640 V\n'))).toContain('error impossible-reading V5.a');
    expect(await say(supply('- B+1: -330 V\n'))).toContain('error impossible-reading B+1');
    expect(await only('impossible-reading', supply('- B+1: 452 V\n'))).toEqual([]);
  });
  it('knows no limit where one diode alone may be half of a doubler', async () => {
    expect(await only('impossible-reading', supply('- B+1: 640 V\n', 'D1 = 1N4007, T1 to B+1'))).toEqual([]);
  });
  it('knows that ohms, farads and watts have no sign, but for a meter whose leads were nulled', async () => {
    const found = (line: string) => only('impossible-reading', `# Job\n\n## As found\n\n- ${line}\n`);
    expect(await found('LS1: -11 W')).toEqual(['error impossible-reading LS1']);
    expect(await found('R17: -470R')).toEqual(['error impossible-reading R17']);
    expect(await found('C14: -3n')).toEqual(['error impossible-reading C14']);
    expect(await found('T2: -138R + 124R')).toEqual(['error impossible-reading T2']);
    expect(await found('C21: 31uF ESR -4R')).toEqual(['error impossible-reading C21']);
    for (const line of ['earth to chassis: -0.1R', 'C14: -20p', 'R17: -5 V', 'V5: g -32, k 0', 'LS1: 11 W'])
      expect(await found(line), line).toEqual([]);
  });
});

describe('valves and sockets', () => {
  it('an EL34 where a 5881 was drawn is told until pin 1 is tied and its heater is reckoned with', async () => {
    const chassis = '---\nsheet: chassis\n---\n# Amp\n\n- V3, V4 = 5881\n';
    const text = '---\nchassis: ../chassis/a.tagstrip.md\n---\n# Job\n\n## As found\n\n- V3 = EL34\n';
    const others = { '../chassis/a.tagstrip.md': chassis };
    const { findings } = await analyse(text, others);
    const own = findings.filter(({ rule }) => rule === 'other-valve-than-drawn');
    expect(own.map(({ subject }) => subject)).toEqual(['V3']);
    expect(own[0]?.message).toMatch(/pin 1 .*cathode.*heater/);
    expect(await only('other-valve-than-drawn', text.replace('EL34', '6L6GC'), others)).toEqual([]);
  });
  it('what moves with the valve is not the socket’s', async () => {
    const swap = (five: string, six: string) =>
      `# Job\n\n## As found\n\n- V5, V6 = 6V6GT\n- R18, R19 = 470R 5W 5%, V5.k V6.k to gnd\n- V5: a 300, g2 290, k 16\n- V6: a 297, g2 288, k 21\n- V5 V6 swapped: V5.k: ${five}\n- V5 V6 swapped: V6.k: ${six}\n`;
    expect(await only('stays-with-socket', swap('20.8 V', '16.2 V'))).toEqual([]);
    expect(await only('stays-with-socket', swap('16.2 V', '20.8 V'))).toEqual(['info stays-with-socket V6']);
  });
  it('a grid is only said to float where its leak was taken away or every other grid has one', async () => {
    expect(await say('# Job\n\n## As found\n\n- V5 = 6V6GT\n- C14 = 22n 630V, V3.a to V5.g\n')).toEqual([]);
    const whole = `# Job

## Parts

- V1A = 12AX7, a R1 B+3, k R2, g R3
- V1B = 12AX7, a R4 B+3, k R5, g R6
- V2A = 12AX7, a R7 B+3, k R8, g R9
- V2B = 12AX7, a R10 B+3, k R11, g C5
- R1, R4, R7, R10 = 100k 1W
- R2, R5, R8, R11 = 1k5
- R3, R6, R9 = 1M
- C5 = 22n 400V, V2A.a to V2B.g
`;
    expect(await only('grid-floating', whole)).toEqual(['warning grid-floating V2B']);
    expect(await only('grid-floating', `${whole}- R12 = 1M, V2B.g to gnd\n`)).toEqual([]);
  });
});
