/** Owns the data of pentodes, small and output, each figure with its source and trust. */
import { amperes, farads, ohms, volts, watts } from '../units/si.ts';
import {
  checked,
  edition,
  fromMemory,
  given,
  point,
  screenShareFrom,
  single,
  transcribed,
} from './data-sheet.ts';
import type { Valve } from './valve.ts';

const MEMORY_EF86 = fromMemory('EF86 data sheet');
const POINTS_EF86 = [
  point({
    use: 'static',
    anode: 250,
    screen: 140,
    grid: -2.1,
    milliamperes: 3,
    screenMilliamperes: 0.6,
    gm: 2,
    ra: 2.5e6,
    trust: MEMORY_EF86,
  }),
];

const EF86: Valve = {
  type: 'EF86',
  synonyms: ['6267', 'Z729', 'CV2901', 'EF806S'],
  base: 'B9A (9CQ)',
  kind: 'pentode',
  sections: single('pentode', { a: [6], g: [9], g2: [1], g3: [8], k: [3], s: [2, 7] }),
  heater: { volts: given(volts(6.3), MEMORY_EF86), amperes: given(amperes(0.2), MEMORY_EF86), pins: [4, 5] },
  system: 'design-centre',
  limits: {
    anodeVoltage: given(volts(300), MEMORY_EF86),
    anodeDissipation: given(watts(1), MEMORY_EF86),
    screenVoltage: given(volts(200), MEMORY_EF86),
    screenDissipation: given(watts(0.2), MEMORY_EF86),
    cathodeCurrent: given(amperes(0.006), MEMORY_EF86),
    heaterCathodeVoltage: given(volts(100), MEMORY_EF86),
    gridLeakSelfBias: given(ohms(3e6), MEMORY_EF86),
  },
  otherEditions: [
    edition('anode dissipation under 0.2 W', 'gridLeakSelfBias', 10e6, MEMORY_EF86),
    edition('cathode negative to heater', 'heaterCathodeVoltage', 50, MEMORY_EF86),
  ],
  typical: POINTS_EF86,
  screenShare: screenShareFrom(POINTS_EF86),
  capacitances: {
    gridAnode: given(farads(0.05e-12), MEMORY_EF86),
    gridCathode: given(farads(3.8e-12), MEMORY_EF86),
    anodeCathode: given(farads(5.1e-12), MEMORY_EF86),
  },
  remarks: ['Pins 2 and 7 are the internal screen: they go to earth.'],
};

const SHEET_EL84 = transcribed('EL84 data sheet');
const MEMORY_EL84 = fromMemory('EL84 data sheet');
const CHECKED_EL84 = checked('EL84 data sheet');
const POINTS_EL84 = [
  point({
    use: 'single-ended',
    anode: 250,
    screen: 250,
    grid: -7.3,
    milliamperes: 48,
    screenMilliamperes: 5.5,
    gm: 11.3,
    ra: 38e3,
    cathodeResistor: 135,
    load: 4.5e3,
    output: 5.7,
    trust: CHECKED_EL84,
  }),
  point({
    use: 'push-pull',
    anode: 300,
    screen: 300,
    milliamperes: 36,
    screenMilliamperes: 4,
    fullDrive: [46, 11],
    cathodeResistor: 130,
    load: 8e3,
    output: 17,
    trust: CHECKED_EL84,
  }),
  point({
    use: 'push-pull',
    anode: 250,
    screen: 250,
    milliamperes: 31,
    fullDrive: [37.5],
    cathodeResistor: 130,
    load: 8e3,
    output: 11,
    trust: MEMORY_EL84,
  }),
];

const EL84: Valve = {
  type: 'EL84',
  synonyms: ['6BQ5', 'CV2975', 'N709', '7189'],
  base: 'B9A (9CV)',
  kind: 'pentode',
  sections: single('pentode', { a: [7], g: [2], g2: [9], k: [3] }),
  heater: { volts: given(volts(6.3), MEMORY_EL84), amperes: given(amperes(0.76), MEMORY_EL84), pins: [4, 5] },
  system: 'design-centre',
  limits: {
    anodeVoltage: given(volts(300), SHEET_EL84),
    anodeDissipation: given(watts(12), SHEET_EL84),
    screenVoltage: given(volts(300), SHEET_EL84),
    screenDissipation: given(watts(2), SHEET_EL84),
    screenDissipationFullDrive: given(watts(4), SHEET_EL84),
    cathodeCurrent: given(amperes(0.065), SHEET_EL84),
    heaterCathodeVoltage: given(volts(100), MEMORY_EL84),
    gridLeakFixedBias: given(ohms(0.3e6), MEMORY_EL84),
    gridLeakSelfBias: given(ohms(1e6), MEMORY_EL84),
  },
  otherEditions: [],
  typical: POINTS_EL84,
  screenShare: screenShareFrom(POINTS_EL84),
  capacitances: {
    gridAnode: given(farads(0.5e-12), MEMORY_EL84),
    gridCathode: given(farads(10.8e-12), MEMORY_EL84),
    anodeCathode: given(farads(6.5e-12), MEMORY_EL84),
  },
  remarks: ['Pins 1, 6 and 8 are connected inside: no tie points.'],
};

