/**
 * Worked examples with known answers. Each row says where its answer is from: `published` was printed in a text book or
 * article and transcribed; `computed` was worked out separately from the formula of the source named, not by this code.
 * RDH4 is the Radiotron Designer's Handbook, 4th edition; its chapters are named so that a reader can check.
 */
import { describe, expect, test } from 'vitest';
import { anodeDissipation } from '../../server/electronics/anode-dissipation.ts';
import { anodeOutputImpedance } from '../../server/electronics/anode-output-impedance.ts';
import { bleedTime, largestBleeder } from '../../server/electronics/bleed-down.ts';
import { brightNetwork } from '../../server/electronics/bright-network.ts';
import { capacitorLife } from '../../server/electronics/capacitor-life.ts';
import { cathodeBypassShelf } from '../../server/electronics/cathode-bypass-shelf.ts';
import { triodeCathodeImpedance } from '../../server/electronics/cathode-impedance.ts';
import { classALimit } from '../../server/electronics/class-a-limit.ts';
import { classBSupplyCurrent } from '../../server/electronics/class-b-supply-current.ts';
import { coldStartVoltage } from '../../server/electronics/cold-start-voltage.ts';
import { parallelResistance, seriesResistance } from '../../server/electronics/combined-resistance.ts';
import { couplingCorner } from '../../server/electronics/coupling-corner.ts';
import { criticalChoke } from '../../server/electronics/critical-choke.ts';
import { voltageRatio } from '../../server/electronics/decibels.ts';
import { dissipationWithSignal } from '../../server/electronics/dissipation-with-signal.ts';
import { gridErrorEffect } from '../../server/electronics/grid-error-effect.ts';
import { heaterCurrent, heaterWindow } from '../../server/electronics/heater-budget.ts';
import { lcFilter } from '../../server/electronics/lc-filter.ts';
import { leakageResistance } from '../../server/electronics/leakage-resistance.ts';
import { feedbackFactor, withFeedback } from '../../server/electronics/negative-feedback.ts';
import { presenceShelf } from '../../server/electronics/presence-shelf.ts';
import { pushPullPower, pushPullSwing } from '../../server/electronics/push-pull-power.ts';
import { rcCorner } from '../../server/electronics/rc-corner.ts';
import { rcFilter } from '../../server/electronics/rc-filter.ts';
import { reflectedLoad, turnsRatio } from '../../server/electronics/reflected-load.ts';
import {
  powerFromCurrent,
  powerFromVoltage,
  powerFromVoltageAndCurrent,
} from '../../server/electronics/resistor-power.ts';
import { resonanceShelf } from '../../server/electronics/resonance-shelf.ts';
import type { Result } from '../../server/electronics/result.ts';
import type { ReservoirRipple } from '../../server/electronics/ripple.ts';
import { reservoirRipple } from '../../server/electronics/ripple.ts';
import { reservoirRippleCurrent } from '../../server/electronics/ripple-current.ts';
import { screenDissipation } from '../../server/electronics/screen-dissipation.ts';
import { seriesCapacitance } from '../../server/electronics/series-capacitors.ts';
import { seriesRcShunt } from '../../server/electronics/series-rc-shunt.ts';
import { shelfLevel } from '../../server/electronics/shelf-response.ts';
import { singleEndedPower, singleEndedSwing } from '../../server/electronics/single-ended-power.ts';
import { speakerVoltage } from '../../server/electronics/speaker-power.ts';
import { stageEfficiency } from '../../server/electronics/stage-efficiency.ts';
import { storedEnergy } from '../../server/electronics/stored-energy.ts';
import { triodeGain } from '../../server/electronics/triode-gain.ts';
import { triodeOptimumLoad } from '../../server/electronics/triode-optimum-load.ts';
import type { Hertz, Ohms } from '../../server/units/si.ts';
import {
  amperes,
  celsius,
  decibels,
  farads,
  henries,
  hertz,
  ohms,
  ratio,
  seconds,
  siemens,
  volts,
  watts,
} from '../../server/units/si.ts';

/** The answer; a refusal fails the row. */
function of<T>(result: Result<T>): T {
  if (!result.ok) throw new Error(`refused: ${result.reason}`);
  return result.value;
}

const exact = 1e-12;
/** Half of the last place that was printed. */
const to = (places: number) => ({ absolute: 0.5 * 10 ** -places });
const within = (absolute: number) => ({ absolute });
const percent = (share: number) => ({ relative: share / 100 });

