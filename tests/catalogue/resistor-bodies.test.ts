import { describe, expect, it } from 'vitest';
import { deratingCurve, findResistorStyle, limitingVoltage } from '../../server/catalogue/resistor-bodies.ts';
import { deratedPower } from '../../server/electronics/resistor-derating.ts';
import { celsius, ohms, watts } from '../../server/units/si.ts';

describe('the style is read from the words', () => {
  it.each([
    ['carbon film', 'carbon-film'],
    ['carbon composition', 'carbon-composition'],
    ['comp', 'carbon-composition'],
    ['carbon', 'carbon-composition'],
    ['metal film', 'metal-film'],
    ['metal oxide', 'metal-oxide'],
    ['wirewound', 'wirewound'],
    ['cement', 'wirewound'],
    ['aluminium clad', 'wirewound'],
    ['new', undefined],
    ['film', undefined],
  ])('%s', (words, style) => {
    expect(findResistorStyle(words.split(' '))).toBe(style);
    expect(findResistorStyle([words])).toBe(style);
  });
});

describe('what a resistor stands: the lesser of power and body', () => {
  it.each([
    // A quarter watt of 470 kΩ: its power would allow 343 V.
    [0.25, 470e3, ['metal', 'film'], 250, 'body'],
    [0.25, 100e3, ['metal', 'film'], 158.11, 'power'],
    [0.5, 470e3, ['carbon', 'composition'], 350, 'body'],
    [0.5, 470e3, [], 300, 'body'],
    [0.6, 1e6, ['metal', 'film'], 300, 'body'],
    [1, 1e6, ['metal', 'film'], 350, 'body'],
    [5, 470, ['wirewound'], 48.48, 'power'],
    [2, 1e6, ['carbon', 'composition'], 750, 'body'],
    [0.05, 10e6, [], 150, 'body'],
    [50, 1e6, ['wirewound'], 750, 'body'],
  ] as const)('%d W %d Ω %j: %d V by its %s', (power, value, kinds, voltage, by) => {
    const limit = limitingVoltage(watts(power), ohms(value), kinds);
    if (!limit.ok) throw new Error(limit.reason);
    expect(limit.value.voltage).toBeCloseTo(voltage, 2);
    expect(limit.value.by).toBe(by);
  });
  it('says where the limit comes from', () => {
    expect(limitingVoltage(watts(0.5), ohms(470e3), ['carbon', 'film'])).toMatchObject({
      value: {
        style: 'carbon-film',
        trust: { source: 'carbon film resistor data sheets; from memory, unverified' },
      },
    });
    expect(limitingVoltage(watts(0.5), ohms(470e3), [])).toMatchObject({
      value: { trust: { source: 'style not written, the lowest limit of any style of that size' } },
    });
  });
  it('refuses what is no resistor', () => {
    expect(limitingVoltage(watts(0.5), ohms(0), [])).toEqual({
      ok: false,
      reason: 'non-positive resistance',
    });
    expect(limitingVoltage(watts(0), ohms(100), [])).toMatchObject({ ok: false });
  });
});

describe('derating in hot air', () => {
  it.each([
    ['metal film', 100, 0.647],
    ['metal film', 70, 1],
    ['carbon composition', 100, 0.5],
    ['wirewound', 150, 0.61],
  ])('%s at %d °C keeps %d of its rating', (style, surroundings, share) => {
    const { fullUpTo, nothingAt } = deratingCurve([style]);
    const left = deratedPower({ rated: watts(1), surroundings: celsius(surroundings), fullUpTo, nothingAt });
    if (!left.ok) throw new Error(left.reason);
    expect(left.value).toBeCloseTo(share, 2);
  });
});
