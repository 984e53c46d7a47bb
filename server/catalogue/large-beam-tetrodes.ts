/** Owns the data of beam tetrodes from the 6L6 family upwards, each figure with its source and trust. */
import { amperes, farads, ohms, volts, watts } from '../units/si.ts';
import {
  checked,
  computed,
  edition,
  fromMemory,
  given,
  OCTAL_BEAM_TETRODE,
  octalHeater,
  point,
  screenShareFrom,
  transcribed,
  weak,
} from './data-sheet.ts';
import type { Valve } from './valve.ts';

const DISSIPATION_6L6 = transcribed('6L6 data, 19 W and the 30 W of the 6L6GC');
const MEMORY_6L6G = fromMemory('6L6G data sheet');
const CHECKED_6L6 = checked('6L6 data sheet');
const HANDBOOK_6L6GC = transcribed('General Electric, Essential Characteristics, 1973 (6L6GC)');
const MEMORY_6L6GC = fromMemory('6L6GC data sheet, design-maximum');

/** The rows that the sheets of the whole family print alike. */
const POINTS_6L6 = [
  point({
    use: 'single-ended',
    anode: 250,
    screen: 250,
    grid: -14,
    milliamperes: 72,
    screenMilliamperes: 5,
    fullDrive: [79, 7.3],
    gm: 6,
    ra: 22.5e3,
    load: 2.5e3,
    output: 6.5,
    trust: CHECKED_6L6,
  }),
  // A later handbook prints 5 kΩ for this row.
  point({
    use: 'single-ended',
    anode: 350,
    screen: 250,
    grid: -18,
    milliamperes: 54,
    screenMilliamperes: 2.5,
    fullDrive: [66, 7],
    gm: 5.2,
    ra: 33e3,
    load: 4.2e3,
    output: 10.8,
    trust: CHECKED_6L6,
  }),
  point({
    use: 'push-pull',
    anode: 360,
    screen: 270,
    grid: -22.5,
    milliamperes: 44,
    screenMilliamperes: 2.5,
    fullDrive: [66, 7.5],
    load: 6.6e3,
    output: 26.5,
    trust: CHECKED_6L6,
  }),
];
const POINTS_6L6GC = [
  ...POINTS_6L6,
  // A later handbook prints 54 mA each for this row.
  point({
    use: 'push-pull',
    anode: 450,
    screen: 400,
    grid: -37,
    milliamperes: 58,
    screenMilliamperes: 2.8,
    fullDrive: [105, 11],
    load: 5.6e3,
    output: 55,
    trust: checked('6L6GC data sheet'),
  }),
];

const V6L6G: Valve = {
  type: '6L6G',
  synonyms: ['6L6', '6L6GA', '6L6GB', 'VT-115A', 'CV1947'],
  base: 'octal (7AC)',
  kind: 'beam-tetrode',
  sections: OCTAL_BEAM_TETRODE,
  heater: octalHeater(900, MEMORY_6L6G),
  system: 'design-centre',
  limits: {
    anodeVoltage: given(volts(360), MEMORY_6L6G),
    anodeDissipation: given(watts(19), DISSIPATION_6L6),
    screenVoltage: given(volts(270), MEMORY_6L6G),
    screenDissipation: given(watts(2.5), MEMORY_6L6G),
    heaterCathodeVoltage: given(volts(180), MEMORY_6L6G),
    gridLeakFixedBias: given(ohms(0.1e6), MEMORY_6L6G),
    gridLeakSelfBias: given(ohms(0.5e6), MEMORY_6L6G),
  },
  otherEditions: [],
  typical: POINTS_6L6,
  screenShare: screenShareFrom(POINTS_6L6),
  remarks: ['Pin 1 is the shell of the metal type.'],
};

const V6L6GC: Valve = {
  type: '6L6GC',
  synonyms: ['6L6WGC'],
  base: 'octal (7AC)',
  kind: 'beam-tetrode',
  sections: OCTAL_BEAM_TETRODE,
  heater: octalHeater(900, HANDBOOK_6L6GC),
  system: 'design-maximum',
  limits: {
    anodeVoltage: given(volts(500), HANDBOOK_6L6GC),
    anodeDissipation: given(watts(30), HANDBOOK_6L6GC),
    screenVoltage: given(volts(450), MEMORY_6L6GC),
    screenDissipation: given(watts(5), MEMORY_6L6GC),
    heaterCathodeVoltage: given(volts(200), MEMORY_6L6GC),
    gridLeakFixedBias: given(ohms(0.1e6), MEMORY_6L6GC),
    gridLeakSelfBias: given(ohms(0.5e6), MEMORY_6L6GC),
  },
  otherEditions: [],
  typical: POINTS_6L6GC,
  screenShare: screenShareFrom(POINTS_6L6GC),
  capacitances: {
    gridAnode: given(farads(0.6e-12), MEMORY_6L6GC),
    gridCathode: given(farads(10e-12), MEMORY_6L6GC),
    anodeCathode: given(farads(6.5e-12), MEMORY_6L6GC),
  },
  remarks: ['Its 100 kΩ grid-leak limit in fixed bias is exceeded by most amplifiers that use it.'],
};

