/** Notations of a hurried hand, each with what it is understood to say: one line here was once lost or misread. */
import { describe, expect, test } from 'vitest';
import { readItem } from '../../server/dialect/tag.ts';
import { showWritten as show } from './tag-show.ts';

/** What a line means, without what the writer is told of it. */
function meaning(written: string): string {
  return show(written).split('\n')[0] ?? '';
}

describe('an electrode', () => {
  test.each([
    ['{V5: 38mA cathode current}', 'reading V5.k current 38 mA'],
    ['- V5: 35 mA anode current', 'reading V5.a current 35 mA'],
    ['- V5: 5 mA screen current', 'reading V5.g2 current 5 mA'],
    ['- V5: 331 at the anode', 'reading V5.a voltage 331 V*'],
    ['- V5: 38 mA screen 322', 'reading V5 current 38 mA; V5.g2 voltage 322 V*'],
    ['- V5: a331 g2 322 k19.4', 'reading V5.a voltage 331 V*; V5.g2 voltage 322 V*; V5.k voltage 19.4 V*'],
    ['- V5 a 331, k 19', 'reading V5.a voltage 331 V*; V5.k voltage 19 V*'],
    ['- V5 anode 331, screen 322', 'reading V5.a voltage 331 V*; V5.g2 voltage 322 V*'],
    [
      '- V1: 1 142, 3 1.2, 6 150, 8 1.3',
      'reading V1.1(pin) voltage 142 V*; V1.3(pin) voltage 1.2 V*; V1.6(pin) voltage 150 V*; V1.8(pin) voltage 1.3 V*',
    ],
    ['- V1: pins 1 142, 6 150', 'reading V1.1(pin) voltage 142 V*; V1.6(pin) voltage 150 V*'],
    ['- V2 pin 1: 205; pin 3: 1.55', 'reading V2.1(pin) voltage 205 V*; V2.3(pin) voltage 1.55 V*'],
    ['- V5.a: 331, k 19.4', 'reading V5.a voltage 331 V*; V5.k voltage 19.4 V*'],
    ['- V3: pins 3/8 = 65', 'reading V3.3(pin) voltage 65 V*; V3.8(pin) voltage 65 V*'],
    ['- V5: k 38mV across 1R', 'reading V5.k voltage 38 mV -- across 1R'],
    ['- V5 a 2 hour swap', 'prose'],
    ['- V1A: k 1V4, a 181', 'reading V1A.k voltage 1.4 V; V1A.a voltage 181 V*'],
    ['- heaters: 6V3', 'reading heaters ac-voltage 6.3 V'],
    ['- V5: a 331 was 340', 'reading V5.a voltage 331 V* -- was 340'],
  ])('%s', (written, understood) => {
    expect(meaning(written)).toBe(understood);
  });
});

describe('the earth', () => {
  test.each([
    ['- earth to chassis 0.08R', 'reading earth to chassis resistance 0.08 Ω'],
    ['- earth 0.1R', 'reading earth to chassis resistance 0.1 Ω'],
    ['- earth: 0.1R', 'reading earth to chassis resistance 0.1 Ω'],
    ['- earth continuity 0.08 ohm', 'reading earth to chassis resistance 0.08 Ω'],
    ['- earth cont. 0.08 ohm', 'reading earth to chassis resistance 0.08 Ω'],
    ['- earth bond OL', 'reading earth to chassis resistance open'],
    ['{earth continuity: 0.08R}', 'reading earth to chassis resistance 0.08 Ω'],
    ['- earth screw loose', 'prose'],
    ['- earth to chassis 2 turns of the screw', 'prose'],
    ['- V5.a to B+1 3.4V', 'reading V5.a to B+1 voltage 3.4 V'],
    ['- R4 to B+1 1k', 'prose'],
  ])('%s', (written, understood) => {
    expect(meaning(written)).toBe(understood);
  });
});

describe('a change whose verb stands first', () => {
  test.each([
    ['- replaced C1 w/ 22uF/500V', 'change C1: ? -> 22 µF, voltage 500 V'],
    ['- Replaced V4 V5 with EL84 matched pair', 'change V4 V5: ? -> type EL84, matched pair'],
    ['- replaced R17 470R 5W with 1k 5W', 'change R17: 470 Ω, power 5 W -> 1 kΩ*, power 5 W'],
    ['- changed R17 from 680R to 1k 5W', 'change R17: 680 Ω -> 1 kΩ*, power 5 W'],
    ['- V5 replaced with new EL84', 'change V5: ? -> type EL84'],
    ['- C1 replaced w/ 22uF 500V', 'change C1: ? -> 22 µF, voltage 500 V'],
    ['- replaced V4 with V5', 'prose'],
    ['- changed C14 for a better one', 'prose'],
    ['- replaced C1 with 47uF 450V in 2011', 'prose'],
    ['- replaced V4 V5 with EL84 two years ago', 'prose'],
  ])('%s', (written, understood) => {
    expect(meaning(written)).toBe(understood);
  });
});

