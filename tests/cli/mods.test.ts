/** The verb `mods` as its user calls it: on the samples, and on sheets written to a folder of its own. */
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { A, C, MODS } from '../shop/mods/alder.ts';
import { root, tagstrip } from '../support/command.ts';
import { schemaFaults } from '../support/json-schema.ts';
import { plainSpaces } from '../support/workshop.ts';

const SCHEMA = JSON.parse(readFileSync(join(root, 'grammar/json/mods.schema.json'), 'utf8'));
let folder = '';
const TWO = ['mods/bass-shelf.tagstrip.md', 'mods/cool-output.tagstrip.md'];

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'tagstrip-mods-'));
  const hostile =
    '## As found\n\n- C1 = 680n 50V film\n- C3: not seen\n\n## Work\n\n- mod cool-output: not applicable, <b>no</b> | [room](http://x) at all\n';
  const sheets: Readonly<Record<string, string>> = {
    'chassis/a.tagstrip.md': A,
    'chassis/c.tagstrip.md': C,
    'jobs/7.tagstrip.md': `---\njob: 7\nchassis: ../chassis/a.tagstrip.md\n---\n# Loud\n\n${hostile}`,
    ...Object.fromEntries(Object.entries(MODS).map(([name, text]) => [`mods/${name}.tagstrip.md`, text])),
    'shop.tagstrip.md': '---\nsheet: shop\n---\n# Shop\n',
  };
  for (const [path, text] of Object.entries(sheets)) {
    mkdirSync(dirname(join(folder, path)), { recursive: true });
    writeFileSync(join(folder, path), text);
  }
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

async function mods(args: readonly string[], at = folder) {
  const { code, out, err } = await tagstrip(['mods', ...args], { at });
  return { code, out: plainSpaces(out), err };
}

describe('in the terminal', () => {
  it('tells first which mod stands how, then each change with its evidence and effect', async () => {
    const { code, out } = await mods([
      'mods/cool-output.tagstrip.md',
      'mods/hot-output.tagstrip.md',
      'chassis/c.tagstrip.md',
    ]);
    expect(code).toBe(0);
    expect(out).toMatch(/^Mods against Alder 5, revision c\n\nSheet {2}c, as drawn\n/);
    expect(out).toContain('cool-output  conflicts  its one change is open');
    expect(out).toContain(
      '  - R8 470 Ω 5 W → 560 Ω 7 W wirewound, here R5: conflicts. R5 (cathode resistor of V1)',
    );
    expect(out.replace(/\s+/g, ' ')).toContain(
      'It is R8 of Alder 5, revision a, cathode resistor of V2: matched by place and role (chassis/c.tagstrip.md line 31)',
    );
    expect(out).toContain('DC, expected: V1 bias −19.4 → −20.9 V');
    expect(out).toContain('With it done it would break:\n  - (warning) V1 The anode of V1 dissipates');
    expect(out).toContain('never means that it may be done');
    expect(out.split('\n').filter((line) => line.length > 100)).toEqual([]);
  });

  it('tells what the writer says beside what the parts say', async () => {
    const { out } = await mods([...TWO, 'jobs/7.tagstrip.md']);
    expect(out).toContain('Mods against job 7 (Loud)');
    expect(out).toMatch(/cool-output +not applicable, by the sheet/);
    expect(out.replace(/\s+/g, ' ')).toContain(
      'The sheet says: not applicable, <b>no</b> | [room](http://x) at all; by the parts it would be: still applies (jobs/7.tagstrip.md line 14)',
    );
    expect(out).toMatch(/bass-shelf +unknown, look/);
  });

  it('takes folders, and tells several sheets each by its name', async () => {
    const { out } = await mods(['mods/bleeder.tagstrip.md', 'chassis']);
    expect(out).toMatch(/^Mods against 2 sheets\n/);
    expect(out).toContain('bleeder, on Alder 5, revision c');
  });
});

