import { describe, expect, it } from 'vitest';
import { editionsOf } from '../../server/catalogue/editions.ts';
import { builtInCatalogue } from '../../server/catalogue/find-valve.ts';
import { screenShareOf } from '../../server/catalogue/screen-share.ts';
import type { Valve } from '../../server/catalogue/valve.ts';

function getValve(type: string): Valve {
  const answer = builtInCatalogue.findValve(type);
  if (answer === undefined || 'ask' in answer) throw new Error(`${type} is not one valve`);
  return answer.valve;
}

describe('which limit is meant', () => {
  const printed = (type: string, what: Parameters<typeof editionsOf>[1]) =>
    editionsOf(getValve(type), what).map(({ value, name, system }) => [value, name, system]);
  it('EL34 screens: 425 V, in a later sheet 500 V', () => {
    expect(printed('EL34', 'screenVoltage')).toEqual([
      [425, '', 'design-centre'],
      [500, 'later sheet', 'design-centre'],
    ]);
  });
  it('6SL7GT anodes: 250 V, in later sheets 300 V', () => {
    expect(printed('6SL7GT', 'anodeVoltage').map(([value]) => value)).toEqual([250, 300]);
  });
  it('KT66 mixes systems', () => {
    expect(printed('KT66', 'anodeDissipation')).toEqual([
      [25, '', 'design-centre'],
      [30, 'later sheet, design-maximum', 'design-maximum'],
    ]);
  });
  it('12AX7A has a grid-leak limit from an older system', () => {
    expect(printed('12AX7A', 'gridLeakSelfBias')).toEqual([[2.2e6, '', 'design-centre']]);
  });
  it('a rectifier’s first capacitor', () => {
    expect(printed('6X4', 'reservoir').map(([value]) => value)).toEqual([10e-6, 16e-6]);
  });
  it('none where none is known', () => {
    expect(printed('12AX7', 'screenVoltage')).toEqual([]);
    expect(printed('EL84', 'reservoir')).toEqual([]);
  });
});

describe('the screen’s share', () => {
  it('is the valve’s own where it has a typical point', () => {
    expect(screenShareOf(getValve('EL34'))).toBe(getValve('EL34').screenShare);
  });
  it('is 5 to 12 % where it has none', () => {
    const { screenShare: _, ...unknown } = getValve('EL34');
    expect(screenShareOf(unknown)).toMatchObject({ low: 0.05, high: 0.12 });
  });
  it('is nothing for a triode or a rectifier', () => {
    expect(screenShareOf(getValve('12AX7'))).toBeUndefined();
    expect(screenShareOf(getValve('GZ34'))).toBeUndefined();
  });
});
