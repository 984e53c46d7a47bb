import { readFileSync } from 'node:fs';
import { expect, it } from 'vitest';
import { rules } from '../../server/rules/registry.ts';
import { tagstrip } from '../support/command.ts';
import { schemaFaults } from '../support/json-schema.ts';

async function stats(...args: readonly string[]): Promise<string> {
  const { code, out, err } = await tagstrip(['stats', 'samples/chassis/larch-20.b.tagstrip.md', ...args]);
  expect(err).toBe('');
  expect(code).toBe(0);
  return out;
}

it('tells each phase and each rule with its longest sheet, as JSON to its schema', async () => {
  const json = JSON.parse(await stats('--format', 'json'));
  const schema = JSON.parse(
    readFileSync(new URL('../../grammar/json/stats.schema.json', import.meta.url), 'utf8'),
  );
  expect(schemaFaults(json, schema)).toEqual([]);
  const phases = json.stats.phases.map(({ name }: { readonly name: string }) => name);
  expect(phases).toEqual(['load', 'parse', 'read', 'analyse', 'hover']);
  expect(json.stats.rules.map(({ name }: { readonly name: string }) => name).toSorted()).toEqual(
    rules.map(({ id }) => id).toSorted(),
  );
  for (const { p50, p95, max, total, worst } of json.stats.phases) {
    expect(p50).toBeLessThanOrEqual(p95);
    expect(p95).toBeLessThanOrEqual(max);
    expect(max).toBeLessThanOrEqual(total);
    expect(worst).toBe('samples/chassis/larch-20.b.tagstrip.md');
  }
});

it('has a table for people', async () => {
  expect(await stats()).toMatch(
    /^phase +count +total ms .*^parse +1 +\d+\.\d{3} .*^1 sheet, \d+ characters; heap/ms,
  );
});
