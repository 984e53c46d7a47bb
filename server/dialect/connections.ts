/**
 * Owns the reading of where a part is connected, one clause at a time: `V5.k to gnd`, `across R17`, `wiper to V1B.g`,
 * `a R4 B+3`. A clause may say several connections (`k R5 C3`).
 */
import type { Span } from '../text/span.ts';
import { isDigit } from '../units/sticky.ts';
import { scanPoint, scanTerminal } from './points.ts';
import { scanRef } from './references.ts';
import type { Connection, PartClass, Point, Word } from './tree.ts';

export interface ScannedConnections {
  readonly connections: readonly Connection[];
  readonly end: number;
}

/** The connections that begin at `at`: what has `to`, `across` or a terminal's name in it is never anything else. */
export function scanConnections(
  text: string,
  at: number,
  partClass: PartClass,
): ScannedConnections | undefined {
  return (
    scanAcross(text, at) ??
    scanHanging(text, at, partClass) ??
    scanNamedTerminal(text, at, partClass) ??
    scanOnTap(text, at) ??
    scanEnds(text, at, false)
  );
}

/**
 * A lone end (`V5.a V6.a`), where no other connection begins: a ref may also be a value (`R47`), so the caller decides. On one part
 * of two ends two unlike points are its ends (`B+2 B+3`, `V1A.g gnd`): nobody solders a rail to ground.
 */
export function scanLoneEnd(text: string, at: number, single?: PartClass): ScannedConnections | undefined {
  const lone = scanEnds(text, at, true);
  const [connection] = lone?.connections ?? [];
  if (lone === undefined || connection?.kind !== 'ends' || connection.toWritten) return lone;
  const [a, b] = connection.from;
  if (single === undefined || !TWO_ENDED.has(single) || connection.from.length !== 2) return lone;
  if (a === undefined || b === undefined || areAlike(a, b)) return lone;
  return one({ ...connection, from: [a], to: [b], toWritten: true });
}

const TWO_ENDED: ReadonlySet<PartClass> = new Set([
  'resistor',
  'capacitor',
  'inductor',
  'diode',
  'thermistor',
  'fuse',
  'switch',
]);

/** `V5.k V6.k`, of two valves: what they share. */
function areAlike(a: Point, b: Point): boolean {
  return (
    a.kind === 'terminal' && b.kind === 'terminal' && a.terminal === b.terminal && a.ref.name !== b.ref.name
  );
}

const ACROSS = /(?:in parallel with|parallel to|across)\s+/iy;

function scanAcross(text: string, at: number): ScannedConnections | undefined {
  ACROSS.lastIndex = at;
  const found = ACROSS.exec(text);
  if (found === null) return undefined;
  const first = scanRef(text, at + found[0].length);
  if (first === undefined || text.charAt(first.end) === '.') return undefined;
  const refs = [first.ref];
  let { end } = first;
  // `R50, R51 across C40 C41`: one each.
  for (;;) {
    const gap = /^(?:\s+(?:and\s+|&\s*)?|\s*[,+&]\s*)/.exec(text.slice(end, end + 6));
    const next = gap === null ? undefined : scanRef(text, end + gap[0].length);
    if (next === undefined || next.ref.class !== first.ref.class || text.charAt(next.end) === '.') break;
    // Behind a comma `C41 to gnd` is a clause of its own.
    if (gap?.[0].includes(',') && scanTo(text, next.end) !== undefined) break;
    refs.push(next.ref);
    end = next.end;
  }
  const span: Span = { start: at, end };
  return { connections: refs.map((ref): Connection => ({ kind: 'across', ref, span })), end };
}

/** Parts with two ends hang on an electrode; anything else is a place, where the hanging part's other end goes. */
const HANGING: ReadonlySet<PartClass> = new Set([
  'resistor',
  'capacitor',
  'inductor',
  'diode',
  'thermistor',
  'potentiometer',
]);

