/**
 * Owns what a change does, in the trade's words: one line at rest, one with signal, and what was held constant. The hover and
 * the bench's page both take it from here, so that they never differ.
 */

import type { Quantity } from '../units/si.ts';
import { writePercent, writeQuantity } from '../units/write.ts';
import type { BenchWords } from './bench-words.ts';
import { type ChangeEffect, type EffectLine, effectOf } from './effects.ts';
import type { Amplifier, Figure, FigureName, PartChange } from './model.ts';
import { isRail } from './points.ts';
import type { LevelEffect } from './response.ts';
import { isVague, joinValues, sayBand } from './saying.ts';
import type { Held } from './signal-circuit.ts';

export interface EffectWords {
  /** `voltage margin 8 → 63.5 %`. */
  readonly direct?: string;
  /** `DC`, or `DC, expected` where all of it is solved. */
  readonly directHead: string;
  /** `shelf 4.82 to 9.59 → 156 to 310 Hz; level from V1A.g to V1B.g moved: 82 Hz −5.2 dB, 400 Hz −1.4 dB, …`. */
  readonly signal?: string;
  /** What holds for this change alone: `VR1 at 5 (assumed)`. */
  readonly held: readonly string[];
  /** What every effect has in common: `every other part as left`. */
  readonly heldAlways: readonly string[];
}

const effects = new WeakMap<PartChange, { readonly effect: ChangeEffect | undefined }>();

/** A change's effect, worked out when it is first asked for; undefined where nothing is known of it. */
export function findEffect(
  change: PartChange,
  amplifier: Amplifier,
  words: BenchWords,
): EffectWords | undefined {
  const known = effects.get(change) ?? { effect: effectOf(change, amplifier) };
  effects.set(change, known);
  return known.effect === undefined ? undefined : sayEffect(known.effect, words);
}

export function sayEffect(
  { ref, direct, signal, levels, held }: ChangeEffect,
  words: BenchWords,
): EffectWords | undefined {
  const { said: atRest, isExpected } = sayDirect(ref, direct, words);
  const heard = [
    ...saySignal(ref, signal, words),
    ...(levels === undefined ? [] : [sayLevels(levels, words)]),
  ].join('; ');
  if (atRest === '' && heard === '') return undefined;
  return {
    ...(atRest === '' ? {} : { direct: atRest }),
    directHead: isExpected ? words.effects.directExpected : words.effects.direct,
    ...(heard === '' ? {} : { signal: heard }),
    held: held.filter((each) => !isCommon(each)).map((each) => sayHeld(each, words)),
    heldAlways: held.filter(isCommon).map((each) => sayHeld(each, words)),
  };
}

/** What every effect takes for granted. */
function isCommon({ kind }: Held): boolean {
  return kind === 'parts' || kind === 'no-strays';
}

/**
 * What is told at rest, most telling first: of the changed part itself always, of others only so many, those that move most.
 */
const TOLD: readonly { readonly figure: FigureName; readonly own?: false; readonly elsewhere?: number }[] = [
  { figure: 'bias', elsewhere: 2 },
  { figure: 'anode-dissipation', elsewhere: 2 },
  { figure: 'anode-loading' },
  { figure: 'screen-dissipation' },
  { figure: 'cathode-current' },
  { figure: 'dissipation' },
  { figure: 'loading' },
  { figure: 'voltage' },
  { figure: 'margin', elsewhere: 1 },
  { figure: 'current' },
  { figure: 'ripple', elsewhere: 2 },
  { figure: 'expected', own: false, elsewhere: 2 },
  { figure: 'insulation' },
  { figure: 'bleed-time' },
  { figure: 'cold-voltage' },
  { figure: 'peak-inverse' },
  { figure: 'reservoir-loading', elsewhere: 1 },
  { figure: 'heater-current', elsewhere: 1 },
  { figure: 'heater-loading', elsewhere: 1 },
];

/** What moves by less than this share of the one that moves most is not told beside it. */
const BESIDE_MOST = 1 / 3;
/** Of parts and points elsewhere only what moves by this share of itself is told. */
const LEAST_ELSEWHERE = 0.05;

