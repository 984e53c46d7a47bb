/**
 * An anode load that drifted high, and three small traps. Amplifier and readings are invented; the readings come from a model
 * fitted to published 12AX7 points (250 V, −2 V, 1.2 mA and 100 V, −1 V, 0.5 mA), rounded as a 10 MΩ meter shows them.
 */
import { describe, expect, it } from 'vitest';
import { analyse, findingsOf } from '../support/check.ts';

const WAGTAIL = `# Wagtail, dull and hissy

## As found

- V1A = 12AX7, a R4 B+3, k R5 C5, g R6
- R4 = 100k 0.5W carbon composition
- R5 = 1k5 0.5W
- R6 = 1M 0.5W
- C5 = 25uF 25V electrolytic
- C6 = 22n 400V, V1A.a to V1B.g
- R7 = 1M 0.5W, V1B.g to gnd

- B+3: 278 V
- V1A: a 142, k 1.18, g 0.00
- R5: 1.50k (out of circuit)
- R4: 172k (out of circuit)

## Work

- plug out, discharged: B+3: 3 V
- R4 = 100k 0.5W carbon composition -> 100k 1W metal film

## As left

- B+3: 278 V
- V1A: a 181, k 1.45, g 0.00
`;

describe('Wagtail: anode load drifted high', () => {
  it('names R4, cleared by the new part, and accuses nothing else', async () => {
    const { findings } = await analyse(WAGTAIL);
    const said = findings.filter(
      ({ severity, cleared }) => severity === 'error' || severity === 'warning' || cleared !== undefined,
    );
    expect(said.map(({ rule, subject }) => `${rule} ${subject}`)).toEqual(['value-out-of-tolerance R4']);
    expect(said[0]?.cleared).toMatch(/R4 is now 100.kΩ 1.W metal film/);
  });

  it('without the ohmmeter, the two ends of the valve contradict each other and R4 is named with what it would have to be', async () => {
    const { findings } = await analyse(WAGTAIL.replace('- R4: 172k (out of circuit)\n', ''));
    const found = findings.find(({ rule }) => rule === 'contradictory-readings');
    expect(found?.subject).toBe('R4');
    // 136 V / (1.18 V / 1500 Ω) = 172.9 kΩ.
    expect(found?.figures?.implied?.value).toBeCloseTo(172.9e3, -3);
  });

  it('gives the anode dissipation that follows from the cathode: 0.111 W of 1 W', async () => {
    const { amplifier } = await analyse(WAGTAIL);
    const view = amplifier.phases.find(({ phase }) => phase === 'as-found');
    const power = view?.figures.find(
      ({ subject, figure }) => subject === 'V1A' && figure === 'anode-dissipation',
    );
    expect(power?.quantity.value).toBeCloseTo(0.111, 3);
  });
});

describe('small traps', () => {
  it('12 V across and 0.25 mA through is no 470 kΩ', async () => {
    const lines = await findingsOf('# Job\n\n## As found\n\n- R7 = 470k 5%\n- R7: 12 V\n- R7: 0.25 mA\n');
    expect(lines).toEqual([expect.stringContaining('error contradictory-readings R7')]);
  });

  it('0.93 mA out of the cathode and 0.38 mA into the anode contradict each other', async () => {
    const sheet =
      '# Job\n\n## As found\n\n- V1A = 12AX7, a R4 B+3, k R5\n- R4 = 100k 5%\n- R5 = 1k5 5%\n- B+3: 278 V\n- V1A: a 240, k 1.4\n';
    expect(await findingsOf(sheet)).toEqual([expect.stringContaining('error contradictory-readings R4')]);
  });

  it('45 A in an output valve is a slip of the prefix', async () => {
    const lines = await findingsOf('# Job\n\n## As found\n\n- V5 = EL34\n- V5: a 400, 45 A\n');
    expect(lines).toEqual([expect.stringContaining('warning unit-slip V5')]);
  });

  it('a coupling capacitor of 22 mF is asked about', async () => {
    expect(await findingsOf('# Job\n\n## Parts\n\n- C7 = 22 mF\n')).toEqual([
      expect.stringContaining('info value-ambiguous'),
    ]);
  });

  it('+2.4 V on 470 kΩ with 165 V behind is a leak of 31.8 MΩ', async () => {
    const sheet =
      '# Job\n\n## As found\n\n- C14 = 22n 400V, V3.a to V5.g\n- R16 = 470k, V5.g to gnd\n- V5 = EL84\n- V3.a: 165 V\n- V5: g +2.4\n';
    const { findings } = await analyse(sheet);
    expect(findings.map(({ rule, subject, severity }) => `${severity} ${rule} ${subject}`)).toEqual([
      'error leaky-coupling C14',
    ]);
    expect(findings[0]?.figures?.insulation?.value).toBeCloseTo(31.84e6, -5);
  });
});
