/**
 * What a technician would expect of the calculations: going there and back again, more of this means less of that,
 * and two ways to one answer.
 */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { anodeDissipation } from '../../server/electronics/anode-dissipation.ts';
import { anodeOutputImpedance } from '../../server/electronics/anode-output-impedance.ts';
import { biasRange } from '../../server/electronics/bias-supply.ts';
import { bleedTime, largestBleeder, voltageAfterBleeding } from '../../server/electronics/bleed-down.ts';
import { brightNetwork } from '../../server/electronics/bright-network.ts';
import { capacitorLife } from '../../server/electronics/capacitor-life.ts';
import { capacitorMargin, capacitorVoltage } from '../../server/electronics/capacitor-margin.ts';
import { cathodeBypassShelf } from '../../server/electronics/cathode-bypass-shelf.ts';
import { cathodeFollower } from '../../server/electronics/cathode-follower.ts';
import { triodeCathodeImpedance } from '../../server/electronics/cathode-impedance.ts';
import { cathodyneGain } from '../../server/electronics/cathodyne.ts';
import { classALimit } from '../../server/electronics/class-a-limit.ts';
import { coldStartVoltage } from '../../server/electronics/cold-start-voltage.ts';
import { parallelResistance, seriesResistance } from '../../server/electronics/combined-resistance.ts';
import { couplingCorner } from '../../server/electronics/coupling-corner.ts';
import { voltageDecibels, voltageRatio } from '../../server/electronics/decibels.ts';
import { dissipationWithSignal } from '../../server/electronics/dissipation-with-signal.ts';
import { dividedVoltage, divider } from '../../server/electronics/divider.ts';
import { gridErrorEffect } from '../../server/electronics/grid-error-effect.ts';
import { gridVoltageFromCurrent, gridVoltageFromLeak } from '../../server/electronics/grid-leak-voltage.ts';
import { heaterCurrent } from '../../server/electronics/heater-budget.ts';
import { mainsFuse } from '../../server/electronics/inrush-fuse.ts';
import { lcFilter } from '../../server/electronics/lc-filter.ts';
import { leakageResistance } from '../../server/electronics/leakage-resistance.ts';
import { loadLineCurrent, signalLineCurrent } from '../../server/electronics/load-line.ts';
import { meterLoadingLoss, unloadedVoltage } from '../../server/electronics/meter-loading.ts';
import { mismatch } from '../../server/electronics/mismatch.ts';
import {
  feedbackFactor,
  outputImpedanceWithFeedback,
  withFeedback,
} from '../../server/electronics/negative-feedback.ts';
import { currentThrough, impliedResistance, voltageAcross } from '../../server/electronics/ohmic.ts';
import { presenceShelf } from '../../server/electronics/presence-shelf.ts';
import { pushPullPower, pushPullSwing } from '../../server/electronics/push-pull-power.ts';
import { rcCorner } from '../../server/electronics/rc-corner.ts';
import { peakInverseVoltage } from '../../server/electronics/rectifier-check.ts';
import { rectifierCurrent, rectifierDrop } from '../../server/electronics/rectifier-drop.ts';
import { reflectedByTap, reflectedLoad, turnsRatio } from '../../server/electronics/reflected-load.ts';
import { deratedPower } from '../../server/electronics/resistor-derating.ts';
import {
  powerFromCurrent,
  powerFromVoltage,
  powerFromVoltageAndCurrent,
} from '../../server/electronics/resistor-power.ts';
import { criticalResistance, workingVoltage } from '../../server/electronics/resistor-working-voltage.ts';
import type { Result } from '../../server/electronics/result.ts';
import { refused } from '../../server/electronics/result.ts';
import { capacitanceFromRipple, reservoirRipple } from '../../server/electronics/ripple.ts';
import { reservoirRippleCurrent } from '../../server/electronics/ripple-current.ts';
import { screenCurrent, screenDissipation } from '../../server/electronics/screen-dissipation.ts';
import { selfBias } from '../../server/electronics/self-bias.ts';
import { worstSeriesShare } from '../../server/electronics/series-capacitors.ts';
import { seriesRcShunt } from '../../server/electronics/series-rc-shunt.ts';
import { shelfLevel } from '../../server/electronics/shelf-response.ts';
import { singleEndedPower, singleEndedSwing } from '../../server/electronics/single-ended-power.ts';
import { speakerPower, speakerVoltage } from '../../server/electronics/speaker-power.ts';
import { impliedAnodeResistance, triodeGain } from '../../server/electronics/triode-gain.ts';
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

