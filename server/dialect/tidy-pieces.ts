/**
 * Owns what a tag is made of to the tidier: the names, values and words that were read, each with its place and its
 * normal form, and the stretches that are the author's own and are never touched.
 */
import type { Span } from '../text/span.ts';
import { contains } from '../text/span.ts';
import type { WrittenValue } from '../units/value.ts';
import { scanPoint } from './points.ts';
import { type Manner, spellings } from './tidy-value.ts';
import type { Connection, Node, Point, ReadingItem, Ref, Specification, Tag, Word } from './tree.ts';
import { spanOfWritten } from './written.ts';

export type Role =
  /** What the tag speaks of, before its sign. */
  | 'label'
  /** An electrode or pin before its number. */
  | 'electrode'
  | 'read'
  | 'fitted'
  | 'rating'
  | 'winding'
  /** A point of a connection or wire. */
  | 'point'
  /** A kind, type, state or terminal: its letters are the author's. */
  | 'word'
  /** A remark, a reason, a condition. */
  | 'kept';

export interface Piece {
  readonly role: Role;
  readonly span: Span;
  /** Normal forms in the order in which they are to be tried; none where it is in normal form. */
  readonly offers: readonly string[];
}

/** All pieces of a tag in the order of the text; undefined where two lie across each other. */
export function piecesOf(tag: Tag, text: string): readonly Piece[] | undefined {
  const found: Piece[] = [];
  collect(tag, text, found);
  found.sort((a, b) => a.span.start - b.span.start || b.span.end - a.span.end);
  const pieces: Piece[] = [];
  for (const each of found) {
    // Where a line is broken within a name, no form of it is sure.
    const isBroken = /[\r\n]/.test(text.slice(each.span.start, each.span.end));
    const piece = isBroken && each.offers.length > 0 ? { ...each, offers: [] } : each;
    const last = pieces[pieces.length - 1];
    // What stands within another, and what is said of several points at once, is one piece.
    if (last !== undefined && contains(last.span, piece.span)) continue;
    if (last !== undefined && piece.span.start < last.span.end) return undefined;
    pieces.push(piece);
  }
  return pieces;
}

function collect(tag: Tag, text: string, found: Piece[]): void {
  for (const { span } of tag.kind === 'candidate' ? [] : tag.conditions)
    found.push({ role: 'kept', span, offers: [] });
  const keep = (word: Word | undefined): void => {
    if (word !== undefined) found.push({ role: 'kept', span: word.span, offers: [] });
  };
  if (tag.kind !== 'candidate') keep(tag.remark);
  const points = (all: readonly Point[], role: Role): void => {
    for (const each of all) putPoint(each, role, text, found);
  };
  switch (tag.kind) {
    case 'mention':
      points(tag.points, 'label');
      return;
    case 'fitted':
      points(tag.refs, 'label');
      putSpecification(tag.specification, text, found);
      putConnections(tag.connections, text, found);
      return;
    case 'reading':
      points(tag.refs, 'label');
      putSpecification(tag.type, text, found);
      for (const item of tag.items) putReading(item, text, found);
      for (const state of tag.states ?? []) putWord(state, found);
      return;
    case 'change':
      points(tag.refs, 'label');
      putSpecification(tag.was, text, found);
      if ('values' in tag.is) putSpecification(tag.is, text, found);
      else putWord(tag.is, found);
      putConnections(tag.connections, text, found);
      return;
    case 'wire':
      points([tag.from], 'label');
      points([tag.to], 'point');
      return;
    case 'state':
      points(tag.subjects, 'label');
      for (const state of tag.states) putWord(state, found);
      return;
    case 'accept':
      putWord(tag.rule, found);
      points(tag.subjects, 'label');
      keep(tag.reason);
      return;
    case 'keep':
      points(tag.refs, 'label');
      keep(tag.reason);
      return;
    case 'provenance':
      points(tag.refs, 'label');
      if (tag.was !== undefined) points([tag.was], 'point');
      return;
    case 'candidate':
      collect(tag.tag, text, found);
      return;
    case 'question':
      keep(tag.expression);
      return;
    case 'mod-verdict':
      putWord(tag.mod, found);
      keep(tag.why);
      return;
    case 'unreadable':
      found.push({ role: 'kept', span: tag.span, offers: [] });
  }
}

function putWord(word: Word, found: Piece[]): void {
  found.push({ role: 'word', span: word.span, offers: [] });
}

