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

  it('need no colon where they say the mains', () => {
    expect(sets('- V5: a 349, k 20.3', 'mains 243, 12 min', '- B+1: 430 V')).toEqual(
      each('V5.a 349 ', 'V5.k 20.3 ', 'B+1 430 warm-up'),
    );
  });
});

describe('a line of conditions with the mains among them', () => {
  const charts = sets(
    'mains 243, 2 min',
    '- B+ 488',
    '- V4: a 485, g2 478',
    '',
    'mains 243, 12 min',
    '- B+ 462',
    '- V4: a 458 g2 450',
  );

  it('needs no colon, and parts two charts', () => {
    expect(charts).toEqual(
      each(
        'B+ 488 warm-up',
        'V4.a 485 warm-up',
        'V4.g2 478 warm-up',
        'B+ 462 warm-up',
        'V4.a 458 warm-up',
        'V4.g2 450 warm-up',
      ),
    );
    const amplifier = amplifierOf('# Job\n\n## As found\nmains 238v, 15 min\n- B+ 262V\n');
    expect(amplifier.phases[0]?.verdictSet?.mains?.value).toBe(238);
  });

  it.each([
    ['mains 121, no sig', 'no-signal'],
    ['mains 231, out of standby', 'in-play'],
    ['mains 236v, 20 min, dummy 4R', 'warm-up dummy-load'],
    ['Mains 230 V 50 Hz', ''],
  ])('%s', (line, kinds) => {
    expect(sets(line, '', '- B+1: 352 V')[0]).toEqual([`B+1 352 ${kinds}`]);
  });

  it('is a sentence where anything else stands in it', () => {
    expect(sets('Mains 243 V today and a new plug', '', '- B+1: 352 V, V6 out')[0]).toEqual([
      'B+1 352 out not normal',
    ]);
  });
});
