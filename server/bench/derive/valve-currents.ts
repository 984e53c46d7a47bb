/**
 * Owns the currents of valves: cathode, screen and anode, each by the best way that the readings allow. Readings of one
 * valve beat a share of several; what was read beats what is assumed; an assumed share makes a band.
 */
import { currentThrough } from '../../electronics/ohmic.ts';
import { found, refused } from '../../electronics/result.ts';
import { screenCurrent as currentOfScreen } from '../../electronics/screen-dissipation.ts';
import { meanCathodeCurrent } from '../../electronics/shared-cathode.ts';
import { ohms, quantity, volts } from '../../units/si.ts';
import type { Figure, FigureInput, FittedPart, Known } from '../model.ts';
import { compareNames } from '../points.ts';
import { endsOf } from '../roles.ts';
import { roleOf, type SetBench, type ValveAt } from './bench.ts';
import { assumed, calculate, input, inputFrom, remarksOf } from './figure.ts';
import { isOpen, resistanceOf } from './resistors.ts';
import { as } from './set-readings.ts';

/** Screen current of an output valve at no signal as a share of its cathode current, where its data sheet's is not known (common practice). */
const USUAL_SCREEN_SHARE = [0.05, 0.12] as const;

/** Parts of at least this many times a cathode resistor carry none of its current worth counting. */
const NEGLIGIBLE = 20;

export function valveCurrents(bench: SetBench): void {
  for (const valve of bench.valves) {
    const own = ownCathodeCurrent(bench, valve);
    const byMeter = anodeCurrentRead(bench, valve);
    const byTransformer = byMeter ?? anodeCurrentByTransformer(bench, valve);
    const byLoad = anodeCurrentByLoad(bench, valve);
    const shared = own === undefined ? sharedCathodeCurrent(bench, valve) : undefined;
    if (valve.kind === 'triode' || isTriodeConnected(valve)) {
      triodeCurrents(bench, valve, own ?? undefined, byTransformer ?? byLoad, shared);
    } else {
      pentodeCurrents(bench, valve, own, byTransformer ?? byLoad, shared);
    }
  }
}

/** A screen tied to its own anode makes one electrode of both. */
export function isTriodeConnected(valve: ValveAt): boolean {
  return valve.g2 === valve.a;
}

function triodeCurrents(
  bench: SetBench,
  valve: ValveAt,
  own: Figure | undefined,
  anode: Figure | undefined,
  shared: Figure | undefined,
): void {
  const { ledger, moment } = bench;
  const untold = valve.isKindKnown
    ? undefined
    : `taken as a triode: nothing is known of ${valve.part.type?.text ?? valve.ref}`;
  const together =
    valve.kind !== 'triode' && isTriodeConnected(valve) ? 'anode and screen together' : undefined;
  const remark = join(untold, together);
  const cathode = own ?? (anode === undefined ? shared : undefined);
  if (cathode !== undefined) {
    ledger.add(cathode);
    ledger.add(
      calculate(moment, {
        subject: valve.ref,
        figure: 'anode-current',
        unit: 'A',
        formula: 'Ik',
        inputs: [inputFrom('Ik', cathode)],
        by: (ik = 0) => found(ik),
        remark: join(remarksOf(cathode), remark),
      }),
    );
  } else if (anode !== undefined) {
    ledger.add({ ...anode, ...(join(anode.remark, remark) && { remark: join(anode.remark, remark) }) });
    ledger.add(
      calculate(moment, {
        subject: valve.ref,
        figure: 'cathode-current',
        unit: 'A',
        formula: 'Ia',
        inputs: [inputFrom('Ia', anode)],
        by: (ia = 0) => found(ia),
        remark: join(remarksOf(anode), remark),
      }),
    );
  }
}

