/**
 * Owns what may be written next inside a tag, in a cell of a parts list or a chart, and in the front matter: refs, points,
 * electrodes, valve types, values, units, kinds and rule ids. Nothing in prose.
 */
import type { PhaseView } from '../bench/model.ts';
import { readCellRefs } from '../dialect/cell-points.ts';
import type { Column, PartClass, Table } from '../dialect/tree.ts';
import { rules } from '../rules/registry.ts';
import type { Sheet } from '../sheet/model.ts';
import type { SheetFacts } from '../shop/sheet-index.ts';
import type { Analysis } from '../shop/shop.ts';
import { lineAt, lineSpan } from '../text/snapshot.ts';
import { type Span, touches } from '../text/span.ts';
import { frontMatterOffers, isInFrontMatter } from './front-matter-completion.ts';
import { classOf, findOpenTag, isInCode, readOpenStatement } from './open-tag.ts';
import { describePart } from './part-words.ts';
import { preferredOffers } from './preferred-offers.ts';

export interface Completion {
  readonly text: string;
  readonly kind:
    | 'part'
    | 'point'
    | 'electrode'
    | 'valve'
    | 'value'
    | 'unit'
    | 'word'
    | 'rule'
    | 'key'
    | 'choice'
    | 'path';
  readonly detail?: string;
  /** What is written instead of it: a value that nobody makes, beside the one that is offered for it. */
  readonly matches?: string;
  /** What is already written of it. */
  readonly replace: Span;
  /** Lower comes first. */
  readonly order: number;
}

type Offer = Omit<Completion, 'replace' | 'order'>;

interface Offers {
  readonly offers: readonly Offer[];
  /** What is written of it so far. */
  readonly typed: string;
}

const NONE: Offers = { offers: [], typed: '' };

export interface CompletionOptions {
  /** All sheets, for paths in the front matter. */
  readonly sheets?: Iterable<SheetFacts>;
  /** It was not asked for: a space or the like was typed. Then nothing is laid over an empty cell. */
  readonly isByTheWay?: boolean;
}

/** Completions at an offset; none in prose, which is left in peace. */
export function completion(
  analysis: Analysis,
  offset: number,
  { sheets = [], isByTheWay = false }: CompletionOptions = {},
): readonly Completion[] {
  const { sheet } = analysis;
  if (isInFrontMatter(sheet, offset)) return complete([frontMatterOffers(analysis, offset, sheets)], offset);
  const inside = findOpenTag(sheet, offset);
  if (inside === undefined) {
    const cell = findCell(sheet, offset);
    if (cell === undefined || (isByTheWay && cell.before === '')) return [];
    return complete(cellOffers(analysis, cell), offset);
  }
  const isQuestion = /^\s*\?/.test(inside);
  // In arithmetic a sign ends a word, but for a rail's own (`B+1`).
  const word = (isQuestion ? QUESTION_WORD : WORD).exec(inside)?.[0] ?? '';
  const lead = inside.slice(0, inside.length - word.length);
  if (isQuestion) return complete([namesFor(analysis, word)], offset);
  return complete([...valueOffers(lead, word), offersFor(analysis, lead, word)], offset);
}

const QUESTION_WORD = /(?:\b[BH]T?[+-]\d*|[\p{L}\d.]*)$/u;
const WORD = /[\p{L}\d+.µμΩ-]*$/u;

/** What begins as it is written, each once, in the order given. */
function complete(all: readonly Offers[], offset: number): readonly Completion[] {
  const seen = new Set<string>();
  return all
    .flatMap(({ offers, typed }) => {
      const replace = { start: offset - typed.length, end: offset };
      const wanted = typed.toLowerCase();
      return offers
        .filter(({ text, matches }) => (matches ?? text).toLowerCase().startsWith(wanted))
        .filter(({ text }) => !seen.has(text) && seen.add(text))
        .map((offer) => ({ ...offer, replace }));
    })
    .map((offer, order) => ({ ...offer, order }));
}

/** Behind `=` or `->`: values of the preferred series for the one that is being written. */
function valueOffers(lead: string, word: string): readonly Offers[] {
  const open = readOpenStatement(lead);
  if (open === undefined || open.sign === ':' || !/^[^,]*$/.test(open.after)) return [];
  return [preferred(open.class, word)];
}

