/** What the meter said, and what a number means where it was read. */
import { describe, expect, test } from 'vitest';
import { showWritten as show } from './tag-show.ts';

describe('a number without a unit', () => {
  test.each([
    ['{R17: 470}', 'reading R17 resistance 470 Ω*'],
    ['{V5.a: 331}', 'reading V5.a voltage 331 V*'],
    ['{B+2: 310}', 'reading B+2 voltage 310 V*'],
    ['{mains: 238}', 'reading mains ac-voltage 238 V*'],
    ['{heaters: 6.2}', 'reading heaters ac-voltage 6.2 V*'],
    ['{T1: 6.3}', 'reading T1 ac-voltage 6.3 V*'],
    ['{LS1: 11.2}', 'reading LS1 ac-voltage 11.2 V*'],
    ['{V5: h 6.2}', 'reading V5.h ac-voltage 6.2 V*'],
    [
      '{L1: 250}',
      [
        'reading L1 resistance 250 Ω*',
        '  ! unit-missing “250”: L1: 250 has no unit; it is taken as ohms → {L1: 250R} | {L1: 250 H} | {L1: 250 mA}',
      ].join('\n'),
    ],
    [
      '{D1: 0.55}',
      [
        'reading D1 voltage 550 mV*',
        '  ! unit-missing “0.55”: D1: 0.55 has no unit; it is taken as volts → {D1: 0.55 V} | {D1: 0.55R}',
      ].join('\n'),
    ],
    [
      '{C14: 47}',
      [
        'reading C14 capacitance {47 µF | 47 V across it}',
        '  ! value-ambiguous “47”: 47 can mean 47 µF or 47 V across it; a bare number on a capacitor may be microfarads or volts → {C14: 47uF} | {C14: 47 V}',
      ].join('\n'),
    ],
    [
      '{V5: 331}',
      [
        'reading V5 voltage {331 V at the anode | 331 V at the cathode | 331 mA of cathode current}',
        '  ! value-ambiguous “331”: 331 can mean 331 V at the anode or 331 V at the cathode or 331 mA of cathode current; on a whole valve it does not say which electrode was read → {V5: a 331} | {V5: k 331} | {V5: 331 mA}',
      ].join('\n'),
    ],
    [
      '{V5: 331 V}',
      [
        'reading V5 voltage {331 V at the anode | 331 V at the cathode}',
        '  ! value-ambiguous “331 V”: 331 V can mean 331 V at the anode or 331 V at the cathode; on a whole valve it does not say which electrode was read → {V5: a 331 V} | {V5: k 331 V}',
      ].join('\n'),
    ],
  ])('%s', (written, understood) => {
    expect(show(written)).toBe(understood);
  });
});

describe('the unit says what was read', () => {
  test.each([
    ['{R17: 8 V}', 'reading R17 voltage 8 V'],
    ['{R17: 12 mA}', 'reading R17 current 12 mA'],
    ['{C14: 4n4}', 'reading C14 capacitance 4.4 nF*'],
    ['{C14: >20M}', 'reading C14 insulation >20 MΩ*'],
    [
      '{C14: 20M}',
      [
        'reading C14 capacitance {20 µF | 20 MΩ}',
        '  ! value-ambiguous “20M”: 20M can mean 20 µF or 20 MΩ; the letter may stand for either here → {C14: 20uF} | {C14: 20M}',
      ].join('\n'),
    ],
    ['{C14: 100V}', 'reading C14 voltage 100 V'],
    ['{C14: 2uA at 400V}', 'reading C14 leakage 2 µA at 400 V'],
    ['{C14: ESR 4.2}', 'reading C14 esr 4.2 Ω*'],
    ['{V5: 38 mA}', 'reading V5 current 38 mA'],
    ['{V5.a: 38 mA}', 'reading V5.a current 38 mA'],
    ['{V5: k 22mV}', 'reading V5.k voltage 22 mV'],
    ['{B+1: 3 V AC ripple}', 'reading B+1 ripple 3 V ac'],
    ['{B+1: 300mV 120Hz}', 'reading B+1 ripple 300 mV at 120 Hz'],
    ['{B+1: 10V peak to peak}', 'reading B+1 ripple 10 V pp'],
    ['{B+1: 120 mA}', 'reading B+1 current 120 mA'],
    ['{B+1: 352 V, 19 Vpp}', 'reading B+1 voltage 352 V; B+1 ripple 19 V pp'],
    ['{heaters: 3.1 VAC}', 'reading heaters ac-voltage 3.1 V ac'],
    ['{mains: 121 V 60 Hz}', 'reading mains ac-voltage 121 V at 60 Hz'],
    ['{T2.8R: 11 V}', 'reading T2.8R ac-voltage 11 V'],
    ['{T2: 138R}', 'reading T2 resistance 138 Ω'],
    ['{TK1: 6R8 / 180R}', 'reading TK1 halves 6.8 Ω / 180 Ω'],
    ['{R12: open}', 'reading R12 resistance open'],
    ['{C14: short}', 'reading C14 insulation short'],
    ['{F1: blown}', 'reading F1 resistance open'],
  ])('%s', (written, understood) => {
    expect(show(written)).toBe(understood);
  });
});