function pentodeCurrents(
  bench: SetBench,
  valve: ValveAt,
  own: Figure | undefined,
  anode: Figure | undefined,
  shared: Figure | undefined,
): void {
  const { ledger, moment } = bench;
  const read = readScreenCurrent(bench, valve);
  const share = screenShare(valve);
  if (own === undefined && anode !== undefined) {
    // The transformer gives the anode's current of this valve alone, which a shared cathode resistor cannot.
    const screen =
      read ??
      calculate(moment, {
        subject: valve.ref,
        figure: 'screen-current',
        unit: 'A',
        formula: 'Ia · s / (1 − s)',
        inputs: [inputFrom('Ia', anode), share],
        by: (ia = 0, s = 0) => found((ia * s) / (1 - s)),
      });
    ledger.add(anode);
    ledger.add(screen);
    if (screen === undefined) return;
    ledger.add(
      calculate(moment, {
        subject: valve.ref,
        figure: 'cathode-current',
        unit: 'A',
        formula: 'Ia + Ig2',
        inputs: [inputFrom('Ia', anode), inputFrom('Ig2', screen)],
        by: (ia = 0, ig2 = 0) => found(ia + ig2),
        remark: remarksOf(anode, screen),
      }),
    );
    return;
  }
  if (own !== undefined && anode?.formula === READ_ANODE) {
    ledger.add(own);
    ledger.add(anode);
    ledger.add(
      read ??
        calculate(moment, {
          subject: valve.ref,
          figure: 'screen-current',
          unit: 'A',
          formula: 'Ik − Ia',
          inputs: [inputFrom('Ik', own), inputFrom('Ia', anode)],
          by: (ik = 0, ia = 0) =>
            ik >= ia ? found(ik - ia) : refused('more into the anode than out of the cathode'),
        }),
    );
    return;
  }
  const cathode = own ?? shared;
  ledger.add(cathode);
  // A screen resistor that asks for more than the whole valve takes contradicts it; a rule says so, and no figure rests on it.
  const agrees =
    read !== undefined && (cathode === undefined || read.quantity.value <= cathode.quantity.value);
  if (read !== undefined && cathode === undefined) ledger.add(read);
  if (cathode === undefined) return;
  const screen = agrees
    ? read
    : calculate(moment, {
        subject: valve.ref,
        figure: 'screen-current',
        unit: 'A',
        formula: 's · Ik',
        inputs: [share, inputFrom('Ik', cathode)],
        by: (s = 0, ik = 0) => found(s * ik),
        remark: remarksOf(cathode),
      });
  ledger.add(screen);
  if (screen === undefined) return;
  // With an assumed share the current is worked from the share itself, so that its band is not counted against itself.
  const isShare = screen.formula === 's · Ik';
  ledger.add(
    calculate(moment, {
      subject: valve.ref,
      figure: 'anode-current',
      unit: 'A',
      formula: isShare ? 'Ik · (1 − s)' : 'Ik − Ig2',
      inputs: isShare
        ? [inputFrom('Ik', cathode), share]
        : [inputFrom('Ik', cathode), inputFrom('Ig2', screen)],
      by: isShare
        ? (ik = 0, s = 0) => found(ik * (1 - s))
        : (ik = 0, ig2 = 0) => found(Math.max(0, ik - ig2)),
      remark: remarksOf(cathode, screen),
    }),
  );
}

/** Cathode current of this valve alone: read in amperes, or by a resistor that only it sits on. */
function ownCathodeCurrent(bench: SetBench, valve: ValveAt): Figure | undefined {
  const { moment, read } = bench;
  const common = {
    subject: valve.ref,
    figure: 'cathode-current',
    unit: 'A',
    source: valve.part.source,
  } as const;
  const direct = read.currentAt(valve.ref) ?? read.currentAt(`${valve.ref}.k`);
  if (direct !== undefined) {
    return calculate(moment, {
      ...common,
      formula: 'I',
      inputs: [direct],
      by: (i = 0) => found(Math.abs(i)),
    });
  }
  if (valve.onCathode.length > 1) return undefined;
  const way = wayToGround(bench, valve);
  if (way !== undefined) {
    const { inputs, formula, by } = currentDown(way);
    return calculate(moment, { ...common, formula, inputs, by });
  }
  return senseOfTheHouse(bench, valve);
}

/** A few millivolts on a cathode, in a shop that always puts the same resistor there. */
function senseOfTheHouse(bench: SetBench, valve: ValveAt): Figure | undefined {
  const volt = bench.read.voltsAt(valve.k);
  if (bench.sense === undefined || volt === undefined || valve.kind === 'triode') return undefined;
  if (Math.abs(volt.known.quantity.value) >= 1 || valve.k === 'gnd') return undefined;
  const sense: Known = {
    quantity: quantity(bench.sense, 'Ohm'),
    basis: 'assumed',
    because: `sense resistor of the shop sheet`,
  };
  return calculate(bench.moment, {
    subject: valve.ref,
    figure: 'cathode-current',
    unit: 'A',
    formula: 'Vk / Rs',
    inputs: [as('Vk', volt), input('Rs', 'sense', sense)],
    by: (v = 0, r = 0) => currentThrough(volts(v), ohms(r)),
    source: valve.part.source,
  });
}

