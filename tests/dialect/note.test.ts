/** Where tags are found in a note, in which blocks, and that every place is exact whatever the text's bytes are like. */
import { describe, expect, it } from 'vitest';
import { LIMITS } from '../../server/dialect/limits.ts';
import { readNote } from '../../server/dialect/note.ts';
import type { Block, Note, Passage, Tag } from '../../server/dialect/tree.ts';
import { createSnapshot } from '../../server/text/snapshot.ts';
import { describeNote } from '../support/describe-tag.ts';
import { readFile, sliceOf, variants } from '../support/fixture.ts';

const read = (text: string): Note => readNote(createSnapshot('a.tagstrip.md', text));
const passages = (note: Note): Passage[] =>
  note.blocks.filter((block): block is Passage => block.kind === 'passage');

function tagsOf(block: Block): readonly Tag[] {
  if (block.kind === 'opaque') return [];
  return block.kind === 'table' ? block.rows.flatMap((row) => row.tags) : block.tags;
}

/** In every variant of the fixture the tags in braces must be exactly what is marked. */
function checkTags(marked: string, options: { readonly emoji?: boolean } = {}): void {
  for (const { name, fixture } of variants(marked, options)) {
    for (const { text, spans } of fixture.files) {
      const found = read(text)
        .blocks.flatMap(tagsOf)
        .filter((tag) => tag.form === 'braces')
        .map((tag) => tag.span)
        .sort((a, b) => a.start - b.start);
      expect(
        found.map((span) => sliceOf(text, span)),
        name,
      ).toEqual(spans.map((span) => sliceOf(text, span)));
      expect(found, name).toEqual([...spans]);
    }
  }
}

describe('a tag', () => {
  it.each([
    'one ⟦{C14}⟧ in ⟦{C15: 4n4}⟧ words',
    '# in a heading ⟦{C14}⟧',
    'in a heading ⟦{C14}⟧\n===',
    '**strong ⟦{C14}⟧ and *more ⟦{C15}⟧***',
    '[link ⟦{C14}⟧](there.md) ![no {C15}](x.jpg)',
    '> quoted ⟦{C14}⟧\n> > deeper ⟦{C15}⟧',
    '- item\n  - deeper ⟦{C14}⟧\n\n    and more ⟦{C15}⟧',
    'note[^1]\n\n[^1]: a footnote ⟦{C14}⟧\n\n    goes on ⟦{C15}⟧',
    '| a | b |\n|---|---|\n| ⟦{C14}⟧ | x ⟦{C15: 4n4}⟧ |',
    'wraps ⟦{C14:\n4n4}⟧ here',
    '> wraps ⟦{C14:\n> 4n4}⟧ here',
    'touching⟦{C14}⟧⟦{C15}⟧words',
    'escaped \\{⟦{C14}⟧',
    'tab\t⟦{C14}⟧\ttab',
    'line\u2028separator ⟦{C14}⟧ form\u000cfeed ⟦{C15}⟧',
    'entities &amp; &micro; ⟦{C14}⟧ and \\_ ⟦{C15}⟧',
    'no math: $40 ⟦{C14}⟧ $60 ⟦{C15}⟧',
    '~~struck ⟦{C14}⟧~~',
    '[x][] [][][] ⟦{C14}⟧ [[]] ](',
    'a@b.example ⟦{C14}⟧ https://x.example/{C15}',
    '<b>bold ⟦{C14}⟧</b>',
  ])('is found at its place in %j', (marked) => {
    checkTags(marked);
  });

  it.each([
    '\\{C14}',
    '`{C14}` ``{C15} ` ``',
    '```\n{C14}\n```',
    '    {C14}',
    '<!-- {C14} -->',
    '<div>\n{C14}\n</div>',
    '<a title="{C14}">',
    '[x]({C14}) [y](<{C15}>) [z](a "{C16}")',
    '[x]: {C14}',
    '<https://x.example/{C14}>',
    '$V_{C14}$ and $$ {C15} $$',
    '$$\n{C14}\n$$',
    '{{C14}} {{{C14}}} {%C14%} {#C14#} {+C14+}',
    '{C14\n\n}',
    '{C14 {C15',
    '{words} {} { } {c14}',
    '![{C14}](x.jpg)',
    '{C14',
  ])('is not found in %j', (marked) => {
    checkTags(marked);
  });

  it('opens again behind a brace that opened nothing', () => {
    checkTags('{words ⟦{C14}⟧ and } {');
  });

  it('has its inner places in the text that was given, with any line ending or mark', () => {
    const marked = 'x\n\n> {⟦V5⟧: a ⟦331⟧,\n> g2 ⟦322⟧}\n';
    for (const { name, fixture } of variants(marked, { emoji: false })) {
      const [file] = fixture.files;
      if (file === undefined) throw new Error('no file');
      const [tag] = read(file.text).blocks.flatMap(tagsOf);
      if (tag?.kind !== 'reading') throw new Error(`no reading in ${name}`);
      const values = tag.items.flatMap((item) => item.values);
      const places = values.map((value) => (value.kind === 'value' ? value.value.span : value.span));
      const [first] = tag.items;
      const ref = first?.at.kind === 'terminal' ? first.at.ref.span : undefined;
      expect([ref, ...places], name).toEqual([...file.spans]);
    }
  });
});

