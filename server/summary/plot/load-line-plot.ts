/** Owns the picture of an output valve's load line: its curves, the line that it works along, where it rests, the limit of its anode. */
import { type Banded, type LoadLine, loadCurrent, type RestPoint } from '../../bench/load-lines.ts';
import { quantity, type Unit } from '../../units/si.ts';
import { isDrawable, linearScale } from './axis.ts';
import {
  drawAxes,
  drawDot,
  drawLabel,
  drawLabelOver,
  drawLine,
  drawRule,
  frame,
  LABEL_SIZE,
  type Plot,
  type PlotTable,
  TICK_SIZE,
  WIDTH,
} from './drawing.ts';
import {
  type Box,
  boxAround,
  boxOf,
  createPlacing,
  distanceOf,
  fitted,
  type Label,
  overlaps,
  type Spot,
  textWidth,
} from './label.ts';
import type { PlotWords } from './plot-words.ts';

const HEIGHT = 440;
/** The curves' names stand to the right of it. */
const PLOT: Box = { left: 48, right: WIDTH - 62, top: 48, bottom: HEIGHT - 44 };
const STEPS = 120;

/** `number` tells the picture from the others on its page. */
export function loadLinePlot(data: LoadLine, words: PlotWords, number: number): Plot {
  const reach = reachOf(data);
  const x = linearScale(0, reach.volts, { from: PLOT.left, to: PLOT.right }, 8, 'exact');
  const y = linearScale(0, reach.current, { from: PLOT.bottom, to: PLOT.top }, 7, 'exact');
  const milliamperes = linearScale(0, reach.current * 1000, { from: PLOT.bottom, to: PLOT.top }, 7, 'exact');
  const at = (volts: number, current: number): Spot => ({ x: x.at(volts), y: y.at(current) });
  const title = words.loadLineTitle(data.ref, data.valve.type);
  const alt = altOf(data, words);

  const curves = data.curves.of.map(({ grid, points }) => ({
    grid,
    spots: below(points, reach.current).map(([volts, current]) => at(volts, current)),
  }));
  const rest = data.rests.at(-1) ?? data.rests[0];
  const load = data.load === undefined ? undefined : loadSpots(rest, data.load, reach, at);
  const still = restLine(data.rests, reach, at);
  const limit = data.limit === undefined ? undefined : hyperbola(data.limit.watts, reach, at);
  const points = data.rests.map((each) => ({
    rest: each,
    spot: at(each.anode.value, each.current.value),
    bars: barsOf(each, at),
  }));

  const rings = points.map(({ spot }) => around(spot, 6));
  const lines = [...curves.map(({ spots }) => spots), load ?? [], still?.spots ?? [], limit ?? [], ...rings];
  const placing = createPlacing(
    PLOT,
    lines,
    points.map(({ spot }) => boxAround(spot, 6)),
  );
  // The curves are many and bear their names at their ends: no words here could be taken for theirs.
  const rivals = [load ?? [], still?.spots ?? [], limit ?? []];
  const leaders: (readonly [Spot, Spot])[] = [];
  const size = LABEL_SIZE;
  if (data.limit !== undefined && limit !== undefined) {
    const watts = words.formatQuantity(quantity(data.limit.watts, 'W'));
    const text = words.limitLine(watts, words.system(data.limit.system));
    placing.along({ text, size, line: limit, between: [0.6, 1], rivals });
  }
  for (const [i, { rest: each, spot }] of points.entries()) {
    const text = words.named(words.phase(each.phase), say(words, each.dissipation, 'W'));
    // Near it if there is room, else further off with a line to it.
    const own = rings[i] ?? [];
    const further = [16, 30, 46, 64].flatMap((radius) => around(spot, radius));
    const label = placing.near({ text, size, line: own, spots: [...own, ...further], rivals: rings });
    const leader = label && leaderTo(spot, boxOf(label));
    if (leader !== undefined) leaders.push(leader);
  }
  if (data.load !== undefined && load !== undefined)
    nameLoad(data, rest, load, { at, rivals }, words, placing);
  if (still !== undefined) {
    placing.along({ text: words.restLine, size, line: still.spots, between: [0, 0.7], rivals });
    const volts = supplySaid(still.supply, words);
    const end = around(at(still.supply.volts, 0), 6);
    const text = words.supplyAt(still.supply.node, volts);
    placing.near({ text, size: TICK_SIZE, line: end, spots: end, isOptional: true, rivals: rings });
  }

  const svg = frame({ title, alt, name: `load-line-${Math.trunc(number)}`, height: HEIGHT }, [
    drawAxes({
      plot: PLOT,
      x,
      y: milliamperes,
      sayX: words.formatNumber,
      sayY: words.formatNumber,
      nameX: words.voltsAxis,
      nameY: words.currentAxis,
      lift: 14,
    }),
    ...curves.map(({ spots }) => drawLine(spots, 'thin')),
    ...curveNames(curves, words).map((label) => drawLabel(label, 'quiet')),
    drawLine(limit ?? [], 'limit'),
    drawLine(still?.spots ?? [], 'dotted'),
    ...(still === undefined ? [] : [drawTick(at(still.supply.volts, 0))]),
    drawLine(load ?? [], 'now'),
    ...leaders.map(([from, to]) => drawRule(from, to, 'leader')),
    ...points.flatMap(({ bars }) => bars.map(([from, to]) => drawRule(from, to, 'strong'))),
    ...points.map(({ spot }, i) => drawDot(spot, i === points.length - 1 ? 'full' : 'open', 5)),
    ...placing.labels.map((label) => drawLabelOver(label)),
  ]);
  return { svg, title, alt, notes: notesOf(data, words), table: tableOf(data, words) };
}

