/** Every form of tag, each with what it is understood to say. */
import { expect, test } from 'vitest';
import { showBraces } from './tag-show.ts';

const FORMS: readonly (readonly [string, string])[] = [
  ['{C14}', 'mention C14'],
  ['{R17 = 470R 5W wirewound, V5.k to gnd}', 'fitted R17 = 470 Ω, power 5 W, wirewound [V5.k - gnd]'],
  [
    '{C31 = 100uF 50V electrolytic, across R17}',
    'fitted C31 = 100 µF, voltage 50 V, electrolytic [across R17]',
  ],
  ['{V5, V6 = 6V6GT}', 'fitted V5 V6 = type 6V6GT'],
  ['{C14: 4n4}', 'reading C14 capacitance 4.4 nF*'],
  ['{V5.a: 331 V}', 'reading V5.a voltage 331 V'],
  ['{V5: a 331, g2 322, k 19.4}', 'reading V5.a voltage 331 V*; V5.g2 voltage 322 V*; V5.k voltage 19.4 V*'],
  ['{V5: pin 3 331, pin 8 19.4}', 'reading V5.3(pin) voltage 331 V*; V5.8(pin) voltage 19.4 V*'],
  ['{V5.a to B+1: 3.4 V}', 'reading V5.a to B+1 voltage 3.4 V'],
  ['{C1: 31uF ESR 4R2}', 'reading C1 capacitance 31 µF; C1 esr 4.2 Ω'],
  ['{B+1: 8.2 Vpp}', 'reading B+1 ripple 8.2 V pp'],
  ['{V5: 38 mA}', 'reading V5 current 38 mA'],
  ['{mains: 121 V}', 'reading mains ac-voltage 121 V'],
  ['{LS1: 11.2 Vrms at 1 kHz}', 'reading LS1 ac-voltage 11.2 V rms at 1 kHz'],
  ['{C12 = 10uF 25V -> 1uF 50V film}', 'change C12: 10 µF, voltage 25 V -> 1 µF, voltage 50 V, film'],
  ['{C12 -> 1uF 50V film}', 'change C12: ? -> 1 µF, voltage 50 V, film'],
  ['{C19 -> removed}', 'change C19: ? -> (removed)'],
  ['{R90 = 1k5 0.5W, VR4.3 to tail}', 'fitted R90 = 1.5 kΩ*, power 0.5 W [VR4.3 - tail]'],
  [
    '{V1A = 12AX7, a R4 B+3, k R5 C3, g R1, g R2 J1}',
    'fitted V1A = type 12AX7 [a: R4 - B+3] [k: R5 - (gnd)] [k: C3 - (gnd)] [g: R1 - (gnd)] [g: R2 - J1]',
  ],
  ['{R18 = 250R 5W, V5.k V6.k to gnd}', 'fitted R18 = 250 Ω, power 5 W [V5.k+V6.k - gnd]'],
  ['{C40 + C41 = 100uF 350V, B+1 to gnd}', 'fitted C40 + C41 = 100 µF, voltage 350 V [B+1 - gnd]'],
  ['{V6.k = V5.k}', 'wire V6.k = V5.k'],
  [
    '{T1 = mains 290-0-290V 150mA 6.3V 4A 5V 2A}',
    'fitted T1 = secondary 290 V ct 150 mA, secondary 6.3 V 4 A, secondary 5 V 2 A, mains',
  ],
  ['{V9 = GZ34, T1 to B+1}', 'fitted V9 = type GZ34 [T1 - B+1]'],
  ['{D1, D2 = 1N4007, T1 to B+1}', 'fitted D1 D2 = type 1N4007 [T1 - B+1]'],
  ['{L1 = 10H 250R, B+1 to B+2}', 'fitted L1 = 10 H, 250 Ω [B+1 - B+2]'],
  ['{LS1 = 8R 30W}', 'fitted LS1 = 8 Ω, power 30 W'],
  ['{F1 = T1A}', 'fitted F1 = 1 A, speed T'],
  [
    '{TK1 = tank in 8R out 2k2, T3 to V2A.g}',
    'fitted TK1 = primary 8 Ω, secondary 2.2 kΩ*, tank [T3 - V2A.g]',
  ],
  [
    '{T2 = output 8k : 4R 8R 16R 18W, V5.a V6.a, ct B+1, LS1 on 8R}',
    'fitted T2 = power 18 W, primary 8 kΩ*, secondary 4 Ω, secondary 8 Ω, secondary 16 Ω, output [V5.a+V6.a - (gnd)] [ct: B+1] [8R: LS1]',
  ],
  ['{T2: 138R + 124R}', 'reading T2 halves 138 Ω / 124 Ω'],
  ['{VR2 = 1M log, V1A.a to gnd, wiper to V1B.g}', 'fitted VR2 = 1 MΩ*, log [V1A.a - gnd] [wiper: V1B.g]'],
  ['{VR2: at 3}', 'reading VR2 setting 3*'],
  ['{VR2: 850k / 150k}', 'reading VR2 arms 850 kΩ* / 150 kΩ*'],
  ['{? (B+1 - V1A.a) / R6}', 'question (B+1 - V1A.a) / R6'],
  ['{R31: charred}', 'state R31: charred'],
  ['{R31.1: lifted}', 'state R31.1: lifted'],
  ['{C21 -> same}', 'change C21: ? -> (same)'],
  ['{R31 -> resoldered}', 'change R31: ? -> (resoldered)'],
  ["{accept screen-over-voltage V5: maker's design}", "accept screen-over-voltage V5: maker's design"],
  ["{keep C41: owner's wish}", "keep C41: owner's wish"],
];

test.each(FORMS)('%s', (written, understood) => {
  expect(showBraces(written)).toBe(understood);
});
