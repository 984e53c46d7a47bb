/**
 * Owns the places of what was read as a whole: what all the spans in it are, and the same with every one of them shifted. A span is
 * whatever has a start and an end that are numbers, wherever it stands.
 */
import type { Span } from '../text/span.ts';

/** A copy with spans of its own. */
export function shiftAny<T>(value: T, by: number): T {
  if (typeof value !== 'object' || value === null) return value;
  if (Array.isArray(value)) return value.map((each) => shiftAny(each, by)) as T;
  if (isSpan(value)) return { start: value.start + by, end: value.end + by } as T;
  const shifted: { [key: string]: unknown } = { ...(value as object) };
  for (const key in shifted) shifted[key] = shiftAny(shifted[key], by);
  return shifted as T;
}

/** Every span in a tree, each once. */
export function collectSpans(tree: unknown): readonly Span[] {
  const found = new Set<Span>();
  addSpans(tree, found);
  return [...found];
}

function addSpans(tree: unknown, found: Set<Span>): void {
  if (typeof tree !== 'object' || tree === null) return;
  if (isSpan(tree)) {
    found.add(tree);
    return;
  }
  const parts = tree as { readonly [key: string]: unknown };
  for (const key in parts) addSpans(parts[key], found);
}

export function isSpan(node: unknown): node is Span {
  return (
    typeof node === 'object' &&
    node !== null &&
    'start' in node &&
    'end' in node &&
    typeof node.start === 'number' &&
    typeof node.end === 'number'
  );
}
