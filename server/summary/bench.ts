/** Owns what the next technician reads and in what order: everything that the sheet and the figures say, each with its line. */

import type { EffectWords } from '../bench/effect-words.ts';
import type { FittedPart, PartChange } from '../bench/model.ts';
import { sayBand } from '../bench/saying.ts';
import type { Analysis } from '../shop/shop.ts';
import { capacitorsHtml } from './capacitors.ts';
import { cautionsHtml, hasReason } from './cautions.ts';
import { type ChangeRow, changeEffects, changeRows } from './changes.ts';
import { type Html, html, isEmpty, NOTHING } from './escape.ts';
import { countText, findingsHtml, sortFindings } from './findings.ts';
import { benchRole, describePart } from './part-words.ts';
import { type FindPlace, linesOf, placesOf, sheetName } from './places.ts';
import { passageText, topicProse, topicSpans } from './prose.ts';
import { readingsHtml } from './readings.ts';
import { valvesHtml } from './stress.ts';
import { words } from './words.ts';

const w = words.bench;

export function benchBody(analysis: Analysis): Html {
  const { amplifier, sheet, findings } = analysis;
  const place = placesOf(analysis);
  const sorted = sortFindings(findings);
  const { phases } = amplifier;
  const isJob = sheet.kind === 'job';
  const pieces: readonly (Html | undefined)[] = [
    hasReason(amplifier)
      ? html`<p class="warn"><span aria-hidden="true">${words.marks.warning}</span> <strong>${w.cautionTop}</strong> <a href="#cautions">${w.cautionLink}</a></p>`
      : undefined,
    prose(analysis, w.complaint, 'complaint'),
    prose(analysis, w.intake, 'intake'),
    section(
      w.findings,
      html`${findings.length === 0 ? undefined : html`<p class="lead">${countText(sorted)}</p>`}${findingsHtml(sorted, place)}`,
    ),
    isJob ? section(w.changes, changesHtml(analysis, place)) : undefined,
    section(w.foundFitted, otherwiseHtml(analysis, place)),
    section(w.states, statesHtml(analysis, place)),
    section(w.keeps, keepsHtml(analysis)),
    section(w.tasks, tasksHtml(analysis)),
    section(w.orders, ordersHtml(analysis, place)),
    prose(analysis, w.leftAlone, 'left-alone'),
    prose(analysis, w.declined, 'declined'),
    prose(analysis, w.nextTime, 'next-time'),
    section(w.valves, valvesHtml(phases, place)),
    section(w.capacitors, capacitorsHtml(phases, place)),
    section(w.readings, readingsHtml(phases, place)),
    section(w.questions, questionsHtml(analysis, place)),
    isJob ? ownerHtml(analysis) : undefined,
    section(w.photos, photosHtml(analysis)),
    section(w.cautions, cautionsHtml(amplifier), 'cautions'),
    section(w.rests, restsHtml(analysis)),
  ];
  return html`${pieces}`;
}

function restsHtml({ sheet, chassis }: Analysis): Html {
  const below = chassis === undefined ? undefined : sheetName(chassis.uri);
  return html`<p>${w.restsOn(sheetName(sheet.uri), below)} ${w.restsMore}</p>`;
}

function section(head: string, body: Html, id?: 'cautions'): Html {
  if (isEmpty(body)) return NOTHING;
  return html`<section${id === undefined ? undefined : html` id="${id}"`}><h2>${head}</h2>${body}</section>`;
}

/** A topic's text as it stands in the sheet, with its lines. */
function prose({ sheet }: Analysis, head: string, topic: Parameters<typeof topicProse>[1]): Html {
  const said = topicProse(sheet, topic);
  if (isEmpty(said)) return NOTHING;
  const lines = topicSpans(sheet, topic).map((span) =>
    linesOf(sheet.snapshot, trimmed(sheet.snapshot.text, span)),
  );
  return section(head, html`<div class="prose">${said}</div><p class="place">${lines.join('; ')}</p>`);
}

/** A span without the blank lines at its end. */
function trimmed(
  text: string,
  { start, end }: { start: number; end: number },
): { start: number; end: number } {
  return { start, end: start + text.slice(start, end).trimEnd().length };
}

function ownerHtml(analysis: Analysis): Html {
  const said = prose(analysis, w.owner, 'owner');
  return isEmpty(said) ? section(w.owner, html`<p>${w.ownerMissing}</p>`) : said;
}

