/**
 * Owns what a replacement was for, as far as its sheet says: a part that went out like for like had failed, unless the sheet
 * calls it a precaution, a modification or a correction, measured it and found it good, or shows another just like it to be the
 * bad one.
 */
import { type FittedPart, findMeasured, type PartChange, type Source } from '../bench/model.ts';
import { findRule } from '../rules/registry.ts';
import { wordsBeside } from '../rules/said-beside.ts';
import { isAbout } from '../rules/subject.ts';
import { workDone } from '../rules/work-done.ts';
import type { Sheet } from '../sheet/model.ts';
import { sayMarked } from './compare-words.ts';
import { asFoundOf, roleOf } from './exposure.ts';
import { isLikeForLike } from './like-for-like.ts';
import { partNotes } from './part-notes.ts';
import type { Analysis } from './shop.ts';
import { englishShop, type ShopLanguage } from './shop-words.ts';

/** Why a replacement is no failure. */
export type OtherReason = 'precaution' | 'twin' | 'modification' | 'correction' | 'measured-good';

export interface Replacement {
  readonly ref: string;
  readonly was: FittedPart;
  readonly is: FittedPart;
  readonly why: 'like-for-like' | OtherReason;
  /** What the verdict rests on, in words. */
  readonly says: string;
  readonly source: Source;
}

/** The replacements of a job, a valve once; `isBad` says of which parts there is evidence already. */
export function replacementsIn(
  analysis: Analysis,
  isBad: (ref: string) => boolean,
  language: ShopLanguage,
): readonly Replacement[] {
  const { failures: w } = language.says;
  const { amplifier, sheet } = analysis;
  const found = new Map<string, PartChange[]>();
  for (const change of workDone(amplifier)) {
    if (change.work !== undefined) continue;
    const part = change.is ?? change.was;
    const ref = part?.class === 'valve' ? part.whole : change.ref;
    found.set(ref, [...(found.get(ref) ?? []), change]);
  }
  return [...found].flatMap(([ref, changes]): readonly Replacement[] => {
    const was = changes[0]?.was;
    const last = changes.at(-1);
    if (was === undefined || last?.is === undefined) return [];
    const { is, source } = last;
    const told = { ref, was, is, source };
    if (isBad(ref)) return [{ ...told, why: 'like-for-like', says: '' }];
    const words = wordsOf(sheet, ref, changes);
    const quoted = (pattern: RegExp) =>
      words
        .find((text) => pattern.test(text))
        ?.replace(/[{}]/g, '')
        .replace(/\.$/, '');
    const precaution = quoted(PRECAUTION);
    if (precaution !== undefined) return [{ ...told, why: 'precaution', says: precaution }];
    const correction = ratingCorrected(analysis, ref, was, is, language) ?? quoted(CORRECTION);
    if (correction !== undefined) return [{ ...told, why: 'correction', says: correction }];
    const meant = quoted(MODIFICATION) ?? modHeading(sheet, changes, language);
    if (meant !== undefined) return [{ ...told, why: 'modification', says: meant }];
    if (!isLikeForLike(was, is))
      return [
        { ...told, why: 'modification', says: w.isNow(sayMarked(was, language), sayMarked(is, language)) },
      ];
    const good = measuredGood(analysis, ref, language);
    if (good !== undefined) return [{ ...told, why: 'measured-good', says: good }];
    const twin = [...found.keys()].find(
      (other) => other !== ref && isBad(other) && isTwin(analysis, ref, other),
    );
    if (twin !== undefined) return [{ ...told, why: 'twin', says: w.twinFailed(twin, ref) }];
    return [{ ...told, why: 'like-for-like', says: '' }];
  });
}

const PRECAUTION =
  /\b(?:precaution|prevent(?:ive|ative|ion)|twins?\b|good measure|matter of course|while (?:we were|it was|in|at it|there)|same (?:age|batch|make)|to be sure|to match|as a (?:pair|set)|matched (?:pair|set)|routine(?:ly)?|vorsorglich|vorsichtshalber|vorbeugend)/i;
const CORRECTION =
  /\b(?:under-?rated|over-?run|too low a (?:voltage|rating)|uprated?|wrong (?:value|type|part)|zu geringe?)\b/i;
const MODIFICATION =
  /\b(?:modif\w+|mods?|tighter|looser|brighter|darker|as (?:asked|wished|wanted)|owner.s wish|on request|wunsch)\b/i;

/** What stands beside the changes, then every sentence that names the part. */
function wordsOf(sheet: Sheet, ref: string, changes: readonly PartChange[]): readonly string[] {
  const beside = changes.map(({ source }) => wordsBeside(sheet, source.span)).filter((text) => text !== '');
  return [...beside, ...(partNotes(sheet).get(ref) ?? []).map(({ text }) => text)];
}

function modHeading(
  { sections }: Sheet,
  changes: readonly PartChange[],
  { says }: ShopLanguage,
): string | undefined {
  const spans = changes.map(({ source }) => source.span);
  const section = sections.find(
    ({ bodySpan, heading }) =>
      /\bmod(?:s|ification|ifications)?\b/i.test(heading) &&
      spans.some(({ start }) => bodySpan.start <= start && start < bodySpan.end),
  );
  return section && says.failures.underHeading(section.heading);
}

/** A rule had said as found that the part's rating is too small, and the new one's is higher. */
function ratingCorrected(
  { findings }: Analysis,
  ref: string,
  was: FittedPart,
  is: FittedPart,
  language: ShopLanguage,
): string | undefined {
  const isRaised = (['voltage', 'power', 'current'] as const).some(
    (of) =>
      (is.ratings[of]?.quantity.value ?? 0) > (was.ratings[of]?.quantity.value ?? Number.POSITIVE_INFINITY),
  );
  if (!isRaised) return undefined;
  const finding = findings.find(
    ({ rule, subject, phase }) =>
      phase === 'as-found' && isAbout(subject, ref) && findRule(rule)?.category === 'ratings',
  );
  const { isNow, after } = language.says.failures;
  return (
    finding && after(isNow(sayMarked(was, language), sayMarked(is, language)), language.foreign(finding.rule))
  );
}

/** Read as found, and within its tolerance. */
function measuredGood(analysis: Analysis, ref: string, { says }: ShopLanguage): string | undefined {
  const view = asFoundOf(analysis);
  const part = view?.parts.get(ref);
  const reading = part && findMeasured(part);
  const marked = part?.value?.quantity.value;
  if (part === undefined || reading === undefined || marked === undefined || reading.phase !== view?.phase)
    return undefined;
  if (reading.special !== undefined || !(marked > 0)) return undefined;
  const share = reading.value.quantity.value / marked;
  if (Math.abs(share - 1) > Math.max(part.tolerance, 0.1)) return undefined;
  return says.failures.ofMarking(`${Math.round(share * 100)}\u00a0%`);
}

/** The same part in the same role, as on the other side of a push-pull pair; in which language the roles are told is all one. */
function isTwin(analysis: Analysis, ref: string, other: string): boolean {
  const view = asFoundOf(analysis);
  const [one, two] = [view?.parts.get(ref), view?.parts.get(other)];
  if (view === undefined || one === undefined || two === undefined) return false;
  const role = roleOf(one, view, englishShop);
  return role !== undefined && role === roleOf(two, view, englishShop) && isLikeForLike(one, two);
}
