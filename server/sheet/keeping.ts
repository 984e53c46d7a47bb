/**
 * Owns the taking over of what was made before: where a thing that was made again is the same as the one made last time,
 * the old one is given, so that whoever made something of it knows by identity that it still holds.
 */

/** The old list where the new one has the very same things in it. */
export function keepList<T>(old: readonly T[] | undefined, made: readonly T[]): readonly T[] {
  return old !== undefined && isSameList(old, made) ? old : made;
}

export function isSameList(one: readonly unknown[], other: readonly unknown[]): boolean {
  if (one === other) return true;
  if (one.length !== other.length) return false;
  for (let i = 0; i < one.length; i++) if (!Object.is(one[i], other[i])) return false;
  return true;
}

/** Whether two things say the same of the very same things; lists in them may be other lists of those. */
export function isAlike(one: object, other: object): boolean {
  const keys = Object.keys(one);
  if (keys.length !== Object.keys(other).length) return false;
  const a = one as { readonly [key: string]: unknown };
  const b = other as { readonly [key: string]: unknown };
  return keys.every((key) => {
    const [x, y] = [a[key], b[key]];
    return Object.is(x, y) || (Array.isArray(x) && Array.isArray(y) && isSameList(x, y));
  });
}

/**
 * Remembers for each owner (a tag, a heading) the things made of it last time, and gives those again that are made alike, by
 * their order: they take the places of the new ones, which stand in a list from `from` on.
 */
export function createKeeper<T extends object>(): (owner: object, list: T[], from?: number) => void {
  const lastOf = new WeakMap<object, readonly T[]>();
  return (owner, list, from = 0) => {
    if (list.length === from) return;
    const last = lastOf.get(owner);
    if (last !== undefined) {
      for (let i = from; i < list.length; i++) {
        const [before, made] = [last[i - from], list[i]];
        if (before !== undefined && made !== undefined && isAlike(before, made)) list[i] = before;
      }
    }
    lastOf.set(owner, list.slice(from));
  };
}