const MEMORY_5881 = fromMemory('5881 data sheet');
const WEAK_6L6WGB = weak('6L6WGB, sold under the same number');
const POINTS_5881 = [
  point({
    use: 'single-ended',
    anode: 250,
    screen: 250,
    grid: -14,
    milliamperes: 75,
    screenMilliamperes: 4.3,
    fullDrive: [80, 7.6],
    gm: 6.1,
    ra: 30e3,
    load: 2.5e3,
    output: 6.7,
    trust: MEMORY_5881,
  }),
  point({
    use: 'push-pull',
    anode: 360,
    screen: 270,
    grid: -22.5,
    milliamperes: 44,
    screenMilliamperes: 2.5,
    fullDrive: [66, 7.5],
    load: 6.6e3,
    output: 26.5,
    trust: MEMORY_5881,
  }),
];

const V5881: Valve = {
  type: '5881',
  synonyms: ['6L6WGB', '6L6WGA'],
  base: 'octal (7AC)',
  kind: 'beam-tetrode',
  sections: OCTAL_BEAM_TETRODE,
  heater: octalHeater(900, MEMORY_5881),
  system: 'design-centre',
  limits: {
    anodeVoltage: given(volts(400), MEMORY_5881),
    anodeDissipation: given(watts(23), MEMORY_5881),
    screenVoltage: given(volts(400), MEMORY_5881),
    screenDissipation: given(watts(3), MEMORY_5881),
    heaterCathodeVoltage: given(volts(200), MEMORY_5881),
    gridLeakFixedBias: given(ohms(0.1e6), MEMORY_5881),
    gridLeakSelfBias: given(ohms(0.5e6), MEMORY_5881),
  },
  otherEditions: [
    edition('6L6WGB, lowest printed', 'anodeDissipation', 20.5, WEAK_6L6WGB),
    edition('6L6WGB, highest printed', 'anodeDissipation', 26, WEAK_6L6WGB),
  ],
  typical: POINTS_5881,
  screenShare: screenShareFrom(POINTS_5881),
  remarks: [
    'Valves marked 6L6WGB are sold under the same number with anode ratings of 20.5 to 26 W: look at the maker’s sheet.',
  ],
};

const MANUAL_KT66 = transcribed('Super Radiotron Valve Manual, 1962 (KT66)');
const WEAK_KT66 = weak('KT66 data sheet');
const POINTS_KT66 = [
  point({
    use: 'single-ended',
    anode: 250,
    screen: 250,
    grid: -15,
    milliamperes: 85,
    screenMilliamperes: 6.3,
    gm: 7,
    ra: 22.5e3,
    load: 2.2e3,
    output: 7.25,
    trust: fromMemory('KT66 data sheet, voltages and 85 mA also in Super Radiotron Valve Manual, 1962'),
  }),
];

const KT66: Valve = {
  type: 'KT66',
  synonyms: ['CV1075'],
  base: 'octal (7AC)',
  kind: 'beam-tetrode',
  sections: OCTAL_BEAM_TETRODE,
  heater: octalHeater(1270, MANUAL_KT66),
  system: 'design-centre',
  limits: {
    anodeVoltage: given(volts(500), MANUAL_KT66),
    anodeDissipation: given(watts(25), MANUAL_KT66),
    screenVoltage: given(volts(500), WEAK_KT66),
    screenDissipation: given(watts(3.5), WEAK_KT66),
    cathodeCurrent: given(amperes(0.2), WEAK_KT66),
    heaterCathodeVoltage: given(volts(150), WEAK_KT66),
    gridLeakFixedBias: given(ohms(0.1e6), WEAK_KT66),
    gridLeakSelfBias: given(ohms(0.5e6), WEAK_KT66),
  },
  otherEditions: [
    edition('later sheet, design-maximum', 'anodeDissipation', 30, WEAK_KT66),
    edition('later sheet, design-maximum', 'screenDissipation', 4.5, WEAK_KT66),
  ],
  typical: POINTS_KT66,
  screenShare: screenShareFrom(POINTS_KT66),
  remarks: [
    'Its sheets mix rating systems: 25 W is design-centre, 30 W design-maximum.',
    'In push-pull at 400 V, 400 V and −38 V the 62.5 mA that are printed for each valve include its screen (Super Radiotron Valve Manual, 1962).',
  ],
};

const HEATER_KT88 = transcribed('KT88 data, heater');
const MEMORY_KT88 = fromMemory('KT88 data sheet, design-maximum');
const POINTS_KT88 = [
  point({
    use: 'static',
    anode: 250,
    screen: 250,
    grid: -15,
    milliamperes: 140,
    gm: 11.5,
    ra: 12e3,
    trust: MEMORY_KT88,
  }),
  point({
    use: 'push-pull',
    anode: 560,
    screen: 300,
    grid: -34,
    milliamperes: 60,
    fullDrive: [145],
    load: 4.5e3,
    output: 100,
    trust: MEMORY_KT88,
  }),
];

