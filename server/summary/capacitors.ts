/** Owns the table of what capacitors stand at against the working voltage marked on them, running and at switch-on. */
import type { Figure, PhaseView } from '../bench/model.ts';
import { sayBand } from '../bench/saying.ts';
import { show } from '../rules/phrases.ts';
import type { Quantity } from '../units/si.ts';
import { drawBar, scaleOf } from './bars.ts';
import { type Html, html, NOTHING } from './escape.ts';
import { benchRole } from './part-words.ts';
import type { FindPlace } from './places.ts';
import { findFigure, subjectsOf, toldViews } from './stress.ts';
import { words } from './words.ts';

const w = words.bench;

/** Volts on a capacitor with its rating at that time. */
interface Stand {
  readonly volts: Figure;
  readonly rating: Quantity;
  readonly share: number;
}

/** Each capacitor whose volts and marked rating are known; nothing where there is none. */
export function capacitorsHtml(phases: readonly PhaseView[], place: FindPlace): Html {
  const told = toldViews(phases);
  const views = told.filter((view) => subjectsOf([view], ['margin']).length > 0);
  const rows = subjectsOf(told, ['margin', 'cold-voltage'])
    .map((ref) => ({
      ref,
      running: views.map((view) => findStand(view, 'voltage', ref)),
      // What is soldered in at the end is what will be switched on.
      cold: told.flatMap((view) => findStand(view, 'cold-voltage', ref) ?? []).at(-1),
    }))
    .filter(({ running, cold }) => cold !== undefined || running.some((stand) => stand !== undefined));
  if (rows.length === 0) return NOTHING;
  const hasCold = rows.some(({ cold }) => cold !== undefined);
  const stands = rows.flatMap(({ running, cold }) => [...running, cold]);
  const scale = scaleOf(stands.flatMap((stand) => stand?.share ?? []));
  const heads = [...views.map(({ phase }) => words.phases[phase]), ...(hasCold ? [w.cold] : [])].map(
    (head) => html`<th scope="col">${head}</th>`,
  );
  const body = rows.map(({ ref, running, cold }) => {
    const role = benchRole(phases, ref);
    const cells = [...running, ...(hasCold ? [cold] : [])].map(
      (stand) => html`<td>${stand === undefined ? words.none : standHtml(stand, scale, place)}</td>`,
    );
    return html`<tr><th scope="row">${ref}${role === '' ? undefined : html` <span class="note">${role}</span>`}</th>${cells}</tr>`;
  });
  return html`<table class="stress"><caption class="unseen">${w.capacitors}</caption><thead><tr><th scope="col">${w.capacitor}</th>${heads}</tr></thead><tbody>${body}</tbody></table>${hasCold ? coldNotes(rows) : undefined}`;
}

function findStand(view: PhaseView, name: 'voltage' | 'cold-voltage', ref: string): Stand | undefined {
  const volts = findFigure(view, name, ref);
  const rating = view.parts.get(ref)?.ratings.voltage?.quantity;
  if (volts === undefined || rating === undefined || rating.value <= 0) return undefined;
  return { volts, rating, share: Math.abs(volts.quantity.value) / rating.value };
}

function standHtml({ volts, rating, share }: Stand, scale: number, place: FindPlace): Html {
  const [said, used] = [sayBand(volts), show({ value: share, unit: '1' })];
  const bar = drawBar(
    {
      share,
      ...(volts.low === undefined ? {} : { low: volts.low / rating.value }),
      ...(volts.high === undefined ? {} : { high: volts.high / rating.value }),
      says: w.barOf(said, used, show(rating)),
    },
    scale,
  );
  return html`${bar} ${said}, <strong>${used}</strong> ${w.ofRating(show(rating))} <span class="place">${place(volts.source)}</span>`;
}

/** What must be said with the cold figures, each thing once with the capacitors that it concerns. */
function coldNotes(rows: readonly { readonly ref: string; readonly cold: Stand | undefined }[]): Html {
  const concerned = new Map<string, string[]>();
  for (const { ref, cold } of rows)
    for (const remark of cold?.volts.remark?.split('; ') ?? [])
      concerned.set(remark, [...(concerned.get(remark) ?? []), ref]);
  const remarks = [...concerned].map(([remark, refs]) => ` ${refs.join(', ')}: ${remark}.`);
  return html`<p class="small">${w.coldNote}${remarks}</p>`;
}