describe('volts of a bias, halves of a primary, pins with colons', () => {
  test.each([
    ['- V5 bias -38', 'reading V5.g voltage -38 V*'],
    ['- V5: bias -38V', 'reading V5.g voltage -38 V'],
    // Of a positive one nobody knows whether it is volts at the cathode or a current.
    ['- V5 bias 38', 'prose'],
    ['- OT: 138 + 124', 'reading OT halves 138 Ω* / 124 Ω*'],
    ['- OT primary 138 + 124', 'reading OT halves 138 Ω* / 124 Ω*'],
    ['- OT pri 138R / 124R, sec 0.3R', 'reading OT halves 138 Ω / 124 Ω; OT.sec resistance 0.3 Ω'],
    ['- OT sec 0.3R / 0.4R', 'prose'],
    [
      '- V5 3: 331, 4: 322, 8: 19.4',
      'reading V5.3(pin) voltage 331 V*; V5.4(pin) voltage 322 V*; V5.8(pin) voltage 19.4 V*',
    ],
  ])('%s', (written, understood) => {
    expect(meaning(written)).toBe(understood);
  });
});

describe('several valves or currents at once', () => {
  test.each([
    ['- V5: 61+4.3mA', 'reading V5 current 65.3 mA'],
    // 76 mA of both is not 76 mA of each.
    ['- V5+V6: 76 mA', 'prose'],
    ['- V5: 331/322/19.4', 'prose'],
    ['- V1: 142/0/1.2/4/5/150/0/1.3', 'prose'],
    ['- V5: 98%', 'prose'],
  ])('%s', (written, understood) => {
    expect(meaning(written)).toBe(understood);
  });

  test('in braces the writer is told why', () => {
    expect(show('{V5+V6: 76 mA}')).toContain(
      '“76 mA”: 76 mA of V5+V6 together belongs to neither alone: write what was read at each',
    );
  });
});

describe('rails in a row', () => {
  test.each([
    ['- B+1 352, B+2 338, B+3 270', 'reading B+1 voltage 352 V*; B+2 voltage 338 V*; B+3 voltage 270 V*'],
    ['- B+1: 352, B+2 338', 'reading B+1 voltage 352 V*; B+2 voltage 338 V*'],
    ['- B+1: 352 V with 19 Vpp', 'reading B+1 voltage 352 V; B+1 ripple 19 V pp'],
    ['- B+1: 352 V with the new can', 'reading B+1 voltage 352 V -- with the new can'],
    ['- V5.a: 331 V @ mains 236', 'reading V5.a voltage 331 V under mains 236 V'],
  ])('%s', (written, understood) => {
    expect(meaning(written)).toBe(understood);
  });
});

describe('words for a colon or an arrow', () => {
  test.each([
    ['- R31 reads 171k', 'reading R31 resistance 171 kΩ*'],
    ['- R31 reads high', 'prose'],
    ['- C40B = 12 uF measured', 'reading C40B capacitance 12 µF -- measured'],
    ['- R12: was 100k now 120k', 'reading R12 resistance 100 kΩ* then 120 kΩ*'],
    ['- R12: used to be 100k, now 120k', 'reading R12 resistance 100 kΩ* then 120 kΩ*'],
    ['- R12: from 100k to 120k', 'reading R12 resistance 100 kΩ* then 120 kΩ*'],
    ['- C14: leaks 2uA at 300V', 'reading C14 leakage 2 µA at 300 V'],
    ['- C14: leaks', 'state C14: leaking'],
    ['- R6: 78 V drop', 'reading R6 voltage 78 V -- drop'],
    ['- R31: 171k +70%', 'reading R31 resistance 171 kΩ* -- +70%'],
    ['- R7 = 220k 10%: 240k', 'reading R7 is 220 kΩ*, tolerance 0.1; R7 resistance 240 kΩ*'],
    ['- C21 = 32uF 450V: ESR 8R', 'reading C21 is 32 µF, voltage 450 V; C21 esr 8 Ω'],
    ['- R31: 100k ±5% metal film', 'fitted R31 = 100 kΩ*, tolerance 0.05, metal film (colon)'],
    ['- V5: 5881 matched pair', 'fitted V5 = type 5881, matched pair (colon)'],
  ])('%s', (written, understood) => {
    expect(meaning(written)).toBe(understood);
  });
});

