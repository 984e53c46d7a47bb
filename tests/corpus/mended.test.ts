/** The cases in which the corpus once caught a rule: a part accused that had nothing, or a fault that went unnamed. */
import { describe, expect, it } from 'vitest';
import { analyse } from '../support/check.ts';
import { isLoud } from './sick.ts';

const SUPPLY = [
  'T1 = mains 290-0-290V 300mA 6.3V 4A 5V 3A',
  'V9 = GZ34, T1 to B+1',
  'C11 = 47uF 550V electrolytic, B+1 to gnd',
] as const;

const STAGE = [
  'V1A = 12AX7',
  'R4 = 100k 1W carbon film, V1A.a to B+4',
  'R3 = 1k5 0.5W carbon film, V1A.k to gnd',
  'C2 = 22uF 16V electrolytic, V1A.k to gnd',
  'R1 = 1M 0.5W carbon film, V1A.g to gnd',
] as const;

/** Warnings and errors of a job sheet of these lines, as `rule subject`. */
async function alarms(...lines: readonly string[]): Promise<readonly string[]> {
  const text = `---\nmains: 230 V 50 Hz\n---\n# Job\n\n## As found\n\n${lines.map((line) => `- ${line}`).join('\n')}\n`;
  const { findings } = await analyse(text);
  return findings.filter(isLoud).map(({ rule, subject }) => `${rule} ${subject}`);
}

describe('nothing is accused that has nothing', () => {
  it('a screen whose current is the small difference of two coarse readings', async () => {
    // Truly 1.23 W of 2 W: the drop of 2 V shows as 3 V on a meter that counts whole volts there.
    const found = await alarms(
      'V3 = EL84',
      'R19 = 220R 5W wirewound, V3.k to gnd',
      'R21 = 470R 0.5W carbon film, B+2 to V3.g2',
      'B+2: 288 V',
      'V3: a 287, g2 285, g 0, k 9.21',
    );
    expect(found).toEqual([]);
  });

  it('the parts round a cathode that its bypass shorts', async () => {
    expect(await alarms(...STAGE, 'B+4: 240 V', 'V1A: a 104.6, g 0, k 0.003')).toEqual(['cathode-low V1A']);
  });

  it('the stages behind a rail that was read at the wrong point', async () => {
    const found = await alarms(
      ...STAGE,
      'R24 = 22k 0.5W carbon film, B+3 to B+4',
      'B+3: 257 V',
      'B+4: 146.3 V',
      'V1A: a 146.3, g 0, k 1.185',
    );
    expect(found).toEqual(['wrong-point B+4']);
    // Less far off, but it is the very volts of the anode.
    const twin = await alarms(
      ...STAGE,
      'V1B = 12AX7',
      'R7 = 100k 1W carbon film, V1B.a to B+4',
      'R6 = 1k5 0.5W carbon film, V1B.k to gnd',
      'R24 = 22k 0.5W carbon film, B+3 to B+4',
      'B+3: 291 V',
      'B+4: 172.4 V',
      'V1A: a 172.4, g 0, k 1.296',
      'V1B: a 169.4, g 0, k 1.377',
    );
    expect(twin).toEqual(['wrong-point B+4']);
  });

  it('what the wrong one of two values contradicts', async () => {
    const found = await alarms(...STAGE, 'R3 = 2k7 0.5W', 'B+4: 240 V', 'V1A: a 150, g 0, k 1.34');
    expect(found).toEqual(['two-values R3']);
  });

  it('what a slipped prefix would overload', async () => {
    const pair = [
      'V3, V4 = 5881',
      'R19, R20 = 330R 5W wirewound, V3.k V4.k to gnd',
      'T2 = output 6k6 : 8R 25W, V3.a V4.a, ct B+1',
      'B+1: 333 V',
      'V3: a 329, g2 327, g 0, k 23.0',
      'V4: a 329, g2 327, g 0, k 23.0',
      'V3: 69.7 A',
    ] as const;
    expect(await alarms(...SUPPLY, ...pair)).toEqual(['unit-slip V3']);
    const stage = await alarms(
      ...STAGE,
      'B+4: 240 V',
      'V1A: a 150, g 0, k 1.34',
      'R4 out of circuit: R4: 102R',
    );
    expect(stage).toEqual(['unit-slip R4']);
    const dropper = await alarms(
      ...STAGE,
      'R24 = 22k 0.5W carbon film, B+3 to B+4',
      'B+3: 257 V',
      'B+4: 240 V',
      'V1A: a 150, g 0, k 1.34',
      'R24 out of circuit: R24: 22R',
    );
    expect(dropper).toEqual(['unit-slip R24']);
  });

  it('what rests on a reading with a digit too many', async () => {
    const found = await alarms(
      ...SUPPLY,
      'V3, V4 = 5881',
      'R19, R20 = 330R 5W wirewound, V3.k V4.k to gnd',
      'R21, R22 = 1k 5W wirewound, B+2 to V3.g2 V4.g2',
      'L1 = 10H 200R, B+1 to B+2',
      'R23 = 10k 2W metal film, B+2 to B+3',
      'R15 = 82k 1W, B+3 to V2A.a',
      'T2 = output 6k6 : 8R 25W, V3.a V4.a, ct B+1',
      'B+1: 333 V',
      'B+2: 3931 V',
      'B+3: 291 V',
      'V3: a 329, g2 327, g 0, k 23.0',
      'V4: a 329, g2 327, g 0, k 23.0',
    );
    expect(found).toEqual(['impossible-reading B+2']);
  });

  it('the rectifier, for a current that cannot pass an open choke', async () => {
    const found = await alarms(
      ...SUPPLY,
      'L1 = 10H 200R, B+1 to B+2',
      'R20 = 10k 1W, B+2 to gnd',
      'B+1: 390 V',
      'B+2: 0 V',
      'L1: open',
    );
    expect(found).toEqual(['coil-open L1']);
  });

  it('the valve of a screen that nothing feeds, by the volts that rise without its load', async () => {
    const found = await alarms(
      'V3 = EL84',
      'R19 = 220R 5W wirewound, V3.k to gnd',
      'R21 = 470R 0.5W carbon film, B+2 to V3.g2',
      'R20 = 1k 5W wirewound, B+1 to B+2',
      'T2 = output 5k2 : 8R 8W, V3.a, B+1',
      ...SUPPLY,
      'B+1: 346 V',
      'B+2: 344 V',
      'V3: a 346, g2 0, g 0, k 0',
    );
    expect(found).toEqual(['screen-open R21']);
  });

  it('the valve of a cathode resistor that has drifted, its load measured good', async () => {
    const found = await alarms(
      ...STAGE,
      'B+4: 240 V',
      'V1A: a 178, g 0, k 2.04',
      'R4 out of circuit: R4: 101k',
    );
    expect(found).toEqual(['contradictory-readings R3']);
  });
});

