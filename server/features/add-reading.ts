/** Owns the offer to add the next valve to a chart of readings or to a list of them, with its numbers left to be filled in. */
import type { FittedPart } from '../bench/model.ts';
import type { Valve } from '../catalogue/valve.ts';
import type { Block, Row, Table } from '../dialect/tree.ts';
import type { Fix } from '../rules/rule.ts';
import type { Analysis } from '../shop/shop.ts';
import { lineAt, lineEndingNear, lineSpan, type Snapshot } from '../text/snapshot.ts';
import type { Span } from '../text/span.ts';
import { lineHead, readingLine, terminalsOf } from './reading-lines.ts';

/** At most one offer: the chart or the list that the caret is in. */
export function addReading(analysis: Analysis, at: Span): readonly Fix[] {
  const { note, snapshot } = analysis.sheet;
  const { blocks } = note;
  const line = lineAt(snapshot, at.start);
  const index = blocks.findIndex(
    ({ span }) => lineAt(snapshot, span.start) <= line && line <= lineAt(snapshot, span.end),
  );
  const block = blocks[index];
  const found = block?.kind === 'table' ? rowFor(analysis, block) : lineFor(analysis, blocks, index);
  return found === undefined ? [] : [found];
}

// ---------------------------------------------------------------------------------------------------------------
// A chart

function rowFor(analysis: Analysis, table: Table): Fix | undefined {
  if (table.nature !== 'chart') return undefined;
  const named = table.rows.flatMap(valvesOf);
  // A chart of points (`V5.a`, `B+1`) has no next valve.
  if (table.rows.some((row) => isOfPoints(row)) || (named.length === 0 && !isOfValves(table)))
    return undefined;
  const valve = nextValve(analysis, named);
  const { snapshot } = analysis.sheet;
  const last = table.rows.at(-1);
  if (valve === undefined) return undefined;
  // The line that the new one is like: the last row, or the headings where there is none.
  const like = last?.span ?? table.span;
  const line = lineSpan(snapshot, lineAt(snapshot, like.start));
  const head = snapshot.text.slice(line.start, like.start);
  const row = rowLike(snapshot.text.slice(like.start, line.end), valve.name, table.columns.length);
  return insertion(snapshot, table.span.end, `${head}${row}`, `Add a row for ${valve.name}`);
}

function isOfValves({ columns }: Table): boolean {
  return /^(?:valve|tube)s?$/i.test(columns[0]?.text ?? '');
}

function valvesOf({ tags }: Row): readonly string[] {
  return tags.flatMap((tag) => {
    if (tag.form !== 'cell') return [];
    if (tag.kind === 'fitted') return tag.refs.map(({ name }) => name);
    if (tag.kind !== 'mention') return [];
    return tag.points.flatMap((point) => (point.kind === 'ref' ? [point.name] : []));
  });
}

function isOfPoints({ tags }: Row): boolean {
  return tags.some((tag) => {
    if (tag.kind === 'candidate') return true;
    return tag.kind === 'mention' && tag.form === 'cell' && tag.points.some(({ kind }) => kind !== 'ref');
  });
}

/** A row with as many cells, each as wide as the one above it. */
function rowLike(row: string, name: string, count: number): string {
  const cells = row
    .trim()
    .replace(/^\||\|$/g, '')
    .split(/(?<!\\)\|/);
  const widths = Array.from({ length: count }, (_, i) => Math.max(cells[i]?.length ?? 0, 2));
  const first = ` ${name} `.padEnd(widths[0] ?? 0);
  return `|${[first, ...widths.slice(1).map((width) => ' '.repeat(width))].join('|')}|`;
}

// ---------------------------------------------------------------------------------------------------------------
// A list

