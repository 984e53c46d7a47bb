/** Owns the reading of what is said of a part without a value: its states, and whether it is as the drawing has it. */
import { skipSpace } from './gaps.ts';
import { scanRef } from './references.ts';
import { type Statement, statement } from './said.ts';
import type { Ref, State, Word } from './tree.ts';
import { scanState } from './vocabulary.ts';

/** States in a row: `charred, cracked`, `badly charred and noisy`. */
export function readStates(
  text: string,
  behind: number,
): { readonly states: readonly (Word & { readonly state: State })[]; readonly end: number } | undefined {
  const states: (Word & { readonly state: State })[] = [];
  let end = behind;
  for (;;) {
    const gap = /^\s*(?:[,;]\s*)?(?:(?:and|badly|slightly|very|quite|found|is|was|a|has)\s+)*/.exec(
      text.slice(end),
    );
    const from = end + (gap?.[0].length ?? 0);
    const found = scanState(text, from);
    if (found === undefined) break;
    states.push({
      text: text.slice(from, found.end),
      span: { start: from, end: found.end },
      state: found.state,
    });
    end = found.end;
  }
  return states.length === 0 ? undefined : { states, end };
}

/** `as drawn`, `not seen`, `was R44`: what is known of parts without a meter. */
export function readProvenance(text: string, refs: readonly Ref[], behind: number): Statement | undefined {
  const at = skipSpace(text, behind);
  const found = /^(as drawn|not seen|was\s+)/i.exec(text.slice(at, at + 12));
  if (found === null) return undefined;
  const end = at + found[0].length;
  if (/^was/i.test(found[0])) {
    const was = scanRef(text, end);
    if (was === undefined) return undefined;
    return statement({ kind: 'provenance', refs, says: 'was', was: was.ref }, was.end, 'the end', []);
  }
  const says = /^as/i.test(found[0]) ? 'as-drawn' : 'not-seen';
  return statement({ kind: 'provenance', refs, says }, end, 'the end', []);
}
