/** A merge that git left undecided: one finding at its place, the first version read, and nothing shifted or said twice. */
import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { createReader } from '../../server/dialect/note.ts';
import { readSheet } from '../../server/sheet/read.ts';
import { createSnapshot } from '../../server/text/snapshot.ts';
import { analyse } from '../support/check.ts';

const said = async (text: string) => {
  const { findings } = await analyse(text);
  return findings.map(
    ({ rule, source }) =>
      `${rule} “${text.slice(source.span.start, source.span.end).replace(/\r?\n/g, '⏎')}”`,
  );
};

const sheet = (undecided: string) =>
  `---\njob: 1\n---\n# Job\n\n## As found\n\n${undecided}\n\n## Owner\n\nA resistor was renewed.\n`;

const LIST = sheet(
  '- V5 6V6GT: a 331, g2 322, k 19.4\n<<<<<<< HEAD\n- R17 = 470R 5W, V5.k to gnd\n- C31 = 100uF 50V, across R17\n=======\n- R17 = 270R 5W, V5.k to gnd\n- V5: k 24\n>>>>>>> bench-two',
);
const WITH_ANCESTOR = LIST.replace('=======\n', '||||||| 1a2b3c4\n- R17 = 390R 5W, V5.k to gnd\n=======\n');
const TABLE = sheet(
  '| Ref | Value | Rating | From | To |\n| --- | --- | --- | --- | --- |\n| R1 | 1M | 0.5W | V5.g | gnd |\n<<<<<<< ours\n| R17 | 470R | 5W | V5.k | gnd |\n=======\n| R17 | 270R | 5W | V5.k | gnd |\n>>>>>>> theirs\n| R18 | 1k | 5W | B+2 | V5.g2 |\n\n- V5 6V6GT: a 331',
);
const FRONT =
  '---\n<<<<<<< HEAD\njob: 1\n=======\njob: 2\n>>>>>>> x\nmains: 230 V\n---\n# Job\n\n## As found\n\n- V5 6V6GT: a 331\n';

