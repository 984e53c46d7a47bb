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
      'this is what was read at tail: write a colon, as “=” says what is fitted',
    ]);
  });
});

describe('condition words among others before a colon', () => {
  it('end what was standing and hold as far as they are known', () => {
    const sheet = sheetOf(
      '## As found\nLamp 60 W:\n- B+1: 150\n\nLamp out of the way, in play, dummy 8R:\n- B+1: 352\n',
    );
    expect(
      sheet.sets.map(({ conditions, limited }) => [conditions.map(({ words }) => words), limited]),
    ).toEqual([
      [['Lamp 60 W'], true],
      [['in play', 'dummy 8R'], false],
    ]);
  });
});

describe('a parts list with what was measured', () => {
  it('is fitted as marked and read as measured', () => {
    const note =
      '## As found\n\n| Ref | Marked | Measured |\n|---|---|---|\n| R10 | 100k | 131k |\n| R11, R12 | 100k | 99k |\n| C5 | 25uF 25V | - |\n';
    expect(statements(sheetOf(note))).toBe(
      [
        'as-found  R10 = 100000 Ohm  "R10 | 100k"',
        'as-found  set 1  R10  resistance 131000 Ohm  "131k"',
        'as-found  R11 (1 of 2) = 100000 Ohm  "R11, R12 | 100k"',
        'as-found  R12 (2 of 2) = 100000 Ohm  "R11, R12 | 100k"',
        'as-found  set 1  R11  resistance 99000 Ohm  "99k"',
        'as-found  set 1  R12  resistance 99000 Ohm  "99k"',
        'as-found  C5 = 0.000025 F 25 V  "C5 | 25uF 25V"',
      ].join('\n'),
    );
  });
});

describe('a change that nobody made', () => {
  it('is none under Next time, To do and Declined; a task says of itself whether it is done', () => {
    const note = `## Work
- R31 -> 470R 3W
## Declined
- C40 -> 50uF 500V
## Next time
- C21 -> 47uF 500V
## To do
- [x] R32 -> 1k 5W
- [ ] R33 -> 1k 5W
## Left alone
- C12: 31uF
- R40 = 470R 1W
`;
    expect(
      statements(sheetOf(note))
        .split('\n')
        .map((line) => `${line.split('  ')[0]} ${line.split('  ').at(-1)}`),
    ).toEqual([
      'work "R31 -> 470R 3W"',
      'noted "R32 -> 1k 5W"',
      'noted planned "R33 -> 1k 5W"',
      'noted "C12: 31uF"',
      'noted "R40 = 470R 1W"',
    ]);
  });

  it('is mentioned all the same, so that hover and rename see it', () => {
    const { mentions, statements: said } = sheetOf('## Declined\n- C40 -> 50uF 500V\n');
    expect(said).toEqual([]);
    expect(mentions.map(({ name }) => name)).toEqual(['C40']);
  });

  it('is not the first change of a sheet without headings for the work', () => {
    const note = '# Quick look\n- B+1: 352\n\n## Next time\n- C21 -> 47uF 500V\n\n## Other\n- B+2: 330\n';
    expect(sheetOf(note).statements.map(({ phase, planned }) => [phase, planned])).toEqual([
      ['as-found', false],
      ['as-found', false],
    ]);
  });
});
