/** Owns finding refs in running text that is no tag: an image's alternative text, a vanished list item. */
import type { Span } from '../text/span.ts';
import { scanRefList } from './references.ts';
import type { Ref } from './tree.ts';

/** All refs in a stretch of text, lists and ranges included, in order. */
export function findRefs(text: string, within: Span): readonly Ref[] {
  const refs: Ref[] = [];
  let at = within.start;
  while (at < within.end) {
    const code = text.charCodeAt(at);
    // A ref begins with a capital; nothing else is worth asking about.
    const found = code >= 0x41 && code <= 0x5a ? scanRefList(text, at) : undefined;
    if (found === undefined || found.end > within.end) {
      at++;
      continue;
    }
    refs.push(...found.refs);
    at = found.end;
  }
  return refs;
}