describe('the blocks of a note', () => {
  it('come in reading order, lists flat with their depth', () => {
    const note = read(
      [
        '# Title',
        'Words.',
        '- one',
        '  - two',
        '',
        '    more of two',
        '- [ ] open',
        '- [x] done',
        '> quoted',
        '',
        '***',
        '| a |',
        '|---|',
        '',
        '[^1]: note',
      ].join('\n'),
    );
    expect(
      note.blocks.map((block) => {
        const text = sliceOf(note.snapshot.text, block.span).replace(/\s+/g, ' ');
        if (block.kind !== 'passage') return `${block.kind} ${text}`;
        return `${block.container} ${block.listDepth} ${block.task ?? ''} ${text}`;
      }),
    ).toMatchInlineSnapshot(`
      [
        "heading # Title",
        "paragraph 0  Words.",
        "item 1  one",
        "item 2  two",
        "item 2  more of two",
        "item 1 open open",
        "item 1 done done",
        "quote 0  quoted",
        "opaque ***",
        "table | a | |---|",
        "footnote 0  note",
      ]
    `);
  });

  it('have headings without braces and marks', () => {
    const note = read('## *Why* {C14} `leaks`\n\n# 50 &micro;A\\_');
    expect(note.blocks.map((block) => (block.kind === 'heading' ? block.text : ''))).toEqual([
      'Why C14 leaks',
      '50 µA_',
    ]);
  });

  it('keep a list item that reads as a tag whole, and a remark with its own tags', () => {
    const note = read('- V5: a 331, g2 322 (see {C14})\n- V1: swapped it, no change\n');
    expect(describeNote(note)).toMatchInlineSnapshot(`
      [
        "reading V5.a voltage 331 V; V5.g2 voltage 322 V, remark “(see {C14})”",
        "mention C14",
      ]
    `);
  });

  it('name plain text where bare words can be mentions, and nothing else', () => {
    const text =
      'plain R17, {C14}, `R18`, <b id="R19">R20</b>, [R21](R22.md), <https://x/R23>, https://y/R24 and ![R25](R26.jpg) $R_{27}$';
    const [passage] = passages(read(text));
    const words = (passage?.prose ?? []).flatMap((span) => sliceOf(text, span).match(/R\d+/g) ?? []);
    expect(words).toEqual(['R17', 'R20', 'R21']);
  });

  it('leave the box of a task out of its text', () => {
    const text = '- [x] R17 = 470R\n- [ ]\tR18 = 470R\n';
    const note = read(text);
    expect(passages(note).map(({ span, task }) => `${task}: ${sliceOf(text, span)}`)).toEqual([
      'done: R17 = 470R',
      'open: R18 = 470R',
    ]);
  });

  it('have images with the parts that their text names', () => {
    const text = 'see ![V5 and R30-R32 \\] here](a.jpg) and ![no part][photo]\n\n[photo]: b.jpg\n';
    const images = passages(read(text)).flatMap((passage) => passage.images);
    expect(images.map(({ url, refs }) => `${url} ${refs.map(({ name }) => name).join(' ')}`)).toEqual([
      'a.jpg V5 R30 R31 R32',
      'b.jpg ',
    ]);
    expect(images[0]?.refs[0] && sliceOf(text, images[0].refs[0].span)).toBe('V5');
  });

  it('are those of the first version where a merge was left undecided', () => {
    const note = read('<<<<<<< ours\n{R1 = 1k}\n=======\n{R1 = 2k}\n>>>>>>> theirs\n');
    expect(describeNote(note)).toContain('fitted R1: 1 kΩ');
    expect(describeNote(note)).not.toContain('fitted R1: 2 kΩ');
  });
});

