/** The verb `suspects` as its user calls it, on a sheet of two stages written to a folder of its own. */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { tagstrip } from '../support/command.ts';
import { schemaFaults } from '../support/json-schema.ts';
import { plainSpaces } from '../support/workshop.ts';

const SHEET = `# Wagtail

## As found

- V1A = 12AX7, a R4 B+3, k R5 C5, g R6
- R4 = 100k 0.5W
- R5 = 1k5 0.5W
- R6 = 1M 0.5W
- C5 = 25uF 25V electrolytic
- B+3: 278 V
- V1A: a 142, k 1.18, g 0

## Work

- R4 = 100k 0.5W -> 100k 1W

## As left

- B+3: 278 V
- V1A: a 181, k 1.45, g 0
`;

let folder = '';
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'tagstrip-suspects-'));
  writeFileSync(join(folder, 'wagtail.tagstrip.md'), SHEET);
  writeFileSync(join(folder, 'short.tagstrip.md'), '# Short\n\n## As found\n\n- V5 = 6V6GT\n- V5: a 331\n');
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

async function suspects(...args: readonly string[]) {
  const { code, out } = await tagstrip(['suspects', ...args], { at: folder });
  return { code, out: plainSpaces(out) };
}

describe('suspects', () => {
  it('says what does not fit, who is suspected, what would show it, and that as left all fits', async () => {
    const { code, out } = await suspects('wagtail.tagstrip.md');
    expect(code).toBe(0);
    expect(out).toMatch(
      /^wagtail\.tagstrip\.md\n {2}As found: 3 readings, and these do not fit what is fitted: V1A\.a/,
    );
    expect(out).toMatch(/ {4}1\. R4: drifted to about 1\d0 kΩ, marked 100 kΩ \(line \d+\)\. Share \d+ %\.\n/);
    expect(out).toContain('lift one end of R4, between V1A.a and B+3 and measure it.');
    expect(out).toMatch(/As left: 3 readings, all within what parts, valves and meter may be off by\./);
    expect(out).not.toMatch(/\bsafe\b/i);
  });

  it('says why there are none', async () => {
    expect((await suspects('short.tagstrip.md')).out).toMatch(/As found: too little is written/);
  });

  it('prints JSON that holds to its schema', async () => {
    const { out } = await suspects('.', '--format', 'json');
    const json = JSON.parse(out);
    const schema = JSON.parse(
      readFileSync(new URL('../../grammar/json/suspects.schema.json', import.meta.url), 'utf8'),
    );
    expect(schemaFaults(json, schema)).toEqual([]);
    expect(json.suspects.map(({ file, phase }: { file: string; phase: string }) => [file, phase])).toEqual([
      ['short.tagstrip.md', 'as-found'],
      ['wagtail.tagstrip.md', 'as-found'],
      ['wagtail.tagstrip.md', 'as-left'],
    ]);
    expect(json.suspects[1].suspects[0]).toMatchObject({
      rank: 1,
      subject: 'R4',
      fault: 'drifted',
      unit: 'Ohm',
    });
  });
});
