/** Holds the reading in pieces to the reading in one: same blocks, same tags, same places, before and after an edit. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readBlocks } from '../../server/dialect/blocks.ts';
import { findUndecided } from '../../server/dialect/conflicts.ts';
import { findFrontMatter } from '../../server/dialect/front-matter.ts';
import { parseMarkdown } from '../../server/dialect/markdown.ts';
import { createReader, readNote } from '../../server/dialect/note.ts';
import { shiftAny } from '../../server/dialect/shifting.ts';
import type { Block, WritingProblem } from '../../server/dialect/tree.ts';
import { createSnapshot, type Snapshot } from '../../server/text/snapshot.ts';

const SEED = 20_260_125;

/** Whatever opens, closes, nests, leans on another place, or looks as if it did. */
const FRAGMENTS = [
  '# As found',
  '## {C14} leaks',
  'Mains {mains: 236 V}, then {B+1: 352 V}.',
  'plain words, R17 and C5',
  '{C14:\n4n4} wrapped',
  'a *{R1 = 470R}* b ~~{R2 = 1k}~~',
  '- V5: a 331, g2 322',
  '- [ ] {R17 = 470R}',
  '* other {R3 = 1k}',
  '1. first {C1: 3}\n2. second',
  '7) seventh',
  '- a\n\n  b {C2: 3}\n\n      code {C3: 1}',
  '- a\n  - b\n    - {R4 = 1k}',
  '-',
  '- ```\n  {R5 = 1k}',
  '  indented {R6 = 1k}',
  '    code {R7 = 1k}',
  '\tcode {R8 = 1k}',
  '> quote {R9 = 1k}\n> more {R10\n> = 3k}',
  '> - in a quote\n>\n>   {R11 = 1k}',
  '> ```\n> {R12 = 1k}',
  'lazy\ncontinued {R13 = 1k}',
  '```\n{R14 = 1k}',
  '```',
  '````note\n{R15 = 1k}\n```\n````',
  '~~~\n\n{R16 = 1k}\n\n# no heading',
  '~~~',
  '  ~~~~',
  '$$\n{R17 = 1k}',
  '$$',
  'a $V_{R18}$ and $40',
  '<!-- {R19 = 1k}',
  '-->',
  '<!-- {R20 = 1k} --> {R21 = 1k}',
  '<!-->',
  '<script>\n{R22 = 1k}',
  '</script> x',
  '<pre>',
  '</PRE>',
  '<?php {R23 = 1k}',
  '?>',
  '<!DOCTYPE {R24 = 1k}',
  '<![CDATA[ {R25 = 1k}',
  ']]]>',
  ']]>',
  '<div>\n{R26 = 1k}',
  '</div>',
  '<b>{R27 = 1k}</b>',
  '| Valve | a |\n| --- | --- |\n| V4 | 348 |\n| `x \\| y` | {R28 = 1k} |',
  '| Ref | Value |\n|--|--|',
  '| Valve | a | k mV |\n|--|--|--|\n| V4, V5 | 348 (350) | 38 |\n| V6 6V6GT | ~12 | hot |\n| tail | 3 | - |',
  '| Part | Was | Now | From |\n|--|--|--|--|\n| R1, R2 | 1k | 2k2 5W | V5.k |\n| C3 | 1n | removed | x y |',
  '- C14 lifted: V5.g: 3 V -> 0 V (still warm)\n- V5.a to B+1: 3.4 V at 1 kHz',
  '{V1A = 12AX7, a R4 B+3, k R5 C3} {accept x-y V5: so} {R31: charred} {? B+1 - 1 V} {V6.k = V5.k}',
  '| R29 | 1k |',
  '---',
  '***',
  '===',
  '[^1]: note {R30 = 1k}\n\n    more {R31 = 1k}',
  '[^1] and [^two] called R32',
  '[^two]: other',
  '[photo]: r31.jpg',
  '[Photo]: <other one.jpg> "T"',
  'see ![R31][photo], [photo] and [text {R33 = 1k}][ photo ]',
  '> see [a\n> b] and [PHOTO]',
  '[a b]: x',
  '- [C14]: 4n4',
  'again [C14] and [c14][] and [x][{R34 = 1k}]',
  '[{R34 = 1k}]: y',
  '\uFEFFmarked {R35 = 1k}',
  '🔥 {R36 = 1k}',
  'a\u2028b\u000cc {R37 = 1k}',
  '{{R38 = 1k}} {% {R39 = 1k} %}',
  'a ` b {R40 = 1k}',
  '<<<<<<< ours\n{R41 = 1k}\n=======\n{R41 = 2k}\n>>>>>>> theirs',
];

