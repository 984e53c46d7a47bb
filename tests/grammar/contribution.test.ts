/** Holds the extension's manifest to the files it names: a grammar under another scope name colours nothing, silently. */
import { existsSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';

const at = (path: string) => new URL(`../../${path}`, import.meta.url);
const manifest = JSON.parse(readFileSync(at('package.json'), 'utf8')) as {
  contributes: { grammars: { scopeName: string; path: string; injectTo: string[] }[] };
  files: string[];
};

describe('the manifest', () => {
  it.each(manifest.contributes.grammars)(
    'names the grammar $path by its own scope',
    ({ scopeName, path, injectTo }) => {
      expect(existsSync(at(path))).toBe(true);
      const grammar = JSON.parse(readFileSync(at(path), 'utf8')) as {
        scopeName: string;
        injectionSelector: string;
      };
      expect(grammar.scopeName).toBe(scopeName);
      for (const host of injectTo) expect(grammar.injectionSelector).toContain(`L:${host}`);
    },
  );

  it('packs what it names', () => {
    expect(manifest.files).toContain('grammar/*.json');
  });
});
