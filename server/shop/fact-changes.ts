/**
 * Owns what changed between two texts of one sheet, a line for each change: a part with what its change does first of all,
 * then what is read, found and written otherwise. `R19 330 → 390 Ω, V3 anode dissipation 20.5 → 18.4 W (expected)`.
 */
import type { ChangeEffect, EffectLine } from '../bench/effects.ts';
import type { Figure, FigureName } from '../bench/model.ts';
import { compareNames } from '../bench/points.ts';
import { joinValues, sayBand } from '../bench/saying.ts';
import { writeQuantity } from '../units/write.ts';
import { compareAmplifiers, type PartComparison, refOf } from './compare.ts';
import { sayDifference, sayMarked, sayRefs } from './compare-words.ts';
import { type Fact, factsOf } from './facts.ts';
import type { Analysis } from './shop.ts';
import { englishShop } from './shop-words.ts';
import { fileName } from './uris.ts';

export interface FactChange {
  /** `head`, `part`, `fact`, `finding` or `text`: groups in which the changes are told. */
  readonly group: 'head' | 'part' | 'fact' | 'finding' | 'text';
  readonly line: string;
}

/** Undefined stands for a sheet that was not there yet, or is there no more. */
export function changesBetween(was: Analysis | undefined, is: Analysis | undefined): readonly FactChange[] {
  const one = was === undefined ? [] : factsOf(was);
  const other = is === undefined ? [] : factsOf(is);
  const compared = was === undefined || is === undefined ? [] : comparedParts(was, is);
  const parts = compared.filter(({ verdict }) => verdict !== 'same').map(sayPart);
  // Of two sheets the one need not write what the other does: there the comparison alone speaks of parts.
  const isOneSheet =
    was === undefined || is === undefined || fileName(was.sheet.uri) === fileName(is.sheet.uri);
  const told = new Set(
    compared
      .filter(({ verdict }) => verdict !== 'same' || !isOneSheet)
      .flatMap(({ was: one, is: two }) => [one?.part.ref, two?.part.ref]),
  );
  const isTold = ({ kind, subject }: Fact) =>
    (kind === 'part' || kind === 'work') && (told.has(subject) || told.has(subject.replace(/[A-Z]$/, '')));
  const facts = factChanges(
    one.filter((each) => !isTold(each)),
    other.filter((each) => !isTold(each)),
  );
  const of = (group: FactChange['group']) => facts.filter((each) => each.group === group);
  return [
    ...of('head'),
    ...parts.map((line): FactChange => ({ group: 'part', line })),
    ...of('fact'),
    ...of('finding'),
    ...of('text'),
  ];
}

/** Parts as they are in the end on both sides, matched as a comparison matches them. */
function comparedParts(was: Analysis, is: Analysis): readonly PartComparison[] {
  const { catalogue, house } = is.input;
  const { parts } = compareAmplifiers(was.amplifier, is.amplifier, { catalogue, house }, englishShop);
  return [...parts].sort((a, b) => compareNames(refOf(a), refOf(b)));
}

function sayPart(part: PartComparison): string {
  return [`${sayRefs(part)} ${sayPartChange(part)}`, ...sayEffects(part)].join(', ');
}

function sayPartChange({ verdict, was, is, differences }: PartComparison): string {
  switch (verdict) {
    case 'added':
      return `added: ${is === undefined ? '' : sayMarked(is.part, englishShop)}`;
    case 'removed':
      return `removed: ${was === undefined ? '' : sayMarked(was.part, englishShop)}`;
    case 'moved':
      return 'under another ref';
    default:
      return differences.map((each) => sayDifference(each, englishShop)).join(', ');
  }
}

/** What a reader of one line wants most, of the part itself and of what it serves. */
const TELLING: readonly {
  readonly figure: FigureName;
  readonly elsewhere: boolean;
  readonly least?: number;
}[] = [
  { figure: 'anode-dissipation', elsewhere: true },
  { figure: 'screen-dissipation', elsewhere: true },
  { figure: 'margin', elsewhere: true },
  { figure: 'ripple', elsewhere: true },
  { figure: 'corner', elsewhere: false },
  { figure: 'shelf-high', elsewhere: false },
  { figure: 'feedback-db', elsewhere: false },
  { figure: 'gain-db', elsewhere: false },
  // A resistor that idles far below its watts is no news.
  { figure: 'loading', elsewhere: false, least: 0.1 },
];

function sayEffects({ effects }: PartComparison): readonly string[] {
  return effects.flatMap((effect) => sayMostTelling(effect) ?? []);
}