interface Reach {
  readonly volts: number;
  readonly current: number;
}

function reachOf({ reach }: LoadLine): Reach {
  const one = (value: number, otherwise: number) => (isDrawable(value) && value > 0 ? value : otherwise);
  return { volts: one(reach.volts, 1), current: one(reach.current, 1e-3) };
}

/** A line as far as it stays below the top, ending on it. */
function below(
  points: readonly (readonly [number, number])[],
  top: number,
): readonly (readonly [number, number])[] {
  const kept: (readonly [number, number])[] = [];
  for (const [volts, current] of points) {
    if (!isDrawable(volts) || !isDrawable(current)) continue;
    if (current <= top) {
      kept.push([volts, current]);
      continue;
    }
    const [v, i] = kept.at(-1) ?? [volts, current];
    if (i < current) kept.push([v + ((volts - v) * (top - i)) / (current - i), top]);
    break;
  }
  return kept;
}

type At = (volts: number, current: number) => Spot;

function loadSpots(
  rest: RestPoint,
  load: NonNullable<LoadLine['load']>,
  reach: Reach,
  at: At,
): readonly Spot[] {
  const [anode, current] = [rest.anode.value, rest.current.value];
  if (!isDrawable(anode) || !isDrawable(current) || !(load.together > 0)) return [];
  // Every corner of it: at nothing, where the other side is cut off, at rest, where this one is.
  const corners = [0, anode - current * load.together, anode, anode + current * load.together, reach.volts];
  const steps = Array.from({ length: STEPS + 1 }, (_, i) => (reach.volts * i) / STEPS);
  const points = [...corners, ...steps]
    .filter((volts) => volts >= 0 && volts <= Math.min(reach.volts, anode + current * load.together))
    .sort((a, b) => b - a)
    .map((volts) => [volts, loadCurrent({ anode, current }, load, volts)] as const);
  return below(points, reach.current).map(([volts, amps]) => at(volts, amps));
}

/** From the supply at no current to where the valve rests: of the last state whose supply was read. */
function restLine(
  rests: readonly RestPoint[],
  reach: Reach,
  at: At,
): { readonly spots: readonly Spot[]; readonly supply: NonNullable<RestPoint['supply']> } | undefined {
  const rest = rests.at(-1);
  const supply = rest?.supply;
  if (rest === undefined || supply === undefined || !isDrawable(supply.volts)) return undefined;
  if (supply.volts > reach.volts || supply.volts <= rest.anode.value) return undefined;
  return { spots: [at(supply.volts, 0), at(rest.anode.value, rest.current.value)], supply };
}

function hyperbola(watts: number, { volts, current }: Reach, at: At): readonly Spot[] {
  const first = watts / current;
  if (!isDrawable(watts) || !(watts > 0) || !(first < volts)) return [];
  return Array.from({ length: STEPS + 1 }, (_, i) => {
    const v = first * (volts / first) ** (i / STEPS);
    return at(v, watts / v);
  });
}

/** The band of a current that an assumption widened. */
function barsOf({ anode, current }: RestPoint, at: At): readonly (readonly [Spot, Spot])[] {
  const { low, high } = current;
  if (low === undefined || high === undefined) return [];
  return [[at(anode.value, low), at(anode.value, high)]];
}

