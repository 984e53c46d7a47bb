/** Owns how verdicts on mods are said in words: the same in the terminal, on the page, in a hover and in a review's comment. */
import type { ChangeVerdict, ModVerdictName } from './mod-verdict.ts';
import type { Clash, Meeting, ModJudged, Need } from './mods.ts';
import type { ShopLanguage } from './shop-words.ts';

/** `2 of 3 changes still apply, 1 done at the factory`. */
export function sayOpenChanges(
  { changes, open }: Pick<ModJudged, 'changes' | 'open'>,
  { says: { mods: w } }: ShopLanguage,
): string {
  const of = changes.length;
  if (of === 0) return w.changesNothing;
  const isOpen = (each: ChangeVerdict) => open.some(({ change }) => change === each.change);
  const counts = new Map<ModVerdictName, number>();
  for (const each of changes) {
    if (isOpen(each)) continue;
    counts.set(each.verdict, (counts.get(each.verdict) ?? 0) + 1);
  }
  // What the writer has done with is open no more, whatever the parts say.
  const said = (verdict: ModVerdictName) =>
    verdict === 'still applies' ? w.wouldStillApply : w.verdicts[verdict];
  const all = w.allChanges(of);
  if (open.length === of) return w.allOpen(all, of);
  const low = changes.filter(({ isUnderRated }) => isUnderRated === true).length;
  const rated = low === 0 ? [] : [w.underRated(low)];
  const [first, ...others] = [...counts];
  if (open.length === 0 && first !== undefined && others.length === 0)
    return [w.allAre(all, said(first[0])), ...rated].join(', ');
  return [
    w.someOpen(open.length, of),
    ...[...counts].map(([verdict, n]) => `${n} ${said(verdict)}`),
    ...rated,
  ].join(', ');
}

/** What the writer says, and ours beside it where that differs; undefined where the writer says nothing. */
export function sayWriter(mod: ModJudged, { says: { mods: w } }: ShopLanguage): string | undefined {
  const { writer, ours } = mod;
  if (writer === undefined) return undefined;
  const said = `${w.verdicts[writer.verdict]}${writer.why === undefined ? '' : `, ${writer.why}`}`;
  return isAgreed(mod) ? w.writerAgrees(said) : w.writerDiffers(said, w.verdicts[ours]);
}

/** Whether the writer and we say the same; who did it matters to neither. */
export function isAgreed({ writer, ours }: ModJudged): boolean {
  const done = (verdict: ModVerdictName) => verdict === 'done at factory' || verdict === 'already done';
  return writer === undefined || writer.verdict === ours || (done(writer.verdict) && done(ours));
}

/** `still applies: R19 (cathode resistor of V3) is 330 Ω 5 W`. */
export function sayChange({ verdict, why }: ChangeVerdict, { says }: ShopLanguage): string {
  return `${says.mods.verdicts[verdict]}: ${why}`;
}

/** `R14 47 kΩ → 33 kΩ`, with the ref that the part has here where that is another. */
export function sayChangeHere({ change, ref, verdict }: ChangeVerdict, { says }: ShopLanguage): string {
  const isElsewhere = ref !== change.ref.name && verdict !== 'unknown';
  return isElsewhere ? says.mods.here(change.words, ref) : change.words;
}

export function sayNeed({ name, state, why }: Need, { says }: ShopLanguage): string {
  const { mod, needStates } = says.mods;
  const said = needStates[state];
  return `${mod(name)}: ${said}${why === said ? '' : ` (${why})`}`;
}

export function sayClash({ why }: Clash): string {
  return why;
}

export function sayMeeting({ mod, places }: Meeting, { says }: ShopLanguage): string {
  return says.mods.meets(mod, places.join(` ${says.mods.and} `));
}
