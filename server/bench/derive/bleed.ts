/**
 * Owns how long a capacitor holds its charge after the plug is out: through everything with resistance that is soldered to
 * it, with all the capacitors that empty the same way, and with every valve cold.
 */
import {
  type BankCapacitor,
  type BankResistor,
  bankDischargeTime,
} from '../../electronics/bank-discharge.ts';
import { bleedTime } from '../../electronics/bleed-down.ts';
import type { Result } from '../../electronics/result.ts';
import { ask, noteAsked } from '../../sheet/asking.ts';
import { isSameList } from '../../sheet/keeping.ts';
import { farads, ohms, quantity, type Seconds, volts } from '../../units/si.ts';
import { endsOf } from '../look.ts';
import type { Figure, FigureInput, FittedPart } from '../model.ts';
import { compareNames } from '../points.ts';
import { sayQuantity } from '../saying.ts';
import type { SetBench } from './bench.ts';
import { as, assumed, calculate, inputFrom } from './figure.ts';
import { isOpen, resistanceOf } from './resistors.ts';
import { capacitanceOf } from './stages.ts';

/** Smaller capacitors hold nothing that needs discharging. */
export const WORTH_DISCHARGING = 1e-6;
/** No longer hazardous to touch in the dry by standard (IEC 62368-1, ES1; from memory, unverified). No service target. */
export const NOT_HAZARDOUS = volts(60);
/** Told beside it: what a careful shop works below, and what is as good as empty (common practice, no source). */
const FURTHER = [volts(30), volts(10)] as const;
/** A choke or fuse whose resistance nobody wrote down [Ω]: beside any bleeder it is a piece of wire. */
const WIRE = 100;
/** A bank of more than this is drawn wrong, and would take long to solve. */
const MOST = 60;

interface Way {
  readonly part: FittedPart;
  readonly between: readonly [string, string];
  /** Undefined of a wire. */
  readonly resistance?: FigureInput;
}

interface Store {
  readonly part: FittedPart;
  readonly between: readonly [string, string];
  readonly capacitance: FigureInput;
}

/** What empties together, with all of it that is the same whichever capacitor is asked about. */
interface Bank {
  readonly ways: readonly Way[];
  readonly stores: readonly Store[];
  /** `R25 and R26`: the ways that lead to ground. */
  readonly through: string;
  /** Resistances and capacitances, in the order of ways and stores. */
  readonly inputs: readonly FigureInput[];
  /** The network of the inputs' values, with the volts of each store behind them. */
  readonly network: (values: readonly number[]) => Network;
}

interface Network {
  readonly resistors: readonly BankResistor[];
  readonly capacitors: readonly BankCapacitor[];
}

/** The time to 60 V, with those to less beside it; nothing where no resistance leads to ground. */
export function bleedFigure(bench: SetBench, part: FittedPart, voltage: Figure): Figure | undefined {
  const bank = bankOf(bench, part);
  const which = bank?.stores.findIndex((store) => store.part === part) ?? -1;
  const own = bank?.stores[which];
  if (bank === undefined || own === undefined) return undefined;
  const { ways, stores, through } = bank;
  const [only] = ways;
  if (ways.length === 1 && stores.length === 1 && only?.resistance !== undefined) {
    const inputs = [only.resistance, own.capacitance, inputFrom('V', voltage)];
    const to =
      (target: number) =>
      (r = 0, c = 0, v = 0) =>
        bleedTime({ capacitance: farads(c), resistance: ohms(r), from: volts(v), to: volts(target) });
    return calculate(bench.moment, {
      subject: part.ref,
      figure: 'bleed-time',
      unit: 's',
      formula: `R · C · ln(V / ${NOT_HAZARDOUS} V)`,
      inputs,
      by: to(NOT_HAZARDOUS),
      source: part.source,
      remark: remarkOf(`through ${through} alone`, inputs, to),
    });
  }
  const inputs = [...bank.inputs];
  for (const store of stores) inputs.push(voltsOf(bench, store, own, voltage));
  const to =
    (target: number) =>
    (...values: readonly number[]): Result<Seconds> => {
      const { resistors, capacitors } = bank.network(values);
      return bankDischargeTime(resistors, capacitors, which, volts(target));
    };
  const others = stores.filter((store) => store !== own).map((store) => store.part.ref);
  const along = others.length === 0 ? '' : ` together with ${named(others)}`;
  return calculate(bench.moment, {
    subject: part.ref,
    figure: 'bleed-time',
    unit: 's',
    formula: `C · dV/dt = −Σ V / R for each capacitor, until V(${part.ref}) = ${NOT_HAZARDOUS} V`,
    inputs,
    by: to(NOT_HAZARDOUS),
    source: part.source,
    remark: remarkOf(`through ${through}${along}`, inputs, to),
  });
}