const BREAKS = ['\n', '\n\n', '\n\n', '\n\n', '\n \t\n', '\n\n\n', '\n\n ', '\n\n    '];

const body = fc
  .array(fc.tuple(fc.constantFrom(...FRAGMENTS), fc.constantFrom(...BREAKS)), { maxLength: 14 })
  .map((parts) => parts.flat().join(''));
const head = fc.constantFrom(
  '',
  '',
  '',
  '---\njob: 2031\n---\n',
  '--- \nchassis: a.md\n--- \n\n',
  '---\n\n---',
  '---\n',
  '\n',
  '    ',
  '---\njob: [\n---\n---\n{R1 = 1k}\n---\n',
);
const ending = fc.constantFrom('\n', '\r\n', '\r');
const mark = fc.constantFrom('', '', '\uFEFF');
const sheet = fc
  .tuple(mark, head, body, ending)
  .map(([bom, front, text, eol]) => bom + (front + text).replaceAll('\n', eol));

describe('a sheet read in pieces', () => {
  it('is the sheet read in one', () => {
    fc.assert(
      fc.property(sheet, (text) => {
        const snapshot = createSnapshot('a.tagstrip.md', text);
        expectSame(contentOf(snapshot), readInOne(snapshot), snapshot);
      }),
      { seed: SEED, numRuns: 300 },
    );
  });

  it('is the same after every edit as read afresh', () => {
    fc.assert(
      fc.property(
        fc.array(sheet, { minLength: 2, maxLength: 4 }),
        fc.integer({ min: 0, max: 60 }),
        (texts, cut) => {
          const reader = createReader();
          let text = '';
          for (const next of texts) {
            // The head of one sheet on the tail of another is an edit that touches anything.
            text = text.slice(0, cut) + next.slice(Math.floor(cut / 2));
            const snapshot = createSnapshot('a.tagstrip.md', text);
            const { blocks, problems } = reader.readNote(snapshot);
            const afresh = readNote(snapshot);
            expectSame({ blocks, problems }, { blocks: afresh.blocks, problems: afresh.problems }, snapshot);
          }
        },
      ),
      { seed: SEED, numRuns: 60 },
    );
  });

  it('gives the very same blocks for what an edit did not move', () => {
    const reader = createReader();
    const text = '# One\n\n{R1 = 1k}\n\n# Two\n\n{R2 = 1k}\n';
    const before = reader.readNote(createSnapshot('a', text));
    const after = reader.readNote(createSnapshot('a', `${text}\n# Three\n`, 1));
    expect(after.blocks[0]).toBe(before.blocks[0]);
    expect(after.blocks[1]).toBe(before.blocks[1]);
  });
});

interface Content {
  readonly blocks: readonly Block[];
  readonly problems: readonly WritingProblem[];
}

function contentOf(snapshot: Snapshot): Content {
  const { blocks, problems } = readNote(snapshot);
  const ofTheBody = problems.filter(
    ({ kind }) => kind !== 'front-matter-unreadable' && kind !== 'conflict-marked',
  );
  return { blocks, problems: ofTheBody };
}

function readInOne(asWritten: Snapshot): Content {
  const decided = findUndecided(asWritten)?.text;
  const snapshot = decided === undefined ? asWritten : createSnapshot(asWritten.uri, decided);
  const start = snapshot.text.startsWith('\uFEFF') ? 1 : 0;
  const text = snapshot.text.slice(start);
  // A byte-order mark that is not the file's is text, and the parser would drop it at the head. A `---` that no other
  // closes is a rule, and the parser, having looked for front matter to the end, would take no list or quote for one.
  const isRule = text.startsWith('---') && findFrontMatter(snapshot) === undefined;
  const guarded = isRule || text.startsWith('\uFEFF') ? `.\n\n${text}` : text;
  const added = guarded.length - text.length;
  const { blocks, problems } = readBlocks(guarded, parseMarkdown(guarded, 0), added);
  return { blocks: shiftAny(blocks, start - added), problems: shiftAny(problems, start - added) };
}

function expectSame(got: Content, wanted: Content, { text }: Snapshot): void {
  // Compared as text first: it is much quicker, and a difference is then shown in full.
  if (JSON.stringify(got) !== JSON.stringify(wanted)) expect(got, JSON.stringify(text)).toEqual(wanted);
}
