/** Owns the currents of each valve: cathode, anode and screen, from whichever of them is known by itself. */
import { found, refused } from '../../electronics/result.ts';
import type { Figure, FigureInput } from '../model.ts';
import {
  anodeCurrentByLoad,
  anodeCurrentByTransformer,
  anodeCurrentRead,
  READ_ANODE,
} from './anode-current.ts';
import type { SetBench, ValveAt } from './bench.ts';
import { ownCathodeCurrent, sharedCathodeCurrent } from './cathode-current.ts';
import { calculate, inputFrom, remarksOf } from './figure.ts';
import { readScreenCurrent, screenShare } from './screen-current.ts';

export function valveCurrents(bench: SetBench): void {
  for (const valve of bench.valves) currentsOfValve(bench, valve);
}

export function currentsOfValve(bench: SetBench, valve: ValveAt): void {
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
    ledger.add({ ...anode, remark: join(anode.remark, remark) });
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
  const agrees = read !== undefined && (cathode === undefined || tellsScreen(read, cathode, share));
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

/** What a screen takes of the cathode current at most, beside an anode that has its volts (common practice, no source). */
const MOST_SCREEN = 0.3;
/** What the mains moves between two readings of one supply, as a share of each (common practice, no source). */
const WANDER = 0.002;
/** A drop that may be off by more than this share of itself is blurred. */
const BLURRED = 0.6;

/**
 * Whether the drop over a screen resistor tells its current. One that asks for more than the whole valve takes contradicts it; a
 * rule says so, and no figure rests on it. A drop that last digits and mains blur (402 V and 399 V over 220 Ω)
 * tells less than the usual share where the two agree, and nothing where it is more than a screen can take.
 */
function tellsScreen(read: Figure, cathode: Figure, { known: share }: FigureInput): boolean {
  const ik = cathode.quantity.value;
  const { low, high, quantity: of, inputs } = read;
  if (of.value > ik) return false;
  // Two like readings over a screen resistor hide more than a valve that hardly draws has.
  if (low !== undefined && high !== undefined && (high - low) / 2 > ik) return false;
  if (low === undefined || high === undefined) return true;
  const [vs, vg2] = ['Vs', 'Vg2'].map(
    (name) => inputs.find(({ symbol }) => symbol === name)?.known.quantity.value,
  );
  if (vs === undefined || vg2 === undefined || vs <= vg2) return true;
  const moved = WANDER * (vs + vg2) * (of.value / (vs - vg2));
  if ((high - low) / 2 + moved <= BLURRED * of.value) return true;
  const isUsual = low - moved <= (share.high ?? 1) * ik && high + moved >= (share.low ?? 0) * ik;
  return !isUsual && of.value <= MOST_SCREEN * ik;
}

function join(...remarks: readonly (string | undefined)[]): string | undefined {
  const said = remarks.filter((each) => each !== undefined && each !== '');
  return said.length === 0 ? undefined : said.join('; ');
}
