/** Owns what a mod sheet changes, line by line: what was there, what is to be there, where it sits and what it does. It looks at no other sheet. */

import type { FittedPart, Source } from '../bench/model.ts';
import { partFrom } from '../bench/parts.ts';
import { typeFrom } from '../bench/valves.ts';
import type { Catalogue } from '../catalogue/find-valve.ts';
import type { Connection, Point, Ref, Specification } from '../dialect/tree.ts';
import type { ChangeStatement, FittedStatement, Sheet, WireStatement } from '../sheet/model.ts';
import { tagsOf } from '../sheet/phases.ts';
import { sayMarked } from './compare-words.ts';
import { type RoleSaid, readRole } from './mod-roles.ts';
import type { ShopLanguage } from './shop-words.ts';
import { sheetName } from './uris.ts';

/** One change of one part. */
export interface ModChange {
  /** `replace`: another part in its place, `add`: one where there was none, `work`: something that is no new part. */
  readonly kind: 'replace' | 'remove' | 'add' | 'work';
  readonly ref: Ref;
  /** As written, without a place. */
  readonly was?: FittedPart;
  readonly is?: FittedPart;
  /** Where the old part sits, or where the one that is added goes. */
  readonly ends?: readonly [Point, Point];
  readonly across?: Ref;
  readonly role?: RoleSaid;
  readonly statement: FittedStatement | ChangeStatement;
  /** Whether it is said where the new part goes, too. */
  readonly moves: boolean;
  /** `C2 22 µF 25 V → 680 nF 63 V film`. */
  readonly words: string;
  readonly source: Source;
}

export interface ModFacts {
  readonly name: string;
  readonly purpose?: string;
  /** Names of mods that must be there before. */
  readonly needs: readonly string[];
  /** What else it needs, in the author's words. */
  readonly needsToo: readonly string[];
  /** Names of mods that must not be there. */
  readonly conflicts: readonly string[];
  readonly source: Source;
}

export function modFacts(sheet: Sheet): ModFacts {
  const field = (key: string) => sheet.field(key)?.text.trim() || undefined;
  const purpose = field('purpose');
  const needs = listIn(sheet, 'needs');
  const at = sheet.field('name')?.span ?? { start: 0, end: 0 };
  return {
    name: field('name') ?? sheetName(sheet.uri),
    ...(purpose !== undefined && { purpose }),
    needs: needs.filter(isModName),
    needsToo: needs.filter((each) => !isModName(each)),
    conflicts: listIn(sheet, 'conflicts').filter(isModName),
    source: { file: sheet.uri, span: at },
  };
}

/** One word, as `- mod NAME: …` has it; anything longer is said to people. */
function isModName(text: string): boolean {
  return /^[A-Za-z0-9][\w.-]*$/.test(text);
}

/** A list, or words with commas between. */
function listIn(sheet: Sheet, key: string): readonly string[] {
  const entry = sheet.frontMatter?.entries.find((each) => each.key === key);
  const said = [entry, ...(entry?.items ?? [])].flatMap((each) => each?.scalar ?? []);
  return said.flatMap((each) => each.split(/\s*[,;]\s*/)).filter((each) => each.trim() !== '');
}

/** In the order written. Of several changes of one part the last says what is to be there, the first what was. */
export function modChanges(sheet: Sheet, catalogue: Catalogue, language: ShopLanguage): readonly ModChange[] {
  const changes = new Map<string, ModChange>();
  for (const statement of sheet.statements) {
    if (statement.kind !== 'change' && statement.kind !== 'fitted') continue;
    // What is only tied is no part that comes or goes.
    if (statement.kind === 'fitted' && statement.specification === undefined) continue;
    const change = changeOf(statement, sheet, catalogue, language);
    const before = changes.get(change.ref.name);
    changes.set(change.ref.name, before === undefined ? change : joined(before, change, language));
  }
  return [...changes.values()];
}

/** Places of the circuit that the mod ties together. */
export function modWires(sheet: Sheet): readonly WireStatement[] {
  return sheet.statements.flatMap((each) => (each.kind === 'wire' ? [each] : []));
}

function joined(first: ModChange, second: ModChange, language: ShopLanguage): ModChange {
  const { was, ends, across, role } = first;
  const { was: _, ends: __, across: ___, role: own, ...rest } = second;
  const whole = {
    ...rest,
    kind: first.kind === 'add' ? 'add' : second.kind,
    ...(was && { was }),
    ...(ends && { ends }),
    ...(across && { across }),
    ...((role ?? own) && { role: role ?? own }),
  } as const;
  return { ...whole, words: wordsOf(whole, language) };
}

