/**
 * Owns what the whole of a tag is like while it is being written: `R17 = value rating kind, X to Y`, and which piece of it the
 * caret is on. A form is a reminder, not a grammar: the reader takes the pieces in any order.
 */
import type { PartClass } from '../dialect/tree.ts';
import { isKindWord } from '../dialect/vocabulary.ts';
import type { Analysis } from '../shop/shop.ts';
import type { Span } from '../text/span.ts';
import { classOf, findOpenTag, type OpenStatement, readOpenStatement } from './open-tag.ts';

export interface Signature {
  readonly label: string;
  /** Places in the label. */
  readonly parameters: readonly { readonly at: Span; readonly about: string }[];
  /** Which of them the caret is on. */
  readonly active: number;
}

/** A piece of a form: fixed text, or something to be written, with an example. */
type Piece = string | { readonly name: string; readonly about: string };

interface Form {
  readonly pieces: readonly Piece[];
  /** Of what is written behind the sign, which piece is being written. */
  readonly activeIn: (after: string) => number;
}

export function signature(analysis: Analysis, offset: number): Signature | undefined {
  const inside = findOpenTag(analysis.sheet, offset);
  if (inside === undefined) return undefined;
  const keyword = keywordForm(inside);
  if (keyword !== undefined) return build(keyword, keyword.after);
  const open = readOpenStatement(inside);
  if (open === undefined) return undefined;
  const form = formOf(analysis, open);
  return form === undefined ? undefined : build(form, open.after);
}

function build({ pieces, activeIn }: Form, after: string): Signature {
  let label = '';
  const parameters: Signature['parameters'][number][] = [];
  for (const piece of pieces) {
    const text = typeof piece === 'string' ? piece : piece.name;
    if (typeof piece !== 'string')
      parameters.push({ at: { start: label.length, end: label.length + text.length }, about: piece.about });
    label += text;
  }
  return { label, parameters, active: Math.max(0, Math.min(activeIn(after), parameters.length - 1)) };
}

/** `{accept …`, `{keep …` and `{? …`. */
function keywordForm(inside: string): (Form & { readonly after: string }) | undefined {
  const [, word, after = ''] = /^\s*(\?|accept\s|keep\s)(.*)$/s.exec(inside) ?? [];
  if (word === undefined) return undefined;
  const reason: Piece = { name: 'reason', about: 'why, for whoever reads this next' };
  if (word === '?') {
    return {
      pieces: ['? ', { name: 'arithmetic', about: 'parts, points and units: (B+1 - V1A.a) / R6' }],
      activeIn: () => 0,
      after,
    };
  }
  if (word.startsWith('keep')) {
    return {
      pieces: ['keep ', { name: 'parts', about: 'parts that are not to be changed: C41' }, ': ', reason],
      activeIn: (text) => (text.includes(':') ? 1 : 0),
      after,
    };
  }
  return {
    pieces: [
      'accept ',
      { name: 'rule', about: 'the finding’s rule' },
      ' ',
      { name: 'parts', about: 'what it was found on; without, the whole sheet' },
      ': ',
      reason,
    ],
    activeIn: (text) => (text.includes(':') ? 2 : /\S\s/.test(text) ? 1 : 0),
    after,
  };
}

function formOf(analysis: Analysis, open: OpenStatement): Form | undefined {
  const label = open.label.trim();
  if (open.sign === '->') return changeForm(label);
  // A point takes another point, or a reading.
  if (open.sign === '=') return open.class === undefined ? undefined : fittingForm(label, open.class);
  return readingForm(analysis, label, open);
}

const CONNECTION: Piece = {
  name: 'X to Y',
  about: 'where it is connected: V5.k to gnd, or across R17; one end alone goes to gnd',
};

