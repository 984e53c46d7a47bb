/** A sheet at a revision: git is asked, never imitated; nothing that a user writes becomes an option of it. */
import { execFileSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openSides } from '../../server/cli/compare-sides.ts';
import { comparisonText } from '../../server/cli/compare-text.ts';
import { openRevision, splitRevision } from '../../server/cli/git.ts';
import { compareAmplifiers } from '../../server/shop/compare.ts';
import { englishShop } from '../../server/shop/shop-words.ts';

let folder = '';
const git = (...args: readonly string[]) =>
  execFileSync('git', ['-c', 'user.name=T', '-c', 'user.email=t@example.org', ...args], {
    cwd: folder,
    stdio: 'pipe',
  });
const write = (path: string, text: string) => writeFileSync(join(folder, path), text);

const A = (rk: string) =>
  `---\nsheet: chassis\nmodel: Alder\n---\n- V3 = 6V6GT\n- R19 = ${rk} 5W, V3.k to gnd\n`;
const B =
  '---\nsheet: chassis\nmodel: Alder\nrevision: b\nfollows: a.tagstrip.md\n---\n- R17 = 470k, V3.g to gnd\n';

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'tagstrip-git-'));
  mkdirSync(join(folder, 'chassis è'));
  git('init', '-q');
  write('chassis è/a.tagstrip.md', A('470R'));
  write('chassis è/b.tagstrip.md', B);
  git('add', '.');
  git('commit', '-q', '-m', 'first');
  git('tag', 'v1');
  write('chassis è/a.tagstrip.md', A('390R'));
  git('commit', '-q', '-am', 'second');
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const sides = async (was: string, is: string) => {
  const found = await openSides([was, is], join(folder, 'chassis è'));
  if (!found.ok) return found.reason;
  const { was: one, is: two, places } = found.value;
  const { catalogue, house } = two.input;
  return comparisonText(
    compareAmplifiers(one.amplifier, two.amplifier, { catalogue, house }, englishShop),
    places,
    {
      colour: false,
      width: 100,
    },
  ).replaceAll('\u00a0', ' ');
};

describe('a sheet at two revisions', () => {
  it('is compared part by part', async () => {
    const text = await sides('a.tagstrip.md@v1', 'a.tagstrip.md');
    expect(text).toMatch(/first +chassis è\/a\.tagstrip\.md@[0-9a-f]{10}, as drawn/);
    expect(text).toContain('R19  changed: 470 Ω → 390 Ω');
  });

  it('takes what it follows from the same revision', async () => {
    const text = await sides('b.tagstrip.md@HEAD~1', 'b.tagstrip.md@HEAD');
    expect(text).toContain('R19  changed: 470 Ω → 390 Ω');
    expect(text).toContain('1 changed, 2 the same.');
  });
});

describe('what cannot be had', () => {
  it.each([
    ['a.tagstrip.md@nowhere', "git knows no commit 'nowhere' here"],
    ['c.tagstrip.md@v1', 'there is no c.tagstrip.md at v1'],
    ['a.tagstrip.md@', "'' is not a revision that git would take"],
    ['a.tagstrip.md@--output=x', "'--output=x' is not a revision that git would take"],
    ['a.tagstrip.md@v1..HEAD', "'v1..HEAD' is not a revision that git would take"],
    ['a.tagstrip.md@HEAD:README', "'HEAD:README' is not a revision that git would take"],
    ['a.tagstrip.md@v1;touch x', "'v1;touch x' is not a revision that git would take"],
    ['nowhere/a.tagstrip.md@v1', 'there is no folder'],
    ['c.tagstrip.md', 'cannot read c.tagstrip.md'],
  ])('%s is refused with the reason', async (path, reason) => {
    expect(await sides(path, 'a.tagstrip.md')).toContain(reason);
  });

  it('says where there is no repository', async () => {
    const outside = mkdtempSync(join(tmpdir(), 'tagstrip-bare-'));
    try {
      const found = await openRevision(join(outside, 'a.tagstrip.md'), 'HEAD');
      expect(found.ok ? '' : found.reason).toContain('is in no git repository');
    } finally {
      rmSync(outside, { recursive: true });
    }
  });

  it('reads nothing outside the revision', async () => {
    const found = await openRevision(join(folder, 'chassis è', 'a.tagstrip.md'), 'v1');
    if (!found.ok) throw new Error(found.reason);
    expect(await found.value.read('file:///etc/hostname')).toBeUndefined();
    expect(await found.value.read(`${found.value.uri}x`)).toBeUndefined();
    expect(await found.value.listSheets(found.value.uri.replace(/[^/]+$/, ''))).toHaveLength(2);
  });
});

describe('a path with a revision', () => {
  it.each([
    ['a.tagstrip.md', 'a.tagstrip.md', undefined],
    ['a.tagstrip.md@HEAD~2', 'a.tagstrip.md', 'HEAD~2'],
    ['me@home/a.tagstrip.md', 'me@home/a.tagstrip.md', undefined],
    ['a.tagstrip.md@main@{1}', 'a.tagstrip.md', 'main@{1}'],
  ])('%s', (given, path, revision) => {
    expect(splitRevision(given)).toEqual(revision === undefined ? { path } : { path, revision });
  });
});
