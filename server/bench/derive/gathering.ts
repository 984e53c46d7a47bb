/** Owns putting figures of several families together: of two that are the same figure the later one counts, in the first one's place. */
import { differenceOf } from '../../text/stretch.ts';
import type { Figure } from '../model.ts';

/** All figures of some lists, in order. The very same list where all the lists are the same as last time. */
export type Gathering = (lists: readonly (readonly Figure[])[]) => readonly Figure[];

export function createGathering(): Gathering {
  let last: readonly (readonly Figure[])[] = [];
  let gathered: readonly Figure[] = [];
  let counts = new Map<string, number>();
  let twice = 0;
  const count = (figure: Figure, by: 1 | -1): void => {
    const key = keyOf(figure);
    const before = counts.get(key) ?? 0;
    const now = before + by;
    if (now === 0) counts.delete(key);
    else counts.set(key, now);
    if (now > 1 && before <= 1) twice++;
    if (now <= 1 && before > 1) twice--;
  };
  return (lists) => {
    if (lists.length === last.length && lists.every((list, i) => list === last[i])) return gathered;
    if (lists.length !== last.length) {
      counts = new Map();
      twice = 0;
      for (const list of lists) for (const figure of list) count(figure, 1);
    } else {
      for (const [i, list] of lists.entries()) {
        const { gone, come } = differenceOf(last[i] ?? [], list);
        for (const figure of come) count(figure, 1);
        for (const figure of gone) count(figure, -1);
      }
    }
    last = lists;
    gathered = twice === 0 ? allOf(lists) : eachOnce(lists);
    return gathered;
  };
}

function allOf(lists: readonly (readonly Figure[])[]): readonly Figure[] {
  const all: Figure[] = [];
  for (const list of lists) for (const figure of list) all.push(figure);
  return all;
}

/** All figures of some lists, each once. */
export function eachOnce(lists: readonly (readonly Figure[])[]): readonly Figure[] {
  const figures = new Map<string, Figure>();
  for (const list of lists) for (const figure of list) figures.set(keyOf(figure), figure);
  return [...figures.values()];
}

function keyOf({ set, figure, subject }: Figure): string {
  return `${set} ${figure} ${subject}`;
}
