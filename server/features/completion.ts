/** Owns what may be written next inside a tag: refs, points, electrodes, valve types, units, kinds and rule ids. */
import type { PhaseView } from '../bench/model.ts';
import { scanRef } from '../dialect/references.ts';
import type { PartClass } from '../dialect/tree.ts';
import { rules } from '../rules/registry.ts';
import type { Analysis } from '../shop/shop.ts';
import { lineAt, lineSpan } from '../text/snapshot.ts';
import type { Span } from '../text/span.ts';
import { describePart } from './hover.ts';

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

/** Completions at an offset; none outside tags, so that prose is left in peace. */
export function completion(analysis: Analysis, offset: number): readonly Completion[] {
  const { snapshot } = analysis.sheet;
  const line = lineSpan(snapshot, lineAt(snapshot, offset));
  const before = snapshot.text.slice(line.start, offset);
  const inside = tagBefore(before);
  if (inside === undefined) return [];
  const word = /[\p{L}\d+.µμΩ-]*$/u.exec(inside)?.[0] ?? '';
  const { offers, typed } = offersFor(analysis, inside.slice(0, inside.length - word.length), word);
  const replace = { start: offset - typed.length, end: offset };
  const wanted = typed.toLowerCase();
  const seen = new Set<string>();
  return offers
    .filter(({ text }) => text.toLowerCase().startsWith(wanted) && !seen.has(text) && seen.add(text))
    .map((offer, order) => ({ ...offer, replace, order }));
}

/** The class of a whole word that is a ref; undefined of any other word. */
function classOf(word: string): PartClass | undefined {
  const scanned = scanRef(word, 0);
  return scanned?.end === word.length ? scanned.ref.class : undefined;
}

/** The text of the tag that is open at the end of `before`: behind an unclosed brace, in a list item, or in a table cell. */
function tagBefore(before: string): string | undefined {
  const brace = before.lastIndexOf('{');
  if (brace >= 0 && !before.includes('}', brace) && before[brace - 1] !== '\\')
    return before.slice(brace + 1);
  const item = /^(?:\s|>)*(?:[-*+]|\d{1,9}[.)])\s+(?:\[[ xX]\]\s+)?(.*)$/.exec(before);
  return item?.[1];
}

function offersFor(
  analysis: Analysis,
  lead: string,
  word: string,
): { readonly offers: readonly Offer[]; readonly typed: string } {
  const view = analysis.amplifier.phases.at(-1);
  const dotted = /^(.*)\.([^.]*)$/.exec(word);
  const ref = dotted?.[1] === undefined ? undefined : classOf(dotted[1]);
  if (dotted?.[1] !== undefined && ref !== undefined) {
    return { offers: terminalsOf(view, dotted[1], ref), typed: dotted[2] ?? '' };
  }
  if (/^\s*accept\s+$/.test(lead)) return { offers: ruleOffers(), typed: word };
  const number = /^\d+(?:[.,]\d+)?([a-zµμΩ]*)$/i.exec(word);
  const subject = /^\s*([A-Z]{1,3}\d+[A-Z]?)/.exec(lead)?.[1];
  const partClass = subject === undefined ? undefined : classOf(subject);
  if (number !== null && partClass !== 'valve') {
    return { offers: unitOffers(partClass, lead), typed: number[1] ?? '' };
  }
  if (partClass === 'valve' && /(?:=|->)\s*$/.test(lead))
    return { offers: valveOffers(analysis), typed: word };
  if (
    partClass !== undefined &&
    /(?:=|->)\s*(?:\S+\s+)*$/.test(lead) &&
    !/,\s*\S*\s*$/.test(lead) &&
    !/\bto\s+$/.test(lead)
  ) {
    return { offers: kindOffers(partClass), typed: word };
  }
  if (partClass === 'valve' && /:\s*(?:[^,]*,\s*)*$/.test(lead))
    return { offers: electrodeOffers(view, subject ?? ''), typed: word };
  return { offers: [...partOffers(view), ...pointOffers(view)], typed: word };
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

function terminalsOf(view: PhaseView | undefined, ref: string, partClass: PartClass): readonly Offer[] {
  if (partClass === 'valve') return electrodeOffers(view, ref);
  return (TERMINALS[partClass] ?? []).map((text) => ({ text, kind: 'electrode' }));
}

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

function valveOffers({ input }: Analysis): readonly Offer[] {
  return input.catalogue.listValves().map(({ type, synonyms, kind }) => ({
    text: type,
    kind: 'valve',
    detail: [kind.replaceAll('-', ' '), ...synonyms].join(', '),
  }));
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

function unitOffers(partClass: PartClass | undefined, lead: string): readonly Offer[] {
  const isReading = lead.includes(':');
  const units =
    isReading || partClass === undefined
      ? ['V', 'mV', 'mA', 'Vpp', 'Vrms', 'R', 'k', 'uF']
      : (UNITS[partClass] ?? []);
  return [...new Set([...(isReading ? (UNITS[partClass ?? 'other'] ?? []) : []), ...units])].map((text) => ({
    text,
    kind: 'unit',
  }));
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