type Tolerance = number | { readonly absolute: number } | { readonly relative: number };
type Row = readonly [
  what: string,
  source: string,
  computed: () => number,
  answer: number,
  tolerance: Tolerance,
];

function check(rows: readonly Row[]): void {
  test.each(rows)('%s [%s]', (_what, _source, computed, answer, tolerance) => {
    const relative =
      typeof tolerance === 'number' ? tolerance : 'relative' in tolerance ? tolerance.relative : 0;
    const absolute = typeof tolerance === 'object' && 'absolute' in tolerance ? tolerance.absolute : 0;
    const value = computed();
    const allowed = absolute + relative * Math.abs(answer);
    expect(Math.abs(value - answer), `${value}, expected ${answer}`).toBeLessThanOrEqual(allowed);
  });
}

const PRINTED = 'published, transcribed';
const CH7 = 'computed, RDH4 chapter 7';
const CH12 = 'computed, RDH4 chapter 12';
const CH13 = 'computed, RDH4 chapter 13';
const CH30 = 'computed, RDH4 chapter 30';
const CH31 = 'computed, RDH4 chapter 31';
const NODAL = 'computed by nodal analysis';
const DEFINITION = 'computed from the definition';

describe('the gain of a triode stage', () => {
  const load = of(parallelResistance([ohms(220_000), ohms(470_000)]));
  const at3k = (factor: number, resistance: number) =>
    of(
      triodeGain({ amplificationFactor: ratio(factor), anodeResistance: ohms(resistance), load: ohms(3000) }),
    );
  const stage = { amplificationFactor: ratio(100), anodeResistance: ohms(80_000), load };
  check([
    ['220 kΩ into a 470 kΩ grid leak is a load of 149.86 kΩ', PRINTED, () => load, 149_860, within(5)],
    ['µ 100, ra 80 kΩ: gain 65.2', PRINTED, () => of(triodeGain(stage)), 65.2, within(0.1)],
    ['12AT7 into 3 kΩ', PRINTED, () => at3k(60, 10_900), 12.9, within(0.05)],
    ['12AU7 into 3 kΩ', PRINTED, () => at3k(17, 7_700), 4.77, within(0.05)],
    ['12AV7 into 3 kΩ', PRINTED, () => at3k(41, 4_800), 15.8, within(0.05)],
    ['12AX7 into 3 kΩ', PRINTED, () => at3k(100, 80_000), 3.61, within(0.05)],
    [
      'with 3.3 kΩ in the cathode and no bypass',
      'formula published, number computed',
      () => of(triodeGain({ ...stage, unbypassedCathode: ohms(3300) })),
      26.6,
      within(0.1),
    ],
  ]);
});

describe('output transformers and output stages', () => {
  // A class B pair at full swing: the peak voltage on each side is the supply itself.
  const supply = volts(300);
  const sideLoad = 2000;
  const peak = amperes(supply / sideLoad);
  const fullSwing = of(pushPullPower(peak, ohms(4 * sideLoad)));
  const ideal = stageEfficiency({ output: fullSwing, supply, current: of(classBSupplyCurrent(peak)) });

  const pair = of(pushPullSwing(watts(17), ohms(8000)));
  const single = of(singleEndedSwing(watts(4.5), ohms(5000)));
  check([
    ['5 kΩ to 8 Ω is 25 : 1', PRINTED, () => of(turnsRatio(ohms(5000), ohms(8))), 25, exact],
    ['4 Ω at 16 : 1 is 1024 Ω', PRINTED, () => of(reflectedLoad(ratio(16), ohms(4))), 1024, exact],
    ['class B at full swing reaches π/4', PRINTED, () => of(ideal), Math.PI / 4, exact],
    ['an output triode wants twice its ra', PRINTED, () => of(triodeOptimumLoad(ohms(800))), 1600, exact],
    [
      'which ideally swings half its anode voltage and all its current: 25 %',
      PRINTED,
      () => {
        const output = of(singleEndedPower(volts(125), amperes(0.04)));
        return of(stageEfficiency({ output, supply: volts(250), current: amperes(0.04) }));
      },
      0.25,
      exact,
    ],
    ['17 W of two EL84 into 8 kΩ: each sees 2 kΩ', CH13, () => pair.sideLoad, 2000, exact],
    ['… peaks at 130.4 mA', CH13, () => pair.peakCurrent, 0.1304, percent(0.1)],
    ['… swings 260.8 V', CH13, () => pair.swing, 260.8, percent(0.1)],
    ['… leaves 39.2 V of 300 V', CH13, () => 300 - pair.swing, 39.2, percent(0.1)],
    [
      '… on 92 mA is an efficiency of 61.6 %',
      CH13,
      () => of(stageEfficiency({ output: watts(17), supply, current: amperes(0.092) })),
      0.616,
      percent(0.1),
    ],
    [
      '… heats each anode with 5.3 W',
      CH13,
      () => of(dissipationWithSignal({ supply, current: amperes(0.092), output: watts(17), valves: 2 })),
      5.3,
      percent(0.1),
    ],
    ['… left class A at 5.2 W', CH13, () => of(classALimit(amperes(0.036), ohms(8000))), 5.2, to(1)],
    ['4.5 W single-ended into 5 kΩ peaks at 42.4 mA', CH13, () => single.peakCurrent, 0.0424, percent(0.1)],
    ['… and 212 V', CH13, () => single.peakVoltage, 212, percent(0.1)],
    [
      '17 W in 8 Ω are 11.66 V',
      DEFINITION,
      () => of(speakerVoltage(watts(17), ohms(8))),
      11.66,
      within(0.01),
    ],
  ]);
});

