/**
 * Owns how a summary becomes a page: one file that needs nothing else, runs nothing and may load nothing. What stands in it
 * is said elsewhere, once for all printers; how it looks is `style.ts`'s.
 */
import { drawBar } from './bars.ts';
import type {
  Block,
  Column,
  FromLine,
  Group,
  Item,
  List,
  Paragraph,
  Picture,
  Piece,
  Row,
  Section,
  SummaryDocument,
  Table,
  Text,
} from './document.ts';
import { fixed, type Html, html, isEmpty, NOTHING, plainOnly } from './escape.ts';
import { addressOf } from './places.ts';
import { type Paper, styleFor } from './style.ts';

/** No script, no network, no picture but one that stands in the page itself. */
const POLICY = "default-src 'none'; style-src 'unsafe-inline'; img-src data:";

/** Letters of the longest word that a table's column is given room for. */
const LONGEST_WORD = 28;
/** A note beside a number stays in one line, if it is no longer than this. */
const LONGEST_NOTE = 40;

/** The same document gives the same page, letter for letter. */
export function printHtml(summary: SummaryDocument, paper?: Paper): string {
  const { reader, title, kind } = summary;
  // Before the first section a heading stands right below the title.
  const opening = summary.opening.map((block) =>
    block.kind === 'heading' ? html`<h2>${textHtml(block.text)}</h2>` : blockHtml(block),
  );
  const body = html`${opening}${summary.sections.map(sectionHtml)}`;
  const facts = summary.facts.map(
    ([name, text]) => html`<div><dt>${name}</dt>${cellHtml('dd', undefined, textHtml(text))}</div>`,
  );
  const list: Html | undefined = facts.length === 0 ? undefined : html`<dl class="facts">${facts}</dl>`;
  const { markup } = html`<!DOCTYPE html>
<html lang="${summary.language}">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${fixed(POLICY)}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<title>${plainOnly(`${title} – ${kind}`.replace(/\s+/g, ' '))}</title>
<style>${fixed(styleFor(reader, paper))}</style>
</head>
<body class="${reader}">
<main>
<header><p class="kind">${kind}</p><h1>${title}</h1>${list}</header>
${body}
</main>
</body>
</html>
`;
  return markup;
}

/** Whether a word stands there that no column would hold: only then are words broken inside, which reads badly. */
function hasLongWord({ markup }: Html): boolean {
  return markup.split(/<[^>]*>|\s+/).some(({ length }) => length > LONGEST_WORD);
}

function sectionHtml({ heading, id, blocks }: Section): Html {
  return html`<section${id === undefined ? undefined : html` id="${id}"`}><h2>${heading}</h2>${blocks.map(blockHtml)}</section>`;
}

/** Blocks of a summary as markup, for tests of their makers. */
export function blocksHtml(blocks: readonly Block[]): Html {
  return html`${blocks.map(blockHtml)}`;
}

function blockHtml(block: Block): Html {
  switch (block.kind) {
    case 'paragraph':
      return paragraphHtml(block);
    case 'heading':
      return html`<h3>${textHtml(block.text)}</h3>`;
    case 'list':
      return listHtml(block);
    case 'table':
      return tableHtml(block);
    case 'code':
      return html`<pre>${block.text}</pre>`;
    case 'quoted':
      return html`<div class="prose">${block.blocks.map(blockHtml)}</div>`;
    case 'picture':
      return pictureHtml(block);
  }
}

/** The table stands for the drawing where there is none; here the drawing says it. */
function pictureHtml({ drawing, title, notes, line }: Picture): Html {
  const said = notes.map((note) => html`<p class="small">${textHtml(note)}</p>`);
  return html`<figure class="picture"${lineHtml({ line })}><figcaption>${textHtml(title)}</figcaption>${drawing}${said}</figure>`;
}

function paragraphHtml({ role, text, line }: Paragraph): Html {
  const named = role === undefined ? undefined : html` class="${role === 'warning' ? 'warn' : role}"`;
  return html`<p${named}${lineHtml({ line })}>${textHtml(text)}</p>`;
}

/** Where the editor's panel goes on a click. */
function lineHtml({ line }: FromLine): Html | undefined {
  return line === undefined ? undefined : html` data-line="${line}"`;
}

function listHtml({ role, items }: List): Html {
  const said = items.map((item) => itemHtml(item, role));
  if (role === 'numbered') return html`<ol>${said}</ol>`;
  return role === undefined ? html`<ul>${said}</ul>` : html`<ul class="${role}">${said}</ul>`;
}