function putSpecification(of: Specification | undefined, text: string, found: Piece[]): void {
  if (of === undefined) return;
  for (const value of of.values) putValue(value, 'fitted', text, found);
  for (const rating of of.ratings) {
    if (rating.of === 'date') found.push({ role: 'word', span: rating.span, offers: [] });
    else putValue(rating.value, 'rating', text, found);
  }
  for (const { volts, impedance, current } of of.windings) {
    for (const each of [volts, impedance, current])
      if (each !== undefined) putValue(each, 'winding', text, found);
  }
  for (const each of [of.type, of.fuseSpeed, ...of.kinds]) if (each !== undefined) putWord(each, found);
}

function putConnections(connections: readonly Connection[], text: string, found: Piece[]): void {
  /** A terminal of the part itself, by its usual name. */
  const terminal = (word: Word): void => {
    const written = text.slice(word.span.start, word.span.end);
    found.push({ role: 'word', span: word.span, offers: written === word.text ? [] : [word.text] });
  };
  for (const each of connections) {
    switch (each.kind) {
      case 'ends':
        for (const point of [...each.from, ...each.to]) putPoint(point, 'point', text, found);
        break;
      case 'across':
        putPoint(each.ref, 'point', text, found);
        break;
      case 'terminal':
        // `top` may be a node of the sheet's own, which the tidier does not see: such a word stays as it is.
        if (!isAlsoNode(text.slice(each.terminal.span.start, each.terminal.span.end)))
          terminal(each.terminal);
        putPoint(each.to, 'point', text, found);
        break;
      case 'hangs':
        terminal(each.electrode);
        putPoint(each.on, 'point', text, found);
        if (each.far !== undefined) putPoint(each.far, 'point', text, found);
    }
  }
}

function isAlsoNode(word: string): boolean {
  const point = scanPoint(word, 0)?.point;
  return point?.kind === 'node' && point.nature === 'free';
}

function putReading(item: ReadingItem, text: string, found: Piece[]): void {
  const { at, to, values } = item;
  if (at.kind === 'terminal' && !contains(at.span, at.ref.span)) {
    putPoint(at.ref, 'label', text, found);
    const written = text.slice(at.span.start, at.span.end);
    // Several pins before one number stay as they are written.
    const isMany = /[/&]/.test(written);
    const name = at.by === 'pin' ? `pin ${at.terminal}` : at.terminal;
    found.push({ role: 'electrode', span: at.span, offers: isMany || written === name ? [] : [name] });
  } else putPoint(at, 'label', text, found);
  if (to !== undefined) putPoint(to, 'label', text, found);
  for (const value of values) putValue(value, 'read', text, found);
  if (item.then !== undefined) putValue(item.then, 'read', text, found);
}

function putValue(written: WrittenValue, role: Role, text: string, found: Piece[]): void {
  const span = spanOfWritten(written);
  const manner: Manner = role === 'read' ? 'read' : 'fitted';
  const offers = written.kind === 'value' ? spellings(text.slice(span.start, span.end), manner) : [];
  found.push({ role, span, offers });
}

function putPoint(point: Point, role: Role, text: string, found: Piece[]): void {
  const written = text.slice(point.span.start, point.span.end);
  // Parts that a range only implies stand where the range does.
  if (point.kind === 'ref' && !/^[A-Za-z]{0,3}\d{0,4}(?:\W?[A-Fa-f])?['\u2032\u2019]?$/.test(written)) return;
  const name = normalName(point, written);
  found.push({ role, span: point.span, offers: name === undefined || name === written ? [] : [name] });
}

function normalName(point: Point, written: string): string | undefined {
  switch (point.kind) {
    case 'ref':
      return normalRef(point, written);
    case 'node':
      return normalNode(point, written);
    case 'terminal': {
      const { ref, span, terminal, by } = point;
      if (!contains(span, ref.span)) return undefined;
      const head = written.slice(0, ref.span.end - span.start);
      const name = normalRef(ref, head) ?? head;
      if (by === 'pin' && /pin|#/i.test(written.slice(head.length))) return `${name} pin ${terminal}`;
      return `${name}.${terminal}`;
    }
  }
}

/** `V1-A` and `V1a` are `V1A`; the 45 of `R40, 45` is written as a number and stays one. */
function normalRef({ name }: Ref, written: string): string | undefined {
  const plain = written.replace(/[-\u2010\u2011\u2013\u2212]/, '').toUpperCase();
  return plain === name.toUpperCase() ? name : undefined;
}

/** A name that is only in other letters; a capital that begins a line as a sentence does is the author's. */
function normalNode({ name }: Node, written: string): string | undefined {
  if (written.toLowerCase() !== name.toLowerCase()) return undefined;
  return /^[A-Z][a-z]+$/.test(written) ? undefined : name;
}
