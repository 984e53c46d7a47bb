/** Owns the data of valve rectifiers, each figure with its source and trust. */
import { amperes, farads, ohms, volts } from '../units/si.ts';
import { checked, computed, edition, fromMemory, given, single, transcribed, weak } from './data-sheet.ts';
import type { RectifierLimits, Trust, Valve } from './valve.ts';

const allowed = (rms: number, milliamperes: number) => ({
  rms: volts(rms),
  current: amperes(milliamperes / 1000),
});
const source = (rms: number, minimum: number) => ({ rms: volts(rms), minimum: ohms(minimum) });
const milliamperes = (value: number, trust: Trust) => given(amperes(value / 1000), trust);
const microfarads = (value: number, trust: Trust) => given(farads(value / 1e6), trust);

/** I = P·V^1.5: what one anode passes at the drop that the sheet prints. */
function perveance(milliamperesAtDrop: number, drop: number): NonNullable<RectifierLimits['perveance']> {
  return given(
    milliamperesAtDrop / 1000 / drop ** 1.5,
    computed(`the sheet's drop of ${drop} V at ${milliamperesAtDrop} mA`),
  );
}

/** A full-wave rectifier: no limits but those of a rectifier, and the heater's. */
function rectifier(
  entry: Pick<Valve, 'type' | 'synonyms' | 'base' | 'sections' | 'heater' | 'remarks'> & {
    readonly rectifier: RectifierLimits;
    readonly limits?: Valve['limits'];
    readonly otherEditions?: Valve['otherEditions'];
    readonly system?: Valve['system'];
  },
): Valve {
  return { kind: 'rectifier', system: 'design-centre', limits: {}, otherEditions: [], typical: [], ...entry };
}

const heater = (of: number, current: number, pins: readonly number[], trust: Trust): Valve['heater'] => ({
  volts: given(volts(of), trust),
  amperes: given(amperes(current), trust),
  pins,
});

const NOVAL_RECTIFIER = single('rectifier', { a1: [1], a2: [7], k: [3] });
/** Directly heated: the filament is the cathode, and the HT is taken from pin 8 (or 2). */
const OCTAL_FILAMENT = single('rectifier', { a1: [4], a2: [6], k: [8, 2] });
const OCTAL_CATHODE = single('rectifier', { a1: [4], a2: [6], k: [8] });
const HT_FROM_8 = 'The cathode is tied to pin 8 inside: the HT is taken from pin 8 only.';

const CHECKED_EZ81 = checked('EZ81 data sheet, output volts computed from its drop');
const EZ81 = rectifier({
  type: 'EZ81',
  synonyms: ['6CA4', 'U709', 'UU12'],
  base: 'B9A (9M)',
  sections: NOVAL_RECTIFIER,
  heater: heater(6.3, 1, [4, 5], CHECKED_EZ81),
  limits: { heaterCathodeVoltage: given(volts(500), CHECKED_EZ81) },
  rectifier: {
    anodeVoltage: [allowed(250, 160), allowed(300, 150), allowed(350, 150)],
    current: milliamperes(150, CHECKED_EZ81),
    reservoir: microfarads(50, CHECKED_EZ81),
    sourceResistance: [source(250, 150), source(300, 200), source(350, 240)],
    peakInverse: given(volts(1000), weak('EZ81 data sheet, 1000 to 1300 V')),
    peakCurrent: milliamperes(450, weak('EZ81 data sheet, 450 to 500 mA')),
    perveance: perveance(150, 20),
    heating: 'indirect',
    trust: CHECKED_EZ81,
  },
  remarks: ['Pins 2, 6, 8 and 9 are connected inside: no tie points.'],
});

const CHECKED_EZ80 = checked('EZ80 data sheet, output volts computed from its drop');
const EZ80 = rectifier({
  type: 'EZ80',
  synonyms: ['6V4'],
  base: 'B9A (9M)',
  sections: NOVAL_RECTIFIER,
  heater: heater(6.3, 0.6, [4, 5], CHECKED_EZ80),
  limits: { heaterCathodeVoltage: given(volts(500), CHECKED_EZ80) },
  rectifier: {
    anodeVoltage: [allowed(350, 90)],
    current: milliamperes(90, CHECKED_EZ80),
    reservoir: microfarads(50, CHECKED_EZ80),
    sourceResistance: [source(250, 125), source(275, 175), source(300, 215), source(350, 300)],
    peakInverse: given(volts(1000), weak('EZ80 data sheet, 1000 to 1250 V')),
    peakCurrent: milliamperes(270, fromMemory('EZ80 data sheet')),
    perveance: perveance(90, 20),
    heating: 'indirect',
    trust: CHECKED_EZ80,
  },
  remarks: ['Pins 2, 6, 8 and 9 are connected inside: no tie points.'],
});

const SHEET_5Y3 = transcribed('5Y3GT data sheet');
const MEMORY_5Y3 = fromMemory('5Y3GT data sheet');
const V5Y3GT = rectifier({
  type: '5Y3GT',
  synonyms: ['5Y3', '5Y3G', 'CV1856', 'VT-197A', 'U50'],
  base: 'octal (5T)',
  sections: OCTAL_FILAMENT,
  heater: heater(5, 2, [2, 8], MEMORY_5Y3),
  rectifier: {
    anodeVoltage: [allowed(350, 125)],
    current: milliamperes(125, SHEET_5Y3),
    reservoir: microfarads(20, SHEET_5Y3),
    sourceResistance: [source(350, 50)],
    peakInverse: given(volts(1400), MEMORY_5Y3),
    peakCurrent: milliamperes(400, MEMORY_5Y3),
    perveance: perveance(125, 55),
    heating: 'direct',
    trust: MEMORY_5Y3,
  },
  remarks: [],
});