function of<T>(result: Result<T>): T {
  if (!result.ok) throw new Error(`refused: ${result.reason}`);
  return result.value;
}

/** A positive number between two bounds. */
const between = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const voltage = between(1, 600).map(volts);
const current = between(1e-4, 0.3).map(amperes);
const resistance = between(10, 2e6).map(ohms);
const capacitance = between(1e-12, 1e-3).map(farads);
const settings = { numRuns: 100, seed: 1934 };

function same(value: number, expected: number): void {
  expect(Math.abs(value - expected)).toBeLessThanOrEqual(
    1e-9 * Math.max(Math.abs(expected), Number.MIN_VALUE),
  );
}

describe('there and back again', () => {
  test("Ohm's law in its three forms, and power in its three", () => {
    fc.assert(
      fc.property(voltage, resistance, (v, r) => {
        const i = of(currentThrough(v, r));
        same(of(voltageAcross(i, r)), v);
        same(of(impliedResistance(v, i)), r);
        same(of(powerFromCurrent(i, r)), of(powerFromVoltage(v, r)));
        same(of(powerFromVoltageAndCurrent(v, i)), of(powerFromVoltage(v, r)));
      }),
      settings,
    );
  });

  test('bleeding: time, voltage left and bleeder agree', () => {
    fc.assert(
      fc.property(capacitance, resistance, between(61, 600), (c, r, from) => {
        const bank = { capacitance: c, resistance: r, from: volts(from) };
        const time = of(bleedTime({ ...bank, to: volts(60) }));
        same(of(voltageAfterBleeding({ ...bank, time })), 60);
        same(of(largestBleeder({ ...bank, time, to: volts(60) })), r);
      }),
      settings,
    );
  });

  test('leakage: the grid that a leak lifts gives the leak back, on 0 V and on a bias rail', () => {
    fc.assert(
      fc.property(
        between(50, 400),
        between(1e5, 1e6),
        between(1e6, 1e9),
        between(-60, 0),
        (va, rg, leak, rail) => {
          const coupling = { driver: volts(va), gridLeak: ohms(rg), gridSupply: volts(rail) };
          const grid = of(gridVoltageFromLeak({ ...coupling, leakage: ohms(leak) }));
          const found = of(leakageResistance({ ...coupling, grid }));
          expect(Math.abs(found.resistance / leak - 1)).toBeLessThan(1e-6);
          expect(of(gridVoltageFromCurrent({ ...coupling, current: found.current }))).toBeCloseTo(grid, 9);
        },
      ),
      settings,
    );
  });

  test('ripple: the capacitance that a ripple implies is the one that made it', () => {
    const rectification = fc.constantFrom('full-wave' as const, 'half-wave' as const);
    fc.assert(
      fc.property(current, between(1e-6, 1e-3), between(0, 0.6), rectification, (i, c, share, wave) => {
        const supply = { current: i, mains: hertz(50), rectification: wave, conduction: ratio(share) };
        const { peakToPeak } = of(reservoirRipple({ ...supply, reservoir: farads(c) }));
        same(of(capacitanceFromRipple({ ...supply, peakToPeak })), c);
      }),
      settings,
    );
  });

  test('transformers, loudspeakers, output stages, rectifiers, decibels, meters, gain', () => {
    fc.assert(
      fc.property(between(1, 1e4), between(1, 100), (primary, secondary) => {
        const n = of(turnsRatio(ohms(primary), ohms(secondary)));
        same(of(reflectedLoad(n, ohms(secondary))), primary);
        same(
          of(reflectedByTap({ primary: ohms(primary), tap: ohms(secondary), load: ohms(secondary) })),
          primary,
        );
        same(of(speakerPower(of(speakerVoltage(watts(primary), ohms(secondary))), ohms(secondary))), primary);
        const pair = of(pushPullSwing(watts(secondary), ohms(primary)));
        same(of(pushPullPower(pair.peakCurrent, ohms(primary))), secondary);
        const single = of(singleEndedSwing(watts(secondary), ohms(primary)));
        same(of(singleEndedPower(single.peakVoltage, single.peakCurrent)), secondary);
        same(
          of(rectifierCurrent(of(rectifierDrop(amperes(secondary / 1000), 3e-3)), 3e-3)),
          secondary / 1000,
        );
        same(of(voltageRatio(of(voltageDecibels(ratio(primary))))), primary);
      }),
      settings,
    );
    fc.assert(
      fc.property(voltage, resistance, (v, source) => {
        const meter = ohms(10e6);
        const read = volts(v * (1 - of(meterLoadingLoss(source, meter))));
        same(of(unloadedVoltage({ read, source, meter })), v);
        const valve = { amplificationFactor: ratio(100), load: ohms(90_909) };
        const gain = of(triodeGain({ ...valve, anodeResistance: source }));
        expect(Math.abs(of(impliedAnodeResistance({ ...valve, gain })) / source - 1)).toBeLessThan(1e-6);
      }),
      settings,
    );
  });
});