describe('feedback', () => {
  const open = of(voltageRatio(decibels(60)));
  const closed = of(voltageRatio(decibels(40)));
  const nine = of(withFeedback(ratio(1000), ratio(0.009)));
  check([
    ['60 dB closed to 40 dB: 1 + βA is 10', PRINTED, () => of(feedbackFactor(open, closed)), 10, exact],
    ['gain 1000, β 0.009 closes to 100.00', CH7, () => nine.gain, 100, within(0.01)],
    ['… with 20.00 dB of feedback', CH7, () => nine.amount, 20, within(0.01)],
  ]);

  const presence = of(
    presenceShelf({
      gain: ratio(120),
      feedback: ohms(47_000),
      tail: ohms(4700),
      capacitance: farads(100e-9),
    }),
  );
  const half = of(
    presenceShelf({
      gain: ratio(120),
      feedback: ohms(47_000),
      tail: ohms(4700),
      capacitance: farads(100e-9),
      control: ohms(5000),
    }),
  );
  const at = (shelf: { zero: Hertz; pole: Hertz }, frequency: number) =>
    of(shelfLevel({ ...shelf, frequency: hertz(frequency) }));
  check([
    ['presence, 100 nF on the tail: gain below 10.08', NODAL, () => presence.lowGain, 10.08, percent(1)],
    ['… zero', NODAL, () => presence.zero, 372.5, percent(1)],
    ['… pole', NODAL, () => presence.pole, 4436, percent(1)],
    ['… lift', NODAL, () => presence.lift, 21.5, percent(1)],
    ['… at 1 kHz', NODAL, () => at(presence, 1000), 8.93, percent(1)],
    ['… at 3 kHz', NODAL, () => at(presence, 3000), 16.55, percent(1)],
    ['with 5 kΩ in series: zero', NODAL, () => half.zero, 171.6, percent(0.1)],
    ['… pole', NODAL, () => half.pole, 297, percent(0.1)],
    ['… lift', NODAL, () => half.lift, 4.76, percent(0.1)],
  ]);

  const bass = of(
    resonanceShelf({
      gain: ratio(120),
      feedback: ohms(47_000),
      tail: ohms(4700),
      control: ohms(1e6),
      capacitance: farads(4.7e-9),
    }),
  );
  check([
    ['resonance, 4.7 nF across 1 MΩ: gain of the bass', NODAL, () => bass.lowGain, 78.1, percent(1)],
    ['… gain above', NODAL, () => bass.highGain, 10.08, percent(1)],
    ['… lift', NODAL, () => bass.lift, 17.8, percent(1)],
    ['… zero', NODAL, () => bass.zero, 688.8, percent(1)],
    ['… pole', NODAL, () => bass.pole, 88.9, percent(1)],
    ['… at 100 Hz', NODAL, () => bass.lift + at(bass, 100), 14.33, percent(1)],
    ['… at 500 Hz', NODAL, () => bass.lift + at(bass, 500), 4.49, percent(1)],
  ]);
});

