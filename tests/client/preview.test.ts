/** Tags in the editor's own Markdown preview: set apart in sheets, in their own words; elsewhere nothing is touched. */
import { describe, expect, it } from 'vitest';
import { extendMarkdownIt, type PreviewToken } from '../../client/preview.ts';

const SHEET = { currentDocument: { path: '/shop/jobs/2047.tagstrip.md' } };
const ORDINARY = { currentDocument: { path: '/shop/readme.md' } };

const escapeHtml = (text: string) =>
  text.replace(
    /[&<>"]/g,
    (sign) => ({ '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;' })[sign] ?? sign,
  );

interface Renderer {
  readonly rules: Record<string, unknown>;
}

/** The preview's engine as far as it matters here: what a token holds goes out, by a rule where there is one. */
function engine() {
  const seen: PreviewToken[][] = [];
  const markdown = {
    utils: { escapeHtml },
    renderer: {
      rules: {} as Renderer['rules'],
      render(this: Renderer, tokens: readonly PreviewToken[], _options: unknown, _env: unknown): string {
        seen.push([...tokens]);
        return tokens
          .flatMap(({ children }) => children ?? [])
          .map((token, i, all) => {
            const rule = this.rules[token.type] as ((tokens: unknown, i: number) => string) | undefined;
            if (rule !== undefined) return rule(all, i);
            if (token.type === 'text') return escapeHtml(token.content);
            if (token.type === 'softbreak') return '\n';
            if (token.type === 'code_inline') return `<code>${escapeHtml(token.content)}</code>`;
            return `<${token.type}>`;
          })
          .join('');
      },
    },
  };
  return { ...extendMarkdownIt(markdown), seen };
}

const token = (type: string, content = '', markup = ''): PreviewToken => ({
  type,
  content,
  markup,
  children: null,
});
const text = (content: string) => token('text', content);
const inline = (source: string, ...children: readonly PreviewToken[]): PreviewToken => ({
  type: 'inline',
  content: source,
  markup: '',
  children,
});

/** A paragraph that holds nothing but words, which is then also what was written. */
const words = (content: string) => inline(content, text(content));
const render = (paragraph: PreviewToken, env: unknown = SHEET) =>
  engine().renderer.render([paragraph], {}, env);
const chip = (content: string) => `<code class="tagstrip-tag">${content}</code>`;

describe('in a sheet', () => {
  it.each([
    ['Mains {mains: 233 V}, warm.', `Mains ${chip('mains: 233 V')}, warm.`],
    ['{V5: a 347}{V6: a 351}', chip('V5: a 347') + chip('V6: a 351')],
    ['{? (B+1 - V1A.a) / R6}', chip('? (B+1 - V1A.a) / R6')],
    ['{accept over-voltage C1: as drawn} x', `${chip('accept over-voltage C1: as drawn')} x`],
    ['{GND to chassis: 0.1R}', chip('GND to chassis: 0.1R')],
    ['{V5: {R3: 4R}}', `{V5: ${chip('R3: 4R')}}`],
  ])('%s', (written, shown) => {
    expect(render(words(written))).toBe(shown);
  });

  it.each(['{note} {% x %} {{V5: a 3}} {.class}', '{V5: a 347', 'V5: a 347}', '{}', '{'])(
    'leaves what is no tag: %s',
    (written) => {
      expect(render(words(written))).toBe(written);
    },
  );

  it('goes on over a line’s end', () => {
    const paragraph = inline(
      'one {V5: a 347,\ng2 336} two',
      text('one {V5: a 347,'),
      token('softbreak'),
      text('g2 336} two'),
    );
    expect(render(paragraph)).toBe(`one ${chip('V5: a 347, g2 336')} two`);
  });

  it('shows signs of emphasis as they were written, for they mean nothing there', () => {
    const paragraph = inline(
      '{V5: a *347*}',
      text('{V5: a '),
      token('em_open', '', '*'),
      text('347'),
      token('em_close', '', '*'),
      text('}'),
    );
    expect(render(paragraph)).toBe(chip('V5: a *347*'));
  });

  it('does not tear emphasis that only begins in the braces', () => {
    const paragraph = inline(
      '{V5: a *347} b*',
      text('{V5: a '),
      token('em_open', '', '*'),
      text('347} b'),
      token('em_close', '', '*'),
    );
    expect(render(paragraph)).toBe('{V5: a <em_open>347} b<em_close>');
  });

  it('takes a rating for no mail address', () => {
    const paragraph = inline(
      '{C1 = 10uF@6.3V.com}',
      text('{C1 = '),
      token('link_open', '', 'linkify'),
      text('10uF@6.3V.com'),
      token('link_close', '', 'linkify'),
      text('}'),
    );
    expect(render(paragraph)).toBe(chip('C1 = 10uF@6.3V.com'));
  });

  it('tells the same words behind a backslash and in code from those that are a tag', () => {
    const source = '`{V5: 3}` \\{V5: 3} {V5: 3}';
    const paragraph = inline(source, token('code_inline', '{V5: 3}', '`'), text(' {V5: 3} {V5: 3}'));
    expect(render(paragraph)).toBe(`<code>{V5: 3}</code> {V5: 3} ${chip('V5: 3')}`);
  });

  it('lets nothing hostile through', () => {
    const hostile = '<img src=x onerror="alert(1)">&';
    const paragraph = inline(`{V5: &lt;img …}`, text(`{V5: ${hostile}}`));
    expect(render(paragraph)).toBe(chip(escapeHtml(`V5: ${hostile}`)));
  });

  it('leaves HTML in braces to the preview, which has rules of its own for it', () => {
    const paragraph = inline('{V5: <b>x</b>}', text('{V5: '), token('html_inline', '<b>'), text('x}'));
    expect(render(paragraph)).toBe('{V5: <html_inline>x}');
  });

  it('renders the same again: the preview keeps its tokens', () => {
    const paragraph = words('Mains {mains: 233 V}.');
    const { renderer } = engine();
    const once = renderer.render([paragraph], {}, SHEET);
    expect(renderer.render([paragraph], {}, SHEET)).toBe(once);
    expect(paragraph).toEqual(words('Mains {mains: 233 V}.'));
  });
});

describe('in any other Markdown file', () => {
  it.each([
    ['another file', ORDINARY],
    ['a text of no file', {}],
    ['no surroundings', undefined],
  ])('hands on the very tokens: %s', (_, env) => {
    const paragraph = words('Mains {mains: 233 V}.');
    const { renderer, seen } = engine();
    expect(renderer.render([paragraph], {}, env)).toBe('Mains {mains: 233 V}.');
    expect(seen[0]?.[0]).toBe(paragraph);
  });
});
