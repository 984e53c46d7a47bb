/**
 * Owns moving what was read from one place of a text to another: the same blocks and problems with every span shifted.
 * Nothing is changed in place, since a note that was handed out stays as it is.
 */
import type { Block, WritingProblem } from './tree.ts';

export function shiftBlocks(blocks: readonly Block[], by: number): readonly Block[] {
  return by === 0 ? blocks : (shiftList(blocks, by) as readonly Block[]);
}

export function shiftProblems(problems: readonly WritingProblem[], by: number): readonly WritingProblem[] {
  return by === 0 ? problems : (shiftList(problems, by) as readonly WritingProblem[]);
}

type Tree = { readonly [key: string]: unknown };

function shiftList(list: readonly unknown[], by: number): readonly unknown[] {
  const length = list.length;
  if (length === 0) return list;
  const shifted = new Array<unknown>(length);
  for (let i = 0; i < length; i++) shifted[i] = shiftAny(list[i], by);
  return shifted;
}

function shiftAny(value: unknown, by: number): unknown {
  if (typeof value !== 'object' || value === null) return value;
  if (Array.isArray(value)) return shiftList(value, by);
  return shiftTree(value as Tree, by);
}

/** A span is whatever has a start and an end that are numbers; a quantity has neither and nothing in it moves. */
function shiftTree(tree: Tree, by: number): Tree {
  const { start, end } = tree;
  if (typeof start === 'number' && typeof end === 'number') return { start: start + by, end: end + by };
  if (tree.unit !== undefined && typeof tree.value === 'number') return tree;
  const shifted: { [key: string]: unknown } = { ...tree };
  for (const key in shifted) {
    const value = shifted[key];
    if (typeof value === 'object' && value !== null) shifted[key] = shiftAny(value, by);
  }
  return shifted;
}
