/** Owns how a comparison is said in words: the same in the terminal, on the page and in a review's comment. */
import { type EffectWords, sayEffect } from '../bench/effect-words.ts';
import type { FittedPart, Known } from '../bench/model.ts';
import { joinValues, sayRole as roleSaid, sayBand, sayKinds, sayQuantity } from '../bench/saying.ts';
import type { ComparedSheet, Comparison, PartComparison, SettledMove } from './compare.ts';
import type { Verdict } from './compared-part.ts';
import { type Difference, toleranceOf, windingsOf } from './part-differences.ts';
import type { RatingVerdict } from './rating-verdicts.ts';
import type { ShopLanguage } from './shop-words.ts';
import { fileName } from './uris.ts';

/** `Larch 20, revision b`, `job 2031 (Larch 20, the rehearsal-room one)`, else the sheet's title. */
export function nameOfSheet({ amplifier: { sheet } }: ComparedSheet, { says }: ShopLanguage): string {
  const field = (key: string) => sheet.field(key)?.text.trim() || undefined;
  const model = field('model');
  const revision = field('revision');
  if (sheet.kind === 'chassis' && model !== undefined)
    return revision === undefined ? model : says.revision(model, revision);
  const job = field('job');
  const title = sheet.title.trim();
  if (job !== undefined) return title === '' ? says.job(job) : says.jobTitled(job, title);
  return title === '' ? fileName(sheet.uri) : title;
}

/** `as on its chassis sheet`, `as left`. */
export function stateOf({ phase }: Pick<ComparedSheet, 'phase'>, { terms, says }: ShopLanguage): string {
  if (phase === undefined) return says.nothingFitted;
  return phase === 'factory' ? says.asDrawn : terms.phases[phase];
}

/** `R19`, or `R19 → R119` where the ref is another. */
export function sayRefs({ was, is }: Pick<PartComparison, 'was' | 'is'>): string {
  const [one, two] = [was?.part.ref, is?.part.ref];
  return one === undefined || two === undefined || one === two
    ? (two ?? one ?? '')
    : `${one}\u00a0→\u00a0${two}`;
}

/** `330 Ω 5 W wirewound`, `mains 290-0-290 V 150 mA, 6.3 V 4 A`, `T1A`. */
export function sayMarked(part: FittedPart, language: ShopLanguage): string {
  const { value, type, ratings, kinds, specification } = part;
  const { terms } = language;
  const say = (known: Known | undefined) => known && sayQuantity(known.quantity, 'by size', terms);
  const windings = windingsOf(part, language);
  const speed = specification?.fuseSpeed?.text.toUpperCase();
  const current = say(ratings.current);
  const words = [
    ...(windings === undefined ? [] : sayKinds(kinds, terms)),
    type?.text,
    say(value),
    windings,
    say(ratings.voltage),
    say(ratings.power),
    speed === undefined || current === undefined ? current : `${speed}${current.replace('\u00a0', '')}`,
    ...(windings === undefined ? sayKinds(kinds, terms) : []),
  ];
  return [...new Set(words.filter((word) => word !== undefined))].join(' ');
}

/** What is asked for over a counter: with its tolerance where one is marked. */
export function sayAsked(part: FittedPart, language: ShopLanguage): string {
  return [sayMarked(part, language), toleranceOf(part, language) ?? '']
    .filter((each) => each !== '')
    .join(' ');
}

/** Several capacitors in one can, which are bought together. */
export function isCan({ class: of, specification }: FittedPart): boolean {
  return of === 'capacitor' && (specification?.values.length ?? 0) > 1;
}

/** Which side is known in part only, and what that makes of the other's parts. */
export function sayParts({ was, is }: Comparison, { says }: ShopLanguage): readonly string[] {
  const { isPart } = says.compare;
  return [...(was.isPart === true ? [isPart.was] : []), ...(is.isPart === true ? [isPart.is] : [])];
}

/** `330 Ω → 390 Ω`, `kind paper → film`. */
export function sayDifference({ of, was, is }: Difference, { says }: ShopLanguage): string {
  const name = says.compare.differences[of];
  return `${name === '' ? '' : `${name} `}${was ?? says.notWritten}\u00a0→\u00a0${is ?? says.notWritten}`;
}

/** What differs of a part, or what it is where it stands on one side only. */
export function sayWhat(part: PartComparison, language: ShopLanguage): string {
  if (part.differences.length > 0)
    return part.differences.map((each) => sayDifference(each, language)).join('; ');
  const of = (part.is ?? part.was)?.part;
  return of === undefined ? '' : sayMarked(of, language);
}

/** `anode load of V1A`. */
export function sayRole({ was, is }: PartComparison, { terms }: ShopLanguage): string | undefined {
  const found = (was?.role?.role === 'unknown' ? is?.role : was?.role) ?? is?.role;
  return roleSaid(found, terms) || undefined;
}

/** How it is known to be the same part, where its ref does not say it. */
export function sayMatched(
  { verdict, by, was, is, instead }: PartComparison,
  { says }: ShopLanguage,
): string | undefined {
  if (instead !== undefined) {
    const refs = instead.map(({ part }) => part.ref).join(', ');
    return verdict === 'removed' ? says.compare.replacedBy(refs) : says.compare.inPlaceOf(refs);
  }
  if (by === undefined || (was?.part.ref === is?.part.ref && by !== 'ref')) return undefined;
  return says.compare.matched[by];
}

/** Looked at or not, where a sheet says so. */
export function saySeen({ is }: PartComparison, { says }: ShopLanguage): string | undefined {
  if (is?.seen === undefined) return undefined;
  return is.seen.says === 'not-seen' ? says.compare.notSeen : says.compare.seenAsDrawn;
}

export function effectWords({ effects }: PartComparison, { terms }: ShopLanguage): readonly EffectWords[] {
  return effects.flatMap((effect) => sayEffect(effect, terms) ?? []);
}

export function sayRatingHow(
  { how, isOtherUnread = false }: RatingVerdict,
  { says: { compare: w } }: ShopLanguage,
): string {
  if (isOtherUnread) return how === 'new' ? w.firstUnread : w.secondUnread;
  return how === 'new' ? w.isNew : w.isGone;
}

/** `V3.k 23.1 → 24.4 V`. */
export function sayMove(
  { subject, now, was, is }: SettledMove,
  { terms, says: { compare: w } }: ShopLanguage,
): string {
  const name = now === undefined ? subject : w.now(subject, now);
  const of = was.quantity.unit === 'A' ? w.cathodeCurrent : was.figure === 'ripple' ? w.ripple : '';
  const what = of === '' ? '' : ` ${of}`;
  const minus = (text: string) => text.replace(/-(?=\d)/g, '−');
  return `${name}${what} ${joinValues(minus(sayBand(was, terms)), '\u00a0→\u00a0', minus(sayBand(is, terms)))}`;
}

/** `2 changed, 1 removed, 39 under another ref, 7 the same.` */
export function sayCounts({ parts }: Comparison, { says }: ShopLanguage): string {
  const { counts, noParts } = says.compare;
  const order = ['changed', 'added', 'removed', 'moved', 'same'] as const;
  const said = order.flatMap((verdict: Verdict) => {
    const n = parts.filter((part) => part.verdict === verdict).length;
    return n === 0 ? [] : counts[verdict](n);
  });
  return said.length === 0 ? noParts : `${said.join(', ')}.`;
}
