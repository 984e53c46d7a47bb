/** Owns what the mains is by country, and how high it may go. */
import { type Hertz, hertz, type Ratio, ratio, type Volts, volts } from '../units/si.ts';
import { computed, fromMemory, transcribed } from './data-sheet.ts';
import type { Trust } from './valve.ts';

export interface Mains {
  readonly voltage: Volts;
  /** More than one in a country with two networks. */
  readonly frequencies: readonly Hertz[];
  readonly trust: Trust;
}

const NOMINAL = fromMemory('national nominal mains voltages');
const mains = (voltage: number, ...frequencies: readonly number[]): Mains => ({
  voltage: volts(voltage),
  frequencies: frequencies.map(hertz),
  trust: NOMINAL,
});

const EUROPE = mains(230, 50);
const NORTH_AMERICA = mains(120, 60);
const JAPAN = mains(100, 50, 60);

/** Countries by ISO 3166 letters, and unions as people write them. */
const BY_COUNTRY: Readonly<Record<string, Mains>> = {
  EU: EUROPE,
  GB: EUROPE,
  UK: EUROPE,
  IE: EUROPE,
  DE: EUROPE,
  FR: EUROPE,
  IT: EUROPE,
  ES: EUROPE,
  NL: EUROPE,
  CH: EUROPE,
  AT: EUROPE,
  SE: EUROPE,
  AU: EUROPE,
  NZ: EUROPE,
  US: NORTH_AMERICA,
  CA: NORTH_AMERICA,
  JP: JAPAN,
};

export function findMains(country: string): Mains | undefined {
  const key = country.trim().toUpperCase();
  return Object.hasOwn(BY_COUNTRY, key) ? BY_COUNTRY[key] : undefined;
}

/** How far the mains may rise above (or fall below) its nominal, as a factor, and who says so. */
export interface MainsFactor {
  readonly factor: Ratio;
  readonly trust: Trust;
}

const EN_50160 = transcribed('EN 50160, ±10 % for 95 % of the week');
const ANSI_RANGE_B = transcribed('ANSI C84.1 range B, 110 to 127 V on 120 V');

/** The factor by which to reckon high mains, by the nominal voltage: 1.10 on 220–240 V, 127/120 on 110–127 V. */
export function highMains(nominal: Volts): MainsFactor {
  if (nominal >= 105 && nominal <= 130) return { factor: ratio(127 / 120), trust: ANSI_RANGE_B };
  if (nominal >= 200 && nominal <= 250) return { factor: ratio(1.1), trust: EN_50160 };
  return {
    factor: ratio(1.1),
    trust: { mark: 'weak', source: 'assumed, no standard known here for this mains' },
  };
}

/** The factor by which to reckon low mains. */
export function lowMains(nominal: Volts): MainsFactor {
  if (nominal >= 105 && nominal <= 130) return { factor: ratio(110 / 120), trust: ANSI_RANGE_B };
  if (nominal >= 200 && nominal <= 250) return { factor: ratio(0.9), trust: EN_50160 };
  return {
    factor: ratio(0.9),
    trust: { mark: 'weak', source: 'assumed, no standard known here for this mains' },
  };
}

/** What an old primary makes of today's mains, before any tolerance: 117 V on 120 V gives 2.6 % more on every winding. */
export function primaryFactor(mainsVoltage: Volts, primary: Volts): MainsFactor | undefined {
  if (!(mainsVoltage > 0) || !(primary > 0)) return undefined;
  const factor = mainsVoltage / primary;
  return Number.isFinite(factor)
    ? { factor: ratio(factor), trust: computed('mains over primary') }
    : undefined;
}
