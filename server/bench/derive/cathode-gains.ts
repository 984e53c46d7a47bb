/** Owns the gains of stages whose cathode is part of the signal's way: a cathode follower, and a long-tailed pair. */
import { cathodeFollower } from '../../electronics/cathode-follower.ts';
import { type LongTailGain, longTailGain } from '../../electronics/long-tail-gain.ts';
import { found } from '../../electronics/result.ts';
import { ohms, ratio } from '../../units/si.ts';
import { endsOf } from '../look.ts';
import type { FigureInput } from '../model.ts';
import { roleOf, type ValveAt } from './bench.ts';
import { as, calculate } from './figure.ts';
import { addGain } from './gain.ts';
import { resistanceOf } from './resistors.ts';
import { constantsOf, findStage, inParallel, loadBehind } from './stage.ts';
import type { StageBench } from './stages.ts';

export function cathodeGains(bench: StageBench): void {
  for (const valve of bench.valves) {
    const network = bench.view.roles.get(valve.ref)?.network?.name;
    if (network === 'cathode-follower') followerGain(bench, valve);
    else if (network === 'long-tail-pair') pairGain(bench, valve);
  }
}

function followerGain(bench: StageBench, valve: ValveAt): void {
  const { anodeResistance: ra, amplification: mu } =
    valve.valve === undefined ? {} : constantsOf(valve.valve);
  const rk = resistorsAt(bench, valve.k, 'cathode-resistor');
  const [only] = rk;
  if (ra === undefined || mu === undefined || only === undefined || rk.length > 1) return;
  if (valve.onCathode.length > 1) return;
  const loads = loadBehind(bench, valve.k).inputs.map((each, i) => as(`Rg${i + 1}`, each));
  const r = ['Rk', ...loads.map(({ symbol }) => symbol)].join(' ∥ ');
  const inputs = [mu, ra, as('Rk', only), ...loads];
  const follower = (m: number, a: number, rest: readonly number[]) =>
    cathodeFollower({
      amplificationFactor: ratio(m),
      anodeResistance: ohms(a),
      cathodeLoad: ohms(inParallel(...rest)),
    });
  const load = loads.length > 0 ? `(${r})` : r;
  addGain(bench, valve, {
    formula: `µ · ${load} / (ra + (µ + 1) · ${load})`,
    inputs,
    by: (m = 0, a = 0, ...rest) => {
      const made = follower(m, a, rest);
      return made.ok ? found<number>(made.value.gain) : made;
    },
    remark: 'a cathode follower: below 1 is as it should be',
  });
  bench.ledger.add(
    calculate(bench.moment, {
      subject: valve.ref,
      figure: 'output-impedance',
      unit: 'Ohm',
      formula: '(Rk ∥ ra / (µ + 1))',
      inputs: [mu, ra, as('Rk', only)],
      by: (m = 0, a = 0, ...rest) => {
        const made = follower(m, a, rest);
        return made.ok ? found<number>(made.value.outputImpedance) : made;
      },
      source: valve.part.source,
    }),
  );
}

/** Both gains, once, from the valve whose grid is driven. */
function pairGain(bench: StageBench, driven: ValveAt): void {
  const other = bench.valves.find(({ ref }) => ref !== driven.ref && driven.onCathode.includes(ref));
  if (other === undefined || driven.onCathode.length !== 2) return;
  if (isHeldStill(bench, driven) || !isHeldStill(bench, other)) return;
  if (driven.valve === undefined || driven.valve !== other.valve) return;
  const { anodeResistance: ra, amplification: mu } = constantsOf(driven.valve);
  const tail = tailUnder(bench, driven.k);
  const [one, two] = [findStage(bench, driven), findStage(bench, other)];
  if (ra === undefined || mu === undefined || one === undefined || two === undefined || tail.length === 0)
    return;
  const [r1, r2] = [one, two].map(({ anodeLoad, following }, i) => [
    as(`Ra${i + 1}`, anodeLoad),
    ...following.inputs.map((each, j) => as(`Rg${i + 1}${following.inputs.length > 1 ? j + 1 : ''}`, each)),
  ]);
  if (r1 === undefined || r2 === undefined) return;
  const rt = tail.map((each, i) => as(tail.length > 1 ? `Rt${i + 1}` : 'Rt', each));
  const inputs = [mu, ra, ...r1, ...r2, ...rt];
  const pick =
    (which: keyof LongTailGain) =>
    (m = 0, a = 0, ...rest: readonly number[]) => {
      const made = longTailGain({
        amplificationFactor: ratio(m),
        anodeResistance: ohms(a),
        drivenLoad: ohms(inParallel(...rest.slice(0, r1.length))),
        otherLoad: ohms(inParallel(...rest.slice(r1.length, r1.length + r2.length))),
        tail: ohms(rest.slice(r1.length + r2.length).reduce((sum, each) => sum + each, 0)),
      });
      return made.ok ? found<number>(made.value[which]) : made;
    };
  const [R1, R2, Rt] = [r1, r2].map(sideBySide).concat(rt.map(({ symbol }) => symbol).join(' + '));
  const current = `µ / (ra + R1 + (µ + 1) · (Rt ∥ z))`;
  const where = `R1 = ${R1}, R2 = ${R2}, Rt = ${Rt}, z = (ra + R2) / (µ + 1)`;
  const remark = `driven at ${driven.g} with ${other.g} held still: each side makes about half of what the valve would alone`;
  addGain(bench, driven, { formula: `${current} · R1; ${where}`, inputs, by: pick('driven'), remark });
  addGain(bench, other, {
    formula: `${current} · R2 · Rt / (Rt + z); ${where}`,
    inputs,
    by: pick('other'),
    remark,
  });
}

function sideBySide(inputs: readonly FigureInput[]): string {
  return inputs.map(({ symbol }) => symbol).join(' ∥ ');
}

/** A grid that a capacitor holds still for signals, or that is tied to ground. */
function isHeldStill(bench: StageBench, { ref, g }: ValveAt): boolean {
  if (g === 'gnd') return true;
  return bench.look.partsAt(g).some((part) => {
    const role = bench.view.roles.get(part.ref);
    return role?.role === 'grid-return' && role.serves.includes(ref);
  });
}

function resistorsAt(bench: StageBench, node: string, role: 'cathode-resistor'): readonly FigureInput[] {
  return bench.look
    .partsAt(node)
    .flatMap((part) => (roleOf(bench, part.ref) === role ? (resistanceOf(part) ?? []) : []));
}

/** The resistors in a row from a node to ground; none where the way forks, or is not known. */
function tailUnder(bench: StageBench, from: string): readonly FigureInput[] {
  const found: FigureInput[] = [];
  const seen = new Set<string>();
  for (let node = from; node !== 'gnd'; ) {
    const next = bench.look
      .partsAt(node)
      .filter(
        (part) =>
          part.class === 'resistor' &&
          !seen.has(part.ref) &&
          !['grid-leak', 'feedback', 'anode-load'].includes(roleOf(bench, part.ref)),
      );
    const [part] = next;
    const ends = part && endsOf(part);
    const resistance = part && resistanceOf(part);
    if (part === undefined || next.length > 1 || ends === undefined || resistance === undefined) return [];
    seen.add(part.ref);
    found.push(resistance);
    node = ends[0] === node ? ends[1] : ends[0];
  }
  return found;
}
