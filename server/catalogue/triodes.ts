/** Owns the data of twin triodes, each figure with its source and trust. */
import { amperes, farads, ohms, volts, watts } from '../units/si.ts';
import {
  checked,
  computed,
  edition,
  fromMemory,
  given,
  point,
  transcribed,
  twinTriode,
  weak,
} from './data-sheet.ts';
import type { Trust, Valve } from './valve.ts';

const NOVAL_TWIN = twinTriode([6, 7, 8], [1, 2, 3]);
const OCTAL_TWIN = twinTriode([5, 4, 6], [2, 1, 3]);

/** Heater of the 12.6 V twins: 4 and 5 tied against 9 for 6.3 V, 4 to 5 for 12.6 V. */
function tappedHeater(parallelMilliamperes: number, trust: Trust): Valve['heater'] {
  return {
    volts: given(volts(6.3), trust),
    amperes: given(amperes(parallelMilliamperes / 1000), trust),
    pins: [4, 5],
    centreTap: 9,
    series: { volts: volts(12.6), amperes: amperes(parallelMilliamperes / 2000) },
  };
}

function capacitances(gridAnode: number, gridCathode: number, anodeCathode: number, trust: Trust) {
  const picofarads = (value: number) => given(farads(value / 1e12), trust);
  return {
    gridAnode: picofarads(gridAnode),
    gridCathode: picofarads(gridCathode),
    anodeCathode: picofarads(anodeCathode),
  };
}

const SHEET_12AX7 = transcribed('12AX7 data sheet, design-centre edition');
const SHEET_ECC83 = transcribed('ECC83 data sheet');
const LATER_12AX7 = fromMemory('12AX7A/7025 data sheet, design-maximum edition');

const STATIC_12AX7 = [
  point({
    use: 'static',
    anode: 100,
    grid: -1,
    milliamperes: 0.5,
    gm: 1.25,
    ra: 80e3,
    mu: 100,
    trust: SHEET_12AX7,
  }),
  point({
    use: 'static',
    anode: 250,
    grid: -2,
    milliamperes: 1.2,
    gm: 1.6,
    ra: 62.5e3,
    mu: 100,
    trust: SHEET_12AX7,
  }),
];
const CAPACITANCES_12AX7 = capacitances(1.7, 1.6, 0.46, fromMemory('12AX7 data sheet, without shield'));

const V12AX7: Valve = {
  type: '12AX7',
  synonyms: ['ECC83', 'CV492', 'CV4004', 'B339', '6681', 'E83CC', 'ECC803S', '7025'],
  base: 'B9A (9A)',
  kind: 'triode',
  sections: NOVAL_TWIN,
  heater: tappedHeater(300, SHEET_12AX7),
  system: 'design-centre',
  limits: {
    anodeVoltage: given(volts(300), SHEET_12AX7),
    anodeDissipation: given(watts(1), SHEET_12AX7),
    cathodeCurrent: given(amperes(0.008), SHEET_ECC83),
    heaterCathodeVoltage: given(volts(180), SHEET_12AX7),
    gridLeakSelfBias: given(ohms(2.2e6), fromMemory('ECC83 data sheet')),
  },
  otherEditions: [
    edition('12AX7A/7025 sheet, design-maximum', 'anodeVoltage', 330, LATER_12AX7),
    edition('12AX7A/7025 sheet, design-maximum', 'anodeDissipation', 1.2, LATER_12AX7),
    edition('12AX7A/7025 sheet, design-maximum', 'heaterCathodeVoltage', 200, LATER_12AX7),
  ],
  typical: STATIC_12AX7,
  capacitances: CAPACITANCES_12AX7,
  remarks: [
    'At the half milliampere or so of a guitar preamplifier its anode resistance is 60–80 kΩ, not 62.5 kΩ.',
  ],
};

const V12AX7A: Valve = {
  ...V12AX7,
  type: '12AX7A',
  synonyms: [],
  heater: tappedHeater(300, LATER_12AX7),
  system: 'design-maximum',
  limits: {
    anodeVoltage: given(volts(330), LATER_12AX7),
    anodeDissipation: given(watts(1.2), LATER_12AX7),
    heaterCathodeVoltage: given(volts(200), LATER_12AX7),
    gridLeakSelfBias: given(ohms(2.2e6), fromMemory('ECC83 data sheet'), 'design-centre'),
  },
  otherEditions: [],
};