describe('a fault is named', () => {
  it('an open anode load, not the cathode that gets no current from it', async () => {
    expect(await alarms(...STAGE, 'B+4: 240 V', 'V1A: a 0, g 0, k 0')).toEqual(['contradictory-readings R4']);
  });

  it('a dead stage whose large load drops a little by the meter alone', async () => {
    const found = await alarms(
      'V1A = 12AX7',
      'R4 = 220k 1W carbon film, V1A.a to B+4',
      'R3 = 1k5 0.5W carbon film, V1A.k to gnd',
      'B+4: 290 V',
      'V1A: a 283, k 0',
    );
    expect(found).toEqual(['no-conduction V1A']);
  });

  it('heaters far too low for their valves, however near a rectifier’s 5 V', async () => {
    expect(await alarms('mains: 230 V', 'V3 = EL84', 'heaters: 5.32 V')).toEqual([
      'heater-voltage-off heaters',
    ]);
  });

  it('a leaking capacitor from the lower output of a cathodyne', async () => {
    const found = await alarms(
      'V2A = 12AX7',
      'R11 = 1k5 0.5W, V2A.k to foot',
      'R12 = 56k 1W, foot to gnd',
      'R15 = 56k 1W, V2A.a to B+3',
      'V4 = 6V6GT',
      'C10 = 22n 630V film, foot to V4.g',
      'R18 = 220k 0.5W, V4.g to gnd',
      'foot: 49.4 V',
      'V4: g +4.9',
    );
    expect(found).toEqual(['leaky-coupling C10']);
  });

  it('diodes in series that together hold off too little, and what stands behind them cold', async () => {
    const found = await alarms(
      'T1 = mains 275-0-275V 250mA 6.3V 4A',
      'D1 + D2 = 1N4003, T1 to B+1',
      'D3 + D4 = 1N4007, T1 to B+1',
      'C11 = 47uF 400V electrolytic, B+1 to gnd',
    );
    expect(found).toEqual(['diode-over-voltage D1', 'cold-start-over-voltage C11']);
  });
});