describe('more of this means less of that', () => {
  test('a larger capacitor or a larger source lowers a coupling corner, and leaving the source out never lowers it', () => {
    fc.assert(
      fc.property(capacitance, resistance, resistance, between(1.01, 10), (c, source, load, more) => {
        const corner = of(couplingCorner({ capacitance: c, source, load }));
        expect(of(couplingCorner({ capacitance: farads(c * more), source, load }))).toBeLessThan(corner);
        expect(of(couplingCorner({ capacitance: c, source: ohms(source * more), load }))).toBeLessThan(
          corner,
        );
        expect(of(rcCorner(load, c))).toBeGreaterThanOrEqual(corner);
      }),
      settings,
    );
  });

  test('screen current takes from the anode dissipation, and the anode counts from the cathode', () => {
    const valve = { anode: volts(331), cathode: volts(19.4), cathodeCurrent: amperes(38e-3) };
    const whole = of(anodeDissipation(valve));
    expect(of(anodeDissipation({ ...valve, screenCurrent: amperes(2.5e-3) }))).toBeLessThan(whole);
    expect(whole).toBeLessThan(331 * 38e-3);
  });

  test('ripple falls with capacitance and with conduction; half wave has twice as much', () => {
    const supply = { current: amperes(0.082), mains: hertz(50), rectification: 'full-wave' as const };
    const at = (c: number, share: number) =>
      of(reservoirRipple({ ...supply, reservoir: farads(c), conduction: ratio(share) })).peakToPeak;
    expect(at(47e-6, 0)).toBeLessThan(at(32e-6, 0));
    expect(at(32e-6, 0.36)).toBeLessThan(at(32e-6, 0));
    const half = of(reservoirRipple({ ...supply, rectification: 'half-wave', reservoir: farads(32e-6) }));
    same(half.peakToPeak, 2 * at(32e-6, 0));
    expect(half.frequency).toBe(50);
  });

  test('a resistor keeps its rating up to 70 °C and loses it in a straight line', () => {
    const at = (t: number) =>
      of(
        deratedPower({
          rated: watts(2),
          surroundings: celsius(t),
          fullUpTo: celsius(70),
          nothingAt: celsius(155),
        }),
      );
    expect([at(-10), at(25), at(70)]).toEqual([2, 2, 2]);
    same(at(112.5), 1);
    expect([at(155), at(300)]).toEqual([0, 0]);
  });

  test('the voltage a resistor may stand is limited by its body above the critical resistance', () => {
    const critical = of(criticalResistance(watts(0.5), volts(350)));
    same(critical, 245_000);
    const stands = (r: number) =>
      of(workingVoltage({ rated: watts(0.5), resistance: ohms(r), body: volts(350) }));
    expect(stands(critical * 0.99)).toBeLessThan(350);
    expect(stands(critical * 2)).toBe(350);
  });

  test('an electrolytic lives twice as long ten degrees cooler, and never beyond 15 years', () => {
    const life = (t: number) =>
      of(capacitorLife({ rated: seconds(2000 * 3600), ratedAt: celsius(85), at: celsius(t) }));
    same(life(65), 2 * life(75));
    const eased = {
      rated: seconds(2000 * 3600),
      ratedAt: celsius(85),
      at: celsius(65),
      voltageFactor: ratio(1.5),
    };
    same(of(capacitorLife(eased)), 1.5 * life(65));
    const fifteen = 15 * 365.25 * 24 * 3600;
    const long = capacitorLife({ rated: seconds(10_000 * 3600), ratedAt: celsius(105), at: celsius(45) });
    expect(of(long)).toBe(fifteen);
  });

  test('feedback never raises the gain; presence never lifts beyond 1 + Aβ nor above the open gain', () => {
    fc.assert(
      fc.property(between(1, 1e4), between(0, 1), (gain, share) => {
        expect(of(withFeedback(ratio(gain), ratio(share))).gain).toBeLessThanOrEqual(gain);
      }),
      settings,
    );
    fc.assert(
      fc.property(between(10, 1000), resistance, resistance, between(0, 1e5), (gain, rf, rt, rp) => {
        const shelf = of(
          presenceShelf({
            gain: ratio(gain),
            feedback: rf,
            tail: rt,
            capacitance: farads(1e-7),
            control: ohms(rp),
          }),
        );
        const factor = of(withFeedback(ratio(gain), ratio(rt / (rt + rf)))).factor;
        expect(shelf.lift).toBeLessThanOrEqual(20 * Math.log10(factor) + 1e-9);
        expect(shelf.highGain).toBeLessThanOrEqual(gain * (1 + 1e-12));
        expect(shelf.zero).toBeLessThanOrEqual(shelf.pole);
        // Corners and heights describe one and the same curve.
        same(shelf.pole / shelf.zero, shelf.highGain / shelf.lowGain);
      }),
      settings,
    );
  });

  test('a cathode resistor of its own hides a leak most, a shared one less, fixed bias not at all', () => {
    const valve = { transconductance: siemens(11.3e-3), screenToAnode: ratio(0.11), error: volts(2) };
    const own = of(gridErrorEffect({ ...valve, cathodeResistor: ohms(270) }));
    const shared = of(gridErrorEffect({ ...valve, cathodeResistor: ohms(135), valves: 2 }));
    const fixed = of(gridErrorEffect(valve));
    expect(own.faulty).toBeLessThan(shared.faulty);
    expect(shared.faulty).toBeLessThan(fixed.faulty);
    expect(shared.others).toBeLessThan(0);
    expect(fixed.cathode).toBe(0);
    // What the cathode rises by is what both currents together put through the resistor.
    same(shared.cathode, (shared.faulty + shared.others) * 135);
  });
});