describe('corners and shelves of a 12AX7 stage', () => {
  const valve = { amplificationFactor: ratio(100), anodeResistance: ohms(62_500) };
  const load = of(parallelResistance([ohms(100_000), ohms(1e6)]));
  const cathodeImpedance = of(triodeCathodeImpedance({ ...valve, load }));
  const cathodeResistor = ohms(1500);
  const large = of(cathodeBypassShelf({ cathodeResistor, bypass: farads(25e-6), cathodeImpedance }));
  const small = of(cathodeBypassShelf({ cathodeResistor, bypass: farads(0.68e-6), cathodeImpedance }));
  check([
    ['resistance into the cathode', CH12, () => cathodeImpedance, 1518.9, percent(0.1)],
    [
      '… with 1.5 kΩ across it',
      CH12,
      () => of(parallelResistance([cathodeImpedance, cathodeResistor])),
      754.7,
      percent(0.1),
    ],
    ['25 µF: zero', CH12, () => large.zero, 4.244, percent(0.1)],
    ['… pole', CH12, () => large.pole, 8.435, percent(0.1)],
    ['… step', CH12, () => large.step, 5.97, percent(0.1)],
    ['… half of the step', CH12, () => large.halfStep, 5.98, percent(0.1)],
    [
      '… gain without it',
      CH12,
      () => of(triodeGain({ ...valve, load, unbypassedCathode: cathodeResistor })),
      29.82,
      percent(0.1),
    ],
    ['… gain with it', CH12, () => of(triodeGain({ ...valve, load })), 59.26, percent(0.1)],
    ['0.68 µF: zero', CH12, () => small.zero, 156.0, percent(0.1)],
    ['… pole', CH12, () => small.pole, 310.1, percent(0.1)],
    ['… half of the step', CH12, () => small.halfStep, 220, percent(0.1)],
  ]);

  const source = of(anodeOutputImpedance({ ...valve, anodeLoad: ohms(100_000) }));
  const coupling = (capacitance: number, leak: number) =>
    of(couplingCorner({ capacitance: farads(capacitance), source, load: ohms(leak) }));
  const bare = (capacitance: number, leak: Ohms) => of(rcCorner(leak, farads(capacitance)));
  check([
    ['100 kΩ with 62.5 kΩ across is a source of 38.46 kΩ', CH12, () => source, 38_460, percent(0.1)],
    ['22 nF into 1 MΩ', CH12, () => coupling(22e-9, 1e6), 6.966, percent(0.1)],
    ['… if the source is left out', CH12, () => bare(22e-9, ohms(1e6)), 7.234, percent(0.1)],
    ['100 nF into 220 kΩ', CH12, () => coupling(100e-9, 220_000), 6.158, percent(0.1)],
    ['… if the source is left out', CH12, () => bare(100e-9, ohms(220_000)), 7.234, percent(0.1)],
  ]);

  const nodeResistance = of(parallelResistance([source, ohms(1e6)]));
  const shunt = of(
    seriesRcShunt({ nodeResistance, seriesResistor: ohms(47_000), capacitance: farads(470e-12) }),
  );
  const pot = { upper: ohms(900_000), lower: ohms(100_000), capacitance: farads(120e-12) };
  const bright = of(brightNetwork(pot));
  const tamed = of(brightNetwork({ ...pot, series: ohms(150_000) }));
  check([
    ['47 kΩ and 470 pF across 37.04 kΩ: pole', NODAL, () => shunt.pole, 4029.5, percent(0.1)],
    ['… zero', NODAL, () => shunt.zero, 7204.8, percent(0.1)],
    ['… step', NODAL, () => shunt.step, -5.05, percent(0.1)],
    ['120 pF across a 1 MΩ pot at 10 %: zero', NODAL, () => bright.zero, 1473.7, percent(0.1)],
    ['… pole', NODAL, () => bright.pole, 14_737, percent(0.1)],
    ['… step', NODAL, () => bright.step, 20, percent(0.1)],
    ['with 150 kΩ in series: zero', NODAL, () => tamed.zero, 1263, percent(0.1)],
    ['… pole', NODAL, () => tamed.pole, 5526, percent(0.1)],
    ['… gain below', NODAL, () => 20 * Math.log10(tamed.lowGain), -20, percent(0.1)],
    ['… gain above', NODAL, () => 20 * Math.log10(tamed.highGain), -7.18, percent(0.1)],
  ]);
});