function lineFor(analysis: Analysis, blocks: readonly Block[], index: number): Fix | undefined {
  const own = readingLine(blocks[index]);
  const terminals = own === undefined ? [] : terminalsOf(own.tag.items);
  if (own === undefined || terminals.length === 0) return undefined;
  const { listDepth } = own.passage;
  const isInList = (block: Block | undefined): block is Extract<Block, { kind: 'passage' }> =>
    block?.kind === 'passage' && block.container === 'item' && block.listDepth >= listDepth;
  let first = index;
  while (isInList(blocks[first - 1])) first--;
  let last = index;
  while (isInList(blocks[last + 1])) last++;
  const list = blocks.slice(first, last + 1);
  const named = list.flatMap((block) => readingLine(block)?.refs.map(({ name }) => name) ?? []);
  const valve = nextValve(analysis, named);
  const end = list.at(-1)?.span.end;
  const { snapshot } = analysis.sheet;
  const head = lineHead(snapshot, own.passage.span);
  // A numbered list would want its next number, and the marks of an item's second paragraph are not its own.
  if (valve === undefined || end === undefined || !/^[ \t>]*[-*+][ \t]+$/.test(head)) return undefined;
  const written = terminals.map(({ terminal, by }) => (by === 'pin' ? `pin ${terminal}` : terminal));
  const likeName = own.refs[0]?.name;
  const like = likeName === undefined ? undefined : typeOf(analysis, likeName);
  const electrodes =
    valve.type === undefined || valve.type.kind === like?.kind ? written : electrodesOf(valve.type);
  const text = `${head}${valve.name}: ${electrodes.map((each) => `${each} ?`).join(', ')}`;
  return insertion(snapshot, end, text, `Add a line for ${valve.name}`);
}

function electrodesOf({ sections }: Valve): readonly string[] {
  const pins = sections[0]?.pins ?? {};
  return ['a', 'g2', 'g', 'k'].filter((each) => Object.hasOwn(pins, each) || (each === 'g' && 'g1' in pins));
}

// ---------------------------------------------------------------------------------------------------------------
// Valves

interface KnownValve {
  readonly name: string;
  readonly type?: Valve;
}

/** The valve after the last one named, in the order of their numbers, that is not named yet; else the first such. */
function nextValve(analysis: Analysis, named: readonly string[]): KnownValve | undefined {
  const missing = knownValves(analysis).filter(({ name }) =>
    named.every((each) => each !== name && each !== wholeOf(name) && wholeOf(each) !== name),
  );
  const last = named.at(-1) ?? '';
  return missing.find(({ name }) => compare(name, last) > 0) ?? missing[0];
}

function wholeOf(name: string): string {
  return name.replace(SECTION, '');
}

/** The letter of a twin's half, or the prime of European sheets. */
const SECTION = /(?<=\d)[A-F']$/;

function typeOf(analysis: Analysis, name: string): Valve | undefined {
  return knownValves(analysis).find((valve) => valve.name === name)?.type;
}

/** The valves that have anything to read at: no rectifiers; a twin by its halves. */
function knownValves({ amplifier, sheet }: Analysis): readonly KnownValve[] {
  const valves = new Map<string, KnownValve>();
  const put = (name: string, type: Valve | undefined): void => {
    if (!valves.has(name)) valves.set(name, type === undefined ? { name } : { name, type });
  };
  const parts: readonly FittedPart[] = [...(amplifier.phases.at(-1)?.parts.values() ?? [])];
  for (const { class: partClass, ref, section, type } of parts) {
    if (partClass !== 'valve' || type?.valve?.kind === 'rectifier') continue;
    const isTwin = section === undefined && (type?.valve?.sections.length ?? 1) === 2;
    for (const name of isTwin ? [`${ref}A`, `${ref}B`] : [ref]) put(name, type?.valve);
  }
  const fitted = new Set(parts.flatMap(({ ref, whole }) => [ref, whole]));
  for (const { ref } of sheet.mentions) {
    if (ref !== undefined && /^V\d/.test(ref) && !fitted.has(ref)) put(ref, undefined);
  }
  // A twin that is fitted as a whole and read by its halves is known by these.
  const halves = new Set([...valves.keys()].filter((name) => SECTION.test(name)).map(wholeOf));
  return [...valves.values()].filter(({ name }) => !halves.has(name)).sort((a, b) => compare(a.name, b.name));
}

/** V2 before V10, V1A before V1B. */
function compare(a: string, b: string): number {
  const parts = (name: string) => /^\D*(\d*)(.*)$/.exec(name) ?? [];
  const [, numberA = '', restA = ''] = parts(a);
  const [, numberB = '', restB = ''] = parts(b);
  if (numberA !== numberB) return Number(numberA) - Number(numberB);
  return restA < restB ? -1 : restA > restB ? 1 : 0;
}

function insertion(snapshot: Snapshot, offset: number, line: string, title: string): Fix {
  const { end } = lineSpan(snapshot, lineAt(snapshot, offset));
  return {
    title,
    safety: 'suggestion',
    edits: [{ span: { start: end, end }, text: `${lineEndingNear(snapshot, end)}${line}` }],
  };
}