/** A figure's share of its limit, told beside it in brackets. */
const SHARES: Partial<Record<FigureName, FigureName>> = {
  'anode-dissipation': 'anode-loading',
  'screen-dissipation': 'screen-loading',
  dissipation: 'loading',
};

function sayDirect(
  ref: string,
  lines: readonly EffectLine[],
  words: BenchWords,
): { readonly said: string; readonly isExpected: boolean } {
  const shown = [
    ...TOLD.flatMap(({ figure: name, own = true, elsewhere = 0 }) => {
      const all = lines.filter(({ figure }) => figure === name);
      const others = all
        .filter((line) => line.subject !== ref && isWorthWatts(line, lines))
        .sort((one, other) => railsFirst(one, other) || moveOf(other) - moveOf(one));
      const most = Math.max(0, ...others.map(moveOf));
      const least = Math.max(LEAST_ELSEWHERE, most * BESIDE_MOST);
      return [
        ...(own ? all.filter(({ subject }) => subject === ref) : []),
        ...others.filter((line) => moveOf(line) >= least).slice(0, elsewhere),
      ];
    }),
  ];
  const said = new Set<EffectLine>();
  const moves: string[] = [];
  const resting = shown.filter((line) => isSolved(line) || isOnReading(line));
  const isAllSolved = resting.length > 0 && resting.every(isSolved);
  for (const line of shown) {
    if (said.has(line) || [...said].some((each) => isSameMove(each, line))) continue;
    said.add(line);
    const share = lines.find(
      ({ subject, figure }) => subject === line.subject && figure === SHARES[line.figure],
    );
    if (share !== undefined) said.add(share);
    const solved = !isAllSolved && isSolved(line) ? `${words.effects.expected} ` : '';
    // What is the part's own needs no name until another has been named.
    const unnamed = [...said].every(({ subject }) => subject === ref) ? ref : undefined;
    moves.push(
      `${solved}${sayLine(unnamed, line, words)}${share === undefined ? '' : ` (${sayShare(share, words)})`}`,
    );
  }
  return { said: moves.join('; '), isExpected: isAllSolved };
}

/** What feeds the others is told before them. */
function railsFirst(one: EffectLine, other: EffectLine): number {
  return one.figure === 'expected' ? Number(isRail(other.subject)) - Number(isRail(one.subject)) : 0;
}

/** Not only on what is fitted, and on what the valves' data say. */
function isOnReading({ before, after }: EffectLine): boolean {
  return [before, after].some((figure) => figure !== undefined && figure.set !== 0);
}

function isSolved({ before, after }: EffectLine): boolean {
  return [before, after].some((figure) => figure?.basis === 'expected');
}

/** A dissipation elsewhere matters only where it comes near its limit. */
function isWorthWatts(line: EffectLine, lines: readonly EffectLine[]): boolean {
  const name = SHARES[line.figure];
  const share = lines.find(({ subject, figure }) => subject === line.subject && figure === name);
  if (name === undefined || share === undefined) return true;
  return [share.before, share.after].some((figure) => (figure?.quantity.value ?? 0) >= WORTH_WATTS);
}

/** Half of the limit: below it no valve is in trouble either way. */
const WORTH_WATTS = 0.5;

/** How far a figure moves, as a share of where it stood or stands. */
function moveOf({ before, after }: EffectLine): number {
  const [was, is] = [before?.quantity.value ?? 0, after?.quantity.value ?? 0];
  const size = Math.max(Math.abs(was), Math.abs(is));
  return size === 0 ? 0 : Math.abs(is - was) / size;
}

const MOST_ELSEWHERE = 3;