function drawTick({ x, y }: Spot) {
  return drawRule({ x, y: y - 6 }, { x, y: y + 6 }, 'strong');
}

/** Places about a point where its name may begin. */
function around({ x, y }: Spot, radius: number): readonly Spot[] {
  return Array.from({ length: 13 }, (_, i) => {
    const angle = (i * Math.PI) / 6;
    return { x: x + radius * Math.cos(angle), y: y + radius * Math.sin(angle) };
  });
}

function nameLoad(
  { load }: LoadLine,
  rest: RestPoint,
  spots: readonly Spot[],
  { at, rivals }: { readonly at: At; readonly rivals: readonly (readonly Spot[])[] },
  words: PlotWords,
  placing: ReturnType<typeof createPlacing>,
): void {
  if (load === undefined) return;
  const ohms = (value: number) => words.formatQuantity(quantity(value, 'Ohm'));
  const size = LABEL_SIZE;
  if (load.alone === undefined) {
    placing.along({ text: words.loadOf(ohms(load.together)), size, line: spots, between: [0, 0.8], rivals });
    return;
  }
  // The corner stands where the other side is cut off: at twice the current of rest.
  const corner = at(
    rest.anode.value - rest.current.value * load.together,
    Math.min(2 * rest.current.value, 1e9),
  );
  const share = spots.findIndex(({ x }) => x <= corner.x) / Math.max(1, spots.length - 1);
  const split = share > 0 ? share : 1;
  const { x: restX } = at(rest.anode.value, rest.current.value);
  const still = spots.findIndex(({ x }) => x <= restX) / Math.max(1, spots.length - 1);
  const [from, to] = [spots[0], spots[Math.round(split * (spots.length - 1))]];
  const length = from === undefined || to === undefined ? 0 : Math.hypot(from.x - to.x, from.y - to.y);
  const whole = words.loadTogether(ohms(load.together));
  // Along a short piece the words would name another line; the note below says what the number is.
  const text = textWidth(whole, size) < length ? whole : ohms(load.together);
  // Between cut-off and rest there is room, unless the valve rests near to cut-off.
  const below = placing.along({
    text,
    size,
    line: spots,
    between: [0, Math.max(0, still) * 0.85],
    isOptional: true,
    rivals,
  });
  if (below === undefined) placing.along({ text, size, line: spots, between: [0, split * 0.9], rivals });
  if (split < 0.98)
    placing.along({
      text: words.loadAlone(ohms(load.alone)),
      size,
      line: spots,
      between: [split, 1],
      rivals,
    });
}

interface DrawnCurve {
  readonly grid: number;
  readonly spots: readonly Spot[];
}

/** From a dot to its name, where that stands off. */
function leaderTo(spot: Spot, box: Box): readonly [Spot, Spot] | undefined {
  const distance = distanceOf(box, spot);
  if (distance < LEADER) return undefined;
  const end = {
    x: Math.min(box.right, Math.max(box.left, spot.x)),
    y: Math.min(box.bottom, Math.max(box.top, spot.y)),
  };
  const share = 6 / distance;
  return [{ x: spot.x + (end.x - spot.x) * share, y: spot.y + (end.y - spot.y) * share }, end];
}

const LEADER = 14;

/** Each curve's grid volts at its end, right of the plot or above it; those that would run into each other are left out. */
function curveNames(curves: readonly DrawnCurve[], words: PlotWords): readonly Label[] {
  const named: Label[] = [];
  for (const { grid, spots } of curves) {
    const end = spots.at(-1);
    if (end === undefined) continue;
    const isAtTop = end.y <= PLOT.top + 0.5 && end.x < PLOT.right - 0.5;
    const text = fitted(
      words.formatQuantity(quantity(grid, 'V')),
      TICK_SIZE,
      isAtTop ? PLOT.right : WIDTH - PLOT.right - 8,
    );
    const label: Label = isAtTop
      ? { text, size: TICK_SIZE, anchor: 'middle', at: { x: end.x, y: PLOT.top - 4 } }
      : { text, size: TICK_SIZE, anchor: 'start', at: { x: PLOT.right + 6, y: end.y + 4 } };
    const box = boxOf(label);
    const isFree = box.right <= WIDTH && !named.some((other) => overlaps(box, boxOf(other), 1));
    if (isFree) named.push(label);
  }
  return named;
}

