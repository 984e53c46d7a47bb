/**
 * Owns the expected voltages and currents of a phase: what its fitted parts and average valves would give, by solving the
 * circuit. They are never among the figures that follow from readings, and they are made only when somebody asks.
 */

import type { ValveModel } from '../electronics/models/model.ts';
import { type AmplifierPoint, settleAmplifier } from '../electronics/solver/amplifier.ts';
import { wholeOf } from '../sheet/watching.ts';
import { quantity, type Unit } from '../units/si.ts';
import { divideCircuit, elementsOf, FOOTINGS, type Piece } from './circuit-components.ts';
import { type Conductor, type PlacedValve, readDirectCircuit, scaledModel } from './circuit-netlist.ts';
import { readSupplies, type Stiffness } from './circuit-supplies.ts';
import { assumed, input } from './derive/figure.ts';
import { sheetsOf } from './derive/mains.ts';
import { readSet, type SetReadings } from './derive/set-readings.ts';
import { lookAt } from './look.ts';
import type { Amplifier, Figure, FigureInput, PhaseView, Source } from './model.ts';
import { errorBeyond, standingOf } from './model-reach.ts';
import { isBiasNode, isRail } from './points.ts';

/** A valve may pass this share of an average new one's current: the customary bogey spread (common practice, no source). */
const SPREAD = [0.8, 1.2] as const;

/** All valves weak or strong together, each with the transformer that the label allows at its worst either way. */
const CORNERS: readonly (readonly [share: number, stiffness: Stiffness])[] = SPREAD.flatMap((share) => [
  [share, 'weak'] as const,
  [share, 'stiff'] as const,
]);

/** Below this a value or a band is the solution's rounding [V, A]. */
const ROUNDING = 1e-9;

const cache = new WeakMap<PhaseView, readonly Figure[]>();
const averages = new WeakMap<PhaseView, AverageState>();

/** What average valves alone would give, without the band that their spread makes. */
export interface AverageState {
  /** As `expectedFigures`, but for the bands. */
  readonly figures: readonly Figure[];
  /** Ripple on each reservoir, peak to peak, from its supply's own charging. */
  readonly ripples: readonly Figure[];
}

/**
 * What every node and valve of a phase should stand at; empty where nothing can be known. Solved from the mains where the
 * transformer is written, else from the first rail that was read; pieces that lack a value or a model are left out.
 */
export function expectedFigures(view: PhaseView, amplifier: Amplifier): readonly Figure[] {
  const whole = wholeOf(view);
  const known = cache.get(whole);
  if (known !== undefined) return known;
  const figures = isSettled(whole, amplifier) ? solvePhase(whole, amplifier, CORNERS).figures : [];
  cache.set(whole, figures);
  return figures;
}

/** For comparing two states of one amplifier: what spreads from valve to valve is the same in both. */
export function averageState(view: PhaseView, amplifier: Amplifier): AverageState {
  const whole = wholeOf(view);
  const known = averages.get(whole);
  if (known !== undefined) return known;
  const state = isSettled(whole, amplifier) ? solvePhase(whole, amplifier, []) : { figures: [], ripples: [] };
  averages.set(whole, state);
  return state;
}

/** The expected volts of a node under any of its names, or the expected cathode current of a valve. */
export function findExpected(view: PhaseView, amplifier: Amplifier, subject: string): Figure | undefined {
  const node = view.circuit.nodeOf(subject) ?? subject;
  return expectedFigures(view, amplifier).find(
    (figure) => figure.subject === subject || figure.subject === node,
  );
}

/** In the middle of the work, parts are on the bench: only where the sheet ends there is it a state of the amplifier. */
function isSettled({ phase }: PhaseView, { phases }: Amplifier): boolean {
  if (phase === 'noted') return false;
  return phase !== 'work' || !phases.some((each) => each.phase === 'as-left');
}

function solvePhase(view: PhaseView, amplifier: Amplifier, corners: typeof CORNERS): AverageState {
  const { sheet, chassis } = amplifier;
  const isFactory = view.phase === 'factory';
  const sheets = sheetsOf(amplifier).slice(isFactory && chassis !== undefined ? 1 : 0);
  const look = lookAt(view.parts, view.circuit);
  const circuit = readDirectCircuit(view, look);
  if (circuit.valves.length === 0) return { figures: [], ripples: [] };
  const supplies = readSupplies(view, look, sheets);
  const set = view.verdictSet;
  const read =
    set === undefined
      ? undefined
      : readSet(view.readings.filter((reading) => reading.normal && reading.set.id === set.id));
  const file = (sheets[0] ?? sheet).uri;
  const found = new Map<string, Figure>();
  const ripples = new Map<string, Figure>();
  for (const footing of FOOTINGS) {
    const { pieces, isPartial } = divideCircuit(circuit, supplies, read, view, look, footing);
    let isWhole = !isPartial;
    for (const piece of pieces) {
      if (namesOf(piece).every((name) => found.has(name))) continue;
      const band = solveBand(piece, corners);
      if (band === undefined) {
        isWhole = false;
        continue;
      }
      for (const figure of figuresOf(piece, band, view, read, file)) {
        const into = figure.figure === 'ripple' ? ripples : found;
        if (!into.has(figure.subject)) into.set(figure.subject, figure);
      }
    }
    if (isWhole) break;
  }
  return { figures: [...found.values()], ripples: [...ripples.values()] };
}

