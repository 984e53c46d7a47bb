import { describe, expect, it } from 'vitest';
import { readNote } from '../../server/dialect/note.ts';
import { proseMentions } from '../../server/sheet/mentions.ts';
import type { Sheet } from '../../server/sheet/model.ts';
import { createSnapshot } from '../../server/text/snapshot.ts';
import { quote, said, sets, sheetOf, statements } from './saying.ts';

const both = (sheet: Sheet): string => `${sets(sheet)}\n\n${statements(sheet)}`;

describe('a job as it is written', () => {
  it('has its readings in sets and its changes in order', () => {
    const note = `---
job: 2031
---
# Larch 20, the rehearsal-room one

## As found
Mains {mains: 236 V}, dummy load, twenty minutes warm. {B+1: 352 V} with {B+1: 19 Vpp} on it.

| Valve | a   | g2  | g    | k    |
| ----- | --- | --- | ---- | ---- |
| V4    | 348 | 338 | 0    | 20.1 |
| V5    | 347 | 336 | +1.9 | 24.6 |

- C21: 31uF ESR 4R2
- C14 lifted: V5.g: 0 V

So {C14} leaks and C21 has dried out.

## Work
- [x] plug out, discharged through 10k: B+1: 4 V, B+2: 2 V
- C14 = 22n 400V film -> 22n 630V film

## As left
Mains {mains: 234 V}.

- V5: a 349, g2 339, g 0, k 20.3
- B+1: 11 Vpp
- earth to chassis: 0.1R
`;
    expect(said(note, both)).toMatchInlineSnapshot(`
      "
      set 1  as-found  dummy-load, warm-up 1200 s  mains 236 V  normal
      set 2  as-found  dummy-load, warm-up 1200 s, lifted C14  mains 236 V
      set 3  work  discharged 10000 Ohm  off
      set 4  as-left  nothing said  mains 234 V  normal

      as-found  set 1  mains  ac-voltage 236 V  "{mains: 236 V}"
      as-found  set 1  B+1  voltage 352 V  "{B+1: 352 V}"
      as-found  set 1  B+1  ripple 19 V  "{B+1: 19 Vpp}"
      as-found  set 1  V4.a  voltage 348 V  "348"
      as-found  set 1  V4.g2  voltage 338 V  "338"
      as-found  set 1  V4.g  voltage 0 V  "0"
      as-found  set 1  V4.k  voltage 20.1 V  "20.1"
      as-found  set 1  V5.a  voltage 347 V  "347"
      as-found  set 1  V5.g2  voltage 336 V  "336"
      as-found  set 1  V5.g  voltage 1.9 V  "+1.9"
      as-found  set 1  V5.k  voltage 24.6 V  "24.6"
      as-found  set 1  C21  capacitance 0.000031 F  "C21: 31uF ESR 4R2"
      as-found  set 1  C21  esr 4.2 Ohm  "C21: 31uF ESR 4R2"
      as-found  set 2  V5.g  voltage 0 V  (C14 lifted)  "C14 lifted: V5.g: 0 V"
      work  set 3  B+1  voltage 4 V  (plug out, discharged through 10k)  "plug out, discharged through 10k: B+1: 4 V, B+2: 2 V"
      work  set 3  B+2  voltage 2 V  (plug out, discharged through 10k)  "plug out, discharged through 10k: B+1: 4 V, B+2: 2 V"
      work  C14 2.2e-8 F 400 V film -> 2.2e-8 F 630 V film  "C14 = 22n 400V film -> 22n 630V film"
      as-left  set 4  mains  ac-voltage 234 V  "{mains: 234 V}"
      as-left  set 4  V5.a  voltage 349 V  "V5: a 349, g2 339, g 0, k 20.3"
      as-left  set 4  V5.g2  voltage 339 V  "V5: a 349, g2 339, g 0, k 20.3"
      as-left  set 4  V5.g  voltage 0 V  "V5: a 349, g2 339, g 0, k 20.3"
      as-left  set 4  V5.k  voltage 20.3 V  "V5: a 349, g2 339, g 0, k 20.3"
      as-left  set 4  B+1  ripple 11 V  "B+1: 11 Vpp"
      as-left  set 4  earth to chassis  resistance 0.1 Ohm  "earth to chassis: 0.1R"
      "
    `);
  });
});