function changesHtml({ amplifier }: Analysis, place: FindPlace): Html {
  const rows = changeRows(amplifier, false);
  if (rows.length === 0) return html`<p>${w.changesNone}</p>`;
  const effects = changeEffects(rows, amplifier);
  const table = changeTable(
    rows,
    place,
    (ref) => benchRole(amplifier.phases, ref),
    { caption: w.changes, was: w.was },
    (change) => effects.of.get(change),
  );
  const notes = [
    effects.heldAlways.length === 0 ? undefined : w.effectsHeld(effects.heldAlways.join('; ')),
    effects.untold === 0 ? undefined : w.effectsUntold(effects.looked, effects.untold),
  ];
  return html`${table}${notes.map((note) => note && html`<p class="small">${note}</p>`)}`;
}

function changeTable(
  rows: readonly ChangeRow[],
  place: FindPlace,
  role: (ref: string) => string,
  { caption, was }: { readonly caption: string; readonly was: string },
  effectOf?: (change: PartChange) => EffectWords | undefined,
): Html {
  const hasWhy = rows.some(({ why }) => why !== undefined);
  const body = rows.map(({ ref, was: before, is, why, change }) => {
    const effect = effectOf?.(change);
    const effectRow =
      effect && html`<tr class="effect"><td colspan="${hasWhy ? 5 : 4}">${effectHtml(effect)}</td></tr>`;
    return html`<tr${effect && html` class="told"`}>${partHead(ref, role(ref))}<td>${before}</td><td><strong>${is}</strong></td>${hasWhy ? html`<td>${why ?? words.none}</td>` : undefined}<td class="place">${place(change.source)}</td></tr>${effectRow}`;
  });
  return html`<table>${unseen(caption)}<thead><tr><th scope="col">${w.part}</th><th scope="col">${was}</th><th scope="col">${w.is}</th>${hasWhy ? html`<th scope="col">${w.why}</th>` : undefined}<th scope="col" class="place">${w.where}</th></tr></thead><tbody>${body}</tbody></table>`;
}

function effectHtml({ direct, directHead, signal, held }: EffectWords): Html {
  const lines = [
    direct === undefined ? undefined : html`<p>${directHead}: ${direct}</p>`,
    signal === undefined ? undefined : html`<p>AC: ${signal}</p>`,
    held.length === 0 ? undefined : html`<p class="small">${w.effectHeld(held.join('; '))}</p>`,
  ];
  return html`${lines}`;
}

/** A caption for those who listen; those who see have the heading above. */
function unseen(caption: string): Html {
  return html`<caption class="unseen">${caption}</caption>`;
}

function partHead(ref: string, role: string): Html {
  return html`<th scope="row">${ref}${role === '' ? undefined : html` <span class="note">${role}</span>`}</th>`;
}

/** Parts that somebody before us fitted otherwise than the chassis sheet has them. */
function otherwiseHtml({ amplifier, sheet }: Analysis, place: FindPlace): Html {
  const drawn = amplifier.phases.find(({ phase }) => phase === 'factory')?.parts;
  const found = amplifier.phases.find(({ phase }) => phase === 'as-found')?.parts;
  if (drawn === undefined || found === undefined) return NOTHING;
  const said = (part: FittedPart | undefined): string =>
    part === undefined ? words.notFitted : (describePart(part) ?? words.notWritten);
  const rows = [...found.values()]
    .filter((part) => part.since === 'as-found' && part.source.file === sheet.uri)
    .map((part) => ({ part, was: said(drawn.get(part.ref)), is: said(part) }))
    .filter(({ was, is }) => was !== is)
    .map(
      ({ part, was, is }) =>
        html`<tr>${partHead(part.ref, benchRole(amplifier.phases, part.ref))}<td>${was}</td><td><strong>${is}</strong></td><td class="place">${place(part.source)}</td></tr>`,
    );
  if (rows.length === 0) return NOTHING;
  return html`<table>${unseen(w.foundFitted)}<thead><tr><th scope="col">${w.part}</th><th scope="col">${w.drawn}</th><th scope="col">${w.found}</th><th scope="col" class="place">${w.where}</th></tr></thead><tbody>${rows}</tbody></table>`;
}

