/**
 * Owns what a change does, in the trade's words: one line at rest, one with signal, and what was held constant. The hover and
 * the bench's page both take it from here, so that they never differ.
 */

import type { Phase } from '../sheet/model.ts';
import { writePercent, writeQuantity } from '../units/write.ts';
import { type ChangeEffect, type EffectLine, effectOf } from './effects.ts';
import type { Amplifier, Figure, FigureName, PartChange } from './model.ts';
import type { LevelEffect } from './response.ts';
import { joinValues, PHASE_WORDS, sayBand } from './saying.ts';
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
export function findEffect(change: PartChange, amplifier: Amplifier): EffectWords | undefined {
  const known = effects.get(change) ?? { effect: effectOf(change, amplifier) };
  effects.set(change, known);
  return known.effect === undefined ? undefined : sayEffect(known.effect);
}

export function sayEffect({ ref, direct, signal, levels, held }: ChangeEffect): EffectWords | undefined {
  const { said: atRest, isExpected } = sayDirect(ref, direct);
  const heard = [...saySignal(ref, signal), ...(levels === undefined ? [] : [sayLevels(levels)])].join('; ');
  if (atRest === '' && heard === '') return undefined;
  const isCommon = ({ kind }: Held) => kind === 'parts' || kind === 'no-strays';
  return {
    ...(atRest === '' ? {} : { direct: atRest }),
    directHead: isExpected ? 'DC, expected' : 'DC',
    ...(heard === '' ? {} : { signal: heard }),
    held: held.filter((each) => !isCommon(each)).map(sayHeld),
    heldAlways: held.filter(isCommon).map(sayHeld),
  };
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

const NAMES: Partial<Record<FigureName, string>> = {
  'anode-loading': 'share of its anode limit',
  'screen-loading': 'share of its screen limit',
  loading: 'share of its rated watts',
  margin: 'voltage margin',
  expected: '',
  ripple: 'ripple (p-p)',
  'bleed-time': 'time to bleed down',
  'step-db': 'step',
  'gain-db': 'level',
  'feedback-db': 'feedback',
  insulation: 'leak',
};

function sayDirect(
  ref: string,
  lines: readonly EffectLine[],
): { readonly said: string; readonly isExpected: boolean } {
  const shown = [
    ...TOLD.flatMap(({ figure: name, own = true, elsewhere = 0 }) => {
      const all = lines.filter(({ figure }) => figure === name);
      const others = all
        .filter((line) => line.subject !== ref && isWorthWatts(line, lines))
        .sort((one, other) => moveOf(other) - moveOf(one));
      const most = others[0] === undefined ? 0 : moveOf(others[0]);
      const least = Math.max(LEAST_ELSEWHERE, most * BESIDE_MOST);
      return [
        ...(own ? all.filter(({ subject }) => subject === ref) : []),
        ...others.slice(0, elsewhere).filter((line) => moveOf(line) >= least),
      ];
    }),
  ];
  const said = new Set<EffectLine>();
  const words: string[] = [];
  const isAllSolved = shown.every(isSolved);
  for (const line of shown) {
    if (said.has(line) || [...said].some((each) => isSameMove(each, line))) continue;
    said.add(line);
    const share = lines.find(
      ({ subject, figure }) => subject === line.subject && figure === SHARES[line.figure],
    );
    if (share !== undefined) said.add(share);
    const solved = !isAllSolved && isSolved(line) ? 'expected ' : '';
    words.push(`${solved}${sayLine(ref, line)}${share === undefined ? '' : ` (${sayShare(share)})`}`);
  }
  return { said: words.join('; '), isExpected: isAllSolved };
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

function saySignal(ref: string, lines: readonly EffectLine[]): readonly string[] {
  const isOwn = ({ subject }: EffectLine) => subject === ref;
  const hasFactor = (of: string) => lines.some(({ subject, figure }) => subject === of && figure === 'gain');
  // Levels are told together at the end, a gain as the factor that it is.
  const told = lines.filter(
    ({ subject, figure }) => !figure.startsWith('level-') && (figure !== 'gain-db' || !hasFactor(subject)),
  );
  const others = told.filter((line) => !isOwn(line) && line.figure !== 'shelf-low');
  const ordered = [...told.filter(isOwn), ...others.slice(0, MOST_ELSEWHERE)];
  const has = (subject: string, name: FigureName) =>
    ordered.some((line) => line.subject === subject && line.figure === name);
  return ordered.flatMap((line) => {
    if (line.figure === 'shelf-low' && has(line.subject, 'shelf-high')) return [];
    if (line.figure !== 'shelf-high') return [sayLine(ref, line)];
    const low = told.find(({ subject, figure }) => subject === line.subject && figure === 'shelf-low');
    const range = (from: Figure | undefined, to: Figure | undefined): string | undefined =>
      from === undefined || to === undefined
        ? to && sayOne(to)
        : joinValues(sayOne(from), ' to ', sayOne(to));
    const move = arrow(range(low?.before, line.before), range(low?.after, line.after));
    return [`${isOwn(line) ? '' : `${line.subject} `}shelf ${move}`];
  });
}

function sayLine(ref: string, line: EffectLine): string {
  const name = NAMES[line.figure] ?? line.figure.replaceAll('-', ' ');
  const isCurrent = (line.before ?? line.after)?.quantity.unit === 'A';
  const said = line.figure === 'expected' && isCurrent ? 'cathode current' : name;
  const moved = line.figure.endsWith('loading') ? sayShare(line) : sayMove(line);
  return [line.subject === ref ? '' : line.subject, said, moved].filter((each) => each !== '').join(' ');
}

function sayMove({ before, after }: EffectLine): string {
  return arrow(before && sayOne(before), after && sayOne(after));
}

/** No line begins with an arrow. */
const ARROW = '\u00a0→ ';

function arrow(before: string | undefined, after: string | undefined): string {
  const isLone = before === undefined || after === undefined;
  return isLone ? `${before ?? 'none'}${ARROW}${after ?? 'none'}` : joinValues(before, ARROW, after);
}

function sayOne(figure: Figure): string {
  return sayBand(figure).replace(/-(?=\d)/g, '−');
}

/** `110 → 89.6 % of 23 W`; where the limit moves too, `35 % of 2 W → 70 % of 1 W`. */
function sayShare(line: EffectLine): string {
  const [was, is] = [line.before, line.after].map(
    (figure) => figure?.limit && writeQuantity(figure.limit.quantity),
  );
  if (was === is || line.before === undefined || line.after === undefined) {
    const limit = was ?? is;
    return limit === undefined ? sayMove(line) : `${sayMove(line)} of ${limit}`;
  }
  const one = (figure: Figure, limit: string | undefined) =>
    limit === undefined ? sayOne(figure) : `${sayOne(figure)} of ${limit}`;
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
function sayLevels({ from, at, levels }: LevelEffect): string {
  const path = `${from} to ${at}`;
  const moves = levels.map(({ change }) => (change === undefined ? undefined : tenths(change.value)));
  if (moves.every((move) => move === 0))
    return `level from ${path} the same at ${levels.map(({ frequency }) => writeQuantity(frequency)).join(', ')}`;
  const said = levels.map(({ frequency, before, after }, i) => {
    const move = moves[i];
    const level =
      move === undefined
        ? arrow(before && writeQuantity(before), after && writeQuantity(after))
        : sayDecibels(move);
    return `${writeQuantity(frequency)}\u00a0${level}`;
  });
  return `level from ${path} moved: ${said.join(', ')}`;
}

/** No ear and no bench meter tells less than a tenth of a decibel. */
function tenths(value: number): number {
  return Math.round(value * 10) / 10;
}

function sayDecibels(value: number): string {
  const size = writeQuantity({ value: Math.abs(value), unit: 'dB' });
  return value === 0 ? size : `${value < 0 ? '−' : '+'}${size}`;
}

const PARTS_IN: Partial<Record<Phase, string>> = {
  factory: 'as on the chassis sheet',
  work: 'as it is after the work',
};

/** What was taken for granted, in words. */
export function sayHeld(held: Held): string {
  switch (held.kind) {
    case 'parts':
      return `every other part ${PARTS_IN[held.phase] ?? PHASE_WORDS[held.phase]}`;
    case 'average-valves':
      return 'average new valves, solved and not read';
    case 'readings':
      return `volts as they were read, ${PHASE_WORDS[held.phase]}`;
    case 'load-current':
      return 'the current that is drawn';
    case 'valve-constants':
      return `${held.refs.join(', ')} at the catalogue’s typical point`;
    case 'setting': {
      const where = held.position === undefined ? `${writePercent(held.share)} of its track` : held.position;
      return `${held.ref} at ${where}${held.isAssumed ? ' (assumed)' : ''}`;
    }
    case 'switch-closed':
      return `${held.ref} closed (assumed)`;
    case 'loop-open':
      return `feedback loop open at ${held.ref}`;
    case 'load':
      return `${held.ref} as a load of ${writeQuantity({ value: held.ohms, unit: 'Ohm' })}`;
    case 'no-strays':
      return 'capacitances of valves and wiring left out';
    case 'at-rest':
      return `no signal from ${held.nodes.join(', ')}`;
  }
}
