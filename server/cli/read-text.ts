/** Owns what `read` prints for people: each thing that was understood, in order, with the line it stands on. */
import type { Sheet } from '../sheet/model.ts';
import type { Range } from '../text/snapshot.ts';
import { GROUPS, sheetJson } from './read-json.ts';
import { plain } from './terminal.ts';

interface Understood {
  readonly range: Range;
  readonly phase: string;
  readonly planned?: true;
  readonly of?: string;
}

/** One line a statement: `line 21  as-found  reading: at V5.a, …`. */
export function sheetText(sheet: Sheet, file: string): string {
  const json = sheetJson(sheet, file);
  const lines = [`${file}: ${sheet.kind} sheet, ${sheet.title === '' ? 'no title' : sheet.title}`];
  const all = [...Object.entries(GROUPS), ['connected', 'connections'] as const].flatMap(([kind, group]) =>
    (json[group] as Understood[]).map((each) => ({ kind, each })),
  );
  const inOrder = all.sort(
    ({ each: a }, { each: b }) =>
      a.range.start.line - b.range.start.line || a.range.start.character - b.range.start.character,
  );
  for (const { kind, each } of inOrder) {
    const { range, phase, planned, ...rest } = each;
    const details = Object.entries(rest)
      .filter(([, value]) => value !== undefined && !(Array.isArray(value) && value.length === 0))
      .map(([key, value]) => `${key} ${spell(value)}`)
      .join(', ');
    lines.push(`  line ${range.start.line + 1}  ${phase}${planned ? ' (planned)' : ''}  ${kind}: ${details}`);
  }
  for (const { message, range } of json.problems as { message: string; range: Range }[]) {
    lines.push(`  line ${range.start.line + 1}  problem: ${message}`);
  }
  return `${lines.map(plain).join('\n')}\n`;
}

function spell(value: unknown): string {
  if (Array.isArray(value)) return value.map(spell).join(' ');
  if (typeof value === 'object' && value !== null) {
    if ('spelling' in value) return `“${String(value.spelling)}”`;
    return Object.entries(value)
      .filter(
        ([key, inner]) =>
          key !== 'range' && inner !== undefined && !(Array.isArray(inner) && inner.length === 0),
      )
      .map(([key, inner]) => (key === 'text' ? spell(inner) : `${key} ${spell(inner)}`))
      .join(' ');
  }
  return String(value);
}
