/** The YAML at the head of a sheet: what it says, where, and what is wrong with it. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readNote } from '../../server/dialect/note.ts';
import type { FrontMatterEntry, Note } from '../../server/dialect/tree.ts';
import { applyEdits } from '../../server/text/edits.ts';
import { createSnapshot } from '../../server/text/snapshot.ts';
import { readFile, sliceOf, variants } from '../support/fixture.ts';

const read = (text: string): Note => readNote(createSnapshot('a.tagstrip.md', text));

/** `key=scalar` for each entry, `key(…)` for one that holds others. */
function show(entries: readonly FrontMatterEntry[]): string {
  return entries
    .map(({ key, scalar, items }) => (items === undefined ? `${key}=${scalar}` : `${key}(${show(items)})`))
    .join(' ');
}

const entriesOf = (text: string): string => show(read(text).frontMatter?.entries ?? []);

describe('front matter', () => {
  it('keeps every scalar as it is written', () => {
    expect(
      entriesOf(
        '---\njob: 0123\nserial: 12E4\nrevision: 1.10\nwarranty: yes\nhours: ~\nlimit: 0x1F\ncharge:\ntitle: "a: b"\n---\n',
      ),
    ).toBe('job=0123 serial=12E4 revision=1.10 warranty=yes hours=~ limit=0x1F charge= title=a: b');
  });

  it('has a place for each key and value, whatever the line ending', () => {
    for (const { name, fixture } of variants(
      '---\n⟦job⟧: ⟦0123⟧\n⟦title⟧: ⟦"Larch 🔥"⟧ # mine\n---\n\n{R1}\n',
      { emoji: false },
    )) {
      const [file] = fixture.files;
      const { frontMatter } = read(file?.text ?? '');
      const places = frontMatter?.entries.flatMap(({ keySpan, valueSpan }) => [keySpan, valueSpan]);
      expect(places, name).toEqual(file?.spans);
      expect(read(file?.text ?? '').blocks, name).toHaveLength(1);
    }
  });

  it('reads lone carriage returns as line ends', () => {
    expect(entriesOf('---\rjob: 1\rtitle: b\r---\rtext')).toBe('job=1 title=b');
  });

  it('keeps maps and lists for whoever knows them', () => {
    expect(entriesOf('---\nsense: { V1: 1R }\nwords:\n  - repairs\n  - [a, b]\n---\n')).toBe(
      'sense(V1=1R) words(0=repairs 1(0=a 1=b))',
    );
  });

  it('takes names that mean something to the machine for plain keys', () => {
    expect(entriesOf('---\n__proto__: 1\nconstructor: 2\ntoString: { __proto__: 3 }\n---\n')).toBe(
      '__proto__=1 constructor=2 toString(__proto__=3)',
    );
    expect(({} as Record<string, unknown>).polluted).toBeUndefined();
  });

  it.each([
    ['a space behind the fences', '--- \njob: 1\n---\t\n', 'job=1'],
    ['nothing in it', '---\n---\n', ''],
    ['only a comment', '---\n# later\n---\n', ''],
    ['a table behind it', '---\njob: 1\n---\n| a |\n| --- |\n', 'job=1'],
    ['a byte-order mark', '\uFEFF---\njob: 1\n---\n', 'job=1'],
    ['a line separator in a value', '---\njob: a\u2028b\n---\n', 'job=a\u2028b'],
  ])('may have %s', (_name, text, entries) => {
    const note = read(text);
    expect(show(note.frontMatter?.entries ?? [])).toBe(entries);
    expect(note.frontMatter).toBeDefined();
    expect(note.problems).toEqual([]);
  });

  it.each([
    ['broken brackets', '---\njob: [⟦⟧\n---\n'],
    ['the same key twice', '---\njob: 1\n⟦job⟧: 2\n---\n'],
    ['a tab for an indent', '---\na:\n⟦\t⟧b: 1\n---\n'],
    ['a reference', '---\na: &x 1\nb: ⟦*x⟧\n---\n'],
    ['a plain sentence', '---\n⟦just words⟧\n---\n'],
  ])('is told of %s, at its place', (_name, marked) => {
    const { text, spans } = readFile(marked);
    const { problems } = read(text);
    expect(problems.map(({ kind }) => kind)).toContain('front-matter-unreadable');
    const [problem] = problems;
    const [wanted] = spans;
    if (problem === undefined || wanted === undefined) throw new Error('no problem');
    expect(problem.message).toMatch(/^The front matter/);
    expect(Math.abs(problem.span.start - wanted.start)).toBeLessThanOrEqual(1);
    expect(sliceOf(text, problem.span)).not.toMatch(/[\r\n]/);
  });

  it('goes on being read behind a mistake', () => {
    expect(entriesOf('---\njob: 2031\ntitle: "open\nserial: 5\n---\n')).toContain('job=2031');
  });

  it.each([
    [
      'nested references',
      `---\na: &a [x, x]\n${[...'bcdefghi'].map((k, i) => `${k}: &${k} [*${'abcdefgh'[i]}, *${'abcdefgh'[i]}]`).join('\n')}\n---\n`,
    ],
    ['deep brackets', `---\na: ${'['.repeat(20_000)}\n---\n`],
    ['deep dashes', `---\n${'- '.repeat(9000)}a\n---\n`],
    ['deep maps', `---\n${Array.from({ length: 180 }, (_, i) => `${' '.repeat(i)}a:`).join('\n')}\n---\n`],
    ['many keys', `---\n${Array.from({ length: 6000 }, (_, i) => `k${i}: "1"`).join('\n')}\n---\n`],
    ['many plain keys', `---\n${Array.from({ length: 60_000 }, (_, i) => `k${i}: 1`).join('\n')}\n---\n`],
  ])('comes back from %s', (_name, text) => {
    expect(() => read(text)).not.toThrow();
  });

  it('never throws', () => {
    const yaml = fc.array(
      fc.constantFrom(
        'a',
        ': ',
        '- ',
        '[',
        ']',
        '{',
        '}',
        '"',
        "'",
        '&x ',
        '*x',
        '!t ',
        '|',
        '>',
        '#',
        '?',
        '\n',
        '\r',
        '\t',
        '  ',
        '---',
        '...',
        '%',
        '@',
        '`',
        '🔥',
        '\ud83d',
        '\0',
        '<<: ',
      ),
      { maxLength: 30 },
    );
    fc.assert(
      fc.property(yaml, (parts) => {
        const text = `---\n${parts.join('')}\n---\n`;
        for (const problem of read(text).problems) {
          expect(problem.span.start).toBeLessThanOrEqual(problem.span.end);
          expect(problem.span.end).toBeLessThanOrEqual(text.length);
        }
      }),
      { seed: 7, numRuns: 400 },
    );
  });
});