function statesHtml({ amplifier }: Analysis, place: FindPlace): Html {
  const rows = amplifier.states.map(
    ({ subject, state, phase, source }) =>
      html`<tr>${partHead(subject, benchRole(amplifier.phases, subject))}<td>${state}</td><td>${words.phases[phase]}</td><td class="place">${place(source)}</td></tr>`,
  );
  if (rows.length === 0) return NOTHING;
  return html`<table>${unseen(w.states)}<thead><tr><th scope="col">${w.part}</th><th scope="col">${w.state}</th><th scope="col">${w.seen}</th><th scope="col" class="place">${w.where}</th></tr></thead><tbody>${rows}</tbody></table>`;
}

function keepsHtml({ sheet }: Analysis): Html {
  if (sheet.keeps.length === 0) return NOTHING;
  return html`<ul>${sheet.keeps.map(
    ({ ref, reason, span }) =>
      html`<li><strong>${ref.name}</strong>${reason === undefined ? undefined : html`: ${reason}`} <span class="place">${linesOf(sheet.snapshot, span)}</span></li>`,
  )}</ul>`;
}

function questionsHtml({ amplifier }: Analysis, place: FindPlace): Html {
  const rows = amplifier.phases.flatMap(({ figures }) =>
    figures
      .filter(({ figure }) => figure === 'answer')
      .map(
        (figure) =>
          html`<tr><th scope="row">${figure.subject}</th><td>${sayBand(figure)}</td><td class="place">${place(figure.source)}</td></tr>`,
      ),
  );
  if (rows.length === 0) return NOTHING;
  return html`<table>${unseen(w.questions)}<thead><tr><th scope="col">${w.question}</th><th scope="col">${w.answer}</th><th scope="col" class="place">${w.where}</th></tr></thead><tbody>${rows}</tbody></table>`;
}

function tasksHtml({ sheet }: Analysis): Html {
  const items = sheet.note.blocks.flatMap((block) =>
    block.kind === 'passage' && block.task === 'open'
      ? [
          html`<li><span aria-hidden="true">☐</span> ${passageText(sheet, block)} <span class="place">${linesOf(sheet.snapshot, block.span)}</span></li>`,
        ]
      : [],
  );
  return items.length === 0 ? NOTHING : html`<ul class="tasks">${items}</ul>`;
}

function ordersHtml({ amplifier }: Analysis, place: FindPlace): Html {
  const rows = changeRows(amplifier, true).filter(
    ({ change }) => change.is !== undefined && change.work === undefined,
  );
  if (rows.length === 0) return NOTHING;
  return changeTable(
    rows.map(({ why: _, ...row }) => row),
    place,
    (ref) => benchRole(amplifier.phases, ref),
    { caption: w.orders, was: w.orderWas },
  );
}

function photosHtml({ sheet }: Analysis): Html {
  if (sheet.photos.length === 0) return NOTHING;
  return html`<ul>${sheet.photos.map(
    ({ alt, url, phase, span }) =>
      html`<li>${alt === '' ? undefined : html`${alt}: `}${fileOf(url)} <span class="place">${words.phases[phase]}, ${linesOf(sheet.snapshot, span)}</span></li>`,
  )}</ul>`;
}

/** A photo's file name; an address that is none is not repeated. */
function fileOf(url: string): string {
  if (/^[a-z][a-z0-9+.-]*:/i.test(url)) return words.none;
  return url.slice(url.lastIndexOf('/') + 1);
}

/** Facts of the head that only the bench is told. */
export function benchFacts({ sheet, chassis }: Analysis): readonly (readonly [string, string])[] {
  const f = words.fields;
  const field = (key: keyof typeof f, from = sheet) => from.field(key)?.text;
  const said: readonly (readonly [string, string | undefined])[] = [
    [f.job, field('job')],
    [f.model, field('model') ?? (chassis && field('model', chassis))],
    [f.revision, field('revision') ?? (chassis && field('revision', chassis))],
    [f.serial, field('serial')],
    [f.received, field('received')],
    [f.returned, field('returned')],
    [f.hours, field('hours')],
    [f.charge, field('charge')],
    [f.limit, field('limit')],
    [f.warranty, field('warranty')],
    [f.returns, field('returns')],
    [f.mains, field('mains') ?? (chassis && field('mains', chassis))],
    [f.name, field('name')],
    [f.purpose, field('purpose')],
    [f.follows, field('follows')],
    [f.chassis, field('chassis')],
  ];
  return said.flatMap(([name, text]) =>
    text === undefined || text.trim() === '' ? [] : [[name, text] as const],
  );
}

/** For the head of the page. */
export function benchTitle({ sheet }: Analysis): string {
  return sheet.title === '' ? words.untitled : sheet.title;
}
