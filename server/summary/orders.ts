/** Owns how the parts to order are told: a list to buy from, what would serve instead, and which job waits for what. */
import type { JobOrders, OrderLine, OrderList } from '../shop/orders.ts';
import { nameOfVisit } from '../shop/visits.ts';
import {
  aside,
  type Block,
  type Item,
  listOf,
  paragraph,
  type Row,
  type SummaryDocument,
  sectionOf,
  strong,
} from './document.ts';

const NOTE =
  'A job is open until its sheet says when the amplifier went back. What it wants stands in its unticked tasks and under Wanted, Quote or Order.';
const SUBSTITUTES_NOTE =
  'Of a pair the first is told. What would serve is judged by value, rating and pins alone, and what it changes is computed from the sheets, all else as it stands there: look at body, lead spacing and temperature as well. A fuse is replaced by its own rating and speed and by nothing else; a capacitor on the mains side by its own class.';

export function ordersDocument(list: OrderList): SummaryDocument {
  const { openJobs, pieces, lines, jobs } = list;
  return {
    language: 'en',
    reader: 'bench',
    title: 'Parts to order',
    kind: 'Orders',
    facts: [
      ['Open jobs', `${openJobs}, ${jobs.length} of them waiting for something`],
      [
        'To buy',
        `${pieces} ${pieces === 1 ? 'piece' : 'pieces'} on ${lines.length} ${lines.length === 1 ? 'line' : 'lines'}`,
      ],
    ],
    opening: [paragraph(lines.length === 0 ? `Nothing is to be ordered. ${NOTE}` : NOTE, 'small')],
    sections: [
      ...sectionOf('To buy', lines.length === 0 ? [] : [tableOf(lines)]),
      ...sectionOf('What would serve instead', insteadBlocks(lines)),
      ...sectionOf('Wanted in words only', wordBlocks(jobs)),
      ...sectionOf('Which job waits for what', jobs.length === 0 ? [] : [listOf(jobs.map(jobItem))]),
    ],
  };
}

function tableOf(lines: readonly OrderLine[]): Block {
  return {
    kind: 'table',
    caption: 'To buy',
    isCaptionUnseen: true,
    columns: [{ head: 'Quantity', role: 'number' }, { head: 'Part' }, { head: 'For' }],
    rows: lines.map(
      (line): Row => ({
        cells: [String(line.quantity), partText(line), line.for.map(sayFor).join('; ')],
      }),
    ),
    hasRowHeads: false,
  };
}

/** `5881 valve`, `47 µF 550 V electrolytic capacitor`. */
function partText({ what, class: of }: OrderLine): string {
  return what === '' ? of : `${what} ${of.replaceAll('-', ' ')}`;
}

/** `job 2117 C9, C10`. */
function sayFor({ visit, items }: OrderLine['for'][number]): string {
  return `${nameOfVisit(visit)} ${items.map(({ ref }) => ref).join(', ')}`;
}

function insteadBlocks(lines: readonly OrderLine[]): readonly Block[] {
  const items = lines.flatMap((line): readonly Item[] => {
    const own: readonly Item[] = [
      ...(line.alsoSoldAs.length === 0
        ? []
        : [{ text: `known by other names too: ${line.alsoSoldAs.join(', ')}` }]),
      ...(line.servedBy.length === 0
        ? []
        : [{ text: `on this list already, and rated higher: ${line.servedBy.join(', ')}` }]),
      ...line.substitutes.map(
        ({ what, differences }): Item => ({
          text: [strong(what), ': ', saidOf(line, differences)],
        }),
      ),
    ];
    return own.length === 0 ? [] : [{ text: ['for ', strong(partText(line))], blocks: [listOf(own)] }];
  });
  return items.length === 0 ? [] : [listOf(items), paragraph(SUBSTITUTES_NOTE, 'small')];
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
function saidOf(line: OrderLine, differences: readonly Difference[]): string {
  const told = onePlaceARole(line, differences);
  const isEverywhere = new Set(differences.map(({ says }) => says)).size === 1;
  return told.map((each) => (isEverywhere ? each.says : sayDifference(each, line))).join('; ');
}

/** `at C9, DC, expected: voltage margin 70.2 → 81.2 %`, with the job where the line is for several. */
function sayDifference({ visit, refs, says }: Difference, line: OrderLine): string {
  const job = line.for.length > 1 ? `${nameOfVisit(visit)} ` : '';
  return line.quantity === 1 ? says : `at ${job}${refs[0] ?? ''}, ${says}`;
}

function wordBlocks(jobs: readonly JobOrders[]): readonly Block[] {
  const items = jobs.flatMap(({ visit, inWords }) =>
    inWords.map(({ text }) => `${nameOfVisit(visit)}: ${text}`),
  );
  return items.length === 0 ? [] : [listOf(items)];
}

function jobItem({ visit, limit, items, inWords }: JobOrders): Item {
  const wanted = [
    ...items.map(({ ref, what, was, role }) => {
      const now = was === undefined || was === what ? '' : ` for ${was}`;
      return `${ref}${role === undefined ? '' : ` (${role})`} ${what}${now}`;
    }),
    ...inWords.map(({ text }) => text),
  ];
  const since = visit.received === undefined ? '' : `, in since ${visit.received}`;
  return {
    text: [
      strong(nameOfVisit(visit)),
      `${visit.title === '' ? '' : `, ${visit.title}`}${since}${limit === undefined ? '' : `, limit ${limit}`} `,
      aside('place', visit.file),
      `: ${wanted.join('; ')}`,
    ],
  };
}