describe('the supply', () => {
  const load = { current: amperes(0.1), reservoir: farads(47e-6) } as const;
  const at = (mains: number, rectification: 'full-wave' | 'half-wave'): ReservoirRipple =>
    of(reservoirRipple({ ...load, mains: hertz(mains), rectification }));
  const first = of(rcFilter({ resistance: ohms(1000), capacitance: farads(47e-6), frequency: hertz(100) }));
  const second = of(
    rcFilter({ resistance: ohms(10_000), capacitance: farads(22e-6), frequency: hertz(100) }),
  );
  const choke = of(lcFilter({ inductance: henries(10), capacitance: farads(47e-6), frequency: hertz(100) }));
  check([
    ['100 mA off 47 µF, full wave 50 Hz', CH31, () => at(50, 'full-wave').peakToPeak, 21.28, percent(0.1)],
    ['… as a sawtooth', CH31, () => at(50, 'full-wave').sawtoothRms, 6.14, percent(0.1)],
    ['… its fundamental', CH31, () => at(50, 'full-wave').fundamentalRms, 4.79, percent(0.1)],
    [
      '… which is √2·I·Xc at 100 Hz',
      CH31,
      () => at(50, 'full-wave').fundamentalRms,
      (Math.SQRT2 * 0.1) / (2 * Math.PI * 100 * 47e-6),
      exact,
    ],
    ['… at 60 Hz', CH31, () => at(60, 'full-wave').peakToPeak, 17.73, percent(0.1)],
    ['… half wave at 50 Hz', CH31, () => at(50, 'half-wave').peakToPeak, 42.55, percent(0.1)],
    ['1 kΩ into 47 µF at 100 Hz', CH31, () => first.level, -29.41, within(0.01)],
    ['… as a ratio', CH31, () => 1 / first.attenuation, 0.03384, to(5)],
    ['10 kΩ into 22 µF at 100 Hz', CH31, () => second.level, -42.81, within(0.01)],
    ['… as a ratio', CH31, () => 1 / second.attenuation, 0.00723, to(5)],
    ['10 H into 47 µF at 100 Hz', CH31, () => choke.level, -45.32, within(0.01)],
    ['… as a ratio', CH31, () => 1 / choke.attenuation, 0.005419, to(6)],
    ['… its own resonance', CH31, () => choke.resonance, 7.34, to(2)],
    ['5 kΩ behind a choke, 50 Hz', CH30, () => of(criticalChoke(ohms(5000), hertz(50))), 5.31, percent(1)],
    ['… 60 Hz', CH30, () => of(criticalChoke(ohms(5000), hertz(60))), 4.42, percent(1)],
  ]);

  const start = (rise: number, mains: number) =>
    of(
      coldStartVoltage({
        winding: volts(350),
        rise: ratio(rise),
        mains: ratio(mains),
        circuit: 'centre-tap',
      }),
    );
  check([
    ['2 × 350 V without load', CH30, () => start(0.1, 1), 544.5, percent(0.1)],
    ['… and at high mains', CH30, () => start(0.1, 1.1), 598.9, percent(0.1)],
    ['… by the loaded figure alone', CH30, () => start(0, 1), 495, percent(0.1)],
    [
      'a rectifier passing 147.8 mA rms for 82 mA leaves 123 mA in its reservoir',
      'computed by time-stepping of a 2 × 280 V supply through a GZ34',
      () => of(reservoirRippleCurrent(amperes(0.1478), amperes(0.082))),
      0.123,
      percent(0.1),
    ],
  ]);
});

describe('stored charge', () => {
  const bank = { capacitance: farads(100e-6), resistance: ohms(220_000), from: volts(450) };
  const string = {
    capacitance: of(seriesCapacitance([farads(100e-6), farads(100e-6)])),
    resistance: of(seriesResistance([ohms(220_000), ohms(220_000)])),
    from: volts(500),
  };
  const down = (from: typeof bank, voltage: number) => of(bleedTime({ ...from, to: volts(voltage) }));
  check([
    ['100 µF at 450 V', DEFINITION, () => of(storedEnergy(farads(100e-6), volts(450))), 10.125, exact],
    ['47 µF at 400 V', DEFINITION, () => of(storedEnergy(farads(47e-6), volts(400))), 3.76, exact],
    ['220 µF at 500 V', DEFINITION, () => of(storedEnergy(farads(220e-6), volts(500))), 27.5, exact],
    ['100 µF by 220 kΩ from 450 to 60 V', DEFINITION, () => down(bank, 60), 44.3, within(0.1)],
    ['… to 30 V', DEFINITION, () => down(bank, 30), 59.6, within(0.1)],
    ['… to 10 V', DEFINITION, () => down(bank, 10), 83.7, within(0.1)],
    ['… heat in the bleeder', DEFINITION, () => of(powerFromVoltage(volts(450), ohms(220_000))), 0.92, to(2)],
    ['two 100 µF in series', DEFINITION, () => string.capacitance, 50e-6, exact],
    ['… from 500 to 60 V', DEFINITION, () => down(string, 60), 46.6, within(0.1)],
    [
      'largest bleeder from 500 to 60 V in 60 s',
      DEFINITION,
      () =>
        of(
          largestBleeder({ capacitance: farads(100e-6), time: seconds(60), from: volts(500), to: volts(60) }),
        ),
      283_000,
      percent(1),
    ],
  ]);
});