const SHEET_12AT7 = transcribed('12AZ7/12AT7 data sheet');
const SHEET_ECC81 = transcribed('ECC81 data sheet');

const V12AT7: Valve = {
  type: '12AT7',
  synonyms: ['ECC81', 'CV455', 'CV4024', 'B309', '6201', 'E81CC'],
  base: 'B9A (9A)',
  kind: 'triode',
  sections: NOVAL_TWIN,
  heater: tappedHeater(300, SHEET_ECC81),
  system: 'design-centre',
  limits: {
    anodeVoltage: given(volts(300), SHEET_ECC81),
    anodeDissipation: given(watts(2.5), SHEET_ECC81),
    cathodeCurrent: given(amperes(0.015), SHEET_ECC81),
    heaterCathodeVoltage: given(volts(90), SHEET_12AT7),
    gridLeakSelfBias: given(ohms(1e6), SHEET_12AT7),
    gridLeakFixedBias: given(ohms(0.25e6), SHEET_12AT7),
  },
  otherEditions: [],
  typical: [
    point({
      use: 'static',
      anode: 100,
      milliamperes: 3.7,
      gm: 4,
      ra: 15e3,
      mu: 60,
      cathodeResistor: 270,
      trust: SHEET_12AT7,
    }),
    point({
      use: 'static',
      anode: 250,
      grid: -2,
      milliamperes: 10,
      gm: 5.5,
      ra: 10.9e3,
      mu: 60,
      cathodeResistor: 200,
      trust: SHEET_12AT7,
    }),
  ],
  capacitances: capacitances(1.5, 2.2, 0.5, fromMemory('12AT7 data sheet, without shield')),
  remarks: [],
};

const SHEET_ECC82 = transcribed('ECC82 data sheet');
const MEMORY_12AU7 = fromMemory('12AU7 data sheet');
const LATER_12AU7 = fromMemory('12AU7A data sheet, design-maximum edition');

const V12AU7: Valve = {
  type: '12AU7',
  synonyms: ['ECC82', 'CV491', 'CV4003', 'B329', '6189', 'E82CC'],
  base: 'B9A (9A)',
  kind: 'triode',
  sections: NOVAL_TWIN,
  heater: tappedHeater(300, checked('12AU7 data sheet, same base and heater as the 12AX7')),
  system: 'design-centre',
  limits: {
    anodeVoltage: given(volts(300), SHEET_ECC82),
    anodeDissipation: given(watts(2.75), SHEET_ECC82),
    cathodeCurrent: given(amperes(0.02), SHEET_ECC82),
    heaterCathodeVoltage: given(volts(200), MEMORY_12AU7),
    gridLeakSelfBias: given(ohms(1e6), MEMORY_12AU7),
    gridLeakFixedBias: given(ohms(0.25e6), MEMORY_12AU7),
  },
  otherEditions: [edition('12AU7A sheet, design-maximum', 'anodeVoltage', 330, LATER_12AU7)],
  typical: [
    point({
      use: 'static',
      anode: 100,
      grid: 0,
      milliamperes: 11.8,
      gm: 3.1,
      ra: 6.25e3,
      mu: 19.5,
      trust: checked('12AU7 data sheet'),
    }),
    point({
      use: 'static',
      anode: 250,
      grid: -8.5,
      milliamperes: 10.5,
      gm: 2.2,
      ra: 7.7e3,
      mu: 17,
      trust: checked('12AU7/ECC82 data sheets'),
    }),
  ],
  capacitances: capacitances(1.5, 1.6, 0.5, fromMemory('12AU7 data sheet, without shield')),
  remarks: [],
};

const V12AU7A: Valve = {
  ...V12AU7,
  type: '12AU7A',
  synonyms: [],
  system: 'design-maximum',
  limits: {
    anodeVoltage: given(volts(330), LATER_12AU7),
    anodeDissipation: given(watts(2.75), LATER_12AU7),
    cathodeCurrent: given(amperes(0.022), LATER_12AU7),
    heaterCathodeVoltage: given(volts(200), LATER_12AU7),
    gridLeakSelfBias: given(ohms(1e6), LATER_12AU7),
    gridLeakFixedBias: given(ohms(0.25e6), LATER_12AU7),
  },
  otherEditions: [],
};

const MEMORY_12AY7 = fromMemory('12AY7 data sheet');