function sayMostTelling({ ref, direct, signal, levels }: ChangeEffect): string | undefined {
  const lines = [...direct, ...signal];
  for (const { figure: name, elsewhere, least = 0 } of TELLING) {
    const [line] = lines
      .filter(({ figure, subject }) => figure === name && (elsewhere || subject === ref))
      .filter((each) => largest(each) >= least && shareMoved(each) >= WORTH_TELLING)
      .sort((a, b) => shareMoved(b) - shareMoved(a));
    const said = line && sayMoved(line.subject === ref ? '' : line.subject, name, line.before, line.after);
    if (said !== undefined) return said;
  }
  const most = levels?.levels.reduce<(typeof levels.levels)[number] | undefined>(
    (top, each) => (Math.abs(each.change?.value ?? 0) > Math.abs(top?.change?.value ?? 0) ? each : top),
    undefined,
  );
  if (levels === undefined || most?.change === undefined || Math.abs(most.change.value) < LEAST_DECIBELS)
    return undefined;
  const decibels = `${most.change.value < 0 ? '−' : '+'}${Math.abs(most.change.value).toFixed(1)}\u00a0dB`;
  return `level from ${levels.from} to ${levels.at} ${decibels} at ${writeQuantity(most.frequency)}`;
}

const WORTH_TELLING = 0.02;
const LEAST_DECIBELS = 0.1;

function largest({ before, after }: EffectLine): number {
  return Math.max(...[before, after].map((each) => Math.abs(each?.quantity.value ?? 0)));
}

/** Nothing where there is only one side to it. */
function shareMoved({ before, after }: EffectLine): number {
  if (before === undefined || after === undefined) return 0;
  const [one, two] = [before.quantity.value, after.quantity.value];
  return Math.abs(two - one) / Math.max(Math.abs(one), Math.abs(two), Number.MIN_VALUE);
}

const NAMES: Partial<Record<FigureName, string>> = {
  margin: 'voltage margin',
  'shelf-high': 'shelf up to',
  'gain-db': 'level',
  'feedback-db': 'feedback',
  ripple: 'ripple (p-p)',
};

function sayMoved(
  subject: string,
  name: FigureName,
  before: Figure | undefined,
  after: Figure | undefined,
): string | undefined {
  if (before === undefined || after === undefined) return undefined;
  const isExpected = before.basis === 'expected' || after.basis === 'expected';
  const words = [
    subject,
    NAMES[name] ?? name.replaceAll('-', ' '),
    joinValues(sayBand(before), '\u00a0→\u00a0', sayBand(after)),
  ];
  return `${words.filter((word) => word !== '').join(' ')}${isExpected ? ' (expected)' : ''}`;
}

/** Figures that a reading is taken for; the others are on the way to these. */
const TOLD: ReadonlySet<FigureName | undefined> = new Set<FigureName>([
  'anode-dissipation',
  'mismatch',
  'insulation',
  'power',
  'answer',
]);

function factChanges(was: readonly Fact[], is: readonly Fact[]): readonly FactChange[] {
  const before = new Map(was.map((each) => [each.key, each]));
  const after = new Map(is.map((each) => [each.key, each]));
  const differ = (each: Fact) => before.get(each.key)?.value !== after.get(each.key)?.value;
  const read = [...was, ...is].filter((each) => each.kind === 'reading' && differ(each));
  // What a changed part does to a figure that was computed with it is told with the part.
  const isRead = ({ subject }: Fact) =>
    subject.startsWith('?') ||
    subject
      .split(',')
      .some((ref) => read.some((each) => each.subject === ref || each.subject.startsWith(`${ref}.`)));
  const isWorth = (each: Fact) => each.kind !== 'figure' || (TOLD.has(each.figure) && isRead(each));
  const gone = was.filter(
    (each) => isWorth(each) && differ(each) && !(each.kind === 'figure' && !after.has(each.key)),
  );
  const fresh = is.filter((each) => isWorth(each) && !before.has(each.key));
  return [
    ...gone.map((one): FactChange => {
      const two = after.get(one.key);
      return {
        group: groupOf(one),
        line:
          two === undefined
            ? sayGone(one)
            : `${two.lead} ${joinValues(one.value, '\u00a0→\u00a0', two.value)}`,
      };
    }),
    ...fresh.map((two): FactChange => ({ group: groupOf(two), line: sayFresh(two) })),
  ];
}

function groupOf({ kind }: Fact): FactChange['group'] {
  return kind === 'head' || kind === 'finding' || kind === 'text' ? kind : 'fact';
}

function sayGone({ kind, lead, value }: Fact): string {
  return kind === 'text' ? `- ${value}` : `no more: ${lead} ${value}`;
}

function sayFresh({ kind, lead, value }: Fact): string {
  return kind === 'text' ? `+ ${value}` : `new: ${lead} ${value}`;
}
