/** Owns how the data files write a sheet's figures down: in bench units, each with its source and how far it is to be trusted. */
import { amperes, ohms, siemens, volts, watts } from '../units/si.ts';
import type { Datum, RatingSystem, Trust, TypicalPoint, Valve, ValveKind, ValveSection } from './valve.ts';

/** Read in a copy of the document named. */
export const transcribed = (source: string): Trust => ({ mark: 'transcribed', source });

/** Remembered, and it passed an arithmetic check that does not depend on the memory (gm·ra = µ, Rk·Ik = bias, output volts). */
export const checked = (source: string): Trust => ({
  mark: 'checked',
  source: `${source}; from memory, arithmetic checked`,
});

/** Remembered only. */
export const fromMemory = (source: string): Trust => ({
  mark: 'memory',
  source: `${source}; from memory, unverified`,
});

/** Remembered, where publications are known to differ or the memory is poor. */
export const weak = (source: string): Trust => ({
  mark: 'weak',
  source: `${source}; from memory, publications disagree`,
});

export const computed = (from: string): Trust => ({ mark: 'computed', source: `computed from ${from}` });

export function given<T extends number>(value: T, trust: Trust, system?: RatingSystem): Datum<T> {
  return system === undefined ? { value, trust } : { value, trust, system };
}

/** Another edition's limit. */
export function edition(
  name: string,
  what: Valve['otherEditions'][number]['what'],
  value: number,
  trust: Trust,
): Valve['otherEditions'][number] {
  return { name, what, value, trust };
}

/** A typical-operation row as sheets print it: volts, milliamperes, milliamperes per volt, ohms, watts. Per valve; only `load` and `output` are of the pair in push-pull. */
interface SheetRow {
  readonly use: TypicalPoint['use'];
  readonly anode: number;
  readonly screen?: number;
  readonly grid?: number;
  readonly milliamperes: number;
  readonly screenMilliamperes?: number;
  readonly fullDrive?: readonly [anode: number, screen?: number];
  /** In mA/V. */
  readonly gm?: number;
  readonly ra?: number;
  readonly mu?: number;
  readonly cathodeResistor?: number;
  readonly load?: number;
  readonly output?: number;
  readonly trust: Trust;
}

/** A row in SI units. */
export function point(row: SheetRow): TypicalPoint {
  const [driveAnode, driveScreen] = row.fullDrive ?? [];
  return {
    use: row.use,
    trust: row.trust,
    anode: volts(row.anode),
    anodeCurrent: amperes(row.milliamperes / 1000),
    ...(row.screen !== undefined && { screen: volts(row.screen) }),
    ...(row.grid !== undefined && { grid: volts(row.grid) }),
    ...(row.screenMilliamperes !== undefined && { screenCurrent: amperes(row.screenMilliamperes / 1000) }),
    ...(driveAnode !== undefined && { anodeCurrentFullDrive: amperes(driveAnode / 1000) }),
    ...(driveScreen !== undefined && { screenCurrentFullDrive: amperes(driveScreen / 1000) }),
    ...(row.gm !== undefined && { transconductance: siemens(row.gm / 1000) }),
    ...(row.ra !== undefined && { anodeResistance: ohms(row.ra) }),
    ...(row.mu !== undefined && { amplificationFactor: row.mu }),
    ...(row.cathodeResistor !== undefined && { cathodeResistor: ohms(row.cathodeResistor) }),
    ...(row.load !== undefined && { load: ohms(row.load) }),
    ...(row.output !== undefined && { output: watts(row.output) }),
  };
}

/** New valves differ from the average one; a fifth is the narrower of the customary figures. */
const SPREAD = 0.2;

/**
 * The band in which the screen's share of the cathode current lies at no signal: the least and the greatest share
 * Ig2/(Ia + Ig2) of the typical points, each widened by a fifth for the spread of valves (common practice, no source).
 */
export function screenShareFrom(points: readonly TypicalPoint[]): NonNullable<Valve['screenShare']> {
  const shares = points.flatMap(({ anodeCurrent, screenCurrent }) =>
    screenCurrent === undefined ? [] : [screenCurrent / (anodeCurrent + screenCurrent)],
  );
  if (shares.length === 0) throw new Error('no typical point has a screen current');
  return {
    low: Math.min(...shares) * (1 - SPREAD),
    high: Math.max(...shares) * (1 + SPREAD),
    trust: computed(
      'the typical points, widened by 20 % for the spread of valves (common practice, no source)',
    ),
  };
}

/** The two systems of a twin triode: `1` the one that American sheets call unit 1, `2` the other. */
export function twinTriode(
  one: readonly [a: number, g: number, k: number],
  two: readonly [a: number, g: number, k: number],
): readonly ValveSection[] {
  const section = (name: string, [a, g, k]: readonly [number, number, number]): ValveSection => ({
    name,
    pins: { a: [a], g: [g], k: [k] },
    kind: 'triode',
  });
  return [section('1', one), section('2', two)];
}

export function single(
  kind: ValveKind,
  pins: Readonly<Record<string, readonly number[]>>,
): readonly ValveSection[] {
  return [{ name: '', pins, kind }];
}

/** The pins that all octal beam tetrodes share; the beam plates are inside on the cathode. */
export const OCTAL_BEAM_TETRODE = single('beam-tetrode', { a: [3], g: [5], g2: [4], k: [8] });

/** A 6.3 V heater on pins 2 and 7 of an octal base. */
export function octalHeater(milliamperes: number, trust: Trust): Valve['heater'] {
  return {
    volts: given(volts(6.3), trust),
    amperes: given(amperes(milliamperes / 1000), trust),
    pins: [2, 7],
  };
}
