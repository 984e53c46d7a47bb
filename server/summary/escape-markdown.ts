/**
 * Owns the one way in which text becomes Markdown: as text, whatever it says. Nothing of a note becomes emphasis, a link, a
 * picture, a table or HTML, nor what hosts make of bare words (`@name`, `#12`, addresses, `:signs:`).
 */
import { CONTROLS, DIRECTION, LONE } from './escape.ts';

/** Joins two characters without a sign: a host's look for a mention or an address fails on it, a reader sees nothing. */
const JOINER = '\u2060';

/** Text for any place within a line. What would end the line becomes a space. */
export function escapeMarkdown(text: string): string {
  return visible(text)
    .replace(/\s*[\r\n\u0085\u2028\u2029]+\s*/g, ' ')
    .replace(/[\\`*_{}[\]<>|~$]|&(?=[#\w])/g, '\\$&')
    .replace(/@(?=[\p{L}\d_-])/gu, `@${JOINER}`)
    .replace(/([#!&%$~^])(?=\d)/g, `$1${JOINER}`)
    .replace(/\b(gh)-(?=\d)/gi, `$1${JOINER}-`)
    .replace(/:(?=\/\/)/g, `:${JOINER}`)
    .replace(/\b(www)\./gi, `$1${JOINER}.`)
    .replace(/\b(mailto|xmpp|javascript|data|vbscript):/gi, `$1${JOINER}:`)
    .replace(/:(?=[\w+-]+:)/g, `:${JOINER}`);
}

/** What would make a block of its own at the start of a line: a list, a heading, a rule, a numbered item. */
export function escapeStart(markdown: string): string {
  return markdown
    .replace(/^[ \t]+/, '')
    .replace(/^(\d{1,9})([.)])(?=\s|$)/, '$1\\$2')
    .replace(/^([-+=#:])/, '\\$1');
}

/** Lines of code between fences that are longer than any run of ticks in it. */
export function fenced(code: string): string {
  const runs = code.match(/`+/g)?.map(({ length }) => length) ?? [];
  const fence = '`'.repeat(Math.max(3, ...runs.map((length) => length + 1)));
  return `${fence}\n${visible(code).replace(/[\r\u0085\u2028\u2029]+/g, '\n')}\n${fence}`;
}

function visible(text: string): string {
  return text.replace(LONE, '\ufffd').replace(CONTROLS, '\ufffd').replace(DIRECTION, '');
}