describe('words behind a whole reading in braces', () => {
  test.each([
    ['{V5.a: 331 V after the swap}', 'reading V5.a voltage 331 V -- after the swap'],
    ['{B+1: 352 V at switch on}', 'reading B+1 voltage 352 V -- at switch on'],
    ['{R31: charred at one end}', 'state R31: charred -- at one end'],
    // Words that may have been meant as a reading are not passed over.
    [
      '{V5: a 331, g2 three}',
      'unreadable V5: read as far as “V5: a 331”; “g2 three” is not understood: expected a comma or the end',
    ],
    [
      '{V5: 38mA k}',
      'unreadable V5: read as far as “V5: 38mA”; “k” is not understood: expected a comma or the end',
    ],
    [
      '{V5: a 331, screeen 322}',
      'unreadable V5: read as far as “V5: a 331”; “screeen 322” is not understood: expected a comma or the end',
    ],
  ])('%s', (written, understood) => {
    expect(meaning(written)).toBe(understood);
  });
});

describe('a year behind value and rating is no rating', () => {
  test.each([
    ['- C1 = 32uF 450V 1965', 'fitted C1 = 32 µF, voltage 450 V, date 1965'],
    ['- C1 = 32uF 450V 2011-03', 'fitted C1 = 32 µF, voltage 450 V, date 2011-03'],
    ['- C1 = 47uF 450V 2020-04-??', 'fitted C1 = 47 µF, voltage 450 V, date 2020-04-??'],
    ['- V5 = 6V6GT NOS 1958', 'fitted V5 = type 6V6GT, date 1958, nos'],
    ['- R1 = 470R 5W 1965', 'fitted R1 = 470 Ω, power 5 W, date 1965'],
    ['- C1 = .022 2000', 'fitted C1 = 22 nF*, voltage 2000 V*'],
  ])('%s', (written, understood) => {
    expect(meaning(written)).toBe(understood);
  });
});

describe('the body and speed of a fuse', () => {
  test.each([
    ['- F1 = 3AG 2A slow blow', 'fitted F1 = 2 A, speed slow blow, 3AG'],
    ['- F1 = T1.6A 250V 5x20', 'fitted F1 = 1.6 A, speed T, voltage 250 V, 5x20'],
    ['- F1 = 20mm T1A', 'fitted F1 = 1 A, speed T, 20mm'],
  ])('%s', (written, understood) => {
    expect(meaning(written)).toBe(understood);
  });
});

describe('a number with two meanings is asked about', () => {
  test.each([
    ['- C21: 38uF 0.3R', '0.3R can mean 0.3R of ESR or 0.3R of insulation, as good as a short;'],
    ['- VR2: 3', '3 can mean at 3 of 10 or 3 Ω;'],
  ])('%s', (written, asked) => {
    expect(show(written)).toContain(asked);
  });

  test('ohms that no ESR has are insulation', () => {
    expect(show('- C14: 22n 40M')).not.toContain('ESR');
  });
});

describe('a second statement on a line is not lost without a word', () => {
  test.each([
    ['- R6 = 100k; R7 = 1k5', 'R7 = 1k5'],
    ['- R17 = 470R, V5.k: 19 V', 'V5.k: 19 V'],
    ['- V5 = 6V6GT, V6 = 6V6GT', 'V6 = 6V6GT'],
    ['- R17 = 470R. R18 = 470R', 'R18 = 470R'],
  ])('%s', (written, lost) => {
    expect(show(written)).toContain(
      `! tag-unreadable “${lost}”: “${lost}” says something of its own and is taken only as a remark: write it on a line of its own`,
    );
  });

  test.each([
    '- V5: a 331, V6: a 330',
    '- R17 = 470R. Was charred.',
    '- V5: a 331 - V6 is next',
    '- R17 = 470R (R18 = 470R)',
  ])('%s has no such thing', (written) => {
    expect(show(written)).not.toContain('tag-unreadable');
  });
});

test('connections said before the arrow hold behind it, also where a colon stood for “=”', () => {
  expect(meaning('- C43: 22uF 160V, B+3 to gnd -> 22uF 450V')).toBe(
    'change C43: 22 µF, voltage 160 V -> 22 µF, voltage 450 V [B+3 - gnd]',
  );
});

