/** Owns how a comparison is said in words: the same in the terminal, on the page and in a review's comment. */
import { type EffectWords, sayEffect } from '../bench/effect-words.ts';
import type { FittedPart } from '../bench/model.ts';
import { joinValues, PHASE_WORDS, sayBand, sayQuantity } from '../bench/saying.ts';
import type {
  ComparedSheet,
  Comparison,
  PartComparison,
  RatingVerdict,
  SettledMove,
  Verdict,
} from './compare.ts';
import type { Difference } from './part-differences.ts';

export const VERDICT_WORDS: Readonly<Record<Verdict, string>> = {
  changed: 'changed',
  added: 'added',
  removed: 'removed',
  moved: 'other ref',
  same: 'same',
};

/** What a reader must know of all effects. */
export const EFFECT_NOTE =
  'Each effect is of that one difference in the first amplifier, all else as it stands there: DC apart from signal.';
export const SETTLED_NOTE =
  'Solved on both sides from the parts alone, with average new valves, all differences together. Nothing of it was read.';
export const RATINGS_NOTE =
  'Results are only as good as what is written: no warning never means that an amplifier may be touched.';

/** `Larch 20, revision b`, `job 2031 (Larch 20, the rehearsal-room one)`, else the sheet's title. */
export function nameOfSheet({ amplifier: { sheet } }: ComparedSheet): string {
  const field = (key: string) => sheet.field(key)?.text.trim() || undefined;
  const model = field('model');
  const revision = field('revision');
  if (sheet.kind === 'chassis' && model !== undefined)
    return revision === undefined ? model : `${model}, revision ${revision}`;
  const job = field('job');
  const title = sheet.title.trim();
  if (job !== undefined) return title === '' ? `job ${job}` : `job ${job} (${title})`;
  return title === '' ? (sheet.uri.split('/').at(-1) ?? sheet.uri) : title;
}

/** `as on its chassis sheet`, `as left`. */
export function stateOf({ phase }: ComparedSheet): string {
  if (phase === undefined) return 'nothing is fitted on it';
  return phase === 'factory' ? 'as drawn' : PHASE_WORDS[phase];
}

/** `R19`, or `R19 → R119` where the ref is another. */
export function sayRefs({ was, is }: Pick<PartComparison, 'was' | 'is'>): string {
  const [one, two] = [was?.part.ref, is?.part.ref];
  return one === undefined || two === undefined || one === two ? (two ?? one ?? '') : `${one}\u00a0→ ${two}`;
}

/** `330 Ω 5 W wirewound`. */
export function sayMarked({ value, type, ratings, kinds }: FittedPart): string {
  const rated = [ratings.voltage, ratings.power, ratings.current].flatMap((each) => each?.quantity ?? []);
  const words = [
    type?.text,
    ...[...(value === undefined ? [] : [value.quantity]), ...rated].map((quantity) => sayQuantity(quantity)),
    ...kinds,
  ];
  return [...new Set(words.filter((word) => word !== undefined))].join(' ');
}

const DIFFERENCE_WORDS: Readonly<Record<Difference['of'], string>> = {
  value: '',
  type: '',
  'voltage-rating': 'working voltage',
  'power-rating': 'rated watts',
  'current-rating': 'rated current',
  tolerance: 'tolerance',
  kind: 'kind',
  windings: 'windings',
  speed: 'fuse speed',
  place: 'connected',
};

/** `330 Ω → 390 Ω`, `kind paper → film`. */
export function sayDifference({ of, was, is }: Difference): string {
  const name = DIFFERENCE_WORDS[of];
  return `${name === '' ? '' : `${name} `}${was ?? 'not written'}\u00a0→ ${is ?? 'not written'}`;
}

/** What differs of a part, or what it is where it stands on one side only. */
export function sayWhat(part: PartComparison): string {
  if (part.differences.length > 0) return part.differences.map(sayDifference).join('; ');
  const of = (part.is ?? part.was)?.part;
  return of === undefined ? '' : sayMarked(of);
}

/** `anode load of V1A`. */
export function sayRole({ was, is }: PartComparison): string | undefined {
  const found = (was?.role?.role === 'unknown' ? is?.role : was?.role) ?? is?.role;
  if (found === undefined || found.role === 'unknown') return undefined;
  return `${found.role.replaceAll('-', ' ')}${found.serves.length === 0 ? '' : ` of ${found.serves.join(', ')}`}`;
}

const MATCHED_WORDS = {
  carried: 'said to be the same part',
  place: 'the same place and role',
  role: 'the same role',
  ref: 'the same ref only',
} as const;

/** How it is known to be the same part, where its ref does not say it. */
export function sayMatched({ by, was, is }: PartComparison): string | undefined {
  if (by === undefined || (was?.part.ref === is?.part.ref && by !== 'ref')) return undefined;
  return `matched by: ${MATCHED_WORDS[by]}`;
}

/** Looked at or not, where a sheet says so. */
export function saySeen({ is }: PartComparison): string | undefined {
  if (is?.seen === undefined) return undefined;
  return is.seen.says === 'not-seen' ? 'not looked at in the second' : 'looked at in the second: as drawn';
}

export function effectWords({ effects }: PartComparison): readonly EffectWords[] {
  return effects.flatMap((effect) => sayEffect(effect) ?? []);
}

export function sayRatingHow({ how }: RatingVerdict): string {
  return how === 'new' ? 'new in the second' : 'in the first only';
}

/** `V3.k 23.1 → 24.4 V`. */
export function sayMove({ subject, now, was, is }: SettledMove): string {
  const name = now === undefined ? subject : `${subject} (now ${now})`;
  const what = was.quantity.unit === 'A' ? ' cathode current' : was.figure === 'ripple' ? ' ripple' : '';
  const minus = (text: string) => text.replace(/-(?=\d)/g, '−');
  return `${name}${what} ${joinValues(minus(sayBand(was)), '\u00a0→ ', minus(sayBand(is)))}`;
}

/** `2 changed, 1 removed, 39 under another ref, 7 the same.` */
export function sayCounts({ parts }: Comparison): string {
  const count = (verdict: Verdict) => parts.filter((part) => part.verdict === verdict).length;
  const said = [
    [count('changed'), 'changed'],
    [count('added'), 'added'],
    [count('removed'), 'removed'],
    [count('moved'), 'under another ref'],
    [count('same'), 'the same'],
  ] as const;
  const words = said.filter(([n]) => n > 0).map(([n, word]) => `${n} ${word}`);
  return words.length === 0 ? 'Neither sheet fits a part.' : `${words.join(', ')}.`;
}
