/** The command as its user calls it: verbs, formats, exit codes, on the samples and on sheets written to a folder of its own. */
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { BASES, FIGURES } from '../../server/bench/model.ts';
import { findRule } from '../../server/rules/registry.ts';
import { SEVERITIES } from '../../server/rules/rule.ts';
import { root, tagstrip } from '../support/command.ts';

let folder = '';

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'tagstrip-cli-'));
  writeFileSync(
    join(folder, 'hot.tagstrip.md'),
    '# Hot\n\n## As found\n\n- V5 = 6V6GT\n- R17 = 330R 5W, V5.k to gnd\n- V5: a 311, g2 302, k 19.4\n',
  );
  writeFileSync(
    join(folder, 'marked.tagstrip.md'),
    '\uFEFF# Marked\r\n\r\n- R17 = 470R 5W, V5.k to gnd\r\n- R17: 480R\r\n',
  );
  writeFileSync(join(folder, 'fine.tagstrip.md'), '# Fine\n\nNothing to say.\n');
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

interface JsonRange {
  readonly start: { readonly line: number; readonly character: number };
  readonly end: { readonly line: number; readonly character: number };
}

describe('check', () => {
  it('ends with 1 on an error, 0 on a quiet sheet, and groups by sheet', async () => {
    const hot = await tagstrip(['check', 'hot.tagstrip.md'], { at: folder });
    expect(hot.code).toBe(1);
    expect(hot.out).toMatch(/^hot\.tagstrip\.md\n {2}line 7 {2}error {2}V5 /);
    expect(hot.out).toMatch(/1 error in 1 sheet\.\n$/);
    const fine = await tagstrip(['check', 'fine.tagstrip.md'], { at: folder });
    expect(fine).toEqual({ code: 0, out: 'No findings in 1 sheet.\n', err: '' });
  });

  it('obeys --fail-on', async () => {
    expect((await tagstrip(['check', 'hot.tagstrip.md', '--fail-on', 'never'], { at: folder })).code).toBe(0);
    const finished = 'samples/jobs/2047-larch-20-hot-valve.tagstrip.md';
    expect((await tagstrip(['check', finished])).code).toBe(0);
    expect((await tagstrip(['check', finished, '--fail-on', 'info'])).code).toBe(1);
  });

  it('has colour only where it is asked for', async () => {
    expect((await tagstrip(['check', 'hot.tagstrip.md'], { at: folder })).out).not.toContain('\u001b');
    expect((await tagstrip(['check', 'hot.tagstrip.md'], { at: folder, colour: true })).out).toContain(
      '\u001b',
    );
  });

  it('gives JSON whose every field is as promised, with ranges that point at the text', async () => {
    const { out } = await tagstrip(['check', 'samples', '--format', 'json']);
    const report = JSON.parse(out) as { tagstrip: number; findings: Record<string, unknown>[] };
    expect(report.tagstrip).toBe(1);
    expect(out, 'printed item by item, as if at once').toBe(`${JSON.stringify(report, null, 2)}\n`);
    expect(report.findings.length).toBeGreaterThan(3);
    for (const finding of report.findings) {
      expect(SEVERITIES).toContain(finding.severity);
      expect(findRule(String(finding.rule))).toBeDefined();
      expect(finding.message).toMatch(/\.$/);
      expect(finding.fingerprint).toMatch(/^[0-9a-f]{8}$/);
      expect(finding.help).toBe(`server/rules/README.md#${finding.rule}`);
      const { start, end } = finding.range as JsonRange;
      const lines = readFileSync(join(root, String(finding.file)), 'utf8').split('\n');
      expect(start.line).toBeLessThan(lines.length);
      expect(end.line > start.line || end.character > start.character).toBe(true);
    }
    const leak = report.findings.find(
      ({ rule, file }) => rule === 'leaky-coupling' && String(file).includes('/2047-'),
    );
    expect(leak).toMatchObject({
      file: 'samples/jobs/2047-larch-20-hot-valve.tagstrip.md',
      subject: 'C10',
      phase: 'as-found',
      severity: 'info',
    });
  });

  it('gives as one what is so as found and as left, and that it stood before', async () => {
    const sheet = (a: number) =>
      `# Job\n\n## As found\n\n- V5 = 6V6GT\n- R17 = 470R 5W, V5.k to gnd\n- V5: a 361, g2 272, k 12.4\n\n## As left\n\n- V5: a ${a}, g2 272, k 12.4\n`;
    const at = async (a: number) => {
      writeFileSync(join(folder, 'both.tagstrip.md'), sheet(a));
      const { out } = await tagstrip(['check', 'both.tagstrip.md', '--format', 'json'], { at: folder });
      rmSync(join(folder, 'both.tagstrip.md'));
      const { findings } = JSON.parse(out) as { findings: Record<string, unknown>[] };
      return findings
        .filter(({ rule }) => rule === 'anode-over-voltage')
        .map(({ phase, stoodBefore }) => ({ phase, stoodBefore }));
    };
    expect(await at(361)).toEqual([{ phase: 'as-left', stoodBefore: { phase: 'as-found' } }]);
    const [near] = await at(360);
    expect(near?.stoodBefore).toMatchObject({ phase: 'as-found', at: { unit: 'V' } });
    expect((await at(352)).map(({ stoodBefore }) => stoodBefore)).toEqual([undefined, undefined]);
  });
});

