/**
 * Owns the reading of one piece of a sheet, which reads alone as it reads among the others (see `chunks.ts`): its blocks
 * at their places in the sheet, what it defines for other pieces, and what of theirs it may lean on.
 */
import type { Nodes, Root } from 'mdast';
import type { Span } from '../text/span.ts';
import { type Definition, type PieceBlocks, readBlocks, spanOf } from './blocks.ts';
import type { OpenBlock } from './chunks.ts';
import { parseMarkdown } from './markdown.ts';
import { collectSpans, shiftAny } from './shifting.ts';
import type { Block, WritingProblem } from './tree.ts';

/** A piece as it stands in one sheet. What it says is its own: no other sheet and no other place shares it. */
export interface Piece {
  readonly start: number;
  readonly length: number;
  readonly blocks: readonly Block[];
  readonly problems: readonly WritingProblem[];
  readonly definitions: readonly Definition[];
  /** What may be references, as keys of definitions: more than there are, never fewer. */
  readonly references: readonly string[];
  /** What is still open at its end, by its offset in the piece. */
  readonly open: OpenBlock | undefined;
  /** The definitions of other pieces that it was read with, as they were put before it. */
  readonly lent: string;
  /** Every span of its blocks and problems, each once; none where the sheet is read once, for it is never moved. */
  readonly spans: readonly Span[];
}

/** The paragraph that parts added definitions from the piece: whatever they open, it ends. */
const PARTING = '.\n\n';

/** Reads the piece of `sheet` from `start` to `end`. */
export function readPiece(sheet: string, { start, end }: Span, isFollowed: boolean): Piece {
  const { blocks, problems, definitions, open } = parsePiece(sheet, { start, end }, '');
  return {
    start,
    length: end - start,
    blocks,
    problems,
    definitions,
    references: findReferences(sheet.slice(start, end)),
    open: open === undefined ? undefined : { ...open, start: open.start - start },
    lent: '',
    spans: isFollowed ? collectSpans([blocks, problems]) : [],
  };
}

/** Reads a piece again, behind the definitions that it leans on, so that what they define is known to the parser. */
export function readLeaning(piece: Piece, sheet: string, lent: string, isFollowed: boolean): Piece {
  const { start, length } = piece;
  const { blocks, problems } = parsePiece(sheet, { start, end: start + length }, lent);
  return { ...piece, blocks, problems, spans: isFollowed ? collectSpans([blocks, problems]) : [], lent };
}

function parsePiece(
  sheet: string,
  { start, end }: Span,
  lent: string,
): PieceBlocks & { readonly open: OpenBlock | undefined } {
  // Only at the head of a sheet is `---` front matter; behind a paragraph it is what it is anywhere else.
  // The same for a byte-order mark, which the parser drops at the head of what it is given.
  const isHeadLike = sheet.startsWith('---', start) || sheet.startsWith('\uFEFF', start);
  if (lent === '' && !isHeadLike) {
    // Read where it stands, so that its places are those of the sheet.
    const text = sheet.slice(0, end);
    const root = parseMarkdown(text, start);
    const { blocks, problems, definitions } = readBlocks(text, root, start);
    return { blocks, problems, definitions, open: findOpen(text, start, root) };
  }
  const added = `${lent}${PARTING}`;
  const text = added + sheet.slice(start, end);
  const root = parseMarkdown(text, 0);
  const { blocks, problems, definitions } = readBlocks(text, root, added.length);
  const by = start - added.length;
  const open = findOpen(text, 0, root);
  return {
    blocks: shiftAny(blocks, by),
    problems: shiftAny(problems, by),
    definitions,
    open: open === undefined ? undefined : { ...open, start: open.start + by },
  };
}

/**
 * What stands open at the end of a text that begins at `from`: only a fence or HTML can, and if one does it swallows a paragraph
 * put behind it.
 */
function findOpen(text: string, from: number, root: Root): OpenBlock | undefined {
  const last = root.children[root.children.length - 1];
  if (last === undefined || !canStandOpen(last)) return undefined;
  const probed = parseMarkdown(`${text}\n\n.`, from);
  const swallowing = probed.children[probed.children.length - 1];
  if (swallowing === undefined || spanOf(swallowing).start !== spanOf(last).start) return undefined;
  return { kind: last.type === 'html' ? 'html' : 'fence', start: spanOf(last).start };
}

function canStandOpen(node: Nodes): boolean {
  return node.type === 'code' || node.type === 'html' || node.type === 'mathFlow';
}

// ---------------------------------------------------------------------------------------------------------------
// Definitions that pieces lend each other

/** What each piece has to be read with of what others define, as `readLeaning` puts it before it; '' for nothing. */
export function findLent(pieces: readonly Piece[]): readonly string[] {
  const definitions = new Map<string, { readonly definition: Definition; readonly owner: Piece }>();
  for (const owner of pieces) {
    for (const definition of owner.definitions) {
      const key = keyOf(definition.kind, definition.identifier);
      if (!definitions.has(key)) definitions.set(key, { definition, owner });
    }
  }
  return pieces.map((piece) => {
    if (definitions.size === 0) return '';
    let lent = '';
    for (const key of piece.references) {
      const found = definitions.get(key);
      if (found !== undefined && found.owner !== piece) lent += writeDefinition(found.definition);
    }
    return lent;
  });
}

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
