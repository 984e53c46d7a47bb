/**
 * Owns what goes to the owner of the amplifier. Of the sheet's prose only the Owner text goes out, word for word; all else
 * is put in plain words from parts, tasks and the fact that something was measured. No volts and no findings leave here.
 */
import type { BenchReading, FittedPart, PartChange, PhaseView } from '../bench/model.ts';
import type { Passage, Tag } from '../dialect/tree.ts';
import { isEarthReading } from '../rules/mains-safety.ts';
import type { Sheet, Topic } from '../sheet/model.ts';
import type { Analysis } from '../shop/shop.ts';
import { contains, type Span } from '../text/span.ts';
import { writeQuantity } from '../units/write.ts';
import { changeRows } from './changes.ts';
import { type Html, html, isEmpty, NOTHING } from './escape.ts';
import { describeForOwner, plainPart } from './part-words.ts';
import { topicProse, topicSpans } from './prose.ts';
import { type PlainPart, customerWords as w, words } from './words.ts';

export function customerBody(analysis: Analysis): Html {
  const { sheet } = analysis;
  if (sheet.kind !== 'job') return html`<p>${w.notAJob}</p>`;
  // What a kind of part does is told once, where it is first named: the pieces are made in the order they are read.
  const glosses = createGlosses(analysis.amplifier.phases);
  const parts = partsHtml(analysis, glosses);
  return html`${section(w.did, topicProse(sheet, 'owner'), 'prose')}${section(w.parts, parts)}${section(w.checks, checksHtml(analysis, glosses))}${section(w.open, openHtml(analysis, glosses))}${section(
    w.advice,
    html`<ul>${w.advices.map((advice) => html`<li>${advice}</li>`)}</ul><p>${w.certifies}</p>`,
  )}`;
}

/** What a customer is told at the head; the sheet's own heading may be a note to ourselves and stays in. */
export function customerTitle({ sheet, chassis }: Analysis): string {
  return (
    sheet.field('title')?.text ??
    sheet.field('model')?.text ??
    chassis?.field('model')?.text ??
    w.yourAmplifier
  );
}

export function customerFacts({ sheet }: Analysis): readonly (readonly [string, string])[] {
  const f = words.fields;
  const keys = ['job', 'serial', 'received', 'returned', 'hours', 'charge', 'warranty'] as const;
  return keys.flatMap((key) => {
    const text = sheet.field(key)?.text;
    return text === undefined || text.trim() === '' ? [] : [[f[key], text] as const];
  });
}

function section(head: string, body: Html, kind?: string): Html {
  if (isEmpty(body)) return NOTHING;
  return kind === undefined
    ? html`<section><h2>${head}</h2>${body}</section>`
    : html`<section><h2>${head}</h2><div class="${kind}">${body}</div></section>`;
}

function partsHtml({ amplifier }: Analysis, glosses: Glosses): Html {
  const rows = changeRows(amplifier, false, describe).filter(({ change }) => !isPassive(change));
  if (rows.length === 0) return NOTHING;
  const body = rows.map(({ ref, was, is, change }) => {
    const { name, does } = glosses.nameOf(ref, change.is ?? change.was);
    return html`<tr><th scope="row">${name} ${ref}${does === '' ? undefined : html`<span class="gloss">${does}</span>`}</th><td>${was}</td><td><strong>${is === was ? sameText(change) : is}</strong></td></tr>`;
  });
  return html`<p class="small">${w.partsIntro}</p><table><caption class="unseen">${w.parts}</caption><thead><tr><th scope="col">${w.part}</th><th scope="col">${w.was}</th><th scope="col">${w.is}</th></tr></thead><tbody>${body}</tbody></table>`;
}

function sameText({ is }: PartChange): string {
  return is?.type === undefined ? w.sameValues : w.sameType;
}

/** Construction is told only where it is what changed: paper to film. */
function describe(part: FittedPart, { was, is }: PartChange): string | undefined {
  const [before, after] = [was?.kinds ?? [], is?.kinds ?? []];
  const differs = before.length > 0 && after.length > 0 && before.join() !== after.join();
  return describeForOwner(part, differs);
}

/** A change of wiring alone has no value to tell. */
function isPassive({ was, is, work }: PartChange): boolean {
  return work === undefined && was === undefined && is === undefined;
}

