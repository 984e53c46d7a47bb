/**
 * Owns the figures of a feedback loop from the loudspeaker: how much feedback there is, the treble lift of a presence
 * capacitor and the bass lift of a resonance control, each with both breaks where the gain without feedback is known.
 */
import { withFeedback } from '../../electronics/negative-feedback.ts';
import { type PresenceShelf, presenceShelf, tappedPresenceShelf } from '../../electronics/presence-shelf.ts';
import { rcCorner } from '../../electronics/rc-corner.ts';
import { resonanceShelf } from '../../electronics/resonance-shelf.ts';
import { found, type Result } from '../../electronics/result.ts';
import { farads, ohms, ratio } from '../../units/si.ts';
import { endsOf } from '../look.ts';
import type { FigureInput, FittedPart } from '../model.ts';
import { isSecondary } from '../points.ts';
import { roleOf } from './bench.ts';
import { findArms, rheostatBetween } from './controls.ts';
import { as, calculate } from './figure.ts';
import { forwardGain } from './forward-gain.ts';
import { resistanceOf } from './resistors.ts';
import { inParallel } from './stage.ts';
import { capacitanceOf, type StageBench } from './stages.ts';

/** From the tap through the feedback resistor (and a resonance control with its capacitor) to where it comes in, and what is below that. */
interface Loop {
  readonly feedback: FittedPart;
  readonly rf: FigureInput;
  readonly tap: string;
  /** Where the feedback comes in. */
  readonly node: string;
  /** The resistor or control from there to ground. */
  readonly tail: FittedPart;
  readonly rt: FigureInput;
  readonly resonance?: {
    readonly capacitor: FittedPart;
    readonly control: FittedPart;
    readonly between: readonly [string, string];
  };
  /** Gain without feedback. */
  readonly gain?: FigureInput;
}

export function feedbackFigures(bench: StageBench): void {
  for (const part of bench.parts) {
    const loop =
      part.class === 'resistor' && roleOf(bench, part.ref) === 'feedback' ? findLoop(bench, part) : undefined;
    if (loop === undefined) continue;
    amountOf(bench, loop);
    if (loop.resonance !== undefined) resonanceOf(bench, loop, loop.resonance);
    for (const capacitor of bench.parts)
      if (capacitor.class === 'capacitor' && capacitor !== loop.resonance?.capacitor)
        presenceOf(bench, loop, capacitor);
  }
}

const far = (part: FittedPart, node: string): string | undefined => {
  const ends = endsOf(part);
  return ends?.includes(node) === true ? (ends[0] === node ? ends[1] : ends[0]) : undefined;
};

function findLoop(bench: StageBench, feedback: FittedPart): Loop | undefined {
  const ends = endsOf(feedback);
  const rf = resistanceOf(feedback);
  if (ends === undefined || rf === undefined) return undefined;
  for (const [near, other] of [ends, [ends[1], ends[0]] as const]) {
    const before = isSecondary(near) ? { tap: near } : controlAt(bench, near, feedback, isSecondary);
    if (before === undefined || isSecondary(other)) continue;
    const hasTail = tailAt(bench, other, feedback) !== undefined;
    const after = hasTail || 'control' in before ? undefined : controlAt(bench, other, feedback, () => true);
    const node = after?.tap ?? other;
    const tail = tailAt(bench, node, feedback);
    const rt = tail && resistanceOf(tail);
    if (tail === undefined || rt === undefined) continue;
    const resonance = after ?? ('control' in before ? before : undefined);
    const cut = new Set([
      feedback.ref,
      ...(resonance ? [resonance.control.ref, resonance.capacitor.ref] : []),
    ]);
    // A cathode there is driven through the loop's own resistances, which is another sum.
    const isAtCathode = bench.look.at(node, 'k').length > 0;
    const gain = isAtCathode ? undefined : forwardGain(bench, cut, node, before.tap);
    return {
      feedback,
      rf: as('Rf', rf),
      tap: before.tap,
      node,
      tail,
      rt: as('Rt', rt),
      ...(resonance && { resonance }),
      ...(gain && { gain }),
    };
  }
  return undefined;
}

/** A control with a capacitor across it, in series with the feedback resistor at a node; `tap` is its other end. */
function controlAt(
  bench: StageBench,
  node: string,
  feedback: FittedPart,
  leadsTo: (node: string) => boolean,
) {
  if (node === 'gnd') return undefined;
  const there = bench.look.partsAt(node).filter((part) => part !== feedback);
  for (const control of there) {
    if (control.class !== 'potentiometer') continue;
    for (const tap of new Set(control.terminals.values())) {
      if (tap === node || tap === 'gnd' || !leadsTo(tap)) continue;
      const capacitor = there.find((part) => part.class === 'capacitor' && far(part, node) === tap);
      if (capacitor !== undefined) return { tap, control, capacitor, between: [node, tap] as const };
    }
  }
  return undefined;
}

