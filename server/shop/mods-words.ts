/** Owns how verdicts on mods are said in words: the same in the terminal, on the page, in a hover and in a review's comment. */
import { PHASE_WORDS } from '../bench/saying.ts';
import type { ChangeVerdict, ModVerdictName } from './mod-verdict.ts';
import type { Clash, Meeting, ModJudged, ModsJudged, Need } from './mods.ts';

export const VERDICT_SAID: Readonly<Record<ModVerdictName, string>> = {
  'still applies': 'still applies',
  'done at factory': 'done at the factory',
  'already done': 'already done',
  'not applicable': 'not applicable',
  conflicts: 'conflicts',
  declined: 'declined',
  unknown: 'unknown, look',
};

/** What a reader must know of all that is computed here. */
export const MODS_NOTE =
  'Each effect is of that one change in this amplifier, all else as it stands there: DC apart from signal. What the rules would say is reckoned with average new valves; nothing of it was read.';
export const MODS_CAUTION =
  'That nothing is said against a mod never means that it may be done, or that an amplifier may be touched: look at the part before you lift it.';

/** `2 of 3 changes still apply, 1 done at the factory`. */
export function sayShare({ changes, open }: Pick<ModJudged, 'changes' | 'open'>): string {
  const of = changes.length;
  if (of === 0) return 'the sheet changes no part';
  const isOpen = (each: ChangeVerdict) => open.some(({ change }) => change === each.change);
  const counts = new Map<ModVerdictName, number>();
  for (const each of changes) {
    if (isOpen(each)) continue;
    counts.set(each.verdict, (counts.get(each.verdict) ?? 0) + 1);
  }
  // What the writer has done with is open no more, whatever the parts say.
  const said = (verdict: ModVerdictName) =>
    verdict === 'still applies' ? 'would still apply' : VERDICT_SAID[verdict];
  const some = of === 1 ? 'its one change' : of === 2 ? 'both changes' : `all ${of} changes`;
  if (open.length === of) return `${some} ${of === 1 ? 'is' : 'are'} open`;
  const [first, ...others] = [...counts];
  if (open.length === 0 && first !== undefined && others.length === 0) return `${some} ${said(first[0])}`;
  const share = `${open.length === 0 ? 'none' : open.length} of ${of} changes ${open.length > 1 ? 'are' : 'is'} open`;
  return [share, ...[...counts].map(([verdict, n]) => `${n} ${said(verdict)}`)].join(', ');
}

/** What the writer says, and ours beside it where that differs; undefined where the writer says nothing. */
export function sayWriter(mod: ModJudged): string | undefined {
  const { writer, ours } = mod;
  if (writer === undefined) return undefined;
  const said = `${VERDICT_SAID[writer.verdict]}${writer.why === undefined ? '' : `, ${writer.why}`}`;
  return isAgreed(mod)
    ? `the sheet says so itself: ${said}`
    : `the sheet says: ${said}; by the parts it would be: ${VERDICT_SAID[ours]}`;
}

/** Whether the writer and we say the same; who did it matters to neither. */
export function isAgreed({ writer, ours }: ModJudged): boolean {
  const done = (verdict: ModVerdictName) => verdict === 'done at factory' || verdict === 'already done';
  return writer === undefined || writer.verdict === ours || (done(writer.verdict) && done(ours));
}

/** `still applies: R19 (cathode resistor of V3) is 330 Ω 5 W`. */
export function sayChange({ verdict, why }: ChangeVerdict): string {
  return `${VERDICT_SAID[verdict]}: ${why}`;
}

/** `R14 47 kΩ → 33 kΩ`, with the ref that the part has here where that is another. */
export function sayChangeHere({ change, ref, verdict }: ChangeVerdict): string {
  const isElsewhere = ref !== change.ref.name && verdict !== 'unknown';
  return isElsewhere ? `${change.words}, here ${ref}` : change.words;
}

const NEED_WORDS = { met: 'met', open: 'not there yet', unknown: 'unknown, look' } as const;

export function sayNeed({ name, state, why }: Need): string {
  return `mod ${name}: ${NEED_WORDS[state]} (${why})`;
}

export function sayClash({ why }: Clash): string {
  return why;
}

export function sayMeeting({ mod, places }: Meeting): string {
  return `mod ${mod} changes something at ${places.join(' and ')} too: judge both together`;
}

/** `as left`, `as drawn`. */
export function stateSaid({ view }: ModsJudged): string {
  if (view === undefined) return 'nothing is fitted on it';
  return view.phase === 'factory' ? 'as drawn' : PHASE_WORDS[view.phase];
}
