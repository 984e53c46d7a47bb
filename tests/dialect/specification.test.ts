/** What is fitted: values, ratings, kinds, types and windings, as each class of part spells them. */
import { describe, expect, test } from 'vitest';
import { showWritten as show } from './tag-show.ts';

describe('a resistor', () => {
  test.each([
    ['{R17 = 470/2W}', 'fitted R17 = 470 Ω*, power 2 W'],
    ['{R17 = 1/2W 100K}', 'fitted R17 = 100 kΩ*, power 0.5 W'],
    ['{R17 = 330R, 5W}', 'fitted R17 = 330 Ω, power 5 W'],
    ['{R17 = 330 Ω, 5W}', 'fitted R17 = 330 Ω, power 5 W'],
    ['{R17 = 820}', 'fitted R17 = 820 Ω*'],
    ['{R17 = 0,3 Megohm}', 'fitted R17 = 300 kΩ'],
    ['{R17 = 500 kohms}', 'fitted R17 = 500 kΩ'],
    ['{R17 = R47 5W}', 'fitted R17 = 0.47 Ω, power 5 W'],
    [
      '{R17 = 4k7 5% 0.5W metal film 350V date 2011}',
      'fitted R17 = 4.7 kΩ*, tolerance 0.05, power 0.5 W, voltage 350 V, date 2011, metal film',
    ],
    ['{R17 = 10k ±5%}', 'fitted R17 = 10 kΩ*, tolerance 0.05'],
    [
      '{R17 = 6,15, 200 ohm}',
      [
        'fitted R17 = {6.15 Ω | a list: 6 Ω and 15 Ω}, 200 Ω',
        '  ! value-ambiguous “6,15”: 6,15 can mean 6.15 Ω or a list: 6 Ω and 15 Ω; the comma may be a decimal comma or part two numbers → {R17 = 6R15, 200 ohm} | {R17 = 6R, 15R, 200 ohm}',
      ].join('\n'),
    ],
    [
      '{R17 = 1,500}',
      [
        'fitted R17 = {1.5 kΩ | 1.5 Ω}',
        '  ! value-ambiguous “1,500”: 1,500 can mean 1.5 kΩ or 1.5 Ω; the comma may be a decimal comma or group thousands → {R17 = 1k5} | {R17 = 1R5}',
      ].join('\n'),
    ],
    ['{R17=470R}', 'fitted R17 = 470 Ω'],
  ])('%s', (written, understood) => {
    expect(show(written)).toBe(understood);
  });
});

describe('a capacitor', () => {
  test.each([
    ['{C14 = .022}', 'fitted C14 = 22 nF*'],
    ['{C14 = .05uf 600v}', 'fitted C14 = 50 nF, voltage 600 V'],
    ['{C14 = 47µF @ 500v}', 'fitted C14 = 47 µF, voltage 500 V'],
    ['{C14 = 47uF/450V}', 'fitted C14 = 47 µF, voltage 450 V'],
    ['{C1 = 32+32uF 450V}', 'fitted C1 = 32 µF, 32 µF, voltage 450 V'],
    ['{C1 = 50/50 @ 500V}', 'fitted C1 = 50 µF*, 50 µF*, voltage 500 V'],
    ['{C1 = 16/450}', 'fitted C1 = 16 µF*, voltage 450 V*'],
    ['{C1 = 6800pF}', 'fitted C1 = 6.8 nF'],
    ['{C1 = 20mfd 450WVDC 105°C}', 'fitted C1 = 20 µF, voltage 450 V, temperature 105 °C'],
    ['{C1 = 250mmf}', 'fitted C1 = 250 pF'],
    ['{C1 = 22n 400}', 'fitted C1 = 22 nF*, voltage 400 V*'],
    ['{C12 = 22n 400V green dipped}', 'fitted C12 = 22 nF*, voltage 400 V, green dipped'],
    ['{C1 = 47uF 450V date 2020-04-??}', 'fitted C1 = 47 µF, voltage 450 V, date 2020-04-??'],
    [
      '{C1 = 47uF 450V date 2031-13-01}',
      [
        'fitted C1 = 47 µF, voltage 450 V, date 2031-13-01',
        '  ! date-impossible “2031-13-01”: 2031-13-01: there is no month 13',
      ].join('\n'),
    ],
    [
      '{C1 = 47uF 450V date 2150}',
      [
        'fitted C1 = 47 µF, voltage 450 V, date 2150',
        '  ! date-impossible “2150”: 2150: the year 2150 has not come yet',
      ].join('\n'),
    ],
    [
      '{C1 = 47 ÂµF 450V}',
      [
        'fitted C1 = 47 µF, voltage 450 V',
        '  ! text-garbled “Âµ”: “Âµ” is “µ” in the wrong encoding → {C1 = 47 µF 450V}',
      ].join('\n'),
    ],
    ['{C1 = 47 &micro;F}', 'fitted C1 = 47 µF'],
  ])('%s', (written, understood) => {
    expect(show(written)).toBe(understood);
  });
});

