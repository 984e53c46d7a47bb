/** Owns that rectifiers stand for others on the same rail: one without the other is no amplifier, so what they do is told in one go. */
import { type ChangeEffect, effectOf } from '../bench/effects.ts';
import { rectifierEnds } from '../bench/look.ts';
import type { Matching } from '../bench/matching.ts';
import type { Amplifier, FittedPart, PartChange, PhaseView } from '../bench/model.ts';
import { type ComparedPart, inPlaceOf, type PartBeside } from './compared-part.ts';

interface Around {
  readonly before: PhaseView;
  readonly after: PhaseView;
  readonly matching: Matching;
  /** The first. */
  readonly amplifier: Amplifier;
}

/** Of a rectifier that went, what came in its place and what all of it does; of one that came, what went. */
export function rectifiersInstead(
  own: PartBeside,
  all: readonly PartBeside[],
  around: Around,
): { readonly instead?: readonly ComparedPart[]; readonly effects?: readonly ChangeEffect[] } {
  const rail = railOf(own, around);
  if (rail === undefined) return {};
  const like = (verdict: PartBeside['verdict']) =>
    all.filter((each) => each.verdict === verdict && railOf(each, around) === rail);
  const [gone, come] = [like('removed'), like('added')];
  if (gone.length === 0 || come.length === 0) return {};
  if (own.verdict === 'added') return { instead: gone.flatMap(({ was }) => was ?? []) };
  // Of several that went, the first tells it.
  const isFirst = gone[0] === own;
  const effect = isFirst ? jointEffect(gone, come, around) : undefined;
  return {
    instead: come.flatMap(({ is }) => is ?? []),
    ...(effect && { effects: [effect] }),
    ...(!isFirst && { effects: [] }),
  };
}

/** The node that a rectifier feeds, by its name in the first; of a diode from ground, the winding that it returns. */
function railOf({ verdict, was, is }: PartBeside, { before, after, matching }: Around): string | undefined {
  if (verdict !== 'removed' && verdict !== 'added') return undefined;
  const side = was ?? is;
  if (side?.role?.role !== 'rectifier') return undefined;
  const { cathode } = rectifierEnds(side.part, (verdict === 'removed' ? before : after).parts);
  return cathode === undefined || verdict === 'removed' ? cathode : matching.nodeWas(cathode);
}

function jointEffect(
  gone: readonly PartBeside[],
  come: readonly PartBeside[],
  { before, matching, amplifier }: Around,
): ChangeEffect | undefined {
  const taken = gone.flatMap(({ was }): readonly PartChange[] =>
    was === undefined ? [] : [changeOf(was.part, undefined)],
  );
  const put = come.flatMap(({ is }): readonly PartChange[] => {
    const part = is && inPlaceOf(undefined, is.part, matching);
    return part === undefined ? [] : [changeOf(undefined, { ...part, since: before.phase })];
  });
  const [first, ...others] = taken;
  return first && put.length > 0 ? effectOf(first, amplifier, [...others, ...put]) : undefined;
}

function changeOf(was: FittedPart | undefined, is: FittedPart | undefined): PartChange {
  const { ref = '', source = { file: '', span: { start: 0, end: 0 } } } = is ?? was ?? {};
  return { ref, ...(was && { was }), ...(is && { is }), planned: false, source };
}
