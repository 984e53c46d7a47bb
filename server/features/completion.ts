/** Owns what may be written next inside a tag: refs, points, electrodes, valve types, units, kinds and rule ids; nothing in prose. */
import type { PhaseView } from '../bench/model.ts';
import { scanRef } from '../dialect/references.ts';
import type { PartClass } from '../dialect/tree.ts';
import { rules } from '../rules/registry.ts';
import type { Sheet } from '../sheet/model.ts';
import type { Analysis } from '../shop/shop.ts';
import { lineAt, lineSpan } from '../text/snapshot.ts';
import type { Span } from '../text/span.ts';
import { describePart } from './part-words.ts';

export interface Completion {
  readonly text: string;
  readonly kind: 'part' | 'point' | 'electrode' | 'valve' | 'unit' | 'word' | 'rule';
  readonly detail?: string;
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

/** Completions at an offset; none outside tags, so that prose is left in peace. */
export function completion(analysis: Analysis, offset: number): readonly Completion[] {
  const inside = tagBefore(analysis.sheet, offset);
  if (inside === undefined) return [];
  const isQuestion = /^\s*\?/.test(inside);
  // In arithmetic a sign ends a word, but for a rail's own (`B+1`).
  const wordPattern = isQuestion ? /(?:\b[BH]T?[+-]\d*|[\p{L}\d.]*)$/u : /[\p{L}\d+.µμΩ-]*$/u;
  const word = wordPattern.exec(inside)?.[0] ?? '';
  const lead = inside.slice(0, inside.length - word.length);
  const { offers, typed } = isQuestion ? namesFor(analysis, word) : offersFor(analysis, lead, word);
  const replace = { start: offset - typed.length, end: offset };
  const wanted = typed.toLowerCase();
  const seen = new Set<string>();
  return offers
    .filter(({ text }) => text.toLowerCase().startsWith(wanted) && !seen.has(text) && seen.add(text))
    .map((offer, order) => ({ ...offer, replace, order }));
}

/** A tag is never longer; behind more text than this no brace is looked for. */
const LONGEST_TAG = 2000;

/** A list item that reads as a tag so far: perhaps a condition, then refs or a point, perhaps a type, then the sign. */
const ITEM = /^(?:\s|>)*(?:[-*+]|\d{1,9}[.)])\s+(?:\[[ xX]\]\s+)?(.*)$/;
const ITEM_TAG =
  /^(?:[^:=]{1,60}:\s+)?(?:[A-Z]{1,3}\d+[A-Z]?|B[+-]|HT\+?|mains|gnd|bias)[\w.+'-]*(?:\s?[,&+]\s?[A-Z]{0,3}\d+[A-Z]?)*(?:\s+[\w/-]{2,12}){0,2}\s?(?::|=|->)/;
/** The first word of an item may become a tag once it has a digit: `V5`, `B+`. A capital alone begins a sentence. */
const ITEM_FIRST_WORD = /^(?:[A-Z]{1,3}\d+[A-Z]?(?:\.\w*)?|B\+\d*)$/;

/** The text of the tag that is open at an offset: behind an unclosed brace, or in a list item that opens as a tag. */
function tagBefore(sheet: Sheet, offset: number): string | undefined {
  const { snapshot, frontMatter } = sheet;
  if (frontMatter !== undefined && offset <= frontMatter.span.end) return undefined;
  const block = sheet.note.blocks.find(({ span }) => span.start <= offset && offset <= span.end);
  if (block?.kind === 'opaque') return undefined;
  const { start } = lineSpan(snapshot, lineAt(snapshot, offset));
  const line = snapshot.text.slice(start, offset);
  // A tag may wrap over a soft line break, so a paragraph is looked at from its beginning.
  const from = Math.max(Math.min(start, block?.span.start ?? start), offset - LONGEST_TAG);
  const before = snapshot.text.slice(from, offset);
  const brace = before.lastIndexOf('{');
  if (brace >= 0 && !before.includes('}', brace)) {
    return before[brace - 1] === '\\' || isInCode(before.slice(0, brace))
      ? undefined
      : before.slice(brace + 1);
  }
  const item = ITEM.exec(line)?.[1];
  if (item === undefined || isInCode(item)) return undefined;
  return ITEM_TAG.test(item) || ITEM_FIRST_WORD.test(item) ? item : undefined;
}

/** Whether a backtick or a dollar sign is open at the end of a text. */
function isInCode(text: string): boolean {
  const count = (sign: string) => text.split(sign).length - 1;
  return count('`') % 2 === 1 || count('$') % 2 === 1;
}

/** The class of a whole word that is a ref; undefined of any other word. */
function classOf(word: string): PartClass | undefined {
  const scanned = scanRef(word, 0);
  return scanned?.end === word.length ? scanned.ref.class : undefined;
}

function offersFor(analysis: Analysis, lead: string, word: string): Offers {
  const view = analysis.amplifier.phases.at(-1);
  const terminals = terminalsFor(view, word);
  if (terminals !== undefined) return terminals;
  if (/^\s*accept\s+$/.test(lead)) return { offers: ruleOffers(), typed: word };
  if (/^\s*(?:accept\s+\S+|keep)\s+(?:\S+,\s*)*$/.test(lead) || /^\s*$/.test(lead)) {
    return namesFor(analysis, word);
  }
  const signs = [...lead.matchAll(/->|=|:(?=\s|$)/g)];
  const sign = signs.at(-1);
  // Before the sign stand refs only; behind it, what it asks for.
  if (sign === undefined)
    return /(?:,|&|\+|\band|\bto|\bfrom)\s*$/.test(lead) ? namesFor(analysis, word) : NONE;
  const subject = subjectBefore(lead.slice(0, sign.index)) ?? subjectBefore(lead.slice(0, signs[0]?.index));
  const partClass = subject === undefined ? undefined : classOf(subject);
  const after = lead.slice(sign.index + sign[0].length);
  return sign[0] === ':'
    ? readingOffers(view, subject, partClass, after, word)
    : fittingOffers(analysis, partClass, after, word);
}

/** The last ref before a sign, past no other sign: `V5` of `C14 lifted: V5`. */
function subjectBefore(lead: string): string | undefined {
  return /(?<![\w.])([A-Z]{1,3}\d+[A-Z]?)(?![A-Za-z0-9])[^:=]*$/.exec(lead)?.[1];
}

/** Behind `:`: electrodes of a valve, then units behind a number, then the other end behind `to`. */
function readingOffers(
  view: PhaseView | undefined,
  subject: string | undefined,
  partClass: PartClass | undefined,
  after: string,
  word: string,
): Offers {
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
      ? { offers: VALVE_ELECTRODES.map((text) => ({ text, kind: 'electrode' })), typed: word }
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

function ruleOffers(): readonly Offer[] {
  return rules.map(({ id, summary }) => ({ text: id, kind: 'rule', detail: summary }));
}
