/**
 * Every calculation says in its doc block what it computes, by which formula, where that holds and where it is from,
 * and shows one example. This reads all of them, and works every example out.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import * as si from '../../server/units/si.ts';

const FOLDER = new URL('../../server/electronics/', import.meta.url);
const PARTS = ['Formula', 'Symbols', 'Valid for', 'Errors', 'Source', 'Example'] as const;
/** These own no calculation: the answer's shape, and the questions asked of inputs. */
const WITHOUT = new Set(['result.ts', 'domain.ts']);
const SYMBOLS: Readonly<Record<string, string>> = {
  Volts: 'V',
  Amperes: 'A',
  Ohms: 'Ω',
  Farads: 'F',
  Henries: 'H',
  Hertz: 'Hz',
  Watts: 'W',
  Seconds: 's',
  Joules: 'J',
  Decibels: 'dB',
  Ratio: '1',
  Siemens: 'S',
  Celsius: '°C',
};

interface Calculation {
  readonly file: string;
  readonly name: string;
  readonly sentence: string;
  readonly parts: ReadonlyMap<string, string>;
  /** Field name to unit; a bare figure's field is ''. */
  readonly units: ReadonlyMap<string, string>;
}

function fieldUnits(source: string, type: string): ReadonlyMap<string, string> {
  const bare = SYMBOLS[type];
  if (bare !== undefined) return new Map([['', bare]]);
  const body = new RegExp(`interface ${type} \\{([\\s\\S]*?)\\n\\}`).exec(source)?.[1] ?? '';
  const fields = [...body.matchAll(/readonly (\w+)\??: (\w+);/g)];
  return new Map(fields.map(([, field = '', of = '']) => [field, SYMBOLS[of] ?? of]));
}

function readCalculations(file: string): readonly Calculation[] {
  const source = readFileSync(new URL(file, FOLDER), 'utf8');
  return [...source.matchAll(/export function (\w+)/g)].map((found) => {
    const name = found[1] ?? '';
    const before = source.slice(0, found.index).trimEnd();
    const block = before.endsWith('*/') ? before.slice(before.lastIndexOf('/**') + 3, -2) : '';
    const lines = block.split('\n').map((line) => line.replace(/^\s*\* ?/, ''));
    const parts = new Map<string, string>();
    let part = '';
    for (const line of lines) {
      const start = PARTS.find((label) => line.startsWith(`${label}:`));
      part = start ?? part;
      const text = start === undefined ? line : line.slice(start.length + 1);
      parts.set(part, `${parts.get(part) ?? ''} ${text.trim()}`.trim());
    }
    const type = /\): Result<(\w+)> \{/.exec(source.slice(found.index))?.[1] ?? 'none';
    return { file, name, sentence: parts.get('') ?? '', parts, units: fieldUnits(source, type) };
  });
}

const files = readdirSync(FOLDER).filter((file) => file.endsWith('.ts') && !WITHOUT.has(file));
const modules = new Map<string, Readonly<Record<string, unknown>>>();
for (const file of files) modules.set(file, await import(new URL(file, FOLDER).href));
const calculations = files.flatMap(readCalculations);

function evaluate(file: string, expression: string): unknown {
  const scope: Readonly<Record<string, unknown>> = { ...si, ...modules.get(file) };
  return new Function(...Object.keys(scope), `'use strict'; return (${expression});`)(
    ...Object.values(scope),
  );
}

/** The number as it is written stands for every number that rounds to it. */
function roundsTo(value: number, written: string): boolean {
  const [mantissa = '', exponent = '0'] = written.toLowerCase().split('e');
  const places = mantissa.split('.')[1]?.length ?? 0;
  const half = 0.5 * 10 ** (Number(exponent) - places);
  return Math.abs(value - Number(written)) <= half * (1 + 1e-9);
}

describe('the doc block of every calculation', () => {
  test('stands in every file', () => {
    expect(files.length).toBeGreaterThan(10);
    expect(files.filter((file) => !calculations.some((one) => one.file === file))).toEqual([]);
  });

  test('is preceded by a file header that says what the file owns', () => {
    const without = files.filter(
      (file) => !/^\/\*\*\s+(\* )?Owns /.test(readFileSync(new URL(file, FOLDER), 'utf8')),
    );
    expect(without).toEqual([]);
  });

  test.each(calculations.map((one) => [`${one.file} ${one.name}`, one] as const))('%s', (_, one) => {
    const wanted = ['Formula', 'Symbols', 'Valid for', 'Source', 'Example'];
    expect(wanted.filter((part) => !one.parts.get(part))).toEqual([]);
    const order = PARTS.filter((part) => one.parts.has(part));
    expect([...one.parts.keys()].filter((part) => part !== '')).toEqual(order);
    expect(one.sentence).toMatch(/^[A-Z][^.]*\.$/);
    expect(one.units.size).toBeGreaterThan(0);

    const [call = '', answer = ''] = (one.parts.get('Example') ?? '').split(' → ');
    expect(call.startsWith(`${one.name}(`), `${call} calls ${one.name}`).toBe(true);
    const result = evaluate(one.file, call) as { ok: boolean; value?: unknown; reason?: string };
    expect(result, `${call} is refused: ${result.reason}`).toHaveProperty('ok', true);
    const value = result.value;
    const found = new Map(
      typeof value === 'number' ? [['', value]] : Object.entries(value as Record<string, number>),
    );
    const written = answer.split(', ').map((item) => /^(?:(\w+) )?([-\d.e]+) (\S+)$/.exec(item.trim()));
    expect(
      written.map((item) => item?.[1] ?? ''),
      answer,
    ).toEqual([...found.keys()]);
    for (const item of written) {
      const [, field = '', number = '', unit] = item ?? [];
      const computed = found.get(field) ?? Number.NaN;
      expect(unit, `unit of ${one.name} ${field}`).toBe(one.units.get(field));
      expect(
        roundsTo(computed, number),
        `${one.name} ${field}: ${number} written, ${computed} computed`,
      ).toBe(true);
      const digits = number.replace(/e.*$/, '').replace(/^[-0.]+|\./g, '').length;
      const isExact = Math.abs(computed - Number(number)) <= 1e-12 * Math.abs(computed);
      expect(digits >= 4 || isExact, `${one.name} ${field}: ${number} is too coarse to prove anything`).toBe(
        true,
      );
    }
  });
});