describe('figures', () => {
  it('gives each figure with its formula and inputs, unique by subject, name, phase and set', async () => {
    const { code, out } = await tagstrip(['figures', 'samples', '--format', 'json']);
    expect(code).toBe(0);
    const { figures } = JSON.parse(out) as { figures: Record<string, unknown>[] };
    const keys = figures.map(({ file, subject, figure, phase, set }) =>
      [file, subject, figure, phase, set].join(' '),
    );
    expect(new Set(keys).size).toBe(keys.length);
    for (const figure of figures) {
      expect(FIGURES).toContain(figure.figure);
      expect(BASES).toContain(figure.basis);
      expect(Number.isFinite(figure.value)).toBe(true);
      expect(figure.formula).not.toBe('');
      const { value, low, high, reckoned } = figure as Readonly<Record<string, number>>;
      if (low !== undefined && high !== undefined) {
        expect(value).toBe((low + high) / 2);
        expect(reckoned).toBeGreaterThanOrEqual(low);
        expect(reckoned).toBeLessThanOrEqual(high);
      } else expect(reckoned).toBeUndefined();
      const lines = readFileSync(join(root, String(figure.file)), 'utf8').split('\n');
      const { start, end } = figure.range as JsonRange;
      expect(lines[start.line]?.length ?? -1).toBeGreaterThanOrEqual(start.character);
      expect(lines[end.line]?.length ?? -1).toBeGreaterThanOrEqual(end.character);
      for (const input of figure.inputs as Record<string, unknown>[]) {
        expect(BASES).toContain(input.basis);
        // Whatever was read or fitted can be pointed at.
        if ((input.basis === 'read' || input.basis === 'fitted') && input.name !== 'gnd')
          expect(input.range).toBeDefined();
      }
    }
  });

  it('computes the same whether the text has a byte-order mark and CRLF or not', async () => {
    const marked = await tagstrip(['figures', 'marked.tagstrip.md', '--format', 'json'], { at: folder });
    writeFileSync(
      join(folder, 'plain.tagstrip.md'),
      '# Marked\n\n- R17 = 470R 5W, V5.k to gnd\n- R17: 480R\n',
    );
    const plain = await tagstrip(['figures', 'plain.tagstrip.md', '--format', 'json'], { at: folder });
    expect(marked.out.replaceAll('marked.tagstrip.md', 'plain.tagstrip.md')).toBe(plain.out);
    rmSync(join(folder, 'plain.tagstrip.md'));
  });

  it('says each in one line for people', async () => {
    const { out } = await tagstrip(['figures', 'hot.tagstrip.md'], { at: folder });
    expect(out.replaceAll('\u00a0', ' ')).toMatch(/line 7 {2}as-found {2}V5 +anode-dissipation +\d.* W/);
  });
});