/** The one resistor, or the track of a control, from a node to ground. */
function tailAt(bench: StageBench, node: string, feedback: FittedPart): FittedPart | undefined {
  if (node === 'gnd') return undefined;
  const tails = bench.look
    .partsAt(node)
    .filter(
      (part) =>
        part !== feedback &&
        (part.class === 'resistor' || part.class === 'potentiometer') &&
        far(part, node) === 'gnd',
    );
  return tails.length === 1 ? tails[0] : undefined;
}

/** How much the loop takes off the gain. */
function amountOf(bench: StageBench, { feedback, rf, rt, gain, tap, node, resonance }: Loop): void {
  if (gain === undefined) return;
  bench.ledger.add(
    calculate(bench.moment, {
      subject: feedback.ref,
      figure: 'feedback-db',
      unit: 'dB',
      formula: '20 · log10(1 + A · Rt / (Rt + Rf))',
      inputs: [gain, rt, rf],
      by: (a = 0, t = 0, f = 0) => {
        const closed = withFeedback(ratio(a), ratio(t / (t + f)));
        return closed.ok ? found<number>(closed.value.amount) : closed;
      },
      remark: [
        `from ${tap} to ${node}`,
        ...(resonance === undefined ? [] : ['in the treble, where its capacitor bridges the control']),
      ].join(', '),
      source: feedback.source,
    }),
  );
}

type Pick = 'zero' | 'pole' | 'lift';

const NO_GAIN = 'where the lift ends goes by the loop’s gain, which is not known here';

/** A capacitor from where the feedback comes in to ground, by itself, through a control, or at the wiper of one that is the tail. */
function presenceOf(bench: StageBench, loop: Loop, part: FittedPart): void {
  const capacitance = capacitanceOf(part);
  const ends = endsOf(part);
  if (capacitance === undefined || ends === undefined) return;
  if (loop.tail.class === 'potentiometer') {
    const wiper = loop.tail.terminals.get('2');
    if (wiper !== undefined && wiper !== 'gnd' && wiper !== loop.node && far(part, wiper) === 'gnd')
      tappedPresence(bench, loop, part, capacitance);
  }
  const beyond = far(part, loop.node);
  if (beyond === undefined) return;
  const control = beyond === 'gnd' ? undefined : seriesAt(bench, beyond, part);
  if (beyond !== 'gnd' && control === undefined) return;
  const { rf, rt, gain } = loop;
  const controls = control === undefined ? [] : [control];
  const base = { subject: part.ref, source: part.source } as const;
  bench.ledger.add(
    calculate(bench.moment, {
      ...base,
      figure: 'shelf-low',
      unit: 'Hz',
      formula: control ? '1 / (2π · C · (Rp + Rt ∥ Rf))' : '1 / (2π · C · (Rt ∥ Rf))',
      inputs: [capacitance, rt, rf, ...controls],
      by: (c = 0, t = 0, f = 0, p = 0) => rcCorner(ohms(p + inParallel(t, f)), farads(c)),
      ...(gain === undefined && { remark: NO_GAIN }),
    }),
  );
  if (gain === undefined) return;
  const by =
    (pick: Pick) =>
    (a = 0, c = 0, t = 0, f = 0, p = 0): Result<number> =>
      picked(
        presenceShelf({
          gain: ratio(a),
          feedback: ohms(f),
          tail: ohms(t),
          capacitance: farads(c),
          control: ohms(p),
        }),
        pick,
      );
  const inputs = [gain, capacitance, rt, rf, ...controls];
  const k = '(1 + A · Rt / (Rt + Rf))';
  bench.ledger.add(
    calculate(bench.moment, {
      ...base,
      figure: 'shelf-high',
      unit: 'Hz',
      formula: control ? `${k} / (2π · C · (Rt ∥ Rf + Rp · ${k}))` : `${k} / (2π · C · (Rt ∥ Rf))`,
      inputs,
      by: by('pole'),
    }),
  );
  bench.ledger.add(
    calculate(bench.moment, {
      ...base,
      figure: 'step-db',
      unit: 'dB',
      formula: control
        ? `20 · log10(${k} / (1 + A · Rt / (Rt + Rf) · Rp / (Rp + Rt ∥ Rf)))`
        : `20 · log10${k}`,
      inputs,
      by: by('lift'),
      remark: 'the output transformer bends the top of it',
    }),
  );
}

