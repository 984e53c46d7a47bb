/**
 * Owns the reading of points: where a probe goes. A terminal of a part (`V5.a`, `V5 pin 3`, `VR2.wiper`, `T2.8R`),
 * a rail (`B+1`), a ready-made node (`gnd`, `mains`) or a node that the sheet names itself (`tail`).
 */
import type { Span } from '../text/span.ts';
import { scanRef } from './references.ts';
import type { Node, PartClass, Point, Ref, Terminal } from './tree.ts';
import { isReservedWord } from './vocabulary.ts';

export interface ScannedPoint {
  readonly point: Point;
  readonly end: number;
}

export interface ScannedTerminal {
  readonly terminal: string;
  readonly by: Terminal['by'];
  readonly end: number;
}

type Names = ReadonlyMap<string, string>;

function namesOf(names: Readonly<Record<string, string>>): Names {
  return new Map(Object.entries(names));
}

const VALVE_ELECTRODES = namesOf({
  a: 'a',
  p: 'a',
  anode: 'a',
  plate: 'a',
  a1: 'a1',
  a2: 'a2',
  g: 'g',
  g1: 'g1',
  grid: 'g',
  'control grid': 'g',
  g2: 'g2',
  screen: 'g2',
  'screen grid': 'g2',
  sg: 'g2',
  g3: 'g3',
  suppressor: 'g3',
  k: 'k',
  c: 'k',
  cathode: 'k',
  h: 'h',
  heater: 'h',
  heaters: 'h',
  h1: 'h1',
  h2: 'h2',
  hct: 'hct',
  f: 'f',
  filament: 'f',
  f1: 'f1',
  f2: 'f2',
  s: 's',
  shield: 's',
});

const TRANSISTOR_ELECTRODES = namesOf({
  b: 'b',
  base: 'b',
  c: 'c',
  collector: 'c',
  e: 'e',
  emitter: 'e',
  g: 'g',
  gate: 'g',
  d: 'd',
  drain: 'd',
  s: 's',
  source: 's',
});

const DIODE_ELECTRODES = namesOf({ a: 'a', anode: 'a', k: 'k', cathode: 'k' });

const POT_TERMINALS = namesOf({
  wiper: 'wiper',
  w: 'wiper',
  cw: 'cw',
  ccw: 'ccw',
  top: 'cw',
  bottom: 'ccw',
  clockwise: 'cw',
});

const WINDING_TERMINALS = namesOf({
  ct: 'ct',
  pri: 'pri',
  primary: 'pri',
  sec: 'sec',
  secondary: 'sec',
  p: 'p',
  s: 's',
  a: 'a',
  b: 'b',
  com: 'com',
});

const WINDING_OR_TRANSISTOR: Names = new Map([...WINDING_TERMINALS, ...TRANSISTOR_ELECTRODES]);

const PLAIN_TERMINALS = namesOf({
  plus: '+',
  minus: '-',
  '+': '+',
  '-': '-',
  a: 'a',
  b: 'b',
  tip: 'tip',
  ring: 'ring',
  sleeve: 'sleeve',
  switch: 'switch',
  in: 'in',
  out: 'out',
  com: 'com',
  no: 'no',
  nc: 'nc',
  coil: 'coil',
  l: 'l',
  n: 'n',
  pe: 'pe',
});

/** What has only two ends has no `in` and no coil. */
const TWO_ENDS = namesOf({ plus: '+', minus: '-', '+': '+', '-': '-' });

/** Names of terminals by class; what a class does not list it takes by number only. */
function terminalsOf(partClass: PartClass): Names {
  switch (partClass) {
    case 'valve':
      return VALVE_ELECTRODES;
    case 'transistor':
      return TRANSISTOR_ELECTRODES;
    case 'diode':
      return DIODE_ELECTRODES;
    case 'potentiometer':
      return POT_TERMINALS;
    case 'transformer':
    case 'inductor':
      return WINDING_TERMINALS;
    case 'transformer-or-transistor':
      return WINDING_OR_TRANSISTOR;
    case 'resistor':
    case 'capacitor':
    case 'thermistor':
    case 'fuse':
      return TWO_ENDS;
    default:
      return PLAIN_TERMINALS;
  }
}

