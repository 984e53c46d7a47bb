import { describe, expect, it } from 'vitest';
import { getCursor, markSpans, readFile, readFixture, sliceOf, variants } from './fixture.ts';

describe('the marks of a fixture', () => {
  it('finds the cursor and the spans, nested ones too', () => {
    const file = readFile('a ⟦b ⟦c⟧ d⟧ ‸e');
    expect(file.text).toBe('a b c d e');
    expect(file.spans.map((each) => sliceOf(file.text, each))).toEqual(['b c d', 'c']);
    expect(file.text.slice(getCursor(file))).toBe('e');
  });

  it('counts in UTF-16 units', () => {
    expect(readFile('🔥 ⟦R1⟧').spans).toEqual([{ start: 3, end: 5 }]);
  });

  it('splits files at %%% lines', () => {
    const { files } = readFixture('%%% a.md\n# A\n%%% b/c.md\n⟦x⟧\n');
    expect(files.map(({ path, text }) => ({ path, text }))).toEqual([
      { path: 'a.md', text: '# A\n' },
      { path: 'b/c.md', text: 'x\n' },
    ]);
  });

  it.each(['a ⟦b', 'a⟧ b', '‸a‸', 'a\n%%%\nb'])('refuses what is left over: %j', (marked) => {
    expect(() => readFixture(marked)).toThrow();
  });

  it('writes marks back', () => {
    expect(markSpans('a b c', [{ start: 2, end: 3 }])).toBe('a ⟦b⟧ c');
    expect(markSpans('ab', [{ start: 1, end: 1 }])).toBe('a⟦⟧b');
  });
});

describe('the variants of a fixture', () => {
  it('moves the marks with the text', () => {
    const all = variants('x\n- {⟦R1⟧: ⟦10⟧}\n');
    expect(all.map(({ name }) => name)).toEqual(['LF', 'CRLF', 'BOM', 'emoji']);
    for (const { fixture } of all) {
      const [file] = fixture.files;
      expect(file?.spans.map((each) => sliceOf(file.text, each))).toEqual(['R1', '10']);
    }
    expect(all.map(({ fixture }) => fixture.files[0]?.text)).toEqual([
      'x\n- {R1: 10}\n',
      'x\r\n- {R1: 10}\r\n',
      '\uFEFFx\n- {R1: 10}\n',
      'x\n- {🔥 R1: 10}\n',
    ]);
  });

  it('can leave the emoji out', () => {
    expect(variants('- ⟦R1⟧: 10', { emoji: false })).toHaveLength(3);
  });
});
