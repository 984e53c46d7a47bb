/** Holds how numbers stand in a summary: a space before the unit, a true minus, the shop's decimal sign, long numbers in threes. */
import { describe, expect, it } from 'vitest';
import { createNumbers } from '../../server/summary/numbers.ts';
import { hertz, ohms, quantity, volts, watts } from '../../server/units/si.ts';

const point = createNumbers('.', { to: 'to', about: 'about' });
const comma = createNumbers(',', { to: 'bis', about: 'etwa' });

describe('a number in a summary', () => {
  it('has a no-break space before its unit', () => {
    expect(point.say(quantity(ohms(4700), 'Ohm'))).toBe('4.7\u00a0kΩ');
    expect(comma.say(quantity(ohms(4700), 'Ohm'))).toBe('4,7\u00a0kΩ');
    expect(point.sayValue(0.075, '1')).toBe('7.5\u00a0%');
  });

  it('has a true minus, and a plus where it is a change', () => {
    expect(point.say(quantity(volts(-40.7), 'V'))).toBe('−40.7\u00a0V');
    expect(comma.signed(quantity(volts(1.5), 'V'))).toBe('+1,5\u00a0V');
    expect(point.deviation(-0.0439)).toBe('−4.4\u00a0%');
    expect(comma.deviation(0.0004)).toBe('0\u00a0%');
  });

  it('tells deviations to a tenth of a per cent, all alike', () => {
    const said = [0.02, 0.0085, -0.23077, -1, 3.894, -0.0001].map((ratio) => point.deviation(ratio));
    expect(said.join('; ').replaceAll('\u00a0', ' ')).toBe('+2.0 %; +0.9 %; −23.1 %; −100 %; +389 %; 0 %');
  });

  it('parts thousands from five digits on', () => {
    expect(point.say({ value: 12_345, unit: '1' }, 5)).toBe('12\u202f345');
    expect(point.say({ value: 9999, unit: '1' }, 4)).toBe('9999');
    expect(comma.say({ value: -1_234_567, unit: '1' }, 7)).toBe('−1\u202f234\u202f567');
  });

  it('shows just over a limit as over it', () => {
    expect(point.share(1.002)).toBe('100.2\u00a0%');
  });

  it('says a band as a band, and as one number where its ends look the same', () => {
    const figure = { figure: 'anode-dissipation', quantity: quantity(watts(12.9), 'W') } as const;
    expect(point.band(figure)).toBe('12.9\u00a0W');
    expect(comma.band({ ...figure, low: 12.1, high: 13.7 })).toBe('12,1\u00a0W bis 13,7\u00a0W');
    expect(point.band({ ...figure, low: 12.901, high: 12.902 })).toBe('12.9\u00a0W');
  });

  it('gives a difference in the prefix and decimals of its readings', () => {
    const difference = (from: number, to: number, digit?: number) => {
      const [before, after] = [from, to].map((value) => ({
        quantity: quantity(volts(value), 'V'),
        ...(digit !== undefined && { digit }),
      }));
      return before && after && comma.difference({ value: to - from, unit: 'V' }, before, after);
    };
    expect(difference(22.7, 23)).toBe('+0,3\u00a0V');
    expect(difference(22, 23, 0.1)).toBe('+1,0\u00a0V');
    expect(difference(0.69, 0.11)).toBe('−580\u00a0mV');
    expect(difference(0, 0)).toBe('0\u00a0V');
  });

  it('gives figures three digits, noughts included, and leaves what is marked as it is', () => {
    const watt = (value: number) =>
      point.band({ figure: 'anode-dissipation', quantity: quantity(watts(value), 'W') });
    expect([20, 20.14, 0.19, 0, 109.4].map(watt)).toEqual(
      ['20.0 W', '20.1 W', '0.190 W', '0 W', '109 W'].map((said) => said.replace(' ', '\u00a0')),
    );
    expect([0.87, 0.0536, 1, 0].map(point.share)).toEqual([
      '87.0\u00a0%',
      '5.36\u00a0%',
      '100\u00a0%',
      '0\u00a0%',
    ]);
    expect(point.say(quantity(watts(23), 'W'))).toBe('23\u00a0W');
  });

  it('shows a reading as exactly as it was read', () => {
    const read = (value: number, digit?: number) =>
      point.known({ quantity: quantity(volts(value), 'V'), basis: 'read', ...(digit && { digit }) });
    expect(read(23, 0.1)).toBe('23.0\u00a0V');
    expect(read(0, 0.01)).toBe('0.00\u00a0V');
    expect(read(0.69, 0.01)).toBe('690\u00a0mV');
    expect(read(330, 10)).toBe('330\u00a0V');
    expect(read(23)).toBe('23\u00a0V');
    expect(point.say(quantity(hertz(82.41), 'Hz'), 6)).toBe('82.41\u00a0Hz');
  });
});
