/** Owns how a page points to sheets: from where it lies itself, so that it may lie in another folder than the command runs in. */
import { posix } from 'node:path';
import { isPage } from './call-speech.ts';
import type { Places } from './json.ts';
import type { Call } from './verb.ts';

/** The path to show for a sheet, or on a page to go to. */
export function pathsFor(call: Pick<Call, 'format' | 'out'>, { path }: Pick<Places, 'path'>): Places['path'] {
  const { out } = call;
  if (out === undefined || !isPage(call)) return path;
  const folder = posix.dirname(out.replaceAll('\\', '/'));
  // From elsewhere on the disk there is no way that is sure to hold.
  if (posix.isAbsolute(folder) || /^[A-Za-z]:/.test(folder)) return path;
  return (uri) => {
    const shown = path(uri);
    return posix.isAbsolute(shown) ? shown : posix.relative(folder, shown);
  };
}