const V12AY7: Valve = {
  type: '12AY7',
  synonyms: ['6072', '6072A'],
  base: 'B9A (9A)',
  kind: 'triode',
  sections: NOVAL_TWIN,
  heater: tappedHeater(300, MEMORY_12AY7),
  system: 'design-centre',
  limits: {
    anodeVoltage: given(volts(300), MEMORY_12AY7),
    anodeDissipation: given(watts(1.5), MEMORY_12AY7),
    cathodeCurrent: given(amperes(0.01), MEMORY_12AY7),
    heaterCathodeVoltage: given(volts(90), MEMORY_12AY7),
  },
  otherEditions: [],
  typical: [
    point({
      use: 'static',
      anode: 250,
      grid: -4,
      milliamperes: 3,
      gm: 1.75,
      ra: 22.8e3,
      mu: 40,
      trust: weak('12AY7 data sheet'),
    }),
    point({
      use: 'static',
      anode: 250,
      grid: -4,
      milliamperes: 3,
      gm: 1.75,
      ra: 25e3,
      mu: 44,
      trust: weak('6072 data sheet'),
    }),
  ],
  capacitances: capacitances(1.3, 1.3, 0.6, MEMORY_12AY7),
  remarks: ['Its amplification factor is printed as 40 or as 44 (the industrial type).'],
};

const MEMORY_5751 = fromMemory('5751 data sheet, absolute-maximum');

const V5751: Valve = {
  type: '5751',
  synonyms: [],
  base: 'B9A (9A)',
  kind: 'triode',
  sections: NOVAL_TWIN,
  heater: tappedHeater(350, MEMORY_5751),
  system: 'absolute-maximum',
  limits: {
    anodeVoltage: given(volts(330), MEMORY_5751),
    anodeDissipation: given(watts(0.8), MEMORY_5751),
    heaterCathodeVoltage: given(volts(100), MEMORY_5751),
  },
  otherEditions: [],
  typical: [
    point({
      use: 'static',
      anode: 250,
      grid: -3,
      milliamperes: 1.05,
      gm: 1.2,
      ra: 58e3,
      mu: 70,
      trust: checked('5751 data sheet'),
    }),
  ],
  capacitances: capacitances(1.4, 1.4, 0.46, MEMORY_5751),
  remarks: [
    'Its heater takes 0.35 A at 6.3 V where a 12AX7 takes 0.30 A: it does not share a series heater chain with one.',
  ],
};

const WEAK_12DW7 = weak('12DW7/7247 data sheet');
const HALVES_DIFFER =
  'Which half of a 12DW7 has pins 6, 7 and 8 differs between publications and makes; mirror-image types are sold.';

/** The half of a 12DW7 that is like a 12AX7 section. */
const V12DW7_100: Valve = {
  type: '12DW7-100',
  synonyms: [],
  base: 'B9A (9A)',
  kind: 'triode',
  sections: NOVAL_TWIN,
  heater: tappedHeater(300, WEAK_12DW7),
  system: 'design-maximum',
  limits: {
    anodeVoltage: given(volts(330), WEAK_12DW7),
    anodeDissipation: given(watts(1.2), WEAK_12DW7),
    heaterCathodeVoltage: given(volts(200), WEAK_12DW7),
  },
  otherEditions: [],
  typical: STATIC_12AX7.map((row) => ({
    ...row,
    trust: computed('the 12AX7 section that this half is like'),
  })),
  capacitances: CAPACITANCES_12AX7,
  remarks: [HALVES_DIFFER],
};

/** The half of a 12DW7 that is like a 12AU7A section. */
const V12DW7_17: Valve = {
  ...V12DW7_100,
  type: '12DW7-17',
  limits: {
    anodeVoltage: given(volts(330), WEAK_12DW7),
    anodeDissipation: given(watts(3.3), WEAK_12DW7),
    cathodeCurrent: given(amperes(0.022), WEAK_12DW7),
    heaterCathodeVoltage: given(volts(200), WEAK_12DW7),
  },
  typical: V12AU7.typical.map((row) => ({
    ...row,
    trust: computed('the 12AU7 section that this half is like'),
  })),
  ...(V12AU7.capacitances && { capacitances: V12AU7.capacitances }),
};

const MEMORY_6SL7 = fromMemory('6SL7GT data sheet');

