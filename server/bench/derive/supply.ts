/**
 * Owns the figures of the supply that need no reading: heater current, the voltage that cold valves leave on every
 * capacitor, and the load that the output transformer shows.
 */

import type { Valve } from '../../catalogue/valve.ts';
import type { Winding } from '../../dialect/tree.ts';
import { coldStartVoltage } from '../../electronics/cold-start-voltage.ts';
import { parallelResistance } from '../../electronics/combined-resistance.ts';
import { heaterCurrent } from '../../electronics/heater-budget.ts';
import { reflectedByTap } from '../../electronics/reflected-load.ts';
import { amperes, ohms, ratio, volts } from '../../units/si.ts';
import { endsOf } from '../look.ts';
import type { FigureInput, FittedPart, Known } from '../model.ts';
import { compareNames } from '../points.ts';
import { loadedTaps } from '../speaker-taps.ts';
import { roleOf } from './bench.ts';
import { calculate, input, knownBy } from './figure.ts';
import type { StageBench } from './stages.ts';
import { supplyLimits } from './supply-limits.ts';
import { supplyAt } from './unloaded-supply.ts';

export function supplyFigures(bench: StageBench): void {
  heaters(bench);
  coldStart(bench);
  reflectedLoads(bench);
  supplyLimits(bench);
}

/** Sum over all valves with 6.3 V heaters; nothing while one of them is not known. */
export function heaters(bench: StageBench): void {
  const wholes = new Map<string, FittedPart>();
  for (const part of bench.parts) {
    if (part.class !== 'valve') continue;
    if (part.type?.valve === undefined) return;
    if (!wholes.has(part.whole)) wholes.set(part.whole, part);
  }
  const inputs: FigureInput[] = [];
  for (const [whole, part] of [...wholes].sort(([a], [b]) => compareNames(a, b))) {
    const heater = part.type?.valve?.heater;
    if (heater === undefined || Math.abs(heater.volts.value - 6.3) > 0.2) continue;
    inputs.push(input(`I(${whole})`, `${whole} heater`, heaterKnown(heater, part)));
  }
  const [first] = wholes.values();
  if (inputs.length === 0 || first === undefined) return;
  bench.ledger.add(
    calculate(bench.moment, {
      subject: 'heaters',
      figure: 'heater-current',
      unit: 'A',
      formula: inputs.map(({ symbol }) => symbol).join(' + '),
      inputs,
      by: (...values) => heaterCurrent(values.map((value) => ({ current: amperes(value), valves: 1 }))),
      source: first.source,
      remark: 'all 6.3 V heaters in parallel',
    }),
  );
}

function heaterKnown({ amperes: { value, trust } }: Valve['heater'], part: FittedPart): Known {
  return knownBy(value, 'A', 'catalogue', `${part.type?.valve?.type ?? ''}: ${trust.source}`, part.source);
}

/** The unloaded supply at high mains, on every capacitor that no current unloads while the valves are cold. */
export function coldStart(bench: StageBench): void {
  for (const node of bench.look.rectified) {
    const supply = supplyAt(bench, node);
    if (supply === undefined) continue;
    for (const { part, at } of capacitorsReached(bench, node)) {
      bench.ledger.add(
        calculate(bench.moment, {
          subject: part.ref,
          figure: 'cold-voltage',
          unit: 'V',
          formula: '√2 · Vrms · (1 + r) · m',
          inputs: [supply.winding, supply.rise, supply.mains],
          by: (v = 0, r = 0, m = 0) =>
            coldStartVoltage({ winding: volts(v), rise: ratio(r), mains: ratio(m), circuit: supply.circuit }),
          source: part.source,
          remark:
            at === node
              ? supply.remark
              : [`no current through what lies between ${node} and ${at}`, supply.remark]
                  .filter(Boolean)
                  .join('; '),
        }),
      );
    }
  }
}

/** Capacitors to ground on the rectified node and on every node behind droppers, chokes, screen resistors and the output transformer. */
function capacitorsReached(bench: StageBench, from: string): readonly { part: FittedPart; at: string }[] {
  const reached = new Set([from]);
  const open = [from];
  const found: { part: FittedPart; at: string }[] = [];
  for (let node = open.pop(); node !== undefined; node = open.pop()) {
    for (const part of bench.look.partsAt(node)) {
      if (part.class === 'capacitor') {
        if (endsOf(part)?.includes('gnd') === true) found.push({ part, at: node });
        continue;
      }
      const role = roleOf(bench, part.ref);
      const passes =
        role === 'dropper' ||
        role === 'choke' ||
        role === 'screen-resistor' ||
        part.class === 'fuse' ||
        part.class === 'switch';
      if (!passes) continue;
      for (const far of endsOf(part) ?? []) {
        if (far === 'gnd' || reached.has(far)) continue;
        reached.add(far);
        open.push(far);
      }
    }
  }
  return found.sort((a, b) => compareNames(a.part.ref, b.part.ref));
}

/** The primary load with the loudspeaker that sits on a tap. */
export function reflectedLoads(bench: StageBench): void {
  for (const part of bench.outputTransformers) {
    const windings = part.specification?.windings ?? [];
    const primary = impedanceOf(windings.find(({ side }) => side === 'primary'));
    if (primary === undefined) continue;
    const taps = loadedTaps(bench.view, part);
    // Two taps in use at once share the primary in a way that a tap's marking does not tell.
    for (const { tap, speakers } of taps.length === 1 ? taps : []) {
      const loads = speakers.flatMap(({ ref, impedance }) =>
        impedance === undefined ? [] : [input(speakers.length > 1 ? ref : 'Zload', ref, impedance)],
      );
      if (loads.length !== speakers.length) continue;
      const file = part.source.file;
      bench.ledger.add(
        calculate(bench.moment, {
          subject: part.ref,
          figure: 'reflected-load',
          unit: 'Ohm',
          formula: `Zp · ${loads.length > 1 ? `(${loads.map(({ symbol }) => symbol).join(' ∥ ')})` : 'Zload'} / Ztap`,
          inputs: [
            input(
              'Zp',
              `${part.ref} primary`,
              knownBy(primary.ohms, 'Ohm', 'fitted', undefined, { file, span: primary.span }),
            ),
            input('Ztap', `${part.ref}.${tap}R`, knownBy(tap, 'Ohm', 'fitted', undefined, part.source)),
            ...loads,
          ],
          by: (p = 0, t = 0, ...l) => {
            const load = parallelResistance(l.map(ohms));
            return load.ok ? reflectedByTap({ primary: ohms(p), tap: ohms(t), load: load.value }) : load;
          },
          source: part.source,
        }),
      );
    }
  }
}

function impedanceOf(winding: Winding | undefined): { ohms: number; span: Winding['span'] } | undefined {
  const written = winding?.impedance;
  if (written?.kind !== 'value') return undefined;
  return { ohms: written.value.quantity.value, span: written.value.span };
}
