import { expect, test } from 'vitest';
import { scanValue } from '../../server/units/scan.ts';

test('a marking and a meter reading are read where they stand', () => {
  const part = scanValue('R17 = 4k7 5W', 6, { partClass: 'resistor' });
  expect(part).toMatchObject({
    end: 9,
    written: { kind: 'value', value: { quantity: { value: 4700, unit: 'Ohm' } } },
  });
  const reading = scanValue('a 331 V', 2, { bareUnit: 'V' });
  expect(reading).toMatchObject({
    end: 7,
    written: { value: { spelling: '331 V', span: { start: 2, end: 7 } } },
  });
});

test('a valve type is no number', () => {
  for (const type of ['12AX7', '6V6GT', '1N4007', 'T1A'])
    expect(scanValue(type, 0, {}), type).toBeUndefined();
});
