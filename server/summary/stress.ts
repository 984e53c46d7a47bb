/** Owns the table of what valves are put to, dissipation against limit, and looking up the figures that a page tells. */
import type { Figure, FigureName, PhaseView } from '../bench/model.ts';
import { scaleOf } from './bars.ts';
import { aside, type Block, type Row, strong, type Text } from './document.ts';
import type { Telling } from './telling.ts';

/** The views whose state a page tells: found and left of a job, the factory's of a chassis sheet alone. */
export function toldViews(phases: readonly PhaseView[]): readonly PhaseView[] {
  const own = phases.filter(({ phase }) => phase !== 'work' && phase !== 'factory');
  return own.length > 0 ? own : phases.filter(({ phase }) => phase === 'factory');
}

/** A figure of a subject in the view's verdict set, or one that needs no reading. */
export function findFigure(view: PhaseView, name: FigureName, subject: string): Figure | undefined {
  let index = verdictFigures.get(view);
  if (index === undefined) {
    index = new Map(
      view.figures.filter((figure) => isVerdict(figure, view)).map((figure) => [keyOf(figure), figure]),
    );
    verdictFigures.set(view, index);
  }
  return index.get(keyOf({ figure: name, subject }));
}

/** Figures of a view by name and subject, made once for all tables. */
const verdictFigures = new WeakMap<PhaseView, ReadonlyMap<string, Figure>>();

function keyOf({ figure, subject }: Pick<Figure, 'figure' | 'subject'>): string {
  return `${figure} ${subject}`;
}

function isVerdict({ set }: Figure, view: PhaseView): boolean {
  return set === 0 || set === view.verdictSet?.id;
}

/** Who has figures of these names in the views' verdict sets, in natural order. */
export function subjectsOf(views: readonly PhaseView[], names: readonly FigureName[]): readonly string[] {
  const subjects = views.flatMap((view) =>
    view.figures
      .filter((figure) => names.includes(figure.figure) && isVerdict(figure, view))
      .map(({ subject }) => subject),
  );
  return [...new Set(subjects)].sort((a, b) => a.localeCompare(b, 'en', { numeric: true }));
}

interface Stress {
  readonly view: PhaseView;
  readonly power?: Figure;
  readonly loading?: Figure;
}

interface ValveRow {
  readonly ref: string;
  readonly type?: string;
  readonly electrode: string;
  readonly cells: readonly Stress[];
  readonly limit?: Figure['limit'];
}

const ELECTRODES = [
  { name: 'anode', power: 'anode-dissipation', loading: 'anode-loading' },
  { name: 'screen', power: 'screen-dissipation', loading: 'screen-loading' },
] as const;

/** Each valve's anode and screen, found beside left, with bars that compare across the table. */
export function valveBlocks(telling: Telling): readonly Block[] {
  const { words, amplifier } = telling;
  const { bench: w } = words;
  const views = toldViews(amplifier.phases).filter(
    (view) => subjectsOf([view], ['anode-dissipation', 'screen-dissipation']).length > 0,
  );
  const rows = subjectsOf(views, ['anode-dissipation', 'screen-dissipation']).flatMap((ref) =>
    ELECTRODES.flatMap(({ name, power, loading }): readonly ValveRow[] => {
      const cells = views.map((view): Stress => {
        const [watts, share] = [findFigure(view, power, ref), findFigure(view, loading, ref)];
        return { view, ...(watts && { power: watts }), ...(share && { loading: share }) };
      });
      if (cells.every((cell) => cell.power === undefined)) return [];
      const type = views.findLast((view) => view.parts.get(ref)?.type)?.parts.get(ref)?.type?.text;
      const limit = cells.findLast((cell) => cell.loading?.limit)?.loading?.limit;
      return [{ ref, electrode: w[name], cells, ...(type && { type }), ...(limit && { limit }) }];
    }),
  );
  if (rows.length === 0) return [];
  const shares = rows.flatMap(({ cells }) =>
    cells.flatMap(({ loading }) => (loading ? [highest(loading)] : [])),
  );
  const scale = scaleOf(shares);
  return [
    {
      kind: 'table',
      role: 'stress',
      caption: [w.valvesNote, { kind: 'legend', text: [' ', w.barsNote] }],
      columns: [
        { head: w.valve },
        ...views.map(({ phase }) => ({ head: words.phases[phase] })),
        { head: w.limit },
      ],
      rows: rows.map((row) => valveRow(telling, row, scale)),
      hasRowHeads: true,
    },
  ];
}

function highest({ quantity, high }: Figure): number {
  return Math.max(quantity.value, high ?? quantity.value);
}

function valveRow(telling: Telling, row: ValveRow, scale: number): Row {
  const { words, numbers, places, english } = telling;
  const { ref, type, electrode, cells, limit } = row;
  const source = cells.findLast(({ power }) => power !== undefined)?.power?.source;
  return {
    cells: [
      [`${ref} ${electrode}`, type === undefined ? undefined : [' ', aside('note', type)]],
      ...cells.map((cell) => stressText(telling, cell, limit, scale)),
      limit === undefined
        ? words.bench.noLimit
        : [numbers.say(limit.quantity), ' ', aside('note', english(limit.source))],
    ],
    line: source && places.line(source),
  };
}

function stressText(
  { words, numbers, places, english }: Telling,
  { power, loading }: Stress,
  limit: Figure['limit'],
  scale: number,
): Text {
  if (power === undefined) return words.none;
  const watts = numbers.band(power);
  const remark = power.remark ?? loading?.remark;
  const notes: Text = [
    remark === undefined ? undefined : [aside('note', english(remark)), ' '],
    aside('place', places.say(power.source)),
  ];
  if (loading === undefined || limit === undefined) return [watts, ' ', notes];
  const share = numbers.share(loading.quantity.value);
  const bar = {
    share: loading.quantity.value,
    ...(loading.low === undefined ? {} : { low: loading.low }),
    ...(loading.high === undefined ? {} : { high: loading.high }),
    says: words.bench.barOf(watts, share, numbers.say(limit.quantity)),
  };
  return [{ kind: 'bar', bar, scale }, ' ', watts, ', ', strong(share), ' ', notes];
}