describe('two ways to one answer', () => {
  const valve = { amplificationFactor: ratio(100), anodeResistance: ohms(62_500) };

  test('the step of a bypass capacitor is the gain with it over the gain without it', () => {
    fc.assert(
      fc.property(resistance, between(100, 1e4), capacitance, (load, rk, bypass) => {
        const cathodeImpedance = of(triodeCathodeImpedance({ ...valve, load }));
        const shelf = of(cathodeBypassShelf({ cathodeResistor: ohms(rk), bypass, cathodeImpedance }));
        const full = of(triodeGain({ ...valve, load }));
        const plain = of(triodeGain({ ...valve, load, unbypassedCathode: ohms(rk) }));
        same(shelf.step, of(voltageDecibels(ratio(full / plain))));
        same(shelf.pole / shelf.zero, full / plain);
        const middle = of(shelfLevel({ ...shelf, frequency: shelf.halfStep }));
        expect(middle).toBeCloseTo(shelf.step / 2, 9);
      }),
      settings,
    );
  });

  test('two sections in phase on one resistor are one section on twice the resistor with half the capacitor', () => {
    const shared = cathodeBypassShelf({
      cathodeResistor: ohms(820),
      bypass: farads(50e-6),
      cathodeImpedance: ohms(1500),
      sectionsInPhase: 2,
    });
    const single = cathodeBypassShelf({
      cathodeResistor: ohms(1640),
      bypass: farads(25e-6),
      cathodeImpedance: ohms(1500),
    });
    for (const corner of ['zero', 'pole', 'step', 'halfStep'] as const)
      same(of(shared)[corner], of(single)[corner]);
  });

  test('an unloaded stage loses to its load what its output impedance says', () => {
    fc.assert(
      fc.property(resistance, resistance, (anodeLoad, next) => {
        const source = of(anodeOutputImpedance({ ...valve, anodeLoad }));
        const alone = of(triodeGain({ ...valve, load: anodeLoad }));
        const loaded = of(triodeGain({ ...valve, load: of(parallelResistance([anodeLoad, next])) }));
        same(loaded, (alone * next) / (next + source));
      }),
      settings,
    );
  });

  test('followers and cathodynes stay below 1, and a follower drives a load as its output impedance says', () => {
    fc.assert(
      fc.property(resistance, resistance, (rk, next) => {
        const alone = of(cathodeFollower({ ...valve, cathodeLoad: rk }));
        const loaded = of(cathodeFollower({ ...valve, cathodeLoad: of(parallelResistance([rk, next])) }));
        expect(alone.gain).toBeLessThan(1);
        same(loaded.gain, (alone.gain * next) / (next + alone.outputImpedance));
        expect(of(cathodyneGain({ ...valve, load: rk }))).toBeLessThan(alone.gain);
      }),
      settings,
    );
  });

  test('a shunt and a bright capacitor have steps as high as their corners lie apart', () => {
    fc.assert(
      fc.property(resistance, resistance, capacitance, (one, other, c) => {
        const shunt = of(seriesRcShunt({ nodeResistance: one, seriesResistor: other, capacitance: c }));
        expect(shunt.step).toBeCloseTo(20 * Math.log10(shunt.pole / shunt.zero), 9);
        const bright = of(brightNetwork({ upper: one, lower: other, capacitance: c }));
        expect(bright.step).toBeCloseTo(20 * Math.log10(bright.pole / bright.zero), 9);
        const tamed = of(brightNetwork({ upper: one, lower: other, capacitance: c, series: ohms(47_000) }));
        expect(tamed.step).toBeLessThan(bright.step);
        expect(tamed.step).toBeCloseTo(20 * Math.log10(tamed.pole / tamed.zero), 9);
      }),
      settings,
    );
  });

  test('a divider with a load is a divider of the parallel resistances', () => {
    fc.assert(
      fc.property(voltage, resistance, resistance, resistance, (top, upper, lower, load) => {
        const loaded = of(divider({ upper, lower, load }));
        const open = of(divider({ upper, lower }));
        same(loaded.fraction, (open.fraction * load) / (load + open.outputImpedance));
        same(of(dividedVoltage({ top, upper, lower })), top * open.fraction);
        same(of(seriesResistance([upper, lower])), upper + lower);
      }),
      settings,
    );
  });

  test('on the class A limit both formulas of push-pull current meet at twice the current at rest', () => {
    const limit = of(classALimit(amperes(0.036), ohms(8000)));
    same(of(pushPullSwing(limit, ohms(8000))).peakCurrent, 2 * 0.036);
  });

  test('self-bias settles where the load line and the law agree, for a triode and with a screen', () => {
    fc.assert(
      fc.property(between(150, 450), between(2e4, 3e5), between(300, 4700), (supply, ra, rk) => {
        const law = (at: { anodeCathode: number; gridCathode: number }) => ({
          anode: Math.max(0, at.anodeCathode + 100 * at.gridCathode) ** 1.5 * 1.2e-6,
          screen: 0,
        });
        const stage = { supply: volts(supply), anodeLoad: ohms(ra), cathodeResistor: ohms(rk) };
        const point = of(selfBias({ ...stage, law }));
        const line = of(loadLineCurrent({ ...stage, anodeCathode: point.anodeCathode }));
        expect(line / point.anodeCurrent).toBeCloseTo(1, 6);
        const drawn = law({ anodeCathode: point.anodeCathode, gridCathode: -point.cathode });
        expect(drawn.anode / point.anodeCurrent).toBeCloseTo(1, 6);
      }),
      { numRuns: 25, seed: 1934 },
    );
    const output = of(
      selfBias({
        supply: volts(260),
        anodeLoad: ohms(0),
        cathodeResistor: ohms(135),
        law: ({ gridCathode }) => {
          const anode = Math.max(0, 0.048 + 0.0113 * (gridCathode + 7.3));
          return { anode, screen: anode * (5.5 / 48) };
        },
      }),
    );
    same(output.cathodeCurrent, output.anodeCurrent * (1 + 5.5 / 48));
    expect(output.anodeCurrent).toBeCloseTo(0.048, 3);
  });
});

