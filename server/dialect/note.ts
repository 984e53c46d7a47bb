/**
 * Owns the reading of a sheet's text into a note. A sheet is cut into pieces that read alone (see `chunks.ts`), each
 * piece is read once and kept by its text, and a note is put together from pieces: an edit reads again only the pieces
 * that it touched. The result is what reading the whole at once gives, which a property test holds it to.
 */
import type { Nodes, Root } from 'mdast';
import type { Snapshot } from '../text/snapshot.ts';
import type { Span } from '../text/span.ts';
import { type Definition, readBlocks, spanOf } from './blocks.ts';
import { findBoundaries, findClosing, type OpenBlock } from './chunks.ts';
import { findFrontMatter, findUnclosedFrontMatter, readFrontMatter } from './front-matter.ts';
import { findFrontMatterLimit, findLimit } from './limits.ts';
import { parseMarkdown } from './markdown.ts';
import { shiftBlocks, shiftProblems } from './shifting.ts';
import type { Block, Note, WritingProblem } from './tree.ts';

/** Reads notes and remembers the pieces it read. One for a session; it may serve any number of sheets. */
export interface NoteReader {
  readNote(snapshot: Snapshot): Note;
}

/** Characters of text whose pieces are remembered: some ten sheets at the limit, or hundreds of ordinary ones. */
const REMEMBERED = 4_000_000;

export function createReader(): NoteReader {
  const pieces = createPieces();
  const heads = createHeads();
  return {
    readNote(snapshot) {
      const tooLarge = findLimit(snapshot);
      if (tooLarge !== undefined) return emptyNote(snapshot, tooLarge);
      const head = findFrontMatter(snapshot);
      const headTooLarge = head === undefined ? undefined : findFrontMatterLimit(snapshot, head);
      if (headTooLarge !== undefined) return emptyNote(snapshot, headTooLarge);
      const problems: WritingProblem[] = [];
      const read = head === undefined ? undefined : heads.get(snapshot, head);
      const unclosed = head === undefined ? findUnclosedFrontMatter(snapshot) : undefined;
      if (unclosed !== undefined) problems.push(unclosed);
      if (read !== undefined) problems.push(...read.problems);
      const blocks: Block[] = [];
      for (const placed of placePieces(snapshot, bodyStart(snapshot, head?.end), pieces)) {
        const { blocks: own, problems: told } = placed.piece.at(placed.start);
        for (const block of own) blocks.push(block);
        for (const problem of told) problems.push(problem);
      }
      const note = { snapshot, blocks, problems };
      return read === undefined ? note : { ...note, frontMatter: read.frontMatter };
    },
  };
}

/** The front matter that was read last is remembered: it stands still while the notes below it are written. */
function createHeads() {
  let last: { readonly text: string; readonly read: ReturnType<typeof readFrontMatter> } | undefined;
  return {
    get(snapshot: Snapshot, span: Span): ReturnType<typeof readFrontMatter> {
      const text = snapshot.text.slice(0, span.end);
      if (last?.text !== text) last = { text: detach(text), read: readFrontMatter(snapshot, span) };
      return last.read;
    },
  };
}

/** Reads one sheet and remembers nothing. */
export function readNote(snapshot: Snapshot): Note {
  return createReader().readNote(snapshot);
}

function emptyNote(snapshot: Snapshot, problem: WritingProblem): Note {
  return { snapshot, blocks: [], problems: [problem] };
}

/** Behind the front matter's closing fence and its line ending, or behind the byte-order mark. */
function bodyStart(snapshot: Snapshot, headEnd: number | undefined): number {
  if (headEnd === undefined) return snapshot.text.startsWith('\uFEFF') ? 1 : 0;
  const { text, lineStarts } = snapshot;
  const line = lineStarts.findIndex((start) => start > headEnd);
  return line < 0 ? text.length : (lineStarts[line] ?? text.length);
}

interface PlacedPiece {
  readonly piece: Piece;
  readonly start: number;
  readonly text: string;
}

/** Cuts the text from `from` on and reads the pieces; then reads those again that lean on definitions in others. */
function placePieces(snapshot: Snapshot, from: number, pieces: Pieces): readonly PlacedPiece[] {
  const placed = cut(snapshot, from, pieces);
  const definitions = new Map<string, { readonly definition: Definition; readonly owner: PlacedPiece }>();
  for (const owner of placed) {
    for (const definition of owner.piece.definitions) {
      const key = keyOf(definition.kind, definition.identifier);
      if (!definitions.has(key)) definitions.set(key, { definition, owner });
    }
  }
  if (definitions.size === 0) return placed;
  return placed.map((each) => {
    const needed: Definition[] = [];
    for (const key of each.piece.references) {
      const found = definitions.get(key);
      if (found !== undefined && found.owner !== each) needed.push(found.definition);
    }
    return needed.length === 0 ? each : { ...each, piece: pieces.get(each.text, needed) };
  });
}

function cut(snapshot: Snapshot, from: number, pieces: Pieces): PlacedPiece[] {
  const { text } = snapshot;
  const boundaries = findBoundaries(snapshot, from);
  const placed: PlacedPiece[] = [];
  let next = 0;
  let start = from;
  while (start < text.length) {
    while ((boundaries[next] ?? Number.POSITIVE_INFINITY) <= start) next++;
    let end = boundaries[next] ?? text.length;
    let piece = pieces.get(text.slice(start, end));
    // Twice, because the search for HTML's end may be early by odd cases; then all the rest is one piece.
    for (let round = 0; piece.open !== undefined && end < text.length; round++) {
      const open: OpenBlock = { kind: piece.open.kind, start: start + piece.open.start };
      end = (round < 2 ? findClosing(snapshot, open, end) : undefined) ?? text.length;
      piece = pieces.get(text.slice(start, end));
    }
    placed.push({ piece, start, text: text.slice(start, end) });
    start = end;
  }
  return placed;
}

