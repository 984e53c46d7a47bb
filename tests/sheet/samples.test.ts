import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import type { Point } from '../../server/dialect/tree.ts';
import type { Sheet } from '../../server/sheet/model.ts';
import { refOf } from '../../server/sheet/names.ts';
import { quote, sheetOf } from './saying.ts';

const CHASSIS = 'chassis/larch-20.b.tagstrip.md';
const JOBS = [
  'jobs/2041-larch-20-hum.tagstrip.md',
  'jobs/2047-larch-20-hot-valve.tagstrip.md',
  'jobs/2052-larch-20-tone.tagstrip.md',
];

function sample(path: string): Sheet {
  return sheetOf(readFileSync(new URL(`../../samples/${path}`, import.meta.url), 'utf8'), path);
}

function fittedRefs(sheet: Sheet): ReadonlySet<string> {
  return new Set(sheet.statements.flatMap((each) => (each.kind === 'fitted' ? [each.ref.whole] : [])));
}

describe('the sample sheets', () => {
  it.each([CHASSIS, ...JOBS])('%s: all that opens as a tag is read, and nothing is asked', (path) => {
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
  });

  it.each(JOBS)('%s names only parts that its chassis sheet has', (path) => {
    const known = fittedRefs(sample(CHASSIS));
    const named = sample(path).statements.flatMap((each) => {
      if (each.kind === 'reading') return [refOf(each.at)];
      return each.kind === 'fitted' || each.kind === 'change' ? [each.ref.name] : [];
    });
    expect(named.filter((ref) => ref !== undefined && !known.has(ref.replace(/[AB]$/, '')))).toEqual([]);
    expect(sample(path).field('chassis')?.text).toBe(`../${CHASSIS}`);
  });

  it.each(JOBS)('%s has a chart in normal running on known mains, as found and as left', (path) => {
    const sheet = sample(path);
    for (const phase of ['as-found', 'as-left'] as const) {
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