function preferred(partClass: PartClass | undefined, word: string): Offers {
  const offers = preferredOffers(partClass, word).map(
    ({ text, detail, isNeighbour }): Offer => ({
      text,
      kind: 'value',
      detail,
      ...(isNeighbour ? { matches: word } : {}),
    }),
  );
  return { offers, typed: word };
}

// ---------------------------------------------------------------------------------------------------------------
// Cells

interface OpenCell {
  readonly nature: 'parts' | 'chart';
  readonly column: Column;
  /** The class of the row's first part. */
  readonly class?: PartClass;
  /** What stands in the cell before the caret. */
  readonly before: string;
}

/** The cell of a parts list or a chart that an offset is in; none in the heading and its rule. */
function findCell({ note, snapshot }: Sheet, offset: number): OpenCell | undefined {
  const table = note.blocks.find(
    (block): block is Table => block.kind === 'table' && touches(block.span, offset),
  );
  const line = lineAt(snapshot, offset);
  if (table === undefined || table.nature === 'other' || line < lineAt(snapshot, table.span.start) + 2) {
    return undefined;
  }
  const row = lineSpan(snapshot, line);
  const before = snapshot.text.slice(row.start, offset);
  const cells = before.replace(/^(?:\s|>)*\|/, '').split(/(?<!\\)\|/);
  const column = table.columns[cells.length - 1];
  const written = cells.at(-1)?.trimStart();
  if (column === undefined || written === undefined || isInCode(before)) return undefined;
  const first = cells[0] ?? '';
  const ref = readCellRefs(first, { start: 0, end: first.length })?.refs[0];
  return {
    nature: table.nature,
    column,
    ...(ref === undefined ? {} : { class: ref.class }),
    before: written,
  };
}

function cellOffers(analysis: Analysis, cell: OpenCell): readonly Offers[] {
  const { column, before } = cell;
  const word = WORD.exec(before)?.[0] ?? '';
  const view = analysis.amplifier.phases.at(-1);
  switch (column.means) {
    case 'ref':
      return [{ offers: partOffers(view), typed: word }];
    case 'point':
      return [terminalsFor(view, word) ?? { offers: pointsToRead(view), typed: word }];
    case 'from':
    case 'to':
      return [namesFor(analysis, word)];
    case 'type':
      return [{ offers: valveOffers(analysis), typed: word }];
    case 'value':
    case 'was':
    case 'now':
      if (cell.class === 'valve') return [{ offers: valveOffers(analysis), typed: word }];
      return [preferred(cell.class, word), specificationOffers(cell.class, word)];
    case 'rating':
      return [specificationOffers(cell.class, word)];
    case 'kind':
      return cell.class === undefined ? [] : [{ offers: kindOffers(cell.class), typed: word }];
    default:
      return [];
  }
}

/** Units behind a number, else kinds. */
function specificationOffers(partClass: PartClass | undefined, word: string): Offers {
  const number = numberOf(word);
  if (number !== undefined) return { offers: unitsOf(partClass), typed: number };
  return word === '' || partClass === undefined ? NONE : { offers: kindOffers(partClass), typed: word };
}

/** What a chart has rows for: valves, and nodes that have a name. */
function pointsToRead(view: PhaseView | undefined): readonly Offer[] {
  return [...partOffers(view).filter(({ text }) => classOf(text) === 'valve'), ...pointOffers(view)];
}

// ---------------------------------------------------------------------------------------------------------------
// Tags

function offersFor(analysis: Analysis, lead: string, word: string): Offers {
  const view = analysis.amplifier.phases.at(-1);
  const terminals = terminalsFor(view, word);
  if (terminals !== undefined) return terminals;
  if (/^\s*accept\s+$/.test(lead)) return { offers: ruleOffers(analysis), typed: word };
  if (/^\s*(?:accept\s+\S+|keep)\s+(?:\S+,\s*)*$/.test(lead) || /^\s*$/.test(lead)) {
    return namesFor(analysis, word);
  }
  const open = readOpenStatement(lead);
  // Before the sign stand refs only; behind it, what it asks for.
  if (open === undefined)
    return /(?:,|&|\+|\band|\bto|\bfrom)\s*$/.test(lead) ? namesFor(analysis, word) : NONE;
  return open.sign === ':'
    ? readingOffers(view, open.subject, open.class, open.after, word)
    : fittingOffers(analysis, open.subject, open.class, open.after, word);
}

