/**
 * Owns whether two spellings of a tag say the same: everything that was read, without where it stands and how its values
 * and signs were spelled. What has two meanings is the same only where it is spelled the same.
 */
import type { WrittenValue } from '../units/value.ts';
import type { TagRead } from './tag.ts';

/** What a tag says, as a text to compare. */
export function meaningOf({ tag }: TagRead): string {
  return JSON.stringify(strip(tag));
}

export function meaningOfValue(written: WrittenValue): string {
  return JSON.stringify(strip(written));
}

/** Whether the writer is told of nothing that was not told of the tag as it was. */
export function isNoWorse(before: TagRead, after: TagRead): boolean {
  const told = before.problems.map(({ kind }) => kind);
  return after.problems.every(({ kind }) => {
    const at = told.indexOf(kind);
    if (at < 0) return false;
    told.splice(at, 1);
    return true;
  });
}

/** Not part of what is said: places, whether a unit stands beside its prefix, and which sign a hint asks for. */
const UNSAID: ReadonlySet<string> = new Set(['span', 'unitWritten', 'colonForEquals']);

function strip(node: unknown): unknown {
  if (typeof node === 'number') return Number.isFinite(node) ? Number(node.toPrecision(12)) : String(node);
  if (Array.isArray(node)) return node.map(strip);
  if (typeof node !== 'object' || node === null) return node;
  const tree = node as Readonly<Record<string, unknown>>;
  const result: Record<string, unknown> = {};
  for (const key in tree) {
    if (UNSAID.has(key)) continue;
    // A value is its number; its spelling is what may be tidied. A date and what has two meanings are their spelling.
    if (key === 'spelling' && (tree.kind === undefined || tree.kind === 'open' || tree.kind === 'short'))
      continue;
    if (key === 'text' && tree.of !== undefined && tree.of !== 'date') continue;
    result[key] = strip(tree[key]);
  }
  return result;
}