const CHECKED_GZ34 = checked('GZ34 data sheet, output volts computed from its drop');
const MEMORY_GZ34 = fromMemory('GZ34 data sheet');
const GZ34 = rectifier({
  type: 'GZ34',
  synonyms: ['5AR4', 'U77', 'CV1377'],
  base: 'octal (5DA/5L)',
  sections: OCTAL_CATHODE,
  heater: heater(5, 1.9, [2, 8], MEMORY_GZ34),
  rectifier: {
    anodeVoltage: [allowed(450, 250), allowed(500, 200), allowed(550, 160)],
    current: milliamperes(250, CHECKED_GZ34),
    reservoir: microfarads(60, transcribed('GZ34 data sheet')),
    sourceResistance: [source(300, 50), source(350, 75), source(400, 100), source(450, 125)],
    peakInverse: given(volts(1500), weak('GZ34 data sheet, 1500 to 1700 V')),
    peakCurrent: milliamperes(750, weak('GZ34 data sheet')),
    perveance: perveance(225, 17),
    heating: 'indirect',
    trust: CHECKED_GZ34,
  },
  remarks: [HT_FROM_8],
});

const TWIN_5U4G = transcribed('data sheet of the four-pin type with the same system as the 5U4G');
const MEMORY_5U4G = fromMemory('5U4G data sheet');
const V5U4G = rectifier({
  type: '5U4G',
  synonyms: ['5U4', 'VT-244', 'U52', 'CV1071'],
  base: 'octal (5T)',
  sections: OCTAL_FILAMENT,
  heater: heater(5, 3, [2, 8], MEMORY_5U4G),
  rectifier: {
    anodeVoltage: [allowed(450, 225)],
    current: milliamperes(225, TWIN_5U4G),
    reservoir: microfarads(40, TWIN_5U4G),
    sourceResistance: [source(450, 75)],
    peakInverse: given(volts(1550), MEMORY_5U4G),
    peakCurrent: milliamperes(675, MEMORY_5U4G),
    perveance: perveance(225, 51),
    heating: 'direct',
    trust: TWIN_5U4G,
  },
  remarks: ['Its drop is printed as 44 V and as 58 V at 225 mA; the middle is used.'],
});

const MEMORY_5U4GB = fromMemory('5U4GB data sheet, design-maximum');
const V5U4GB = rectifier({
  type: '5U4GB',
  synonyms: [],
  base: 'octal (5T)',
  sections: OCTAL_FILAMENT,
  heater: heater(5, 3, [2, 8], MEMORY_5U4GB),
  system: 'design-maximum',
  rectifier: {
    anodeVoltage: [allowed(450, 275)],
    current: milliamperes(275, MEMORY_5U4GB),
    reservoir: microfarads(40, MEMORY_5U4GB),
    sourceResistance: [source(450, 67)],
    peakInverse: given(volts(1550), MEMORY_5U4GB),
    peakCurrent: milliamperes(1000, MEMORY_5U4GB),
    perveance: perveance(275, 50),
    heating: 'direct',
    trust: MEMORY_5U4GB,
  },
  remarks: [],
});

const WEAK_5V4G = weak('5V4G/5V4GA data sheets');
const V5V4G = rectifier({
  type: '5V4G',
  synonyms: ['5V4', '5V4GA', 'GZ32'],
  base: 'octal (5L)',
  sections: OCTAL_CATHODE,
  heater: heater(5, 2, [2, 8], WEAK_5V4G),
  otherEditions: [edition('later sheet', 'reservoir', 20e-6, WEAK_5V4G)],
  rectifier: {
    anodeVoltage: [allowed(375, 175)],
    current: milliamperes(175, WEAK_5V4G),
    reservoir: microfarads(10, WEAK_5V4G),
    sourceResistance: [source(375, 65)],
    peakInverse: given(volts(1400), WEAK_5V4G),
    peakCurrent: milliamperes(525, WEAK_5V4G),
    perveance: perveance(175, 25),
    heating: 'indirect',
    trust: WEAK_5V4G,
  },
  remarks: [HT_FROM_8],
});

const SHEET_6X4 = transcribed('6X4/12X4 data sheet');
const MEMORY_6X4 = fromMemory('6X4 data sheet');
const V6X4 = rectifier({
  type: '6X4',
  synonyms: ['EZ90', 'U78', 'CV493'],
  base: 'B7G (5BS)',
  sections: single('rectifier', { a1: [1], a2: [6], k: [7] }),
  heater: heater(6.3, 0.6, [3, 4], MEMORY_6X4),
  limits: { heaterCathodeVoltage: given(volts(450), SHEET_6X4) },
  otherEditions: [
    edition('heater positive to cathode', 'heaterCathodeVoltage', 100, SHEET_6X4),
    edition('other sheet', 'reservoir', 16e-6, MEMORY_6X4),
  ],
  rectifier: {
    anodeVoltage: [allowed(325, 70)],
    current: milliamperes(70, SHEET_6X4),
    reservoir: microfarads(10, MEMORY_6X4),
    sourceResistance: [source(325, 525)],
    peakInverse: given(volts(1250), MEMORY_6X4),
    peakCurrent: milliamperes(210, MEMORY_6X4),
    perveance: perveance(70, 22),
    heating: 'indirect',
    trust: SHEET_6X4,
  },
  remarks: [],
});

export const RECTIFIERS: readonly Valve[] = [EZ81, EZ80, V5Y3GT, GZ34, V5U4G, V5U4GB, V5V4G, V6X4];
