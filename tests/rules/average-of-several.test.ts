/** Valves on one shared resistor: what is known of them is their average, so it is said once and names them all. */
import { describe, expect, it } from 'vitest';
import { analyse } from '../support/check.ts';

const loud = async (text: string) =>
  (await analyse(text)).findings.filter(({ severity }) => severity === 'error' || severity === 'warning');
const say = async (text: string) =>
  (await loud(text)).map(({ severity, rule, subject }) => `${severity} ${rule} ${subject}`);

/** 10.0 V over 33 Ω: 303 mA, 75.8 mA each of four EL84 at 290 V: far above 12 W. */
const FOUR = `# Job

## As found

- V3, V4, V5, V6 = EL84
- R17 = 33R 10W, V3.k V4.k V5.k V6.k to gnd
- V3: a 300, g2 290, k 10.0
- V4: a 301, g2 290
- V5: a 300, g2 290
- V6: a 300, g2 290
`;
const PAIR = `# Job

## As found

- V5, V6 = 6V6GT
- R18 = 150R 10W, V5.k V6.k to gnd
- V5: a 300, g2 290, k 16.0
- V6: a 302, g2 290, k 16.0
`;

describe('valves that share a cathode resistor', () => {
  it('are told of once, all four', async () => {
    const said = await say(FOUR);
    expect(said).toContain('error anode-over-dissipation V3,V4,V5,V6');
    expect(said.filter((each) => each.includes('anode-over-dissipation'))).toHaveLength(1);
    expect(said.filter((each) => each.includes('cathode-over-current')).length).toBeLessThanOrEqual(1);
  });

  it('are told of once as a pair, by the worse of the two, as an average', async () => {
    const [finding, ...more] = await loud(PAIR);
    expect(more).toEqual([]);
    expect(finding?.subject).toBe('V5,V6');
    expect(finding?.message).toMatch(/each of V5 and V6 dissipates .*average of the 2 valves that share R18/);
    // V6 stands 2 V higher.
    const alone = await loud(PAIR.replace('a 302', 'a 300'));
    expect(finding?.figures?.['anode-loading']?.value).toBeGreaterThan(
      alone[0]?.figures?.['anode-loading']?.value ?? Number.NaN,
    );
  });

  it('are told of one by one where each has its own', async () => {
    const own = PAIR.replace('R18 = 150R 10W, V5.k V6.k', 'R18, R19 = 300R 10W, V5.k V6.k');
    expect(await say(own)).toEqual([
      expect.stringContaining('anode-over-dissipation V5'),
      expect.stringContaining('anode-over-dissipation V6'),
    ]);
  });

  it('are accepted by the name of any', async () => {
    for (const name of ['V5', 'V6', 'V5 V6']) {
      const { findings } = await analyse(`${PAIR}\n{accept anode-over-dissipation ${name}: by design}\n`);
      const said = findings.filter(({ rule }) => rule === 'anode-over-dissipation');
      expect(said.map(({ accepted }) => accepted)).toEqual(['by design']);
      expect(findings.some(({ rule }) => rule === 'acceptance-unused')).toBe(false);
    }
  });

  it('are one consequence of a coupling capacitor that leaks into one of them', async () => {
    const text = `${PAIR}- C9 = 100n 400V film, V4A.a to V5.g\n- R16 = 220k 0.5W, V5.g to gnd\n- V4A.a: 196 V\n- V5.g: 3.0 V\n`;
    expect(await say(text)).toEqual([expect.stringContaining('leaky-coupling C9')]);
  });

  it('are cleared when the resistor is renewed and they are read again', async () => {
    const left = `${PAIR}\n## Work\n\n- plug out, discharged: B+1: 3 V\n- R18 = 150R 10W -> 270R 10W\n\n## As left\n\n- V5: a 310, g2 300, k 19.0\n- V6: a 310, g2 300, k 19.0\n`;
    const [finding] = (await analyse(left)).findings.filter(({ rule }) => rule === 'anode-over-dissipation');
    expect(finding?.cleared).toMatch(/was .*%, now .*%/);
  });

  it('are not cleared where one of them is still too hot on a resistor of its own', async () => {
    const left = `${PAIR}\n## Work\n\n- plug out, discharged: B+1: 3 V\n- R18 = 150R 10W -> removed\n- R19, R20 = 300R 10W, V5.k V6.k to gnd\n\n## As left\n\n- V5: a 300, g2 290, k 16.0\n- V6: a 300, g2 290, k 9.0\n`;
    const [before] = (await analyse(left)).findings.filter(
      ({ rule, subject }) => rule === 'anode-over-dissipation' && subject === 'V5,V6',
    );
    expect(before?.severity).not.toBe('info');
    expect(before?.cleared).toBeUndefined();
  });

  it('are not cleared by one new valve that nobody read', async () => {
    const left = `${PAIR}\n## Work\n\n- plug out, discharged: B+1: 3 V\n- V5 = 6V6GT -> 6V6GT\n\n## As left\n\n- B+1: 310 V\n`;
    const [finding] = (await analyse(left)).findings.filter(({ rule }) => rule === 'anode-over-dissipation');
    expect(finding?.subject).toBe('V5,V6');
    expect(finding?.cleared).toBeUndefined();
  });
});