function checksHtml({ amplifier, sheet }: Analysis, glosses: Glosses): Html {
  const { phases } = amplifier;
  const found = phases.find(({ phase }) => phase === 'as-found');
  const left = phases.find(({ phase }) => phase === 'as-left');
  const running = (view: PhaseView | undefined): readonly BenchReading[] =>
    view?.readings.filter(({ set, quantity }) => set.id === view.verdictSet?.id && quantity === 'voltage') ??
    [];
  const [before, after] = [running(found).length > 0, running(left).length > 0];
  const said: string[] = [];
  if (before && after) said.push(w.measuredBoth);
  else if (after) said.push(w.measuredAfter);
  else if (before) said.push(w.measuredBefore);
  const conditions = (after ? left : before ? found : undefined)?.verdictSet?.conditions ?? [];
  if (conditions.some(({ kind }) => kind === 'dummy-load')) said.push(w.onLoad);
  else if (conditions.some(({ kind }) => kind === 'speaker')) said.push(w.onSpeaker);
  const minutes = conditions.find(({ kind, value }) => kind === 'warm-up' && value !== undefined)?.value;
  if (after && minutes !== undefined) said.push(w.warm(writeQuantity(minutes)));
  const both = (holds: (reading: BenchReading) => boolean): boolean =>
    [found, left].every((view) => view?.readings.some(holds) === true);
  if (both(({ quantity }) => quantity === 'ripple')) said.push(w.ripple);
  if (both(({ at, quantity }) => quantity === 'ac-voltage' && isLoudspeaker(phases, at))) said.push(w.output);
  if (both(isEarthReading)) said.push(w.earthBoth);
  else if (left?.readings.some(isEarthReading) === true) said.push(w.earthAfter);
  const measured = measuredParts(phases, sheet).map(glosses.say);
  if (said.length === 0 && measured.length === 0) return NOTHING;
  return html`<ul>${said.map((each) => html`<li>${each}</li>`)}${
    measured.length === 0 ? undefined : html`<li>${w.measuredParts} ${measured.join(', ')}.</li>`
  }</ul>`;
}

function isLoudspeaker(phases: readonly PhaseView[], ref: string): boolean {
  return phases.some(({ parts }) => parts.get(ref)?.class === 'loudspeaker');
}

/** Parts that were measured by themselves on this job, in the order of the sheet. */
function measuredParts(phases: readonly PhaseView[], { uri }: Sheet): readonly string[] {
  const refs = phases.flatMap(({ readings, parts }) =>
    readings
      .filter(({ at, to, source }) => to === undefined && source.file === uri && parts.has(at))
      .filter(({ quantity }) => PART_MEASUREMENTS.has(quantity))
      .map(({ at }) => at),
  );
  return [...new Set(refs)];
}

const PART_MEASUREMENTS: ReadonlySet<BenchReading['quantity']> = new Set([
  'resistance',
  'capacitance',
  'inductance',
  'esr',
  'insulation',
  'leakage',
]);

interface Glosses {
  /** A part's plain name; what it does only the first time that the name falls. */
  readonly nameOf: (ref: string, part?: FittedPart) => PlainPart;
  /** `smoothing capacitor C12 (takes the rest of the hum out of the supply to a stage)` */
  readonly say: (ref: string) => string;
}

function createGlosses(phases: readonly PhaseView[]): Glosses {
  const told = new Set<string>();
  const nameOf = (ref: string, part?: FittedPart): PlainPart => {
    const { name, does } = plainPart(phases, ref, part);
    if (told.has(name)) return { name, does: '' };
    told.add(name);
    return { name, does };
  };
  return {
    nameOf,
    say: (ref) => {
      const { name, does } = nameOf(ref);
      return does === '' ? `${name} ${ref}` : `${name} ${ref} (${does})`;
    },
  };
}

function openHtml({ amplifier, sheet }: Analysis, glosses: Glosses): Html {
  const planned = [...new Set(amplifier.changes.filter((change) => change.planned).map(({ ref }) => ref))];
  const lists: readonly (readonly [string, readonly string[]])[] = [
    [w.planned, planned],
    [w.leftAlone, subjectsUnder(sheet, 'left-alone')],
    [w.declined, subjectsUnder(sheet, 'declined')],
    [w.nextTime, subjectsUnder(sheet, 'next-time').filter((ref) => !planned.includes(ref))],
  ];
  const items = lists
    .filter(([, refs]) => refs.length > 0)
    .map(([head, refs]) => html`<li>${head} ${refs.map(glosses.say).join(', ')}.</li>`);
  return items.length === 0 ? NOTHING : html`<ul>${items}</ul>`;
}

/**
 * Parts named under a heading in a way that is no prose: with a state, in a task, or alone in a line. What the writer put
 * in a sentence stays in the sentence, and the sentence stays with us.
 */
function subjectsUnder(sheet: Sheet, topic: Topic): readonly string[] {
  const spans = topicSpans(sheet, topic);
  const isUnder = (span: Span): boolean => spans.some((each) => contains(each, span));
  const refs = sheet.note.blocks.flatMap((block) =>
    block.kind === 'passage' && isUnder(block.span) ? subjectsIn(sheet, block) : [],
  );
  return [...new Set(refs)];
}

function subjectsIn(sheet: Sheet, { task, tags, prose }: Passage): readonly string[] {
  const text = prose.map(({ start, end }) => sheet.snapshot.text.slice(start, end)).join('');
  const isAlone = /^(?:[\s,;.&]|and|or)*$/i.test(text);
  return tags.filter((tag) => tag.kind === 'state' || task !== undefined || isAlone).flatMap(refsOf);
}

function refsOf(tag: Tag): readonly string[] {
  switch (tag.kind) {
    case 'mention':
      return tag.points.flatMap((point) =>
        point.kind === 'ref' ? [point.name] : point.kind === 'terminal' ? [point.ref.name] : [],
      );
    case 'state':
      return tag.subjects.flatMap((subject) => (subject.kind === 'ref' ? [subject.name] : []));
    case 'fitted':
    case 'change':
      return tag.refs.map(({ name }) => name);
    default:
      return [];
  }
}