describe('readings', () => {
  it('behind a lamp are limited, and mains that moved start another set', () => {
    const note = `## As found
lamp 60 W:

- B+1: 241 V
- mains: 236 V
- V3.k: 15.8 V

### In play
- B+1: 352 V
- mains: 225 V
- B+1: 335 V
`;
    expect(said(note, both)).toMatchInlineSnapshot(`
      "
      set 1  as-found  lamp 60 W  mains 236 V  limited
      set 2  as-found  nothing said  mains 236 V  normal
      set 3  as-found  nothing said  mains 225 V  normal

      as-found  set 1  B+1  voltage 241 V  "B+1: 241 V"
      as-found  set 1  mains  ac-voltage 236 V  "mains: 236 V"
      as-found  set 1  V3.k  voltage 15.8 V  "V3.k: 15.8 V"
      as-found  set 2  B+1  voltage 352 V  "B+1: 352 V"
      as-found  set 3  mains  ac-voltage 225 V  "mains: 225 V"
      as-found  set 3  B+1  voltage 335 V  "B+1: 335 V"
      "
    `);
  });

  it('with an arrow are two: as found, then as left', () => {
    const note = `## Work
- V5.k to gnd: 24.6 V -> 20.3 V
- mains: 230 V -> 238 V
`;
    expect(said(note, both)).toMatchInlineSnapshot(`
      "
      set 1  as-found  nothing said  mains 230 V  normal
      set 2  as-left  nothing said  mains 238 V  normal

      as-found  set 1  V5.k to gnd  voltage 24.6 V  "V5.k to gnd: 24.6 V -> 20.3 V"
      as-left  set 2  V5.k to gnd  voltage 20.3 V  "V5.k to gnd: 24.6 V -> 20.3 V"
      as-found  set 1  mains  ac-voltage 230 V  "mains: 230 V -> 238 V"
      as-left  set 2  mains  ac-voltage 238 V  "mains: 230 V -> 238 V"
      "
    `);
  });

  it('of the same point twice in a set both stay, in order', () => {
    const note = `## As found
- V5.a: 331 V
- V5.a: 329 V
`;
    expect(said(note, statements)).toMatchInlineSnapshot(`
      "
      as-found  set 1  V5.a  voltage 331 V  "V5.a: 331 V"
      as-found  set 1  V5.a  voltage 329 V  "V5.a: 329 V"
      "
    `);
  });

  it('in a chart’s columns have the column’s phase, and a nominal one is no reading', () => {
    const note = `## Before and after
| Point | Found | Left  | Nominal |
| ----- | ----- | ----- | ------- |
| mains | 228   | 238   |         |
| B+1   | 330.6 | 341.2 | 340     |
| V5.a  | 326   | -     | 336     |
`;
    expect(said(note, both)).toMatchInlineSnapshot(`
      "
      set 1  as-found  nothing said  mains 228 V  normal
      set 2  as-left  nothing said  mains 238 V  normal

      as-found  set 1  mains  ac-voltage 228 V  "228"
      as-left  set 2  mains  ac-voltage 238 V  "238"
      as-found  set 1  B+1  voltage 330.6 V  "330.6"
      as-left  set 2  B+1  voltage 341.2 V  "341.2"
      as-left  set 2  nominal  B+1  voltage 340 V  "340"
      as-found  set 1  V5.a  voltage 326 V  "326"
      as-left  set 2  nominal  V5.a  voltage 336 V  "336"
      "
    `);
  });

  it('of a type and a reading at once are both', () => {
    expect(said('- V5 6V6GT: a 331, 38 mA\n', statements)).toMatchInlineSnapshot(`
      "
      as-found  V5 = 6V6GT  "V5 6V6GT: a 331, 38 mA"
      as-found  set 1  V5.a  voltage 331 V  "V5 6V6GT: a 331, 38 mA"
      as-found  set 1  V5  current 0.038 A  "V5 6V6GT: a 331, 38 mA"
      "
    `);
  });

  it('are asked about beside the set of their conditions', () => {
    const note = `## As found
lamp 60 W:
- B+1: 241 V
- V3.k: 15.8 V

### Without it
- B+1: 352 V

Then {? B+1 / R25}, and before it {? V3.k / R19} (lamp 60 W).
## As left
{? B+1 / R25}
`;
    expect(said(note, both)).toMatchInlineSnapshot(`
      "
      set 1  as-found  lamp 60 W  limited
      set 2  as-found  nothing said  normal

      as-found  set 1  B+1  voltage 241 V  "B+1: 241 V"
      as-found  set 1  V3.k  voltage 15.8 V  "V3.k: 15.8 V"
      as-found  set 2  B+1  voltage 352 V  "B+1: 352 V"
      as-found  set 2  asks B+1 / R25  "{? B+1 / R25}"
      as-found  set 1  asks V3.k / R19  "{? V3.k / R19}"
      as-left  set 0  asks B+1 / R25  "{? B+1 / R25}"
      "
    `);
  });
});