// ---------------------------------------------------------------------------------------------------------------
// Pieces, read and remembered

/** A piece of text as it was read, with places counted from its own beginning. */
interface Piece {
  readonly definitions: readonly Definition[];
  /** What may be references, as keys of definitions: more than there are, never fewer. */
  readonly references: readonly string[];
  /** What is still open at the piece's end. */
  readonly open: OpenBlock | undefined;
  /** Its blocks and problems where the piece begins at `start` of a sheet. */
  at(start: number): PieceContent;
}

interface PieceContent {
  readonly blocks: readonly Block[];
  readonly problems: readonly WritingProblem[];
}

interface Pieces {
  get(text: string, definitions?: readonly Definition[]): Piece;
}

function createPieces(): Pieces {
  /** Least recently used first, which is the order a map keeps if whatever is used is put in again. */
  const kept = new Map<string, Piece>();
  let size = 0;
  return {
    get(text, definitions = []) {
      const head = definitions.map(writeDefinition).join('');
      const key = head === '' ? text : `${head}\0${text}`;
      const known = kept.get(key);
      if (known !== undefined) {
        kept.delete(key);
        kept.set(key, known);
        return known;
      }
      // A slice keeps the whole text it was cut from alive; a text that was put together does not.
      const own = detach(text);
      const piece = readPiece(own, head);
      kept.set(head === '' ? own : `${head}\0${own}`, piece);
      size += key.length;
      for (const oldest of kept.keys()) {
        if (size <= REMEMBERED) break;
        kept.delete(oldest);
        size -= oldest.length;
      }
      return piece;
    },
  };
}

/** The paragraph that parts added definitions from the piece: whatever they open, it ends. */
const PARTING = '.\n\n';

/** Reads a piece behind the definitions that it leans on, so that what they define is known to the parser. */
function readPiece(text: string, definitions: string): Piece {
  // Only at the head of a sheet is `---` front matter; behind a paragraph it is what it is anywhere else.
  // The same for a byte-order mark, which the parser drops at the head of what it is given.
  const isHeadLike = text.startsWith('---') || text.startsWith('\uFEFF');
  const added = definitions !== '' || isHeadLike ? `${definitions}${PARTING}` : '';
  const whole = added + text;
  const root = parseMarkdown(whole);
  const { blocks, problems, definitions: own } = readBlocks(whole, root, added.length);
  const open = findOpen(whole, root);
  // Only the last place is kept: where a piece stood before the last edit nobody asks again.
  let last: PieceContent & { readonly start: number } = { blocks, problems, start: added.length };
  return {
    definitions: own,
    references: findReferences(text),
    open: open === undefined ? undefined : { ...open, start: open.start - added.length },
    at(start) {
      if (last.start !== start) {
        const by = start - last.start;
        last = { blocks: shiftBlocks(last.blocks, by), problems: shiftProblems(last.problems, by), start };
      }
      return last;
    },
  };
}

/**
 * What stands open at the end of a text: only a fence or HTML can, and if one does it swallows a paragraph put behind
 * it.
 */
function findOpen(text: string, root: Root): OpenBlock | undefined {
  const last = root.children[root.children.length - 1];
  if (last === undefined || !canStandOpen(last)) return undefined;
  const probed = parseMarkdown(`${text}\n\n.`);
  const swallowing = probed.children[probed.children.length - 1];
  if (swallowing === undefined || spanOf(swallowing).start !== spanOf(last).start) return undefined;
  return { kind: last.type === 'html' ? 'html' : 'fence', start: spanOf(last).start };
}

function canStandOpen(node: Nodes): boolean {
  return node.type === 'code' || node.type === 'html' || node.type === 'mathFlow';
}

// ---------------------------------------------------------------------------------------------------------------
// Definitions that pieces lend each other

const LABEL = /\[(\^?)((?:[^[\]\\]|\\[\s\S]){1,1000})\]/g;

function findReferences(text: string): readonly string[] {
  const keys = new Set<string>();
  for (const [, caret, label = ''] of text.matchAll(LABEL)) {
    // A label that wraps inside a quote has the quote's marks in the source.
    const identifier = normalise(label.replace(/([\r\n])[ \t>]+/g, '$1'));
    if (identifier === '') continue;
    keys.add(keyOf('link', caret === '' ? identifier : `^${identifier}`));
    if (caret !== '') keys.add(keyOf('footnote', identifier));
  }
  return [...keys];
}

function keyOf(kind: Definition['kind'], identifier: string): string {
  return `${kind === 'link' ? '[' : '^'}${identifier}`;
}

/** As Markdown compares labels: white space collapsed, case folded both ways. */
function normalise(label: string): string {
  return label
    .replace(/[\t\n\r ]+/g, ' ')
    .trim()
    .toLowerCase()
    .toUpperCase()
    .toLowerCase();
}

function writeDefinition({ kind, label, url }: Definition): string {
  const flat = label.replace(/[\r\n][\t\n\r >]*/g, ' ');
  if (kind === 'footnote') return `[^${flat}]: .\n\n`;
  return `[${flat}]: <${url.replace(/[<>\\&]/g, '\\$&').replace(/[\r\n]/g, ' ')}>\n\n`;
}

function detach(text: string): string {
  return JSON.parse(JSON.stringify(text)) as string;
}