describe('read', () => {
  it('says what was understood, in lists by what it is, with ranges', async () => {
    const { out } = await tagstrip(['read', 'hot.tagstrip.md', '--format', 'json'], { at: folder });
    const { sheets } = JSON.parse(out) as { sheets: Record<string, Record<string, unknown>[]>[] };
    const [sheet] = sheets;
    expect(sheet).toMatchObject({ kind: 'job', title: 'Hot' });
    expect(sheet?.parts?.map(({ ref, phase }) => [ref, phase])).toEqual([
      ['V5', 'as-found'],
      ['R17', 'as-found'],
    ]);
    expect(sheet?.connections).toEqual([
      {
        of: 'R17',
        phase: 'as-found',
        kind: 'ends',
        from: ['V5.k'],
        to: ['gnd'],
        range: { start: { line: 5, character: 17 }, end: { line: 5, character: 28 } },
      },
    ]);
    expect(sheet?.readings?.map(({ at, quantity, set }) => [at, quantity, set])).toEqual([
      ['V5.a', 'voltage', 1],
      ['V5.g2', 'voltage', 1],
      ['V5.k', 'voltage', 1],
    ]);
    expect(sheet?.readings?.[0]?.values).toEqual([
      {
        value: 311,
        unit: 'V',
        spelling: '311',
        range: { start: { line: 6, character: 8 }, end: { line: 6, character: 11 } },
      },
    ]);
    for (const list of ['changes', 'states', 'wires', 'questions', 'mentions', 'problems']) {
      expect(sheet?.[list], list).toBeInstanceOf(Array);
    }
  });

  it('has a text form', async () => {
    const { out, code } = await tagstrip(['read', 'hot.tagstrip.md'], { at: folder });
    expect(code).toBe(0);
    expect(out).toContain('job sheet, Hot');
  });
});

describe('summary', () => {
  it('writes one page for each reader', async () => {
    for (const reader of ['bench', 'customer']) {
      const target = join(folder, `${reader}.html`);
      const { code } = await tagstrip([
        'summary',
        'samples/jobs/2047-larch-20-hot-valve.tagstrip.md',
        '--for',
        reader,
        '--out',
        target,
      ]);
      expect(code).toBe(0);
      expect(readFileSync(target, 'utf8')).toMatch(/^<!doctype html>/i);
    }
  });

  it('of several sheets goes into a folder, one file a sheet', async () => {
    const { code, err } = await tagstrip(['summary', 'samples']);
    expect([code, err]).toEqual([2, expect.stringMatching(/needs --out FOLDER/)]);
    const target = join(folder, 'pages');
    expect((await tagstrip(['summary', 'samples/jobs', '--out', target])).code).toBe(0);
    const pages = readdirSync(join(target, 'samples/jobs'));
    expect(pages).toContain('2047-larch-20-hot-valve.html');
    expect(pages.length).toBe(readdirSync(join(root, 'samples/jobs')).length);
  });
});