const FITTED: Partial<Record<PartClass, readonly Piece[]>> = {
  resistor: [
    { name: 'value', about: '470R, 4k7, 1M' },
    ' ',
    { name: 'rating', about: '5W' },
    ' ',
    { name: 'kind', about: 'wirewound, carbon film' },
    ', ',
    CONNECTION,
  ],
  capacitor: [
    { name: 'value', about: '22n, 100uF, 32+32uF' },
    ' ',
    { name: 'rating', about: 'working volts, such as 630V' },
    ' ',
    { name: 'kind', about: 'film, electrolytic' },
    ', ',
    { name: 'X to Y', about: 'where it is connected: V2A.a to V3.g; plus at B+1 where it has a polarity' },
  ],
  potentiometer: [
    { name: 'value', about: '1M' },
    ' ',
    { name: 'rating', about: '0.5W' },
    ' ',
    { name: 'law', about: 'log, lin, antilog' },
    ', ',
    { name: 'X to Y, wiper to Z', about: 'clockwise end first: V1A.a to gnd, wiper to V1B.g' },
  ],
  inductor: [
    { name: 'henries', about: '10H' },
    ' ',
    { name: 'ohms', about: 'of its wire: 250R' },
    ' ',
    { name: 'kind', about: 'choke' },
    ', ',
    { name: 'X to Y', about: 'B+1 to B+2' },
  ],
  transformer: [
    { name: 'windings', about: 'in order: mains 290-0-290V 150mA 6.3V 4A, or output 8k : 4R 8R 16R 18W' },
    ', ',
    { name: 'ends', about: 'V5.a V6.a, ct B+1, LS1 on 8R' },
  ],
  diode: [{ name: 'type', about: '1N4007' }, ', ', { name: 'X to Y', about: 'anode first: T1 to B+1' }],
  fuse: [{ name: 'speed and amperes', about: 'as it is stamped: T1A' }],
  loudspeaker: [{ name: 'ohms', about: '8R' }, ' ', { name: 'watts', about: '30W' }],
  tank: [{ name: 'coils', about: 'in 8R out 2k2' }, ', ', { name: 'X to Y', about: 'T3 to V2A.g' }],
};

const VALVE_PIECES: readonly Piece[] = [
  { name: 'type', about: '12AX7, 6V6GT, GZ34' },
  ', ',
  { name: 'a …', about: 'what hangs on the anode, then its other end: a R4 B+3' },
  ', ',
  { name: 'g …', about: 'g R2 J1' },
  ', ',
  { name: 'g2 …', about: 'g2 R21 B+2' },
  ', ',
  { name: 'k …', about: 'k R5 C3; to gnd where nothing else is said' },
];
/** In the order of the pieces above. */
const VALVE_ELECTRODES = ['a', 'g', 'g2', 'k'];

function fittingForm(label: string, partClass: PartClass): Form | undefined {
  if (partClass === 'valve') {
    return {
      pieces: [`${label} = `, ...VALVE_PIECES],
      activeIn: (after) => {
        const clauses = clausesOf(after);
        if (clauses.length < 2) return 0;
        return electrodeAt(clauses.at(-1) ?? '', VALVE_ELECTRODES, clauses.length - 2) + 1;
      },
    };
  }
  const pieces = FITTED[partClass];
  if (pieces === undefined) return undefined;
  const count = pieces.filter((piece) => typeof piece !== 'string').length;
  const hasConnection = pieces.includes(', ');
  return {
    pieces: [`${label} = `, ...pieces],
    activeIn: (after) => {
      const clauses = clausesOf(after);
      const last = clauses.at(-1) ?? '';
      const isMore = clauses.length > 1 && /^\s*(?:\d|$)/.test(last) && last.trim() !== '';
      if (clauses.length > 1 && !isMore && !isKind(last)) return count - 1;
      return Math.min(wordAt(clauses.join(' ')), count - (hasConnection ? 2 : 1));
    },
  };
}

function changeForm(label: string): Form {
  return {
    pieces: [
      `${label.replace(/\s*=.*$/s, '')} = `,
      { name: 'was', about: 'what came out; may be left out where the chassis sheet knows it' },
      ' -> ',
      { name: 'is', about: 'what went in, or: removed, same, resoldered, raised, moved' },
      ', ',
      { name: 'X to Y', about: 'only where it is connected otherwise than before' },
    ],
    // The arrow stands already, so what it was is behind.
    activeIn: (after) => (clausesOf(after).length > 1 ? 2 : 1),
  };
}

const VOLTS = { name: 'volts', about: 'to gnd: 331, or 331 V; Vpp or VAC for ripple' };

