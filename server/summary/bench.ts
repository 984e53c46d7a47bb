/** Owns what the next technician reads and in what order: everything that the sheet and the figures say, each with its line. */

import type { EffectWords } from '../bench/effect-words.ts';
import type { PartChange } from '../bench/model.ts';
import { isToOrder } from '../shop/orders.ts';
import { sheetName } from '../shop/uris.ts';
import type { Span } from '../text/span.ts';
import { capacitorBlocks } from './capacitors.ts';
import { cautionBlocks, hasHighTension } from './cautions.ts';
import { type ChangeRow, changeEffects, changeRows, departureRows, MOST_FOUND } from './changes.ts';
import {
  aside,
  type Block,
  type Column,
  type Item,
  listOf,
  paragraph,
  type Row,
  type Section,
  type SummaryDocument,
  sectionOf,
  strong,
  type Table,
  type Text,
} from './document.ts';
import { earlierBlocks } from './earlier.ts';
import { findingBlocks, sortFindings } from './findings.ts';
import { noteBlocks } from './notes.ts';
import { namedPart } from './part-words.ts';
import { fittedBlocks } from './parts.ts';
import { findFileName, findPhotoPath } from './photos.ts';
import { pictureBlocks } from './pictures.ts';
import { passageText, topicProse, topicSpans } from './prose.ts';
import { readingBlocks } from './readings.ts';
import { valveBlocks } from './stress.ts';
import type { Telling } from './telling.ts';
import { valveVoltageBlocks } from './valve-voltages.ts';

export function benchDocument(telling: Telling): SummaryDocument {
  const { words, sheet, analysis } = telling;
  const { bench: w } = words;
  const isJob = sheet.kind === 'job';
  const hasChanges = isJob || sheet.kind === 'mod';
  const warning: Text = [
    { kind: 'sign', sign: words.marks.warning },
    ' ',
    strong(w.cautionTop),
    ' ',
    { kind: 'jump', text: w.cautionLink },
  ];
  return {
    language: words.language,
    reader: 'bench',
    title: sheet.title === '' ? words.untitled : sheet.title,
    kind: `${words.kinds[sheet.kind]}: ${w.title}`,
    facts: benchFacts(telling),
    opening: hasHighTension(telling) ? [paragraph(warning, 'warning')] : [],
    sections: [
      ...prose(telling, w.complaint, 'complaint'),
      ...prose(telling, w.intake, 'intake'),
      ...sectionOf(w.findings, findingBlocks(telling, sortFindings(analysis.findings))),
      ...sectionOf(w.changes, hasChanges ? changeBlocks(telling) : []),
      ...sectionOf(w.foundFitted, departureBlocks(telling)),
      ...sectionOf(w.states, stateBlocks(telling)),
      ...sectionOf(w.notes, noteBlocks(telling)),
      ...sectionOf(w.fitted, fittedBlocks(telling)),
      ...sectionOf(w.keeps, keepBlocks(telling)),
      ...sectionOf(w.mods, modBlocks(telling)),
      ...sectionOf(w.tasks, taskBlocks(telling)),
      ...sectionOf(w.orders, orderBlocks(telling)),
      ...prose(telling, w.leftAlone, 'left-alone'),
      ...prose(telling, w.declined, 'declined'),
      ...prose(telling, w.nextTime, 'next-time'),
      ...sectionOf(w.valves, valveBlocks(telling)),
      ...sectionOf(w.valveVolts, valveVoltageBlocks(telling)),
      ...sectionOf(w.capacitors, capacitorBlocks(telling)),
      ...sectionOf(w.readings, readingBlocks(telling)),
      ...sectionOf(w.pictures, pictureBlocks(telling)),
      ...sectionOf(w.earlierJob, earlierBlocks(telling)),
      ...sectionOf(w.questions, questionBlocks(telling)),
      ...(isJob ? owner(telling) : []),
      ...sectionOf(w.photos, photoBlocks(telling)),
      ...sectionOf(w.cautions, cautionBlocks(telling), 'cautions'),
      ...sectionOf(w.rests, restBlocks(telling)),
    ],
  };
}

function restBlocks({ words, analysis }: Telling): readonly Block[] {
  const { bench: w } = words;
  const { sheet, chassis } = analysis;
  const below = chassis === undefined ? undefined : sheetName(chassis.uri);
  return [paragraph(`${w.restsOn(sheetName(sheet.uri), below)} ${w.restsMore}`)];
}

/** A topic's text as it stands in the sheet, with its lines. */
function prose(telling: Telling, head: string, topic: Parameters<typeof topicProse>[1]): readonly Section[] {
  const { sheet, places } = telling;
  const blocks = topicProse(telling, topic).flatMap((block) => withoutKeeps(telling, block));
  if (blocks.length === 0) return [];
  const lines = topicSpans(sheet, topic).map((span) => places.saySpan(trimmed(sheet.snapshot.text, span)));
  return sectionOf(head, [{ kind: 'quoted', blocks }, paragraph(lines.join('; '), 'place')]);
}

