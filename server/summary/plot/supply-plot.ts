/** Owns the picture of a supply from its rectifier to the last node: steps of volts as found, as left and nominal, with ripple. */
import type { NodeState, SupplyChain, SupplyLink, SupplyNode, Written } from '../../bench/supply-chain.ts';
import { quantity, type Unit } from '../../units/si.ts';
import type { Html } from '../escape.ts';
import { isDrawable, linearScale, type Scale } from './axis.ts';
import {
  drawAxes,
  drawLabel,
  drawLine,
  drawRule,
  frame,
  LABEL_SIZE,
  type Plot,
  type PlotTable,
  type Stroke,
  TICK_SIZE,
  WIDTH,
} from './drawing.ts';
import { type Box, fitted, type Spot, spread } from './label.ts';
import type { PlotWords } from './plot-words.ts';

/** More nodes than this stand in another row of steps below. */
const COLUMNS = 6;
/** More than this are no supply but a drawing gone astray; the table has them all. */
const MOST_NODES = 24;
const WIDEST_COLUMN = 150;
const LEFT = 144;
/** The lines' names stand to the right of it. */
const RIGHT = WIDTH - 114;
const TOP = 36;
const STEPS_HEIGHT = 190;
const LINE = 15;
/** Below the steps: the node's name, then three lines of what lies between. */
const NAMES = LINE + 6;
const LINKS = 3 * LINE + 6;
const BELOW = 14;
/** A bar of ripple lower than this cannot be told from the line that it stands on. */
const LEAST_BAR = 3;

/** `number` tells the picture from the others on its page. */
export function supplyPlot(chain: SupplyChain, words: PlotWords, number: number): Plot {
  const nodes = chain.nodes.slice(0, MOST_NODES);
  const first = chain.nodes[0]?.name ?? '';
  const rectifiers = chain.rectifiers.length === 0 ? undefined : words.list(chain.rectifiers);
  const title = words.supplyTitle(rectifiers, first);
  const alt = altOf(nodes, chain, words);
  const rows = rowsOf(chain, words);
  const panels: SupplyNode[][] = [];
  // Rows of like length.
  const columns = Math.max(1, Math.ceil(nodes.length / Math.max(1, Math.ceil(nodes.length / COLUMNS))));
  for (let at = 0; at < nodes.length; at += columns) panels.push(nodes.slice(at, at + columns));
  const panelHeight = TOP + STEPS_HEIGHT + NAMES + LINKS + rows.length * LINE + BELOW;
  const range = rangeOf(nodes);
  const pieces = panels.map((panel, i) => panelOf(panel, i * panelHeight, { chain, rows, range }, words));
  const svg = frame(
    {
      title,
      alt,
      name: `supply-${Math.trunc(number)}`,
      height: Math.max(1, panels.length) * panelHeight,
    },
    pieces.flat(),
  );
  const hasRipple = nodes.some(({ states }) => states.some(({ ripple }) => ripple !== undefined));
  const unread = chain.nodes
    .filter(({ states }) => states.every(({ volts }) => volts === undefined))
    .map(({ name }) => name);
  const notes = [
    ...(hasRipple ? [words.rippleNote] : []),
    ...(unread.length > 0 ? [words.unread(words.list(unread))] : []),
  ];
  return { svg, title, alt, notes, table: tableOf(chain, words) };
}

/** One line of numbers below the steps. */
interface NumberRow {
  readonly name: string;
  readonly of: (node: SupplyNode) => string;
}

function rowsOf({ phases, nodes }: SupplyChain, words: PlotWords): readonly NumberRow[] {
  const stateOf = (node: SupplyNode, i: number): NodeState | undefined => node.states[i];
  const rows: NumberRow[] = phases.map((phase, i) => ({
    name: words.phase(phase),
    of: (node) => say(words, stateOf(node, i)?.volts, 'V'),
  }));
  if (nodes.some(({ nominal }) => nominal !== undefined))
    rows.push({ name: words.nominal, of: ({ nominal }) => say(words, nominal, 'V') });
  for (const [i, phase] of phases.entries()) {
    if (nodes.every((node) => stateOf(node, i)?.ripple === undefined)) continue;
    rows.push({
      name: words.ripple(phases.length > 1 ? words.phase(phase) : undefined),
      of: (node) => say(words, stateOf(node, i)?.ripple, 'V'),
    });
  }
  return rows;
}

function say(words: PlotWords, written: Written | undefined, unit: Unit): string {
  return isDrawable(written?.value)
    ? words.formatWritten(quantity(written.value, unit), written.digit)
    : words.none;
}

function rangeOf(nodes: readonly SupplyNode[]): readonly [number, number] {
  const values = nodes.flatMap(({ states, nominal }) => [
    ...states.flatMap(({ volts, ripple }) => {
      if (!isDrawable(volts?.value)) return [];
      const half = isDrawable(ripple?.value) ? ripple.value / 2 : 0;
      return [volts.value - half, volts.value, volts.value + half];
    }),
    ...(isDrawable(nominal?.value) ? [nominal.value] : []),
  ]);
  if (values.length === 0) return [0, 1];
  const [low, high] = [Math.min(...values), Math.max(...values)];
  // Steps from nothing, unless that would flatten them.
  return low > 0 && low < high * 0.6 ? [0, high] : [low, high];
}

