/** Holds the one way in which text becomes markup: escaped in text and in attributes, directions kept to themselves. */
import { describe, expect, it } from 'vitest';
import {
  escapeText,
  fixed,
  html,
  isEmpty,
  joinHtml,
  NOTHING,
  plainOnly,
} from '../../server/summary/escape.ts';

describe('text on a page', () => {
  it('has its five characters replaced', () => {
    expect(html`<p>${`<b> & "x" 'y'`}</p>`.markup).toBe('<p>&lt;b&gt; &amp; &quot;x&quot; &#39;y&#39;</p>');
    expect(html`<p class="${'" onclick="x'}">a</p>`.markup).toBe('<p class="&quot; onclick=&quot;x">a</p>');
  });

  it('goes in as it is where it is markup already, and once only', () => {
    const inner = html`<b>${'<'}</b>`;
    expect(html`<p>${inner}${[inner, 'a&b', undefined]}${undefined}${3}</p>`.markup).toBe(
      '<p><b>&lt;</b><b>&lt;</b>a&amp;b3</p>',
    );
    expect(joinHtml([inner, '<'], ' & ').markup).toBe('<b>&lt;</b> &amp; &lt;');
  });

  it('lets our own markup through and nothing into a title but text', () => {
    expect(isEmpty(NOTHING)).toBe(true);
    expect(html`${fixed('<i>')}`.markup).toBe('<i>');
    expect(plainOnly('</title>\u202e').markup).toBe('&lt;/title&gt;');
  });

  it('isolates what may turn its surroundings, in text; in attributes the marks are left out', () => {
    expect(html`<p>${'\u202eabc'}</p>`.markup).toBe('<p><bdi>\u202eabc</bdi></p>');
    expect(html`<p>${'שלום'}</p>`.markup).toBe('<p><bdi>שלום</bdi></p>');
    expect(html`<svg aria-label="${'\u202eabc'}">${'\u2066'}</svg>`.markup).toBe(
      '<svg aria-label="abc"><bdi>\u2066</bdi></svg>',
    );
    expect(html`<p>${'plain'}</p>`.markup).toBe('<p>plain</p>');
  });

  it('shows what HTML has no place for, and leaves pairs whole', () => {
    expect(escapeText('a\u0000b\ud83dc\udd25 🔥\t\n')).toBe('a\ufffdb\ufffdc\ufffd 🔥\t\n');
  });
});