describe('fitted parts', () => {
  it('written together are one statement each, which knows its place among them', () => {
    const note = `- R18, R19 = 220k 0.5W, V4.g V5.g to gnd
- C40 + C41 = 100uF 350V, B+1 to gnd
- V6.k = V5.k
- R4-R6: as drawn
`;
    expect(said(note, statements)).toMatchInlineSnapshot(`
      "
      as-found  R18 (1 of 2) = 220000 Ohm 0.5 W  V4.g V5.g to gnd  "R18, R19 = 220k 0.5W, V4.g V5.g to gnd"
      as-found  R19 (2 of 2) = 220000 Ohm 0.5 W  V4.g V5.g to gnd  "R18, R19 = 220k 0.5W, V4.g V5.g to gnd"
      as-found  C40 (1 of 2 in series) = 0.0001 F 350 V  B+1 to gnd  "C40 + C41 = 100uF 350V, B+1 to gnd"
      as-found  C41 (2 of 2 in series) = 0.0001 F 350 V  B+1 to gnd  "C40 + C41 = 100uF 350V, B+1 to gnd"
      as-found  V6.k wired to V5.k  "V6.k = V5.k"
      as-found  R4 as-drawn  "R4-R6: as drawn"
      as-found  R5 as-drawn  "R4-R6: as drawn"
      as-found  R6 as-drawn  "R4-R6: as drawn"
      "
    `);
  });

  it('in a table with Was and Now are changes', () => {
    const note = `## Work
| Ref | Was      | Now       | Why   |
| --- | -------- | --------- | ----- |
| C15 | 25uF 25V | 100uF 63V | small |
`;
    expect(said(note, statements)).toMatchInlineSnapshot(`
      "
      work  C15 0.000025 F 25 V -> 0.0001 F 63 V  "C15 | 25uF 25V | 100uF 63V"
      "
    `);
  });
});

describe('nodes of the author’s own', () => {
  const problems = (sheet: Sheet): string =>
    [
      statements(sheet),
      ...sheet.problems.map((each) => `${each.kind} ${quote(sheet, each.span)}: ${each.message}`),
    ].join('\n');

  it('are read where a connection names them, are text where none does, and warn at one letter’s distance', () => {
    const note = `- R11 = 470R, V2A.k V2B.k to tail

{tail: 36.2 V}, ⟦{tial: 36 V}⟧, {tai: 36 V} and {note: 36 V}.
`;
    expect(said(note, problems)).toMatchInlineSnapshot(`
      "
      as-found  R11 = 470 Ohm  V2A.k V2B.k to tail  "R11 = 470R, V2A.k V2B.k to tail"
      as-found  set 1  tail  voltage 36.2 V  "{tail: 36.2 V}"
      point-unknown "tial": No connection in this sheet uses a point named tial, but one uses tail. Write tail if that is the point that was read; otherwise this stays plain text.
      point-unknown "tai": No connection in this sheet uses a point named tai, but one uses tail. Write tail if that is the point that was read; otherwise this stays plain text.
      "
    `);
  });

  it('keep rails as they are written', () => {
    expect(said('{B+: 330 V} {HT+: 330 V} {HT1: 330 V} {B+1: 330 V}\n', statements)).toMatchInlineSnapshot(`
      "
      as-found  set 1  B+  voltage 330 V  "{B+: 330 V}"
      as-found  set 1  HT+  voltage 330 V  "{HT+: 330 V}"
      as-found  set 1  HT1  voltage 330 V  "{HT1: 330 V}"
      as-found  set 1  B+1  voltage 330 V  "{B+1: 330 V}"
      "
    `);
  });
});

