/** Owns what the rules say of one of two amplifiers and not of the other, and whether the other has been read there at all. */
import type { Matching } from '../bench/matching.ts';
import type { Amplifier, PhaseView } from '../bench/model.ts';
import { isRail } from '../bench/points.ts';
import type { Catalogue } from '../catalogue/find-valve.ts';
import type { House } from '../rules/house.ts';
import { findRule } from '../rules/registry.ts';
import type { Finding } from '../rules/rule.ts';
import { check } from '../rules/run.ts';
import { namesIn } from '../rules/subject.ts';

/** What a rule says on one side only. */
export interface RatingVerdict {
  /** Of the first only: the second clears it. Of the second only: it is new there. */
  readonly how: 'cleared' | 'new';
  readonly finding: Finding;
  /** It rests on readings that the other side has none of there: that it says nothing clears nothing. */
  readonly isOtherUnread?: boolean;
}

/** An amplifier with the state of it that is compared. */
type Side = readonly [Amplifier, PhaseView];

/** How a sheet is written is none of it. */
export function ratingVerdicts(
  was: Side,
  is: Side,
  { refWas, nodeWas }: Matching,
  options: { readonly catalogue: Catalogue; readonly house: House },
): readonly RatingVerdict[] {
  const said = ([amplifier, { phase }]: Side) =>
    check({ amplifier, ...options, isEverywhere: true }).filter(
      (finding) =>
        COMPARED.has(findRule(finding.rule)?.category ?? '') &&
        (finding.phase === undefined || finding.phase === phase),
    );
  const key = (finding: Finding, name: (ref: string) => string): string =>
    `${finding.rule} ${namesIn(finding.subject)
      .map((each) => nameIn(each, name))
      .sort()
      .join()}`;
  const [first, second] = [said(was), said(is)];
  const before = new Set(first.map((finding) => key(finding, (ref) => ref)));
  const now = new Set(second.map((finding) => key(finding, (ref) => refWas(ref) ?? `${ref} now`)));
  const placesWas = readPlaces(was[1], (node) => node);
  const placesIs = readPlaces(is[1], nodeWas);
  const verdict = (how: RatingVerdict['how'], finding: Finding): RatingVerdict => {
    const [own, other, view] =
      how === 'cleared' ? [placesWas, placesIs, was[1]] : [placesIs, placesWas, is[1]];
    const isOtherUnread =
      finding.set !== undefined && placesOf(finding, view).some((node) => isOnlyIn(node, own, other));
    return { how, finding, ...(isOtherUnread && { isOtherUnread }) };
  };
  return [
    ...first.flatMap((finding) => (now.has(key(finding, (ref) => ref)) ? [] : verdict('cleared', finding))),
    ...second.flatMap((finding) =>
      before.has(key(finding, (ref) => refWas(ref) ?? `${ref} now`)) ? [] : verdict('new', finding),
    ),
  ];
}

const COMPARED: ReadonlySet<string> = new Set(['ratings', 'readings']);

/** `V5.a` by the name of V5; a rail or a place of its own name as it is. */
function nameIn(subject: string, name: (ref: string) => string): string {
  if (isRail(subject) || !/^[A-Z]+\d/.test(subject)) return subject;
  const [ref = subject, ...rest] = subject.split('.');
  return [name(ref), ...rest].join('.');
}

/** Places read in the set that verdicts go by: each with its name in the first. */
function readPlaces(
  { readings, verdictSet }: PhaseView,
  nodeWas: (node: string) => string | undefined,
): ReadonlyMap<string, string> {
  return new Map(
    readings.flatMap(({ set, node, quantity }) =>
      set.id === verdictSet?.id && node !== undefined && quantity === 'voltage'
        ? [[node, nodeWas(node) ?? `${node} now`] as const]
        : [],
    ),
  );
}

/** The places that a finding may rest on: its own, or those of its part. */
function placesOf({ subject }: Finding, { parts, circuit }: PhaseView): readonly string[] {
  return namesIn(subject).flatMap((name) => {
    const own = [...parts.values()].filter(({ ref, whole }) => ref === name || whole === name);
    if (own.length === 0) return circuit.nodeOf(name) ?? [];
    return own.flatMap(({ terminals }) => [...terminals.values()]).filter((node) => node !== 'gnd');
  });
}

function isOnlyIn(
  node: string,
  own: ReadonlyMap<string, string>,
  other: ReadonlyMap<string, string>,
): boolean {
  const name = own.get(node);
  return name !== undefined && ![...other.values()].includes(name);
}
