/**
 * Owns which earlier jobs look like one: what they have in common, each trait worth the more the fewer jobs have it. Nothing
 * is learnt and nothing is hidden: the reasons are the traits, and their weights add up.
 */
import type { JobFacts } from './failures.ts';
import { stemOf } from './symptoms.ts';
import { compareVisits } from './visits.ts';

export interface SharedTrait {
  readonly of: 'amplifier' | 'chassis' | 'model' | 'role' | 'word';
  /** `Larch 20, revision b`, `reservoir`, `buzz`. */
  readonly what: string;
  /** How many of the jobs have it, the asked one among them. */
  readonly jobs: number;
  /** ln((n + 1) / jobs), n jobs in all: what all have is worth next to nothing. */
  readonly weight: number;
}

export interface LikeJob {
  readonly facts: JobFacts;
  readonly score: number;
  /** The weightiest first. */
  readonly shared: readonly SharedTrait[];
}

export interface Likeness {
  readonly asked: JobFacts;
  /** All jobs that were looked through, the asked one among them. */
  readonly jobs: number;
  /** The likest first; those with nothing telling in common are left out. */
  readonly like: readonly LikeJob[];
}

/** A word that every third job has is no reason by itself. */
const COMMON_WORD = 1 / 3;

/** Jobs like `asked` that came in before it, or of which no date says otherwise. */
export function findLike(asked: JobFacts, all: readonly JobFacts[]): Likeness {
  const others = all.filter(({ visit }) => visit.file !== asked.visit.file);
  const jobs = [asked, ...others];
  const traits = new Map(jobs.map((each) => [each, traitsOf(each)] as const));
  const counts = new Map<string, number>();
  for (const own of traits.values())
    for (const key of own.keys()) counts.set(key, (counts.get(key) ?? 0) + 1);
  const wanted = traits.get(asked) ?? new Map<string, Trait>();
  const like = others
    .filter(({ visit }) => !isLater(visit.received, asked.visit.received))
    .map((facts): LikeJob => {
      const own = traits.get(facts) ?? new Map<string, Trait>();
      const shared = [...wanted]
        .filter(([key]) => own.has(key))
        .map(([key, trait]): SharedTrait => {
          const count = counts.get(key) ?? 1;
          return { ...trait, jobs: count, weight: Math.log((jobs.length + 1) / count) };
        })
        .filter(({ of }, _, traits) => of !== 'model' || !traits.some((other) => other.of === 'chassis'))
        .sort((a, b) => b.weight - a.weight || ORDER.indexOf(a.of) - ORDER.indexOf(b.of));
      return { facts, shared, score: shared.reduce((sum, { weight }) => sum + weight, 0) };
    })
    .filter(({ shared }) =>
      shared.some(({ of, jobs: count }) => of !== 'word' || count <= Math.max(2, jobs.length * COMMON_WORD)),
    )
    .sort((a, b) => b.score - a.score || compareVisits(b.facts.visit, a.facts.visit));
  return { asked, jobs: jobs.length, like };
}

const ORDER: readonly SharedTrait['of'][] = ['amplifier', 'chassis', 'model', 'role', 'word'];

type Trait = Pick<SharedTrait, 'of' | 'what'>;

function traitsOf({ visit, affected, symptoms }: JobFacts): ReadonlyMap<string, Trait> {
  const traits = new Map<string, Trait>();
  const add = (of: SharedTrait['of'], what: string | undefined, key = what) => {
    if (what !== undefined && key !== undefined && !traits.has(`${of} ${key}`))
      traits.set(`${of} ${key}`, { of, what });
  };
  if (visit.serial !== undefined)
    add('amplifier', visit.serial, `${visit.model ?? ''} ${visit.serial.toUpperCase()}`);
  add('chassis', visit.chassis);
  add('model', visit.model);
  for (const role of affected) add('role', role);
  for (const word of symptoms) add('word', word, stemOf(word));
  return traits;
}

function isLater(one: string | undefined, other: string | undefined): boolean {
  return one !== undefined && other !== undefined && one > other;
}
