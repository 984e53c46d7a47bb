/** Owns the tokenising of Markdown with our injection grammar, as an editor does it, for the tests of its colours. */
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { IGrammar, IRawGrammar } from 'vscode-textmate';

const require = createRequire(import.meta.url);
const { loadWASM, OnigScanner, OnigString } =
  require('vscode-oniguruma') as typeof import('vscode-oniguruma');
const { INITIAL, Registry } = require('vscode-textmate') as typeof import('vscode-textmate');

export const INJECTION = JSON.parse(
  readFileSync(new URL('../../grammar/tagstrip.tmLanguage.json', import.meta.url), 'utf8'),
) as IRawGrammar & { readonly injectionSelector: string };

/** As much of Markdown as decides where a tag is not coloured, with the scopes that editors give it. */
const HOST = {
  name: 'Markdown',
  scopeName: 'text.html.markdown',
  patterns: [
    { name: 'markup.fenced_code.block.markdown', begin: '^ {0,3}```', end: '^ {0,3}```' },
    { name: 'comment.block.html', begin: '<!--', end: '-->' },
    {
      name: 'markup.heading.markdown',
      match: '^#{1,6} .*$',
      captures: { 0: { patterns: [{ include: '#inline' }] } },
    },
    { include: '#inline' },
  ],
  repository: {
    inline: {
      patterns: [
        { name: 'constant.character.escape.markdown', match: '\\\\[-`*_{}\\[\\]()#+.!]' },
        { name: 'markup.inline.raw.string.markdown', match: '`[^`]*`' },
        {
          match: '(\\]\\()([^()]*)(\\))',
          captures: { 2: { name: 'markup.underline.link.markdown' } },
        },
        { name: 'markup.bold.markdown', begin: '\\*\\*', end: '\\*\\*', patterns: [{ include: '#inline' }] },
      ],
    },
  },
} as unknown as IRawGrammar;

/** The grammar of the host with ours injected. */
export async function loadGrammar(): Promise<IGrammar> {
  const wasm = readFileSync(require.resolve('vscode-oniguruma/release/onig.wasm'));
  await loadWASM(wasm.buffer.slice(wasm.byteOffset, wasm.byteOffset + wasm.byteLength));
  const registry = new Registry({
    onigLib: Promise.resolve({
      createOnigScanner: (sources) => new OnigScanner(sources),
      createOnigString: (text) => new OnigString(text),
    }),
    loadGrammar: async (scope) => (scope === INJECTION.scopeName ? INJECTION : HOST),
    getInjections: (scope) => (scope === HOST.scopeName ? [INJECTION.scopeName] : undefined),
  });
  const grammar = await registry.loadGrammar(HOST.scopeName);
  if (grammar === null) throw new Error('the host grammar did not load');
  return grammar;
}

/** What is coloured as ours, a token a line: the text and its innermost scope without our suffix. */
export function coloured(grammar: IGrammar, text: string): string[] {
  const lines: string[] = [];
  let stack = INITIAL;
  for (const line of text.split('\n')) {
    const { tokens, ruleStack } = grammar.tokenizeLine(line, stack);
    stack = ruleStack;
    for (const { startIndex, endIndex, scopes } of tokens) {
      const scope = scopes[scopes.length - 1] ?? '';
      if (!scopes.some((each) => each === 'meta.tagstrip')) continue;
      const token = line.slice(startIndex, endIndex);
      if (token.trim() !== '') lines.push(`${token.trim()}  ${scope.replace(/\.tagstrip$/, '')}`);
    }
  }
  return lines;
}

/** Tokenises and forgets, for timing. */
export function tokenize(grammar: IGrammar, text: string): number {
  let stack = INITIAL;
  let count = 0;
  for (const line of text.split('\n')) {
    const { tokens, ruleStack } = grammar.tokenizeLine(line, stack);
    stack = ruleStack;
    count += tokens.length;
  }
  return count;
}