/** A stage line's clause: `a R4 B+3`, `k R5 C3`, `g R2 J1`. */
function scanHanging(text: string, at: number, partClass: PartClass): ScannedConnections | undefined {
  if (partClass !== 'valve' && partClass !== 'transistor') return undefined;
  const electrode = scanTerminal(text, at, partClass);
  if (electrode === undefined) return undefined;
  const word: Word = { text: electrode.terminal, span: { start: at, end: electrode.end } };
  const gap = /^\s+(?:(?:to|on|via)\s+)?/.exec(text.slice(electrode.end, electrode.end + 8));
  if (gap === null) return undefined;
  const points = scanPoints(text, electrode.end + gap[0].length);
  if (points === undefined) return undefined;
  const to = scanTo(text, points.end);
  const farther = to === undefined ? undefined : scanPoints(text, to);
  const end = farther?.end ?? points.end;
  const all = [...points.points, ...(farther?.points ?? [])];
  const last = all[all.length - 1];
  if (last === undefined) return undefined;
  const isPlace = all.length > 1 && !(last.kind === 'ref' && HANGING.has(last.class));
  const hanging = isPlace ? all.slice(0, -1) : all;
  const connections = hanging.map((on): Connection => {
    const span: Span = { start: at, end };
    return isPlace
      ? { kind: 'hangs', electrode: word, on, far: last, span }
      : { kind: 'hangs', electrode: word, on, far: undefined, span };
  });
  return { connections, end };
}

/** `wiper to V1B.g`, `ct B+1`, `plus at B+1`: a terminal of this part by name, then where it goes. */
function scanNamedTerminal(text: string, at: number, partClass: PartClass): ScannedConnections | undefined {
  const named = scanNamed(text, at, partClass);
  if (named === undefined) return undefined;
  const gap = /^\s+(?:(?:to|at|on)\s+)?/.exec(text.slice(named.end, named.end + 8));
  if (gap === null) return undefined;
  const point = scanPoint(text, named.end + gap[0].length, { free: true, gap: false, hyphenSection: true });
  if (point === undefined) return undefined;
  const terminal: Word = { text: named.terminal, span: { start: at, end: named.end } };
  return one({ kind: 'terminal', terminal, to: point.point, span: { start: at, end: point.end } });
}

const POLARITY = /(plus|minus|positive|negative|\+(?=\s)|-(?=\s)|ct|wiper)(?![\p{L}\p{N}])/iuy;
const POLARITY_NAMES: Readonly<Record<string, string>> = {
  positive: 'plus',
  negative: 'minus',
  '+': 'plus',
  '-': 'minus',
};
const TAP_NAME = /\d+(?:\.\d+)?\s?(?:R|Ω|Ω|ohms?)(?![\p{L}\p{N}])/uy;

function scanNamed(
  text: string,
  at: number,
  partClass: PartClass,
): { readonly terminal: string; readonly end: number } | undefined {
  POLARITY.lastIndex = at;
  const polarity = isDigit(text, at) ? null : POLARITY.exec(text);
  if (polarity !== null) {
    const word = polarity[0].toLowerCase();
    return { terminal: POLARITY_NAMES[word] ?? word, end: at + polarity[0].length };
  }
  if (partClass === 'transformer' || partClass === 'transformer-or-transistor') {
    TAP_NAME.lastIndex = at;
    const tap = TAP_NAME.exec(text);
    if (tap !== null && /^\s+(?:to|at)\s/.test(text.slice(at + tap[0].length, at + tap[0].length + 5))) {
      return { terminal: tapName(tap[0]), end: at + tap[0].length };
    }
  }
  // `3 to B+1`: a terminal by number must have its joint, or it is a value.
  const number = /^\d{1,2}(?=\s+(?:to|at)\s)/.exec(text.slice(at, at + 7));
  if (number !== null && partClass !== 'valve') return { terminal: number[0], end: at + number[0].length };
  return scanTerminal(text, at, partClass);
}

/** `LS1 on 8R`: what hangs on a tap of this transformer. */
function scanOnTap(text: string, at: number): ScannedConnections | undefined {
  if (!text.includes('on', at)) return undefined;
  const point = scanPoint(text, at, { free: false, gap: false, hyphenSection: true });
  if (point === undefined) return undefined;
  const on = /^\s+on\s+(?:the\s+)?/.exec(text.slice(point.end, point.end + 12));
  if (on === null) return undefined;
  const from = point.end + on[0].length;
  TAP_NAME.lastIndex = from;
  const tap = TAP_NAME.exec(text);
  const number = tap === null ? /^\d{1,2}(?![\p{L}\p{N}])/u.exec(text.slice(from, from + 3)) : null;
  const spelled = tap?.[0] ?? number?.[0];
  if (spelled === undefined) return undefined;
  const end = from + spelled.length;
  const terminal: Word = { text: tap === null ? spelled : tapName(spelled), span: { start: from, end } };
  const behind = /^\s+tap(?![\p{L}\p{N}])/u.exec(text.slice(end, end + 6))?.[0].length ?? 0;
  return one({ kind: 'terminal', terminal, to: point.point, span: { start: at, end: end + behind } });
}

