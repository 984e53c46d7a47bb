/** A diff made from known edits, and that applying it gives what the edits give. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { unifiedDiff } from '../../server/cli/unified-diff.ts';
import { applyEdits, areDisjoint, type Edit } from '../../server/text/edits.ts';

function replace(text: string, ...pairs: readonly (readonly [string, string])[]): Edit[] {
  return pairs.map(([was, is]) => {
    const start = text.indexOf(was);
    return { span: { start, end: start + was.length }, text: is };
  });
}

describe('a diff', () => {
  const text = Array.from({ length: 20 }, (_, i) => `line ${i + 1}\n`).join('');

  it('is empty where nothing changes', () => {
    expect(unifiedDiff('a.md', text, [])).toBe('');
    expect(unifiedDiff('a.md', text, replace(text, ['line 3', 'line 3']))).toBe('');
  });

  it('shows three lines around a change', () => {
    expect(
      unifiedDiff('jobs/2041.tagstrip.md', text, replace(text, ['line 10', 'tidy 10'])),
    ).toBe(`--- a/jobs/2041.tagstrip.md
+++ b/jobs/2041.tagstrip.md
@@ -7,7 +7,7 @@
 line 7
 line 8
 line 9
-line 10
+tidy 10
 line 11
 line 12
 line 13
`);
  });

  it('shows near changes in one hunk and far ones in two, with the lines counted on', () => {
    const diff = unifiedDiff(
      'a b.md',
      text,
      replace(text, ['line 2\n', ''], ['line 5', 'x\ny'], ['line 19', 'z']),
    );
    expect(diff.match(/^@@.*$|^---.*$/gm)).toEqual([
      '--- a/a b.md\t',
      '@@ -1,8 +1,8 @@',
      '@@ -16,5 +16,5 @@',
    ]);
  });

  it('says where a text ends without a line end, and keeps carriage returns in the lines', () => {
    expect(unifiedDiff('a', 'one\r\ntwo', replace('one\r\ntwo', ['two', '2']))).toBe(
      '--- a/a\n+++ b/a\n@@ -1,2 +1,2 @@\n one\r\n-two\n\\ No newline at end of file\n+2\n\\ No newline at end of file\n',
    );
    expect(unifiedDiff('a', '', [{ span: { start: 0, end: 0 }, text: 'new\n' }])).toBe(
      '--- a/a\n+++ b/a\n@@ -0,0 +1,1 @@\n+new\n',
    );
  });

  it('gives, when it is applied, what the edits give', () => {
    const pieces = fc.array(fc.constantFrom('a', 'b', '\n', '\r\n', '\n\n', 'long line'), { maxLength: 60 });
    const edit = fc.record({
      at: fc.nat(200),
      length: fc.nat(12),
      text: pieces.map((each) => each.slice(0, 4).join('')),
    });
    fc.assert(
      fc.property(pieces, fc.array(edit, { maxLength: 5 }), (written, wanted) => {
        const old = written.join('');
        const edits = wanted.map(({ at, length, text: added }) => {
          const start = Math.min(at, old.length);
          return { span: { start, end: Math.min(old.length, start + length) }, text: added };
        });
        fc.pre(areDisjoint(edits));
        expect(patched(old, unifiedDiff('a', old, edits))).toBe(applyEdits(old, edits));
      }),
      { seed: 20311, numRuns: 400 },
    );
  });
});

/** Applies a diff, and demands that its counts and its unchanged lines are right. */
function patched(old: string, diff: string): string {
  const lines = old.match(/[^\n]*\n|[^\n]+$/g) ?? [];
  const out: string[] = [];
  let at = 0;
  for (const hunk of diff.split(/^(?=@@ )/m).slice(1)) {
    const [head = '', ...body] = hunk.split('\n').slice(0, -1);
    const [, from = '', removed = '', to = '', added = ''] =
      /^@@ -(\d+),(\d+) \+(\d+),(\d+) @@$/.exec(head) ?? [];
    const start = removed === '0' ? Number(from) : Number(from) - 1;
    out.push(...lines.slice(at, start));
    at = start;
    expect(out.length).toBe(added === '0' ? Number(to) : Number(to) - 1);
    const counts = { old: 0, new: 0 };
    body.forEach((each, i) => {
      if (each.startsWith('\\')) return;
      const line = each.slice(1) + (body[i + 1]?.startsWith('\\') ? '' : '\n');
      if (each[0] !== '+') {
        expect(lines[at]).toBe(line);
        at++;
        counts.old++;
      }
      if (each[0] !== '-') {
        out.push(line);
        counts.new++;
      }
    });
    expect(counts).toEqual({ old: Number(removed), new: Number(added) });
  }
  return [...out, ...lines.slice(at)].join('');
}
