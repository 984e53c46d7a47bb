/** What flows into a node flows out of it: one finding for one cause, on the likeliest part. Currents worked by hand (computed). */
import { describe, expect, it } from 'vitest';
import { analyse } from '../support/check.ts';

async function told(...lines: readonly string[]) {
  const { findings } = await analyse(
    `# Job\n\n## As found\n\n${lines.map((line) => `- ${line}`).join('\n')}\n`,
  );
  return findings
    .filter(({ severity }) => severity !== 'hint')
    .map(({ severity, rule, subject, message, related }) => ({
      said: `${severity} ${rule} ${subject}`,
      message,
      beside: (related ?? []).map((each) => each.message).join('\n'),
    }));
}

const CHAIN = [
  'R23 = 10k 2W 5%, B+2 to B+3',
  'R24 = 22k 1W 5%, B+3 to B+4',
  'R15 = 82k 1W 5%, V2A.a to B+3',
  'R16 = 100k 1W 5%, V2B.a to B+3',
  'R4 = 100k 1W 5%, V1A.a to B+4',
  'R7 = 100k 1W 5%, V1B.a to B+4',
  'V1, V2 = 12AX7',
  'V2A.a: 192.1 V',
  'V2B.a: 184.0 V',
  'V1A.a: 163.4 V',
  'V1B.a: 163.4 V',
  'B+4: 251.8 V',
  'B+3: 290.7 V',
];

describe('the sum at a supply node', () => {
  it('is silent where it adds up', async () => {
    expect(await told(...CHAIN, 'B+2: 331.0 V')).toEqual([]);
  });

  it('names the dropper that brings too little, and what it would have to be', async () => {
    // 10.3 V over 10 kΩ is 1.0 mA, where 4.0 mA go on: 2.55 kΩ.
    const [only, ...more] = await told(...CHAIN, 'B+2: 301.0 V');
    expect(more).toEqual([]);
    expect(only?.said).toBe('error contradictory-readings R23');
    expect(only?.message).toMatch(/1\.03.mA flows into B\+3 \(R23 .*\) and 4\.04.mA out of it/);
    expect(only?.message).toMatch(/R23 would have to be 2\.55.kΩ instead of 10.kΩ/);
    // The same figures that the message adds up, each with the reading that it comes from.
    expect(only?.beside).toContain('read 301\u00a0V, so R23 puts 1.03\u00a0mA into B+3.');
    expect(only?.beside).toContain('read 252\u00a0V, so R24 takes 1.77\u00a0mA out of B+3.');
  });

  it('only asks where a load that nobody wrote down would explain it', async () => {
    const [only, ...more] = await told(...CHAIN, 'B+2: 361.0 V');
    expect(more).toEqual([]);
    expect(only?.said).toBe('info contradictory-readings R23');
    expect(only?.message).toContain('draws current that the sheet does not show');
  });

  it('suspects no part that was measured', async () => {
    const [only, ...more] = await told(
      ...CHAIN,
      'B+2: 301.0 V',
      ...['R23: 10.0k', 'R24: 22.0k', 'R15: 82.0k', 'R16: 100.0k'].map((each) => `${each} out of circuit`),
    );
    expect(more).toEqual([]);
    expect(only?.said).toBe('error contradictory-readings B+3');
    expect(only?.message).toContain('Take the readings again');
  });
});

describe('a cathode resistor that two valves share', () => {
  it('is named where it carries three times what both valves pass', async () => {
    const [only, ...more] = await told(
      'V5, V6 = EL84',
      'R17 = 130R 5W 5%, V5.k V6.k to gnd',
      'V5: 20 mA',
      'V6: 20 mA',
      'V5.k: 15.6 V',
    );
    expect(more).toEqual([]);
    expect(only?.said).toBe('error contradictory-readings R17');
    expect(only?.message).toMatch(/R17 would have to be 390.Ω instead of 130.Ω/);
  });
});

describe('a sum whose cause is known', () => {
  it('stands beside the drifted resistor', async () => {
    const [only, ...more] = await told(...CHAIN, 'B+2: 301.0 V', 'R15 out of circuit: R15: 160k');
    expect(more).toEqual([]);
    expect(only?.said).toBe('warning value-out-of-tolerance R15');
    expect(only?.beside).toContain('flows into B+3');
  });
});
