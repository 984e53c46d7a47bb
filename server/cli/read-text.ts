/** Owns what `read` prints for people: each thing that was understood, in order, with the line it stands on. */
import type { Sheet } from '../sheet/model.ts';
import { sheetJson } from './read-json.ts';

/** One line a statement: `line 21  as-found  reading  V5.a  331 V`. */
export function sheetText(sheet: Sheet, file: string): string {
  const json = sheetJson(sheet, file) as {
    statements: { kind: string; phase: string; planned?: true; range: { start: { line: number } } }[];
    problems: { message: string; range: { start: { line: number } } }[];
  };
  const lines = [`${file}: ${sheet.kind} sheet, ${sheet.title === '' ? 'no title' : sheet.title}`];
  for (const { kind, phase, range, planned, ...rest } of json.statements) {
    const details = Object.entries(rest)
      .filter(([, value]) => !(Array.isArray(value) && value.length === 0))
      .map(([key, value]) => `${key} ${plain(value)}`)
      .join(', ');
    lines.push(`  line ${range.start.line + 1}  ${phase}${planned ? ' (planned)' : ''}  ${kind}: ${details}`);
  }
  for (const { message, range } of json.problems)
    lines.push(`  line ${range.start.line + 1}  problem: ${message}`);
  return `${lines.join('\n')}\n`;
}

function plain(value: unknown): string {
  if (Array.isArray(value)) return value.map(plain).join(' ');
  if (typeof value === 'object' && value !== null) {
    if ('spelling' in value) return `“${String(value.spelling)}”`;
    return Object.entries(value)
      .filter(([, inner]) => inner !== undefined && !(Array.isArray(inner) && inner.length === 0))
      .map(([key, inner]) => (key === 'text' ? plain(inner) : `${key} ${plain(inner)}`))
      .join(' ');
  }
  return String(value);
}