describe('a valve’s word is a type, a resistor’s never', () => {
  test.each([
    ['{V5 = ECC83/12AX7}', 'fitted V5 = type ECC83/12AX7'],
    ['{V5 = 5881}', 'fitted V5 = type 5881'],
    ['{V5 = 6K6}', 'fitted V5 = type 6K6'],
    ['{V5 = 6L6GC NOS matched}', 'fitted V5 = type 6L6GC, nos matched'],
    ['{V9 = U50, T1 to B+1}', 'fitted V9 = type U50 [T1 - B+1]'],
    ['{D3 = zener 12V}', 'fitted D3 = 12 V, zener'],
    ['{BR1 = bridge 4A 400V}', 'fitted BR1 = current 4 A, voltage 400 V, bridge'],
    ['{Q1 = 2N3055}', 'fitted Q1 = type 2N3055'],
    ['{IC1 = TL072}', 'fitted IC1 = type TL072'],
    ['{TR1 = mains 290-0-290V 150mA}', 'fitted TR1 = secondary 290 V ct 150 mA, mains'],
    ['{TR1 = BC109}', 'fitted TR1 = type BC109'],
    [
      '{R17 = 12AX7}',
      [
        'unreadable R17: R17 = wants a value: 470R, 4k7 …',
        '  ! tag-unreadable “12AX7”: R17 = wants a value: 470R, 4k7 …',
      ].join('\n'),
    ],
  ])('%s', (written, understood) => {
    expect(show(written)).toBe(understood);
  });
});