function saySignal(ref: string, lines: readonly EffectLine[], words: BenchWords): readonly string[] {
  const isOwn = ({ subject }: EffectLine) => subject === ref;
  const hasFactor = (of: string) => lines.some(({ subject, figure }) => subject === of && figure === 'gain');
  // Levels are told together at the end, a gain as the factor that it is.
  const told = lines.filter(
    (line) =>
      !line.figure.startsWith('level-') &&
      (line.figure !== 'gain-db' || !hasFactor(line.subject)) &&
      (line.figure.startsWith('shelf-') || !looksStill(line, words)),
  );
  const others = told.filter((line) => !isOwn(line) && line.figure !== 'shelf-low');
  const ordered = [...told.filter(isOwn), ...others.slice(0, MOST_ELSEWHERE)];
  const has = (subject: string, name: FigureName) =>
    ordered.some((line) => line.subject === subject && line.figure === name);
  return ordered.flatMap((line) => {
    if (line.figure === 'shelf-low' && has(line.subject, 'shelf-high')) return [];
    if (line.figure !== 'shelf-high') return [sayLine(ref, line, words)];
    const low = told.find(({ subject, figure }) => subject === line.subject && figure === 'shelf-low');
    // Two bands make no range: each end is told by itself, unless it may lie anywhere.
    if (low !== undefined && [low, line].some(isBanded))
      return [low, line].filter((each) => !isAnywhere(each)).map((each) => sayLine(ref, each, words));
    const range = (from: Figure | undefined, to: Figure | undefined): string | undefined =>
      from === undefined || to === undefined
        ? to && sayOne(to, words)
        : joinValues(sayOne(from, words), ` ${words.to} `, sayOne(to, words));
    const move = arrow(range(low?.before, line.before), range(low?.after, line.after), words);
    return [`${isOwn(line) ? '' : `${line.subject} `}${words.effects.shelf} ${move}`];
  });
}

/** Whether it moves by less than its digits tell: `28.3 → 28.3 dB` is no news. */
function looksStill({ before, after }: EffectLine, words: BenchWords): boolean {
  return before !== undefined && after !== undefined && sayOne(before, words) === sayOne(after, words);
}

function isBanded({ before, after }: EffectLine): boolean {
  return before?.low !== undefined || after?.low !== undefined;
}

function isAnywhere({ before, after }: EffectLine): boolean {
  return [before, after].some((figure) => figure !== undefined && isVague(figure));
}

/** `unnamed`: whose figures stand without its name. */
function sayLine(unnamed: string | undefined, line: EffectLine, words: BenchWords): string {
  const name = words.figures[line.figure];
  const isCurrent = (line.before ?? line.after)?.quantity.unit === 'A';
  const said = line.figure === 'expected' && isCurrent ? words.effects.cathodeCurrent : name;
  const moved = line.figure.endsWith('loading') ? sayShare(line, words) : sayMove(line, words);
  return [line.subject === unnamed ? '' : line.subject, said, moved].filter((each) => each !== '').join(' ');
}

function sayMove({ before, after }: EffectLine, words: BenchWords): string {
  return arrow(before && sayOne(before, words), after && sayOne(after, words), words);
}

/** No line begins with an arrow, and none ends at one. */
const ARROW = '\u00a0→\u00a0';

function arrow(before: string | undefined, after: string | undefined, { none }: BenchWords): string {
  const isLone = before === undefined || after === undefined;
  return isLone ? `${before ?? none}${ARROW}${after ?? none}` : joinValues(before, ARROW, after);
}

function sayOne(figure: Figure, words: BenchWords): string {
  return sayBand(figure, words).replace(/-(?=\d)/g, '−');
}

/** `110 → 89.6 % of 23 W`; where the limit moves too, `35 % of 2 W → 70 % of 1 W`. */
function sayShare(line: EffectLine, words: BenchWords): string {
  const { decimal, effects: w } = words;
  const [was, is] = [line.before, line.after].map(
    (figure) => figure?.limit && writeQuantity(figure.limit.quantity, { decimal }),
  );
  if (was === is || line.before === undefined || line.after === undefined) {
    const limit = was ?? is;
    const move = sayMove(line, words);
    return limit === undefined ? move : w.ofLimit(move, limit);
  }
  const one = (figure: Figure, limit: string | undefined) =>
    limit === undefined ? sayOne(figure, words) : w.ofLimit(sayOne(figure, words), limit);
  return `${one(line.before, was)}${ARROW}${one(line.after, is)}`;
}