interface Told {
  readonly chain: SupplyChain;
  readonly rows: readonly NumberRow[];
  readonly range: readonly [number, number];
}

function panelOf(
  nodes: readonly SupplyNode[],
  offset: number,
  { chain, rows, range: [low, high] }: Told,
  words: PlotWords,
): readonly Html[] {
  const column = Math.min(WIDEST_COLUMN, (RIGHT - LEFT) / Math.max(1, nodes.length));
  const plot: Box = {
    left: LEFT,
    right: LEFT + column * nodes.length,
    top: offset + TOP,
    bottom: offset + TOP + STEPS_HEIGHT,
  };
  const y = linearScale(low, high, { from: plot.bottom - 10, to: plot.top + 6 }, 6);
  const noTicks: Scale = { at: (value) => value, ticks: [], low: 0, high: 1 };
  const lines = chain.phases.map((_, i) => ({
    stroke: strokeOf(i, chain.phases.length),
    runs: runsOf(nodes, i, plot.left, column, y),
  }));
  const nominals = nodes.flatMap(({ nominal }, i) =>
    isDrawable(nominal?.value)
      ? [
          [
            { x: plot.left + column * i + 4, y: y.at(nominal.value) },
            { x: plot.left + column * (i + 1) - 4, y: y.at(nominal.value) },
          ],
        ]
      : [],
  );
  const ends = [
    ...lines.map(({ runs }, i) => ({ text: words.phase(chain.phases[i] ?? 'noted'), end: lastOf(runs) })),
    { text: words.nominal, end: lastOf(nominals) },
  ];
  const room = column - 6;
  const pieces: Html[] = [
    drawAxes({
      plot,
      x: noTicks,
      y,
      sayX: () => '',
      sayY: words.formatNumber,
      nameX: '',
      nameY: words.voltsToGround,
    }),
    ...nominals.map((spots) => drawLine(spots, 'nominal')),
    ...lines.flatMap(({ runs, stroke }) => runs.map((run) => drawLine(run, stroke))),
    ...nodes.flatMap((node, i) => rippleBars(node, plot.left + column * i, column, y)),
    ...lineNames(ends, plot),
  ];
  const names = plot.bottom + LINE;
  const numbers = plot.bottom + NAMES + LINKS;
  for (const [i, node] of nodes.entries()) {
    const x = plot.left + column * (i + 0.5);
    const border = plot.left + column * i;
    pieces.push(
      drawLabel(
        {
          text: fitted(node.name, LABEL_SIZE, room),
          size: LABEL_SIZE,
          anchor: 'middle',
          at: { x, y: names },
        },
        'ink',
        600,
      ),
    );
    const before = i === 0 ? undefined : nodes[i - 1]?.name;
    const said = linkLines(node, before, words);
    // A node that begins a row has what feeds it at its own left, where nothing else stands.
    for (const [line, text] of said.entries()) {
      const at = { x: Math.max(border, LEFT + room / 4), y: plot.bottom + NAMES + LINE * (line + 1) - 2 };
      pieces.push(
        drawLabel({ text: fitted(text, TICK_SIZE, room), size: TICK_SIZE, anchor: 'middle', at }, 'quiet'),
      );
    }
    if (said.length > 0)
      pieces.push(
        drawRule({ x: border, y: plot.bottom }, { x: border, y: plot.bottom + NAMES - 2 }, 'plain'),
      );
    for (const [row, { of }] of rows.entries()) {
      const at = { x, y: numbers + LINE * (row + 1) };
      pieces.push(
        drawLabel({ text: fitted(of(node), TICK_SIZE, room), size: TICK_SIZE, anchor: 'middle', at }),
      );
    }
  }
  for (const [row, { name }] of rows.entries()) {
    const at = { x: 4, y: numbers + LINE * (row + 1) };
    const text = fitted(name, TICK_SIZE, LEFT - 10);
    pieces.push(drawLabel({ text, size: TICK_SIZE, anchor: 'start', at }, 'quiet'));
  }
  pieces.push(drawRule({ x: 4, y: numbers + 2 }, { x: plot.right, y: numbers + 2 }, 'faint'));
  return pieces;
}

function strokeOf(i: number, count: number): Stroke {
  return i === count - 1 ? 'now' : 'before';
}

/** Steps of one state: from node to node where the one feeds the other and both were read. */
function runsOf(
  nodes: readonly SupplyNode[],
  state: number,
  left: number,
  column: number,
  y: Scale,
): readonly (readonly Spot[])[] {
  const runs: Spot[][] = [];
  let run: Spot[] | undefined;
  for (const [i, node] of nodes.entries()) {
    const volts = node.states[state]?.volts?.value;
    if (!isDrawable(volts)) {
      run = undefined;
      continue;
    }
    if (run === undefined || node.from !== nodes[i - 1]?.name) {
      run = [];
      runs.push(run);
    }
    run.push({ x: left + column * i, y: y.at(volts) }, { x: left + column * (i + 1), y: y.at(volts) });
  }
  return runs;
}