describe('the worst case', () => {
  test('a coupling capacitor stands the whole supply and the bias together; the margin turns negative when exceeded', () => {
    const worst = of(
      capacitorVoltage({ oneEnd: volts(455), otherEnd: volts(-40.7), alternatingPeak: volts(0) }),
    );
    same(worst, 495.7);
    expect(of(capacitorMargin({ rated: volts(400), meets: [volts(190), worst] })).margin).toBeLessThan(0);
    const found = of(capacitorMargin({ rated: volts(630), meets: [volts(190), worst, volts(-12)] }));
    expect(found.worst).toBe(worst);
    same(found.margin, 1 - 495.7 / 630);
  });

  test('cold start: 2 × 280 V, 6 % rise, 10 % high mains is 462 V; inverse voltage is twice that, on a bridge as much', () => {
    const supply = { winding: volts(280), rise: ratio(0.06), mains: ratio(1.1) };
    const cold = of(coldStartVoltage({ ...supply, circuit: 'centre-tap' }));
    expect(cold).toBeCloseTo(461.7, 1);
    same(of(peakInverseVoltage({ ...supply, circuit: 'centre-tap' })), 2 * cold);
    same(of(peakInverseVoltage({ ...supply, circuit: 'bridge' })), cold);
    same(of(coldStartVoltage({ ...supply, circuit: 'doubler' })), 2 * cold);
    same(of(coldStartVoltage({ ...supply, circuit: 'half-wave' })), cold);
  });

  test('the smaller of two capacitors in series gets half of the voltage and its tolerance on top', () => {
    const share = (capacitors: number) =>
      of(worstSeriesShare({ voltage: volts(500), capacitors, tolerance: ratio(0.2) }));
    same(share(2), 300);
    same(share(1), 500);
    expect(share(3)).toBeGreaterThan(500 / 3);
  });

  test('an open bias wiper takes the grids to 0 V, except of a rheostat to ground', () => {
    const supply = {
      tap: volts(45),
      mains: ratio(1),
      series: ohms(15e3),
      control: ohms(25e3),
      tail: ohms(27e3),
    };
    const open = (arrangement: 'wiper' | 'rheostat-to-ground' | 'rheostat-in-series') =>
      of(biasRange({ ...supply, arrangement }));
    expect(open('wiper').wiperOpen).toBe(0);
    expect(open('rheostat-in-series').wiperOpen).toBe(0);
    const grounded = open('rheostat-to-ground');
    expect(grounded.wiperOpen).toBeLessThan(grounded.strongest);
    for (const range of [open('wiper'), open('rheostat-in-series'), grounded]) {
      expect(range.strongest).toBeLessThan(range.weakest);
      expect(range.weakest).toBeLessThan(0);
    }
  });

  test('an idle valve beside its partner is a mismatch of 197 %', () => {
    expect(of(mismatch(amperes(44.2e-3), amperes(0.3e-3)))).toBeCloseTo(1.973, 3);
    expect(of(mismatch(amperes(36e-3), amperes(36e-3)))).toBe(0);
  });

  test('nothing on the screen resistor is no screen current, not a refusal', () => {
    expect(of(screenCurrent({ supply: volts(300), screen: volts(300), resistor: ohms(1000) }))).toBe(0);
    expect(of(anodeDissipation({ anode: volts(19), cathode: volts(19), cathodeCurrent: amperes(0) }))).toBe(
      0,
    );
  });

  test('a ratio below 1 has negative decibels', () => {
    expect(of(voltageRatio(decibels(-6.0206)))).toBeCloseTo(0.5, 5);
  });
});