describe('for reviews, browsers and programs', () => {
  it('is Markdown and a page in which nothing of the author’s is markup', async () => {
    const md = (await mods([...TWO, 'jobs/7.tagstrip.md', '--format', 'md'])).out;
    expect(md).toMatch(/^# Mods against job 7/);
    expect(md).not.toMatch(/(?<!\\)<b>|(?<!\\)\]\(http/);
    const html = (await mods([...TWO, 'jobs/7.tagstrip.md', '--format', 'html'])).out;
    expect(html).toMatch(/^<!doctype html>/i);
    expect(html).toContain('&lt;b&gt;no');
    // A whole path would be broken inside a narrow fact.
    expect(html).toMatch(/<dd>7, /);
    expect(html).not.toMatch(/jobs\/7|\.tagstrip\.md/);
  });

  it.each([
    ['a job', ['mods', 'jobs']],
    ['two revisions', ['mods/bleeder.tagstrip.md', 'mods/no-bypass.tagstrip.md', 'chassis']],
  ])('is JSON as its schema says: %s', async (_, paths) => {
    const { out } = await mods([...paths, '--format', 'json']);
    const report = JSON.parse(out);
    expect(schemaFaults(report, SCHEMA)).toEqual([]);
    expect(report.mods.length).toBeGreaterThan(3);
    const [first] = report.mods;
    const { start } = first.changes[0].range;
    const text = readFileSync(join(folder, first.changes[0].file), 'utf8').split('\n')[start.line] ?? '';
    expect(text.slice(start.character)).toMatch(new RegExp(`^${first.changes[0].ref}\\b|^- `));
  });

  it('is JSON on the samples too', async () => {
    const { out, code } = await mods(
      ['samples/mods/tight-bass.tagstrip.md', 'samples/chassis/larch-20.c.tagstrip.md', '--format', 'json'],
      root,
    );
    expect(code).toBe(0);
    expect(schemaFaults(JSON.parse(out), SCHEMA)).toEqual([]);
  });
});

it('tells no effect that moves by less than its digits', async () => {
  const { out } = await mods(
    ['mods', 'chassis/larch-20.c.tagstrip.md', '--format', 'md'],
    join(root, 'samples'),
  );
  const moves = [...plainSpaces(out).matchAll(/([\d.]+) → ([\d.]+) [A-Za-zΩµ%]+/g)];
  expect(moves.length).toBeGreaterThan(10);
  expect(moves.filter(([, before, after]) => before === after).map(([said]) => said)).toEqual([]);
});

describe('the frequency response of a whole mod', () => {
  const page = async (...sheets: string[]) =>
    plainSpaces((await mods([...sheets, '--format', 'html'], join(root, 'samples'))).out);

  it('stands on the page as one picture a mod, before and after', async () => {
    const html = await page(
      'mods/tight-bass.tagstrip.md',
      'mods/bleeder.tagstrip.md',
      'chassis/larch-20.c.tagstrip.md',
    );
    expect(html.match(/<svg/g)).toHaveLength(1);
    expect(html).toContain('Frequency response before and after the whole mod tight-bass (C8, C5)');
    // The levels are those of the sentence above it, 82 Hz −5.6 dB, and the note says what was held, each thing once.
    expect(html).toMatch(/Change: 82 Hz: −5\.6 dB, 400 Hz: −1\.7 dB, 1 kHz: −0\.4 dB, 5 kHz: 0 dB/);
    const [note = ''] = /Computed, not read\. Held: [^<]*/.exec(html) ?? [];
    const held = note.replace(/^.*Held: |\.$/g, '').split('; ');
    expect(new Set(held).size).toBe(held.length);
  });

  it('is not drawn where nothing of it is heard, nor in Markdown', async () => {
    expect(await page('mods/screens-5w.tagstrip.md', 'chassis/larch-20.c.tagstrip.md')).not.toContain('<svg');
    const { out } = await mods(
      ['mods/tight-bass.tagstrip.md', 'chassis/larch-20.c.tagstrip.md', '--format', 'md'],
      join(root, 'samples'),
    );
    expect(out).not.toContain('Frequency response');
  });
});

describe('a call that cannot be done', () => {
  it.each([
    [['chassis'], /at least one mod sheet/],
    [['mods'], /a chassis or job sheet/],
    [['shop.tagstrip.md'], /at least one mod sheet/],
    [['nowhere'], /there is no nowhere/],
    [['mods', '--format', 'sarif'], /mods --format takes text or md or html or json/],
  ])('%j', async (args, message) => {
    const { code, err } = await mods(args);
    expect(code).toBe(2);
    expect(err).toMatch(message);
  });
});
