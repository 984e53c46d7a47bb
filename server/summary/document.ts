/**
 * Owns the shape of a summary before it is printed: plain data, so that the same words go to every printer and nothing can be
 * said in one and not in the other. It knows nothing of notes, nor of the formats it is printed in.
 */
import type { Bar } from './bars.ts';
import type { Html } from './escape.ts';

export type Reader = 'bench' | 'customer' | 'label';

/** A stretch of text: words, words with a meaning, or several stretches after one another. */
export type Text = string | Piece | undefined | readonly Text[];

export type Piece =
  | { readonly kind: 'strong'; readonly text: Text }
  | { readonly kind: 'aside'; readonly role: AsideRole; readonly text: Text }
  /** In another language than the page's. */
  | { readonly kind: 'foreign'; readonly language: string; readonly text: Text }
  /** How to read the bars, where there are bars. */
  | { readonly kind: 'legend'; readonly text: Text }
  /** A sign that only repeats what words beside it say. */
  | { readonly kind: 'sign'; readonly sign: string }
  /** To the cautions of the same page. */
  | { readonly kind: 'jump'; readonly text: Text }
  /** A photograph's file, by a path that `findPhotoPath` let through. */
  | { readonly kind: 'photo'; readonly path: string; readonly text: Text }
  /** Another sheet: its path where paths are read, its name with a link to it on a page. */
  | { readonly kind: 'sheet'; readonly path: string; readonly text: Text }
  /** Only repeats what words beside it say. */
  | { readonly kind: 'bar'; readonly bar: Bar; readonly scale: number };

export type AsideRole = 'note' | 'place' | 'because' | 'conditions' | 'gloss' | 'severity';

export type Block =
  | Paragraph
  | { readonly kind: 'heading'; readonly text: Text }
  | List
  | Table
  | { readonly kind: 'code'; readonly text: string }
  /** The author's own words. */
  | { readonly kind: 'quoted'; readonly blocks: readonly Block[] }
  | Picture;

/** The line of the sheet that a thing comes from, from 0; absent where it comes from elsewhere. */
export interface FromLine {
  readonly line?: number | undefined;
}

export interface Paragraph extends FromLine {
  readonly kind: 'paragraph';
  readonly role?: 'lead' | 'small' | 'warning' | 'place' | 'reason';
  readonly text: Text;
}

export interface List {
  readonly kind: 'list';
  readonly role?: 'numbered' | 'tasks' | 'cautions' | 'findings';
  readonly items: readonly Item[];
}

export interface Item extends FromLine {
  /** A severity, for findings. */
  readonly role?: string;
  readonly text?: Text;
  readonly blocks?: readonly Block[];
}

export interface Table {
  readonly kind: 'table';
  readonly role?: 'readings' | 'stress';
  readonly caption: Text;
  /** For those who listen only: those who see have the heading above. */
  readonly isCaptionUnseen?: boolean;
  readonly columns: readonly Column[];
  readonly rows: readonly (Row | Group)[];
  /** The first cell of a row names it; not so in an author's own table. */
  readonly hasRowHeads: boolean;
}

export interface Column {
  readonly head: Text;
  readonly role?: 'number' | 'place';
}

export interface Row extends FromLine {
  readonly cells: readonly Text[];
  /** What must be told of the row beyond its cells. */
  readonly below?: readonly Block[];
}

/** A head over the rows that follow. */
export interface Group {
  readonly group: Text;
}

/** A drawing. Where drawings cannot go, its alternative text and its table stand for it. */
export interface Picture extends FromLine {
  readonly kind: 'picture';
  /** Finished markup that bears its alternative text itself. */
  readonly drawing: Html;
  readonly title: Text;
  readonly alternative: Text;
  /** What must stand below it: what was assumed and held. */
  readonly notes: readonly Text[];
  readonly table?: Table;
}

export interface Section {
  readonly heading: string;
  readonly id?: 'cautions';
  readonly blocks: readonly Block[];
}

export interface SummaryDocument {
  readonly language: string;
  readonly reader: Reader;
  readonly title: string;
  readonly kind: string;
  readonly facts: readonly (readonly [name: string, text: Text])[];
  /** Before the first section. */
  readonly opening: readonly Block[];
  readonly sections: readonly Section[];
}

export function strong(text: Text): Piece {
  return { kind: 'strong', text };
}

export function aside(role: AsideRole, text: Text): Piece {
  return { kind: 'aside', role, text };
}

export function paragraph(text: Text, role?: Paragraph['role'], line?: number): Paragraph {
  return { kind: 'paragraph', text, ...(role && { role }), line };
}

export function listOf(items: readonly (Item | string)[], role?: List['role']): List {
  return {
    kind: 'list',
    ...(role && { role }),
    items: items.map((item) => (typeof item === 'string' ? { text: item } : item)),
  };
}

/** What a plot of figures comes with. */
export interface DrawnPlot {
  readonly svg: Html;
  readonly title: string;
  readonly alt: string;
  readonly notes: readonly string[];
  readonly table: { readonly head: readonly string[]; readonly rows: readonly (readonly string[])[] };
}

/** A plot with all that stands for it in words. */
export function pictureOf({ svg, title, alt, notes, table }: DrawnPlot): Picture {
  return {
    kind: 'picture',
    drawing: svg,
    title,
    alternative: alt,
    notes,
    table: {
      kind: 'table',
      caption: title,
      isCaptionUnseen: true,
      columns: table.head.map((head) => ({ head })),
      rows: table.rows.map((cells) => ({ cells })),
      hasRowHeads: true,
    },
  };
}

/** Stretches with a fixed text between them. */
export function joined(texts: readonly Text[], between: string): Text {
  return texts.flatMap((text, i) => (i === 0 ? [text] : [between, text]));
}

/** The section, or nothing where there is nothing to say under its heading. */
export function sectionOf(
  heading: string,
  blocks: readonly (Block | undefined)[],
  id?: Section['id'],
): readonly Section[] {
  const said = blocks.filter((block) => block !== undefined);
  return said.length === 0 ? [] : [{ heading, blocks: said, ...(id && { id }) }];
}