describe('conditions beside tags', () => {
  it.each([
    ['C14 lifted: {V5.g: 0 V}', ['reading V5.g voltage 0 V, when lifted C14']],
    ['Words first. C14 lifted: {V5.g: 0 V}', ['reading V5.g voltage 0 V, when lifted C14']],
    [
      '{V5.g: 0 V} (C14 lifted), {V5.g: 3 V}',
      ['reading V5.g voltage 0 V, when lifted C14', 'reading V5.g voltage 3 V'],
    ],
    ['no condition at all: {V5.g: 0 V} (I think)', ['reading V5.g voltage 0 V']],
    ['mains 238, dummy 8R:', ['from here: mains 238 V, dummy-load 8 Ω']],
    ['mains was low:', []],
    ['- hot:', ['from here: hot']],
  ])('%j', (text, lines) => {
    expect(describeNote(read(text))).toEqual(lines);
  });
});

describe('a link definition that hides a reading', () => {
  it('is told, with what to write', () => {
    const { text, spans } = readFile('words\n\n- ⟦[C14]: 4n4⟧\n- C15: 4n4\n');
    const [problem] = read(text).problems;
    expect(problem?.kind).toBe('link-definition');
    expect(problem?.span).toEqual(spans[0]);
    expect(problem?.offers[0]?.edit.text).toBe('C14: 4n4');
  });

  it('is not told of a link to a photo', () => {
    expect(read('- [C14]: c14.jpg\n').problems).toEqual([]);
    expect(read('[C14]: c14.jpg\n').problems).toEqual([]);
  });
});

describe('a sheet over a limit', () => {
  it.each<[string, string]>([
    ['too long', 'a\n'.repeat(LIMITS.textLength / 2 + 1)],
    ['a line too long', `x\n${'a'.repeat(LIMITS.lineLength + 1)}`],
    ['too many containers', '- '.repeat(LIMITS.containers + 1)],
    ['too many quotes', '> '.repeat(LIMITS.containers + 1)],
    ['too many numbers', '1. '.repeat(LIMITS.containers + 1)],
    ['too deep an indent', `${' '.repeat(LIMITS.indent + 1)}- a`],
    ['too deep a tabbed indent', `${'\t'.repeat(LIMITS.indent / 4 + 1)}- a`],
    ['too many links', '[a](b)\n\n'.repeat(LIMITS.linkTargets + 1)],
    ['too much emphasis in a paragraph', '*a_ *b\n'.repeat(LIMITS.emphasis / 3 + 1)],
    ['too much emphasis in a quote', '> *a_ *b\n'.repeat(LIMITS.emphasis / 3 + 1)],
    ['too much emphasis beside pipes', '| *a_ *b |\n'.repeat(LIMITS.emphasisBesidePipes / 3 + 1)],
    ['front matter too long', `---\n${'a: b\n'.repeat(LIMITS.frontMatter / 5 + 1)}---\n`],
  ])('is not read and says why: %s', (_name, text) => {
    const note = read(text);
    expect(note.blocks).toEqual([]);
    expect(note.problems.map(({ kind }) => kind)).toEqual(['sheet-too-large']);
    expect(note.problems[0]?.message).toMatch(/^The sheet was not checked because .*\d/);
  });

  it.each<[string, string]>([
    ['a long line', `${'a'.repeat(LIMITS.lineLength)}\n{R1 = 1k}`],
    ['containers', `${'- '.repeat(LIMITS.containers - 1)}{R1 = 1k}`],
    ['links', `${'[a](b)\n\n'.repeat(LIMITS.linkTargets)}\n{R1 = 1k}`],
    ['a table of links', `| a |\n|---|\n${'| [some words](photo.jpg) |\n'.repeat(500)}\n{R1 = 1k}`],
    ['emphasis in list items', `${'* *a*\n'.repeat(LIMITS.emphasis)}\n{R1 = 1k}`],
    ['emphasis in paragraphs', `${'*a* **b**\n\n'.repeat(LIMITS.emphasis)}\n{R1 = 1k}`],
    ['emphasis in a table', `| a |\n|---|\n${'| *a* |\n'.repeat(LIMITS.emphasis)}\n{R1 = 1k}`],
    ['names with underscores', `${'a_b '.repeat(LIMITS.emphasis + 1)}\n\n{R1 = 1k}`],
    ['a rule of many stars', `${'*'.repeat(500)}\n\n{R1 = 1k}`],
  ])('is read when it only reaches it: %s', (_name, text) => {
    expect(describeNote(read(text))).toEqual(['fitted R1: 1 kΩ']);
  });
});
