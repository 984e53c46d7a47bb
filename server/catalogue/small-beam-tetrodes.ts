/** Owns the data of beam tetrodes of the 6V6 family, each figure with its source and trust. */
import { amperes, farads, ohms, volts, watts } from '../units/si.ts';
import {
  checked,
  edition,
  fromMemory,
  given,
  OCTAL_BEAM_TETRODE,
  octalHeater,
  point,
  screenShareFrom,
  single,
  transcribed,
} from './data-sheet.ts';
import type { Valve } from './valve.ts';

const MEMORY_6V6 = fromMemory('6V6GT data sheet, design-centre edition');
const CHECKED_6V6 = checked('6V6GT data sheet');
const DISSIPATION_6V6 = transcribed('6V6 data, 12 W and later 14 W');
const LATER_6V6 = fromMemory('6V6GTA data sheet, design-maximum edition');
const POINTS_6V6 = [
  point({
    use: 'single-ended',
    anode: 250,
    screen: 250,
    grid: -12.5,
    milliamperes: 45,
    screenMilliamperes: 4.5,
    fullDrive: [47, 7],
    gm: 4.1,
    ra: 50e3,
    load: 5e3,
    output: 4.5,
    trust: CHECKED_6V6,
  }),
  point({
    use: 'single-ended',
    anode: 315,
    screen: 225,
    grid: -13,
    milliamperes: 34,
    screenMilliamperes: 2.2,
    fullDrive: [35, 6],
    gm: 3.75,
    ra: 78e3,
    load: 8.5e3,
    output: 5.5,
    trust: CHECKED_6V6,
  }),
  point({
    use: 'push-pull',
    anode: 250,
    screen: 250,
    grid: -15,
    milliamperes: 35,
    screenMilliamperes: 2.5,
    fullDrive: [39.5, 6.5],
    load: 10e3,
    output: 10,
    trust: MEMORY_6V6,
  }),
  point({
    use: 'push-pull',
    anode: 285,
    screen: 285,
    grid: -19,
    milliamperes: 35,
    screenMilliamperes: 2,
    fullDrive: [46, 6.75],
    load: 8e3,
    output: 14,
    trust: CHECKED_6V6,
  }),
];

const V6V6GT: Valve = {
  type: '6V6GT',
  synonyms: ['6V6', '6V6G', 'CV511', 'VT-107A'],
  base: 'octal (7S/7AC)',
  kind: 'beam-tetrode',
  sections: OCTAL_BEAM_TETRODE,
  heater: octalHeater(450, MEMORY_6V6),
  system: 'design-centre',
  limits: {
    anodeVoltage: given(volts(315), MEMORY_6V6),
    anodeDissipation: given(watts(12), DISSIPATION_6V6),
    screenVoltage: given(volts(285), MEMORY_6V6),
    screenDissipation: given(watts(2), MEMORY_6V6),
    heaterCathodeVoltage: given(volts(90), MEMORY_6V6),
    gridLeakFixedBias: given(ohms(0.1e6), MEMORY_6V6),
    gridLeakSelfBias: given(ohms(0.5e6), MEMORY_6V6),
  },
  otherEditions: [
    edition('6V6GTA sheet, design-maximum', 'anodeVoltage', 350, LATER_6V6),
    edition('6V6GTA sheet, design-maximum', 'anodeDissipation', 14, DISSIPATION_6V6),
    edition('6V6GTA sheet, design-maximum', 'screenVoltage', 315, LATER_6V6),
    edition('6V6GTA sheet, design-maximum', 'screenDissipation', 2.2, LATER_6V6),
  ],
  typical: POINTS_6V6,
  screenShare: screenShareFrom(POINTS_6V6),
  capacitances: {
    gridAnode: given(farads(0.7e-12), MEMORY_6V6),
    gridCathode: given(farads(9e-12), MEMORY_6V6),
    anodeCathode: given(farads(7.5e-12), MEMORY_6V6),
  },
  remarks: ['Pin 1 is empty or the shell and pin 6 is absent: sockets often use pin 6 as a tie point.'],
};