/** Of several valves on one resistor only the mean is known. */
function sharedCathodeCurrent(bench: SetBench, valve: ValveAt): Figure | undefined {
  const n = valve.onCathode.length;
  if (n < 2) return undefined;
  const way = wayToGround(bench, valve);
  if (way === undefined) return undefined;
  const refs = way.resistors.map(({ name }) => name).join(' and ');
  const { inputs, formula, by } = currentDown(way);
  const single = way.resistors.length === 1 && way.below === undefined;
  return calculate(bench.moment, {
    subject: valve.ref,
    figure: 'cathode-current',
    unit: 'A',
    formula: single ? `Vk / (${n} · Rk)` : `(${formula}) / ${n}`,
    inputs,
    by: single
      ? (v = 0, r = 0) => meanCathodeCurrent({ cathode: volts(v), resistor: ohms(r), valves: n })
      : (...values) => {
          const sum = by(...values);
          return sum.ok ? found(sum.value / n) : sum;
        },
    remark: `average of the ${n} valves that share ${refs}`,
    source: valve.part.source,
  });
}

/** How a cathode's current gets away: volts above the far end, and the resistors side by side (or one after the other). */
interface WayToGround {
  readonly volts: FigureInput;
  /** Volts of the far end, where it is not ground. */
  readonly below?: FigureInput;
  readonly resistors: readonly FigureInput[];
  readonly inSeries: boolean;
}

function wayToGround(bench: SetBench, valve: ValveAt): WayToGround | undefined {
  const { look, read } = bench;
  if (valve.k === 'gnd') return undefined;
  const branches = look.partsAt(valve.k).flatMap((part) => {
    if (part.class !== 'resistor' || isOpen(part)) return [];
    const ends = endsOf(part);
    const resistance = resistanceOf(part);
    if (ends === undefined || resistance === undefined) return [];
    const role = roleOf(bench, part.ref);
    if (role === 'feedback' || role === 'grid-leak' || role === 'anode-load' || role === 'screen-resistor')
      return [];
    return [{ part, resistance, far: ends[0] === valve.k ? ends[1] : ends[0] }];
  });
  if (branches.length === 0) return undefined;
  const least = Math.min(...branches.map(({ resistance }) => resistance.known.quantity.value));
  const carrying = branches
    .filter(({ resistance }) => resistance.known.quantity.value < NEGLIGIBLE * least)
    .sort((a, b) => compareNames(a.part.ref, b.part.ref));
  const first = carrying[0];
  if (first === undefined) return undefined;
  const cathode = read.voltsAt(valve.k);
  if (carrying.every(({ far }) => far === first.far)) {
    const resistors = carrying.map(({ resistance }, i) =>
      as(carrying.length > 1 ? `Rk${i + 1}` : 'Rk', resistance),
    );
    const across = carrying.map(({ part }) => read.voltsAcross(part)).find((each) => each !== undefined);
    const below = first.far === 'gnd' ? undefined : read.voltsAt(first.far);
    if (cathode !== undefined && (first.far === 'gnd' || below !== undefined)) {
      return {
        volts: as('Vk', cathode),
        ...(below && { below: as('V', below) }),
        resistors,
        inSeries: false,
      };
    }
    if (across !== undefined) return { volts: as('V', across), resistors, inSeries: false };
    if (cathode !== undefined && carrying.length === 1) return throughTail(bench, first, cathode);
  }
  return undefined;
}

/** A cathode resistor on top of a tail whose own voltage was not read: the two in series. */
function throughTail(
  bench: SetBench,
  top: { readonly part: FittedPart; readonly resistance: FigureInput; readonly far: string },
  cathode: FigureInput,
): WayToGround | undefined {
  const others = bench.look.partsAt(top.far).filter(({ ref }) => ref !== top.part.ref);
  const carrying = others.filter(
    (part) => part.class !== 'capacitor' && roleOf(bench, part.ref) !== 'grid-leak',
  );
  const [tail] = carrying;
  if (
    tail === undefined ||
    carrying.length > 1 ||
    tail.class !== 'resistor' ||
    !endsOf(tail)?.includes('gnd')
  )
    return undefined;
  const resistance = resistanceOf(tail);
  if (resistance === undefined || isOpen(tail)) return undefined;
  return {
    volts: as('Vk', cathode),
    resistors: [as('Rk', top.resistance), as('Rt', resistance)],
    inSeries: true,
  };
}