/** Where the line furthest to the right ends. */
function lastOf(runs: readonly (readonly Spot[])[]): Spot | undefined {
  return runs
    .flatMap((run) => run.at(-1) ?? [])
    .reduce<Spot | undefined>(
      (best, spot) => (best === undefined || spot.x >= best.x ? spot : best),
      undefined,
    );
}

/** Beside the plot, each at the height of its line's end with a thin line to it. */
function lineNames(
  ends: readonly { readonly text: string; readonly end: Spot | undefined }[],
  plot: Box,
): readonly Html[] {
  const known = ends.flatMap(({ text, end }) => (end === undefined ? [] : [{ text, end }]));
  const heights = spread(
    known.map(({ end }) => end.y),
    LINE,
    plot.top,
    plot.bottom - 4,
  );
  return known.flatMap(({ text, end }, i) => {
    const y = heights[i] ?? end.y;
    const x = plot.right + 16;
    const label = {
      text: fitted(text, LABEL_SIZE, WIDTH - x),
      size: LABEL_SIZE,
      anchor: 'start',
      at: { x, y: y + 4 },
    } as const;
    return [drawRule({ x: end.x + 3, y: end.y }, { x: x - 3, y }, 'leader'), drawLabel(label)];
  });
}

/** Of the state before left of the middle, of the one after right of it. */
function rippleBars({ states }: SupplyNode, left: number, column: number, y: Scale): readonly Html[] {
  return states.flatMap((each, i) => {
    const [volts, ripple] = [each.volts?.value, each.ripple?.value];
    if (!isDrawable(volts) || !isDrawable(ripple)) return [];
    const x = left + column * (states.length === 1 ? 0.5 : 0.3 + (0.4 * i) / (states.length - 1));
    const [top, bottom] = [y.at(volts + Math.abs(ripple) / 2), y.at(volts - Math.abs(ripple) / 2)];
    if (bottom - top < LEAST_BAR) return [];
    const bar = (from: Spot, to: Spot) => drawLine([from, to], i === states.length - 1 ? 'stem' : 'before');
    return [
      bar({ x, y: top }, { x, y: bottom }),
      drawRule({ x: x - 5, y: top }, { x: x + 5, y: top }, 'strong'),
      drawRule({ x: x - 5, y: bottom }, { x: x + 5, y: bottom }, 'strong'),
    ];
  });
}

/** `L1`, `10 H, 200 Ω`, `13.5 mA`: what lies before a node. */
function linkLines(
  { link, from }: SupplyNode,
  before: string | undefined,
  words: PlotWords,
): readonly string[] {
  if (link === undefined) return [];
  const refs = words.list(link.refs);
  const isNext = from === undefined || from === before;
  const last = link.currents.at(-1);
  return [
    isNext ? refs : `${refs} ${words.from(from)}`,
    linkValue(link, words),
    ...(last === undefined ? [] : [say(words, { value: last.current }, 'A')]),
  ];
}

function linkValue({ resistance, inductance }: SupplyLink, words: PlotWords): string {
  return words.list([
    ...(inductance === undefined ? [] : [words.formatQuantity(quantity(inductance, 'H'))]),
    ...(resistance === undefined ? [] : [words.formatQuantity(quantity(resistance, 'Ohm'))]),
  ]);
}

function linkSaid(link: SupplyLink, words: PlotWords): string {
  const currents = link.currents.map(
    ({ phase, current }) => `${words.phase(phase)} ${say(words, { value: current }, 'A')}`,
  );
  const value = linkValue(link, words);
  return words.list([...link.refs, ...(value === '' ? [] : [value]), ...currents]);
}

function altOf(nodes: readonly SupplyNode[], { nodes: all }: SupplyChain, words: PlotWords): string {
  const first = all[0]?.name ?? '';
  return words.sentences([
    words.supplyAlt(all.length, first),
    ...nodes.map(({ name, link, states, nominal }) => {
      const said = states.flatMap(({ phase, volts, ripple }) =>
        volts === undefined && ripple === undefined
          ? []
          : [
              `${words.phase(phase)} ${say(words, volts, 'V')}`,
              ...(ripple === undefined ? [] : [words.rippleAlt(say(words, ripple, 'V'))]),
            ],
      );
      const wanted = nominal === undefined ? [] : [`${words.nominal} ${say(words, nominal, 'V')}`];
      const all = [...said, ...wanted];
      return words.nodeAlt(
        name,
        link === undefined ? undefined : linkSaid(link, words),
        all.length > 0 ? all : [words.none],
      );
    }),
  ]);
}

function tableOf(chain: SupplyChain, words: PlotWords): PlotTable {
  const rows = rowsOf(chain, words);
  return {
    head: [words.node, words.through, ...rows.map(({ name }) => name)],
    rows: chain.nodes.map((node) => [
      node.name,
      node.link === undefined
        ? words.none
        : words.list([
            ...(node.from === undefined ? [] : [words.from(node.from)]),
            linkSaid(node.link, words),
          ]),
      ...rows.map(({ of }) => of(node)),
    ]),
  };
}