/** What is asked to be kept has a section of its own. */
function withoutKeeps({ sheet, places }: Telling, block: Block): readonly Block[] {
  const lines = new Set(sheet.keeps.map(({ span }) => places.lineOf(span)));
  const isKeep = ({ line, text }: Item): boolean =>
    line !== undefined && lines.has(line) && typeof text === 'string' && /^keep\b[^.]*\.?$/i.test(text);
  if (block.kind === 'paragraph') return isKeep(block) ? [] : [block];
  if (block.kind !== 'list') return [block];
  const items = block.items.filter((item) => !isKeep(item));
  return items.length === 0 ? [] : [{ ...block, items }];
}

/** A span without the blank lines at its end. */
function trimmed(text: string, { start, end }: Span): Span {
  return { start, end: start + text.slice(start, end).trimEnd().length };
}

function owner(telling: Telling): readonly Section[] {
  const { bench: w } = telling.words;
  const said = prose(telling, w.owner, 'owner');
  return said.length > 0 ? said : sectionOf(w.owner, [paragraph(w.ownerMissing)]);
}

function changeBlocks(telling: Telling): readonly Block[] {
  const { bench: w } = telling.words;
  const rows = changeRows(telling, false);
  if (rows.length === 0) return [paragraph(w.changesNone)];
  return withEffects(telling, rows, { caption: w.changes, was: w.was, is: w.is });
}

/** Parts that somebody before us fitted otherwise than the chassis sheet has them, with what that does. */
function departureBlocks(telling: Telling): readonly Block[] {
  const { bench: w } = telling.words;
  const rows = departureRows(telling).map(({ why: _, ...row }) => row);
  if (rows.length === 0) return [];
  return withEffects(telling, rows, { caption: w.foundFitted, was: w.drawn, is: w.found }, MOST_FOUND);
}

interface Heads {
  readonly caption: string;
  readonly was: string;
  readonly is: string;
}

function withEffects(
  telling: Telling,
  rows: readonly ChangeRow[],
  heads: Heads,
  most?: number,
): readonly Block[] {
  const { bench: w } = telling.words;
  const effects = changeEffects(rows, telling, most);
  const notes: readonly Text[] = [
    ...(effects.heldAlways.length === 0 ? [] : [`${w.effectsHeld} ${effects.heldAlways.join('; ')}.`]),
    ...(effects.untold === 0 ? [] : [w.effectsUntold(effects.looked, effects.untold)]),
  ];
  return [
    changeTable(telling, rows, heads, (change) => effects.of.get(change)),
    ...notes.map((note) => paragraph(note, 'small')),
  ];
}

function changeTable(
  telling: Telling,
  rows: readonly ChangeRow[],
  { caption, was, is }: Heads,
  effectOf?: (change: PartChange) => EffectWords | undefined,
): Table {
  const { words, places } = telling;
  const { bench: w } = words;
  const hasWhy = rows.some(({ why }) => why !== undefined);
  return tableOf(
    caption,
    [
      { head: w.part },
      { head: was },
      { head: is },
      ...(hasWhy ? [{ head: w.why }] : []),
      placeColumn(w.where),
    ],
    rows.map((row) => {
      const effect = effectOf?.(row.change);
      return {
        cells: [
          namedPart(telling, row.ref),
          row.was,
          strong(row.is),
          ...(hasWhy ? [row.why ?? words.none] : []),
          places.say(row.change.source),
        ],
        line: places.line(row.change.source),
        ...(effect && { below: effectBlocks(telling, effect) }),
      };
    }),
  );
}

function effectBlocks(
  { words }: Telling,
  { direct, directHead, signal, held }: EffectWords,
): readonly Block[] {
  const { bench: w } = words;
  return [
    ...(direct === undefined ? [] : [paragraph(`${directHead}: ${direct}`)]),
    ...(signal === undefined ? [] : [paragraph(`${w.effectSignal}: ${signal}`)]),
    ...(held.length === 0 ? [] : [paragraph(`${w.effectHeld} ${held.join('; ')}.`, 'small')]),
  ];
}

function tableOf(caption: string, columns: readonly Column[], rows: readonly Row[]): Table {
  return { kind: 'table', caption, isCaptionUnseen: true, columns, rows, hasRowHeads: true };
}

function placeColumn(head: string): Column {
  return { head, role: 'place' };
}