function say(words: PlotWords, { value, low, high }: Banded, unit: Unit): string {
  const one = (number: number) =>
    isDrawable(number) ? words.formatFigure(quantity(number, unit)) : words.none;
  if (low === undefined || high === undefined || one(low) === one(high)) return one(value);
  return words.between(one(low), one(high));
}

function restSaid(rest: RestPoint, { limit }: LoadLine, words: PlotWords): readonly string[] {
  const share =
    limit === undefined || !(limit.watts > 0)
      ? undefined
      : words.restValues.ofLimit(words.formatFigureShare(rest.dissipation.value / limit.watts));
  return [
    say(words, rest.anode, 'V'),
    say(words, rest.current, 'A'),
    say(words, rest.dissipation, 'W'),
    ...(share === undefined ? [] : [share]),
  ];
}

function altOf(data: LoadLine, words: PlotWords): string {
  const { curves, valve, rests, limit } = data;
  const grids = curves.of.map(({ grid }) => words.formatQuantity(quantity(grid, 'V')));
  const screen = curves.screen === undefined ? undefined : words.formatFigure(quantity(curves.screen, 'V'));
  return words.sentences([
    words.curvesAlt(valve.type, words.list(grids), screen),
    ...rests.map((rest) => words.restAlt(words.phase(rest.phase), restSaid(rest, data, words))),
    ...loadSaid(data, words),
    ...(limit === undefined ? [] : [limitSaid(limit, words)]),
  ]);
}

function loadSaid({ load, kind }: LoadLine, words: PlotWords): readonly string[] {
  if (load === undefined) return [];
  return [
    words.loadNote(load.transformer, words.formatQuantity(load.primary), kind, load.basis),
    ...(load.alone === undefined
      ? []
      : [
          words.loadShares(
            words.formatQuantity(quantity(load.together, 'Ohm')),
            words.formatQuantity(quantity(load.alone, 'Ohm')),
          ),
        ]),
    ...(load.besides > 1 ? [words.sharedLoadNote(load.besides)] : []),
  ];
}

function limitSaid({ watts, system, source }: NonNullable<LoadLine['limit']>, words: PlotWords): string {
  return words.limitNote(
    words.formatQuantity(quantity(watts, 'W')),
    words.system(system),
    words.foreign(source),
  );
}

function notesOf(data: LoadLine, words: PlotWords): readonly string[] {
  const { model, valve, curves, rests, load, limit } = data;
  const supply = rests.at(-1)?.supply;
  const remarks = [...new Set(rests.flatMap(({ remark }) => remark ?? []))];
  return [
    words.curvesNote({
      type: valve.type,
      name: words.foreign(model.name),
      error: words.formatShare(model.error),
      screen: curves.screen === undefined ? undefined : words.formatFigure(quantity(curves.screen, 'V')),
      phase: words.phase(curves.phase),
      isTriodeConnected: curves.isTriodeConnected,
    }),
    ...loadSaid(data, words),
    ...(load === undefined ? [] : [words.signalNote]),
    ...(supply === undefined ? [] : [words.restLineNote(supply.node, supplySaid(supply, words))]),
    ...(limit === undefined ? [] : [limitSaid(limit, words)]),
    ...remarks.map((remark) => words.remark(remark)),
  ];
}

function supplySaid({ volts, digit }: NonNullable<RestPoint['supply']>, words: PlotWords): string {
  return words.formatWritten(quantity(volts, 'V'), digit);
}

function tableOf(data: LoadLine, words: PlotWords): PlotTable {
  const { rests } = data;
  const { anode, current, bias, screen, dissipation } = words.restValues;
  const row = (name: string, of: (rest: RestPoint) => string | undefined): readonly string[] => [
    name,
    ...rests.map((rest) => of(rest) ?? words.none),
  ];
  const volts = (value: number | undefined) => (value === undefined ? undefined : say(words, { value }, 'V'));
  return {
    head: [data.ref, ...rests.map(({ phase }) => words.phase(phase))],
    rows: [
      row(anode, (rest) => say(words, rest.anode, 'V')),
      row(screen, (rest) => volts(rest.screen)),
      row(bias, (rest) => volts(rest.bias)),
      row(current, (rest) => say(words, rest.current, 'A')),
      row(dissipation, (rest) => words.list(restSaid(rest, data, words).slice(2))),
    ],
  };
}