function currentDown({ volts: above, below, resistors, inSeries }: WayToGround) {
  const drop = below === undefined ? above.symbol : `(${above.symbol} − ${below.symbol})`;
  const [first, second] = resistors.map(({ symbol }) => symbol);
  const inputs = [above, ...(below ? [below] : []), ...resistors];
  const formula =
    second === undefined
      ? `${drop} / ${first}`
      : inSeries
        ? `${drop} / (${first} + ${second})`
        : `${drop} / (${resistors.map(({ symbol }) => symbol).join(' ∥ ')})`;
  return {
    inputs,
    formula,
    by: (...values: readonly number[]) => {
      const [v = 0, ...rest] = values;
      const low = below === undefined ? 0 : (rest.shift() ?? 0);
      const total = inSeries
        ? rest.reduce((sum, r) => sum + r, 0)
        : 1 / rest.reduce((sum, r) => sum + 1 / r, 0);
      const current = currentThrough(volts(v - low), ohms(Number.isFinite(total) ? total : 0));
      return current.ok ? found(Math.abs(current.value)) : current;
    },
  };
}

const READ_ANODE = 'Ia as read';

/** Current read into the anode itself. */
function anodeCurrentRead(bench: SetBench, valve: ValveAt): Figure | undefined {
  const direct = bench.read.currentAt(`${valve.ref}.a`);
  if (direct === undefined) return undefined;
  return calculate(bench.moment, {
    subject: valve.ref,
    figure: 'anode-current',
    unit: 'A',
    formula: READ_ANODE,
    inputs: [as('Ia', direct)],
    by: (i = 0) => found(Math.abs(i)),
    source: valve.part.source,
  });
}

/** Anode current by the drop over this valve's half of the output transformer, where that half's resistance was read. */
function anodeCurrentByTransformer(bench: SetBench, valve: ValveAt): Figure | undefined {
  const { moment, read } = bench;
  const half = findHalf(bench, valve);
  if (half === undefined) return undefined;
  const common = {
    subject: valve.ref,
    figure: 'anode-current',
    unit: 'A',
    source: valve.part.source,
    remark: `by the drop over ${half.resistance.name}; hot copper reads about 12 % higher for each 30 °C`,
  } as const;
  const between = read.voltsBetween(valve.a, half.supply);
  if (between !== undefined) {
    return calculate(moment, {
      ...common,
      formula: 'V / R',
      inputs: [between, half.resistance],
      by: (v = 0, r = 0) => currentThrough(volts(Math.abs(v)), ohms(r)),
    });
  }
  const supply = read.voltsAt(half.supply);
  const anode = read.voltsAt(valve.a);
  if (supply === undefined || anode === undefined) return undefined;
  return calculate(moment, {
    ...common,
    formula: '(Vb − Va) / R',
    inputs: [as('Vb', supply), as('Va', anode), half.resistance],
    by: (vb = 0, va = 0, r = 0) =>
      vb > va ? currentThrough(volts(vb - va), ohms(r)) : refused('anode not below its supply'),
  });
}

function findHalf(bench: SetBench, valve: ValveAt): { resistance: FigureInput; supply: string } | undefined {
  for (const part of bench.parts) {
    if (roleOf(bench, part.ref) !== 'output-transformer') continue;
    const terminal = [...part.terminals].find(([name, node]) => /^p\d+$/.test(name) && node === valve.a)?.[0];
    const tap = part.terminals.get('ct') ?? part.terminals.get('p2');
    if (terminal === undefined || tap === undefined || tap === valve.a) continue;
    const halves = part.measured.findLast(({ quantity: of }) => of === 'halves');
    const known = terminal === 'p1' ? halves?.value : halves?.second;
    if (known !== undefined)
      return { resistance: input('R', `${part.ref} half at ${valve.ref}`, known), supply: tap };
    const whole = part.measured.findLast(
      ({ quantity: of, special }) => of === 'resistance' && special === undefined,
    );
    if (whole !== undefined && part.terminals.get('p2') === tap) {
      return { resistance: input('R', part.ref, whole.value), supply: tap };
    }
  }
  // Read from the anode to its supply with the amplifier off.
  const ohmic = bench.ohmicAt.get(valve.a);
  const supply = ohmic?.node === valve.a ? ohmic.toNode : ohmic?.node;
  if (ohmic === undefined || supply === undefined || !(ohmic.value.quantity.value > 0)) return undefined;
  return { resistance: input('R', `${ohmic.at} to ${ohmic.to ?? ''}`, ohmic.value), supply };
}

