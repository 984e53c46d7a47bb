/**
 * Owns how a sheet's text at a revision is asked of git. Git is called and never re-implemented; what the user wrote can be no
 * option of it, nothing goes through a shell, and nothing is changed in the repository.
 */
import { execFile } from 'node:child_process';
import { realpath } from 'node:fs/promises';
import { basename, dirname, isAbsolute, relative, sep } from 'node:path';
import { type Files, SHEET_ENDING } from '../shop/files.ts';
import { encodeSegment } from '../shop/uris.ts';

export type GitAnswer<T> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly reason: string };

/** Larger than any sheet that is read (1 MB) in any encoding. */
const MOST_BYTES = 16 * 1024 * 1024;
/** A repository on a slow share answers in seconds; one that waits for somebody never does. */
const PATIENCE = 30_000;

/** `a.tagstrip.md@REV`: the path and the revision; a path without one, or a file whose name has an `@`, has none. */
export function splitRevision(path: string): { readonly path: string; readonly revision?: string } {
  const at = path.lastIndexOf(`${SHEET_ENDING}@`);
  if (at < 0) return { path };
  const end = at + SHEET_ENDING.length;
  return { path: path.slice(0, end), revision: path.slice(end + 1) };
}

/** The files as they were at a revision; everything that a sheet there names is read from that revision too. */
export interface AtRevision extends Files {
  /** The sheet itself: `git://COMMIT/path/in/the/repository`, so that it is never taken for the file of today. */
  readonly uri: string;
}

/** Opens the repository that holds a sheet at a revision; refused with the reason where there is no repository or no such revision. */
export async function openRevision(path: string, revision: string): Promise<GitAnswer<AtRevision>> {
  if (!isRevision(revision))
    return { ok: false, reason: `'${revision}' is not a revision that git would take` };
  const folder = await realpath(dirname(path)).catch(() => undefined);
  if (folder === undefined) return { ok: false, reason: `there is no folder ${dirname(path)}` };
  const top = await git(folder, ['rev-parse', '--show-toplevel']);
  if (!top.ok) return top;
  const found = await realpath(top.value.replace(/\r?\n$/, '')).catch(() => undefined);
  if (found === undefined) return { ok: false, reason: `${folder} is in no work tree` };
  const named = await git(found, [
    'rev-parse',
    '--verify',
    '--quiet',
    '--end-of-options',
    `${revision}^{commit}`,
  ]);
  if (!named.ok)
    return { ok: false, reason: named.isSilent ? `git knows no commit '${revision}' here` : named.reason };
  const commit = named.value.trim();
  if (!/^[0-9a-f]{40,64}$/.test(commit))
    return { ok: false, reason: `git knows no commit '${revision}' here` };
  const within = relative(found, `${folder}${sep}${basename(path)}`);
  if (within.startsWith('..') || isAbsolute(within))
    return { ok: false, reason: `${path} is not in the repository at ${found}` };
  const uriOf = (name: string) => `${SCHEME}//${commit}/${name.split('/').map(encodeSegment).join('/')}`;
  const uri = uriOf(within.split(sep).join('/'));
  const nameOf = (at: string): string | undefined =>
    at.startsWith(uriOf('')) ? decoded(at.slice(uriOf('').length)) : undefined;
  return {
    ok: true,
    value: {
      uri,
      read: async (at) => {
        const name = nameOf(at);
        if (name === undefined || name === '') return undefined;
        const text = await git(found, ['cat-file', 'blob', `${commit}:${name}`]);
        return text.ok ? text.value : undefined;
      },
      listSheets: async (at) => {
        const list = await git(found, ['ls-tree', '-r', '-z', '--name-only', '--full-tree', commit]);
        const under = nameOf(at)?.replace(/\/$/, '');
        if (!list.ok || under === undefined) return [];
        return list.value
          .split('\0')
          .filter((name) => name.endsWith(SHEET_ENDING))
          .filter((name) => under === '' || name === under || name.startsWith(`${under}/`))
          .map(uriOf)
          .sort();
      },
    },
  };
}

const SCHEME = 'git:';

/** How a sheet at a revision is shown: its path in the repository, and the commit. */
export function pathAtRevision(uri: string): string | undefined {
  const [, commit, path] = /^git:\/\/([0-9a-f]{40,64})\/(.*)$/.exec(uri) ?? [];
  return commit === undefined || path === undefined ? undefined : `${decoded(path)}@${commit.slice(0, 10)}`;
}

function decoded(path: string): string {
  try {
    return decodeURIComponent(path);
  } catch {
    return path;
  }
}

/** What git calls a revision, without what begins an option, a path, a range or a search. */
function isRevision(text: string): boolean {
  return /^[\p{L}\p{N}_][\p{L}\p{N}_./@{}~^+-]*$/u.test(text) && !text.includes('..') && text.length <= 250;
}

type Said =
  | { readonly ok: true; readonly value: string }
  | { readonly ok: false; readonly reason: string; readonly isSilent: boolean };

function git(folder: string, args: readonly string[]): Promise<Said> {
  return new Promise((resolve) => {
    execFile(
      'git',
      // Neither a pager nor a program of the repository's own settings is started, and no lock is taken.
      ['--no-pager', '--no-optional-locks', '-c', 'core.fsmonitor=false', ...args],
      {
        cwd: folder,
        encoding: 'utf8',
        maxBuffer: MOST_BYTES,
        timeout: PATIENCE,
        windowsHide: true,
        env: { ...withoutRepository(process.env), GIT_TERMINAL_PROMPT: '0', LC_ALL: 'C' },
      },
      (error, stdout, stderr) => {
        if (error === null) return resolve({ ok: true, value: stdout });
        if (error.code === 'ENOENT')
          return resolve({ ok: false, reason: 'git is not installed, or not on the path', isSilent: false });
        const said = stderr.trim().split(/\r?\n/)[0] ?? '';
        const reason = /not a git repository/i.test(said)
          ? `${folder} is in no git repository`
          : `git says: ${said === '' ? error.message : said}`;
        return resolve({ ok: false, reason, isSilent: said === '' });
      },
    );
  });
}

/** A hook of git runs with the place of its repository set, relative to where it stands; here it is looked for from the sheet. */
function withoutRepository(environment: NodeJS.ProcessEnv): NodeJS.ProcessEnv {
  const { GIT_DIR: _, GIT_WORK_TREE: __, GIT_INDEX_FILE: ___, GIT_PREFIX: ____, ...rest } = environment;
  return rest;
}
