/** `repeats`, `orders` and `history` as their user calls them, on the invented shop. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { tagstrip as runTagstrip } from '../support/command.ts';
import { schemaFaults } from '../support/json-schema.ts';
import { plainSpaces } from '../support/workshop.ts';

async function tagstrip(...args: readonly string[]) {
  const { code, out, err } = await runTagstrip(args);
  return { code, out: plainSpaces(out), err };
}

const job = (name: string) => `samples/jobs/${name}.tagstrip.md`;
const [BEFORE, AGAIN, OPEN] = [
  job('2041-larch-20-hum'),
  job('2103-larch-20-back-again'),
  job('2117-larch-20-waiting'),
];

const schemaOf = (name: string) =>
  JSON.parse(readFileSync(new URL(`../../grammar/json/${name}.schema.json`, import.meta.url), 'utf8'));

describe('over the invented shop', () => {
  it('repeats finds the coupling capacitor that keeps leaking, whatever the revision', async () => {
    const { code, out } = await tagstrip(
      'repeats',
      OPEN,
      ...[
        '1829-larch-20-red-plate',
        '1932-larch-20-thick',
        '2047-larch-20-hot-valve',
        '2052-larch-20-tone',
      ].map(job),
    );
    expect(code).toBe(0);
    expect(out).toContain(
      'Larch 20: coupling capacitor of V4: 3 of 5 visits (60 %); with so few, anything from 23 to 88 %',
    );
    expect(out).toContain('paper capacitors: 4 of 5 visits (80 %)');
    expect(out).toMatch(/Replaced, and not counted\n {2}- job 1829: C9, it went out with its like/);
    expect(out).not.toMatch(/undefined|NaN|\bsafe/);
  });

  it('repeats --like finds the job that found the same, and says why', async () => {
    const leaky = job('2047-larch-20-hot-valve');
    const { code, out } = await tagstrip('repeats', BEFORE, leaky, '--like', OPEN);
    expect(code).toBe(0);
    expect(out).toMatch(/in\nbrackets\.\n\njob 2047, Larch 20, blue cloth/);
    expect(out).toContain('In common: coupling capacitor affected in both (2 of 3)');
  });

  it('orders lists what the open job waits for', async () => {
    const { code, out } = await tagstrip('orders', OPEN, BEFORE);
    expect(code).toBe(0);
    expect(out).toContain('2  22 nF 630 V film capacitor          job 2117 C9, C10');
    expect(out).toContain('6L6GC: at V3');
    expect(out).not.toMatch(/undefined|NaN|\bsafe/);
  });

  it('history shows the valve that went down between two visits', async () => {
    const { code, out } = await tagstrip('history', AGAIN, BEFORE, OPEN, '--serial', '0231');
    expect(code).toBe(0);
    expect(out).toMatch(/V4 5881 {2}cathode current +70\.6 mA +58\.8 mA +−16\.7 % !/);
    expect(out).toContain('Changed in job 2041, before these readings: C11');
  });

  it.each(['repeats', 'orders', 'history'])(
    '%s gives JSON that holds to its schema, and Markdown',
    async (verb) => {
      const { out } = await tagstrip(verb, BEFORE, AGAIN, '--format', 'json');
      expect(schemaFaults(JSON.parse(out), schemaOf(verb))).toEqual([]);
      const markdown = await tagstrip(verb, OPEN, '--format', 'md');
      expect(markdown.out).toMatch(/^# .+\n\n\*.+\*\n\n- \*\*/);
    },
  );
});

describe('a call that cannot be', () => {
  it.each([
    [['repeats', 'samples', '--like', 'nowhere.tagstrip.md'], 'cannot read nowhere.tagstrip.md'],
    [['repeats', 'samples', '--like', 'samples/shop.tagstrip.md'], '--like takes a job sheet'],
    [['repeats', 'samples', '--serial', '1'], 'repeats takes no --serial'],
    [['orders', 'samples', '--like', 'x'], 'orders takes no --like'],
    [['history', 'samples', '--format', 'sarif'], 'history --format takes text or md or html or json'],
  ] as const)('%j', async (args, said) => {
    const { code, err } = await tagstrip(...args);
    expect(code).toBe(2);
    expect(err).toContain(said);
  });
});
