/** Owns the current into a screen: read, by its resistor's drop, or as a share of the cathode current that must be assumed. */
import { currentThrough } from '../../electronics/ohmic.ts';
import { found, refused } from '../../electronics/result.ts';
import { screenCurrent as currentOfScreen } from '../../electronics/screen-dissipation.ts';
import { ohms, volts } from '../../units/si.ts';
import { endsOf } from '../look.ts';
import type { Figure, FigureInput } from '../model.ts';
import { roleOf, type SetBench, type ValveAt } from './bench.ts';
import { as, assumed, calculate, input, knownBy } from './figure.ts';
import { isOpen, resistanceOf } from './resistors.ts';

/** Screen current of an output valve at no signal as a share of its cathode current, where its data sheet's is not known (common practice). */
const USUAL_SCREEN_SHARE = [0.05, 0.12] as const;

/** Screen current that was read: into the electrode, or by its resistor's drop. */
export function readScreenCurrent(bench: SetBench, valve: ValveAt): Figure | undefined {
  const { moment, read, look } = bench;
  const direct = read.currentAt(`${valve.ref}.g2`);
  if (direct !== undefined) {
    return calculate(moment, {
      subject: valve.ref,
      figure: 'screen-current',
      unit: 'A',
      formula: 'I',
      inputs: [direct],
      by: (i = 0) => found(Math.abs(i)),
      source: valve.part.source,
    });
  }
  const feeding = look.partsAt(valve.g2).filter((part) => roleOf(bench, part.ref) === 'screen-resistor');
  const [resistor] = feeding;
  if (resistor === undefined || feeding.length > 1) return undefined;
  const sharing = look.at(valve.g2, 'g2').length;
  const remark = sharing > 1 ? `average of the ${sharing} screens on ${resistor.ref}` : undefined;
  if (isOpen(resistor)) {
    const open = knownBy(0, 'A', 'read', `${resistor.ref} was read open`, resistor.source);
    return calculate(moment, {
      subject: valve.ref,
      figure: 'screen-current',
      unit: 'A',
      formula: '0',
      inputs: [input('I', resistor.ref, open)],
      by: (i = 0) => found(i),
      source: valve.part.source,
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
      subject: valve.ref,
      figure: 'screen-current',
      unit: 'A',
      formula: `V / ${over}`,
      inputs: [across, as('Rg2', resistance)],
      by: (v = 0, r = 0) => by(v, r),
      source: valve.part.source,
      remark,
    });
  }
  const ends = endsOf(resistor);
  const both = ends && read.voltsOfBoth(ends[0] === valve.g2 ? ends[1] : ends[0], valve.g2);
  if (both === undefined) return undefined;
  const [supply, screen] = both;
  return calculate(moment, {
    subject: valve.ref,
    figure: 'screen-current',
    unit: 'A',
    formula: `(Vs − Vg2) / ${over}`,
    inputs: [as('Vs', supply), as('Vg2', screen), as('Rg2', resistance)],
    by: (vs = 0, vg2 = 0, r = 0) => {
      const current = currentOfScreen({ supply: volts(vs), screen: volts(vg2), resistor: ohms(r) });
      if (!current.ok) return current;
      return current.value < 0 ? refused('screen above its supply') : found(current.value / sharing);
    },
    source: valve.part.source,
    remark,
  });
}

/** Share of the cathode current that the screen takes at no signal, as a band. */
export function screenShare({ valve }: ValveAt): FigureInput {
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
