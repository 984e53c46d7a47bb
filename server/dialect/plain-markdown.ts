/**
 * Owns the Markdown that sheets are full of: headings, paragraphs, flat lists and tables of nothing but words, figures and tags.
 * The parser takes each letter of them through half a dozen states, which is most of the work on a sheet; here whole lines are
 * taken. Only a text that is plain beyond doubt is claimed, and its tree is the parser's, which a property test holds it to: any
 * other mark, any indentation or odd space, and the parser has the whole of it.
 */
import type {
  Heading,
  List,
  ListItem,
  Paragraph,
  PhrasingContent,
  Root,
  RootContent,
  Table,
  TableRow,
} from 'mdast';

/**
 * What is not plain: marks of anything inline but a tag, addresses, a space at either end of a line, tabs and stray line ends.
 * The box of a task is let pass where it can stand.
 */
const MARKS =
  /[\0\t\\`*_<&~$@\uFEFF]|\[(?<!(?:^|\n)- \[)|\](?<!(?:^|\n)- \[[ xX]\])|\r(?!\n)|www\.|https?:|(?:^|\n) | (?:\r?\n|$)/i;

/** What may open a block, or make one of the line before: a quote, a list, a table, a rule, an underline. */
const OPENING = /[-+=>#|:]|\d{1,9}[.)](?!\S)/y;
const HEADING = /(#{1,6}) +(?=[^ #])/y;
/** Before a tag the parser counts the box with the paragraph, and that is left to it. */
const BOX = /\[([ xX])\] (?=[^\s{])/y;
const DELIMITERS = /^\|(?: *:?-+:? *\|)+$/;

/** Says of braces and all between them whether they are a tag. */
type Opens = (source: string) => boolean;

interface Line {
  readonly start: number;
  /** Before its line ending. */
  readonly end: number;
}

/** The tree of a text that is plain from an offset on; undefined where it is not beyond doubt. Lines and columns are not counted. */
export function parsePlain(text: string, from: number, opens: Opens): Root | undefined {
  if (MARKS.test(text.slice(from))) return undefined;
  const lines = linesOf(text, from);
  const children: RootContent[] = [];
  for (let i = 0; i < lines.length; ) {
    const block = readBlock(text, lines, i, opens);
    if (block === undefined) return undefined;
    if (block.node !== undefined) children.push(block.node);
    i = block.next;
  }
  return { type: 'root', children, position: place(from, text.length) };
}

function linesOf(text: string, from: number): readonly Line[] {
  const lines: Line[] = [];
  for (let start = from; start < text.length; ) {
    const found = text.indexOf('\n', start);
    const next = found < 0 ? text.length : found + 1;
    const ending = found < 0 ? 0 : text.charAt(found - 1) === '\r' && found > start ? 2 : 1;
    lines.push({ start, end: next - ending });
    start = next;
  }
  return lines;
}

interface Read<Node> {
  /** Absent for a blank line. */
  readonly node?: Node;
  /** The line behind it. */
  readonly next: number;
}

function readBlock(
  text: string,
  lines: readonly Line[],
  from: number,
  opens: Opens,
): Read<RootContent> | undefined {
  const line = lines[from];
  if (line === undefined || isBlank(line)) return { next: from + 1 };
  switch (text.charAt(line.start)) {
    case '#': {
      const node = readHeading(text, line, opens);
      return node && { node, next: from + 1 };
    }
    case '-':
      return readList(text, lines, from, opens);
    case '|':
      return readTable(text, lines, from, opens);
    default:
      return readParagraph(text, lines, from, opens);
  }
}

function readHeading(text: string, { start, end }: Line, opens: Opens): Heading | undefined {
  HEADING.lastIndex = start;
  const mark = HEADING.exec(text);
  if (mark === null || text.charAt(end - 1) === '#') return undefined;
  return {
    type: 'heading',
    depth: (mark[1]?.length ?? 1) as Heading['depth'],
    children: inlines(text, start + mark[0].length, end, opens),
    position: place(start, end),
  };
}

function readParagraph(
  text: string,
  lines: readonly Line[],
  from: number,
  opens: Opens,
): Read<Paragraph> | undefined {
  let next = from;
  for (let line = lines[next]; line !== undefined && !isBlank(line); line = lines[++next]) {
    if (next > from && isNextBlock(text, line)) break;
    if (isOpening(text, line.start)) return undefined;
  }
  return { node: paragraph(text, lines[from]?.start ?? 0, lines[next - 1]?.end ?? 0, opens), next };
}

/** A line that ends the block before it without a blank one; that it is what it looks like is seen when it is its turn. */
function isNextBlock(text: string, { start }: Line): boolean {
  return text.charAt(start) === '#' || text.startsWith('- ', start);
}

/** Blank lines between its items do not end a list. */
function readList(text: string, lines: readonly Line[], from: number, opens: Opens): Read<List> | undefined {
  const children: ListItem[] = [];
  let next = from;
  for (let line = lines[next]; line !== undefined && text.charAt(line.start) === '-'; line = lines[next]) {
    const item = readItem(text, line, opens);
    if (item === undefined) return undefined;
    children.push(item);
    const after = lines[++next];
    // Without a blank line before it, only a heading is no more of the item.
    if (after !== undefined && !isBlank(after) && !/[-#]/.test(text.charAt(after.start))) return undefined;
    const behind = behindBlank(lines, next);
    if (text.charAt(lines[behind]?.start ?? text.length) === '-') next = behind;
  }
  const [first, last] = [children[0], children[children.length - 1]];
  const node: List = {
    type: 'list',
    children,
    position: place(first?.position?.start.offset ?? 0, last?.position?.end.offset ?? 0),
  };
  return { node, next };
}

function behindBlank(lines: readonly Line[], from: number): number {
  let next = from;
  for (let line = lines[next]; line !== undefined && isBlank(line); line = lines[next]) next++;
  return next;
}

function readItem(text: string, { start, end }: Line, opens: Opens): ListItem | undefined {
  if (!text.startsWith('- ', start)) return undefined;
  let from = start + 2;
  BOX.lastIndex = from;
  const box = BOX.exec(text);
  if (box !== null) from += box[0].length;
  if (from >= end || text.charAt(from) === ' ') return undefined;
  if (box === null && (isOpening(text, from) || text.charAt(from) === '[')) return undefined;
  return {
    type: 'listItem',
    checked: box === null ? null : box[1] !== ' ',
    children: [paragraph(text, from, end, opens)],
    position: place(start, end),
  };
}

/** Its first two lines make it one, and any line behind them is a row of it until a blank one or the next block. */
function readTable(
  text: string,
  lines: readonly Line[],
  from: number,
  opens: Opens,
): Read<Table> | undefined {
  const children: TableRow[] = [];
  let next = from;
  for (let line = lines[next]; line !== undefined && !isBlank(line); line = lines[++next]) {
    if (next > from + 1 && isNextBlock(text, line)) break;
    if (line.end - line.start < 2 || text.charAt(line.start) !== '|' || text.charAt(line.end - 1) !== '|')
      return undefined;
    if (next === from + 1) {
      const delimiters = text.slice(line.start, line.end);
      if (!DELIMITERS.test(delimiters)) return undefined;
      if (delimiters.split('|').length - 2 !== children[0]?.children.length) return undefined;
    } else children.push(readRow(text, line, opens));
  }
  if (next < from + 2) return undefined;
  const [first, last] = [lines[from], lines[next - 1]];
  return { node: { type: 'table', children, position: place(first?.start ?? 0, last?.end ?? 0) }, next };
}

/** A cell has its place from its left pipe to the next one, and the last has the closing pipe. */
function readRow(text: string, { start, end }: Line, opens: Opens): TableRow {
  const row: TableRow = { type: 'tableRow', children: [], position: place(start, end) };
  for (let pipe = start; pipe < end - 1; ) {
    const next = text.indexOf('|', pipe + 1);
    let [from, to] = [pipe + 1, next];
    while (from < to && text.charAt(from) === ' ') from++;
    while (from < to && text.charAt(to - 1) === ' ') to--;
    row.children.push({
      type: 'tableCell',
      children: from === to ? [] : inlines(text, from, to, opens),
      position: place(pipe, next === end - 1 ? end : next),
    });
    pipe = next;
  }
  return row;
}

function paragraph(text: string, start: number, end: number, opens: Opens): Paragraph {
  const position = place(start, end);
  const own = text.slice(start, end);
  // Most have no tag, and their text stands where they do.
  const children: PhrasingContent[] = own.includes('{')
    ? inlines(text, start, end, opens)
    : [{ type: 'text', value: own, position }];
  return { type: 'paragraph', children, position };
}

/** Running text and tags. A brace behind a brace opens nothing, and neither does one that another follows. */
function inlines(text: string, start: number, end: number, opens: Opens): PhrasingContent[] {
  const own = text.slice(start, end);
  const nodes: PhrasingContent[] = [];
  let from = 0;
  const putText = (to: number): void => {
    if (to > from)
      nodes.push({ type: 'text', value: own.slice(from, to), position: place(start + from, start + to) });
  };
  let close = -1;
  for (let at = own.indexOf('{'); at >= 0; ) {
    if (close < at) close = own.indexOf('}', at);
    if (close < 0) break;
    const again = own.indexOf('{', at + 1);
    const isPair = (again < 0 || again > close) && own.charAt(at - 1) !== '{';
    const value = isPair ? own.slice(at, close + 1) : '';
    if (value !== '' && opens(value)) {
      putText(at);
      from = close + 1;
      nodes.push({ type: 'tag', value, position: place(start + at, start + from) });
    }
    at = again;
  }
  putText(own.length);
  return nodes;
}

function isBlank({ start, end }: Line): boolean {
  return start === end;
}

function isOpening(text: string, at: number): boolean {
  OPENING.lastIndex = at;
  return OPENING.test(text);
}

function place(start: number, end: number) {
  return { start: { line: 0, column: 0, offset: start }, end: { line: 0, column: 0, offset: end } };
}
