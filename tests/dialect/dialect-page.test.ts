/** Runs every example of `grammar/dialect.md`. `UPDATE=1` writes what is read now; look at the difference. */
import { readFileSync, writeFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { readNote } from '../../server/dialect/note.ts';
import { createSnapshot } from '../../server/text/snapshot.ts';
import { describeNote } from '../support/describe-tag.ts';

const PAGE = new URL('../../grammar/dialect.md', import.meta.url);
const EXAMPLE = /^(`{3,})markdown\n([\s\S]*?)^\1\n```reads\n([\s\S]*?)^```$/gm;

const page = readFileSync(PAGE, 'utf8');
const examples = [...page.matchAll(EXAMPLE)].map(([, , note = '', reads = ''], i) => ({
  name: `${i + 1}: ${note.trim().split('\n')[0]}`,
  note,
  reads,
}));

describe('the examples of the dialect', () => {
  it('are all found', () => {
    expect(examples.length).toBeGreaterThan(25);
    expect(examples.length).toBe(page.match(/^```reads$/gm)?.length);
    if (process.env.UPDATE === '1') {
      const updated = page.replace(EXAMPLE, (_all, fence: string, note: string) =>
        [`${fence}markdown`, `${note}${fence}`, '```reads', `${read(note)}\`\`\``].join('\n'),
      );
      writeFileSync(PAGE, updated);
    }
  });

  it.each(examples)('are read as the page says: $name', ({ note, reads }) => {
    if (process.env.UPDATE !== '1') expect(read(note)).toBe(reads);
  });
});

function read(note: string): string {
  const lines = describeNote(readNote(createSnapshot('example.tagstrip.md', note)));
  return lines.map((line) => `${line}\n`).join('');
}