/** Nodes that a technician can name, and valves. */
function namesOf({ nodes, valves }: Piece): readonly string[] {
  return [...nodes.filter((node) => isToldNode(node, valves)), ...valves.map(({ ref }) => ref)];
}

/** Rails, named places and electrodes; not the far ends of parts, jacks and windings. */
function isToldNode(node: string, valves: readonly PlacedValve[]): boolean {
  if (isRail(node) || isBiasNode(node)) return true;
  if (!/^[A-Z]{1,3}\d+[A-Z]?(?:\.|$)/.test(node)) return true;
  return valves.some(({ anode, grid, cathode, screen }) => [anode, grid, cathode, screen].includes(node));
}

interface Band {
  readonly average: AmplifierPoint;
  /** What the models' amplification may be off by, where a valve stands beyond the points that its model was held against. */
  readonly beyond: number;
  /** Of those corners that settle; an unsettled one tells nothing. */
  readonly corners: readonly AmplifierPoint[];
}

function solveBand(piece: Piece, wanted: typeof CORNERS): Band | undefined {
  const average = solvePiece(piece, 1, 'usual');
  if (average === undefined) return undefined;
  const isStiff = piece.supplies.length === 0;
  const isBanded = wanted.length > 0;
  const corners = isStiff && isBanded ? SPREAD.map((share) => [share, 'usual'] as const) : wanted;
  const errors = isBanded ? errorsBeyond(piece, average) : new Map<string, number>();
  const factors = errors.size === 0 ? [] : [-1, 1];
  return {
    average,
    beyond: Math.max(0, ...errors.values()),
    corners: [
      ...corners.flatMap(([share, stiffness]) => solvePiece(piece, share, stiffness) ?? []),
      ...factors.flatMap(
        (way) => solvePiece(piece, 1, 'usual', (ref) => 1 + way * (errors.get(ref) ?? 0)) ?? [],
      ),
    ],
  };
}

/** Less than this moves nothing that a band does not hold already. */
const LEAST_BEYOND = 0.02;

function errorsBeyond(piece: Piece, average: AmplifierPoint): ReadonlyMap<string, number> {
  const held = new Map(piece.sources.map(({ node, reading }) => [node, reading.known.quantity.value]));
  const volts = (node: string) => (node === 'gnd' ? 0 : (average.nodes.get(node) ?? held.get(node)));
  return new Map(
    piece.valves.flatMap((valve) => {
      const at = standingOf(valve, volts, average.valves.get(`valve ${valve.ref}`)?.cathodeCurrent);
      const error = at === undefined ? 0 : errorBeyond(valve, at);
      return error < LEAST_BEYOND ? [] : [[valve.ref, error] as const];
    }),
  );
}

function solvePiece(
  piece: Piece,
  share: number,
  stiffness: Stiffness,
  factorOf?: (valve: string) => number,
): AmplifierPoint | undefined {
  const elements = elementsOf(piece, stiffness, {
    model: (ref, average) =>
      share === 1 && factorOf === undefined ? average : scaledModel(average, share, factorOf?.(ref)),
  });
  if (elements === undefined) return undefined;
  const point = settleAmplifier({ elements });
  return point.ok ? point.value : undefined;
}

