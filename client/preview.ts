/**
 * Owns how tags look in the editor's own Markdown preview: set apart, in the words in which they are written. Nothing is read from them
 * and nothing is computed. Other Markdown files are rendered as if this were not here: parsing is not touched, and what is rendered is
 * looked at only in a sheet.
 */
import grammar from '../grammar/tagstrip.tmLanguage.json';

/** As much of a token as is used here. */
export interface PreviewToken {
  readonly type: string;
  readonly content: string;
  readonly markup: string;
  readonly children: readonly PreviewToken[] | null;
}

type Render = (tokens: readonly PreviewToken[], options: unknown, env: unknown) => string;

/** As much of the preview's Markdown renderer as is used here. */
export interface PreviewMarkdown {
  readonly renderer: {
    render: Render;
    readonly rules: Record<string, unknown>;
  };
  readonly utils: { readonly escapeHtml: (text: string) => string };
}

const TAG = 'tagstrip_tag';

/** Where a tag opens: the same as where the editor begins to colour one. Not every editor's engine knows a flag inside a pattern. */
const OPENS = new RegExp(
  grammar.repository.tag.begin.replace(
    /\(\?i:([^)]*)\)/g,
    (_, words: string) => `(?:${words.replace(/[a-z]/g, (letter) => `[${letter}${letter.toUpperCase()}]`)})`,
  ),
  'g',
);

/** Signs of emphasis, which mean nothing in a tag: they are shown as they were written. */
const EMPHASIS: Readonly<Record<string, number>> = {
  em_open: 1,
  strong_open: 1,
  s_open: 1,
  em_close: -1,
  strong_close: -1,
  s_close: -1,
};

export function extendMarkdownIt<T extends PreviewMarkdown>(markdown: T): T {
  const { renderer, utils } = markdown;
  const render = renderer.render;
  renderer.rules[TAG] = (tokens: readonly PreviewToken[], i: number) =>
    `<code class="tagstrip-tag">${utils.escapeHtml((tokens[i]?.content ?? '').slice(1, -1).trim())}</code>`;
  renderer.render = function (this: unknown, tokens, options, env) {
    return render.call(this, isOfSheet(env) ? tokens.map(setTagsIn) : tokens, options, env);
  };
  return markdown;
}

function isOfSheet(env: unknown): boolean {
  const document = (env as { readonly currentDocument?: { readonly path?: unknown } } | undefined)
    ?.currentDocument;
  return typeof document?.path === 'string' && document.path.endsWith('.tagstrip.md');
}

/** The preview keeps its tokens: they are copied, never changed. */
function setTagsIn(token: PreviewToken): PreviewToken {
  const { type, content, children } = token;
  if (type !== 'inline' || children === null || !content.includes('{')) return token;
  return copy(token, { children: setTags(children, content) });
}

/** What is shown of one paragraph, heading or cell. `source` is that as it was written, backslashes and all. */
function setTags(tokens: readonly PreviewToken[], source: string): readonly PreviewToken[] {
  const out: PreviewToken[] = [];
  /** How far the source has been told apart: the same words may stand there more than once, behind a backslash and not. */
  let told = 0;
  for (let at = 0, from = 0; at < tokens.length; at++, from = 0) {
    let token = tokens[at] as PreviewToken;
    if (token.type === 'code_inline') told = pastIn(source, token.content, told);
    if (token.type !== 'text') {
      out.push(token);
      continue;
    }
    for (let shown = 0; ; ) {
      OPENS.lastIndex = from;
      const start = OPENS.exec(token.content)?.index;
      if (start === undefined) {
        out.push(shown === 0 ? token : copy(token, { content: token.content.slice(shown) }));
        break;
      }
      const head = /^\{[ \t]*\S[\w+.-]*/.exec(token.content.slice(start))?.[0] ?? '{';
      const place = source.indexOf(head, told);
      told = place < 0 ? told : place + head.length;
      const tag = place < 0 || isEscaped(source, place) ? undefined : readTag(tokens, at, start);
      if (tag === undefined) {
        from = start + 1;
        continue;
      }
      if (start > shown) out.push(copy(token, { content: token.content.slice(shown, start) }));
      out.push(copy(token, { type: TAG, content: tag.text }));
      at = tag.at;
      token = tokens[at] as PreviewToken;
      shown = tag.end;
      from = tag.end;
      // Nothing is left of a text that ends with the tag.
      if (shown === token.content.length) break;
    }
  }
  return out;
}

/** A tag that opens at `start` of the text `at`, and where it ends. None where something stands in it that is no text. */
function readTag(
  tokens: readonly PreviewToken[],
  at: number,
  start: number,
): { readonly text: string; readonly at: number; readonly end: number } | undefined {
  let text = '{';
  let open = 0;
  for (let i = at, from = start + 1; i < tokens.length; i++, from = 0) {
    const { type, content, markup } = tokens[i] as PreviewToken;
    if (type === 'text') {
      const end = content.slice(from).search(/[{}]/);
      if (end < 0) text += content.slice(from);
      else if (content[from + end] === '{' || open !== 0) return undefined;
      else return { text: text + content.slice(from, from + end + 1), at: i, end: from + end + 1 };
    } else if (type === 'softbreak') text += ' ';
    else if (type in EMPHASIS) {
      open += EMPHASIS[type] ?? 0;
      if (open < 0) return undefined;
      text += markup;
    } else if (markup !== 'linkify') return undefined;
  }
  return undefined;
}

function pastIn(source: string, words: string, from: number): number {
  const place = source.indexOf(words, from);
  return place < 0 ? from : place + words.length;
}

function isEscaped(source: string, place: number): boolean {
  const backslashes = /\\*$/.exec(source.slice(0, place))?.[0].length ?? 0;
  return backslashes % 2 === 1;
}

function copy(token: PreviewToken, changed: Partial<PreviewToken>): PreviewToken {
  return Object.assign(
    Object.create(Object.getPrototypeOf(token) as object | null),
    token,
    changed,
  ) as PreviewToken;
}