const KT88: Valve = {
  type: 'KT88',
  synonyms: ['CV5220'],
  base: 'octal (8EP)',
  kind: 'beam-tetrode',
  sections: OCTAL_BEAM_TETRODE,
  heater: octalHeater(1600, HEATER_KT88),
  system: 'design-maximum',
  limits: {
    anodeVoltage: given(volts(800), MEMORY_KT88),
    anodeDissipation: given(watts(42), MEMORY_KT88),
    screenVoltage: given(volts(600), MEMORY_KT88),
    screenDissipation: given(watts(8), MEMORY_KT88),
    cathodeCurrent: given(amperes(0.23), MEMORY_KT88),
    heaterCathodeVoltage: given(volts(250), MEMORY_KT88),
    gridLeakFixedBias: given(ohms(0.1e6), MEMORY_KT88),
    gridLeakSelfBias: given(ohms(0.27e6), MEMORY_KT88),
  },
  otherEditions: [
    edition('design-centre', 'anodeDissipation', 35, MEMORY_KT88),
    edition('design-centre', 'screenDissipation', 6, MEMORY_KT88),
    edition('anode and screen together up to 35 W', 'gridLeakFixedBias', 0.22e6, MEMORY_KT88),
    edition('anode and screen together up to 35 W', 'gridLeakSelfBias', 0.47e6, MEMORY_KT88),
  ],
  typical: POINTS_KT88,
  // The sheet prints 3…12 mA beside 140 mA: it gives a band itself.
  screenShare: {
    low: 3 / 143,
    high: 12 / 152,
    trust: computed('the 3–12 mA beside 140 mA of the KT88 sheet (from memory)'),
  },
  remarks: [
    'Anode and screen together may dissipate 46 W.',
    'Later re-rated makes print 50 W absolute-maximum: not this sheet.',
  ],
};

const MEMORY_6550 = fromMemory('6550 data sheet, design-centre');
const MEMORY_6550A = fromMemory('6550A data sheet, design-maximum');
const POINTS_6550 = [
  point({
    use: 'single-ended',
    anode: 400,
    screen: 225,
    grid: -16.5,
    milliamperes: 87,
    screenMilliamperes: 4,
    fullDrive: [105, 18],
    gm: 9,
    ra: 27e3,
    load: 3e3,
    output: 20,
    trust: checked('6550 data sheet'),
  }),
  point({
    use: 'push-pull',
    anode: 400,
    screen: 275,
    grid: -23,
    milliamperes: 90,
    screenMilliamperes: 4.5,
    fullDrive: [135, 22],
    load: 3.5e3,
    output: 55,
    trust: MEMORY_6550,
  }),
];

const V6550: Valve = {
  type: '6550',
  synonyms: [],
  base: 'octal (7S)',
  kind: 'beam-tetrode',
  sections: OCTAL_BEAM_TETRODE,
  heater: octalHeater(1600, MEMORY_6550),
  system: 'design-centre',
  limits: {
    anodeVoltage: given(volts(600), MEMORY_6550),
    anodeDissipation: given(watts(35), MEMORY_6550),
    screenVoltage: given(volts(400), MEMORY_6550),
    screenDissipation: given(watts(6), MEMORY_6550),
    cathodeCurrent: given(amperes(0.175), MEMORY_6550),
    heaterCathodeVoltage: given(volts(200), MEMORY_6550),
    gridLeakFixedBias: given(ohms(50e3), MEMORY_6550),
    gridLeakSelfBias: given(ohms(0.25e6), MEMORY_6550),
  },
  otherEditions: [],
  typical: POINTS_6550,
  screenShare: screenShareFrom(POINTS_6550),
  remarks: ['Its grid-leak limit in fixed bias is only 50 kΩ.'],
};

const V6550A: Valve = {
  ...V6550,
  type: '6550A',
  synonyms: [],
  heater: octalHeater(1600, MEMORY_6550A),
  system: 'design-maximum',
  limits: {
    anodeVoltage: given(volts(660), MEMORY_6550A),
    anodeDissipation: given(watts(42), MEMORY_6550A),
    screenVoltage: given(volts(440), MEMORY_6550A),
    screenDissipation: given(watts(6), MEMORY_6550A),
    cathodeCurrent: given(amperes(0.19), MEMORY_6550A),
    heaterCathodeVoltage: given(volts(300), MEMORY_6550A),
    gridLeakFixedBias: given(ohms(50e3), MEMORY_6550A),
    gridLeakSelfBias: given(ohms(0.25e6), MEMORY_6550A),
  },
};

export const LARGE_BEAM_TETRODES: readonly Valve[] = [V6L6G, V6L6GC, V5881, KT66, KT88, V6550, V6550A];