function figuresOf(
  piece: Piece,
  { average, beyond, corners }: Band,
  view: PhaseView,
  read: SetReadings | undefined,
  file: string,
): readonly Figure[] {
  const usesReading = piece.sources.length > 0 || piece.supplies.some((supply) => supply.usesReading);
  const origin = [
    ...new Set(piece.supplies.map(({ remark }) => remark)),
    ...(piece.sources.length > 0 ? [`from ${piece.sources.map(({ node }) => node).join(', ')} as read`] : []),
    ...(piece.missing.length > 0
      ? [`without ${piece.missing.join(', ')}, of which too little is known`]
      : []),
  ];
  const feeds = eachOnce([
    ...piece.supplies.flatMap(({ inputs }) => inputs),
    ...piece.sources.map(({ node, reading }) => ({ ...reading, name: node, symbol: node })),
  ]);
  const spread = input(
    's',
    'valve spread',
    assumed(
      1,
      '1',
      'valves may pass 80 to 120 % of an average one (common practice, no source), all together',
      SPREAD,
    ),
  );
  const farther =
    beyond === 0
      ? []
      : [
          input(
            'm',
            'amplification by the models',
            assumed(
              1,
              '1',
              'a valve stands beyond the points that its model was held against (house rule, no source)',
              [1 - beyond, 1 + beyond],
            ),
          ),
        ];
  const make = (
    subject: string,
    unit: Unit,
    pick: (point: AmplifierPoint) => number | undefined,
    own: {
      readonly inputs: readonly FigureInput[];
      readonly models: readonly ValveModel[];
      readonly remarks: readonly string[];
      readonly source: Source | undefined;
    },
    figure: 'expected' | 'ripple' = 'expected',
  ): Figure | undefined => {
    const value = pick(average);
    if (value === undefined || !Number.isFinite(value)) return undefined;
    // The band is even about the average valve's value, as wide as the farther corner.
    const reach = Math.max(0, ...corners.map((corner) => Math.abs((pick(corner) ?? value) - value)));
    const inputs = [...feeds, ...own.inputs, spread, ...farther];
    const source = own.source ?? placeIn(file, inputs);
    if (source === undefined) return undefined;
    const sources = [...new Set(own.models.map((model) => `${model.valve}: ${model.source}`))];
    return {
      file,
      subject,
      figure,
      quantity: quantity(Math.abs(value) < ROUNDING ? 0 : value, unit),
      ...(reach > ROUNDING && Number.isFinite(reach) && { low: value - reach, high: value + reach }),
      phase: view.phase,
      set: usesReading ? (view.verdictSet?.id ?? 0) : 0,
      basis: 'expected',
      formula: ['direct-current solution', ...sources].join(', '),
      inputs,
      source,
      remark: [...origin, ...own.remarks].join('; '),
    };
  };

  const guessesOf = (valves: readonly PlacedValve[]): readonly string[] =>
    piece.conductors.flatMap(({ guess, from }) =>
      guess !== undefined && valves.some(({ grid }) => grid === from) ? [guess] : [],
    );
  const figures: (Figure | undefined)[] = [];
  for (const node of piece.nodes) {
    if (!isToldNode(node, piece.valves)) continue;
    const at = piece.valves.filter((valve) =>
      [valve.anode, valve.grid, valve.cathode, valve.screen].includes(node),
    );
    const models = at.flatMap(({ model }) => model ?? []);
    const reading = read?.voltsAt(node)?.known.source;
    figures.push(
      make(node, 'V', (point) => point.nodes.get(node), {
        inputs: partsAt(piece.conductors, [node]),
        models,
        remarks: [...new Set(models.map(nameModel)), ...guessesOf(at)],
        source: reading?.file === file ? reading : undefined,
      }),
    );
  }
  for (const valve of piece.valves) {
    const { ref, part, model, anode, cathode, screen } = valve;
    if (model === undefined) continue;
    const name = `valve ${ref}`;
    const nodes = [anode, cathode, ...(screen === undefined ? [] : [screen])].filter(
      (node) => node !== 'gnd' && !isRail(node),
    );
    const said = average.valves.get(name)?.remarks ?? [];
    figures.push(
      make(ref, 'A', (point) => point.valves.get(name)?.cathodeCurrent, {
        inputs: partsAt(piece.conductors, nodes),
        models: [model],
        remarks: [`${nameModel(model)}: ${model.knownError}`, ...guessesOf([valve]), ...said],
        source: part.source.file === file ? part.source : undefined,
      }),
    );
  }
  for (const supply of piece.supplies) {
    const { name } = supply.element('usual');
    figures.push(
      make(
        supply.node,
        'V',
        (point) => point.supplies.get(name)?.reservoir.ripplePeakToPeak,
        { inputs: [], models: [], remarks: [], source: undefined },
        'ripple',
      ),
    );
  }
  return figures.flatMap((figure) => figure ?? []);
}

/** Two supplies share the mains and perhaps more. */
function eachOnce(inputs: readonly FigureInput[]): readonly FigureInput[] {
  return [...new Map(inputs.map((each) => [`${each.symbol} ${each.name}`, each] as const)).values()];
}

/** `5881 by the set "computed fit", ±15 % in anode current`. */
function nameModel({ valve, name, error }: ValveModel): string {
  return `${valve} by its ${name === 'computed fit' ? name : `set of ${name}`}, anode current to ±${Math.round(error * 100)} %`;
}

/** The parts that sit at the nodes, with the resistance that entered the solution. */
function partsAt(conductors: readonly Conductor[], nodes: readonly string[]): readonly FigureInput[] {
  return conductors
    .filter(({ from, to }) => nodes.includes(from) || nodes.includes(to))
    .map(({ name, resistance }) => input(name, name, resistance));
}

/** The last place in this file among the inputs, else the first anywhere. */
function placeIn(file: string, inputs: readonly FigureInput[]): Source | undefined {
  const places = inputs.flatMap(({ known }) => known.source ?? []);
  return places.filter((place) => place.file === file).at(-1) ?? places[0];
}
