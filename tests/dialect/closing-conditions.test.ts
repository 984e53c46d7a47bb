/** Condition words between two lists, hurriedly written without a blank line. */
import { describe, expect, it } from 'vitest';
import { amplifierOf } from '../bench/bench.ts';

const sets = (...lines: readonly string[]) =>
  ['\n', '\r\n', '\r'].map((eol) =>
    amplifierOf(['# Job', '', '## As found', '', ...lines, ''].join(eol)).phases.flatMap(({ readings }) =>
      readings.map(
        ({ at, value, set, normal }) =>
          `${at} ${value.quantity.value} ${set.conditions.map(({ kind }) => kind).join(' ')}${normal ? '' : ' not normal'}`,
      ),
    ),
  );

const each = (...lines: readonly string[]) => [lines, lines, lines];

describe('condition words right behind a list', () => {
  it('hold for the list that follows, not for the item before', () => {
    expect(sets('- V5: a 349, k 20.3', 'in standby:', '- B+1: 430 V')).toEqual(
      each('V5.a 349 ', 'V5.k 20.3 ', 'B+1 430 in-standby not normal'),
    );
    expect(sets('- B+1: 352 V', '  in standby, lamp 60 W:', '- B+1: 200 V')).toEqual(
      each('B+1 352 ', 'B+1 200 in-standby lamp not normal'),
    );
  });

  it('hold for the item where they have no colon, and are a remark where they are no conditions', () => {
    expect(sets('- B+1: 430 V', '  in standby', '- B+2: 420 V')).toEqual(
      each('B+1 430 in-standby not normal', 'B+2 420 '),
    );
    expect(sets('- B+1: 352 V', 'then the rest:', '- B+2: 340 V')).toEqual(each('B+1 352 ', 'B+2 340 '));
  });
});
