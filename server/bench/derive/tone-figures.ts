/**
 * Owns the level through a tone network at its written settings, from the grid that drives it to the one that hears it, at four
 * telling frequencies, and what the network leaves of the gain of the stage that it hangs on. Where a setting is not written the
 * level is not told, for a tone control may do anything, and the gain has a band.
 */
import { found, refused } from '../../electronics/result.ts';
import { levels, magnitudes, transfer } from '../../electronics/solver/sweep.ts';
import { hertz } from '../../units/si.ts';
import type { FigureInput, FigureName, FittedPart } from '../model.ts';
import { compareNames } from '../points.ts';
import { findSignalRegion, type SignalRegion, signalElements } from '../signal-circuit.ts';
import { findArms, UNWRITTEN } from './controls.ts';
import { calculate, input } from './figure.ts';
import { addGain } from './gain.ts';
import { resistanceOf } from './resistors.ts';
import { constantsOf } from './stage.ts';
import { capacitanceOf, type StageBench } from './stages.ts';

/** The lowest string, the body of the sound, the middle, the edge of treble. */
const TOLD: readonly (readonly [name: FigureName, frequency: number, words: string])[] = [
  ['level-82', 82, '82 Hz'],
  ['level-400', 400, '400 Hz'],
  ['level-1000', 1000, '1 kHz'],
  ['level-5000', 5000, '5 kHz'],
];

export function toneFigures(bench: StageBench): void {
  const seen = new Set<FittedPart>();
  for (const part of bench.parts) {
    if (!isTone(bench, part) || seen.has(part)) continue;
    const network = togetherWith(bench, part);
    for (const each of network) seen.add(each);
    levelsOf(bench, network);
  }
}

function isTone(bench: StageBench, { ref }: FittedPart): boolean {
  return bench.view.roles.get(ref)?.network?.name === 'tone';
}

/** All parts of tone networks that hang together with one. */
function togetherWith(bench: StageBench, first: FittedPart): readonly FittedPart[] {
  const network = new Set([first]);
  for (const part of network)
    for (const node of part.terminals.values())
      if (node !== 'gnd')
        for (const next of bench.look.partsAt(node)) if (isTone(bench, next)) network.add(next);
  return [...network].sort((a, b) => compareNames(a.ref, b.ref));
}

function levelsOf(bench: StageBench, network: readonly FittedPart[]): void {
  const controls = network.filter(({ class: of }) => of === 'potentiometer');
  const [first] = controls;
  const starts = [...new Set(network.flatMap(({ terminals }) => [...terminals.values()]))];
  const region = findSignalRegion(bench, starts);
  if (!region.ok || first === undefined) return;
  gainInto(bench, region.value);
  const circuit = signalElements(bench, region.value);
  if (!circuit.ok) return;
  // What nobody set or said may be anything.
  const isOpen = circuit.value.held.some(
    (held) =>
      (held.kind === 'setting' && held.isAssumed) ||
      held.kind === 'loop-open' ||
      held.kind === 'switch-closed',
  );
  if (isOpen) return;
  const { elements } = circuit.value;
  const { input: from, output: to, refs, valves } = region.value;
  const frequencies = TOLD.map(([, frequency]) => hertz(frequency));
  const response = transfer({ elements }, { plus: from }, { plus: to }, frequencies);
  if (!response.ok) return;
  const answers = levels(response.value);
  const inputs = inputsOf(bench, refs, valves);
  const subject = controls.map(({ ref }) => ref).join(',');
  const settings = controls.flatMap((part) => findArms(bench, part)?.because ?? []);
  for (const [i, [figure, , words]] of TOLD.entries()) {
    const level = answers[i];
    bench.ledger.add(
      calculate(bench.moment, {
        subject,
        figure,
        unit: 'dB',
        formula: `20 · log10(V(${to}) / V(${from})) at ${words}, by the circuit’s nodes`,
        inputs,
        by: () => (level === undefined ? refused('nothing comes through') : found<number>(level)),
        remark: ['capacitances of valves and wiring left out', ...settings].join('; '),
        source: first.source,
      }),
    );
  }
}

/** The gain of the stage that drives a network, with all that hangs on its anode: it replaces the one that counts grid leaks alone. */
function gainInto(bench: StageBench, region: SignalRegion): void {
  const valve = bench.valves.find(({ ref, g }) => g === region.input && region.valves.has(ref));
  if (valve === undefined || bench.ledger.find(valve.ref, 'gain') === undefined) return;
  const gainAt = (unwritten?: number) => {
    const circuit = signalElements(bench, region, unwritten);
    if (!circuit.ok) return undefined;
    const { elements, held } = circuit.value;
    const response = transfer({ elements }, { plus: region.input }, { plus: valve.a }, [MIDDLE]);
    const [gain] = response.ok ? magnitudes(response.value) : [];
    return gain === undefined ? undefined : { gain, held };
  };
  const told = gainAt();
  if (told === undefined) return;
  const unset = told.held.flatMap((each) => (each.kind === 'setting' && each.isAssumed ? [each.ref] : []));
  const gains = [
    told.gain,
    ...(unset.length === 0 ? [] : UNWRITTEN.flatMap((turn) => gainAt(turn)?.gain ?? [])),
  ];
  addGain(bench, valve, {
    formula: `V(${valve.a}) / V(${region.input}) at 1 kHz, by the circuit’s nodes`,
    inputs: inputsOf(bench, region.refs, region.valves),
    by: () => found<number>(told.gain),
    ...(unset.length > 0 && {
      band: [Math.min(...gains), Math.max(...gains)],
      assumed: true,
      remark: `${unset.join(', ')} anywhere from ${UNWRITTEN.join(' to ')}`,
    }),
  });
}

/** Where tone networks begin to take what the stage makes, and couplings pass everything. */
const MIDDLE = hertz(1000);

/** The parts and constants that the solution rests on. Their tolerances are not carried through: settings change more. */
function inputsOf(
  bench: StageBench,
  refs: ReadonlySet<string>,
  valves: ReadonlySet<string>,
): readonly FigureInput[] {
  const parts = [...refs].sort(compareNames).flatMap((ref): readonly FigureInput[] => {
    const part = bench.view.parts.get(ref);
    if (part === undefined) return [];
    const value =
      part.class === 'capacitor'
        ? capacitanceOf(part)
        : part.class === 'resistor' || part.class === 'potentiometer'
          ? resistanceOf(part)
          : undefined;
    return value === undefined ? [] : [named(ref, value)];
  });
  const constants = bench.valves.flatMap(({ ref, valve }) => {
    if (!valves.has(ref) || valve === undefined) return [];
    const { anodeResistance, amplification } = constantsOf(valve);
    return [anodeResistance, amplification].flatMap((each) =>
      each === undefined ? [] : [input(`${each.symbol}(${ref})`, each.name, each.known)],
    );
  });
  return [...parts, ...constants];
}

/** Without its band: a hundred corners of a network tell nothing. */
function named(symbol: string, { name, known }: FigureInput): FigureInput {
  const { low: _, high: __, ...narrow } = known;
  return input(symbol, name, narrow);
}
