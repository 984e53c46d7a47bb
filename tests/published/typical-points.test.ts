/**
 * The typical operating points of the catalogue against the arithmetic that their sheets must obey. Each row names what its
 * sheet prints beside the point, or what follows from it; every test's title ends with where the row comes from.
 */
import { describe, expect, it } from 'vitest';
import { builtInCatalogue } from '../../server/catalogue/find-valve.ts';
import type { TypicalPoint, Valve } from '../../server/catalogue/valve.ts';
import { anodeDissipation } from '../../server/electronics/anode-dissipation.ts';
import type { Result } from '../../server/electronics/result.ts';
import { meanCathodeCurrent } from '../../server/electronics/shared-cathode.ts';
import { amperes, volts } from '../../server/units/si.ts';

function getValve(type: string): Valve {
  const answer = builtInCatalogue.findValve(type);
  if (answer === undefined || 'ask' in answer) throw new Error(`${type} is not in the catalogue`);
  return answer.valve;
}

function getPoint(type: string, use: TypicalPoint['use'], anode: number): TypicalPoint {
  const point = getValve(type).typical.find(
    (each) => each.use === use && Math.abs(each.anode - anode) < 0.01,
  );
  if (point === undefined) throw new Error(`${type} has no ${use} point at ${anode} V`);
  return point;
}

function getValue<T>(result: Result<T>): T {
  if (!result.ok) throw new Error(result.reason);
  return result.value;
}

const cathodeCurrent = (point: TypicalPoint) => point.anodeCurrent + (point.screenCurrent ?? 0);
const idleDissipation = (point: TypicalPoint) =>
  getValue(
    anodeDissipation({
      anode: point.anode,
      cathode: volts(0),
      cathodeCurrent: amperes(cathodeCurrent(point)),
      ...(point.screenCurrent !== undefined && { screenCurrent: point.screenCurrent }),
    }),
  );

const allPoints = builtInCatalogue
  .listValves()
  .flatMap((valve) =>
    valve.typical.map((point) => ({ valve, point, name: `${valve.type} ${point.use} at ${point.anode} V` })),
  );

describe('gm · ra = µ, the three figures of one row', () => {
  const rows = allPoints.flatMap(({ name, point }) =>
    point.transconductance !== undefined &&
    point.anodeResistance !== undefined &&
    point.amplificationFactor !== undefined
      ? [
          {
            name,
            product: point.transconductance * point.anodeResistance,
            mu: point.amplificationFactor,
            source: point.trust.source,
          },
        ]
      : [],
  );
  it('for all triodes', () => {
    expect(new Set(rows.map(({ name }) => name.split(' ')[0]))).toEqual(
      new Set(builtInCatalogue.listValves().flatMap(({ type, kind }) => (kind === 'triode' ? [type] : []))),
    );
  });
  it.each(rows)('$name: $product against $mu ($source)', ({ product, mu }) => {
    expect(product / mu).toBeGreaterThan(0.99);
    expect(product / mu).toBeLessThan(1.01);
  });
});