describe('mentions', () => {
  const mentions = (sheet: Sheet): string =>
    sheet.mentions
      .map(({ name, ref, how, span, refSpan }) =>
        [how, name, ref ?? '-', quote(sheet, span), refSpan ? quote(sheet, refSpan) : 'no ref'].join('  '),
      )
      .join('\n');

  it('are every ref and point in a tag, and bare words that are a part’s name', () => {
    const note = `- V5: a 331, k 19.4
- R17 = 470R 5W, V5.k to tail

So {C14} leaks; R17 and V5 are well, R170, aR17, R17b and R18 are not ours, (R17).
`;
    expect(said(note, mentions)).toMatchInlineSnapshot(`
      "
      reading  V5  V5  "V5"  "V5"
      reading  V5.a  V5  "a"  no ref
      reading  V5.k  V5  "k"  no ref
      declaration  R17  R17  "R17"  "R17"
      mention  V5.k  V5  "V5.k"  "V5"
      declaration  tail  -  "tail"  no ref
      mention  C14  C14  "C14"  "C14"
      prose  R17  R17  "R17"  "R17"
      prose  V5  V5  "V5"  "V5"
      prose  R17  R17  "R17"  "R17"
      "
    `);
  });

  it('of parts that only the chassis sheet has are found with its names', () => {
    const note = readNote(createSnapshot('file:///a.tagstrip.md', 'R17 and `R17`, xR17, R17, B+1, V1A.\n'));
    const found = proseMentions(note, new Set(['R17', 'V1A']));
    expect(found.map(({ name, span }) => `${name} at ${span.start}`)).toEqual([
      'R17 at 0',
      'R17 at 21',
      'V1A at 31',
    ]);
    expect(proseMentions(note, new Set())).toEqual([]);
  });
});

describe('what else a sheet says', () => {
  it('acceptances, wishes, tasks, photos, verdicts on mods, states', () => {
    const note = `## As found
{accept screen-over-voltage V5: maker's design} {accept screen-over-voltage} {keep C41: owner's wish}

- [x] plug out
- [ ] quote {C12 = 47uF 500V}
- R31: charred
- mod screens-5w: declined, owner's wish

![R31 charred](r31.jpg)
## As left
![R31 and C14](after.jpg)
`;
    const show = (sheet: Sheet): string =>
      [
        ...sheet.acceptances.map(
          ({ rule, subjects, reason }) => `accept ${rule} | ${subjects.join(' ')} | ${reason}`,
        ),
        ...sheet.keeps.map(({ ref, reason }) => `keep ${ref.name} | ${reason}`),
        ...sheet.tasks.map(({ done, text }) => `${done ? 'done' : 'open'} | ${text}`),
        ...sheet.photos.map(({ alt, url, refs, phase }) => `${phase} | ${url} | ${alt} | ${refs.join(' ')}`),
        statements(sheet),
      ].join('\n');
    expect(said(note, show)).toMatchInlineSnapshot(`
      "
      accept screen-over-voltage | V5 | maker's design
      accept screen-over-voltage |  | undefined
      keep C41 | owner's wish
      done | plug out
      open | quote {C12 = 47uF 500V}
      as-found | r31.jpg | R31 charred | R31
      as-left | after.jpg | R31 and C14 | R31 C14
      as-found planned  C12 = 0.000047 F 500 V  "{C12 = 47uF 500V}"
      as-found  R31 is charred  "R31: charred"
      as-found  mod screens-5w: declined, owner's wish  "mod screens-5w: declined, owner's wish"
      "
    `);
  });

  it('fields exactly as written', () => {
    const sheet = sheetOf('---\njob: 0123\nserial: 12E4\ntitle: 1.10\nowner:\n  name: x\n---\n# Other\n');
    expect([sheet.field('job')?.text, sheet.field('serial')?.text, sheet.title]).toEqual([
      '0123',
      '12E4',
      '1.10',
    ]);
    expect(sheet.field('owner')).toBeUndefined();
    expect(sheet.field('nothing')).toBeUndefined();
  });

  it('a section ends where the next heading begins', () => {
    const sheet = sheetOf('## As found\nfound text\n\n### More\n## Owner\nowner text\n');
    expect(
      sheet.sections.map(({ bodySpan }) => sheet.snapshot.text.slice(bodySpan.start, bodySpan.end).trim()),
    ).toEqual(['found text', '', 'owner text']);
  });

  it('nothing, of an empty note', () => {
    const sheet = sheetOf('');
    expect(sheet).toMatchObject({
      kind: 'job',
      title: '',
      sections: [],
      sets: [],
      statements: [],
      mentions: [],
    });
  });
});
