/** Owns the picture of a frequency response before and after a change, from 20 Hz to 20 kHz. */
import { type FittedPart, findValueInUse } from '../../bench/model.ts';
import type { LevelAt, ResponseChange } from '../../bench/response.ts';
import { quantity } from '../../units/si.ts';
import { isDrawable, linearScale, logScale, type Scale } from './axis.ts';
import {
  drawAxes,
  drawDot,
  drawLabelOver,
  drawLine,
  frame,
  LABEL_SIZE,
  type Plot,
  type PlotTable,
  WIDTH,
} from './drawing.ts';
import { type Box, boxAround, createPlacing, type Spot } from './label.ts';
import type { PlotWords } from './plot-words.ts';

const HEIGHT = 320;
const PLOT: Box = { left: 52, right: WIDTH - 16, top: 34, bottom: HEIGHT - 44 };
const LOWEST = 20;
const HIGHEST = 20_000;
/** What the picture is told at in words: the lowest string, the body of the sound, the middle, the edge of treble. */
const TOLD: readonly number[] = [82, 400, 1000, 5000];
/** The rows of the table. */
const ROWS: readonly number[] = [20, 50, 82, 200, 400, 1000, 2000, 5000, 10_000, 20_000];
/** A line that lies further below the highest is at the bottom: nobody hears it [dB]. */
const DEEPEST = 60;
/** Half a decibel must not look like a canyon [dB]. */
const LEAST_SPAN = 12;
/** Half of the power. */
const HALF_POWER = 10 * Math.log10(2);

type Which = 'before' | 'after';

/** What one change of a part does, or all changes of a mod together. */
export type ResponsePlotData = Pick<ResponseChange, 'path' | 'from' | 'at' | 'levels' | 'held'> &
  (
    | (Pick<ResponseChange, 'ref' | 'role'> & {
        readonly change: Pick<ResponseChange['change'], 'was' | 'is'>;
        readonly mod?: undefined;
      })
    | { readonly mod: string; readonly refs: readonly string[] }
  );

/** `number` tells the picture from the others on its page. */
export function responsePlot(data: ResponsePlotData, words: PlotWords, number: number): Plot {
  const { path, from, at, held } = data;
  const lines = [lineOf(data.levels, 'before'), lineOf(data.levels, 'after')] as const;
  const fittedValue = (which: 'was' | 'is') =>
    data.mod === undefined ? valueOfPart(data.change[which], words) : undefined;
  const names = [
    words.named(words.before, fittedValue('was')),
    words.named(words.after, fittedValue('is')),
  ] as const;
  const isForward = path === 'forward';
  const title =
    data.mod === undefined
      ? (isForward ? words.responseTitle : words.returnTitle)(data.ref, words.role(data.role))
      : (isForward ? words.modResponseTitle : words.modReturnTitle)(data.mod, words.list(data.refs));
  const notes = [
    words.heldNote([...new Set(held.map(words.held))]),
    ...(lines.some((line) => corners(line).length > 0) ? [words.halfPowerNote] : []),
  ];
  const alt = altOf(data, lines, names, words);
  const y = levelScale(lines);
  const x = logScale(LOWEST, HIGHEST, { from: PLOT.left, to: PLOT.right });
  const spots = lines.map((line) => spotsOf(line, x, y));
  const dots = lines.map((line) =>
    corners(line).map(({ frequency, level }) => ({ x: x.at(frequency), y: y.at(level) })),
  );
  const placing = createPlacing(
    PLOT,
    spots,
    dots.flat().map((dot) => boxAround(dot, 4)),
  );
  // Where they lie on each other either name would name both.
  const apart = furthestApart(lines);
  const [first, second] = spots;
  const name = (line: readonly Spot[] | undefined, text: string): void => {
    if (line === undefined) return;
    const words = { text, size: LABEL_SIZE, line };
    if (placing.along({ ...words, ...apart, isOptional: true }) === undefined) placing.along(words);
  };
  name(second, names[1]);
  name(first, names[0]);
  const svg = frame({ title, alt, name: `response-${Math.trunc(number)}`, height: HEIGHT }, [
    drawAxes({
      plot: PLOT,
      x,
      y,
      sayX: (value) => withoutUnit(words, value),
      sayY: words.formatNumber,
      nameX: words.frequencyAxis,
      nameY: words.levelAxis(from, at),
      isStrongX: (value) => Math.log10(value) % 1 === 0,
    }),
    drawLine(first ?? [], 'before'),
    drawLine(second ?? [], 'now'),
    ...dots.flatMap((each, i) => each.map((dot) => drawDot(dot, i === 1 ? 'full' : 'open', 3.6))),
    ...placing.labels.map((label) => drawLabelOver(label)),
  ]);
  return { svg, title, alt, notes, table: tableOf(lines, names, words) };
}

interface Point {
  readonly frequency: number;
  readonly level: number;
}

/** Only what can be drawn; a frequency at which nothing at all comes through has no level. */
function lineOf(levels: readonly LevelAt[], which: Which): readonly Point[] {
  return levels
    .flatMap(({ frequency, [which]: level }) =>
      isDrawable(frequency.value) && isDrawable(level?.value)
        ? [{ frequency: frequency.value, level: level.value }]
        : [],
    )
    .filter(({ frequency }) => frequency >= LOWEST * 0.999 && frequency <= HIGHEST * 1.001)
    .sort((a, b) => a.frequency - b.frequency);
}

function levelScale(lines: readonly (readonly Point[])[]): Scale {
  const levels = lines.flat().map(({ level }) => level);
  const top = levels.length === 0 ? 0 : Math.max(...levels);
  const bottom = Math.max(top - DEEPEST, levels.length === 0 ? -LEAST_SPAN : Math.min(...levels));
  const short = Math.max(0, LEAST_SPAN - (top - bottom)) / 2;
  return linearScale(bottom - short, top + short, { from: PLOT.bottom, to: PLOT.top }, 6);
}

