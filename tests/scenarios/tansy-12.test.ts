/**
 * A dried reservoir raises hum, healthy otherwise. The amplifier and its readings are invented; the readings are computed by
 * time-stepping the supply (2×280 V rms, 140 Ω an anode, GZ34 law, 82 mA) and rounded as a bench meter shows them.
 */
import { describe, expect, it } from 'vitest';
import { analyse, findingsOf } from '../support/check.ts';

const TANSY = `---
job: 1
mains: 230 V 50 Hz
---
# Tansy 12, loud even buzz

## Complaint

Loud even buzz, unaffected by the volume control, weak bass.

## As found

- T1 = mains 280-0-280V 120mA 6.3V 3A 5V 2A
- V5 = GZ34, T1 to B+1
- C1 = 32uF 500V electrolytic, B+1 to gnd
- L1 = 10H 250R, B+1 to B+2
- C2 = 32uF 500V electrolytic, B+2 to gnd
- R20 = 10k 2W, B+2 to B+3
- C3 = 22uF 500V electrolytic, B+3 to gnd
- V3, V4 = 6V6GT
- R18 = 270R 5W wirewound, V3.k V4.k to gnd
- C18 = 25uF 50V electrolytic, across R18
- T2 = output 8k : 8R 15W, V3.a V4.a, ct B+1

Mains {mains: 230 V}, dummy load, twenty minutes warm.

- B+1: 318 V, 80 Vpp
- B+2: 204 mVrms
- B+3: 1.5 mVrms
- R18: 19.7 V
- C1: 6.5uF (out of circuit)

## Work

- [x] plug out, discharged through 10k: B+1: 4 V, B+2: 2 V, B+3: 2 V
- C1 = 32uF 500V electrolytic -> 32uF 500V electrolytic

## As left

Mains {mains: 230 V}, dummy load, twenty minutes warm.

- B+1: 326 V, 16.7 Vpp
- B+2: 42 mVrms
- B+3: 0.3 mVrms
- R18: 19.7 V
`;

describe('Tansy 12: dried reservoir', () => {
  it('accuses no healthy part: not the valves, their resistor, the choke or the other capacitors', async () => {
    const accused = (await findingsOf(TANSY)).filter(
      (line) => /^(error|warning)/.test(line) && !/ C1 /.test(line),
    );
    expect(accused).toEqual([]);
  });

  it('computes the shared bias as an average and labels it so', async () => {
    const { amplifier } = await analyse(TANSY);
    const asLeft = amplifier.phases.find(({ phase }) => phase === 'as-left');
    const current = asLeft?.figures.find(
      ({ subject, figure }) => subject === 'V3' && figure === 'cathode-current',
    );
    // 19.7 V / 270 Ω / 2 = 36.5 mA (Ohm's law).
    expect(current?.quantity.value).toBeCloseTo(19.7 / 270 / 2, 4);
    expect(current?.remark).toMatch(/average/);
  });

  /** The load read, and no capacitance meter: the ripple alone must tell. */
  const BY_RIPPLE = TANSY.replace('318 V, 80 Vpp', '318 V, 80 Vpp 100 Hz, 82 mA')
    .replace('326 V, 16.7 Vpp', '326 V, 16.7 Vpp 100 Hz, 82 mA')
    .replace('- C1: 6.5uF (out of circuit)\n', '');

  it('finds the ripple’s capacitance near what the meter says of C1, far from its marking', async () => {
    const { amplifier, findings } = await analyse(BY_RIPPLE);
    const worth = (phase: string) =>
      amplifier.phases
        .find((view) => view.phase === phase)
        ?.figures.find(({ subject, figure }) => subject === 'C1' && figure === 'effective-capacitance');
    // Computed for κ = 0.40: 6.1 µF; the straight-line bound is 10.2 µF; 6.5 µF was put in.
    const asFound = worth('as-found');
    expect(asFound?.low).toBeLessThan(6.1e-6);
    expect(asFound?.high).toBeGreaterThan(6.5e-6);
    expect(asFound?.high).toBeLessThan(10.2e-6);
    expect((worth('as-left')?.quantity.value ?? 0) / 32e-6).toBeCloseTo(1, 1);
    const loud = findings.filter(
      ({ severity, cleared }) => severity === 'error' || severity === 'warning' || cleared !== undefined,
    );
    expect(loud.map(({ rule, subject }) => `${rule} ${subject}`)).toEqual(['excess-ripple C1']);
  });

  it('is an error before anything is done about it', async () => {
    const untouched = BY_RIPPLE.slice(0, BY_RIPPLE.indexOf('## Work'));
    const said = (await findingsOf(untouched)).filter((line) => /^(error|warning)/.test(line));
    expect(said).toEqual([expect.stringContaining('error excess-ripple C1')]);
    const measured = TANSY.slice(0, TANSY.indexOf('## Work'));
    expect((await findingsOf(measured)).filter((line) => /^(error|warning)/.test(line))).toEqual([
      expect.stringContaining('error capacitance-low C1'),
    ]);
  });

  it('clears choke, dropper and the capacitors behind them: they take off what they should', async () => {
    const { amplifier } = await analyse(TANSY);
    for (const phase of ['as-found', 'as-left']) {
      const view = amplifier.phases.find((each) => each.phase === phase);
      const figure = (subject: string, name: string) =>
        view?.figures.find((each) => each.subject === subject && each.figure === name);
      // ω²LC − 1 = 125.3 and √(1 + (ωRC)²) = 138, at 100 Hz.
      expect(figure('L1', 'attenuation-by-parts')?.quantity.value).toBeCloseTo(125.3, 1);
      expect(figure('R20', 'attenuation-by-parts')?.quantity.value).toBeCloseTo(138.2, 1);
      for (const [subject, worth] of [
        ['C2', 32e-6],
        ['C3', 22e-6],
      ] as const) {
        expect(figure(subject, 'effective-capacitance')?.low).toBeLessThan(worth);
        expect(figure(subject, 'effective-capacitance')?.high).toBeGreaterThan(worth);
      }
    }
  });
});