function stateBlocks(telling: Telling): readonly Block[] {
  const { words, places, amplifier } = telling;
  const { bench: w } = words;
  const rows = amplifier.states.map(
    ({ subject, state, phase, source }): Row => ({
      cells: [
        namedPart(telling, subject),
        words.shop.failures.states[state],
        words.phases[phase],
        places.say(source),
      ],
      line: places.line(source),
    }),
  );
  if (rows.length === 0) return [];
  return [
    tableOf(w.states, [{ head: w.part }, { head: w.state }, { head: w.seen }, placeColumn(w.where)], rows),
  ];
}

function keepBlocks({ sheet, places }: Telling): readonly Block[] {
  if (sheet.keeps.length === 0) return [];
  const items = sheet.keeps.map(
    ({ ref, reason, span }): Item => ({
      text: [
        strong(reason === undefined ? ref.name : `${ref.name}:`),
        reason === undefined ? undefined : ` ${reason}`,
        ' ',
        aside('place', places.saySpan(span)),
      ],
      line: places.lineOf(span),
    }),
  );
  return [listOf(items)];
}

/** The writer's own verdicts on standing modifications. */
function modBlocks({ sheet, words, places }: Telling): readonly Block[] {
  const { bench: w } = words;
  const rows = sheet.statements.flatMap((statement): readonly Row[] => {
    if (statement.kind !== 'mod-verdict') return [];
    const { mod, verdict, why, span } = statement;
    const said: Readonly<Record<string, string>> = words.shop.mods.verdicts;
    return [
      {
        cells: [mod, said[verdict] ?? verdict, why ?? words.none, places.saySpan(span)],
        line: places.lineOf(span),
      },
    ];
  });
  if (rows.length === 0) return [];
  return [
    tableOf(w.mods, [{ head: w.mod }, { head: w.verdict }, { head: w.why }, placeColumn(w.where)], rows),
  ];
}

function questionBlocks({ amplifier, words, places, numbers }: Telling): readonly Block[] {
  const { bench: w } = words;
  const rows = amplifier.phases.flatMap(({ figures }) =>
    figures
      .filter(({ figure }) => figure === 'answer')
      .map(
        (figure): Row => ({
          cells: [figure.subject, numbers.band(figure), places.say(figure.source)],
          line: places.line(figure.source),
        }),
      ),
  );
  if (rows.length === 0) return [];
  return [tableOf(w.questions, [{ head: w.question }, { head: w.answer }, placeColumn(w.where)], rows)];
}

function taskBlocks({ sheet, places }: Telling): readonly Block[] {
  const items = sheet.note.blocks.flatMap((block): readonly Item[] =>
    block.kind === 'passage' && block.task === 'open'
      ? [
          {
            text: [
              { kind: 'sign', sign: '☐' },
              ' ',
              passageText(sheet, block),
              ' ',
              aside('place', places.saySpan(block.span)),
            ],
            line: places.lineOf(block.span),
          },
        ]
      : [],
  );
  return items.length === 0 ? [] : [listOf(items, 'tasks')];
}

function orderBlocks(telling: Telling): readonly Block[] {
  const { bench: w } = telling.words;
  const rows = changeRows(telling, true)
    .filter(({ change }) => isToOrder(change, telling.sheet))
    .map(({ why: _, ...row }) => row);
  if (rows.length === 0) return [];
  return [changeTable(telling, rows, { caption: w.orders, was: w.orderWas, is: w.orderIs })];
}

function photoBlocks({ sheet, words, places }: Telling): readonly Block[] {
  if (sheet.photos.length === 0) return [];
  const items = sheet.photos.map(({ alt, url, phase, span }): Item => {
    const path = findPhotoPath(url);
    const name = findFileName(url) ?? words.none;
    return {
      text: [
        alt === '' ? undefined : `${alt}: `,
        path === undefined ? name : { kind: 'photo', path, text: name },
        ' ',
        aside('place', `${words.phases[phase]}, ${places.saySpan(span)}`),
      ],
      line: places.lineOf(span),
    };
  });
  return [listOf(items)];
}

/** Facts of the head that only the bench is told. */
function benchFacts({ analysis, words }: Telling): SummaryDocument['facts'] {
  const { sheet, chassis } = analysis;
  const f = words.fields;
  const field = (key: keyof typeof f, from = sheet) => from.field(key)?.text;
  /** Of another sheet: its folder is no news, and takes room. */
  const nameOf = (key: keyof typeof f) => {
    const path = field(key);
    return path && sheetName(path);
  };
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
    [f.returns, nameOf('returns')],
    [f.mains, field('mains') ?? (chassis && field('mains', chassis))],
    [f.name, field('name')],
    [f.purpose, field('purpose')],
    [f.follows, nameOf('follows')],
    [f.chassis, nameOf('chassis')],
  ];
  return said.flatMap(([name, text]) =>
    text === undefined || text.trim() === '' ? [] : [[name, text] as const],
  );
}
