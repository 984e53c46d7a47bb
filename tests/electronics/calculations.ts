/** Reads every calculation of server/electronics with its doc block, and works its example out. */
import { readdirSync, readFileSync } from 'node:fs';
import * as si from '../../server/units/si.ts';

/** `volts`, `ohms` … as an example finds them. */
export const CONSTRUCTORS: Readonly<Record<string, unknown>> = { ...si };

const FOLDER = new URL('../../server/electronics/', import.meta.url);

/** The labels of a doc block, in their order. `Errors` may be absent. */
export const PARTS = ['Formula', 'Symbols', 'Valid for', 'Errors', 'Source', 'Example'] as const;

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
  Coulombs: 'C',
  Decibels: 'dB',
  Ratio: '1',
  Siemens: 'S',
  Celsius: '°C',
};

export interface Calculation {
  readonly file: string;
  readonly name: string;
  readonly sentence: string;
  /** Label to text; lines that follow a label belong to it. */
  readonly parts: ReadonlyMap<string, string>;
  /** Field of the answer to its unit; a bare figure's field is ''. */
  readonly units: ReadonlyMap<string, string>;
  /** The call of the example. */
  readonly call: string;
  /** What the example says comes out. */
  readonly answer: string;
}

type Constructors = Readonly<Record<string, (value: number) => number>>;

export function sourceOf(file: string): string {
  return readFileSync(new URL(file, FOLDER), 'utf8');
}

function fieldUnits(source: string, type: string): ReadonlyMap<string, string> {
  const bare = SYMBOLS[type];
  if (bare !== undefined) return new Map([['', bare]]);
  const body = new RegExp(`interface ${type} \\{([\\s\\S]*?)\\n\\}`).exec(source)?.[1] ?? '';
  const fields = [...body.matchAll(/readonly (\w+)\??: (\w+);/g)];
  return new Map(fields.map(([, field = '', of = '']) => [field, SYMBOLS[of] ?? of]));
}

function readCalculations(file: string): readonly Calculation[] {
  const source = sourceOf(file);
  return [...source.matchAll(/export function (\w+)/g)].map((found) => {
    const before = source.slice(0, found.index).trimEnd();
    const block = before.endsWith('*/') ? before.slice(before.lastIndexOf('/**') + 3, -2) : '';
    const parts = new Map<string, string>();
    let part = '';
    for (const line of block.split('\n').map((one) => one.replace(/^\s*\* ?/, ''))) {
      const start = PARTS.find((label) => line.startsWith(`${label}:`));
      part = start ?? part;
      const text = start === undefined ? line : line.slice(start.length + 1);
      parts.set(part, `${parts.get(part) ?? ''} ${text.trim()}`.trim());
    }
    const type = /\): Result<(\w+)> \{/.exec(source.slice(found.index))?.[1] ?? 'none';
    const [call = '', answer = ''] = (parts.get('Example') ?? '').split(' → ');
    const units = fieldUnits(source, type);
    return { file, name: found[1] ?? '', sentence: parts.get('') ?? '', parts, units, call, answer };
  });
}

export const files = readdirSync(FOLDER).filter((file) => file.endsWith('.ts') && !WITHOUT.has(file));
export const calculations = files.flatMap(readCalculations);

const modules = new Map<string, Readonly<Record<string, unknown>>>();
for (const file of files) modules.set(file, await import(new URL(file, FOLDER).href));

/** The example as a function of the unit constructors, so that other numbers can be put in its place. */
export function exampleOf(calculation: Calculation): (constructors?: Constructors) => unknown {
  const module = modules.get(calculation.file) ?? {};
  const units = Object.keys(CONSTRUCTORS);
  const body = `'use strict'; return (${calculation.call});`;
  const run = new Function(...Object.keys(module), ...units, body);
  return (constructors = {}) =>
    run(...Object.values(module), ...units.map((name) => constructors[name] ?? CONSTRUCTORS[name]));
}

/** The numbers of an answer by field; a bare figure's field is ''. */
export function numbersOf(value: unknown): ReadonlyMap<string, number> {
  return new Map(typeof value === 'number' ? [['', value]] : Object.entries(value as Record<string, number>));
}