describe('the cathode resistor that the sheet prints gives the bias that it prints', () => {
  // Type, use, anode volts, valves on the resistor, volts over it (computed), bias printed.
  it.each([
    ['12AT7', 'static', 250, 1, 2.0, 2],
    ['EL84', 'single-ended', 250, 1, 7.22, 7.3],
    ['EL34', 'push-pull', 352.5, 2, 22.49, 22.5],
    // No bias is printed for this row: the volts alone.
    ['EL84', 'push-pull', 300, 2, 10.4, 10.4],
  ] as const)('%s %s at %d V, %d on the resistor: %d V', (type, use, anode, valves, across, printed) => {
    const point = getPoint(type, use, anode);
    const bias = (point.cathodeResistor ?? 0) * valves * cathodeCurrent(point);
    expect(bias).toBeCloseTo(across, 1);
    expect(Math.abs(bias - printed) / printed).toBeLessThan(0.02);
    // And back, by the calculation that a bench uses.
    const resistor = point.cathodeResistor;
    if (resistor === undefined) throw new Error('no cathode resistor');
    const mean = getValue(meanCathodeCurrent({ cathode: volts(bias), resistor, valves }));
    expect(mean).toBeCloseTo(cathodeCurrent(point), 9);
  });
  // The resistor that follows from bias and current, computed.
  it.each([
    ['6V6GT', 'single-ended', 250, 252.5],
    ['6L6GC', 'single-ended', 250, 181.8],
    ['6L6GC', 'single-ended', 350, 318.6],
    ['KT66', 'single-ended', 250, 164],
    ['6K6GT', 'single-ended', 250, 480],
  ] as const)('%s %s at %d V: %d Ω', (type, use, anode, resistor) => {
    const point = getPoint(type, use, anode);
    expect(-(point.grid ?? 0) / cathodeCurrent(point) / resistor).toBeCloseTo(1, 2);
  });
});

describe('anode dissipation without signal', () => {
  // Watts computed from the row; share of the limit in the valve's own system.
  it.each([
    ['EL84', 'single-ended', 250, 12.0, 1.0],
    ['EL84', 'push-pull', 300, 10.8, 0.9],
    ['6V6GT', 'single-ended', 250, 11.25, 0.94],
    ['6V6GT', 'single-ended', 315, 10.7, 0.89],
    ['6L6GC', 'single-ended', 250, 18.0, 0.6],
    ['6L6GC', 'single-ended', 350, 18.9, 0.63],
    ['EL34', 'single-ended', 250, 25.0, 1.0],
    // A maker's own published point computes over 100 %.
    ['EL34', 'push-pull', 352.5, 26.4, 1.06],
    ['KT66', 'single-ended', 250, 21.25, 0.85],
    ['KT88', 'static', 250, 35, 0.83],
    ['6550', 'single-ended', 400, 34.8, 0.99],
    ['6K6GT', 'single-ended', 250, 8.0, 0.94],
  ] as const)('%s %s at %d V: %d W, %d of its limit', (type, use, anode, watts, share) => {
    const dissipation = idleDissipation(getPoint(type, use, anode));
    expect(dissipation / watts).toBeCloseTo(1, 2);
    expect(dissipation / (getValve(type).limits.anodeDissipation?.value ?? 0)).toBeCloseTo(share, 2);
  });
  it.each(allPoints.filter(({ valve }) => valve.limits.anodeDissipation !== undefined))(
    '$name idles within 107 % of its own limit ($point.trust.source)',
    ({ valve, point }) => {
      expect(idleDissipation(point) / (valve.limits.anodeDissipation?.value ?? 0)).toBeLessThan(1.07);
    },
  );
  it('EL84 single-ended: the screen takes 1.38 W of its 2 W (computed)', () => {
    const point = getPoint('EL84', 'single-ended', 250);
    expect((point.screen ?? 0) * (point.screenCurrent ?? 0)).toBeCloseTo(1.375, 3);
  });
});

describe('power output at full drive', () => {
  // Efficiency, and what is left on each anode; computed from the printed output and currents.
  it.each([
    ['EL84', 'push-pull', 300, 0.616, 5.3],
    ['6V6GT', 'push-pull', 285, 0.534, 6.1],
    ['6L6GC', 'push-pull', 360, 0.558, 10.5],
    ['6L6GC', 'push-pull', 450, 0.582, 19.8],
    ['EL34', 'push-pull', 775, 0.709, 20.5],
    ['KT88', 'push-pull', 560, 0.616, 31.2],
    ['6550', 'push-pull', 400, 0.509, 26.5],
  ] as const)('%s %s at %d V: efficiency %d, %d W on each anode', (type, use, anode, efficiency, left) => {
    const point = getPoint(type, use, anode);
    const input = 2 * point.anode * (point.anodeCurrentFullDrive ?? 0);
    expect((point.output ?? 0) / input).toBeCloseTo(efficiency, 2);
    expect((input - (point.output ?? 0)) / 2).toBeCloseTo(left, 0);
  });
  // Textbook limits: π/4 for class B, one half for class A.
  it.each(allPoints.filter(({ point }) => point.output !== undefined))(
    '$name is possible ($point.trust.source)',
    ({ point }) => {
      const valves = point.use === 'push-pull' ? 2 : 1;
      const current = point.anodeCurrentFullDrive ?? point.anodeCurrent;
      const ideal = point.use === 'push-pull' ? Math.PI / 4 : 0.5;
      expect((point.output ?? 0) / (valves * point.anode * current)).toBeLessThan(ideal);
    },
  );
});