describe('a change in words, or without its sign', () => {
  test.each([
    ['- R31 470R 1W -> 470R 3W', 'change R31: 470 Ω, power 1 W -> 470 Ω, power 3 W'],
    ['- R31 1W -> 3W', 'change R31: power 1 W -> power 3 W'],
    ['- C12 replaced with 1uF 50V film', 'change C12: ? -> 1 µF, voltage 50 V, film'],
    [
      '- C12: 10uF 25V replaced by 1uF 50V film',
      'change C12: 10 µF, voltage 25 V -> 1 µF, voltage 50 V, film',
    ],
    ['- R31 changed to 1k', 'change R31: ? -> 1 kΩ*'],
    ['- R17, R18 replaced', 'prose'],
    ['- R31 -> see photo', 'prose'],
    // Another valve's name is no type.
    ['- V5 -> V6 swap', 'prose'],
  ])('%s', (written, understood) => {
    expect(meaning(written)).toBe(understood);
  });
});

describe('conditions', () => {
  test.each([
    ['- (hot) V5: k 20.1', 'reading V5.k voltage 20.1 V* under hot'],
    ['- (V6 out) V5: k 20.1', 'reading V5.k voltage 20.1 V* under out V6'],
    ['- (see photo) V5: k 20.1', 'prose'],
    ['- off, discharged, B+ 2 V', 'reading B+ voltage 2 V under off, discharged'],
    ['- hot, V5: k 20.1', 'reading V5.k voltage 20.1 V* under hot'],
    ['- V6 out, V5: k 20.1, a 331', 'reading V5.k voltage 20.1 V*; V5.a voltage 331 V* under out V6'],
    ['- hot, and R17 = 470R', 'prose'],
    ['@ Full mains 238 V, in play:', 'mains 238 V “mains 238 V”, in-play “in play”'],
    ['@ Back to full mains 238:', 'mains 238 V “mains 238”'],
  ])('%s', (written, understood) => {
    expect(meaning(written)).toBe(understood);
  });
});

describe('a maker’s name between value and rating', () => {
  test.each([
    ['- C31 = 22uF Norwood 63V, across R17', 'fitted C31 = 22 µF, voltage 63 V, norwood [across R17]'],
    ['- C21 = 47uF F&T 500V, B+1 to gnd', 'fitted C21 = 47 µF, voltage 500 V, f&t [B+1 - gnd]'],
    ['- V9 = GZ34 QX, T1 to B+1', 'fitted V9 = type GZ34, qx [T1 - B+1]'],
    // What is said of the value is no name.
    ['- R17 = 470R reads 171k', 'fitted R17 = 470 Ω -- reads 171k'],
    ['- R17 = 470R looks like 5W', 'fitted R17 = 470 Ω -- looks like 5W'],
    ['- C21 = 47uF 450V wants 500V', 'fitted C21 = 47 µF, voltage 450 V -- wants 500V'],
  ])('%s', (written, understood) => {
    expect(meaning(written)).toBe(understood);
  });
});

describe('a valve’s type', () => {
  test.each([
    ['- V15 = ECC 83', 'fitted V15 = type ECC 83'],
    ['- V14 = 12 AX 7', 'fitted V14 = type 12 AX 7'],
    ['- V5 EL 84: a 310, 38 mA', 'reading V5 is type EL 84; V5.a voltage 310 V*; V5 current 38 mA'],
    // Four digits and an A are a type, no current.
    ['- V11 = 6550A matched', 'fitted V11 = type 6550A, matched'],
    ['- V11 = 7189A', 'fitted V11 = type 7189A'],
  ])('%s', (written, understood) => {
    expect(meaning(written)).toBe(understood);
  });
});