function spotsOf(line: readonly Point[], x: Scale, y: Scale): readonly Spot[] {
  return line.map(({ frequency, level }) => ({ x: x.at(frequency), y: y.at(level) }));
}

/** The stretch around the widest gap, as shares of the lines. */
function furthestApart([before, after]: readonly [readonly Point[], readonly Point[]]): {
  readonly between?: readonly [number, number];
} {
  if (before.length !== after.length || before.length < 3) return {};
  const gaps = before.map(({ level }, i) => Math.abs(level - (after[i]?.level ?? level)));
  const most = Math.max(...gaps);
  const wide = gaps.flatMap((gap, i) => (gap >= most * 0.4 ? [i / (gaps.length - 1)] : []));
  const [low = 0, high = 1] = [wide[0], wide.at(-1)];
  return { between: [Math.max(0, low - 0.04), Math.min(1, Math.max(high, low + 0.1) + 0.04)] };
}

/** Where a line passes half of the power of its highest, going outwards from there. */
function corners(line: readonly Point[]): readonly Point[] {
  const top = line.reduce<number>(
    (best, { level }, i) => (level > (line[best]?.level ?? -Infinity) ? i : best),
    0,
  );
  const highest = line[top]?.level;
  if (highest === undefined) return [];
  const wanted = highest - HALF_POWER;
  const found: Point[] = [];
  for (const way of [-1, 1]) {
    for (let i = top; ; i += way) {
      const [inner, outer] = [line[i], line[i + way]];
      if (inner === undefined || outer === undefined) break;
      if (inner.level < wanted || outer.level > wanted) continue;
      const share = inner.level === outer.level ? 0 : (inner.level - wanted) / (inner.level - outer.level);
      const frequency = inner.frequency * (outer.frequency / inner.frequency) ** share;
      found.push({ frequency, level: wanted });
      break;
    }
  }
  return found;
}

/** The level at any frequency, between the points straight on the picture's own scale. */
function levelAt(line: readonly Point[], frequency: number): number | undefined {
  const after = line.findIndex((point) => point.frequency >= frequency * (1 - 1e-9));
  const [low, high] = [line[after - 1], line[after]];
  if (high === undefined) return undefined;
  if (low === undefined) return high.frequency <= frequency * (1 + 1e-9) ? high.level : undefined;
  const share = Math.log(frequency / low.frequency) / Math.log(high.frequency / low.frequency);
  return low.level + (high.level - low.level) * Math.min(1, Math.max(0, share));
}

function sayLevel(words: PlotWords, level: number | undefined): string {
  // A tenth of a decibel is more than anybody hears.
  return level === undefined
    ? words.none
    : words.formatQuantity(quantity(Math.round(level * 10) / 10, 'dB'), 4);
}

function sayChange(words: PlotWords, before: number | undefined, after: number | undefined): string {
  if (before === undefined || after === undefined) return words.none;
  const moved = Math.round((after - before) * 10) / 10;
  return `${moved > 0 ? '+' : ''}${words.formatQuantity(quantity(moved === 0 ? 0 : moved, 'dB'), 4)}`;
}

function sayFrequency(words: PlotWords, frequency: number): string {
  return words.formatQuantity(quantity(frequency, 'Hz'));
}

/** `20`, `5 k`: the unit stands with the axis. */
function withoutUnit(words: PlotWords, frequency: number): string {
  return sayFrequency(words, frequency).replace(/Hz$/, '').trim();
}

function altOf(
  { from, at }: ResponsePlotData,
  lines: readonly [readonly Point[], readonly Point[]],
  names: readonly [string, string],
  words: PlotWords,
): string {
  const [before, after] = lines;
  const each = (say: (frequency: number) => string) =>
    TOLD.map((frequency) => words.levelAt(sayFrequency(words, frequency), say(frequency)));
  return words.sentences([
    words.responseAlt(from, at, sayFrequency(words, LOWEST), sayFrequency(words, HIGHEST)),
    words.levelsAlt(
      names[0],
      each((frequency) => sayLevel(words, levelAt(before, frequency))),
    ),
    words.levelsAlt(
      names[1],
      each((frequency) => sayLevel(words, levelAt(after, frequency))),
    ),
    words.levelsAlt(
      words.change,
      each((frequency) => sayChange(words, levelAt(before, frequency), levelAt(after, frequency))),
    ),
  ]);
}

function tableOf(
  [before, after]: readonly [readonly Point[], readonly Point[]],
  names: readonly [string, string],
  words: PlotWords,
): PlotTable {
  const sayCorners = (line: readonly Point[]): string => {
    const found = corners(line).map(({ frequency }) => sayFrequency(words, frequency));
    return found.length === 0 ? words.none : words.list(found);
  };
  return {
    head: [words.frequency, ...names, words.change],
    rows: [
      ...ROWS.map((frequency) => {
        const [one, two] = [levelAt(before, frequency), levelAt(after, frequency)];
        return [
          sayFrequency(words, frequency),
          sayLevel(words, one),
          sayLevel(words, two),
          sayChange(words, one, two),
        ];
      }),
      [words.halfPower, sayCorners(before), sayCorners(after), words.none],
    ],
  };
}

/** `22 µF`, the type of a valve; a part that is not there is said to be so. */
function valueOfPart(part: FittedPart | undefined, words: PlotWords): string | undefined {
  if (part === undefined) return words.notFitted;
  const value = findValueInUse(part);
  return value === undefined ? part.type?.text : words.formatQuantity(value.quantity);
}