function itemHtml({ role, text, blocks = [], line }: Item, list: List['role']): Html {
  const named = list === 'findings' && role !== undefined ? html` class="finding ${role}"` : undefined;
  return html`<li${named}${lineHtml({ line })}>${textHtml(text)}${blocks.map(blockHtml)}</li>`;
}

function tableHtml(table: Table): Html {
  const { role, caption, isCaptionUnseen = false, columns } = table;
  const heads = columns.map((column) => cellHtml('col', column, textHtml(column.head)));
  return html`<table${role === undefined ? undefined : html` class="${role}"`}><caption${isCaptionUnseen ? html` class="unseen"` : undefined}>${textHtml(caption)}</caption><thead><tr>${heads}</tr></thead>${bodiesHtml(table)}</table>`;
}

/** Rows under a group's head stand in a body of their own. */
function bodiesHtml({ rows, columns, hasRowHeads }: Table): readonly Html[] {
  const bodies: { head?: Group; rows: Row[] }[] = [];
  for (const row of rows) {
    if ('group' in row) bodies.push({ head: row, rows: [] });
    else {
      if (bodies.length === 0) bodies.push({ rows: [] });
      bodies.at(-1)?.rows.push(row);
    }
  }
  return bodies.map(
    ({ head, rows: own }) =>
      html`<tbody>${head === undefined ? undefined : html`<tr class="group"><th scope="rowgroup" colspan="${columns.length}">${textHtml(head.group)}</th></tr>`}${own.map((row) => rowHtml(row, columns, hasRowHeads))}</tbody>`,
  );
}

function rowHtml({ cells, below = [], line }: Row, columns: readonly Column[], hasRowHeads: boolean): Html {
  const own = cells.map((cell, i) => {
    const said = textHtml(cell);
    return i === 0 && hasRowHeads ? cellHtml('row', undefined, said) : cellHtml('td', columns[i], said);
  });
  if (below.length === 0) return html`<tr${lineHtml({ line })}>${own}</tr>`;
  return html`<tr class="told"${lineHtml({ line })}>${own}</tr><tr class="effect"${lineHtml({ line })}><td colspan="${columns.length}">${below.map(blockHtml)}</td></tr>`;
}

/** A cell of a table, a head of a column or a row, or what is said of a fact. */
function cellHtml(kind: 'td' | 'col' | 'row' | 'dd', column: Column | undefined, said: Html): Html {
  const names = [column?.role, hasLongWord(said) ? 'long' : undefined].filter((each) => each !== undefined);
  const named = names.length === 0 ? undefined : html` class="${names.join(' ')}"`;
  switch (kind) {
    case 'td':
      return html`<td${named}>${said}</td>`;
    case 'dd':
      return html`<dd${named}>${said}</dd>`;
    default:
      return html`<th scope="${kind}"${named}>${said}</th>`;
  }
}

function textHtml(text: Text): Html {
  if (text === undefined) return NOTHING;
  if (typeof text === 'string') return html`${text}`;
  if (isPiece(text)) return pieceHtml(text);
  return html`${text.map(textHtml)}`;
}

function isPiece(text: Piece | readonly Text[]): text is Piece {
  return 'kind' in text;
}

function pieceHtml(piece: Piece): Html {
  switch (piece.kind) {
    case 'strong':
      return html`<strong>${textHtml(piece.text)}</strong>`;
    case 'aside': {
      const said = textHtml(piece.text);
      if (isEmpty(said)) return NOTHING;
      if (piece.role === 'severity') return html`<strong class="severity">${said}</strong>`;
      const isLong = piece.role === 'note' && said.markup.length > LONGEST_NOTE;
      return html`<span class="${isLong ? 'note long' : piece.role}">${said}</span>`;
    }
    case 'foreign':
      return html`<span lang="${piece.language}">${textHtml(piece.text)}</span>`;
    case 'legend':
      return textHtml(piece.text);
    case 'sign':
      return html`<span aria-hidden="true">${piece.sign}</span>`;
    case 'jump':
      return html`<a href="#cautions">${textHtml(piece.text)}</a>`;
    case 'photo':
      return html`<a href="${piece.path}">${textHtml(piece.text)}</a>`;
    case 'sheet':
      return html`<a href="${addressOf(piece.path)}">${textHtml(piece.text)}</a>`;
    case 'bar':
      return drawBar(piece.bar, piece.scale);
  }
}