/** The same answer again to the same numbers as the last time: one bank is asked about several voltages. */
function lastTime<T>(work: (values: readonly number[]) => T): (values: readonly number[]) => T {
  let last: { readonly values: readonly number[]; readonly answer: T } | undefined;
  return (values) => {
    if (last === undefined || !isSameList(last.values, values)) last = { values, answer: work(values) };
    return last.answer;
  };
}

function remarkOf(
  how: string,
  inputs: readonly FigureInput[],
  to: (target: number) => (...values: readonly number[]) => Result<Seconds>,
): string {
  const values = inputs.map(({ known }) => known.quantity.value);
  const further = FURTHER.flatMap((target) => {
    const time = to(target)(...values);
    return time.ok ? [`to ${target} V ${sayQuantity(quantity(time.value, 's'))}`] : [];
  });
  return [
    `to ${NOT_HAZARDOUS} V ${how}, valves cold`,
    ...(further.length === 0 ? [] : [further.join(', ')]),
    'verify with a meter on every electrolytic',
  ].join('; ');
}

/** `R25`, `R25 and R26`, `R25, R26 and 3 more`. */
function named(refs: readonly string[]): string {
  const sorted = [...refs].sort(compareNames);
  if (sorted.length > 3) return `${sorted.slice(0, 2).join(', ')} and ${sorted.length - 2} more`;
  const last = sorted.at(-1) ?? '';
  return sorted.length < 2 ? last : `${sorted.slice(0, -1).join(', ')} and ${last}`;
}

/** What was on it; one that was not read is taken as full as the one that is asked about, and the same way round. */
function voltsOf(bench: SetBench, { part, between }: Store, own: Store, asked: Figure): FigureInput {
  const symbol = `V(${part.ref})`;
  const figure = bench.ledger.find(part.ref, 'voltage');
  if (figure !== undefined) return inputFrom(symbol, figure);
  const isTurned = own.between[0] === 'gnd' && between[1] === 'gnd';
  const value = isTurned ? -asked.quantity.value : asked.quantity.value;
  return {
    name: `${part.ref} voltage`,
    symbol,
    known: assumed(value, 'V', `${part.ref} taken to be as full as ${asked.subject}`),
  };
}

/** The banks that were found of a set, by each of their nodes, with what was asked to find them. */
const banksOf = new WeakMap<SetBench, Map<string, ReturnType<typeof noteAsked<Bank | undefined>>>>();

/** Everything that a capacitor empties through and with: resistors, chokes, fuses and controls, and capacitors between them. */
function bankOf(bench: SetBench, from: FittedPart): Bank | undefined {
  let banks = banksOf.get(bench);
  if (banks === undefined) {
    banks = new Map();
    banksOf.set(bench, banks);
  }
  const starts = (endsOf(from) ?? []).filter((node) => node !== 'gnd');
  const known = banks.get(starts[0] ?? 'gnd');
  if (known !== undefined) {
    for (const name of known.asked) ask(name);
    return known.result;
  }
  const reached = new Set<string>();
  const made = noteAsked(() => findBank(bench, starts, reached));
  for (const node of reached) banks.set(node, made);
  return made.result;
}