const V6SL7GT: Valve = {
  type: '6SL7GT',
  synonyms: ['6SL7', 'CV1985', 'VT-229'],
  base: 'octal (8BD)',
  kind: 'triode',
  sections: OCTAL_TWIN,
  heater: { volts: given(volts(6.3), MEMORY_6SL7), amperes: given(amperes(0.3), MEMORY_6SL7), pins: [7, 8] },
  system: 'design-centre',
  limits: {
    anodeVoltage: given(volts(250), MEMORY_6SL7),
    anodeDissipation: given(watts(1), MEMORY_6SL7),
    heaterCathodeVoltage: given(volts(90), MEMORY_6SL7),
  },
  otherEditions: [edition('later sheets', 'anodeVoltage', 300, MEMORY_6SL7)],
  typical: [
    point({
      use: 'static',
      anode: 250,
      grid: -2,
      milliamperes: 2.3,
      gm: 1.6,
      ra: 44e3,
      mu: 70,
      trust: checked('6SL7GT data sheet'),
    }),
  ],
  capacitances: capacitances(2.8, 3.0, 3.8, MEMORY_6SL7),
  remarks: [],
};

const SHEET_6SN7 = transcribed('6SN7GT data sheet');
const MEMORY_6SN7 = fromMemory('6SN7GT data sheet');
const SHEET_SAME_SECTION = transcribed('12SX7/6SN7 data sheet');
const MEMORY_6SN7GTB = fromMemory('6SN7GTB data sheet, design-maximum');

const V6SN7GT: Valve = {
  type: '6SN7GT',
  synonyms: ['6SN7', 'CV1988', 'VT-231', 'B65'],
  base: 'octal (8BD)',
  kind: 'triode',
  sections: OCTAL_TWIN,
  heater: { volts: given(volts(6.3), SHEET_6SN7), amperes: given(amperes(0.6), SHEET_6SN7), pins: [7, 8] },
  system: 'design-centre',
  limits: {
    anodeVoltage: given(volts(300), SHEET_SAME_SECTION),
    anodeDissipation: given(watts(2.5), SHEET_SAME_SECTION),
    cathodeCurrent: given(amperes(0.02), MEMORY_6SN7),
    heaterCathodeVoltage: given(volts(90), MEMORY_6SN7),
    gridLeakSelfBias: given(ohms(1e6), MEMORY_6SN7),
  },
  otherEditions: [
    edition('later sheet of the same section', 'anodeVoltage', 330, SHEET_SAME_SECTION),
    edition('later sheet of the same section', 'anodeDissipation', 2.75, SHEET_SAME_SECTION),
  ],
  typical: [
    point({
      use: 'static',
      anode: 250,
      grid: -8,
      milliamperes: 9,
      gm: 2.6,
      ra: 7.7e3,
      mu: 20,
      trust: SHEET_6SN7,
    }),
    point({
      use: 'static',
      anode: 90,
      grid: 0,
      milliamperes: 10,
      gm: 3,
      ra: 6.7e3,
      mu: 20,
      trust: checked('6SN7GT data sheet'),
    }),
  ],
  capacitances: capacitances(3.8, 2.8, 0.8, MEMORY_6SN7),
  remarks: [],
};

const V6SN7GTB: Valve = {
  ...V6SN7GT,
  type: '6SN7GTB',
  synonyms: ['6SN7GTA'],
  system: 'design-maximum',
  limits: {
    anodeVoltage: given(volts(450), MEMORY_6SN7GTB),
    anodeDissipation: given(watts(5), MEMORY_6SN7GTB),
    anodeDissipationBoth: given(watts(7.5), MEMORY_6SN7GTB),
    cathodeCurrent: given(amperes(0.02), MEMORY_6SN7GTB),
    heaterCathodeVoltage: given(volts(200), MEMORY_6SN7GTB),
    gridLeakSelfBias: given(ohms(2.2e6), MEMORY_6SN7GTB),
    gridLeakFixedBias: given(ohms(1e6), MEMORY_6SN7GTB),
  },
  otherEditions: [],
};

export const TRIODES: readonly Valve[] = [
  V12AX7,
  V12AX7A,
  V12AT7,
  V12AU7,
  V12AU7A,
  V12AY7,
  V5751,
  V12DW7_100,
  V12DW7_17,
  V6SL7GT,
  V6SN7GT,
  V6SN7GTB,
];
