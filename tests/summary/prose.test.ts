/** Holds how the author's words are put on a page: all of them, none of Markdown's marks, and no more than was written. */
import { describe, expect, it } from 'vitest';
import type { Analysis } from '../../server/shop/shop.ts';
import { blocksHtml } from '../../server/summary/print-html.ts';
import { plainWords, topicProse } from '../../server/summary/prose.ts';
import { tellingOf } from '../../server/summary/telling.ts';
import { analyse } from '../support/check.ts';

async function ownerOf(markdown: string): Promise<string> {
  return proseOf(await analyse(`# X\n\n## Owner\n\n${markdown}\n`));
}

function proseOf(analysis: Analysis): string {
  return blocksHtml(topicProse(tellingOf(analysis), 'owner')).markup.replace(/ data-line="\d+"/g, '');
}

const CASES: readonly (readonly [string, string, string])[] = [
  ['plain words', 'It is new.', '<p>It is new.</p>'],
  ['emphasis', 'It **is** *new* and _good_ ~~not old~~.', '<p>It is new and good not old.</p>'],
  [
    'a word with stars that are no emphasis',
    'Rated 2 \\* 5 W, 5 > 3 & 2 < 4.',
    '<p>Rated 2 * 5 W, 5 &gt; 3 &amp; 2 &lt; 4.</p>',
  ],
  ['code', 'Set `VR2` to `5`.', '<p>Set VR2 to 5.</p>'],
  ['tags', 'See {C12} and {V5.a: 331 V}.', '<p>See C12 and V5.a: 331 V.</p>'],
  ['braces of no tag', 'So {it} goes.', '<p>So {it} goes.</p>'],
  ['a link', 'Read [our page](https://example.org "t") first.', '<p>Read our page first.</p>'],
  [
    'a link with a reference',
    'Read [our page][1] first.\n\n[1]: https://example.org',
    '<p>Read our page first.</p>',
  ],
  ['a picture', 'Before ![the old one](a.jpg) after.', '<p>Before after.</p>'],
  [
    'comments',
    'One <!-- not this --> two.\n\n<!-- nor\n\nthis -->\n\nThree.',
    '<p>One two.</p><p>Three.</p>',
  ],
  ['inline markup', 'One <b>two</b><br>three.', '<p>One two three.</p>'],
  ['a block of markup', '<div>\nOne <b>two</b>\n</div>', '<p>One two</p>'],
  [
    'character references',
    'Black &amp; white, 5&nbsp;&Omega;, &#181;F, &nosuch;.',
    '<p>Black &amp; white, 5\u00a0Ω, µF, &amp;nosuch;.</p>',
  ],
  ['two paragraphs and a soft break', 'One\ntwo.\n\nThree.', '<p>One two.</p><p>Three.</p>'],
  ['a list', '- one\n- two', '<ul><li>one</li><li>two</li></ul>'],
  ['a numbered list', '1. one\n2. two', '<ol><li>one</li><li>two</li></ol>'],
  ['tasks', '- [x] done\n- [ ] open', '<ul><li>done</li><li>open</li></ul>'],
  [
    'a list item that is a tag',
    '- C12 -> removed (not needed *here*)',
    '<ul><li>C12 -&gt; removed (not needed here)</li></ul>',
  ],
  ['a quotation', '> one\n> two', '<p>one two</p>'],
  ['code in a block', '```\na <b>\n```', '<pre>a &lt;b&gt;</pre>'],
  ['a rule', 'One\n\n---\n\nTwo', '<p>One</p><p>Two</p>'],
  ['a heading below', 'One\n\n### Two\n\nThree', '<p>One</p><h3>Two</h3><p>Three</p>'],
];

describe('the owner’s text', () => {
  for (const [what, markdown, expected] of CASES)
    it(`keeps the words of ${what}`, async () => {
      expect(await ownerOf(markdown)).toBe(expected);
    });

  it('keeps a table’s cells, escaped pipes and braces of tags', async () => {
    const page = await ownerOf('| Part | Why |\n| --- | --- |\n| {C31} | a \\| b *c* |');
    expect(page).toContain('<th scope="col">Part</th><th scope="col">Why</th>');
    expect(page).toContain('<td>C31</td><td>a | b c</td>');
  });

  it('ends where the next heading begins', async () => {
    const analysis = await analyse(
      '## Owner\n\nOurs.\n\n## Next time\n\nNot for them.\n\n## Owner\n\nMore.\n',
    );
    expect(proseOf(analysis)).toBe('<p>Ours.</p><p>More.</p>');
  });

  it('is read without marks and braces where it is quoted from another sheet', () => {
    expect(plainWords('**A ref from an older drawing names another part here**: C2 couples to {V4}.')).toBe(
      'A ref from an older drawing names another part here: C2 couples to V4.',
    );
  });
});