function findBank(bench: SetBench, starts: readonly string[], reached: Set<string>): Bank | undefined {
  const ways = new Map<string, Way>();
  const stores = new Map<string, Store>();
  const open = [...starts];
  for (let node = open.pop(); node !== undefined; node = open.pop()) {
    if (node === 'gnd' || reached.has(node)) continue;
    reached.add(node);
    if (reached.size > MOST) return undefined;
    for (const part of bench.look.partsAt(node)) {
      const between = endsOf(part);
      if (between === undefined || between[0] === between[1]) continue;
      if (part.class === 'capacitor') {
        const capacitance = capacitanceOf(part);
        if (capacitance === undefined || capacitance.known.quantity.value < WORTH_DISCHARGING) continue;
        stores.set(part.ref, { part, between: upright(bench, between), capacitance });
      } else {
        const way = wayOf(part, between);
        if (way === undefined) continue;
        ways.set(part.ref, way);
      }
      open.push(between[0], between[1]);
    }
  }
  const kept = withoutDeadEnds([...ways.values()], [...stores.values()]);
  if (!kept.some(({ between }) => between.includes('gnd'))) return undefined;
  const byRef = (a: { part: FittedPart }, b: { part: FittedPart }): number =>
    compareNames(a.part.ref, b.part.ref);
  return bankFrom(kept.sort(byRef), [...stores.values()].sort(byRef));
}

function bankFrom(ways: readonly Way[], stores: readonly Store[]): Bank {
  const inputs: FigureInput[] = [];
  for (const { part, resistance } of ways)
    if (resistance !== undefined) inputs.push(as(`R(${part.ref})`, resistance));
  for (const { part, capacitance } of stores) inputs.push(as(`C(${part.ref})`, capacitance));
  const paths = ways.filter(({ between }) => between.includes('gnd'));
  return {
    ways,
    stores,
    inputs,
    through: named(paths.map(({ part: { ref } }) => ref)),
    network: lastTime((values) => {
      let at = 0;
      const resistors = ways.map(({ between, resistance }) => ({
        between,
        resistance: ohms(resistance === undefined ? WIRE : (values[at++] ?? 0)),
      }));
      const capacitors = stores.map(({ between }, i) => ({
        between,
        capacitance: farads(values[at + i] ?? 0),
        volts: volts(values[at + stores.length + i] ?? 0),
      }));
      return { resistors, capacitors };
    }),
  };
}

/** The more positive end first, as far as both were read: a capacitor's voltage is told without its sign. */
function upright(bench: SetBench, [one, other]: readonly [string, string]): readonly [string, string] {
  const [a, b] = [one, other].map((node) => bench.read.voltsAt(node)?.known.quantity.value);
  return (a ?? 0) < (b ?? 0) || (one === 'gnd' && a === b) ? [other, one] : [one, other];
}

function wayOf(part: FittedPart, between: readonly [string, string]): Way | undefined {
  if (isOpen(part)) return undefined;
  if (part.class === 'fuse') return { part, between };
  if (part.class !== 'resistor' && part.class !== 'inductor' && part.class !== 'potentiometer')
    return undefined;
  const resistance = resistanceOf(part);
  if (resistance !== undefined) return { part, between, resistance };
  return part.class === 'inductor' ? { part, between } : undefined;
}

/** An anode load leads nowhere while its valve is cold. */
function withoutDeadEnds(ways: readonly Way[], stores: readonly Store[]): Way[] {
  let kept = [...ways];
  for (;;) {
    const ends = new Map<string, number>();
    for (const { between } of [...kept, ...stores])
      for (const node of between) ends.set(node, (ends.get(node) ?? 0) + 1);
    const next = kept.filter(({ between }) =>
      between.every((node) => node === 'gnd' || (ends.get(node) ?? 0) > 1),
    );
    if (next.length === kept.length) return kept;
    kept = next;
  }
}