function tappedPresence(bench: StageBench, loop: Loop, part: FittedPart, capacitance: FigureInput): void {
  const arms = findArms(bench, loop.tail);
  const isTurned = loop.tail.terminals.get('3') === 'gnd';
  const { gain, rf } = loop;
  if (arms === undefined || gain === undefined) return;
  const above = as('Ru', isTurned ? arms.lower : arms.upper);
  const below = as('Rl', isTurned ? arms.upper : arms.lower);
  const inputs = [gain, capacitance, above, below, rf];
  const by =
    (pick: Pick) =>
    (a = 0, c = 0, u = 0, l = 0, f = 0): Result<number> =>
      picked(
        tappedPresenceShelf({
          gain: ratio(a),
          feedback: ohms(f),
          above: ohms(u),
          below: ohms(l),
          capacitance: farads(c),
        }),
        pick,
      );
  const ends = '(1 + A · (Ru + Rl) / (Ru + Rl + Rf)) / (1 + A · Ru / (Ru + Rf))';
  const common = { subject: part.ref, inputs, source: part.source, remark: arms.because } as const;
  const low = '1 / (2π · C · (Rl ∥ (Ru + Rf)))';
  const all = [
    { ...common, figure: 'shelf-low', unit: 'Hz', formula: low, by: by('zero') },
    { ...common, figure: 'shelf-high', unit: 'Hz', formula: `${low} · ${ends}`, by: by('pole') },
    { ...common, figure: 'step-db', unit: 'dB', formula: `20 · log10(${ends})`, by: by('lift') },
  ] as const;
  for (const each of all) bench.ledger.add(calculate(bench.moment, each));
}

/** The bass that a control lifts: below the lower break its whole resistance is in the loop, above the upper one the capacitor bridges it. */
function resonanceOf(
  bench: StageBench,
  { rf, rt, gain }: Loop,
  { capacitor, control, between }: NonNullable<Loop['resonance']>,
): void {
  const capacitance = capacitanceOf(capacitor);
  const rp = rheostatBetween(bench, control, between, 'Rp', 'without its ends');
  if (capacitance === undefined || rp === undefined) return;
  const base = { subject: capacitor.ref, source: capacitor.source } as const;
  // A control turned to nothing lifts nothing and has no breaks.
  bench.ledger.add(
    calculate(bench.moment, {
      ...base,
      figure: 'shelf-high',
      unit: 'Hz',
      formula: '1 / (2π · C · (Rp ∥ (Rt + Rf)))',
      inputs: [capacitance, rp, rt, rf],
      by: (c = 0, p = 0, t = 0, f = 0) => rcCorner(ohms(inParallel(p, t + f)), farads(c)),
      ...(gain === undefined && { remark: NO_GAIN }),
    }),
  );
  if (gain === undefined) return;
  const by =
    (pick: Pick) =>
    (a = 0, c = 0, p = 0, t = 0, f = 0): Result<number> =>
      picked(
        resonanceShelf({
          gain: ratio(a),
          feedback: ohms(f),
          tail: ohms(t),
          control: ohms(p),
          capacitance: farads(c),
        }),
        pick,
      );
  const inputs = [gain, capacitance, rp, rt, rf];
  bench.ledger.add(
    calculate(bench.moment, {
      ...base,
      figure: 'shelf-low',
      unit: 'Hz',
      formula: '(1 + Rp / (Rt + Rf + A · Rt)) / (2π · Rp · C)',
      inputs,
      by: by('pole'),
    }),
  );
  bench.ledger.add(
    calculate(bench.moment, {
      ...base,
      figure: 'step-db',
      unit: 'dB',
      formula: '20 · log10((1 + A · Rt / (Rt + Rf + Rp)) / (1 + A · Rt / (Rt + Rf)))',
      inputs,
      by: (...values) => {
        const lift = by('lift')(...values);
        return lift.ok ? found(-lift.value) : lift;
      },
      remark: `${control.ref} lifts the bass by so much: above its breaks there is less`,
    }),
  );
}

function picked(shelf: Result<PresenceShelf>, pick: Pick): Result<number> {
  return shelf.ok ? found<number>(shelf.value[pick]) : shelf;
}

/** What lies between a presence capacitor and ground: a resistor, or a control as far as it is set. */
function seriesAt(bench: StageBench, node: string, from: FittedPart): FigureInput | undefined {
  const others = bench.look.partsAt(node).filter((part) => part !== from);
  const [part] = others;
  if (part === undefined || others.length > 1) return undefined;
  if (part.class === 'potentiometer') return rheostatBetween(bench, part, [node, 'gnd'], 'Rp');
  const resistance = part.class === 'resistor' && far(part, node) === 'gnd' ? resistanceOf(part) : undefined;
  return resistance && as('Rp', resistance);
}