describe('between two points', () => {
  test.each([
    ['{V5.a to B+1: 138R}', 'reading V5.a to B+1 resistance 138 Ω'],
    ['{V5.a to B+1: -3.4 V}', 'reading V5.a to B+1 voltage -3.4 V'],
    ['{V5.a to k: 311 V}', 'reading V5.a to V5.k voltage 311 V'],
    ['{V5 pin 3 to pin 4: 2 V}', 'reading V5.3(pin) to V5.4(pin) voltage 2 V'],
    ['{line to earth: >20M}', 'reading line to earth resistance >20 MΩ*'],
    ['{T2.1 to T2.2: open}', 'reading T2.1 to T2.2 resistance open'],
  ])('%s', (written, understood) => {
    expect(show(written)).toBe(understood);
  });
});

describe('where the probe was', () => {
  test.each([
    ['{V5 pin 3: 331}', 'reading V5.3(pin) voltage 331 V*'],
    ['{V5 pin #3: 331}', 'reading V5.3(pin) voltage 331 V*'],
    ['{V5 anode: 331}', 'reading V5.a voltage 331 V*'],
    [
      '{V5: anode 331, screen 322, grid -1, cathode 19.4}',
      'reading V5.a voltage 331 V*; V5.g2 voltage 322 V*; V5.g voltage -1 V*; V5.k voltage 19.4 V*',
    ],
    ['{V1a: a 142}', 'reading V1A.a voltage 142 V*'],
    ["{V1: a' 142}", "reading V1.a' voltage 142 V*"],
    ['{Q1: b 0.6, c 12, e 0}', 'reading Q1.b voltage 600 mV*; Q1.c voltage 12 V*; Q1.e voltage 0 V*'],
    ['{IC1.7: 12 V}', 'reading IC1.7 voltage 12 V'],
    ['{VR2.wiper: 3 V}', 'reading VR2.wiper voltage 3 V'],
    ['{HT2: 310 V}', 'reading HT2 voltage 310 V'],
    ['{B-: -45 V}', 'reading B- voltage -45 V'],
    ['{bias: -38 V}', 'reading bias voltage -38 V'],
    ['{B+(370V)}', 'reading B+ voltage 370 V'],
    ['{B+1 352 V}', 'reading B+1 voltage 352 V'],
    ['{V5.a V6.a: 331}', 'reading V5.a voltage 331 V*; V6.a voltage 331 V*'],
    ['{V5, V6: k 19.4}', 'reading V5.k voltage 19.4 V*; V6.k voltage 19.4 V*'],
    ['{B+1: 4 V, B+2: 2 V}', 'reading B+1 voltage 4 V; B+2 voltage 2 V'],
    ['{V5: Va 331, Ik 38 mA}', 'reading V5.a voltage 331 V*; V5.k current 38 mA'],
    ['{C1: 31uF/ESR 4R2}', 'reading C1 capacitance 31 µF; C1 esr 4.2 Ω'],
    ['{V5: a 331 V / g2 322 V}', 'reading V5.a voltage 331 V; V5.g2 voltage 322 V'],
  ])('%s', (written, understood) => {
    expect(show(written)).toBe(understood);
  });
});

