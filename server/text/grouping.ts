/** Owns putting the things of a list together by a key. */

/** In the order of the list, the groups in that of their first things; what has no key is in none. */
export function groupBy<K, T>(
  list: Iterable<T>,
  keyOf: (each: T) => K | undefined,
): ReadonlyMap<K, readonly T[]> {
  const groups = new Map<K, T[]>();
  for (const each of list) {
    const key = keyOf(each);
    if (key === undefined) continue;
    const group = groups.get(key);
    if (group === undefined) groups.set(key, [each]);
    else group.push(each);
  }
  return groups;
}