describe('windings, chokes, loudspeakers, fuses, pots', () => {
  test.each([
    ['{T2 = output 6k6 : 8R}', 'fitted T2 = primary 6.6 kΩ*, secondary 8 Ω, output'],
    ['{OT = output 8k : 8R}', 'fitted OT = primary 8 kΩ*, secondary 8 Ω, output'],
    [
      '{T1 = mains 240V : 350-0-350V 6.3V CT 3A}',
      'fitted T1 = primary 240 V, secondary 350 V ct, secondary 6.3 V ct 3 A, mains',
    ],
    ['{T1 = 240V primary 350V secondary}', 'fitted T1 = primary 240 V, secondary 350 V'],
    ['{T1 = mains 2x6.3V}', 'fitted T1 = secondary 6.3 V, secondary 6.3 V, mains'],
    ['{L1 = choke 10H 100mA 250R}', 'fitted L1 = 10 H, 250 Ω, current 100 mA, choke'],
    ['{LS1 = 12" 8R 30W}', 'fitted LS1 = 8 Ω, power 30 W, 12"'],
    ['{LS1 = 16 ohm}', 'fitted LS1 = 16 Ω'],
    ['{F1 = F1.6A}', 'fitted F1 = 1.6 A, speed F'],
    ['{F1 = 1.5A slow}', 'fitted F1 = 1.5 A, speed slow'],
    ['{F1 = 500mA T}', 'fitted F1 = 500 mA, speed T'],
    ['{F1 = T1AL250V}', 'fitted F1 = 1 A, speed T, voltage 250 V, L'],
    ['{VR1 = A500k}', 'fitted VR1 = 500 kΩ*, A'],
    ['{P1 = 10k lin}', 'fitted P1 = 10 kΩ*, lin'],
    ['{SW1 = DPDT}', 'fitted SW1 = dpdt'],
    ['{BT1 = 9V}', 'fitted BT1 = 9 V'],
    [
      '{T1 = mains 0-230V : 290-0-290V 150mA, 6.3V 4A}',
      'fitted T1 = primary 230 V, secondary 290 V ct 150 mA, secondary 6.3 V 4 A, mains',
    ],
    ['{T1 = power 290-0-290 V at 150 mA}', 'fitted T1 = secondary 290 V ct 150 mA, power'],
    ['{T2 = output 8k / 8R}', 'fitted T2 = primary 8 kΩ*, secondary 8 Ω, output'],
    ['{TK1 = tank 8R in 2k2 out}', 'fitted TK1 = primary 8 Ω, secondary 2.2 kΩ*, tank'],
    ['{LS1 = 2x12" 16R}', 'fitted LS1 = 16 Ω, 2x12"'],
    ['{C5 = 32+32+16uF 350V}', 'fitted C5 = 32 µF, 32 µF, 16 µF, voltage 350 V'],
    ['{C1 = 100n X2 275VAC, line to neutral}', 'fitted C1 = 100 nF*, voltage 275 V ac, x2 [line - neutral]'],
    ['{C51 = 100n 275V X2, line to neutral}', 'fitted C51 = 100 nF*, voltage 275 V, x2 [line - neutral]'],
    ['{C52 = 4n7 250V Y1}', 'fitted C52 = 4.7 nF*, voltage 250 V, y1'],
  ])('%s', (written, understood) => {
    expect(show(written)).toBe(understood);
  });
});

describe('where it is connected', () => {
  test.each([
    ['{R17 = V5.k to gnd}', 'fitted R17 [V5.k - gnd]'],
    ['{R17 = 470R from V5.k to gnd}', 'fitted R17 = 470 Ω [V5.k - gnd]'],
    ['{R17 = 470R V5.k to gnd}', 'fitted R17 = 470 Ω [V5.k - gnd]'],
    ['{R17 = 470R, between V5.k and gnd}', 'fitted R17 = 470 Ω [V5.k - gnd]'],
    ['{R17 = 470R; V5.k to gnd}', 'fitted R17 = 470 Ω [V5.k - gnd]'],
    ['{R17 = 470R, mid to tail}', 'fitted R17 = 470 Ω [mid - tail]'],
    ['{R17 = 250R 5W, R18 to gnd}', 'fitted R17 = 250 Ω, power 5 W [R18 - gnd]'],
    ['{R17 = 250R 5W, R18}', 'fitted R17 = 250 Ω, power 5 W [R18 - (gnd)]'],
    ['{R1, R2 = 470k, V1A.g V1B.g to gnd}', 'fitted R1 R2 = 470 kΩ* [V1A.g+V1B.g - gnd]'],
    ['{C1 = 47uF 450V, plus at B+1}', 'fitted C1 = 47 µF, voltage 450 V [plus: B+1]'],
    ['{VR1 = 25k, 3 to B+1, wiper V5.g}', 'fitted VR1 = 25 kΩ* [3: B+1] [wiper: V5.g]'],
    ['{SW1 = standby, B+ to B+1}', 'fitted SW1 = standby [B+ - B+1]'],
    [
      '{V5 = EL34, a T2 B+1, g2 R41, g R40 C12, k R18}',
      'fitted V5 = type EL34 [a: T2 - B+1] [g2: R41 - (gnd)] [g: R40 - (gnd)] [g: C12 - (gnd)] [k: R18 - (gnd)]',
    ],
    [
      '{Q1 = BC109, c R4 B+3, e R5, b R1}',
      'fitted Q1 = type BC109 [c: R4 - B+3] [e: R5 - (gnd)] [b: R1 - (gnd)]',
    ],
    [
      '{T1 = mains 290-0-290V 150mA 6.3V 4A, T1.2 to heaters}',
      'fitted T1 = secondary 290 V ct 150 mA, secondary 6.3 V 4 A, mains [T1.2 - heaters]',
    ],
    [
      '{V5 = 6V6GT, a nice pair}',
      [
        'unreadable V5: read as far as “V5 = 6V6GT”; “a nice pair” is not understood: expected a kind, or a comma and where it is connected (V5.k to gnd)',
        '  ! tag-unreadable “a nice pair”: read as far as “V5 = 6V6GT”; “a nice pair” is not understood: expected a kind, or a comma and where it is connected (V5.k to gnd)',
      ].join('\n'),
    ],
  ])('%s', (written, understood) => {
    expect(show(written)).toBe(understood);
  });
});

