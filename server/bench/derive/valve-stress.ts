/** Owns what a valve is put to: dissipation of anode and screen, each held against its limit, and the grid's bias. */
import { anodeDissipation } from '../../electronics/anode-dissipation.ts';
import { found } from '../../electronics/result.ts';
import { screenDissipation } from '../../electronics/screen-dissipation.ts';
import { amperes, volts } from '../../units/si.ts';
import { FIXED_BIAS_VOLTS } from '../bias.ts';
import { endsOf } from '../look.ts';
import type { Figure, FigureInput } from '../model.ts';
import { isBiasNode } from '../points.ts';
import { limitSource, roleOf, type SetBench, type ValveAt } from './bench.ts';
import { as, assumed, type Calculation, calculate, input, inputFrom, knownBy, remarksOf } from './figure.ts';
import { meterRemark } from './meter-load.ts';
import { resistanceOf } from './resistors.ts';
import { isTriodeConnected } from './valve-currents.ts';

/** Where nobody read a cathode it may stand anywhere up to this: output valves, and small triodes. */
const UNREAD_CATHODE = { output: 30, triode: 5 } as const;

export function valveStress(bench: SetBench): void {
  for (const valve of bench.valves) stressOfValve(bench, valve);
}

export function stressOfValve(bench: SetBench, valve: ValveAt): void {
  anodeFigures(bench, valve);
  screenFigures(bench, valve);
  biasFigure(bench, valve);
}

/** A cathode's voltage as far as it is known, with what must be told of it. */
interface CathodeVolts {
  readonly input: FigureInput;
  readonly remark?: string;
}

/** Cathode to ground: read, tied to ground, by its own current and resistor, or assumed and said so. */
export function cathodeVolts(bench: SetBench, valve: ValveAt): CathodeVolts {
  const { read, look } = bench;
  const atNode = read.voltsAt(valve.k);
  if (atNode !== undefined) return { input: as('Vk', atNode) };
  const below = look
    .partsAt(valve.k)
    .filter((part) => part.class === 'resistor' && endsOf(part)?.includes('gnd'))
    .filter(({ ref }) => ['cathode-resistor', 'sense-resistor'].includes(roleOf(bench, ref)));
  const [only] = below;
  if (only !== undefined && below.length === 1) {
    const across = read.voltsAcross(only);
    if (across !== undefined) return { input: as('Vk', across) };
    const current = read.currentAt(valve.ref);
    const resistance = resistanceOf(only);
    if (current !== undefined && resistance !== undefined) {
      const n = valve.onCathode.length;
      const volt = n * Math.abs(current.known.quantity.value) * resistance.known.quantity.value;
      const basis = n > 1 ? 'assumed' : resistance.known.basis;
      const because = n > 1 ? `${n} equal valves on ${only.ref}` : `${valve.ref} current through ${only.ref}`;
      const known = knownBy(volt, 'V', basis, because, current.known.source);
      return { input: input('Vk', `${valve.ref}.k`, known), remark: `cathode voltage by ${because}` };
    }
  }
  if (isFixedBias(bench, valve)) {
    const because = 'cathode taken at ground: its grid is biased from a supply';
    return {
      input: input('Vk', `${valve.ref}.k`, assumed(0, 'V', because)),
      remark: 'cathode taken at ground',
    };
  }
  const high = valve.kind === 'triode' ? UNREAD_CATHODE.triode : UNREAD_CATHODE.output;
  const because = `cathode voltage not read, taken as 0 to ${high} V`;
  return {
    input: input('Vk', `${valve.ref}.k`, assumed(high / 2, 'V', because, [0, high])),
    remark: 'anode to ground: cathode voltage not read',
  };
}

/** Whether the grid is held by a bias supply: read well below ground, or returned to one. */
export function isFixedBias(bench: SetBench, valve: ValveAt): boolean {
  const grid = bench.read.voltsAt(valve.g)?.known.quantity.value;
  if (grid !== undefined && grid <= FIXED_BIAS_VOLTS) return true;
  return bench.look
    .partsAt(valve.g)
    .some((part) => roleOf(bench, part.ref) === 'grid-leak' && (endsOf(part)?.some(isBiasNode) ?? false));
}

