import { describe, expect, it } from 'vitest';
import type { Sheet } from '../../server/sheet/model.ts';
import { defaultWords, extendWords } from '../../server/sheet/words.ts';
import { said, sheetOf, statements } from './saying.ts';

const sections = (sheet: Sheet): string =>
  sheet.sections
    .map(({ depth, heading, topic, phase }) => `${'  '.repeat(depth - 1)}${heading}: ${topic}, ${phase}`)
    .join('\n');

describe('phases from headings', () => {
  it('deeper headings inherit; one of the author’s own at the same level ends the phase', () => {
    const note = `# Larch 20, the rehearsal-room one

## Complaint
## As found
### Output stage
#### Left-hand socket
## Bench notes
## Work
### Output stage
## Valves
## As left
### Check under load
## Remarks
`;
    expect(said(note, sections)).toMatchInlineSnapshot(`
      "
      Larch 20, the rehearsal-room one: title, as-found
        Complaint: complaint, as-found
        As found: as-found, as-found
          Output stage: as-found, as-found
            Left-hand socket: as-found, as-found
        Bench notes: other, as-found
        Work: work, work
          Output stage: work, work
        Valves: other, noted
        As left: as-left, as-left
          Check under load: as-left, as-left
        Remarks: other, noted
      "
    `);
  });

  it('a heading under one of the author’s own has its own phase', () => {
    const note = `# Larch 20
## First visit
### As found
### Repair
### After repair
## Second visit
### As found
### Heaters
`;
    expect(said(note, sections)).toMatchInlineSnapshot(`
      "
      Larch 20: title, as-found
        First visit: other, as-found
          As found: as-found, as-found
          Repair: work, work
          After repair: as-left, as-left
        Second visit: other, noted
          As found: as-found, as-found
          Heaters: other, noted
      "
    `);
  });

  it('safety and parts go with the stage of the job they stand in', () => {
    const note = `## Safety
## As found
### Safety
## Work
### Parts
## Parts
## Safety
## Owner
`;
    expect(said(note, sections)).toMatchInlineSnapshot(`
      "
        Safety: safety, as-found
        As found: as-found, as-found
          Safety: safety, as-found
        Work: work, work
          Parts: parts, work
        Parts: parts, work
        Safety: safety, as-left
        Owner: owner, noted
      "
    `);
  });

  it('the title is the first heading, even where it begins like a phase', () => {
    const note = `# Repair of a Larch 20
## As found
- B+1: 350 V
`;
    expect(said(note, sections)).toMatchInlineSnapshot(`
      "
      Repair of a Larch 20: title, as-found
        As found: as-found, as-found
      "
    `);
    expect(sheetOf(note).title).toBe('Repair of a Larch 20');
    expect(sheetOf('# As found\n\n{B+1: 350 V}\n').title).toBe('');
    expect(sheetOf('# As found\n# Work\n').sections.map(({ phase }) => phase)).toEqual(['as-found', 'work']);
  });

  it('a shop’s own words count', () => {
    const words = extendWords(defaultWords, [
      { heading: 'Befund', topic: 'as-found' },
      { heading: 'Danach', topic: 'as-left' },
    ]);
    expect(said('## Befund\n## Danach\n', sections, words)).toMatchInlineSnapshot(`
      "
        Befund: as-found, as-found
        Danach: as-left, as-left
      "
    `);
  });
});

