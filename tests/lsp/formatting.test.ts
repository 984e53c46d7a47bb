/** Formatting tidies tags and nothing else, in the editor's own counting; and what is offered says of which kind it is. */

import { describe, expect, it } from 'vitest';
import type { CodeAction, TextEdit } from 'vscode-languageserver/node';
import { SHEET } from '../support/check.ts';
import { rangeOf, withServer } from '../support/lsp-client.ts';

const TEXT = '# Larch 🔥 {C14:4n4}\r\n\r\nRead  🔥 {V5:a 331,k19.4},and {C15: 4n4}.\r\n\r\n- V1-A=12AX7\r\n';
const about = { textDocument: { uri: SHEET } };
const options = { tabSize: 4, insertSpaces: true };

describe('formatting', () => {
  it('tidies all tags of a sheet, by the text and places that the editor has', () =>
    withServer(async (client) => {
      client.open(TEXT);
      await client.next();
      const edits = await client.ask<TextEdit[]>('textDocument/formatting', { ...about, options });
      expect(applied(TEXT, edits)).toBe(
        TEXT.replace('C14:4n4', 'C14: 4n4')
          .replace('V5:a 331,k19.4', 'V5: a 331, k 19.4')
          .replace('V1-A=', 'V1A = '),
      );
    }));

  it('tidies only what a stretch touches', () =>
    withServer(async (client) => {
      client.open(TEXT);
      await client.next();
      const range = rangeOf(TEXT, 'V1-A');
      const edits = await client.ask<TextEdit[]>('textDocument/rangeFormatting', {
        ...about,
        range,
        options,
      });
      expect(applied(TEXT, edits)).toBe(TEXT.replace('V1-A=', 'V1A = '));
    }));

  it('has nothing to do in a tidy sheet', () =>
    withServer(async (client) => {
      client.open('- V5: a 331\n');
      await client.next();
      expect(await client.ask('textDocument/formatting', { ...about, options })).toEqual([]);
    }));
});

describe('what is offered', () => {
  const ask = async (only?: readonly string[]) => {
    let kinds: readonly string[] = [];
    await withServer(async (client) => {
      client.open(TEXT);
      await client.next();
      const found = await client.ask<CodeAction[]>('textDocument/codeAction', {
        ...about,
        range: rangeOf(TEXT, 'V5'),
        context: { diagnostics: [], ...(only === undefined ? {} : { only }) },
      });
      kinds = found.map(
        ({ kind, title, isPreferred }) => `${kind}: ${title}${isPreferred === true ? '!' : ''}`,
      );
    });
    return kinds;
  };

  it('is of the kinds that the editor asks for', async () => {
    expect(await ask()).toEqual(['refactor.rewrite: Tidy this tag', 'source.tidy: Tidy all tags']);
    expect(await ask(['source'])).toEqual(['source.tidy: Tidy all tags']);
    expect(await ask(['source.tidy'])).toEqual(['source.tidy: Tidy all tags']);
    expect(await ask(['refactor'])).toEqual(['refactor.rewrite: Tidy this tag']);
    expect(await ask(['quickfix', 'source.organizeImports'])).toEqual([]);
  });
});

function applied(text: string, edits: readonly TextEdit[]): string {
  const lines = text.split('\n');
  const offset = ({ line, character }: TextEdit['range']['start']) =>
    lines.slice(0, line).reduce((sum, each) => sum + each.length + 1, 0) + character;
  return [...edits]
    .sort((a, b) => offset(b.range.start) - offset(a.range.start))
    .reduce(
      (now, { range, newText }) => now.slice(0, offset(range.start)) + newText + now.slice(offset(range.end)),
      text,
    );
}