const READ: Partial<Record<PartClass, readonly Piece[]>> = {
  resistor: [
    { name: 'ohms', about: '468R; with V it is the volts across it, with A the current through it' },
  ],
  potentiometer: [
    { name: 'at setting, or arm / arm', about: 'at 3; or its two arms, clockwise first: 850k / 150k' },
  ],
  capacitor: [
    { name: 'farads', about: '31uF' },
    ' ',
    { name: 'ESR ohms', about: 'ESR 4R2; insulation in ohms stands alone: 20M' },
  ],
  transformer: [{ name: 'half + half', about: 'its halves in the order named: 138R + 124R' }],
  loudspeaker: [{ name: 'Vrms', about: '11.2 Vrms' }, ' at ', { name: 'frequency', about: '1 kHz' }],
  inductor: [{ name: 'ohms', about: 'of its wire: 250R' }],
};

function readingForm(analysis: Analysis, label: string, open: OpenStatement): Form | undefined {
  const named = /\S+$/.exec(label)?.[0] ?? label;
  if (/(?:^|\s)to\s+\S+$/.test(label)) {
    const volts = {
      name: 'volts',
      about: 'between the two; a written sign means the first minus the second',
    };
    return { pieces: [`${label}: `, volts], activeIn: () => 0 };
  }
  if (
    open.class === 'valve' &&
    open.subject !== undefined &&
    classOf(named.replace(/\..*$/, '')) !== undefined
  ) {
    if (label.includes('.')) return { pieces: [`${label}: `, VOLTS], activeIn: () => 0 };
    return valveReading(analysis, label, open.subject);
  }
  const pieces = open.class === undefined || label.includes('.') ? [VOLTS] : READ[open.class];
  if (pieces === undefined) return undefined;
  return { pieces: [`${label}: `, ...pieces], activeIn: wordAt };
}

const ABOUT_ELECTRODE: Readonly<Record<string, string>> = {
  a: 'anode volts to gnd',
  g2: 'screen volts to gnd',
  g: 'grid volts to gnd, with its sign',
  k: 'cathode volts to gnd; mV across a sense resistor',
};

/** The electrodes that this valve has, those first that are read first; or its cathode current. */
function valveReading({ amplifier }: Analysis, label: string, ref: string): Form {
  const part = amplifier.phases.at(-1)?.parts.get(ref);
  const sections =
    part?.valveSection === undefined ? (part?.type?.valve?.sections ?? []) : [part.valveSection];
  const has = new Set(sections.flatMap(({ pins }) => Object.keys(pins)));
  const order = ['a', 'g2', 'g', 'k'].filter((each) => has.size === 0 || has.has(each));
  const pieces = order.flatMap((each, i): readonly Piece[] => [
    ...(i === 0 ? [] : [', ']),
    { name: `${each} volts`, about: ABOUT_ELECTRODE[each] ?? '' },
  ]);
  return {
    pieces: [`${label}: `, ...pieces, ', ', { name: 'mA', about: 'cathode current, such as 38 mA' }],
    activeIn: (after) => {
      const clauses = clausesOf(after);
      const last = clauses.at(-1) ?? '';
      if (/^\s*[\d.]/.test(last)) return order.length;
      return electrodeAt(last, order, clauses.length - 1);
    },
  };
}

/** Clauses are parted by commas, but for one between digits, which is a decimal sign. */
function clausesOf(text: string): readonly string[] {
  return text.split(/(?<!\d),|,(?!\d)/);
}

/** How many words are done before the caret. */
function wordAt(text: string): number {
  return text.trimStart().split(/\s+/).length - 1;
}

function isKind(clause: string): boolean {
  const word = /^\s*([\p{L}-]+)/u.exec(clause)?.[1];
  return word !== undefined && isKindWord(word);
}

/** Which electrode a clause begins with, else the one whose turn it is. */
function electrodeAt(clause: string, order: readonly string[], turn: number): number {
  const written = /^\s*([a-z]\d?)\s/i.exec(clause)?.[1]?.toLowerCase();
  const at = written === undefined ? -1 : order.indexOf(written === 'g1' ? 'g' : written);
  return at >= 0 ? at : turn;
}
