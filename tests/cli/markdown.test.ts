/** The findings as a comment for a review: what it says, and that a note's text cannot act as markup in it. */
import remarkGfm from 'remark-gfm';
import remarkParse from 'remark-parse';
import { unified } from 'unified';
import { describe, expect, it } from 'vitest';
import { markdownSection, reviewComment } from '../../server/cli/markdown.ts';
import { countFindings, sayCount } from '../../server/cli/text.ts';
import { analyse } from '../support/check.ts';

const parser = unified().use(remarkParse).use(remarkGfm);

interface Node {
  readonly type: string;
  readonly value?: string;
  readonly children?: readonly Node[];
}

/** Kinds of all nodes, and the text without comments. */
function look(markdown: string): { readonly kinds: ReadonlySet<string>; readonly text: string } {
  const kinds = new Set<string>();
  let text = '';
  const visit = (node: Node): void => {
    kinds.add(node.type);
    if (node.type === 'text') text += node.value ?? '';
    for (const child of node.children ?? []) visit(child);
  };
  visit(parser.parse(markdown) as Node);
  return { kinds, text };
}

async function commentOn(text: string): Promise<string> {
  const { findings, sheet } = await analyse(text);
  const places = {
    path: () => 'jobs/2031 hum.tagstrip.md',
    snapshot: () => sheet.snapshot,
    chassisNamed: () => undefined,
  };
  const sections = findings.length === 0 ? [] : [markdownSection(findings, places)];
  return reviewComment(sayCount(countFindings(findings)), sections).replaceAll('\u00a0', ' ');
}

describe('a comment for a review', () => {
  it('is grouped by sheet, the worst first, accepted ones apart with their reason, with a count', async () => {
    const comment = await commentOn(
      '# Job\n\n## Work\n\n- R4 = 100k -> 4k9\n- plug out: B+1: 71 V\n- R17 = 470R 5W, V5.k to gnd\n\n## As found\n\n- R18 = 470R 5W\n- R18 = 330R 5W\n\n{accept two-values R18: both were on the drawing}\n',
    );
    expect(comment).toMatch(
      /^## Tagstrip\n\n1 error, 1 hint, 1 accepted in 1 sheet\.\n\n### jobs\/2031 hum\.tagstrip\.md\n\n- \*\*error\*\* line 6, \*\*B\+1\*\*: .*\(`residual-voltage`\)\n- \*\*hint\*\* line 5, \*\*R4\*\*: .*\(`value-uncommon`\)\n\nAccepted, with the reason written on the sheet:\n\n- \*\*warning\*\* line 12, \*\*R18\*\*: .* Accepted: both were on the drawing\. \(`two-values`\)\n {2}- R18: fitted here too\.\n/,
    );
  });

  it('says so where there is nothing, and that this clears nothing', async () => {
    expect(await commentOn('# Fine\n')).toBe(
      '## Tagstrip\n\nNo findings in 1 sheet.\n\n_Results are only as good as the readings: no warning never means that an amplifier may be touched._\n',
    );
  });

  it.each([
    ['*bold* and _slanted_ and ~~struck~~'],
    ['`code` and ``more``'],
    ['[a link](https://example.org) and ![a picture](x.png)'],
    ['<script>alert(1)</script> <img src=x> <!-- hidden'],
    ['see https://example.org and www.example.org now'],
    ['&lt;b&gt; &amp; $x$'],
    ['ends \\\\'],
    // What a host makes of bare words, and marks that turn the words beside them.
    ['ask @somebody of #12', '@somebody', '#12'],
    ['good\u202e dab\u2066', '\u202e', '\u2066'],
  ])('takes the reason %j for text', async (written, ...gone) => {
    const comment = await commentOn(
      `# Job\n\n## As found\n\n- R18 = 470R 5W\n- R18 = 330R 5W\n\n{accept two-values R18: ${written}}\n`,
    );
    expect(comment).toContain('Accepted: ');
    expect([...look(comment).kinds].sort()).toEqual(
      ['emphasis', 'heading', 'inlineCode', 'list', 'listItem', 'paragraph', 'root', 'strong', 'text'].sort(),
    );
    for (const sign of gone) expect(comment).not.toContain(sign);
  });

  it('takes the text of a note for text', async () => {
    const comment = await commentOn(
      '# Job\n\n## As found\n\n- R17 = 470R 5W, V5.k to gnd\n- R17 = 330R 5W (<b>ask</b> @bob **now** | x)\n',
    );
    const { kinds } = look(comment);
    expect([...kinds]).not.toContain('table');
    expect(comment).not.toMatch(/<b>|@bob|\*\*now/);
  });
});
