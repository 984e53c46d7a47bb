/** Owns doing many things a few at a time, so that a folder of sheets is not opened all at once. */

/** Files read at once. */
const MOST = 10;

/** Does `work` for each, the answers in their order; undefined where `isCancelled` said so on the way. */
export async function inTurns<T, R>(
  list: readonly T[],
  work: (each: T) => Promise<R>,
  isCancelled: () => boolean,
): Promise<readonly R[] | undefined> {
  const done: R[] = [];
  let next = 0;
  const take = async (): Promise<void> => {
    while (next < list.length && !isCancelled()) {
      const i = next++;
      const each = list[i];
      if (each !== undefined) done[i] = await work(each);
    }
  };
  await Promise.all(Array.from({ length: Math.min(MOST, list.length) }, take));
  return isCancelled() && next < list.length ? undefined : done;
}
