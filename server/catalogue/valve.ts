/** Owns the shape of a valve's catalogue entry: base, sections, limits with their rating system, typical points, and how far each figure may be trusted. */
import type { Amperes, Farads, Ohms, Siemens, Volts, Watts } from '../units/si.ts';

/** Who allows for mains and part spread. */
export type RatingSystem = 'design-centre' | 'design-maximum' | 'absolute-maximum';

/** How far a figure may be trusted, and where it stands. */
export interface Trust {
  /** `transcribed` from a data sheet, `checked` = from memory and arithmetically checked, `memory` = from memory, unverified, `weak` = publications disagree, `computed`, `house` = written in the shop sheet. */
  readonly mark: 'transcribed' | 'checked' | 'memory' | 'weak' | 'computed' | 'house';
  /** `data sheet, design-centre edition`. */
  readonly source: string;
}

export interface Datum<T extends number> {
  readonly value: T;
  readonly trust: Trust;
  /** Set where this figure's system differs from the valve's. */
  readonly system?: RatingSystem;
}

export type ValveKind = 'triode' | 'pentode' | 'beam-tetrode' | 'rectifier';

/** One electrode system of a valve and its pins; the only one is named ''. */
export interface ValveSection {
  readonly name: string;
  /** Electrode letter to pin numbers: `{ a: [6], g: [7], k: [8] }`; several where one electrode has several pins. */
  readonly pins: Readonly<Record<string, readonly number[]>>;
  readonly kind: ValveKind;
}

export interface Valve {
  /** The name used for it here: `12AX7`. */
  readonly type: string;
  readonly synonyms: readonly string[];
  readonly base: string;
  readonly kind: ValveKind;
  readonly sections: readonly ValveSection[];
  /** Heater pins, centre tap. */
  readonly heater: {
    readonly volts: Datum<Volts>;
    readonly amperes: Datum<Amperes>;
    readonly pins: readonly number[];
    readonly centreTap?: number;
    /** A second way of connecting it: 12.6 V in series. */
    readonly series?: { readonly volts: Volts; readonly amperes: Amperes };
  };
  readonly system: RatingSystem;
  /** Per section, but for `anodeDissipationBoth`. Where a figure depends on which edition one reads, the lower stands here. */
  readonly limits: {
    readonly anodeVoltage?: Datum<Volts>;
    readonly anodeDissipation?: Datum<Watts>;
    readonly screenVoltage?: Datum<Volts>;
    readonly screenDissipation?: Datum<Watts>;
    /** Short full-drive allowance. */
    readonly screenDissipationFullDrive?: Datum<Watts>;
    readonly cathodeCurrent?: Datum<Amperes>;
    readonly heaterCathodeVoltage?: Datum<Volts>;
    readonly gridLeakFixedBias?: Datum<Ohms>;
    readonly gridLeakSelfBias?: Datum<Ohms>;
    readonly anodeDissipationBoth?: Datum<Watts>;
  };
  /** Another edition of the sheet, or another condition, with other limits, named. */
  readonly otherEditions: readonly {
    readonly name: string;
    readonly what: keyof Valve['limits'] | 'reservoir';
    /** In the unit of the limit. */
    readonly value: number;
    readonly trust: Trust;
  }[];
  readonly rectifier?: RectifierLimits;
  readonly typical: readonly TypicalPoint[];
  /** Ig2/Ik at no signal, low and high; absent for triodes. */
  readonly screenShare?: { readonly low: number; readonly high: number; readonly trust: Trust };
  readonly capacitances?: {
    readonly gridAnode: Datum<Farads>;
    readonly gridCathode: Datum<Farads>;
    readonly anodeCathode?: Datum<Farads>;
  };
  readonly remarks: readonly string[];
}

/** One row of typical operation, of an average new valve. Currents are per valve, also in push-pull; voltages are to the cathode. */
export interface TypicalPoint {
  readonly anode: Volts;
  readonly screen?: Volts;
  readonly grid?: Volts;
  readonly anodeCurrent: Amperes;
  readonly screenCurrent?: Amperes;
  readonly anodeCurrentFullDrive?: Amperes;
  readonly screenCurrentFullDrive?: Amperes;
  readonly transconductance?: Siemens;
  readonly anodeResistance?: Ohms;
  readonly amplificationFactor?: number;
  /** In push-pull shared by the pair. */
  readonly cathodeResistor?: Ohms;
  /** Anode to anode in push-pull. */
  readonly load?: Ohms;
  /** Of the pair in push-pull. */
  readonly output?: Watts;
  readonly use: 'single-ended' | 'push-pull' | 'resistance-coupled' | 'static';
  readonly trust: Trust;
}

export interface RectifierLimits {
  readonly anodeVoltage: readonly { readonly rms: Volts; readonly current: Amperes }[];
  readonly current: Datum<Amperes>;
  readonly reservoir: Datum<Farads>;
  readonly sourceResistance: readonly { readonly rms: Volts; readonly minimum: Ohms }[];
  readonly peakInverse?: Datum<Volts>;
  readonly peakCurrent?: Datum<Amperes>;
  /** I = P·V^1.5 per anode, in A/V^1.5. */
  readonly perveance?: Datum<number>;
  readonly heating: 'direct' | 'indirect';
  readonly trust: Trust;
}