const WORD = /[A-Za-z]+\d?(?:\s(?:grid))?'?|[+-]/y;
const SHORT_WORD = /[A-Za-z]+\d?'?|[+-]/y;
const NUMBER = /\d{1,2}(?![\p{L}\p{N}_]|\.\d)/uy;
const TAP = /\d+(?:\.\d+)?\s?(?:R|Ω|Ω|ohms?|V)(?![\p{L}\p{N}_])/uy;
const PIN = /(?:pins?\s*(?:no\.?\s*|#\s*)?|#\s*)(\d{1,2})(?![\p{L}\p{N}_]|\.\d)/iuy;

/** A terminal's name at `at`, as it is written behind a part's dot or in a reading's list. */
export function scanTerminal(text: string, at: number, partClass: PartClass): ScannedTerminal | undefined {
  const first = text.charAt(at);
  if (!/[A-Za-z#+-]/.test(first)) return undefined;
  PIN.lastIndex = at;
  const pin = /[pP#]/.test(first) ? PIN.exec(text) : null;
  if (pin !== null) {
    const number = String(Number(pin[1]));
    return { terminal: number, by: partClass === 'valve' ? 'pin' : 'number', end: at + pin[0].length };
  }
  const names = terminalsOf(partClass);
  for (const pattern of [WORD, SHORT_WORD]) {
    pattern.lastIndex = at;
    const word = pattern.exec(text);
    if (word === null) continue;
    const end = at + word[0].length;
    if (/[\p{L}\p{N}_]/u.test(text.charAt(end)) && !/[+-]/.test(word[0])) continue;
    const spelled = word[0].toLowerCase();
    const prime = spelled.endsWith("'") ? "'" : '';
    const name = names.get(/^\w+$/.test(spelled) ? spelled : spelled.replace("'", '').replace(/\s+/, ' '));
    if (name === undefined) continue;
    const terminal = `${name}${prime}`;
    const by = ELECTRODE_CLASSES.has(partClass) ? 'electrode' : 'name';
    return { terminal, by, end };
  }
  return undefined;
}

const ELECTRODE_CLASSES: ReadonlySet<PartClass> = new Set(['valve', 'transistor', 'diode']);
const TAPPED: ReadonlySet<PartClass> = new Set(['transformer', 'inductor', 'transformer-or-transistor']);

/** What follows the dot: a name, a number, or a tap of a transformer. */
function scanBehindDot(text: string, at: number, ref: Ref): ScannedTerminal | undefined {
  if (TAPPED.has(ref.class)) {
    const tap = scanTap(text, at);
    if (tap !== undefined) return tap;
  }
  NUMBER.lastIndex = at;
  const number = NUMBER.exec(text);
  if (number !== null) {
    return {
      terminal: String(Number(number[0])),
      by: ref.class === 'valve' ? 'pin' : 'number',
      end: at + number[0].length,
    };
  }
  return scanTerminal(text, at, ref.class);
}

const RAIL = /(?:B\+\+|B[+-]|HT\+?)(\d{1,2})?/y;
const READY_MADE = namesOf({
  gnd: 'gnd',
  ground: 'gnd',
  chassis: 'chassis',
  earth: 'earth',
  line: 'line',
  live: 'line',
  neutral: 'neutral',
  mains: 'mains',
  bias: 'bias',
  heaters: 'heaters',
});
const NODE = /[A-Za-z][A-Za-z0-9]*(?:[_-][A-Za-z0-9]+)*/y;
const FREE = /^[A-Z]?[a-z][a-z0-9]*(?:[_-][a-z0-9]+)*$/;

export interface PointOptions {
  /** Whether a node that the sheet names itself may stand here. */
  readonly free: boolean;
  /** Whether `V5 anode` (a gap instead of the dot) is a terminal here; in a connection it is two points. */
  readonly gap: boolean;
  /** False in arithmetic, where `V1-A` is a subtraction. */
  readonly hyphenSection: boolean;
}

const ANYWHERE: PointOptions = { free: true, gap: true, hyphenSection: true };

/** The point that begins at `at`; a part alone is its ref. */
export function scanPoint(
  text: string,
  at: number,
  options: PointOptions = ANYWHERE,
): ScannedPoint | undefined {
  if (!/[A-Za-z]/.test(text.charAt(at))) return undefined;
  if (at > 0 && /[\p{L}\p{N}_]/u.test(text.charAt(at - 1))) return undefined;
  const rail = scanRail(text, at);
  if (rail !== undefined) return rail;
  const ref = scanRef(text, at, options.hyphenSection);
  if (ref !== undefined) return scanTerminalOf(text, ref.ref, ref.end, options.gap);
  return scanNode(text, at, options.free);
}

/** The part, or its terminal if one is written behind it. */
function scanTerminalOf(text: string, ref: Ref, end: number, gap: boolean): ScannedPoint {
  const part: ScannedPoint = { point: ref, end };
  if (text.charAt(end) === '.') {
    const terminal = scanBehindDot(text, end + 1, ref);
    return terminal === undefined ? part : toTerminal(ref, terminal);
  }
  const space = /^\s/.test(text.slice(end, end + 1)) ? 1 : 0;
  PIN.lastIndex = end + space;
  if (space === 1 && PIN.test(text)) {
    const terminal = scanTerminal(text, end + space, ref.class);
    if (terminal !== undefined) return toTerminal(ref, terminal);
  }
  if (
    gap &&
    space === 1 &&
    (ref.class === 'valve' || ref.class === 'transistor' || ref.class === 'potentiometer')
  ) {
    const terminal = scanTerminal(text, end + space, ref.class);
    // `V5 a 331` is a list of readings that lacks its colon, `V5 anode:` a point.
    if (
      terminal !== undefined &&
      /^\s*(?:$|[:,=)]|to\s|->)/.test(text.slice(terminal.end, terminal.end + 4))
    ) {
      return toTerminal(ref, terminal);
    }
  }
  // `OT 8R: 0.1R` is read at the tap; before another sign the ohms may be what is fitted.
  if (gap && space === 1 && TAPPED.has(ref.class)) {
    const tap = scanTap(text, end + space);
    if (tap !== undefined && /^(?:\s+tap)?\s*:/.test(text.slice(tap.end, tap.end + 8))) {
      const named = toTerminal(ref, tap);
      const behind = /^\s+tap/.exec(text.slice(tap.end))?.[0].length ?? 0;
      return { ...named, end: tap.end + behind };
    }
  }
  return part;
}

function scanTap(text: string, at: number): ScannedTerminal | undefined {
  TAP.lastIndex = at;
  const tap = TAP.exec(text);
  if (tap === null) return undefined;
  const terminal = tap[0].replace(/\s/g, '').replace(/Ω|Ω|ohms?/i, 'R');
  return { terminal, by: 'tap', end: at + tap[0].length };
}

function toTerminal(ref: Ref, scanned: ScannedTerminal): ScannedPoint {
  const point: Terminal = {
    kind: 'terminal',
    ref,
    terminal: scanned.terminal,
    by: scanned.by,
    span: { start: ref.span.start, end: scanned.end },
  };
  return { point, end: scanned.end };
}

/** `B+`, `B-`, `HT`, `HT+` with any digits that touch. */
function scanRail(text: string, at: number): ScannedPoint | undefined {
  RAIL.lastIndex = at;
  const found = RAIL.exec(text);
  if (found === null) return undefined;
  const end = at + found[0].length;
  if (/[\p{L}\p{N}_]/u.test(text.charAt(end))) return undefined;
  return { point: node(found[0], 'rail', { start: at, end }), end };
}

function scanNode(text: string, at: number, free: boolean): ScannedPoint | undefined {
  NODE.lastIndex = at;
  const found = NODE.exec(text);
  if (found === null) return undefined;
  const end = at + found[0].length;
  if (/[\p{L}\p{N}_]/u.test(text.charAt(end))) return undefined;
  const name = found[0].toLowerCase();
  const span = { start: at, end };
  const readyMade = READY_MADE.get(name);
  if (readyMade !== undefined) return { point: node(readyMade, 'ready-made', span), end };
  if (!free || !FREE.test(found[0]) || name.length < 2 || isReservedWord(name)) return undefined;
  return { point: node(name, 'free', span), end };
}

function node(name: string, nature: Node['nature'], span: Span): Node {
  return { kind: 'node', name, nature, span };
}
