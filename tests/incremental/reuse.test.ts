/** What an edit did not touch is the very same object, and only the reader's next reading of that sheet moves it. */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { resolveAmplifier } from '../../server/bench/resolve.ts';
import { builtInCatalogue } from '../../server/catalogue/find-valve.ts';
import { createReader, isStanding, readNote } from '../../server/dialect/note.ts';
import { defaultHouse } from '../../server/rules/house.ts';
import type { Rule } from '../../server/rules/rule.ts';
import { check } from '../../server/rules/run.ts';
import { readSheet } from '../../server/sheet/read.ts';
import { createSnapshot } from '../../server/text/snapshot.ts';

const TEXT = `# Larch 20

## As found

It hums 🔥.

- V5 = 6V6GT, k R18
- R18 = 470R 5W, V5.k to gnd
- V5: a 331, g2 322, k 19.4

| Valve | a | k |
| --- | --- | --- |
| V6 6V6GT | 331 | 19.6 |

## As left

Words at the end.
`;

/** A sheet typed in: each text is read by the same reader. */
function typing(uri = 'file:///a.tagstrip.md') {
  const reader = createReader();
  return (text: string) => {
    const sheet = readSheet(reader.readNote(createSnapshot(uri, text)));
    return { sheet, amplifier: resolveAmplifier(sheet, undefined, builtInCatalogue) };
  };
}

describe('a word typed in prose', () => {
  it('leaves every statement, part, figure and view what it was, where it stands now', () => {
    const read = typing();
    const before = read(TEXT);
    const after = read(TEXT.replace('hums', 'hums loudly'));
    expect(after.sheet).not.toBe(before.sheet);
    expect(after.sheet.statements).toBe(before.sheet.statements);
    expect(after.sheet.sections).toBe(before.sheet.sections);
    expect(after.amplifier.phases).toBe(before.amplifier.phases);
    const { text } = after.sheet.snapshot;
    expect(after.sheet.statements.map(({ span }) => text.slice(span.start, span.end))).toContain(
      'V5: a 331, g2 322, k 19.4',
    );
    const resistor = after.amplifier.phases[0]?.parts.get('R18');
    expect(text.slice(resistor?.source.span.start, resistor?.source.span.end)).toContain('470R');
  });

  it('beside a tag in the same line leaves what the tag states', () => {
    const read = typing();
    const text = '# Job\n\n## As found\n\nRead {V5.k: 19 V} and {V5.a: 331 V} then.\n';
    const before = read(text);
    const after = read(text.replace('and', 'and also'));
    expect(after.sheet.statements).toBe(before.sheet.statements);
    expect(after.amplifier.phases).toBe(before.amplifier.phases);
  });
});

describe('a digit typed in a tag', () => {
  it('leaves all other statements what they were', () => {
    const read = typing();
    const before = read(TEXT);
    const after = read(TEXT.replace('19.6', '19.65'));
    const kept = after.sheet.statements.filter((each) => before.sheet.statements.includes(each));
    expect(after.sheet.statements.length - kept.length).toBe(1);
    expect(after.sheet.sets).toBe(before.sheet.sets);
  });
});

describe('a reading that says more than a number', () => {
  it.each([
    ['which half of a twin a letter is', 'V1A: pin 6 180 V', 'V1A: pin 1 180 V'],
    ['that a twin has halves', 'V1: k 1.4', 'V1A: k 1.4'],
    ['that a valve has a screen', 'V2: a 300', 'V2: g2 300'],
  ])('tells again %s', (_what, one, other) => {
    const text = (reading: string) =>
      `# Job\n\n- V1 = 12AX7, a R1 B+1\n- R1 = 100k\n- V1.6: 150 V\n- V1.1: 160 V\n- V2 = XY99\n- ${reading}\n`;
    const read = typing();
    read(text(one));
    const after = read(text(other)).amplifier.phases[0];
    const afresh = typing()(text(other)).amplifier.phases[0];
    const told = (view: typeof after) =>
      JSON.stringify([view?.readings, view?.figures, [...(view?.parts.keys() ?? [])], view?.circuit.nodes]);
    expect(told(after)).toBe(told(afresh));
    expect(told(after)).not.toBe(told(typing()(text(one)).amplifier.phases[0]));
  });
});

