/**
 * Holds the source against the invariants of DEVELOPERS.md by reading import lines. Each `it` is one "Invariant:" sentence there,
 * in the same words.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, relative, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { rules } from '../server/rules/registry.ts';

const root = join(dirname(fileURLToPath(import.meta.url)), '..');
const LAYERS = [
  'text',
  'units',
  'electronics',
  'catalogue',
  'dialect',
  'sheet',
  'bench',
  'rules',
  'shop',
  'features',
  'summary',
  'lsp',
  'worker',
];
/** Layers that stand beside each other and never meet. */
const BESIDE: Readonly<Record<string, readonly string[]>> = { summary: ['features'], cli: ['lsp', 'worker'] };

interface Source {
  readonly path: string;
  readonly text: string;
  readonly imports: readonly string[];
}

function sourcesIn(folder: string): Source[] {
  return readdirSync(join(root, folder), { withFileTypes: true, recursive: true })
    .filter((entry) => entry.isFile() && entry.name.endsWith('.ts'))
    .map((entry) => {
      const full = join(entry.parentPath, entry.name);
      const text = readFileSync(full, 'utf8');
      const imports = [
        ...text.matchAll(
          /^(?:import|export)\s[^'"]*?from\s+['"]([^'"]+)['"]|^import\s+['"]([^'"]+)['"]|import\(\s*['"]([^'"]+)['"]/gm,
        ),
      ].map((match) => match[1] ?? match[2] ?? match[3] ?? '');
      return { path: relative(root, full), text, imports };
    });
}

const server = sourcesIn('server');
const client = sourcesIn('client');
const layerOf = (path: string) => path.split('/')[1] ?? '';
const target = (from: string, to: string) => relative(root, resolve(root, dirname(from), to));
const heightOf = (layer: string) => (layer === 'cli' ? LAYERS.indexOf('lsp') : LAYERS.indexOf(layer));
const allImports = [...server, ...client].flatMap(({ path, imports }) => imports.map((to) => ({ path, to })));
const importersOf = (pattern: RegExp) =>
  allImports.filter(({ to }) => pattern.test(to)).map(({ path }) => path);

describe('the layers', () => {
  it('reads a tree that is there', () => {
    expect(server.length).toBeGreaterThan(80);
    expect(allImports.length).toBeGreaterThan(200);
    expect(
      [...new Set(server.map(({ path }) => layerOf(path)))].filter((layer) => heightOf(layer) < 0),
    ).toEqual([]);
  });

  it('A file imports its own folder or a lower one.', () => {
    const upward = server.flatMap(({ path, imports }) =>
      imports
        .filter((to) => to.startsWith('.'))
        .map((to) => target(path, to))
        .filter((to) => {
          if (to === 'package.json') return layerOf(path) !== 'cli' && layerOf(path) !== 'lsp';
          const [from, at] = [layerOf(path), layerOf(to)];
          if (!to.startsWith('server/')) return true;
          if (BESIDE[from]?.includes(at) || BESIDE[at]?.includes(from)) return true;
          return from !== at && heightOf(at) >= heightOf(from);
        })
        .map((to) => `${path} -> ${to}`),
    );
    expect(upward).toEqual([]);
  });

  it('No imports go round in a circle, those of types included.', () => {
    const all = new Map([...server, ...client].map(({ path, imports }) => [path, imports]));
    const done = new Set<string>();
    const circles: string[] = [];
    const visit = (path: string, way: readonly string[]): void => {
      if (way.includes(path)) circles.push([...way.slice(way.indexOf(path)), path].join(' -> '));
      if (done.has(path) || way.includes(path)) return;
      for (const to of all.get(path) ?? []) if (to.startsWith('.')) visit(target(path, to), [...way, path]);
      done.add(path);
    };
    for (const path of all.keys()) visit(path, []);
    expect(circles).toEqual([]);
  });

  it('The client imports nothing from the server, and the server nothing from the client.', () => {
    const crossing = allImports.filter(
      ({ path, to }) =>
        to.startsWith('.') &&
        path.split('/')[0] !== target(path, to).split('/')[0] &&
        target(path, to) !== 'package.json' &&
        // What describes the dialect to others is data, and belongs to neither.
        !/^grammar\/[^/]+\.json$/.test(target(path, to)),
    );
    expect(crossing).toEqual([]);
  });

  it('vscode-languageserver is known only in lsp and worker.', () => {
    const outside = importersOf(/^vscode-languageserver/).filter(
      (path) => !/^server\/(lsp|worker)\//.test(path),
    );
    expect(outside).toEqual([]);
  });

  it('vscode and vscode-languageclient are known only in client.', () => {
    const outside = importersOf(/^vscode(-languageclient.*)?$/).filter((path) => !path.startsWith('client/'));
    expect(outside).toEqual([]);
  });

  it('Markdown and YAML are parsed only in dialect.', () => {
    const outside = importersOf(/^(micromark|mdast|unified|remark|unist|yaml)/).filter(
      (path) => !path.startsWith('server/dialect/'),
    );
    expect(outside).toEqual([]);
  });

  it('mathjs is known to one file.', () => {
    expect([...new Set(importersOf(/^mathjs/))]).toEqual(['server/units/expression.ts']);
  });

  it('Node is known only to the disk file port, the entries of lsp, and cli.', () => {
    const outside = importersOf(/^node:/).filter(
      (path) =>
        !['server/shop/disk-files.ts', 'server/lsp/node.ts'].includes(path) &&
        !path.startsWith('server/cli/'),
    );
    expect(outside).toEqual([]);
  });

  it('Below shop nothing asks for the time, for chance, for the process or for the console.', () => {
    const pure = server.filter(({ path }) => heightOf(layerOf(path)) < LAYERS.indexOf('shop'));
    const impure = pure.filter(({ text }) => {
      const code = text
        .replace(/\/\*[\s\S]*?\*\/|\/\/.*$/gm, '')
        .replace(/'(?:[^'\\\n]|\\.)*'|`(?:[^`\\]|\\.)*`/g, "''");
      return /\bDate\b|Math\.random|\bprocess\.|\bconsole\./.test(code);
    });
    expect(impure.map(({ path }) => path)).toEqual([]);
  });

  it('Every file says in its first sentence what it owns.', () => {
    const silent = [...server, ...client].filter(({ text }) => !/^\/\*\*[\s\S]{0,80}?\bOwns\b/.test(text));
    expect(silent.map(({ path }) => path)).toEqual([]);
  });

  it('No file is called after nothing in particular.', () => {
    const vague = [...server, ...client].filter(({ path }) =>
      /\b(utils?|helpers?|managers?|misc|common)\b/i.test(path),
    );
    expect(vague.map(({ path }) => path)).toEqual([]);
  });
});

describe('the rules', () => {
  it('The folder, the registry and the ids agree.', () => {
    const files = server
      .filter(({ path, text }) => layerOf(path) === 'rules' && /= defineRule\(/.test(text))
      .map(({ path }) => path.replace(/^server\/rules\/|\.ts$/g, ''))
      .sort();
    expect(rules.map(({ id }) => id)).toEqual(files);
  });
});