describe('where a part sits, without a joint', () => {
  test.each([
    // Two unlike points are a part's two ends: a rail was once taken for soldered to ground.
    ['- C3 = 22uF 450V, B+3 gnd', 'fitted C3 = 22 µF, voltage 450 V [B+3 - gnd]'],
    ['- R8 = 1k 2W, B+ B+2', 'fitted R8 = 1 kΩ*, power 2 W [B+ - B+2]'],
    ['- R30 = 220k V4A.g gnd', 'fitted R30 = 220 kΩ* [V4A.g - gnd]'],
    ['- C9 = 22n 400V, V1.a V2.g', 'fitted C9 = 22 nF*, voltage 400 V [V1.a - V2.g]'],
    ['- C3 -> 47uF 450V, B+3 gnd', 'change C3: ? -> 47 µF, voltage 450 V [B+3 - gnd]'],
    // Alike are shared, and several parts take one each.
    ['- R18 = 250R 5W, V5.k V6.k', 'fitted R18 = 250 Ω, power 5 W [V5.k+V6.k - (gnd)]'],
    ['- C1, C2 = 47uF 450V, B+1 B+2', 'fitted C1 C2 = 47 µF, voltage 450 V [B+1+B+2 - (gnd)]'],
    ['- C1 = 32+32uF/350V, B+ B+2', 'fitted C1 = 32 µF, 32 µF, voltage 350 V [B++B+2 - (gnd)]'],
    // As many a hand says it, instead of the plus.
    ['- C3,C4 = 100uF 350V, B+2 to gnd in series', 'fitted C3 + C4 = 100 µF, voltage 350 V [B+2 - gnd]'],
    ['- C3, C4 = 100uF 350V in series, B+2 to gnd', 'fitted C3 + C4 = 100 µF, voltage 350 V [B+2 - gnd]'],
    [
      '- C3, C4 -> 100uF 400V, B+2 to gnd, in series',
      'change C3 + C4: ? -> 100 µF, voltage 400 V [B+2 - gnd]',
    ],
    ['- R1, R2 = 1k in series with L1', 'fitted R1 R2 = 1 kΩ* -- in series with L1'],
  ])('%s', (written, understood) => {
    expect(meaning(written)).toBe(understood);
  });
});

describe('a part across several', () => {
  test.each([
    ['- R30 = 220k across C40, C41', 'fitted R30 = 220 kΩ* [across C40] [across C41]'],
    ['- R30 = 220k across C40+C41', 'fitted R30 = 220 kΩ* [across C40] [across C41]'],
    ['- R30, R31 = 220k across C40 & C41', 'fitted R30 R31 = 220 kΩ* [across C40] [across C41]'],
    ['- C9 = 22n across C40, 400V', 'fitted C9 = 22 nF*, voltage 400 V [across C40]'],
  ])('%s', (written, understood) => {
    expect(meaning(written)).toBe(understood);
  });
});

describe('a remark', () => {
  test.each([
    // Each is kept, wherever it stands.
    ['- R3 = 100k (brown) 1W (old) - replaced', 'fitted R3 = 100 kΩ*, power 1 W -- brown; old; replaced'],
    ['- R3 = 100k 1W (brown) (see photo 3)', 'fitted R3 = 100 kΩ*, power 1 W -- brown; see photo 3'],
    ['- V5.a: 331 V (new valve), then fell', 'reading V5.a voltage 331 V -- new valve; then fell'],
  ])('%s', (written, understood) => {
    expect(meaning(written)).toBe(understood);
  });
});

describe('a point called by a word that names none', () => {
  const problemsOf = (written: string) =>
    readItem(written, { start: 0, end: written.length })?.problems.map(({ kind, span, offers }) => [
      kind,
      written.slice(span.start, span.end),
      ...offers.map(({ edit }) => edit.text),
    ]);
  test.each([
    ['R3 = 100k, V1A.g to in', 'in', 'in1'],
    ['R3 = 100k, in to V1A.g', 'in', 'in1'],
    ['R3 = 100k, feed to out', 'out', 'out1'],
    ['C3 -> 22n 400V, from V1A.a to new', 'new', 'new1'],
  ])('%s', (written, word, offered) => {
    expect(problemsOf(written)).toEqual([['point-unknown', word, offered]]);
  });
  test.each([
    'R3 = 100k, mid to feed',
    'R3 = 100k, feed to V1A.a',
    'R3 = 100k 1W, moved to board',
    'R3 = 100k 1W, brown to black',
    'R3 = 100k 1W, V1A.a to gnd, next to the old one',
    'R3 = 100k 1W - from B+1 to new strip',
  ])('is not found in %s', (written) => {
    expect(problemsOf(written)).toEqual([]);
  });
});

describe('a transformer', () => {
  test.each([
    [
      '- T1 = mains 375-0-375 200mA 6.3V 5A',
      'fitted T1 = secondary 375 V ct 200 mA, secondary 6.3 V 5 A, mains',
    ],
    // A tap, and not what is fitted.
    ['- OT 8R: 0.1R', 'reading OT.8R resistance 0.1 Ω'],
    ['- OT 8R tap: 3 Vrms', 'reading OT.8R ac-voltage 3 V rms'],
    ['- T1 6.3V: 6.7', 'reading T1.6.3V ac-voltage 6.7 V*'],
  ])('%s', (written, understood) => {
    expect(meaning(written)).toBe(understood);
  });
});