describe('summary as Markdown and as the slip for the chassis', () => {
  const job = 'samples/jobs/2047-larch-20-hot-valve.tagstrip.md';

  it('prints Markdown for a git host', async () => {
    const { code, out } = await tagstrip(['summary', job, '--format', 'md', '--for', 'customer']);
    expect(code).toBe(0);
    expect(out).toMatch(/^# /);
    expect(out).not.toMatch(/<(?!!--)/);
  });

  it('tells the customer volts only where they are asked for', async () => {
    const args = ['summary', job, '--format', 'md', '--for', 'customer'];
    const volts = /\d\u00a0V\b/g;
    const plain = (await tagstrip(args)).out.match(volts) ?? [];
    const asked = (await tagstrip([...args, '--with-readings'])).out.match(volts) ?? [];
    expect(asked.length).toBeGreaterThan(plain.length);
  });

  it('makes the slip', async () => {
    const { code, out } = await tagstrip(['summary', job, '--format', 'md', '--for', 'label']);
    expect(code).toBe(0);
    expect(out).toContain('2047');
  });
});

describe('tidy', () => {
  const untidy =
    '# Hurried\n\n## As found\n\nProse stays: 100K.\n\n- C31=100uF@6.3V , across R17\n- C31: 7 V\n';

  it('shows a diff and changes nothing, and with --write changes tags alone', async () => {
    const file = join(folder, 'hurried.tagstrip.md');
    writeFileSync(file, untidy);
    const shown = await tagstrip(['tidy', 'hurried.tagstrip.md'], { at: folder });
    expect(shown.code).toBe(0);
    expect(shown.out).toMatch(/^--- .*hurried.*^-- C31=.*^\+- C31 = 100uF 6\.3V, across R17$/ms);
    expect(readFileSync(file, 'utf8')).toBe(untidy);
    expect((await tagstrip(['tidy', 'hurried.tagstrip.md', '--write'], { at: folder })).out).toBe(
      'tidied hurried.tagstrip.md\n',
    );
    expect(readFileSync(file, 'utf8')).toBe(
      untidy.replace('C31=100uF@6.3V , across', 'C31 = 100uF 6.3V, across'),
    );
    expect((await tagstrip(['tidy', 'hurried.tagstrip.md'], { at: folder })).out).toBe('');
    rmSync(file);
  });

  it('is what check --fix does first, and the findings are those of the tidied sheet', async () => {
    const file = join(folder, 'hurried.tagstrip.md');
    writeFileSync(file, untidy);
    const before = await tagstrip(['check', 'hurried.tagstrip.md', '--format', 'json'], { at: folder });
    expect(readFileSync(file, 'utf8')).toBe(untidy);
    const fixed = await tagstrip(['check', 'hurried.tagstrip.md', '--fix', '--format', 'json'], {
      at: folder,
    });
    expect(readFileSync(file, 'utf8')).toContain('C31 = 100uF 6.3V, across');
    const said = ({ out }: { readonly out: string }) =>
      (JSON.parse(out) as { findings: { rule: string; subject: string }[] }).findings.map(
        ({ rule, subject }) => `${rule} ${subject}`,
      );
    expect(said(before)).not.toEqual([]);
    expect(said(fixed)).toEqual(said(before));
    expect(fixed.out).toBe(
      (await tagstrip(['check', 'hurried.tagstrip.md', '--format', 'json'], { at: folder })).out,
    );
    rmSync(file);
  });
});

describe('compare', () => {
  const [chassis, job] = [
    'samples/chassis/larch-20.b.tagstrip.md',
    'samples/jobs/2052-larch-20-tone.tagstrip.md',
  ];

  it('says part by part what a job left otherwise than drawn, in each form', async () => {
    const text = await tagstrip(['compare', chassis, job]);
    expect(text.code).toBe(0);
    expect(text.out).toMatch(/C2 {2}changed: 22\sµF\s→\s680\snF/u);
    const { compare } = JSON.parse((await tagstrip(['compare', chassis, job, '--format', 'json'])).out);
    expect(compare.parts.length).toBeGreaterThan(40);
    expect((await tagstrip(['compare', chassis, job, '--format', 'md'])).out).toMatch(/^# .*against/);
    const page = (await tagstrip(['compare', chassis, job, '--format', 'html'])).out;
    expect(page.match(/<svg class="plot"/g)?.length).toBe(2);
  });
});

describe('unusable calls end with 2 and say why', () => {
  it.each([
    [[], /say what to do/],
    [['solder'], /no verb 'solder'/],
    [['check', 'nowhere'], /there is no nowhere/],
    [['check', '--format', 'xml'], /text or json/],
    [['check', '--fail-on', 'smoke'], /--fail-on takes/],
    [['check', '--colour'], /--colour/],
    [['check', '--for', 'bench'], /check takes no --for/],
    [['summary', 'samples/jobs/2047-larch-20-hot-valve.tagstrip.md', '--for', 'cat'], /bench or customer/],
    [['check', 'server'], /no sheets/],
    [['compare', 'samples/shop.tagstrip.md'], /two sheets/],
    [['compare', 'samples/shop.tagstrip.md', 'nowhere.tagstrip.md'], /cannot read nowhere/],
    [
      ['summary', 'samples/jobs/2047-larch-20-hot-valve.tagstrip.md', '--out', 'no/such/folder/x.html'],
      /cannot write/,
    ],
  ])('%j', async (args, message) => {
    const { code, err } = await tagstrip(args);
    expect(code).toBe(2);
    expect(err).toMatch(message);
  });

  it('and --help and --version with 0', async () => {
    expect((await tagstrip(['--help'])).out).toContain('--fail-on');
    expect(await tagstrip(['--version'])).toEqual({ code: 0, out: '0.0.0-test\n', err: '' });
  });
});
