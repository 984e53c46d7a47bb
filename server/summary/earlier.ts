/** Owns the return visit: what was read as left on the earlier job beside what is read today, at equal mains. */
import type { PhaseView } from '../bench/model.ts';
import { sheetName } from '../shop/uris.ts';
import { type ChartRow, isRunning, type Side, tabulate } from './charts.ts';
import { aside, type Block, paragraph, type Row } from './document.ts';
import {
  byValve,
  cellText,
  differenceText,
  findRead,
  lineOfRow,
  pointText,
  quantityText,
} from './readings.ts';
import type { Telling } from './telling.ts';

export function earlierBlocks(telling: Telling): readonly Block[] {
  const { analysis, amplifier, words } = telling;
  const { earlier } = analysis;
  if (earlier === undefined) return [];
  const { bench: w } = words;
  const job = earlier.sheet.field('job')?.text ?? sheetName(earlier.sheet.uri);
  const then = findRead(earlier.amplifier.phases, 'as-left');
  const now = (['as-found', 'as-left'] as const).flatMap((phase) => findRead(amplifier.phases, phase) ?? []);
  const views = then === undefined ? [] : [then, ...now];
  const { rows, sides } = chartOf(views);
  // Only what was read both times can be compared.
  const shared = rows.filter(({ read: [left = [], ...today] }) => left.length > 0 && today.some(isRead));
  if (shared.length === 0) return [paragraph(w.earlierNone(job))];
  const rowOf = (row: ChartRow): Row => ({
    cells: [
      pointText(words, row.like),
      quantityText(telling, row.like),
      ...row.read.map((side) => cellText(telling, side)),
      row.difference === undefined ? words.none : differenceText(telling, row.difference),
    ],
    line: lineOfRow(telling, row),
  });
  return [
    {
      kind: 'table',
      role: 'readings',
      caption: aside('conditions', w.earlierNote),
      columns: [
        { head: w.point },
        { head: w.quantity },
        ...sides.map(({ view }, i) => ({
          head: i === 0 ? w.earlierLeft(job) : words.phases[view.phase],
          role: 'number' as const,
        })),
        { head: w.difference, role: 'number' },
      ],
      rows: byValve(telling, shared).flatMap(({ head, rows: own }) => [...head, ...own.map(rowOf)]),
      hasRowHeads: true,
    },
  ];
}

function isRead(side: readonly unknown[]): boolean {
  return side.length > 0;
}

function chartOf(views: readonly PhaseView[]): {
  readonly rows: readonly ChartRow[];
  readonly sides: readonly Side[];
} {
  const sides = views.map((view) => ({ view, ...(view.verdictSet && { set: view.verdictSet }) }));
  return tabulate(
    'normal',
    sides,
    views.map((view) =>
      view.readings.filter((reading) => reading.set.id === view.verdictSet?.id && isRunning(reading)),
    ),
  );
}