/** The same volts or current under another name: a bias and its cathode, a resistor's current and its valve's. */
function isSameMove(one: EffectLine, other: EffectLine): boolean {
  const isSame = (first: Figure | undefined, second: Figure | undefined) =>
    first === undefined || second === undefined
      ? first === second
      : first.quantity.unit === second.quantity.unit &&
        Math.abs(Math.abs(first.quantity.value) - Math.abs(second.quantity.value)) <=
          Math.abs(first.quantity.value) * SAME_SHARE;
  const isLevel = ['V', 'A'].includes((one.before ?? one.after)?.quantity.unit ?? '');
  return isLevel && isSame(one.before, other.before) && isSame(one.after, other.after);
}

const SAME_SHARE = 0.001;

/** `level from V1A.g to V1B.g moved: 82 Hz −5.2 dB, 400 Hz −1.4 dB, 1 kHz −0.3 dB, 5 kHz 0 dB`. */
export function sayLevels(
  { from, at, levels }: Pick<LevelEffect, 'from' | 'at' | 'levels'>,
  words: BenchWords,
): string {
  const { decimal, effects: w } = words;
  const write = (quantity: Quantity) => writeQuantity(quantity, { decimal }).replace(/-(?=\d)/g, '−');
  const path = w.path(from, at);
  const moves = levels.map(({ change }) => (change === undefined ? undefined : tenths(change.value)));
  if (moves.every((move) => move === 0))
    return w.levelSame(path, levels.map(({ frequency }) => write(frequency)).join(', '));
  const said = levels.map(({ frequency, before, after }, i) => {
    const move = moves[i];
    const level =
      move === undefined || Math.abs(move) > FROM_NOTHING
        ? arrow(before && write(before), after && write(after), words)
        : sayDecibels(move, decimal);
    return `${write(frequency)}\u00a0${level}`;
  });
  return w.levelMoved(path, said.join(', '));
}

/** What moves by more decibels has been next to nothing, or becomes so: both levels tell more than their difference. */
const FROM_NOTHING = 40;

/** No ear and no bench meter tells less than a tenth of a decibel. */
function tenths(value: number): number {
  return Math.round(value * 10) / 10;
}

function sayDecibels(value: number, decimal: BenchWords['decimal']): string {
  const size = writeQuantity({ value: Math.abs(value), unit: 'dB' }, { decimal });
  return value === 0 ? size : `${value < 0 ? '−' : '+'}${size}`;
}

/** What was taken for granted, in words. */
export function sayHeld(
  held: Held,
  { held: w, phases, decimal }: Pick<BenchWords, 'held' | 'phases' | 'decimal'>,
): string {
  switch (held.kind) {
    case 'parts':
      return w.parts[held.phase];
    case 'average-valves':
      return w.averageValves;
    case 'readings':
      return w.readings(phases[held.phase]);
    case 'load-current':
      return w.loadCurrent;
    case 'valve-constants':
      return w.valveConstants(held.refs.join(', '));
    case 'setting': {
      const where =
        held.position === undefined ? w.ofTrack(writePercent(held.share, { decimal })) : `${held.position}`;
      const said = w.setting(held.ref, where);
      return held.isAssumed ? w.assumed(said) : said;
    }
    case 'switch-closed':
      return w.assumed(w.switchClosed(held.ref));
    case 'loop-open':
      return w.loopOpen(held.ref);
    case 'load':
      return w.load(held.ref, writeQuantity({ value: held.ohms, unit: 'Ohm' }, { decimal }));
    case 'no-load':
      return w.noLoad(held.nodes.join(', '));
    case 'no-strays':
      return w.noStrays;
    case 'at-rest':
      return w.atRest(held.nodes.join(', '));
  }
}

/** All that was taken for granted, each thing once, what every effect takes for granted first: one clause. */
export function sayAllHeld(held: readonly Held[], words: BenchWords): string {
  const [common, own] = [held.filter(isCommon), held.filter((each) => !isCommon(each))];
  return [...new Set([...common, ...own].map((each) => sayHeld(each, words)))].join('; ');
}
