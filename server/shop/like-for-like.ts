/** Owns whether one part stands for another: of one kind in use and near enough in value, whatever its make or rating. */
import type { FittedPart } from '../bench/model.ts';
import { findCapacitorKind } from '../catalogue/capacitor-facts.ts';
import { hasSamePins } from '../catalogue/find-valve.ts';

/** How far a value may be another and still stand for the old one: what is sold today in its place. */
const LIKE = { electrolytic: [0.8, 1.6], capacitor: [0.85, 1.2], other: [0.89, 1.12] } as const;

/** Of one kind in use, whatever its make, its rating or what it is made of. */
export function isLikeForLike(was: FittedPart, is: FittedPart): boolean {
  if (was.class !== is.class) return false;
  if (was.class === 'valve') {
    const [one, other] = [was.type?.valve, is.type?.valve];
    if (one === undefined || other === undefined)
      return (was.type?.text ?? '').toUpperCase() === (is.type?.text ?? '').toUpperCase();
    return one === other || (one.kind === other.kind && one.base === other.base && hasSamePins(one, other));
  }
  const [before, after] = [was.value?.quantity, is.value?.quantity];
  if (before === undefined || after === undefined) return was.type?.text === is.type?.text;
  if (before.unit !== after.unit || !(before.value > 0)) return false;
  const share = after.value / before.value;
  const kind =
    was.class !== 'capacitor'
      ? 'other'
      : findCapacitorKind(was.kinds) === 'electrolytic' || before.value >= 1e-6
        ? 'electrolytic'
        : 'capacitor';
  const [least, most] = LIKE[kind];
  return share >= least && share <= most;
}