describe('outside its domain a calculation refuses and says why', () => {
  const cathode = { anode: volts(300), cathode: volts(19), cathodeCurrent: amperes(0.04) };
  const leak = { driver: volts(165), grid: volts(2.4), gridLeak: ohms(470_000) };
  const bank = { capacitance: farads(1e-4), resistance: ohms(220_000), from: volts(450), to: volts(60) };
  const ripple = { current: amperes(0.1), mains: hertz(50), reservoir: farads(47e-6) };
  const refusals: readonly (readonly [string, Result<unknown>])[] = [
    ['non-positive resistance', currentThrough(volts(10), ohms(0))],
    ['non-positive resistance', rcCorner(ohms(-1), farads(1e-6))],
    ['out of range', rcCorner(ohms(1e-200), farads(1e-200))],
    ['no current', impliedResistance(volts(12), amperes(0))],
    ['anode below cathode', anodeDissipation({ ...cathode, anode: volts(12) })],
    ['negative cathode current', anodeDissipation({ ...cathode, cathodeCurrent: amperes(-0.04) })],
    ['screen current above cathode current', anodeDissipation({ ...cathode, screenCurrent: amperes(0.05) })],
    ['no leak current', leakageResistance({ ...leak, grid: volts(0) })],
    ['driver not above the grid', leakageResistance({ ...leak, driver: volts(2) })],
    ['final voltage above the first', bleedTime({ ...bank, to: volts(451) })],
    ['non-positive final voltage', bleedTime({ ...bank, to: volts(0) })],
    [
      'conduction not a share of the cycle',
      reservoirRipple({ ...ripple, rectification: 'full-wave', conduction: ratio(1) }),
    ],
    [
      'gain not below the amplification factor',
      impliedAnodeResistance({ amplificationFactor: ratio(20), gain: ratio(20), load: ohms(1e5) }),
    ],
    [
      'too near resonance',
      lcFilter({ inductance: henries(0.01), capacitance: farads(1e-6), frequency: hertz(100) }),
    ],
    [
      'screen above its supply',
      screenCurrent({ supply: volts(300), screen: volts(301), resistor: ohms(1000) }),
    ],
    [
      'screen below cathode',
      screenDissipation({ screen: volts(12), cathode: volts(19), screenCurrent: amperes(0) }),
    ],
    [
      'output above the supply power',
      dissipationWithSignal({ supply: volts(300), current: amperes(0.05), output: watts(17), valves: 2 }),
    ],
    [
      'anode above the supply',
      loadLineCurrent({ supply: volts(300), anodeCathode: volts(301), anodeLoad: ohms(1e5) }),
    ],
    [
      'below cut-off',
      signalLineCurrent({
        restVoltage: volts(250),
        restCurrent: amperes(0.045),
        load: ohms(5000),
        voltage: volts(480),
      }),
    ],
    ['gain rises when the loop is closed', feedbackFactor(ratio(10), ratio(11))],
    ['feedback factor below 1', outputImpedanceWithFeedback(ohms(60), ratio(0.5))],
    ['rms current below the direct current', reservoirRippleCurrent(amperes(0.05), amperes(0.08))],
    ['efficiency above 1', mainsFuse({ power: watts(80), efficiency: ratio(1.1), mains: volts(230) })],
    [
      'derating ends before it begins',
      deratedPower({
        rated: watts(1),
        surroundings: celsius(20),
        fullUpTo: celsius(70),
        nothingAt: celsius(70),
      }),
    ],
    ['negative feedback share', withFeedback(ratio(100), ratio(-0.01))],
    ['no resistance', parallelResistance([])],
    ['no heater', heaterCurrent([])],
    ['no voltage', capacitorMargin({ rated: volts(450), meets: [] })],
    ['both are zero', mismatch(amperes(0), amperes(0))],
    ['non-positive ratio', voltageDecibels(ratio(0))],
    [
      'above the rated temperature',
      capacitorLife({ rated: seconds(1e7), ratedAt: celsius(85), at: celsius(90) }),
    ],
    [
      'the valve law gives no number',
      selfBias({
        supply: volts(300),
        anodeLoad: ohms(1e5),
        cathodeResistor: ohms(1500),
        law: () => ({ anode: Number.NaN, screen: 0 }),
      }),
    ],
  ];

  test.each(refusals)('%s', (reason, result) => {
    expect(result).toEqual(refused(reason));
  });
});
