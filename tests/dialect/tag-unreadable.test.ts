/** A brace that opens as a tag and cannot be read says where it stopped and what it wanted. */
import { describe, expect, test } from 'vitest';
import { showWritten as show } from './tag-show.ts';

describe('unreadable', () => {
  test.each([
    [
      '{R17 = }',
      [
        'unreadable R17: R17 = wants a value: 470R, 4k7 …',
        '  ! tag-unreadable “R17 =”: R17 = wants a value: 470R, 4k7 …',
      ].join('\n'),
    ],
    [
      '{R17 = foo}',
      [
        'unreadable R17: R17 = wants a value: 470R, 4k7 …',
        '  ! tag-unreadable “foo”: R17 = wants a value: 470R, 4k7 …',
      ].join('\n'),
    ],
    [
      '{R17: }',
      [
        'unreadable R17: R17: wants what was read: 455R, 78 V … or a state: charred, cracked …',
        '  ! tag-unreadable “R17:”: R17: wants what was read: 455R, 78 V … or a state: charred, cracked …',
      ].join('\n'),
    ],
    [
      '{R17 470R}',
      [
        'unreadable R17: R17 wants a sign: “=” if this is fitted, “:” if it was read, “->” if it is new',
        '  ! tag-unreadable “470R”: R17 wants a sign: “=” if this is fitted, “:” if it was read, “->” if it is new → {R17 = 470R} | {R17 -> 470R}',
      ].join('\n'),
    ],
    [
      '{R17 = 470R 5Q}',
      [
        'unreadable R17: read as far as “R17 = 470R”; “5Q” is not understood: expected a rating, a kind, or a comma and where it is connected (V5.k to gnd)',
        '  ! tag-unreadable “5Q”: read as far as “R17 = 470R”; “5Q” is not understood: expected a rating, a kind, or a comma and where it is connected (V5.k to gnd)',
      ].join('\n'),
    ],
    [
      '{R17 = 470R, V5.k too gnd}',
      [
        'unreadable R17: read as far as “R17 = 470R”; “V5.k too gnd” is not understood: expected a rating, a kind, or a comma and where it is connected (V5.k to gnd)',
        '  ! tag-unreadable “V5.k too gnd”: read as far as “R17 = 470R”; “V5.k too gnd” is not understood: expected a rating, a kind, or a comma and where it is connected (V5.k to gnd)',
      ].join('\n'),
    ],
    [
      '{V5 = }',
      [
        'unreadable V5: V5 = wants a type: 12AX7, 6V6GT …',
        '  ! tag-unreadable “V5 =”: V5 = wants a type: 12AX7, 6V6GT …',
      ].join('\n'),
    ],
    [
      '{V5: hello}',
      [
        'unreadable V5: V5: wants electrodes or a current: a 331, g2 322, k 19.4, 38 mA',
        '  ! tag-unreadable “hello”: V5: wants electrodes or a current: a 331, g2 322, k 19.4, 38 mA',
      ].join('\n'),
    ],
    [
      '{V5.x: 3}',
      [
        'unreadable V5.x: V5.x: a valve has a, g, g2, g3, k, h and its pins by number',
        '  ! tag-unreadable “.x”: V5.x: a valve has a, g, g2, g3, k, h and its pins by number',
      ].join('\n'),
    ],
    [
      '{C3 = }',
      [
        'unreadable C3: C3 = wants a value: 22n 400V, 47uF 450V …',
        '  ! tag-unreadable “C3 =”: C3 = wants a value: 22n 400V, 47uF 450V …',
      ].join('\n'),
    ],
    [
      '{F1 = }',
      [
        'unreadable F1: F1 = wants a rating: T1A, F500mA …',
        '  ! tag-unreadable “F1 =”: F1 = wants a rating: T1A, F500mA …',
      ].join('\n'),
    ],
    [
      '{B+1: }',
      [
        'unreadable B+1: B+1: wants what was read: 331 V, 8.2 Vpp …',
        '  ! tag-unreadable “B+1:”: B+1: wants what was read: 331 V, 8.2 Vpp …',
      ].join('\n'),
    ],
    ['{B+1 = foo}', 'wire B+1 = foo'],
    [
      '{V5.a -> 3}',
      [
        'unreadable V5.a: “->” says that a part was changed, and V5.a is a point',
        '  ! tag-unreadable “3”: “->” says that a part was changed, and V5.a is a point',
      ].join('\n'),
    ],
    [
      '{V5.a to B+1}',
      [
        'unreadable V5.a: V5.a to B+1 wants a colon and what was read: V5.a to B+1: 3.4 V',
        '  ! tag-unreadable “V5.a to B+1”: V5.a to B+1 wants a colon and what was read: V5.a to B+1: 3.4 V',
      ].join('\n'),
    ],
    [
      '{R7-R4: charred}',
      [
        'unreadable R7-R4: R7-R4 is no range: a range runs upwards within one class, as R4-R7',
        '  ! tag-unreadable “R7-R4”: R7-R4 is no range: a range runs upwards within one class, as R4-R7',
      ].join('\n'),
    ],
    [
      '{accept }',
      [
        'unreadable accept: “accept” wants the name of a finding: accept screen-over-voltage V5: why',
        '  ! tag-unreadable “accept”: “accept” wants the name of a finding: accept screen-over-voltage V5: why',
      ].join('\n'),
    ],
    [
      '{keep it}',
      [
        'unreadable keep: “keep” wants a part: keep C41: owner’s wish',
        '  ! tag-unreadable “it”: “keep” wants a part: keep C41: owner’s wish',
      ].join('\n'),
    ],
  ])('%s', (written, understood) => {
    expect(show(written)).toBe(understood);
  });
});
