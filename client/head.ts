/** Owns the little that the client reads of a sheet's head by itself: what stands on one line behind a key. */

/** The head between its fences. */
const HEAD = /^\uFEFF?---[ \t]*(?:\r\n|\r|\n)(.*?)(?:\r\n|\r|\n)---[ \t]*(?:[\r\n]|$)/s;

/** A value in quotes or without, and a comment behind it. */
const VALUE = /^(?:"((?:[^"\\]|\\.)*)"|'((?:[^']|'')*)'|([^\s"'#&*!|>%@`[\]{},].*?))?(?:[ \t]+#.*)?$/;

/** What the head says under `key`; undefined where it says nothing there, or what only the server can read. */
export function headField(text: string, key: string): string | undefined {
  for (const line of HEAD.exec(text)?.[1]?.split(/\r\n|\r|\n/) ?? []) {
    const [, name, rest = ''] = /^(\S[^:]*?)[ \t]*:(?:[ \t]+(.*))?$/.exec(line) ?? [];
    if (name !== key) continue;
    const [, double, single, plain] = VALUE.exec(rest.trim()) ?? [];
    const value = double?.replace(/\\(["\\/])/g, '$1') ?? single?.replaceAll("''", "'") ?? plain;
    return value?.trim() || undefined;
  }
  return undefined;
}

/** The same the other way round: in quotes where it would be read as something else without. */
export function asHeadValue(value: string): string {
  const isPlain = VALUE.exec(value)?.[3] === value && !/^[-?:](?:\s|$)|:(?:\s|$)/.test(value);
  return isPlain ? value : `'${value.replaceAll("'", "''")}'`;
}

/** The path to the chassis sheet that a sheet names, as a path is written in an address; undefined where it names none beside it. */
export function chassisNamedIn(text: string): string | undefined {
  const path = headField(text, 'chassis')?.replaceAll('\\', '/');
  return path === undefined || /^(?:[a-z][a-z0-9+.-]*:|\/\/)/i.test(path) ? undefined : path;
}

export function isChassisSheet(text: string): boolean {
  return headField(text, 'sheet')?.toLowerCase() === 'chassis';
}