/** Anode current by the drop over an anode load resistor of this valve alone. */
function anodeCurrentByLoad(bench: SetBench, valve: ValveAt): Figure | undefined {
  const load = bench.look
    .partsAt(valve.a)
    .find((part) => roleOf(bench, part.ref) === 'anode-load' && bench.look.at(valve.a, 'a').length === 1);
  const current = load && bench.ledger.find(load.ref, 'current');
  if (current === undefined) return undefined;
  return calculate(bench.moment, {
    subject: valve.ref,
    figure: 'anode-current',
    unit: 'A',
    formula: 'I',
    inputs: [inputFrom('I', current)],
    by: (i = 0) => found(i),
    remark: `by the drop over ${load?.ref ?? ''}`,
    source: valve.part.source,
  });
}

/** Screen current that was read: into the electrode, or by its resistor's drop. */
function readScreenCurrent(bench: SetBench, valve: ValveAt): Figure | undefined {
  const { moment, read, look } = bench;
  const common = {
    subject: valve.ref,
    figure: 'screen-current',
    unit: 'A',
    source: valve.part.source,
  } as const;
  const direct = read.currentAt(`${valve.ref}.g2`);
  if (direct !== undefined) {
    return calculate(moment, {
      ...common,
      formula: 'I',
      inputs: [direct],
      by: (i = 0) => found(Math.abs(i)),
    });
  }
  const feeding = look.partsAt(valve.g2).filter((part) => roleOf(bench, part.ref) === 'screen-resistor');
  const [resistor] = feeding;
  if (resistor === undefined || feeding.length > 1) return undefined;
  const sharing = look.at(valve.g2, 'g2').length;
  const remark = sharing > 1 ? `average of the ${sharing} screens on ${resistor.ref}` : undefined;
  if (isOpen(resistor)) {
    const open: Known = {
      quantity: quantity(0, 'A'),
      basis: 'read',
      source: resistor.source,
      because: `${resistor.ref} was read open`,
    };
    return calculate(moment, {
      ...common,
      formula: '0',
      inputs: [input('I', resistor.ref, open)],
      by: (i = 0) => found(i),
    });
  }
  const resistance = resistanceOf(resistor);
  if (resistance === undefined) return undefined;
  const by = (v: number, r: number) => {
    const current = currentThrough(volts(v), ohms(r));
    return current.ok ? found(Math.abs(current.value) / sharing) : current;
  };
  const over = sharing > 1 ? `(${sharing} · Rg2)` : 'Rg2';
  const across = read.voltsAcross(resistor);
  if (across !== undefined) {
    return calculate(moment, {
      ...common,
      formula: `V / ${over}`,
      inputs: [across, as('Rg2', resistance)],
      by: (v = 0, r = 0) => by(v, r),
      remark,
    });
  }
  const ends = endsOf(resistor);
  const supply = ends && read.voltsAt(ends[0] === valve.g2 ? ends[1] : ends[0]);
  const screen = read.voltsAt(valve.g2);
  if (supply === undefined || screen === undefined) return undefined;
  return calculate(moment, {
    ...common,
    formula: `(Vs − Vg2) / ${over}`,
    inputs: [as('Vs', supply), as('Vg2', screen), as('Rg2', resistance)],
    by: (vs = 0, vg2 = 0, r = 0) => {
      const current = currentOfScreen({ supply: volts(vs), screen: volts(vg2), resistor: ohms(r) });
      if (!current.ok) return current;
      return current.value < 0 ? refused('screen above its supply') : found(current.value / sharing);
    },
    remark,
  });
}

/** Share of the cathode current that the screen takes at no signal, as a band. */
function screenShare({ valve }: ValveAt): FigureInput {
  const [low, high] =
    valve?.screenShare === undefined ? USUAL_SCREEN_SHARE : [valve.screenShare.low, valve.screenShare.high];
  const from =
    valve?.screenShare === undefined ? 'common practice' : `${valve.type}: ${valve.screenShare.trust.source}`;
  const because = `screen share ${percent(low)}–${percent(high)} % of the cathode current (${from})`;
  return input('s', 'screen share', assumed((low + high) / 2, '1', because, [low, high]));
}

function percent(share: number): string {
  return (share * 100).toFixed(1).replace(/\.0$/, '');
}

function join(...remarks: readonly (string | undefined)[]): string | undefined {
  const said = remarks.filter((each) => each !== undefined && each !== '');
  return said.length === 0 ? undefined : said.join('; ');
}