describe('an undecided merge', () => {
  it.each([
    ['in a list', LIST, '<<<<<<< HEAD'],
    ['with the common ancestor shown', WITH_ANCESTOR, '<<<<<<< HEAD'],
    ['in a table', TABLE, '<<<<<<< ours'],
    ['in the front matter', FRONT, '<<<<<<< HEAD'],
  ])('%s is one finding at its place, and no consequences', async (_, text, mark) => {
    const decided = text.replace(/^<{7}.*\n|^(?:\|{7}.*\n[\s\S]*?)?={7}\n[\s\S]*?^>{7}.*\n?/gm, '');
    expect(decided).not.toContain('===');
    expect((await said(text)).sort()).toEqual([`conflict-marked “${mark}”`, ...(await said(decided))].sort());
    for (const other of [text.replaceAll('\n', '\r\n'), `\uFEFF${text}`, text.replaceAll('\n', '\r')])
      expect((await said(other)).map((each) => each.replace(/ “.*/s, ''))).toEqual(
        (await said(text)).map((each) => each.replace(/ “.*/s, '')),
      );
  });

  it('reads the first version, at its place', () => {
    for (const text of [LIST, WITH_ANCESTOR, TABLE, TABLE.replaceAll('\n', '\r\n')]) {
      const { statements, snapshot } = readSheet(createReader().readNote(createSnapshot('x', text)));
      const fitted = statements.flatMap((each) =>
        each.kind === 'fitted' && each.ref.name === 'R17' ? [each.specification?.span] : [],
      );
      expect(fitted.map((span) => snapshot.text.slice(span?.start, span?.end))).toEqual([
        expect.stringContaining('470R'),
      ]);
    }
  });

  it('goes on with the table behind it', () => {
    const { statements } = readSheet(createReader().readNote(createSnapshot('x', TABLE)));
    expect(statements.flatMap((each) => (each.kind === 'fitted' ? [each.ref.name] : []))).toEqual(
      expect.arrayContaining(['R1', 'R17', 'R18']),
    );
  });

  it('is told place by place where there are several', async () => {
    const two = `${LIST}\n<<<<<<< HEAD\nOne.\n=======\nTwo.\n>>>>>>> bench-two\n`;
    expect((await said(two)).filter((each) => each.startsWith('conflict-marked'))).toHaveLength(2);
  });

  it('offers the one and the other', async () => {
    const { findings } = await analyse(LIST);
    const [finding] = findings.filter(({ rule }) => rule === 'conflict-marked');
    expect(finding?.message).toContain('(HEAD, then bench-two)');
    expect(finding?.severity).toBe('error');
  });

  it('that was half tidied up says what is left', async () => {
    expect(await said(LIST.replace('<<<<<<< HEAD\n', ''))).toContain('conflict-marked “>>>>>>> bench-two”');
    expect(await said(LIST.replace('\n>>>>>>> bench-two', ''))).toContain('conflict-marked “<<<<<<< HEAD”');
  });

  it.each([
    ['a heading with a line below it', '# Job\n\nHum\n=======\n\n- V5 6V6GT: a 331\n'],
    ['marks in a fence', '# Job\n\n```\n<<<<<<< HEAD\n=======\n>>>>>>> x\n```\n'],
    ['a quotation within quotations', '# Job\n\n> > > > > > > deep\n'],
    ['marks in running text', '# Job\n\nIt said <<<<<<< HEAD there.\n'],
    ['six or eight of them', '# Job\n\n<<<<<< HEAD\n\n<<<<<<<< HEAD\n'],
  ])('is not %s', async (_, text) => {
    expect((await said(text)).join()).not.toContain('conflict-marked');
  });

  it('reads on from one text to the next as it would afresh', () => {
    const reader = createReader();
    const of = (text: string, read: typeof reader) =>
      readSheet(read.readNote(createSnapshot('x', text))).statements.map(({ kind, span }) => [
        kind,
        text.slice(span.start, span.end),
      ]);
    const decided = LIST.replace(/^[<=>]{7}.*\n/gm, '');
    for (const text of [LIST.replace('331', '330'), LIST, decided, WITH_ANCESTOR, TABLE, LIST])
      expect(of(text, reader)).toEqual(of(text, createReader()));
  });
});

describe('a merge that git itself leaves', () => {
  let folder = '';
  const git = (...args: readonly string[]) =>
    execFileSync('git', ['-c', 'user.name=T', '-c', 'user.email=t@example.org', ...args], {
      cwd: folder,
      stdio: 'pipe',
    });
  const write = (rk: string) =>
    writeFileSync(join(folder, 'a.tagstrip.md'), sheet(`- V5 6V6GT: a 331\n- R17 = ${rk} 5W, V5.k to gnd`));
  beforeAll(() => {
    folder = mkdtempSync(join(tmpdir(), 'tagstrip-merge-'));
    git('init', '-q', '-b', 'one');
    write('470R');
    git('add', '.');
    git('commit', '-q', '-m', 'first');
    git('checkout', '-q', '-b', 'two');
    write('330R');
    git('commit', '-q', '-am', 'two');
    git('checkout', '-q', 'one');
    write('390R');
    git('commit', '-q', '-am', 'one');
  });
  afterAll(() => rmSync(folder, { recursive: true, force: true }));

  it.each(['merge', 'diff3'])('in style %s is the one finding', async (style) => {
    expect(() => git('-c', `merge.conflictStyle=${style}`, 'merge', 'two')).toThrow();
    const text = readFileSync(join(folder, 'a.tagstrip.md'), 'utf8');
    git('merge', '--abort');
    const decided = await said(sheet('- V5 6V6GT: a 331\n- R17 = 390R 5W, V5.k to gnd'));
    expect((await said(text)).sort()).toEqual(['conflict-marked “<<<<<<< HEAD”', ...decided].sort());
  });
});