/** Behind `:`: electrodes of a valve, then units behind a number, then the other end behind `to`. */
function readingOffers(
  view: PhaseView | undefined,
  subject: string | undefined,
  partClass: PartClass | undefined,
  after: string,
  word: string,
): Offers {
  if (partClass === 'valve' && subject !== undefined && /\bpins?\s+$/i.test(after)) {
    return { offers: pinOffers(view, subject), typed: word };
  }
  const number = numberOf(word);
  const isAtNewClause = /(?:^|,)\s*$/.test(after);
  if (number !== undefined) return { offers: readingUnits(partClass), typed: number };
  if (partClass === 'valve' && isAtNewClause && subject !== undefined) {
    return { offers: electrodeOffers(view, subject), typed: word };
  }
  return NONE;
}

/** Behind `=` or `->`: what is fitted, then where it is connected. */
function fittingOffers(
  analysis: Analysis,
  subject: string | undefined,
  partClass: PartClass | undefined,
  after: string,
  word: string,
): Offers {
  const view = analysis.amplifier.phases.at(-1);
  const isFirst = /^\s*$/.test(after);
  const number = numberOf(word);
  if (partClass === 'valve') {
    if (isFirst) return { offers: valveOffers(analysis), typed: word };
    // A stage line: `V1A = 12AX7, a R4 B+4`.
    return /,\s*$/.test(after)
      ? { offers: electrodeOffers(view, subject ?? ''), typed: word }
      : namesFor(analysis, word);
  }
  if (number !== undefined) return { offers: unitsOf(partClass), typed: number };
  if (isConnection(after)) return namesFor(analysis, word);
  if (partClass === undefined) return namesFor(analysis, word);
  const kinds = kindOffers(partClass);
  // Behind a comma a connection or another word may begin.
  if (/,\s*$/.test(after)) {
    return { offers: [...partOffers(view), ...pointOffers(view), ...kinds], typed: word };
  }
  return { offers: kinds, typed: word };
}

function isConnection(after: string): boolean {
  return /(?:\b(?:to|from|across|on|ct|wiper|plus at)|,\s*[A-Z][\w.+]*)\s+(?:[\w.+-]+\s+)?$/.test(after);
}

/** The letters behind a number so far: the unit that is being written. */
function numberOf(word: string): string | undefined {
  return /^[+-]?\d+(?:[.,]\d+)?([a-zµμΩ]*)$/i.exec(word)?.[1];
}

function namesFor({ amplifier }: Analysis, word: string): Offers {
  const view = amplifier.phases.at(-1);
  return terminalsFor(view, word) ?? { offers: [...partOffers(view), ...pointOffers(view)], typed: word };
}

/** Behind `V5.`: its electrodes. */
function terminalsFor(view: PhaseView | undefined, word: string): Offers | undefined {
  const [, ref, typed = ''] = /^(.*)\.([^.]*)$/.exec(word) ?? [];
  const partClass = ref === undefined ? undefined : classOf(ref);
  if (ref === undefined || partClass === undefined) return undefined;
  const offers =
    partClass === 'valve'
      ? electrodeOffers(view, ref)
      : (TERMINALS[partClass] ?? []).map((text): Offer => ({ text, kind: 'electrode' }));
  return { offers, typed };
}

function partOffers(view: PhaseView | undefined): readonly Offer[] {
  if (view === undefined) return [];
  return [...view.parts.values()].map((part) => ({
    text: part.ref,
    kind: 'part',
    detail: describePart(view, part),
  }));
}

/** Named nodes of the circuit and the ready-made ones. */
function pointOffers(view: PhaseView | undefined): readonly Offer[] {
  const named = (view?.circuit.nodes ?? []).filter((node) => !node.includes('.'));
  return [...new Set([...named, 'gnd', 'mains', 'bias', 'heaters'])].map((text) => ({ text, kind: 'point' }));
}

const TERMINALS: Partial<Record<PartClass, readonly string[]>> = {
  potentiometer: ['3', '2', '1', 'wiper'],
  resistor: ['1', '2'],
  capacitor: ['1', '2'],
  inductor: ['1', '2'],
  diode: ['a', 'k'],
  transistor: ['b', 'c', 'e', 'g', 'd', 's'],
};