describe('changes', () => {
  test.each([
    ['{R17 → 1k}', 'change R17: ? -> 1 kΩ*'],
    ['{R17 => 1k}', 'change R17: ? -> 1 kΩ*'],
    ['{R17->1k}', 'change R17: ? -> 1 kΩ*'],
    ['{V5 = 6V6GT -> 6L6GC}', 'change V5: type 6V6GT -> type 6L6GC'],
    [
      '{C21 -> 47uF 500V electrolytic, B+2 to gnd}',
      'change C21: ? -> 47 µF, voltage 500 V, electrolytic [B+2 - gnd]',
    ],
    ['{C40 + C41 -> 100uF 450V}', 'change C40 + C41: ? -> 100 µF, voltage 450 V'],
    [
      '{C21 = 47uF 450V date 1998 -> 47uF 500V date 2024}',
      'change C21: 47 µF, voltage 450 V, date 1998 -> 47 µF, voltage 500 V, date 2024',
    ],
    ['{C19 = removed}', 'change C19: ? -> (removed)'],
    ['{R31 -> raised off the board}', 'change R31: ? -> (raised)'],
    [
      '{C12: 10uF 25V -> 1uF 50V film}',
      [
        'change C12: 10 µF, voltage 25 V -> 1 µF, voltage 50 V, film',
        '  ! colon-for-equals “:”: this says what C12 is, not what was read: write “=” → {C12 = 10uF 25V -> 1uF 50V film}',
      ].join('\n'),
    ],
  ])('%s', (written, understood) => {
    expect(show(written)).toBe(understood);
  });
});

describe('a lead, a plug or an inlet', () => {
  test.each([
    ['{PL1 = mains lead two-core}', 'fitted PL1 = mains lead two-core'],
    ['{PL1 = 2-core mains lead}', 'fitted PL1 = two-core mains lead'],
    ['{PL1 = mains cord, 3 wire}', 'fitted PL1 = mains cord three-wire'],
    ['{PL1 = mains inlet, class 2}', 'fitted PL1 = mains inlet class ii'],
    ['{PL1 = two-pin mains plug, line to neutral}', 'fitted PL1 = two-pin mains plug [line - neutral]'],
    ['{W1 = mains cable, unearthed}', 'fitted W1 = mains cable unearthed'],
    ['- PL1 -> mains lead, three-core', 'change PL1: ? -> mains lead three-core'],
    ['- R17 = 470R lead bent', 'fitted R17 = 470 Ω -- lead bent'],
    ['- V1 = 12AX7 lead channel', 'fitted V1 = type 12AX7 -- lead channel'],
  ])('%s', (written, understood) => {
    expect(show(written)).toBe(understood);
  });
});
