/**
 * The command as git's own programs of a repository: `textconv` and `diff.<driver>.command` set as the README says, in a real
 * repository, with the chassis sheet found for the earlier text too.
 */
import { execFileSync } from 'node:child_process';
import { copyFileSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { readArguments } from '../../server/cli/arguments.ts';

const root = fileURLToPath(new URL('../..', import.meta.url));
const CHASSIS = 'shop/chassis/alder.tagstrip.md';
const JOB = 'shop/jobs/7 ä.tagstrip.md';

let folder = '';
let command = '';
const git = (...args: readonly string[]) =>
  execFileSync('git', ['-c', 'user.name=T', '-c', 'user.email=t@example.org', '--no-pager', ...args], {
    cwd: folder,
    encoding: 'utf8',
    stdio: ['ignore', 'pipe', 'pipe'],
  });
const write = (path: string, text: string) => {
  mkdirSync(join(folder, path, '..'), { recursive: true });
  writeFileSync(join(folder, path), text);
};
const edit = (path: string, from: string, to: string) => {
  const text = readFileSync(join(folder, path), 'utf8');
  expect(text).toContain(from);
  writeFileSync(join(folder, path), text.replace(from, to));
};

const ALDER =
  '---\nsheet: chassis\nmodel: Alder\n---\n# Alder\n\n- V5 = 6V6GT\n- R17 = 330R 5W wirewound, V5.k to gnd\n- B+1: 352 V\n';
const VISIT =
  '---\njob: 7\nchassis: ../chassis/alder.tagstrip.md\n---\n# Alder of somebody\n\n## As found\n\nMains {mains: 230 V}, warm.\n\n- V5: a 250, k 14.0\n';

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'tagstrip-diff-'));
  command = join(folder, 'tagstrip.cjs');
  await build({
    entryPoints: [join(root, 'server/cli/node.ts')],
    bundle: true,
    platform: 'node',
    format: 'cjs',
    outfile: command,
    logLevel: 'error',
  });
  git('init', '-q');
  write('.gitattributes', '*.tagstrip.md diff=tagstrip\n');
  write('.gitignore', 'tagstrip.cjs\n');
  write(CHASSIS, ALDER);
  write(JOB, VISIT);
  // Another of that name, in another amplifier's folder and with nothing of it.
  write('other/jobs/7 ä.tagstrip.md', '# Rowan\n\n- V1 = 12AX7\n');
  git('add', '.');
  git('commit', '-q', '-m', 'first');
  git('config', 'diff.tagstrip.textconv', `node '${command}' statements`);
  edit(JOB, 'k 14.0', 'k 15.0');
  edit(JOB, 'Alder of somebody', 'Alder of somebody else');
  // Two cores at other work take their time to bundle.
}, 60_000);
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const changed = (diff: string) => diff.split('\n').filter((line) => /^[+-](?![+-]{2})/.test(line));

// Each side of each diff is a program of its own.
const PATIENT = { timeout: 90_000 };

describe('git diff with textconv', PATIENT, () => {
  it('reads as statements, with the resistor of the chassis sheet under the earlier text too', () => {
    const diff = git('diff');
    const lines = changed(diff);
    for (const line of [
      '-as found  R17 dissipation 0.594 W (11.9 % of 5 W)',
      '+as found  R17 dissipation 0.682 W (13.6 % of 5 W)',
      '-as found  V5.k: 14 V',
      '+as found  V5.k: 15 V',
      '-as found  V5 cathode current 42.4 mA',
      '+as found  V5 cathode current 45.5 mA',
    ])
      expect(lines).toContain(line);
    // What did not change is not shown as changed.
    expect(lines.join()).not.toContain('V5.a:');
    expect(diff).toContain('-text  # Alder of somebody\n+text  # Alder of somebody else');
  });

  it('does so from a folder below the top, and of what was committed', () => {
    const below = execFileSync('git', ['--no-pager', 'diff'], {
      cwd: join(folder, 'shop/jobs'),
      encoding: 'utf8',
    });
    expect(changed(below)).toContain('+as found  V5.k: 15 V');
    git('commit', '-q', '-am', 'second');
    expect(changed(git('log', '-1', '-p', '--format=%h'))).toEqual(changed(below));
    expect(git('show', `HEAD:${JOB}`)).toContain('k 15.0');
    git('reset', '-q', '--soft', 'HEAD~1');
    expect(changed(git('diff', '--cached'))).toEqual(changed(below));
    git('reset', '-q');
  });

  it('shows nothing where only the layout changed', () => {
    copyFileSync(join(folder, CHASSIS), join(folder, 'kept.md'));
    edit(CHASSIS, '- B+1: 352 V\n', '\n\n- B+1: 352.0 V\n');
    expect(changed(git('diff', CHASSIS))).toEqual([]);
    copyFileSync(join(folder, 'kept.md'), join(folder, CHASSIS));
    rmSync(join(folder, 'kept.md'));
  });
});