describe('valves at rest, heaters, resistors, capacitors', () => {
  // Two EL34 on 130 Ω from 375 V: the published point of their maker, which stands above the rated 25 W.
  const cathodeCurrent = amperes(86.5e-3);
  const cathode = volts(2 * cathodeCurrent * 130);
  const screenCurrent = amperes(11.5e-3);
  const screen = volts(375 - 2 * screenCurrent * 470);
  const el34 = { anode: volts(375), cathode, cathodeCurrent, screenCurrent };
  const heaters = of(
    heaterCurrent([
      { current: amperes(0.3), valves: 4 },
      { current: amperes(0.9), valves: 2 },
    ]),
  );
  const life = of(capacitorLife({ rated: seconds(5000 * 3600), ratedAt: celsius(105), at: celsius(65) }));
  const leak = of(leakageResistance({ driver: volts(165), grid: volts(2.4), gridLeak: ohms(470_000) }));
  check([
    ['two EL34 on 130 Ω: cathode', DEFINITION, () => cathode, 22.49, percent(1)],
    ['… anode dissipation of each', DEFINITION, () => of(anodeDissipation(el34)), 26.4, percent(1)],
    [
      '… screen dissipation of each, behind 470 Ω for both',
      DEFINITION,
      () => of(screenDissipation({ screen, cathode, screenCurrent })),
      3.93,
      percent(1),
    ],
    [
      '… heat in the resistor',
      DEFINITION,
      () => of(powerFromCurrent(amperes(0.173), ohms(130))),
      3.89,
      percent(1),
    ],
    ['four 12AX7 and two 6L6GC draw 3.0 A', DEFINITION, () => heaters, 3, exact],
    ['… 18.9 W', DEFINITION, () => of(powerFromVoltageAndCurrent(volts(6.3), heaters)), 18.9, exact],
    ['… may have 5.67 V', DEFINITION, () => of(heaterWindow(volts(6.3))).lowest, 5.67, exact],
    ['… to 6.93 V', DEFINITION, () => of(heaterWindow(volts(6.3))).highest, 6.93, exact],
    [
      '100 kΩ at 0.86 mA',
      DEFINITION,
      () => of(powerFromCurrent(amperes(0.86e-3), ohms(1e5))),
      0.074,
      percent(1),
    ],
    ['1 kΩ at 22 mA', DEFINITION, () => of(powerFromCurrent(amperes(22e-3), ohms(1000))), 0.484, percent(1)],
    [
      '5000 h at 105 °C are 80 000 h at 65 °C',
      'computed, ten-degree rule',
      () => life / 3600,
      80_000,
      percent(1),
    ],
    ['+2.4 V on 470 kΩ: leak current', DEFINITION, () => leak.current, 5.11e-6, percent(1)],
    ['… from 165 V: 31.8 MΩ', DEFINITION, () => leak.resistance, 31.8e6, percent(1)],
  ]);

  // EL84: 11.3 mA/V at 48 mA, screen 5.5 mA.
  const el84 = {
    transconductance: siemens(11.3e-3),
    screenToAnode: ratio(5.5 / 48),
    error: volts(2),
  };
  const pair = of(gridErrorEffect({ ...el84, cathodeResistor: ohms(130), valves: 2 }));
  const alone = of(gridErrorEffect({ ...el84, cathodeResistor: ohms(135) }));
  check([
    ['+2 V on one grid of two EL84 on 130 Ω', NODAL, () => pair.faulty, 15.5e-3, percent(1)],
    ['… its partner', NODAL, () => pair.others, -9.7e-3, percent(1)],
    ['… the cathodes', NODAL, () => pair.cathode, 0.77, percent(1)],
    ['+2 V on a single EL84 on 135 Ω', NODAL, () => alone.faulty, 9.3e-3, percent(1)],
  ]);
});
