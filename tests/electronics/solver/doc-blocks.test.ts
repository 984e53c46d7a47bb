/** Every calculation of the solver and the valve models has a whole doc block, and its example comes out as it says. */
import { readdirSync, readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import * as si from '../../../server/units/si.ts';

const PARTS = ['Formula', 'Symbols', 'Valid for', 'Errors', 'Source', 'Example'];
const FOLDERS = ['solver', 'models'].map(
  (name) => new URL(`../../../server/electronics/${name}/`, import.meta.url),
);

interface Block {
  readonly name: string;
  readonly file: URL;
  readonly labels: readonly string[];
  readonly call: string;
  readonly answer: string;
}

function readBlocks(file: URL): readonly Block[] {
  const source = readFileSync(file, 'utf8');
  return [...source.matchAll(/\/\*\*((?:(?!\*\/)[\s\S])*)\*\/\s*export function (\w+)/g)]
    .filter(([, text = '']) => /^ \* Formula:/m.test(text))
    .map(([, text = '', name = '']) => {
      const example = /^ \* Example:\s+(.*)$/m.exec(text)?.[1] ?? '';
      const [call = '', answer = ''] = example.split(' → ');
      return {
        name,
        file,
        labels: [...text.matchAll(/^ \* ([A-Z][a-z ]+):\s+\S/gm)].map(([, label = '']) => label),
        call,
        answer: answer.replace(/ (\S+)$/, (unit) => (/^ [^\]}]+$/.test(unit) ? '' : unit)),
      };
    });
}

const files = FOLDERS.flatMap((folder) =>
  readdirSync(folder)
    .filter((name) => name.endsWith('.ts'))
    .map((name) => new URL(name, folder)),
);
const blocks = files.flatMap(readBlocks);

test('there is something to check, and every file says what it owns', () => {
  expect(blocks.length).toBeGreaterThan(18);
  for (const file of files)
    expect(readFileSync(file, 'utf8'), file.pathname).toMatch(/^\/\*\*\s+(\* )?Owns /);
});

test.each(blocks.map((block) => [block.name, block] as const))('%s', async (name, block) => {
  expect(block.labels).toEqual(PARTS);
  expect(block.call.startsWith(`${name}(`)).toBe(true);
  const module: Record<string, unknown> = await import(block.file.href);
  const scope = { ...si, ...module };
  const run = new Function(...Object.keys(scope), `'use strict'; return (${block.call});`);
  const result = run(...Object.values(scope)) as unknown;
  // Numbers stay as they are written, so that their last digit says how exact they claim to be.
  const quoted = block.answer.replace(/(?<![\w.'"])-?\d[\d_]*(\.\d+)?(e-?\d+)?(?![\w'"])/g, '"$&"');
  expectLike(unwrap(result), new Function(`return (${quoted});`)(), name);
});

function unwrap(result: unknown): unknown {
  if (typeof result === 'object' && result !== null && 'ok' in result) {
    expect(result).toHaveProperty('ok', true);
    return 'value' in result ? result.value : undefined;
  }
  return result;
}

function expectLike(computed: unknown, written: unknown, path: string): void {
  if (typeof written === 'string') {
    // At least four digits, or the very number: less would prove nothing.
    const [mantissa = '', exponent = '0'] = written.replaceAll('_', '').split('e');
    const digits = mantissa.replace(/^[-0.]+|\./g, '').length;
    const places = mantissa.split('.')[1]?.length ?? 0;
    const target = Number(written.replaceAll('_', ''));
    const allowed = digits >= 4 ? 0.5 * 10 ** (Number(exponent) - places) : 1e-9 * Math.abs(target);
    const off = Math.abs(Number(computed) - target);
    expect(typeof computed, path).toBe('number');
    expect(off, `${path}: ${computed} is written ${written}`).toBeLessThanOrEqual(allowed * (1 + 1e-9));
    return;
  }
  const entries = Object.entries(written as Record<string, unknown>);
  if (Array.isArray(written)) expect((computed as ArrayLike<unknown>).length, path).toBe(written.length);
  for (const [key, value] of entries) {
    const own = computed instanceof Map ? computed.get(key) : (computed as Record<string, unknown>)[key];
    expectLike(own, value, `${path}.${key}`);
  }
}