function tapName(spelled: string): string {
  return spelled.replace(/\s/g, '').replace(/(?:Ω|Ω|ohms?)$/i, 'R');
}

const FROM = /(?:from|between)\s+/iy;

function scanEnds(text: string, at: number, lone: boolean): ScannedConnections | undefined {
  FROM.lastIndex = at;
  const from = /[fb]/i.test(text.charAt(at)) ? (FROM.exec(text)?.[0] ?? '') : '';
  const first = scanPoints(text, at + from.length);
  if (first === undefined) return undefined;
  const behindTo = scanTo(text, first.end);
  const second = behindTo === undefined ? undefined : scanPoints(text, behindTo);
  if (second === undefined) {
    if (/^between/i.test(from) && first.points.length === 2) {
      const [a, b] = first.points;
      if (a !== undefined && b !== undefined) {
        const span = { start: at, end: first.end };
        return one({ kind: 'ends', from: [a], to: [b], toWritten: true, span });
      }
    }
    // A node of the sheet's own alone would be any word of a remark.
    if (!lone || from !== '' || first.points.some(isFree)) return undefined;
    const span = { start: at, end: first.end };
    return one({ kind: 'ends', from: first.points, to: [], toWritten: false, span });
  }
  if (first.points.some(isOfSpeech)) return undefined;
  const all = [...first.points, ...second.points];
  // `mid to tail` and `feed to ring` are nodes, `moved to board` is a remark.
  if (
    all.every(isFree) &&
    all.some((point) => point.kind === 'node' && /(?<!e)ed$|(?<!r)ing$/.test(point.name))
  )
    return undefined;
  const span = { start: at, end: second.end };
  return one({ kind: 'ends', from: first.points, to: second.points, toWritten: true, span });
}

function one(connection: Connection): ScannedConnections {
  return { connections: [connection], end: connection.span.end };
}

/** `wired to gnd` says where an end goes and not which; nobody calls a node so. */
export const JOINING: ReadonlySet<string> = new Set(
  (
    'wired soldered connected tied strapped joined bonded grounded earthed hooked bolted attached linked returned taken led ' +
    'goes going runs running leads leading returns'
  ).split(' '),
);

/** `close to V5` says where a part lies. Of the two sides of a drawing `left` and `right` are names that people do give. */
const LYING: ReadonlySet<string> = new Set(
  (
    'went run close closer near nearer nearest next straight back down up direct directly parallel relative compared ' +
    'according due thanks prior similar identical equal matched'
  ).split(' '),
);

function isOfSpeech(point: Point): boolean {
  return (
    point.kind === 'node' && point.nature === 'free' && (JOINING.has(point.name) || LYING.has(point.name))
  );
}

function isFree(point: Point): boolean {
  return point.kind === 'node' && point.nature === 'free';
}

/** Behind the `to` at `at`, if there is one. */
function scanTo(text: string, at: number): number | undefined {
  const found = /^\s+(?:to|and(?=\s+gnd))\s+/i.exec(text.slice(at, at + 8));
  return found === null ? undefined : at + found[0].length;
}

/** Points side by side; a node of the sheet's own stands alone at its end, so that a remark's words are none. */
function scanPoints(
  text: string,
  at: number,
): { readonly points: readonly Point[]; readonly end: number } | undefined {
  const first = scanPoint(text, at, { free: true, gap: false, hyphenSection: true });
  if (first === undefined) return undefined;
  const points: Point[] = [first.point];
  let { end } = first;
  while (!isFree(first.point)) {
    const gap = /^(?:\s+(?:and|&|\+)\s+|\s*&\s*|\s+)/.exec(text.slice(end, end + 6));
    if (gap === null) break;
    const next = scanPoint(text, end + gap[0].length, { free: false, gap: false, hyphenSection: true });
    if (next === undefined) break;
    points.push(next.point);
    end = next.end;
  }
  return { points, end };
}