function anodeFigures(bench: SetBench, valve: ValveAt): void {
  const { ledger, moment, read } = bench;
  const current = ledger.find(valve.ref, 'anode-current');
  const anode = read.voltsAt(valve.a);
  if (current === undefined || anode === undefined) return;
  const cathode = cathodeVolts(bench, valve);
  const share = current.inputs.find(({ symbol }) => symbol === 's');
  const cathodeCurrent = ledger.find(valve.ref, 'cathode-current');
  const screenCurrent = ledger.find(valve.ref, 'screen-current');
  const va = as('Va', anode);
  const dissipation = (
    formula: string,
    inputs: readonly FigureInput[],
    by: Calculation['by'],
  ): Figure | undefined =>
    calculate(moment, {
      subject: valve.ref,
      figure: 'anode-dissipation',
      unit: 'W',
      formula,
      inputs,
      by,
      remark: joinRemarks(remarksOf(current), cathode.remark),
    });
  const byCurrents =
    current.formula === 'Ik − Ig2' && cathodeCurrent !== undefined && screenCurrent !== undefined;
  const power = ledger.add(
    byCurrents
      ? dissipation(
          '(Va − Vk) · (Ik − Ig2)',
          [va, cathode.input, inputFrom('Ik', cathodeCurrent), inputFrom('Ig2', screenCurrent)],
          (a = 0, k = 0, ik = 0, ig2 = 0) => dissipated(a, k, ik, ig2),
        )
      : share !== undefined && cathodeCurrent !== undefined
        ? dissipation(
            '(Va − Vk) · Ik · (1 − s)',
            [va, cathode.input, inputFrom('Ik', cathodeCurrent), share],
            (a = 0, k = 0, ik = 0, s = 0) => dissipated(a, k, ik, ik * s),
          )
        : dissipation(
            '(Va − Vk) · Ia',
            [va, cathode.input, inputFrom('Ia', current)],
            (a = 0, k = 0, ia = 0) => dissipated(a, k, ia, 0),
          ),
  );
  const limit = valve.valve?.limits.anodeDissipation;
  if (power === undefined || limit === undefined || valve.valve === undefined) return;
  loading(bench, valve, power, 'anode-loading', limit.value, limitSource(valve.valve, limit));
}

function dissipated(anode: number, cathode: number, cathodeCurrent: number, screenCurrent: number) {
  return anodeDissipation({
    anode: volts(anode),
    cathode: volts(cathode),
    cathodeCurrent: amperes(cathodeCurrent),
    screenCurrent: amperes(screenCurrent),
  });
}

function screenFigures(bench: SetBench, valve: ValveAt): void {
  const { ledger, moment, read } = bench;
  if (valve.kind === 'triode' || isTriodeConnected(valve)) return;
  const current = ledger.find(valve.ref, 'screen-current');
  const screen = read.voltsAt(valve.g2);
  if (current === undefined || screen === undefined) return;
  const cathode = cathodeVolts(bench, valve);
  const power = ledger.add(
    calculate(moment, {
      subject: valve.ref,
      figure: 'screen-dissipation',
      unit: 'W',
      formula: '(Vg2 − Vk) · Ig2',
      inputs: [as('Vg2', screen), cathode.input, inputFrom('Ig2', current)],
      by: (g2 = 0, k = 0, ig2 = 0) =>
        screenDissipation({ screen: volts(g2), cathode: volts(k), screenCurrent: amperes(ig2) }),
      remark: joinRemarks(remarksOf(current), cathode.remark),
    }),
  );
  const limit = valve.valve?.limits.screenDissipation;
  if (power === undefined || limit === undefined || valve.valve === undefined) return;
  loading(bench, valve, power, 'screen-loading', limit.value, limitSource(valve.valve, limit));
}

function loading(
  bench: SetBench,
  valve: ValveAt,
  power: Figure,
  figure: 'anode-loading' | 'screen-loading',
  limit: number,
  source: string,
): void {
  const known = knownBy(limit, 'W', 'catalogue', source);
  const which = figure === 'anode-loading' ? 'anode' : 'screen';
  bench.ledger.add(
    calculate(bench.moment, {
      subject: valve.ref,
      figure,
      unit: '1',
      formula: 'P / Pmax',
      inputs: [inputFrom('P', power), input('Pmax', `${valve.ref} ${which} limit`, known)],
      by: (p = 0, max = 0) => found(max > 0 ? p / max : Number.NaN),
      limit: { quantity: known.quantity, source },
      remark: remarksOf(power),
    }),
  );
}

function biasFigure(bench: SetBench, valve: ValveAt): void {
  const { ledger, moment, read } = bench;
  const grid = read.voltsAt(valve.g);
  if (grid === undefined || valve.g === 'gnd') return;
  const cathode = cathodeVolts(bench, valve);
  // A cathode that may stand anywhere gives no bias.
  if (cathode.input.known.low !== undefined) return;
  const remark = joinRemarks(cathode.remark, meterRemark(bench, valve.g));
  ledger.add(
    calculate(moment, {
      subject: valve.ref,
      figure: 'bias',
      unit: 'V',
      formula: 'Vg − Vk',
      inputs: [as('Vg', grid), cathode.input],
      by: (g = 0, k = 0) => found(g - k),
      remark,
    }),
  );
}

function joinRemarks(...remarks: readonly (string | undefined)[]): string | undefined {
  const said = new Set(remarks.flatMap((each) => each?.split('; ') ?? []));
  return said.size === 0 ? undefined : [...said].join('; ');
}
