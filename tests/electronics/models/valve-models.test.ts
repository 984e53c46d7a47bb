/** The valve laws as laws, the choice of a model, and the fits: derived again from their points and held against them. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { findModel, findModels } from '../../../server/electronics/models/find-model.ts';
import { modelCurrent, modelSlopes, SCREEN_SHARE_REMARK } from '../../../server/electronics/models/model.ts';
import { MODELLED_VALVES } from '../../../server/electronics/models/parameters.ts';
import { pentodeCurrentAndSlopes } from '../../../server/electronics/models/pentode.ts';
import { findRectifier, RECTIFIERS } from '../../../server/electronics/models/rectifiers.ts';
import { softplus } from '../../../server/electronics/models/softplus.ts';
import { triodeCurrentAndSlopes, triodeSlopes } from '../../../server/electronics/models/triode.ts';
import { rectifierDrop } from '../../../server/electronics/solver/rectifier-law.ts';
import { amperes, volts } from '../../../server/units/si.ts';
import { fitPentode } from './fit.ts';
import { FIT_TASKS } from './published-points.ts';

const everyModel = MODELLED_VALVES.flatMap(({ models }) => models);

describe('the choice of a model', () => {
  test.each([
    ['ECC83', '12AX7', 'computed fit'],
    [' 12ax7 ', '12AX7', 'computed fit'],
    ['6BQ5', 'EL84', 'computed fit'],
    ['6CA7', 'EL34', 'Koren 1996'],
    ['6SN7GTB', '6SN7GT', 'computed fit'],
    ['6V6', '6V6GT', 'computed fit'],
  ])('%s is modelled by the %s set "%s"', (type, valve, name) => {
    expect(findModel(type)).toMatchObject({ ok: true, value: { valve, name } });
  });

  test.each(['12DW7', 'GZ34', '7591', ''])('a valve without data (%s) is refused by name', (type) => {
    expect(findModel(type)).toEqual({ ok: false, reason: `no model of the valve ${type}` });
    expect(findModels(type)).toEqual([]);
  });

  test('no type leads to two valves; every set has a source and says its error', () => {
    const names = MODELLED_VALVES.flatMap(({ valve, synonyms }) => [valve, ...synonyms]);
    expect(new Set(names).size).toBe(names.length);
    for (const { source, knownError, error } of everyModel) {
      expect(source).not.toBe('');
      expect(knownError).not.toBe('');
      // Points in words, `anode 360 V, screen 270 V, grid −22.5 V (44 mA)`: no `360/270 V -22.5 V (44)`.
      expect(knownError).not.toMatch(/-\d|\d\/\d+ V|\([\d.]+\)/);
      expect(error).toBeGreaterThan(0);
    }
  });

  test('every pentode says that its screen current is an estimate', () => {
    for (const model of everyModel) {
      expect(model.remarks.includes(SCREEN_SHARE_REMARK), model.valve).toBe(model.kind === 'pentode');
    }
  });

  test('a pentode needs to know its screen', () => {
    const model = findModel('EL84');
    if (!model.ok) throw new Error(model.reason);
    const at = { anode: volts(250), grid: volts(-7) };
    expect(modelCurrent(model.value, at)).toEqual({ ok: false, reason: 'pentode without a screen voltage' });
    expect(modelSlopes(model.value, at)).toEqual({ ok: false, reason: 'pentode without a screen voltage' });
  });
});

describe("the fits of the output valves, derived again from the makers' points", () => {
  test.each(FIT_TASKS.map((task) => [task.valve, task] as const))(
    '%s: the same parameters, and the stated errors',
    (valve, task) => {
      const model = findModel(valve);
      if (!model.ok || model.value.kind !== 'pentode') throw new Error(valve);
      expect(model.value.source).toBe(
        task.points.length === 1
          ? 'computed fit to 1 published point'
          : `computed fit to ${task.points.length} published points`,
      );
      const fitted = fitPentode(task);
      const stored = model.value.parameters;
      for (const name of ['mu', 'exponent', 'kG1', 'kP', 'kVB'] as const) {
        expect(Math.abs(fitted[name] / stored[name] - 1), `${name}: ${fitted[name]}`).toBeLessThan(2e-4);
      }
      // The words say each departure to a tenth of a per cent, in the order of the points.
      const stated = [...model.value.knownError.matchAll(/([+−]?\d+\.\d) % at/g)].map(([, percent]) =>
        Number(percent?.replace('−', '-')),
      );
      expect(stated.length).toBe(task.points.length);
      task.points.forEach((point, i) => {
        const current = pentodeCurrentAndSlopes(
          stored,
          undefined,
          point.anode,
          point.screen,
          point.grid,
        ).anode;
        expect(Math.abs((current / point.anodeCurrent - 1) * 100 - (stated[i] ?? Number.NaN))).toBeLessThan(
          0.06,
        );
        expect(Math.abs(current / point.anodeCurrent - 1)).toBeLessThan(model.value.error);
      });
    },
  );

  test('where a point prints gm, the fit has it within 6 %', () => {
    for (const { valve, points } of FIT_TASKS) {
      const model = findModel(valve);
      if (!model.ok || model.value.kind !== 'pentode') throw new Error(valve);
      for (const { anode, screen, grid, transconductance } of points) {
        if (transconductance === undefined) continue;
        const { byGrid } = pentodeCurrentAndSlopes(model.value.parameters, undefined, anode, screen, grid);
        expect(Math.abs(byGrid / transconductance - 1), valve).toBeLessThan(0.06);
      }
    }
  });
});

describe('the laws', () => {
  const anode = fc.double({ min: -50, max: 800, noNaN: true });
  const screen = fc.double({ min: -20, max: 500, noNaN: true });
  const grid = fc.double({ min: -80, max: 5, noNaN: true });
  const runs = { seed: 12, numRuns: 300 };

  test('analytic slopes are the slopes of the current', () => {
    const nearly = (analytic: number, plus: number, minus: number, h: number, size: number) => {
      const numeric = (plus - minus) / (2 * h);
      expect(Math.abs(analytic - numeric)).toBeLessThanOrEqual(
        1e-5 * Math.max(Math.abs(numeric), size, 1e-9),
      );
    };
    fc.assert(
      fc.property(
        fc.constantFrom(...everyModel),
        fc.double({ min: 5, max: 600, noNaN: true }),
        fc.double({ min: 20, max: 450, noNaN: true }),
        grid,
        (model, va, vs, vg) => {
          const h = 1e-4;
          if (model.kind === 'triode') {
            const at = (a: number, g: number) => triodeCurrentAndSlopes(model.parameters, a, g);
            const here = at(va, vg);
            nearly(here.byAnode, at(va + h, vg).anode, at(va - h, vg).anode, h, here.anode);
            nearly(here.byGrid, at(va, vg + h).anode, at(va, vg - h).anode, h, here.anode);
          } else {
            const at = (a: number, s: number, g: number) =>
              pentodeCurrentAndSlopes(model.parameters, model.screenShare, a, s, g);
            const here = at(va, vs, vg);
            nearly(here.byAnode, at(va + h, vs, vg).anode, at(va - h, vs, vg).anode, h, here.anode);
            nearly(here.byGrid, at(va, vs, vg + h).anode, at(va, vs, vg - h).anode, h, here.anode);
            nearly(here.byScreen, at(va, vs + h, vg).anode, at(va, vs - h, vg).anode, h, here.anode);
            nearly(here.screenByGrid, at(va, vs, vg + h).screen, at(va, vs, vg - h).screen, h, here.screen);
            nearly(here.screenByScreen, at(va, vs + h, vg).screen, at(va, vs - h, vg).screen, h, here.screen);
          }
        },
      ),
      runs,
    );
  });

  test('no voltages make a current that is not a number, or below nothing', () => {
    fc.assert(
      fc.property(fc.constantFrom(...everyModel), anode, screen, grid, (model, va, vs, vg) => {
        const numbers =
          model.kind === 'triode'
            ? Object.values(triodeCurrentAndSlopes(model.parameters, va, vg))
            : Object.values(pentodeCurrentAndSlopes(model.parameters, model.screenShare, va, vs, vg));
        expect(numbers.every(Number.isFinite)).toBe(true);
        expect(numbers[0]).toBeGreaterThanOrEqual(0);
      }),
      runs,
    );
  });

  test('more anode, screen or grid volts never make less current', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...everyModel),
        anode,
        screen,
        grid,
        fc.double({ min: 0, max: 20, noNaN: true }),
        (model, va, vs, vg, more) => {
          const current = (a: number, s: number, g: number) =>
            model.kind === 'triode'
              ? triodeCurrentAndSlopes(model.parameters, a, g).anode
              : pentodeCurrentAndSlopes(model.parameters, undefined, a, s, g).anode;
          const here = current(va, vs, Math.min(vg, 0));
          const slack = 1e-12 + here * 1e-9;
          expect(current(va + more, vs, Math.min(vg, 0))).toBeGreaterThanOrEqual(here - slack);
          expect(current(va, vs, Math.min(vg + more, 0))).toBeGreaterThanOrEqual(here - slack);
          if (model.kind === 'pentode')
            expect(current(va, vs + more, Math.min(vg, 0))).toBeGreaterThanOrEqual(here - slack);
        },
      ),
      runs,
    );
  });

  test('ln(1 + exp z) neither overflows nor breaks where its two forms meet', () => {
    expect(softplus(1000)).toBe(1000);
    expect(softplus(-1000)).toBe(0);
    expect(softplus(50) - softplus(50 + 1e-9)).toBeCloseTo(-1e-9, 12);
    expect(softplus(0)).toBeCloseTo(Math.LN2, 15);
  });

  test('a valve beyond cut-off has no slopes, and absurd volts no current: refused', () => {
    const parameters = { mu: 100, exponent: 1.4, kG1: 1060, kP: 600, kVB: 300 };
    expect(triodeSlopes(parameters, volts(-1), volts(0))).toEqual({ ok: false, reason: 'below cut-off' });
    expect(modelCurrent({ ...getTriode(), parameters }, { anode: volts(1e300), grid: volts(0) })).toEqual({
      ok: false,
      reason: 'out of range',
    });
  });
});

function getTriode() {
  const model = findModel('12AX7');
  if (!model.ok || model.value.kind !== 'triode') throw new Error('12AX7');
  return model.value;
}

describe('rectifiers', () => {
  test.each([
    ['GZ34', 3.21],
    ['5Y3GT', 0.306],
    ['5U4GB', 0.778],
    ['5V4GA', 1.4],
    ['6X4', 0.678],
  ])("%s: %d mA/V^1.5 (computed from the sheet's drop)", (type, perveance) => {
    const found = findRectifier(type);
    if (!found.ok || found.value.law.kind !== 'valve') throw new Error(type);
    expect(Math.abs((found.value.law.perveance * 1e3) / perveance - 1)).toBeLessThan(0.002);
  });

  test("each drops at its sheet's current what its sheet says", () => {
    for (const { valve, current, drop } of RECTIFIERS) {
      const found = findRectifier(valve);
      if (!found.ok) throw new Error(valve);
      expect(rectifierDrop(found.value.law, current)).toEqual({ ok: true, value: expect.closeTo(drop, 9) });
    }
  });

  test('an unknown one is refused, and so is a backward current', () => {
    expect(findRectifier('5R4')).toEqual({ ok: false, reason: 'no data for the rectifier 5R4' });
    expect(rectifierDrop({ kind: 'valve', perveance: 1e-3 }, amperes(-1))).toEqual({
      ok: false,
      reason: 'negative current',
    });
    expect(rectifierDrop({ kind: 'valve', perveance: 0 }, amperes(1))).toEqual({
      ok: false,
      reason: 'non-positive perveance',
    });
  });
});
