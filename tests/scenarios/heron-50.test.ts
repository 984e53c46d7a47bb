/**
 * An open screen resistor in a fixed-bias pair. Amplifier and readings are invented; the readings come from a model fitted to
 * published EL34 points, rounded as a bench meter shows them.
 */
import { describe, expect, it } from 'vitest';
import { analyse } from '../support/check.ts';

const HERON = `# Heron 50, half power and hum

## As found

- V3, V4 = EL34
- R41, R42 = 1k 5W wirewound, B+ to V3.g2 V4.g2
- R43, R44 = 1R 1W, V3.k V4.k to gnd
- T2 = output 3k4 : 8R 50W, V3.a V4.a, ct B+

Mains {mains: 230 V}, dummy load, twenty minutes warm.

- B+: 446 V
- V3: a 443, g2 441, g -40.7
- V4: a 446, g2 24, g -40.7
- R43: 44.2 mV
- R44: 0.3 mV
- R42: open (out of circuit)

## Work

- plug out, discharged: B+: 3 V
- R42 = 1k 5W wirewound -> 1k 5W wirewound

## As left

Mains {mains: 230 V}, dummy load, twenty minutes warm.

- B+: 440.5 V
- V3: a 437.5, g2 435.8, g -40.7
- V4: a 437.5, g2 435.8, g -40.7
- R43: 40.3 mV
- R44: 40.3 mV
`;

describe('Heron 50: open screen resistor', () => {
  it('names R42 and no valve', async () => {
    const { findings } = await analyse(HERON);
    const said = findings.filter(
      ({ severity, cleared }) => severity === 'error' || severity === 'warning' || cleared !== undefined,
    );
    expect(said.map(({ rule, subject }) => `${rule} ${subject}`)).toEqual(['screen-open R42']);
    expect(said[0]?.related?.map(({ subject }) => subject)).toEqual(expect.arrayContaining(['R42', 'V3,V4']));
  });

  it('computes the healthy valve: 44.2 mA less the screen’s share, about 17.3 W, 69 % of 25 W', async () => {
    const { amplifier } = await analyse(HERON);
    const view = amplifier.phases.find(({ phase }) => phase === 'as-found');
    const figure = (name: string) =>
      view?.figures.find((each) => each.subject === 'V3' && each.figure === name)?.quantity.value ?? 0;
    expect(figure('cathode-current')).toBeCloseTo(44.2e-3, 4);
    // (446 − 441) V / 1 kΩ: the screen's own resistor says what it takes.
    expect(figure('screen-current')).toBeCloseTo(5e-3, 4);
    expect(figure('anode-dissipation') / 17.3).toBeCloseTo(1, 1);
    expect(figure('anode-loading')).toBeCloseTo(0.69, 1);
  });
});