const SHEET_EL34 = transcribed('EL34 data sheet');
const MEMORY_EL34 = fromMemory('EL34 data sheet');
const CHECKED_EL34 = checked('EL34 data sheet');
const POINTS_EL34 = [
  point({
    use: 'single-ended',
    anode: 250,
    screen: 250,
    grid: -13.5,
    milliamperes: 100,
    screenMilliamperes: 14.9,
    gm: 11,
    ra: 15e3,
    load: 2e3,
    output: 11,
    trust: CHECKED_EL34,
  }),
  // Supply 375 V, less the drop over the shared cathode resistor, and over 470 Ω for both screens.
  point({
    use: 'push-pull',
    anode: 352.5,
    screen: 341.7,
    grid: -22.5,
    milliamperes: 75,
    screenMilliamperes: 11.5,
    fullDrive: [95, 22.5],
    cathodeResistor: 130,
    load: 3.4e3,
    output: 35,
    trust: CHECKED_EL34,
  }),
  point({
    use: 'push-pull',
    anode: 775,
    screen: 400,
    grid: -39,
    milliamperes: 25,
    screenMilliamperes: 3,
    fullDrive: [91, 19],
    load: 11e3,
    output: 100,
    trust: SHEET_EL34,
  }),
];

const EL34: Valve = {
  type: 'EL34',
  synonyms: ['6CA7', 'CV1741'],
  base: 'octal (8EP/8ET)',
  kind: 'pentode',
  sections: single('pentode', { a: [3], g: [5], g2: [4], g3: [1], k: [8] }),
  heater: { volts: given(volts(6.3), MEMORY_EL34), amperes: given(amperes(1.5), MEMORY_EL34), pins: [2, 7] },
  system: 'design-centre',
  limits: {
    anodeVoltage: given(volts(800), SHEET_EL34),
    anodeDissipation: given(watts(25), SHEET_EL34),
    screenVoltage: given(volts(425), MEMORY_EL34),
    screenDissipation: given(watts(8), MEMORY_EL34),
    cathodeCurrent: given(amperes(0.15), SHEET_EL34),
    heaterCathodeVoltage: given(volts(100), MEMORY_EL34),
    gridLeakFixedBias: given(ohms(0.5e6), MEMORY_EL34),
    gridLeakSelfBias: given(ohms(0.7e6), MEMORY_EL34),
  },
  otherEditions: [
    edition('later sheet', 'screenVoltage', 500, MEMORY_EL34),
    edition('with signal', 'anodeDissipation', 27.5, MEMORY_EL34),
  ],
  typical: POINTS_EL34,
  screenShare: screenShareFrom(POINTS_EL34),
  capacitances: {
    gridAnode: given(farads(1.1e-12), MEMORY_EL34),
    gridCathode: given(farads(15.2e-12), MEMORY_EL34),
    anodeCathode: given(farads(8.4e-12), MEMORY_EL34),
  },
  remarks: [
    'Its suppressor grid comes out on pin 1, which must be tied to pin 8; a socket wired for the 6L6 family may leave pin 1 open or use it as a tie point.',
    'Its own self-biased push-pull point of 375 V computes to 106 % of 25 W.',
  ],
};

const MEMORY_6K6 = fromMemory('6K6GT data sheet');
const POINTS_6K6 = [
  point({
    use: 'single-ended',
    anode: 250,
    screen: 250,
    grid: -18,
    milliamperes: 32,
    screenMilliamperes: 5.5,
    fullDrive: [33, 10],
    gm: 2.3,
    ra: 90e3,
    load: 7.6e3,
    output: 3.4,
    trust: checked('6K6GT data sheet'),
  }),
];

const V6K6GT: Valve = {
  type: '6K6GT',
  synonyms: ['6K6'],
  base: 'octal (7S)',
  kind: 'pentode',
  sections: single('pentode', { a: [3], g: [5], g2: [4], k: [8] }),
  heater: { volts: given(volts(6.3), MEMORY_6K6), amperes: given(amperes(0.4), MEMORY_6K6), pins: [2, 7] },
  system: 'design-centre',
  limits: {
    anodeVoltage: given(volts(315), MEMORY_6K6),
    anodeDissipation: given(watts(8.5), MEMORY_6K6),
    screenVoltage: given(volts(285), MEMORY_6K6),
    screenDissipation: given(watts(2.8), MEMORY_6K6),
    heaterCathodeVoltage: given(volts(90), MEMORY_6K6),
    gridLeakFixedBias: given(ohms(0.1e6), MEMORY_6K6),
    gridLeakSelfBias: given(ohms(0.5e6), MEMORY_6K6),
  },
  otherEditions: [],
  typical: POINTS_6K6,
  screenShare: screenShareFrom(POINTS_6K6),
  remarks: [],
};

export const PENTODES: readonly Valve[] = [EF86, EL84, EL34, V6K6GT];
