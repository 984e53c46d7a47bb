/**
 * Owns the gain of a power amplifier without its feedback: from the place where the feedback comes in, through phase splitter
 * and output valves, to the tap of the output transformer that it is taken from.
 */
import { magnitudes, transfer } from '../../electronics/solver/sweep.ts';
import { hertz, quantity } from '../../units/si.ts';
import type { FigureInput } from '../model.ts';
import { compareNames } from '../points.ts';
import { type Held, signalElements, signalNode } from '../signal-circuit.ts';
import type { PhaseBench } from './bench.ts';
import { UNWRITTEN } from './controls.ts';
import { input } from './figure.ts';
import { surroundingsOf, transformerElements } from './surroundings.ts';

/** Where couplings pass everything and strays take nothing yet. */
const MIDDLE = hertz(1000);
/** A valve may amplify this share of what an average one does: the customary spread (common practice, no source). */
const SPREAD = [0.8, 1.2] as const;

/** `A`, with the loop cut at `feedback`; undefined where a value, a valve's constants or the transformer's ratio is missing. */
export function forwardGain(
  bench: PhaseBench,
  cut: ReadonlySet<string>,
  from: string,
  tap: string,
): FigureInput | undefined {
  const region = surroundingsOf(bench, cut, [from], 'onward');
  if (!region.ok) return undefined;
  const { transformers, ...within } = region.value;
  const [transformer] = transformers;
  if (transformer === undefined || transformers.length > 1) return undefined;
  const secondary = transformerElements(bench, transformer, tap);
  if (secondary === undefined) return undefined;
  const solve = (unwritten?: number) => {
    const circuit = signalElements(bench, { ...within, input: from, output: tap }, unwritten);
    if (!circuit.ok) return undefined;
    const elements = [...circuit.value.elements, ...secondary.elements];
    const response = transfer({ elements }, { plus: from }, { plus: tap }, [MIDDLE]);
    const [gain] = response.ok ? magnitudes(response.value) : [];
    return gain === undefined || !(gain > 0) ? undefined : { gain, held: circuit.value.held };
  };
  const told = solve();
  if (told === undefined) return undefined;
  const unset = settingsTaken(bench, told.held, from);
  const others = unset.length === 0 ? [] : UNWRITTEN.map((setting) => solve(setting)?.gain);
  const gains = [told.gain, ...others.flatMap((gain) => gain ?? [])];
  if (gains.length <= others.length) return undefined;
  const valves = [...within.valves].sort(compareNames).join(', ');
  const because = [
    `from ${from} to ${tap} without feedback, at 1 kHz; ${valves} at the catalogue’s typical points, give or take a fifth`,
    secondary.words,
    ...(unset.length === 0 ? [] : [`${unset.join(', ')} anywhere from ${UNWRITTEN.join(' to ')}`]),
  ].join('; ');
  return input('A', `gain to ${tap}`, {
    quantity: quantity(told.gain, '1'),
    low: Math.min(...gains) * SPREAD[0],
    high: Math.max(...gains) * SPREAD[1],
    basis: secondary.isAssumed || unset.length > 0 ? 'assumed' : 'catalogue',
    because,
  });
}

/** Controls whose setting nobody wrote; what hangs on the driven place itself makes no difference. */
function settingsTaken(bench: PhaseBench, held: readonly Held[], from: string): readonly string[] {
  return held.flatMap((each) => {
    if (each.kind !== 'setting' || !each.isAssumed) return [];
    const nodes = [...(bench.view.parts.get(each.ref)?.terminals.values() ?? [])];
    return nodes.includes(from) && nodes.every((node) => node === from || signalNode(bench, node) === 'gnd')
      ? []
      : [each.ref];
  });
}