function changeOf(
  statement: FittedStatement | ChangeStatement,
  sheet: Sheet,
  catalogue: Catalogue,
  language: ShopLanguage,
): ModChange {
  const { ref, span } = statement;
  const source = { file: sheet.uri, span };
  const [before, after] =
    statement.kind === 'fitted' ? [undefined, statement.specification] : [statement.was, statement.is];
  const made = (specification: Specification | undefined) =>
    specification && partAsWritten(ref, specification, source, catalogue);
  const [was, is] = [made(before), made(after)];
  const work = statement.kind === 'change' ? statement.work : undefined;
  const kind =
    statement.kind === 'fitted'
      ? 'add'
      : work === 'removed'
        ? 'remove'
        : is !== undefined
          ? 'replace'
          : 'work';
  const { isRow, words: beside } = writtenBeside(statement, sheet);
  // Behind the arrow it says where the new part goes; in a table the columns stand in any order.
  const first = statement.connections.filter(
    (each) => kind === 'add' || isRow || after === undefined || each.span.start < after.span.start,
  );
  const ends = first.map((each) => endsIn(each, statement)).find((each) => each !== undefined);
  const across = first.find((each) => each.kind === 'across')?.ref;
  const role = beside.map(readRole).find((each) => each !== undefined);
  const whole = {
    kind,
    ref,
    ...(was && { was }),
    ...(is && { is }),
    ...(ends && { ends }),
    ...(across && { across }),
    ...(role && { role }),
    statement,
    moves: kind !== 'add' && statement.connections.length > first.length,
    source,
  } as const;
  return { ...whole, words: wordsOf(whole, language) };
}

function partAsWritten(
  ref: Ref,
  specification: Specification,
  source: Source,
  catalogue: Catalogue,
): FittedPart {
  const type =
    ref.class === 'valve' && specification.type && typeFrom(specification.type, source.file, catalogue);
  return partFrom(
    {
      ref,
      specification,
      specificationSource: source,
      connections: [],
      source,
      since: 'work',
      generation: 1,
    },
    { terminals: new Map(), measured: [], ...(type && { type }) },
  );
}

/** Of several refs with as many points at an end each takes its own. */
function endsIn(
  connection: Connection,
  { index, of }: FittedStatement | ChangeStatement,
): readonly [Point, Point] | undefined {
  if (connection.kind !== 'ends' || !connection.toWritten) return undefined;
  const take = (points: readonly Point[]) =>
    points.length === 1 ? points[0] : points.length === of ? points[index] : undefined;
  const [from, to] = [take(connection.from), take(connection.to)];
  return from === undefined || to === undefined ? undefined : [from, to];
}

/** What the writer added behind it; of a table's row the words of every cell, for a column may say the role. */
function writtenBeside(
  { span }: FittedStatement | ChangeStatement,
  { note, snapshot }: Sheet,
): { readonly isRow: boolean; readonly words: readonly string[] } {
  for (const block of note.blocks) {
    if (block.span.end < span.start || block.span.start > span.end) continue;
    const tag = tagsOf(block).find((each) => each.span.start === span.start && each.span.end === span.end);
    if (tag === undefined) continue;
    const isRow = block.kind === 'table';
    const cells = isRow ? snapshot.text.slice(span.start, span.end).split('|') : [];
    return { isRow, words: [...(tag.remark === undefined ? [] : [tag.remark.text]), ...cells] };
  }
  return { isRow: false, words: [] };
}

function wordsOf(
  { kind, ref, was, is, statement }: Omit<ModChange, 'words'>,
  language: ShopLanguage,
): string {
  const { mods: w, works } = language.says;
  const [before, after] = [was, is].map((part) => (part === undefined ? '' : sayMarked(part, language)));
  const named = before === '' ? ref.name : `${ref.name} ${before}`;
  switch (kind) {
    case 'add':
      return w.added(after === '' ? ref.name : `${ref.name} ${after}`);
    case 'remove':
      return w.takenOut(named);
    case 'replace':
      return `${named}\u00a0→\u00a0${after}`;
    case 'work': {
      const work = statement.kind === 'change' ? statement.work : undefined;
      return `${named} ${work === undefined ? w.workedOn : works[work]}`;
    }
  }
}
