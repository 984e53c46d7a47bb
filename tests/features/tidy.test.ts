/** Tidying a whole sheet, a stretch and one tag; and the laws over the page of the dialect, the samples and the corpus. */
import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { readNote } from '../../server/dialect/note.ts';
import { tidyAll, tidyEdits, tidyHere } from '../../server/features/tidy.ts';
import { readSheet } from '../../server/sheet/read.ts';
import { applyEdits } from '../../server/text/edits.ts';
import { createSnapshot } from '../../server/text/snapshot.ts';
import type { Span } from '../../server/text/span.ts';
import { healthySheets } from '../corpus/healthy.ts';
import { describeNote } from '../support/describe-tag.ts';
import { getCursor, readFile } from '../support/fixture.ts';

function sheetOf(text: string) {
  return readSheet(readNote(createSnapshot('sheet.tagstrip.md', text)));
}

function tidied(text: string): string {
  return applyEdits(text, tidyEdits(sheetOf(text)));
}

/** What a note says, without what the writer is told of the writing. */
function said(text: string): readonly string[] {
  return describeNote(readNote(createSnapshot('sheet.tagstrip.md', text))).filter(
    (line) => !line.startsWith('! '),
  );
}

/** Nothing but tags and rows changes, everything is still said, and a second time changes nothing. */
function holdToLaws(text: string): void {
  for (const written of [text, text.replaceAll('\n', '\r\n'), `\uFEFF${text}`]) {
    const sheet = sheetOf(written);
    const edits = tidyEdits(sheet);
    const tags = sheet.note.blocks.flatMap((block): readonly { readonly span: Span }[] => {
      if (block.kind === 'opaque') return [];
      return block.kind === 'table' ? block.rows : block.tags;
    });
    for (const { span } of edits) {
      expect(tags.some((tag) => tag.span.start <= span.start && span.end <= tag.span.end)).toBe(true);
    }
    const after = applyEdits(written, edits);
    expect(said(after)).toEqual(said(written));
    expect(tidyEdits(sheetOf(after))).toEqual([]);
    expect(after.match(/\r\n|\r|\n/g)).toEqual(written.match(/\r\n|\r|\n/g));
  }
}

describe('the laws', () => {
  it('over the page of the dialect', () => {
    const page = readFileSync(new URL('../../grammar/dialect.md', import.meta.url), 'utf8');
    for (const [, , note = ''] of page.matchAll(/^(`{3,})markdown\n([\s\S]*?)^\1\n/gm)) holdToLaws(note);
  });

  it('over the samples, which are tidy', () => {
    const folder = new URL('../../samples/', import.meta.url);
    const names = readdirSync(folder, { recursive: true, encoding: 'utf8' });
    const sheets = names.filter((name) => name.endsWith('.md'));
    expect(sheets.length).toBeGreaterThan(3);
    for (const name of sheets) {
      const text = readFileSync(new URL(name, folder), 'utf8');
      holdToLaws(text);
      expect(tidied(text), name).toBe(text);
    }
  });

  it('over the healthy corpus', () => {
    // One of each kind of sheet; the others are written by the same hand.
    for (const { text, chassis = '' } of healthySheets().slice(0, 3)) {
      holdToLaws(text);
      holdToLaws(chassis);
    }
  });
});

describe('a sheet', () => {
  it('keeps its prose, code, front matter and braces that are no tags', () => {
    const text = [
      '---',
      'mains: 230V',
      '---',
      '',
      'Read {C14:4n4}  at 5V,so `{C14:4n4}` leaks — {this:that} {tail:-1.2V}.',
      '',
      '    {C14:4n4}',
      '',
    ].join('\n');
    expect(tidied(text)).toBe(text.replace('{C14:4n4}', '{C14: 4n4}'));
  });

  it('tidies a name in braces once a connection knows it', () => {
    const text = '{R9 = 1k, tail to gnd}\n\n{tail:-1.2V}\n';
    expect(tidied(text)).toBe('{R9 = 1k, tail to gnd}\n\n{tail: -1.2 V}\n');
  });

  it('tidies headings, quotes, emphasis, tasks and the tags in an item’s remark', () => {
    expect(tidied('# Why {C14:4n4}\n\n> **{V1-A}**\n\n- [ ] R9=1K5\n- V5:a 331 and {B+1:19Vpp}  so\n')).toBe(
      '# Why {C14: 4n4}\n\n> **{V1A}**\n\n- [ ] R9 = 1k5\n- V5: a 331 and {B+1: 19 Vpp}  so\n',
    );
  });
});

describe('a table', () => {
  it('has only its values and names tidied, and its columns stay where they are', () => {
    const text = [
      '| Valve | a (V)   | k      | mA    | Note  |',
      '| ----- | ------- | ------ | ----- | ----- |',
      '| V1-A  | −184.5  | 1.32v  | 4,5   | a — b |',
      '| V5 6V6GT | 331 volts | 19 | 38ma | ok |',
      '',
    ].join('\n');
    expect(tidied(text)).toBe(
      [
        '| Valve | a (V)   | k      | mA    | Note  |',
        '| ----- | ------- | ------ | ----- | ----- |',
        '| V1A   | -184.5  | 1.32 V | 4,5   | a — b |',
        '| V5 6V6GT | 331 V     | 19 | 38 mA | ok |',
        '',
      ].join('\n'),
    );
  });

  it('of parts has its values tidied by the part that they are of', () => {
    const text = [
      '| Ref  | Value   | Rating  | Kind | From    |',
      '| ---- | ------- | ------- | ---- | ------- |',
      '| C31  | 100 mfd | 50v     | Elco | V5.cathode |',
      '| R17  | 470Ω    | 5 watts |      | B+1     |',
      '',
    ].join('\n');
    expect(tidied(text)).toBe(
      [
        '| Ref  | Value   | Rating  | Kind | From    |',
        '| ---- | ------- | ------- | ---- | ------- |',
        '| C31  | 100uF   | 50V     | Elco | V5.k       |',
        '| R17  | 470R    | 5W      |      | B+1     |',
        '',
      ].join('\n'),
    );
  });
});

describe('at the caret', () => {
  function offered(marked: string): string {
    const file = readFile(marked);
    const at = getCursor(file);
    return tidyHere(sheetOf(file.text), { start: at, end: at })
      .map(({ title, edits }) => `${title}: ${applyEdits(file.text, edits)}`)
      .join('\n');
  }

  it('one tag is offered', () => {
    expect(offered('{C14:4‸n4} and {C15:4n4}')).toBe('Tidy this tag: {C14: 4n4} and {C15:4n4}');
  });

  it('one row is offered', () => {
    expect(offered('| Point | V |\n| --- | --- |\n| B+1 | 3‸52v |\n| B+2 | 341v |')).toContain(
      'Tidy this row',
    );
  });

  it('nothing is offered where nothing would change, or in prose', () => {
    expect(offered('{C14: ‸4n4} and {C15:4n4}')).toBe('');
    expect(offered('{C15:4n4} and ‸prose')).toBe('');
  });

  it('all of it is offered where anything would change', () => {
    expect(tidyAll(sheetOf('{C14: 4n4}'))).toEqual([]);
    expect(tidyAll(sheetOf('{C14:4n4} {C15:4n4}'))[0]?.edits).toHaveLength(2);
  });
});