describe('git diff with the command as its program', PATIENT, () => {
  const diff = (path = '.', ...args: readonly string[]) =>
    git('-c', `diff.tagstrip.command=node '${command}' changes`, 'diff', ...args, '--', path);

  it('is a line for each change', () => {
    const [title, ...lines] = diff().trimEnd().split('\n');
    expect(title).toBe(`tagstrip ${JOB}`);
    expect(lines).toEqual([
      '  as found  V5.k: 14 → 15 V',
      expect.stringMatching(/^ {2}as found {2}V5 anode dissipation .* → .*$/),
      '  - # Alder of somebody',
      '  + # Alder of somebody else',
    ]);
  });

  it('tells what a changed part does', () => {
    edit(CHASSIS, 'R17 = 330R', 'R17 = 390R');
    expect(diff(CHASSIS)).toMatch(/^tagstrip shop\/chassis\/alder\.tagstrip\.md\n {2}R17 330 Ω → 390 Ω/);
    edit(CHASSIS, 'R17 = 390R', 'R17 = 330R');
  });

  it('of a new sheet, one that is gone, one that was renamed', () => {
    write('shop/jobs/8.tagstrip.md', VISIT.replace('job: 7', 'job: 8'));
    git('add', '-N', 'shop/jobs/8.tagstrip.md');
    expect(diff('shop/jobs/8.tagstrip.md')).toMatch(/8\.tagstrip\.md \(new\)\n {2}new: job: 8\n/);
    git('rm', '-q', '--cached', 'shop/jobs/8.tagstrip.md');
    rmSync(join(folder, 'shop/jobs/8.tagstrip.md'));

    git('mv', CHASSIS, 'shop/chassis/alder.b.tagstrip.md');
    edit('shop/chassis/alder.b.tagstrip.md', 'R17 = 330R', 'R17 = 270R');
    const renamed = diff('shop/chassis', '-M', 'HEAD');
    expect(renamed).toContain('R17 330 Ω → 270 Ω');
    expect(renamed).toContain('→ shop/chassis/alder.b.tagstrip.md');
    edit('shop/chassis/alder.b.tagstrip.md', 'R17 = 270R', 'R17 = 330R');
    git('mv', 'shop/chassis/alder.b.tagstrip.md', CHASSIS);

    rmSync(join(folder, CHASSIS));
    expect(diff(CHASSIS)).toMatch(/alder\.tagstrip\.md \(removed\)\n/);
    git('checkout', '-q', '--', CHASSIS);
  });

  it('says so where only the writing changed', () => {
    edit(CHASSIS, 'R17 = 330R', 'R17 = 330 ohm');
    expect(diff(CHASSIS)).toContain('only how it is written changed');
    edit(CHASSIS, 'R17 = 330 ohm', 'R17 = 330R');
  });
});

describe('a merge that is undecided', PATIENT, () => {
  it('is shown by git with the one finding, and by the program with a word', () => {
    git('commit', '-q', '-am', 'ours');
    git('checkout', '-q', '-b', 'theirs', 'HEAD~1');
    edit(JOB, 'k 14.0', 'k 16.0');
    git('commit', '-q', '-am', 'theirs');
    expect(() => git('merge', '-q', '-')).toThrow();
    expect(git('diff')).toContain('++finding  <<<<<<< HEAD conflict-marked: error');
    const path = execFileSync('node', [command, 'changes', JOB], {
      cwd: folder,
      encoding: 'utf8',
      env: { ...process.env, GIT_DIFF_PATH_COUNTER: '1' },
    });
    expect(path).toContain('a merge is undecided');
    expect(() => execFileSync('node', [command, 'changes', JOB], { cwd: folder, stdio: 'pipe' })).toThrow(
      /changes takes two sheets/,
    );
    git('merge', '--abort');
    git('checkout', '-q', '-');
  });
});

describe('what the README sets for git', () => {
  const section = readFileSync(join(root, 'README.md'), 'utf8').split(/<!-- git:(?:begin|end) -->/)[1] ?? '';
  const calls = [
    ...section.matchAll(/(?:tagstrip|tagstrip\.cjs) ((?:check|changes|statements|compare)\b[^'`\n<]*)/g),
  ];

  it.each(calls.map(([, call = '']) => call.trim()))('tagstrip %s is a call that it understands', (call) => {
    expect(readArguments(call.split(/\s+/)).kind).toBe('call');
  });

  it('has the statements, the changes and the checks', () => {
    expect(new Set(calls.map(([, call = '']) => call.split(/\s/)[0]))).toEqual(
      new Set(['statements', 'changes', 'compare', 'check']),
    );
  });
});

describe('the hook of the README', PATIENT, () => {
  const hook = /```sh\n(#!\/bin\/sh\n[\s\S]*?)```/.exec(
    readFileSync(join(root, 'README.md'), 'utf8').split('<!-- git:begin -->')[1] ?? '',
  )?.[1];

  it('lets a sound sheet pass and holds back one with a standing error, as it is staged', () => {
    const script = (hook ?? '').replaceAll(/\btagstrip check\b/g, `node '${command}' check`);
    expect(script).toContain(' check');
    mkdirSync(join(folder, '.git/hooks'), { recursive: true });
    writeFileSync(join(folder, '.git/hooks/pre-commit'), script, { mode: 0o755 });
    edit(JOB, 'k 15.0', 'k 15.1');
    git('commit', '-q', '-am', 'sound');
    edit(JOB, 'k 15.1', 'k 15.1\n- F1 = T4A');
    edit(CHASSIS, '- V5 = 6V6GT', '- V5 = 6V6GT\n- F1 = T1A');
    expect(() => git('commit', '-q', '-am', 'with the wrong fuse')).toThrow(/fuse-mismatch/);
    rmSync(join(folder, '.git/hooks/pre-commit'));
  });
});
