/** Owns how the parts to order are told: a list to buy from, what would serve instead, and which job waits for what. */
import type { JobOrders, OrderLine, OrderList } from '../shop/orders.ts';
import { nameOfVisit } from '../shop/visits.ts';
import {
  type Block,
  type Item,
  listOf,
  paragraph,
  type Row,
  type SummaryDocument,
  sectionOf,
  strong,
} from './document.ts';
import { inSheet } from './places.ts';
import type { Speech } from './speech.ts';

export function ordersDocument(list: OrderList, speech: Speech): SummaryDocument {
  const { words } = speech;
  const { orders: w } = words.documents;
  const { openJobs, pieces, lines, jobs } = list;
  return {
    language: words.language,
    reader: 'bench',
    title: w.title,
    kind: w.kind,
    facts: [
      [w.openJobs, w.waiting(openJobs, jobs.length)],
      [w.toBuy, w.pieces(pieces, lines.length)],
    ],
    opening: [paragraph(lines.length === 0 ? `${w.nothing} ${w.note}` : w.note, 'small')],
    sections: [
      ...sectionOf(w.toBuy, lines.length === 0 ? [] : [tableOf(lines, speech)]),
      ...sectionOf(w.instead, insteadBlocks(lines, speech)),
      ...sectionOf(w.inWords, wordBlocks(jobs, speech)),
      ...sectionOf(w.perJob, jobs.length === 0 ? [] : [listOf(jobs.map((job) => jobItem(job, speech)))]),
    ],
  };
}

function tableOf(lines: readonly OrderLine[], speech: Speech): Block {
  const { orders: w } = speech.words.documents;
  return {
    kind: 'table',
    caption: w.toBuy,
    isCaptionUnseen: true,
    columns: [{ head: w.quantity, role: 'number' }, { head: w.part }, { head: w.for }],
    rows: lines.map(
      (line): Row => ({
        cells: [
          String(line.quantity),
          partText(line, speech),
          line.for.map((each) => sayFor(each, speech)).join('; '),
        ],
      }),
    ),
    hasRowHeads: false,
  };
}

/** `5881 valve`, `47 µF 550 V electrolytic capacitor`. */
function partText({ what, class: of }: OrderLine, { words, terms }: Speech): string {
  return what === '' ? terms.classes[of] : words.documents.orders.what(what, terms.classes[of]);
}

/** `job 2117 C9, C10`. */
function sayFor({ visit, items }: OrderLine['for'][number], { shop }: Speech): string {
  return `${nameOfVisit(visit, shop)} ${items.map(({ ref }) => ref).join(', ')}`;
}

function insteadBlocks(lines: readonly OrderLine[], speech: Speech): readonly Block[] {
  const { orders: w } = speech.words.documents;
  const items = lines.flatMap((line): readonly Item[] => {
    const own: readonly Item[] = [
      ...(line.alsoSoldAs.length === 0 ? [] : [{ text: w.otherNames(line.alsoSoldAs.join(', ')) }]),
      ...(line.servedBy.length === 0 ? [] : [{ text: w.servedBy(line.servedBy.join(', ')) }]),
      ...line.substitutes.map(
        ({ what, differences }): Item => ({
          text: [strong(what), ': ', saidOf(line, differences, speech)],
        }),
      ),
    ];
    return own.length === 0
      ? []
      : [{ text: [`${w.forPart} `, strong(partText(line, speech))], blocks: [listOf(own)] }];
  });
  return items.length === 0 ? [] : [listOf(items), paragraph(w.substitutesNote, 'small')];
}

type Difference = OrderLine['substitutes'][number]['differences'][number];

/** Both of a pair change alike, near enough: what is said of the first of a role in a job stands for the others. */
function onePlaceARole(line: OrderLine, differences: readonly Difference[]): readonly Difference[] {
  const told = new Map<string, Difference>();
  for (const difference of differences) {
    const items = line.for.find(({ visit }) => visit === difference.visit)?.items ?? [];
    const role = items.find(({ ref }) => ref === difference.refs[0])?.role ?? difference.refs[0];
    const key = `${difference.visit.file} ${role}`;
    if (!told.has(key)) told.set(key, difference);
  }
  const says = new Set([...told.values()].map((each) => each.says));
  return says.size === 1 ? [...told.values()].slice(0, 1) : [...told.values()];
}

/** What is the same everywhere needs no place. */
function saidOf(line: OrderLine, differences: readonly Difference[], speech: Speech): string {
  const told = onePlaceARole(line, differences);
  const isEverywhere = new Set(differences.map(({ says }) => says)).size === 1;
  return told.map((each) => (isEverywhere ? each.says : sayDifference(each, line, speech))).join('; ');
}

/** `at C9, DC, expected: voltage margin 70.2 → 81.2 %`, with the job where the line is for several. */
function sayDifference({ visit, refs, says }: Difference, line: OrderLine, { words, shop }: Speech): string {
  const job = line.for.length > 1 ? `${nameOfVisit(visit, shop)} ` : '';
  return line.quantity === 1 ? says : words.documents.orders.at(`${job}${refs[0] ?? ''}`, says);
}

function wordBlocks(jobs: readonly JobOrders[], { shop }: Speech): readonly Block[] {
  const items = jobs.flatMap(({ visit, inWords }) =>
    inWords.map(({ text }) => `${nameOfVisit(visit, shop)}: ${text}`),
  );
  return items.length === 0 ? [] : [listOf(items)];
}

function jobItem({ visit, limit, items, inWords }: JobOrders, { words, shop }: Speech): Item {
  const { orders: w } = words.documents;
  const wanted = [
    ...items.map(({ ref, what, was, role }) => {
      const said = was === undefined || was === what ? what : w.inPlaceOf(what, was);
      return `${ref}${role === undefined ? '' : ` (${role})`} ${said}`;
    }),
    ...inWords.map(({ text }) => text),
  ];
  const since = visit.received === undefined ? '' : `, ${w.since(visit.received)}`;
  return {
    text: [
      strong(nameOfVisit(visit, shop)),
      `${visit.title === '' ? '' : `, ${visit.title}`}${since}${limit === undefined ? '' : `, ${w.limit(limit)}`} `,
      inSheet(visit.file),
      `: ${wanted.join('; ')}`,
    ],
  };
}
