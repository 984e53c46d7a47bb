import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import type { Point } from '../../server/dialect/tree.ts';
import type { Sheet } from '../../server/sheet/model.ts';
import { refOf } from '../../server/sheet/names.ts';
import { quote, sheetOf } from './saying.ts';

const folder = (name: string): readonly string[] =>
  readdirSync(new URL(`../../samples/${name}`, import.meta.url))
    .filter((file) => file.endsWith('.tagstrip.md'))
    .map((file) => `${name}/${file}`)
    .sort();

const CHASSIS = folder('chassis');
const JOBS = folder('jobs');
const MODS = folder('mods');
const isFinished = (path: string) => sample(path).field('returned') !== undefined;

function sample(path: string): Sheet {
  return sheetOf(readFileSync(new URL(`../../samples/${path}`, import.meta.url), 'utf8'), path);
}

/** With the names that a revision gives to what it takes over. */
function fittedRefs(sheet: Sheet): ReadonlySet<string> {
  const followed = sheet.field('follows');
  const own = sheet.statements.flatMap((each) =>
    each.kind === 'fitted' || each.kind === 'change' || each.kind === 'provenance' ? [each.ref.whole] : [],
  );
  return new Set([...own, ...(followed === undefined ? [] : fittedRefs(sample(`chassis/${followed.text}`)))]);
}

function placedRefs(sheet: Sheet): readonly string[] {
  return sheet.statements.flatMap((each) =>
    each.kind === 'fitted' && each.connections.length > 0 ? [each.ref.name] : [],
  );
}

describe('the sample sheets', () => {
  it('are one model in three revisions, five mods, and jobs of more than two years', () => {
    expect(CHASSIS).toHaveLength(3);
    expect(MODS).toHaveLength(5);
    expect(JOBS.length).toBeGreaterThanOrEqual(8);
    const received = JOBS.map((path) => sample(path).field('received')?.text ?? '').sort();
    const [first = '', last = ''] = [received.at(0), received.at(-1)];
    expect(Date.parse(last) - Date.parse(first)).toBeGreaterThan(2 * 365 * 24 * 3600 * 1000);
    expect(JOBS.filter((path) => !isFinished(path))).toHaveLength(1);
  });

  it.each([...CHASSIS, ...MODS, ...JOBS])(
    '%s: all that opens as a tag is read, and nothing is asked',
    (path) => {
      const sheet = sample(path);
      expect(sheet.problems.map(({ kind, span }) => `${kind} ${quote(sheet, span)}`)).toEqual([]);
      const tags = sheet.note.blocks.flatMap((block) =>
        block.kind === 'table'
          ? block.rows.flatMap((row) => row.tags)
          : block.kind === 'opaque'
            ? []
            : block.tags,
      );
      expect(tags.filter(({ kind }) => kind === 'unreadable').map(({ span }) => quote(sheet, span))).toEqual(
        [],
      );
    },
  );

  it.each(JOBS)('%s names only parts that its chassis sheet has', (path) => {
    const chassis = sample(path).field('chassis')?.text.replace('../', '') ?? '';
    expect(CHASSIS).toContain(chassis);
    // What the job adds is written with where it goes.
    const known = new Set([...fittedRefs(sample(chassis)), ...placedRefs(sample(path))]);
    const named = sample(path).statements.flatMap((each) => {
      if (each.kind === 'reading') return [refOf(each.at)];
      return each.kind === 'fitted' || each.kind === 'change' ? [each.ref.name] : [];
    });
    expect(named.filter((ref) => ref !== undefined && !known.has(ref.replace(/[AB]$/, '')))).toEqual([]);
  });

  it.each(JOBS)('%s has a chart in normal running on known mains, as found and as left', (path) => {
    const sheet = sample(path);
    for (const phase of isFinished(path) ? (['as-found', 'as-left'] as const) : (['as-found'] as const)) {
      const chart = sheet.sets.find((set) => set.phase === phase && set.normal);
      expect(chart?.mains?.unit).toBe('V');
      const anodes = sheet.statements.filter(
        (each) => each.kind === 'reading' && each.set === chart?.id && electrodeOf(each.at) === 'a',
      );
      expect(anodes.length).toBeGreaterThanOrEqual(2);
    }
  });

  it.each(JOBS)('%s has every can discharged and read before the work', (path) => {
    const sheet = sample(path);
    const off = new Set(sheet.sets.filter((set) => set.off).map(({ id }) => id));
    const read = sheet.statements.flatMap((each) =>
      each.kind === 'reading' && off.has(each.set) && each.at.kind === 'node' ? [each.at.name] : [],
    );
    expect(read).toEqual(['B+1', 'B+2', 'B+3', 'B+4']);
  });
});

function electrodeOf(point: Point): string | undefined {
  return point.kind === 'terminal' ? point.terminal : undefined;
}