describe('signs, approximations, as left', () => {
  test.each([
    ['{V5.g: −38 V}', 'reading V5.g voltage -38 V'],
    ['{V5.g: –38 V}', 'reading V5.g voltage -38 V'],
    ['{V5.g：+1.9}', 'reading V5.g voltage 1.9 V*'],
    ['{V5: a 331,5, k 19,4}', 'reading V5.a voltage 332 V*; V5.k voltage 19.4 V*'],
    ['{V5: a 430-450vdc}', 'reading V5.a voltage range 430..450 V'],
    ['{B+1: ~340}', 'reading B+1 voltage ~340 V*'],
    ['{V5: a 400 or so}', 'reading V5.a voltage ~400 V*'],
    ['{V5: a 331 -> 340}', 'reading V5.a voltage 331 V* then 340 V*'],
    ['{B+1: 19 Vpp -> 11 Vpp}', 'reading B+1 ripple 19 V pp then 11 V pp'],
    ['{V5: a ?, k 19.4}', 'reading V5.k voltage 19.4 V*'],
    [
      '{R1: 470 Î©}',
      [
        'reading R1 resistance 470 Ω',
        '  ! text-garbled “Î©”: “Î©” is “Ω” in the wrong encoding → {R1: 470 Ω}',
      ].join('\n'),
    ],
  ])('%s', (written, understood) => {
    expect(show(written)).toBe(understood);
  });
});

describe('a type and a reading at once, and the wrong sign', () => {
  test.each([
    ['{V5 6V6GT: a 331, 38 mA}', 'reading V5 is type 6V6GT; V5.a voltage 331 V*; V5 current 38 mA'],
    [
      '{V3: 12AX7}',
      [
        'fitted V3 = type 12AX7 (colon)',
        '  ! colon-for-equals “:”: this says what V3 is, not what was read: write “=” → {V3 = 12AX7}',
      ].join('\n'),
    ],
    [
      '{C12: 10uF 25V}',
      [
        'fitted C12 = 10 µF, voltage 25 V (colon)',
        '  ! colon-for-equals “:”: this says what C12 is, not what was read: write “=” → {C12 = 10uF 25V}',
      ].join('\n'),
    ],
    [
      '{V5.a = 331 V}',
      [
        'reading V5.a voltage 331 V',
        '  ! equals-for-reading “=”: this is what was read at V5.a: write a colon, as “=” says what is fitted → {V5.a: 331 V}',
      ].join('\n'),
    ],
    [
      '{V5 6V6GT}',
      [
        'unreadable V5: V5 wants a sign: “=” if this is fitted, “:” if it was read, “->” if it is new',
        '  ! tag-unreadable “6V6GT”: V5 wants a sign: “=” if this is fitted, “:” if it was read, “->” if it is new → {V5 = 6V6GT} | {V5 -> 6V6GT}',
      ].join('\n'),
    ],
  ])('%s', (written, understood) => {
    expect(show(written)).toBe(understood);
  });
});

describe('what else a colon says', () => {
  test.each([
    ['{R31, R32: badly charred}', 'state R31 R32: charred'],
    ['{R31: charred and cracked}', 'state R31: charred, cracked'],
    ['{R31: charred, 520R}', 'reading R31 resistance 520 Ω; charred'],
    ['{V5: red-plating}', 'state V5: glowing'],
    [
      '{R4-R31: as drawn}',
      'provenance R4 R5 R6 R7 R8 R9 R10 R11 R12 R13 R14 R15 R16 R17 R18 R19 R20 R21 R22 R23 R24 R25 R26 R27 R28 R29 R30 R31 as-drawn',
    ],
    ['{R7: not seen}', 'provenance R7 not-seen'],
    ['{R17: was R44}', 'provenance R17 was R44'],
  ])('%s', (written, understood) => {
    expect(show(written)).toBe(understood);
  });
});
