/** A list item that opens as a tag needs no braces; what cannot be read at the end is its remark. */
import { describe, expect, test } from 'vitest';
import { showWritten as show } from './tag-show.ts';

describe('read whole', () => {
  test.each([
    [
      '- V5: a 331, g2 322, k 19.4',
      'reading V5.a voltage 331 V*; V5.g2 voltage 322 V*; V5.k voltage 19.4 V*',
    ],
    ['- R17 = 470R 5W, V5.k to gnd', 'fitted R17 = 470 Ω, power 5 W [V5.k - gnd]'],
    ['- C12 = 10uF 25V -> 1uF 50V film', 'change C12: 10 µF, voltage 25 V -> 1 µF, voltage 50 V, film'],
    ['- V5 6V6GT: a 331, 38 mA', 'reading V5 is type 6V6GT; V5.a voltage 331 V*; V5 current 38 mA'],
    ['- C21: 31uF ESR 4R2', 'reading C21 capacitance 31 µF; C21 esr 4.2 Ω'],
    ['- earth to chassis: 0.1R', 'reading earth to chassis resistance 0.1 Ω'],
    ['- R12 (out of circuit): 171k', 'reading R12 resistance 171 kΩ* under out-of-circuit'],
    ['- tail: -1.2 V', 'candidate tail: reading tail voltage -1.2 V'],
    ['- tail = V4.k', 'candidate tail: wire tail = V4.k'],
    ['- R22 = 10k, tail to nfb', 'fitted R22 = 10 kΩ* [tail - nfb]'],
    ['- **R17** = 470R', 'fitted R17 = 470 Ω'],
    ['- ? (B+1 - V1A.a) / R6', 'question (B+1 - V1A.a) / R6'],
    ["- accept screen-over-voltage V5: maker's design", "accept screen-over-voltage V5: maker's design"],
    ["- keep C41: owner's wish", "keep C41: owner's wish"],
    ['- T1', 'mention T1'],
  ])('%s', (written, understood) => {
    expect(show(written)).toBe(understood);
  });
});

describe('a condition before it', () => {
  test.each([
    ['- C14 lifted: V5.g: 0 V', 'reading V5.g voltage 0 V under lifted C14'],
    ['- C14 lifted: 4n4', 'reading C14 capacitance 4.4 nF* under lifted C14'],
    [
      '- plug out, discharged through 10k: B+1: 4 V, B+2: 2 V',
      'reading B+1 voltage 4 V; B+2 voltage 2 V under off, discharged 10 kΩ',
    ],
    ['- VR3 at 3: V5.g: -38 V', 'reading V5.g voltage -38 V under setting VR3 3'],
    [
      '- V5 V6 swapped: V5: k 20.1, V6: k 19.2',
      'reading V5.k voltage 20.1 V*; V6.k voltage 19.2 V* under swapped V5 V6',
    ],
    [
      '- hot, mains 236: V5: a 331, k 20 (V6 out)',
      'reading V5.a voltage 331 V*; V5.k voltage 20 V* under hot, mains 236 V, out V6',
    ],
  ])('%s', (written, understood) => {
    expect(show(written)).toBe(understood);
  });
});

describe('a remark after it', () => {
  test.each([
    ['- V5.a to B+1: 3.4 V - after the swap', 'reading V5.a to B+1 voltage 3.4 V -- after the swap'],
    ['- R17 -> 470R 5W wirewound (was open)', 'change R17: ? -> 470 Ω, power 5 W, wirewound -- was open'],
    ['- R17 = 470R 5W. Was charred.', 'fitted R17 = 470 Ω, power 5 W -- Was charred.'],
    ['- R17 = 470R, V5.k to gnd, looks new', 'fitted R17 = 470 Ω [V5.k - gnd] -- looks new'],
    ['- R17 = 470R, moved to board', 'fitted R17 = 470 Ω -- moved to board'],
    ['- V5 = 6V6GT, a nice pair', 'fitted V5 = type 6V6GT -- a nice pair'],
    [
      '- C3 = 22n 400V green dipped, V1A.a to V5.g',
      'fitted C3 = 22 nF*, voltage 400 V, green dipped [V1A.a - V5.g]',
    ],
    ['- R31: charred, board too', 'state R31: charred -- board too'],
    ['- V5: a 331 V, and then it blew', 'reading V5.a voltage 331 V -- and then it blew'],
    ['- bias: -38 V, set again later', 'reading bias voltage -38 V -- set again later'],
    ['- B+1: 11 Vpp and {V5} fine', 'reading B+1 ripple 11 V pp -- and {V5} fine'],
    ['- R4: 172k hot {V5} and more', 'reading R4 resistance 172 kΩ* under hot -- {V5} and more'],
    ['- V5: a 331 and it glows', 'reading V5.a voltage 331 V* -- and it glows'],
    ['- R31: 520R and rising', 'reading R31 resistance 520 Ω -- and rising'],
  ])('%s', (written, understood) => {
    expect(show(written)).toBe(understood);
  });
});

