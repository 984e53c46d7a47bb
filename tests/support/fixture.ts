/**
 * Owns the marks that tests write into a note: `‸` is the cursor, `⟦…⟧` an expected span (they may nest; numbered by
 * where they open), `%%% path.md` at column 0 starts another file. No note contains these characters, and Markdown
 * gives them no meaning, so a mark never changes what the text under test means. Anything left over fails.
 */
import type { Span } from '../../server/text/span.ts';

const CURSOR = '‸';
const OPEN = '⟦';
const CLOSE = '⟧';
const FILE = '%%% ';
const FIRST_PATH = 'sheet.tagstrip.md';

export interface FixtureFile {
  readonly path: string;
  /** The text without marks. */
  readonly text: string;
  readonly cursor?: number;
  readonly spans: readonly Span[];
}

export interface Fixture {
  readonly files: readonly FixtureFile[];
}

/** Reads marks and files. Text before the first `%%%` line is a file of its own unless it is empty. */
export function readFixture(marked: string): Fixture {
  return { files: splitFiles(marked).map(({ path, text }) => readMarks(path, text)) };
}

/** Reads a fixture that is one file. */
export function readFile(marked: string): FixtureFile {
  const [file, ...others] = readFixture(marked).files;
  if (file === undefined || others.length > 0) throw new Error('the fixture should hold exactly one file');
  return file;
}

/** The cursor of a file that must have one. */
export function getCursor(file: FixtureFile): number {
  if (file.cursor === undefined) throw new Error(`no cursor in ${file.path}`);
  return file.cursor;
}

export interface Variant {
  readonly name: 'LF' | 'CRLF' | 'BOM' | 'emoji';
  readonly fixture: Fixture;
}

/**
 * The same fixture four ways: as it is, with CRLF, with a byte-order mark, and with `🔥 ` before the first mark of each
 * line. Marks move with the text. `emoji: false` opts out of the last where it would change the meaning (a list item
 * that opens as a tag, say).
 */
export function variants(marked: string, options: { readonly emoji?: boolean } = {}): readonly Variant[] {
  if (/\r/.test(marked)) throw new Error('a fixture is written with LF; the variants make the other endings');
  const files = splitFiles(marked);
  const make = (name: Variant['name'], change: (text: string) => string): Variant => ({
    name,
    fixture: { files: files.map(({ path, text }) => readMarks(path, change(text))) },
  });
  const all = [
    make('LF', (text) => text),
    make('CRLF', (text) => text.replaceAll('\n', '\r\n')),
    make('BOM', (text) => `\uFEFF${text}`),
  ];
  if (options.emoji !== false) all.push(make('emoji', prefixMarks));
  return all;
}

/** The text of a span, for tests that compare slices and never bare numbers. */
export function sliceOf(text: string, span: Span): string {
  return text.slice(span.start, span.end);
}

/** Puts marks round spans: what a test prints so that a wrong span can be seen. */
export function markSpans(text: string, spans: readonly Span[]): string {
  const marks = spans.flatMap((each) => [
    { at: each.start, mark: OPEN, order: each.start === each.end ? 1 : 2 },
    { at: each.end, mark: CLOSE, order: each.start === each.end ? 1 : 0 },
  ]);
  marks.sort((a, b) => a.at - b.at || a.order - b.order);
  let result = '';
  let at = 0;
  for (const each of marks) {
    result += text.slice(at, each.at) + each.mark;
    at = each.at;
  }
  return result + text.slice(at);
}

function splitFiles(marked: string): { path: string; text: string }[] {
  const files = [{ path: FIRST_PATH, text: '' }];
  for (const line of marked.match(/[^\n]*(?:\n|$)/g) ?? []) {
    const current = files[files.length - 1];
    if (line.startsWith(FILE)) files.push({ path: line.slice(FILE.length).trim(), text: '' });
    else if (current !== undefined) current.text += line;
  }
  if (files.length > 1 && files[0]?.text.trim() === '') files.shift();
  return files;
}

function readMarks(path: string, marked: string): FixtureFile {
  let text = '';
  let cursor: number | undefined;
  const spans: { start: number; end: number }[] = [];
  const open: { start: number; end: number }[] = [];
  for (const character of marked) {
    if (character === CURSOR) {
      if (cursor !== undefined) throw new Error(`two cursors in ${path}`);
      cursor = text.length;
    } else if (character === OPEN) {
      const each = { start: text.length, end: -1 };
      spans.push(each);
      open.push(each);
    } else if (character === CLOSE) {
      const each = open.pop();
      if (each === undefined) throw new Error(`a ${CLOSE} closes nothing in ${path}`);
      each.end = text.length;
    } else {
      text += character;
    }
  }
  if (open.length > 0) throw new Error(`a ${OPEN} is not closed in ${path}`);
  if (text.includes(`\n${FILE.trim()}`)) throw new Error(`a %%% line without a path in ${path}`);
  return { path, text, ...(cursor === undefined ? {} : { cursor }), spans };
}

/** `| ⟦10⟧ | ⟦20⟧ |` becomes `| 🔥 ⟦10⟧ | ⟦20⟧ |`; lines without a mark stay. */
function prefixMarks(marked: string): string {
  return marked
    .split('\n')
    .map((line) => {
      const first = line.search(/[‸⟦]/);
      return first < 0 ? line : `${line.slice(0, first)}🔥 ${line.slice(first)}`;
    })
    .join('\n');
}
