/**
 * Every calculation says in its doc block what it computes, by which formula, where that holds and where it is from,
 * and shows one example. This reads all of them, and works every example out.
 */
import { describe, expect, test } from 'vitest';
import { calculations, exampleOf, files, numbersOf, PARTS, sourceOf } from './calculations.ts';

const REQUIRED = ['Formula', 'Symbols', 'Valid for', 'Source', 'Example'] as const;

/** A number as it is written stands for every number that rounds to it. */
function roundsTo(value: number, written: string): boolean {
  const [mantissa = '', exponent = '0'] = written.toLowerCase().split('e');
  const places = mantissa.split('.')[1]?.length ?? 0;
  const half = 0.5 * 10 ** (Number(exponent) - places);
  return Math.abs(value - Number(written)) <= half * (1 + 1e-9);
}

/** At least four digits, or the very number: less would prove nothing. */
function isFine(value: number, written: string): boolean {
  const digits = written.replace(/e.*$/, '').replace(/^[-0.]+|\./g, '').length;
  return digits >= 4 || Math.abs(value - Number(written)) <= 1e-12 * Math.abs(value);
}

describe('the doc blocks of the calculations', () => {
  test('every file has a calculation, and a header that says what the file owns', () => {
    expect(files.length).toBeGreaterThan(60);
    expect(files.filter((file) => !calculations.some((one) => one.file === file))).toEqual([]);
    expect(files.filter((file) => !/^\/\*\*\s+(\* )?Owns /.test(sourceOf(file)))).toEqual([]);
  });

  test('no two calculations share a name or an example', () => {
    expect(new Set(calculations.map((one) => one.name)).size).toBe(calculations.length);
    expect(new Set(calculations.map((one) => one.call)).size).toBe(calculations.length);
  });
});

describe.each(calculations.map((one) => [`${one.file}: ${one.name}`, one] as const))('%s', (_, one) => {
  test('has every part, in order, and one sentence before them', () => {
    expect(REQUIRED.filter((part) => !one.parts.get(part))).toEqual([]);
    const labels = [...one.parts.keys()].filter((part) => part !== '');
    expect(labels).toEqual(PARTS.filter((part) => one.parts.has(part)));
    expect(one.sentence).toMatch(/^[A-Z][^.]*\.$/);
  });

  test('its example comes out as it says, unit and all', () => {
    expect(one.call.startsWith(`${one.name}(`), `${one.call} calls ${one.name}`).toBe(true);
    const result = exampleOf(one)() as { ok: boolean; value?: unknown };
    expect(result, one.call).toHaveProperty('ok', true);
    const computed = numbersOf(result.value);
    const written = one.answer.split(', ').map((item) => /^(?:(\w+) )?([-\d.e]+) (\S+)$/.exec(item.trim()));
    const fields = written.map((item) => item?.[1] ?? '');
    expect(fields).toEqual([...computed.keys()]);
    for (const item of written) {
      const [, field = '', number = '', unit] = item ?? [];
      const value = computed.get(field) ?? Number.NaN;
      expect(unit).toBe(one.units.get(field));
      expect(roundsTo(value, number), `${field} ${number} is written, ${value} comes out`).toBe(true);
      expect(isFine(value, number), `${field} ${number} has too few digits to prove anything`).toBe(true);
    }
  });
});
