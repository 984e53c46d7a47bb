/** States beside readings, and braces that turn out to be text: once lost or complained of. */
import { describe, expect, it } from 'vitest';
import { sheetOf, statements } from './saying.ts';

describe('a state beside a reading', () => {
  it('is the part’s, whatever electrode was read', () => {
    expect(statements(sheetOf('## As found\n- R31: charred, 520R\n- V5: a 331, g2 322, glowing\n'))).toBe(
      [
        'as-found  set 1  R31  resistance 520 Ohm  "R31: charred, 520R"',
        'as-found  R31 is charred  "R31: charred, 520R"',
        'as-found  set 1  V5.a  voltage 331 V  "V5: a 331, g2 322, glowing"',
        'as-found  set 1  V5.g2  voltage 322 V  "V5: a 331, g2 322, glowing"',
        'as-found  V5 is glowing  "V5: a 331, g2 322, glowing"',
      ].join('\n'),
    );
  });
});

describe('braces that only look like a node', () => {
  it('are text, and nothing is said of them', () => {
    expect(sheetOf('A script has {constructor = 5} and {tail = 3 V} in it.\n').problems).toEqual([]);
  });

  it('are a node once a connection uses the name, and then the wrong sign is said', () => {
    const sheet = sheetOf('- R22 = 10k, tail to gnd\n\nRead {tail = 3 V}, not {constructor = 5}.\n');
    expect(sheet.problems.map(({ message }) => message)).toEqual([
      'tail is a point and this is a reading: write a colon, as “=” says what is fitted',
    ]);
  });
});