describe('a reason in brackets', () => {
  test.each([
    ['- keep C41 (asked for)', 'keep C41: asked for'],
    ['- keep C41: asked for (see letter)', 'keep C41: asked for (see letter)'],
    ['- keep C41 (asked for (see letter))', 'keep C41: asked for (see letter)'],
    ['- keep C41 (old) and asked for (twice)', 'keep C41: (old) and asked for (twice)'],
  ])('%s', (written, understood) => {
    expect(show(written)).toBe(understood);
  });
});

describe('what a modification came to', () => {
  test.each([
    ['- mod screens-5w: still applies', 'mod-verdict screens-5w: still applies'],
    ['- mod screens-5w: done at factory', 'mod-verdict screens-5w: done at factory'],
    ['- mod screens-5w: already done', 'mod-verdict screens-5w: already done'],
    [
      '- mod screens-5w: not applicable, no screen resistors',
      'mod-verdict screens-5w: not applicable, no screen resistors',
    ],
    ['- mod screens-5w: declined, owner likes it', 'mod-verdict screens-5w: declined, owner likes it'],
    ['- mod screens-5w: unknown', 'mod-verdict screens-5w: unknown'],
    // The writer's own brackets are part of the reason; a pair around all of it is not.
    [
      '- mod screens-5w: not applicable, none fitted (see photo)',
      'mod-verdict screens-5w: not applicable, none fitted (see photo)',
    ],
    ['- mod screens-5w: declined (owner likes it)', 'mod-verdict screens-5w: declined, owner likes it'],
    [
      '- mod screens-5w: declined (owner (again) likes it)',
      'mod-verdict screens-5w: declined, owner (again) likes it',
    ],
    [
      '- mod screens-5w: declined (owner) for now (ask again)',
      'mod-verdict screens-5w: declined, (owner) for now (ask again)',
    ],
    ['- mod screens-5w: declined (owner likes it', 'mod-verdict screens-5w: declined, owner likes it'],
  ])('%s', (written, understood) => {
    expect(show(written)).toBe(understood);
  });
});

describe('prose', () => {
  test.each([
    ['- V1: swapped it, no change', 'prose'],
    ['- V1: a bit noisy', 'prose'],
    ['- C14: 2 new ones fitted', 'prose'],
    ['- V5: 2 of them tried', 'prose'],
    ['- C14 leaks', 'prose'],
    ['- B+ is low', 'prose'],
    ['- R17, R18 replaced', 'prose'],
    ['- Fitted C12 = 22n', 'prose'],
    ['- keep an eye on it', 'prose'],
    ['- keep V5 handy', 'prose'],
    ['- accept the offer', 'prose'],
    ['- Note: the 3 knobs stick', 'prose'],
    ['- time: 3 hours', 'prose'],
    ['- line = something', 'prose'],
    ['- tail = the blue wire', 'prose'],
    ['- bias: hot', 'prose'],
    ['- Mains {mains: 234 V}.', 'prose'],
    ['- {C14} leaks', 'prose'],
    ['- mod screens-5w: nonsense', 'prose'],
  ])('%s', (written, understood) => {
    expect(show(written)).toBe(understood);
  });
});