describe('what looks like front matter and is not', () => {
  it.each([
    ['never closes', '⟦---⟧\njob: 1\n\n# Title\n', undefined],
    ['opens with four hyphens', '⟦----⟧\njob: 1\n---\n', '---\njob: 1\n---\n'],
    ['closes with dots', '---\njob: 1\n⟦...⟧\n\ntext\n', '---\njob: 1\n---\n\ntext\n'],
    ['closes with four hyphens', '---\njob: 1\n⟦----⟧\n', '---\njob: 1\n---\n'],
    [
      'closes with dots and has a rule further down',
      '---\njob: 1\n⟦...⟧\n\ntext\n\n---\n',
      '---\njob: 1\n---\n\ntext\n\n---\n',
    ],
    ['begins behind an empty line', '\n⟦---⟧\njob: 1\n---\n', '---\njob: 1\n---\n'],
  ])('is told: it %s', (_name, marked, mended) => {
    for (const { fixture } of variants(marked, { emoji: false })) {
      const [file] = fixture.files;
      const text = file?.text ?? '';
      const [problem, ...more] = read(text).problems;
      expect(more).toEqual([]);
      expect(problem?.kind).toBe('front-matter-unreadable');
      expect(problem?.span).toEqual(file?.spans[0]);
      if (mended === undefined) continue;
      const [offer] = problem?.offers ?? [];
      if (offer === undefined) throw new Error('no offer');
      const after = applyEdits(text, [offer.edit]);
      expect(after.replace('\uFEFF', '').replaceAll('\r\n', '\n')).toBe(mended);
      expect(show(read(after).frontMatter?.entries ?? [])).toBe('job=1');
    }
  });

  it.each(['---\n\njust a rule\n', '---\nwords\n', '# T\n\n---\njob: 1\n---\n', '----\n', 'job: 1\n---\n'])(
    'is no concern in %j',
    (text) => {
      expect(read(text).problems).toEqual([]);
    },
  );
});