describe('phases without headings', () => {
  it('as found until the first change, then as left', () => {
    const note = `Hum. ⟦{B+1: 19 Vpp}⟧ on it.

- C21: 31uF
- [ ] C22 = 47uF 450V -> 47uF 500V
- C21 = 47uF 450V -> 47uF 500V
- B+1: 11 Vpp
- C14 -> resoldered
- R31: charred
`;
    expect(said(note, statements)).toMatchInlineSnapshot(`
      "
      as-found  set 1  B+1  ripple 19 V  "{B+1: 19 Vpp}"
      as-found  set 1  C21  capacitance 0.000031 F  "C21: 31uF"
      as-found planned  C22 0.000047 F 450 V -> 0.000047 F 500 V  "C22 = 47uF 450V -> 47uF 500V"
      work  C21 0.000047 F 450 V -> 0.000047 F 500 V  "C21 = 47uF 450V -> 47uF 500V"
      as-left  set 2  B+1  ripple 11 V  "B+1: 11 Vpp"
      work  C14 -> resoldered  "C14 -> resoldered"
      as-left  R31 is charred  "R31: charred"
      "
    `);
  });

  it('headings that are no phase change nothing of that', () => {
    const note = `# Larch 20
## Supply
- B+1: 330 V
- C21 -> 47uF 500V
## Output
- V5: a 331
`;
    expect(said(note, (sheet) => `${sections(sheet)}\n${statements(sheet)}`)).toMatchInlineSnapshot(`
      "
      Larch 20: title, as-found
        Supply: other, as-found
        Output: other, as-left
      as-found  set 1  B+1  voltage 330 V  "B+1: 330 V"
      work  C21 -> 0.000047 F 500 V  "C21 -> 47uF 500V"
      as-left  set 2  V5.a  voltage 331 V  "V5: a 331"
      "
    `);
  });

  it('a complaint before them stays as found, and a sheet with Work is read by its headings', () => {
    const note = `## Complaint
{V5: 38 mA} says the owner, {R17 -> 470R} a friend of his
## Notes
- V5: 36 mA
- R17 -> 470R
- V5: 30 mA
`;
    expect(said(note, statements)).toMatchInlineSnapshot(`
      "
      as-found  set 1  V5  current 0.038 A  "{V5: 38 mA}"
      as-found  R17 -> 470 Ohm  "{R17 -> 470R}"
      as-found  set 1  V5  current 0.036 A  "V5: 36 mA"
      work  R17 -> 470 Ohm  "R17 -> 470R"
      as-left  set 2  V5  current 0.03 A  "V5: 30 mA"
      "
    `);
    expect(said(`${note}## Work\n`, statements)).toMatchInlineSnapshot(`
      "
      as-found  set 1  V5  current 0.038 A  "{V5: 38 mA}"
      as-found  R17 -> 470 Ohm  "{R17 -> 470R}"
      as-found  set 1  V5  current 0.036 A  "V5: 36 mA"
      work  R17 -> 470 Ohm  "R17 -> 470R"
      as-found  set 1  V5  current 0.03 A  "V5: 30 mA"
      "
    `);
  });
});

describe('what is planned', () => {
  it('stands in an unticked task or under it, or under Wanted, Quote or Order', () => {
    const note = `## Work
- [ ] C12 = 10uF 25V -> 1uF 50V film
  - C13 -> 1uF 50V film
- [x] C14 -> 22n 630V film
  - C15 -> 22n 630V film
- C16 -> removed
## Wanted
- V5, V6 = 6V6GT
## As left
- [ ] V5: a 331
- B+1: 350 V
`;
    expect(said(note, statements)).toMatchInlineSnapshot(`
      "
      work planned  C12 0.00001 F 25 V -> 0.000001 F 50 V film  "C12 = 10uF 25V -> 1uF 50V film"
      work planned  C13 -> 0.000001 F 50 V film  "C13 -> 1uF 50V film"
      work  C14 -> 2.2e-8 F 630 V film  "C14 -> 22n 630V film"
      work  C15 -> 2.2e-8 F 630 V film  "C15 -> 22n 630V film"
      work  C16 -> removed  "C16 -> removed"
      noted planned  V5 (1 of 2) = 6V6GT  "V5, V6 = 6V6GT"
      noted planned  V6 (2 of 2) = 6V6GT  "V5, V6 = 6V6GT"
      as-left planned  set 0  V5.a  voltage 331 V  "V5: a 331"
      as-left  set 1  B+1  voltage 350 V  "B+1: 350 V"
      "
    `);
  });
});

describe('other sheets', () => {
  it('a chassis sheet is factory throughout, but for what another revision has', () => {
    const note = `---
sheet: chassis
---
# Larch 20
## As found
- R17 = 470R 5W, V5.k to gnd
- B+1: 350 V
## Differs from revision a
- R17 = 470R -> 330R
## Changes
- R18 = 470R -> 330R
`;
    expect(said(note, statements)).toMatchInlineSnapshot(`
      "
      factory  R17 = 470 Ohm 5 W  V5.k to gnd  "R17 = 470R 5W, V5.k to gnd"
      factory  set 1  B+1  voltage 350 V  "B+1: 350 V"
      noted  R17 470 Ohm -> 330 Ohm  "R17 = 470R -> 330R"
      factory  R18 470 Ohm -> 330 Ohm  "R18 = 470R -> 330R"
      "
    `);
  });

  it.each([
    ['---\nsheet: Chassis\n---\n', 'x.tagstrip.md', 'chassis'],
    ['---\nsheet: mod\n---\n', 'x.tagstrip.md', 'mod'],
    ['---\nsheet: something else\n---\n', 'x.tagstrip.md', 'job'],
    ['', 'x.tagstrip.md', 'job'],
    ['', 'shop.tagstrip.md', 'shop'],
    ['', 'workshop.tagstrip.md', 'job'],
    ['---\nsheet: job\n---\n', 'shop.tagstrip.md', 'job'],
  ])('%j in %s is a %s sheet', (text, path, kind) => {
    expect(sheetOf(text, path).kind).toBe(kind);
  });
});
