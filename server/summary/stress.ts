/** Owns the table of what valves are put to, dissipation against limit, and looking up the figures that a page tells. */
import type { Figure, FigureName, PhaseView } from '../bench/model.ts';
import { sayBand } from '../bench/saying.ts';
import { show } from '../rules/phrases.ts';
import { drawBar, scaleOf } from './bars.ts';
import { type Html, html, NOTHING } from './escape.ts';
import type { FindPlace } from './places.ts';
import { words } from './words.ts';

const w = words.bench;

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
  { name: w.anode, power: 'anode-dissipation', loading: 'anode-loading' },
  { name: w.screen, power: 'screen-dissipation', loading: 'screen-loading' },
] as const;

/** Each valve's anode and screen, found beside left, with bars that compare across the table. */
export function valvesHtml(phases: readonly PhaseView[], place: FindPlace): Html {
  const views = toldViews(phases).filter(
    (view) => subjectsOf([view], ['anode-dissipation', 'screen-dissipation']).length > 0,
  );
  const rows = subjectsOf(views, ['anode-dissipation', 'screen-dissipation']).flatMap((ref) =>
    ELECTRODES.flatMap(({ name, power, loading }) => {
      const cells = views.map((view): Stress => {
        const [watts, share] = [findFigure(view, power, ref), findFigure(view, loading, ref)];
        return { view, ...(watts && { power: watts }), ...(share && { loading: share }) };
      });
      if (cells.every((cell) => cell.power === undefined)) return [];
      const type = views.findLast((view) => view.parts.get(ref)?.type)?.parts.get(ref)?.type?.text;
      const limit = cells.findLast((cell) => cell.loading?.limit)?.loading?.limit;
      return [{ ref, electrode: name, cells, ...(type && { type }), ...(limit && { limit }) }];
    }),
  );
  if (rows.length === 0) return NOTHING;
  const shares = rows.flatMap(({ cells }) =>
    cells.flatMap(({ loading }) => (loading ? [highest(loading)] : [])),
  );
  const scale = scaleOf(shares);
  const heads = views.map(({ phase }) => html`<th scope="col">${words.phases[phase]}</th>`);
  return html`<table class="stress"><caption>${w.valvesNote}</caption><thead><tr><th scope="col">${w.valve}</th>${heads}<th scope="col">${w.limit}</th></tr></thead><tbody>${rows.map((row) => valveRow(row, scale, place))}</tbody></table>`;
}

function highest({ quantity, high }: Figure): number {
  return Math.max(quantity.value, high ?? quantity.value);
}

function valveRow({ ref, type, electrode, cells, limit }: ValveRow, scale: number, place: FindPlace): Html {
  const tds = cells.map((cell) => html`<td>${stressCell(cell, limit, scale, place)}</td>`);
  const said =
    limit === undefined ? w.noLimit : html`${show(limit.quantity)} <span class="note">${limit.source}</span>`;
  return html`<tr><th scope="row">${ref} ${electrode}${type === undefined ? undefined : html` <span class="note">${type}</span>`}</th>${tds}<td>${said}</td></tr>`;
}

function stressCell(
  { power, loading }: Stress,
  limit: Figure['limit'],
  scale: number,
  place: FindPlace,
): Html | string {
  if (power === undefined) return words.none;
  const watts = sayBand(power);
  const remark = power.remark ?? loading?.remark;
  const notes = html`${remark === undefined ? undefined : html`<span class="note">${remark}</span> `}<span class="place">${place(power.source)}</span>`;
  if (loading === undefined || limit === undefined) return html`${watts} ${notes}`;
  const share = show(loading.quantity);
  const bar = drawBar(
    {
      share: loading.quantity.value,
      ...(loading.low === undefined ? {} : { low: loading.low }),
      ...(loading.high === undefined ? {} : { high: loading.high }),
      says: w.barOf(watts, share, show(limit.quantity)),
    },
    scale,
  );
  return html`${bar} ${watts}, <strong>${share}</strong> ${notes}`;
}