describe('a rule', () => {
  const ran: string[] = [];
  const rule = (id: string, look: (context: Parameters<Rule['check']>[0]) => unknown): Rule => ({
    id,
    since: '1',
    category: 'record',
    severities: '',
    summary: '',
    why: '',
    howToFix: '',
    source: '',
    options: {},
    bad: { sheet: '' },
    good: { sheet: '' },
    check: (context) => {
      look(context);
      ran.push(id);
      return [];
    },
  });
  const rules = [
    rule('reads-phases', ({ amplifier }) => amplifier.phases.length),
    rule('reads-statements', ({ sheet }) => sheet.statements.length),
    rule('reads-text', ({ amplifier }) => amplifier.sheet.snapshot.text),
    rule('reads-field', ({ sheet }) => sheet.field('owner')),
  ];
  const run = (read: ReturnType<typeof typing>, text: string): readonly string[] => {
    ran.length = 0;
    const { amplifier } = read(text);
    check({ amplifier, catalogue: builtInCatalogue, house: defaultHouse, rules });
    return [...ran];
  };

  it('is run again only where something that it read has changed', () => {
    const read = typing();
    const front = `---\nowner: A\n---\n${TEXT}`;
    expect(run(read, front)).toEqual(['reads-phases', 'reads-statements', 'reads-text', 'reads-field']);
    expect(run(read, front.replace('hums', 'hisses'))).toEqual(['reads-text']);
    expect(run(read, front.replace('owner: A', 'owner: B'))).toEqual(['reads-text', 'reads-field']);
    expect(run(read, front.replace('19.6', '19.7'))).toContain('reads-statements');
  });
});

describe('the spans of a note', () => {
  const uri = 'file:///a.tagstrip.md';

  it('hold until its reader reads the next snapshot of the sheet; a sheet is made of no note that was passed by', () => {
    const reader = createReader();
    const first = reader.readNote(createSnapshot(uri, TEXT));
    const sheet = readSheet(first);
    expect(isStanding(first)).toBe(true);
    reader.readNote(createSnapshot(uri, `Words.\n\n${TEXT}`));
    expect(isStanding(first)).toBe(false);
    const again = readSheet(first);
    expect(again).not.toBe(sheet);
    const [statement] = again.statements;
    expect(TEXT.slice(statement?.span.start, statement?.span.end)).toBe('V5 = 6V6GT, k R18');
  });

  it('are not moved back by reading an older snapshot late', () => {
    const reader = createReader();
    const old = createSnapshot(uri, TEXT);
    const newer = createSnapshot(uri, `Words.\n\n${TEXT}`);
    const note = reader.readNote(newer);
    const [place] = note.blocks.map(({ span }) => ({ ...span }));
    const late = reader.readNote(old);
    expect(late.blocks[0]?.span).toEqual({ start: 0, end: 10 });
    expect(note.blocks[0]?.span).toEqual(place);
    expect([isStanding(note), isStanding(late)]).toEqual([true, true]);
    expect(reader.readNote(newer)).toBe(note);
  });

  it('are its own: no other sheet, no other reader and no other place of the same text shares one', () => {
    const reader = createReader();
    const twice = `${TEXT}\n${TEXT}`;
    const notes = [
      reader.readNote(createSnapshot(uri, twice)),
      reader.readNote(createSnapshot('file:///b.tagstrip.md', twice)),
      createReader().readNote(createSnapshot(uri, twice)),
      readNote(createSnapshot(uri, twice)),
    ];
    const blocks = notes.flatMap((note) => note.blocks);
    expect(new Set(blocks).size).toBe(blocks.length);
    expect(new Set(blocks.map(({ span }) => span)).size).toBe(blocks.length);
  });
});

describe('a span made of others', () => {
  /** Files that make edits of a text at once and keep nothing of them. */
  const EDITING = new Set([
    'rules/acceptance-unused.ts',
    'rules/discharge-unrecorded.ts',
    'rules/new-lines.ts',
    'rules/task-open.ts',
  ]);
  const root = fileURLToPath(new URL('../../server', import.meta.url));
  const LITERAL =
    /\{\s*start(?::\s*(?:[^,{}()]|\([^()]*\))+)?,\s*end(?::\s*(?:[^,{}()]|\([^()]*\))+)?,?\s*\}(?!\s*[=:)])/g;

  it('is made by the functions of text/span.ts in sheet, bench and rules, so that it moves with them', () => {
    const found: string[] = [];
    for (const folder of ['sheet', 'bench', 'rules']) {
      for (const entry of readdirSync(join(root, folder), { recursive: true, encoding: 'utf8' })) {
        const path = `${folder}/${entry.replaceAll('\\', '/')}`;
        if (!path.endsWith('.ts') || EDITING.has(path)) continue;
        for (const [literal] of readFileSync(join(root, path), 'utf8').matchAll(LITERAL)) {
          // Nowhere at all stays where it is.
          if (literal !== '{ start: 0, end: 0 }') found.push(`${path}: ${literal}`);
        }
      }
    }
    expect(found).toEqual([]);
  });
});