const V6V6GTA: Valve = {
  ...V6V6GT,
  type: '6V6GTA',
  synonyms: [],
  heater: octalHeater(450, LATER_6V6),
  system: 'design-maximum',
  limits: {
    anodeVoltage: given(volts(350), LATER_6V6),
    anodeDissipation: given(watts(14), DISSIPATION_6V6),
    screenVoltage: given(volts(315), LATER_6V6),
    screenDissipation: given(watts(2.2), LATER_6V6),
    heaterCathodeVoltage: given(volts(200), LATER_6V6),
    gridLeakFixedBias: given(ohms(0.1e6), LATER_6V6),
    gridLeakSelfBias: given(ohms(0.5e6), LATER_6V6),
  },
  otherEditions: [],
};

const MEMORY_6AQ5 = fromMemory('6AQ5 data sheet, design-centre edition');
const LATER_6AQ5 = fromMemory('6AQ5A data sheet, design-maximum edition');
const POINTS_6AQ5 = [
  point({
    use: 'single-ended',
    anode: 250,
    screen: 250,
    grid: -12.5,
    milliamperes: 45,
    screenMilliamperes: 4.5,
    fullDrive: [47, 7],
    gm: 4.1,
    ra: 52e3,
    load: 5e3,
    output: 4.5,
    trust: checked('6AQ5 data sheet, same system as the 6V6'),
  }),
];

const V6AQ5: Valve = {
  type: '6AQ5',
  synonyms: ['EL90', 'N727', 'CV1862'],
  base: 'B7G (7BZ)',
  kind: 'beam-tetrode',
  sections: single('beam-tetrode', { a: [5], g: [1, 7], g2: [6], k: [2] }),
  heater: { volts: given(volts(6.3), MEMORY_6AQ5), amperes: given(amperes(0.45), MEMORY_6AQ5), pins: [3, 4] },
  system: 'design-centre',
  limits: {
    anodeVoltage: given(volts(250), MEMORY_6AQ5),
    anodeDissipation: given(watts(12), MEMORY_6AQ5),
    screenVoltage: given(volts(250), MEMORY_6AQ5),
    screenDissipation: given(watts(2), MEMORY_6AQ5),
    heaterCathodeVoltage: given(volts(90), MEMORY_6AQ5),
    gridLeakFixedBias: given(ohms(0.1e6), MEMORY_6AQ5),
    gridLeakSelfBias: given(ohms(0.5e6), MEMORY_6AQ5),
  },
  otherEditions: [
    edition('6AQ5A sheet, design-maximum', 'anodeVoltage', 275, LATER_6AQ5),
    edition('6AQ5A sheet, design-maximum', 'screenVoltage', 275, LATER_6AQ5),
  ],
  typical: POINTS_6AQ5,
  screenShare: screenShareFrom(POINTS_6AQ5),
  remarks: [],
};

const V6AQ5A: Valve = {
  ...V6AQ5,
  type: '6AQ5A',
  synonyms: [],
  system: 'design-maximum',
  limits: {
    anodeVoltage: given(volts(275), LATER_6AQ5),
    anodeDissipation: given(watts(12), LATER_6AQ5),
    screenVoltage: given(volts(275), LATER_6AQ5),
    screenDissipation: given(watts(2), LATER_6AQ5),
    heaterCathodeVoltage: given(volts(200), LATER_6AQ5),
    gridLeakFixedBias: given(ohms(0.1e6), LATER_6AQ5),
    gridLeakSelfBias: given(ohms(0.5e6), LATER_6AQ5),
  },
  otherEditions: [],
};

export const SMALL_BEAM_TETRODES: readonly Valve[] = [V6V6GT, V6V6GTA, V6AQ5, V6AQ5A];