describe('the screen’s share of the cathode current', () => {
  // Computed from the rows.
  it.each([
    ['EL84', 'single-ended', 250, 0.103],
    ['6V6GT', 'single-ended', 250, 0.091],
    ['6L6GC', 'single-ended', 250, 0.065],
    ['6L6GC', 'push-pull', 450, 0.046],
    ['EL34', 'single-ended', 250, 0.13],
    ['6550', 'single-ended', 400, 0.044],
    ['6K6GT', 'single-ended', 250, 0.147],
  ] as const)('%s %s at %d V: %d', (type, use, anode, share) => {
    const point = getPoint(type, use, anode);
    const computed = (point.screenCurrent ?? 0) / cathodeCurrent(point);
    expect(computed).toBeCloseTo(share, 3);
    const band = getValve(type).screenShare;
    expect(band?.low).toBeLessThan(computed);
    expect(band?.high).toBeGreaterThan(computed);
  });
  it('of KT88 is the 3 to 12 mA beside 140 mA that its sheet prints (from memory)', () => {
    expect(getValve('KT88').screenShare?.low).toBeCloseTo(0.021, 3);
    expect(getValve('KT88').screenShare?.high).toBeCloseTo(0.079, 3);
  });
});

describe('a design-maximum figure lies 5 to 25 % above the design-centre figure of the same valve', () => {
  it.each([
    ['12AX7', '12AX7A', 'anodeVoltage', 1.1],
    ['12AX7', '12AX7A', 'anodeDissipation', 1.2],
    ['12AU7', '12AU7A', 'anodeVoltage', 1.1],
    ['12AU7', '12AU7A', 'cathodeCurrent', 1.1],
    ['6V6GT', '6V6GTA', 'anodeVoltage', 1.11],
    ['6V6GT', '6V6GTA', 'anodeDissipation', 1.17],
    ['6V6GT', '6V6GTA', 'screenDissipation', 1.1],
    ['6550', '6550A', 'anodeVoltage', 1.1],
    ['6550', '6550A', 'anodeDissipation', 1.2],
    ['6AQ5', '6AQ5A', 'anodeVoltage', 1.1],
  ] as const)('%s to %s, %s: %d times', (centre, maximum, what, times) => {
    expect(getValve(centre).system).toBe('design-centre');
    expect(getValve(maximum).system).toBe('design-maximum');
    const ratio = (getValve(maximum).limits[what]?.value ?? 0) / (getValve(centre).limits[what]?.value ?? 1);
    expect(ratio).toBeCloseTo(times, 2);
  });
});

describe('rectifiers: what one anode passes, in mA/V^1.5, from the drop that the sheet prints (computed)', () => {
  it.each([
    ['GZ34', 3.21],
    ['5Y3GT', 0.306],
    ['5U4GB', 0.778],
    ['5V4G', 1.4],
    ['6X4', 0.678],
    ['EZ81', 1.677],
    ['EZ80', 1.006],
  ] as const)('%s: %d', (type, perveance) => {
    expect(((getValve(type).rectifier?.perveance?.value ?? 0) * 1000) / perveance).toBeCloseTo(1, 2);
  });
});
