/**
 * Owns the names of places in the circuit: how a written point is called here, and which of several names a node goes by.
 */
import type { PartClass, Point, Ref } from '../dialect/tree.ts';

/** How well a name stands for a node: the lowest rank gives the node its name. A terminal that a writer names stands before one that only its part has. */
export const NAME_RANKS = { ground: 0, rail: 1, named: 2, electrode: 3, terminal: 4, own: 5 } as const;

/** A point's name with the rank it has among the names of one node. */
export interface PointName {
  readonly name: string;
  readonly rank: number;
}

/** Finds the electrode behind a pin number; undefined where the valve or its base is not known, or sections are not told apart. */
export type FindElectrode = (ref: Ref, pin: number) => PointName | undefined;

/** `B+2` before `B+10`, `R4` before `R17`. */
export function compareNames(a: string, b: string): number {
  if (a === b) return 0;
  let i = 0;
  let j = 0;
  while (i < a.length && j < b.length) {
    const one = a.charCodeAt(i);
    const two = b.charCodeAt(j);
    if (isDigit(one) && isDigit(two)) {
      let numberA = 0;
      let numberB = 0;
      for (; isDigit(a.charCodeAt(i)); i++) numberA = numberA * 10 + a.charCodeAt(i) - 0x30;
      for (; isDigit(b.charCodeAt(j)); j++) numberB = numberB * 10 + b.charCodeAt(j) - 0x30;
      if (numberA !== numberB) return numberA < numberB ? -1 : 1;
    } else {
      if (one !== two) return one - two;
      i++;
      j++;
    }
  }
  return a.length - i - (b.length - j) || (a < b ? -1 : a > b ? 1 : 0);
}

function isDigit(code: number): boolean {
  return code >= 48 && code <= 57;
}

/** The name of a point. A bare ref of a two-terminal part is its first terminal, which is the live end as parts are written. */
export function nameOfPoint(point: Point, findElectrode: FindElectrode): PointName {
  if (point.kind === 'node') return nameOfNode(point.name);
  if (point.kind === 'ref') return nameOfBareRef(point);
  if (point.by === 'pin') {
    const pin = Number(point.terminal);
    const electrode = point.ref.class === 'valve' ? findElectrode(point.ref, pin) : undefined;
    if (electrode !== undefined) return electrode;
  }
  const terminal = normalTerminal(point.ref.class, point.terminal);
  const rank = point.ref.class === 'valve' ? NAME_RANKS.electrode : NAME_RANKS.terminal;
  return { name: `${point.ref.name}.${terminal}`, rank };
}

export function nameOfNode(name: string): PointName {
  if (name === 'gnd' || name === 'chassis') return { name: 'gnd', rank: NAME_RANKS.ground };
  return { name, rank: isRail(name) ? NAME_RANKS.rail : NAME_RANKS.named };
}

function nameOfBareRef(ref: Ref): PointName {
  const first = TERMINALS_OF[ref.class]?.[0];
  // A winding, a jack or a valve is a place by its own name.
  if (first === undefined) return { name: ref.name, rank: NAME_RANKS.named };
  return { name: `${ref.name}.${first}`, rank: NAME_RANKS.terminal };
}

/** `B+`, `B-`, `HT` and the like, with any number behind. */
export function isRail(name: string): boolean {
  return startsWithOneOf(name, 'BbHhCc') && /^(?:B[+-]|HT\+?|C-)\d*[A-Z]?$/i.test(name);
}

/** A rail of the anode supply: not ground, not negative. */
export function isSupplyRail(name: string): boolean {
  return isRail(name) && name.charAt(1) !== '-';
}

/** A place that biases grids: the ready-made `bias`, a negative rail, or a free node whose name says so. */
export function isBiasNode(name: string): boolean {
  return startsWithOneOf(name, 'BbCc') && /^(?:bias|[BC]-\d*$)/i.test(name);
}

/** A tap of an output transformer, or the loudspeaker on it. */
export function isSecondary(name: string): boolean {
  if (name.startsWith('LS')) return /^LS\d/.test(name);
  return startsWithOneOf(name, 'TtOo') && /^(?:TR?|OT)\d+\.\d+(?:\.\d+)?R$/i.test(name);
}

/** Nearly every name that is asked about begins otherwise, and is not looked at any further. */
function startsWithOneOf(name: string, letters: string): boolean {
  return letters.includes(name.charAt(0));
}

/** Terminals by class where a part has two (a pot's ends stand first), in the order of its ends. */
export const TERMINALS_OF: Partial<Record<PartClass, readonly [string, string]>> = {
  resistor: ['1', '2'],
  capacitor: ['1', '2'],
  inductor: ['1', '2'],
  fuse: ['1', '2'],
  switch: ['1', '2'],
  loudspeaker: ['1', '2'],
  lamp: ['1', '2'],
  thermistor: ['1', '2'],
  battery: ['1', '2'],
  relay: ['1', '2'],
  tank: ['1', '2'],
  other: ['1', '2'],
  diode: ['a', 'k'],
  potentiometer: ['3', '1'],
};

const POT_WORDS: Readonly<Record<string, string>> = {
  wiper: '2',
  w: '2',
  cw: '3',
  ccw: '1',
  clockwise: '3',
  anticlockwise: '1',
};

/** One name for a terminal however it was called. */
export function normalTerminal(partClass: PartClass, written: string): string {
  const terminal = written.trim();
  const lower = terminal.toLowerCase();
  switch (partClass) {
    case 'valve':
      return lower === 'g1' ? 'g' : lower === 'p' ? 'a' : lower;
    case 'diode':
      return lower === '1' ? 'a' : lower === '2' ? 'k' : lower;
    case 'potentiometer':
      return POT_WORDS[lower] ?? lower;
    case 'transformer':
    case 'transformer-or-transistor':
      // A tap keeps its spelling but for the case of its unit letter: `8R`.
      return /^\d+(?:\.\d+)?r$/i.test(terminal) ? terminal.toUpperCase() : lower;
    default:
      return lower === '+' ? 'plus' : lower === '-' ? 'minus' : lower;
  }
}