const VALVE_ELECTRODES = ['a', 'g', 'g2', 'k', 'g3', 'h'];

/** The electrodes that this valve has, with their pins where the catalogue knows them. */
function electrodeOffers(view: PhaseView | undefined, ref: string): readonly Offer[] {
  const part = view?.parts.get(ref);
  const sections =
    part?.valveSection === undefined ? (part?.type?.valve?.sections ?? []) : [part.valveSection];
  if (sections.length === 0) return VALVE_ELECTRODES.map((text) => ({ text, kind: 'electrode' }));
  const names = new Set(sections.flatMap(({ pins }) => Object.keys(pins)));
  return [...names].map((text) => {
    const pins = sections.flatMap((section) => section.pins[text] ?? []);
    return { text, kind: 'electrode', ...(pins.length === 0 ? {} : { detail: `pin ${pins.join(' or ')}` }) };
  });
}

/** The pins of a valve, each with what comes out at it; none where the catalogue does not know. */
function pinOffers(view: PhaseView | undefined, ref: string): readonly Offer[] {
  const valve = view?.parts.get(ref)?.type?.valve;
  const pins = (valve?.sections ?? []).flatMap(({ name, pins: of }) =>
    Object.entries(of).flatMap(([electrode, numbers]) =>
      numbers.map((pin) => ({
        pin,
        detail: valve?.sections.length === 1 ? electrode : `${electrode} of ${name}`,
      })),
    ),
  );
  return pins
    .sort((a, b) => a.pin - b.pin)
    .map(({ pin, detail }) => ({ text: String(pin), kind: 'electrode', detail }));
}

/** Every type under every name that is printed on it. */
function valveOffers({ input }: Analysis): readonly Offer[] {
  return input.catalogue.listValves().flatMap(({ type, synonyms, kind }): Offer[] => {
    const what = kind.replaceAll('-', ' ');
    const offer = (text: string, detail: string): Offer => ({ text, kind: 'valve', detail });
    return [
      offer(type, [what, ...synonyms].join(', ')),
      ...synonyms.map((synonym) => offer(synonym, `${what}, as ${type}`)),
    ];
  });
}

const UNITS: Partial<Record<PartClass, readonly string[]>> = {
  resistor: ['R', 'k', 'M', 'W', 'V'],
  potentiometer: ['k', 'M', 'R'],
  capacitor: ['uF', 'nF', 'pF', 'V'],
  inductor: ['H', 'mH', 'R', 'mA'],
  transformer: ['V', 'mA', 'A', 'R', 'k', 'W'],
  fuse: ['A', 'mA'],
  loudspeaker: ['R', 'W', 'Vrms'],
};

function unitsOf(partClass: PartClass | undefined): readonly Offer[] {
  return (UNITS[partClass ?? 'other'] ?? []).map((text) => ({ text, kind: 'unit' }));
}

/** What a meter says on a part of this class, then what it says anywhere. */
function readingUnits(partClass: PartClass | undefined): readonly Offer[] {
  const own = partClass === 'valve' ? ['V', 'mA'] : (UNITS[partClass ?? 'other'] ?? []);
  return [...own, 'V', 'mV', 'mA', 'Vpp', 'Vrms', 'R', 'k', 'uF'].map((text) => ({ text, kind: 'unit' }));
}

const KINDS: Partial<Record<PartClass, readonly string[]>> = {
  resistor: ['wirewound', 'metal film', 'carbon film', 'carbon composition', 'metal oxide'],
  capacitor: ['electrolytic', 'film', 'polypropylene', 'polyester', 'ceramic', 'mica', 'paper'],
  potentiometer: ['log', 'lin', 'antilog'],
};

function kindOffers(partClass: PartClass): readonly Offer[] {
  return [...(KINDS[partClass] ?? []), 'removed'].map((text) => ({ text, kind: 'word' }));
}

/** All rules, those first that found something here. */
function ruleOffers({ findings }: Analysis): readonly Offer[] {
  const found = new Set(findings.map(({ rule }) => rule));
  const offer = ({ id, summary }: (typeof rules)[number]): Offer => ({
    text: id,
    kind: 'rule',
    detail: summary,
  });
  const here = rules.filter(({ id }) => found.has(id));
  return [...here, ...rules.filter(({ id }) => !found.has(id))].map(offer);
}
