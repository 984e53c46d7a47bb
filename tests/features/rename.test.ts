/** A part gets another name on every sheet that speaks of it, or on none, and then the reason is told. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { readNote } from '../../server/dialect/note.ts';
import { declaredIn, wholeOf } from '../../server/features/named-places.ts';
import { rename } from '../../server/features/rename.ts';
import type { Sheet } from '../../server/sheet/model.ts';
import { readSheet } from '../../server/sheet/read.ts';
import { applyEdits } from '../../server/text/edits.ts';
import { createSnapshot } from '../../server/text/snapshot.ts';
import { checkRename, countNames } from '../support/navigation.ts';

const CHASSIS = `%%% chassis/larch
---
sheet: chassis
model: Larch 20
---

- V1A = 12AX7, a R4 B+4
- V1B = 12AX7
- R17 = 470R 5W, V5.k to gnd
- V5 = 6V6GT
`;
const job = (marked: string) => `---\nchassis: ../chassis/larch.tagstrip.md\n---\n\n${marked}\n`;

describe('renaming a part', () => {
  it('changes it in tags of every kind, with its tails', async () => {
    expect(
      await checkRename(
        `{R‸17 = 470R 5W, V5.k to gnd} {C31 = 100uF 50V, across R17} {R17.1: lifted}

- R17: 468R
- R17 lifted: V5.k: 0 V
- R17 = 470R -> 330R
- {? V5.k / R17}, {keep R17: owner's wish}, {accept resistor-over-power R17: measured}
- {R17 = 47x0Rx}

| Part | Value |
| ---- | ----- |
| R17  | 470R  |
`,
        'R18',
      ),
    ).toMatchInlineSnapshot(`
      "sheet: {R18 = 470R 5W, V5.k to gnd} {C31 = 100uF 50V, across R18} {R18.1: lifted}
      sheet: - R18: 468R
      sheet: - R18 lifted: V5.k: 0 V
      sheet: - R18 = 470R -> 330R
      sheet: - {? V5.k / R18}, {keep R18: owner's wish}, {accept resistor-over-power R18: measured}
      sheet: - {R18 = 47x0Rx}
      sheet: | R18  | 470R  |"
    `);
  });

  it('asks before it touches prose and the words under photos', async () => {
    expect(
      await checkRename(
        '{R‸17 = 470R} and so R17 it is, not R170.\n\n![R17 charred](R17.jpg) `R17`\n',
        'r18',
      ),
    ).toMatchInlineSnapshot(`
      "sheet?: {R18 = 470R} and so R18 it is, not R170.
      sheet?: ![R18 charred](R17.jpg) \`R17\`"
    `);
  });

  it('goes over the chassis sheet, all jobs on it, and the revisions that follow one another', async () => {
    expect(
      await checkRename(
        `${CHASSIS}%%% chassis/larch.b
---
sheet: chassis
follows: larch.tagstrip.md
---

- R17 = 330R 5W
%%% jobs/1
${job('The ‸R17 is hot.')}%%% jobs/2
${job('{R17: 468R}')}%%% jobs/3
---
chassis: ../chassis/larch.b.tagstrip.md
---
{R17}
%%% jobs/other
{R17} of another amplifier
%%% mods/cooler
---
sheet: mod
written-for: ../chassis/larch.tagstrip.md
---
- R17 -> 470R 10W
`,
        'R99',
      ),
    ).toMatchInlineSnapshot(`
      "jobs/1?: The R99 is hot.
      chassis/larch.b: - R99 = 330R 5W
      chassis/larch: - R99 = 470R 5W, V5.k to gnd
      jobs/2: {R99: 468R}
      jobs/3: {R99}
      mods/cooler: - R99 -> 470R 10W"
    `);
  });

  it('takes all sections of a valve along, each with its own tail', async () => {
    const sheet = (cursor: string) => `- V1A = 12AX7, a R4 B+4
- ${cursor}: 12AX7
- {V1-A.a: 160 V} {V1b.k: 1.2 V} {V1} {V10}

| Valve | a   |
| ----- | --- |
| V1A   | 160 |
`;
    const whole = await checkRename(sheet('V‸1'), 'V2');
    expect(whole).toMatchInlineSnapshot(`
      "sheet: - V2A = 12AX7, a R4 B+4
      sheet: - V2: 12AX7
      sheet: - {V2-A.a: 160 V} {V2b.k: 1.2 V} {V2} {V10}
      sheet: | V2A   | 160 |"
    `);
    expect(await checkRename(sheet('V1').replace('V1A =', 'V‸1A ='), 'V2A')).toBe(whole);
  });

  it('renames one section alone where only its letter changes', async () => {
    expect(await checkRename('{V1‸A: a 160} {V1A.k: 1 V} {V1}\n', 'V1B')).toMatchInlineSnapshot(
      `"sheet: {V1B: a 160} {V1B.k: 1 V} {V1}"`,
    );
  });

  it('writes lists and ranges so that they still say the same', async () => {
    const list = '{R40, 45, 46 = 1k} {R4‸5}\n';
    expect(await checkRename(list, 'R47')).toMatchInlineSnapshot(`"sheet: {R40, 47, 46 = 1k} {R47}"`);
    expect(await checkRename('{R4‸0, 45, 46 = 1k}\n', 'R39')).toBe('sheet: {R39, 45, 46 = 1k}');
    expect(await checkRename('{VR‸1, 2, 3 = 1M log}\n', 'P1')).toMatchInlineSnapshot(
      `"sheet: {P1, VR2, 3 = 1M log}"`,
    );
    expect(await checkRename('{VR1, 2, 3 = 1M log} {VR‸2}\n', 'P2')).toMatchInlineSnapshot(
      `"sheet: {VR1, P2, VR3 = 1M log} {P2}"`,
    );
    const range = (cursor: string) => `{D1-D5 = 1N4007} {${cursor}}\n`;
    expect(await checkRename(range('D‸1'), 'D9')).toMatchInlineSnapshot(`"sheet: {D9, D2-D5 = 1N4007} {D9}"`);
    expect(await checkRename(range('D‸3'), 'D9')).toMatchInlineSnapshot(
      `"sheet: {D1, D2, D9, D4, D5 = 1N4007} {D9}"`,
    );
    expect(await checkRename(range('D‸5'), 'D6')).toMatchInlineSnapshot(`"sheet: {D1-D4, D6 = 1N4007} {D6}"`);
    expect(await checkRename('- R4 to R7: as drawn\n\n{R‸7}\n', 'R9')).toMatchInlineSnapshot(`
      "sheet: - R4 to R6, R9: as drawn
      sheet: {R9}"
    `);
    expect(await checkRename('- D1-D2 = 1N4007\n\n{D‸2}\n', 'D3')).toMatchInlineSnapshot(`
      "sheet: - D1, D3 = 1N4007
      sheet: {D3}"
    `);
    expect(await checkRename('{R4 = 1k, R5 to R6} {R‸6}\n', 'R9')).toMatchInlineSnapshot(
      `"sheet: {R4 = 1k, R5 to R9} {R9}"`,
    );
  });

  it('changes nothing where the name stays', async () => {
    expect(await checkRename('{R‸17}\n', 'R17')).toBe('');
  });
});

describe('refused, with the reason:', () => {
  it.each([
    ['what is no part', 'No ‸part.\n', 'R1'],
    ['a point', '{‸B+1: 331 V}\n', 'B+2'],
    ['an electrode', '{V5: ‸a 331}\n', 'V6'],
    ['a name that is none', '{R‸17}\n', 'seventeen'],
    ['a name of another class', '{R‸17}\n', 'C17'],
    ['half a valve for a whole one', '{V‸1}\n', 'V2A'],
    ['another letter and another number at once', '{V1‸A}\n', 'V2B'],
    ['no letter for half a valve', '{V1‸A}\n', 'V2'],
    ['a name that is taken here', '{R‸17} {R18}\n', 'R18'],
    ['a valve whose sections are taken', '{V‸1} {V2A = 12AX7}\n', 'V2'],
    ['a name taken on the chassis sheet', `${CHASSIS}%%% jobs/1\n${job('{R‸17}')}`, 'R4'],
    [
      'a name taken by another job',
      `${CHASSIS}%%% jobs/1\n${job('{R‸17}')}%%% jobs/2\n${job('{R90 = 1k}')}`,
      'R90',
    ],
    ['a chassis sheet that is not there', `%%% jobs/1\n${job('{R‸17}')}`, 'R18'],
    [
      'a mod sheet that other chassis sheets share',
      `${CHASSIS}%%% jobs/1\n${job('{R‸17}')}%%% mods/m\n---\nsheet: mod\nwritten-for: [../chassis/larch.tagstrip.md, ../chassis/ash.tagstrip.md]\n---\n- R17 -> 1k\n`,
      'R18',
    ],
    [
      'a part that was renumbered between revisions',
      `${CHASSIS}%%% chassis/b\n---\nsheet: chassis\nfollows: larch.tagstrip.md\n---\n- R44: was R17\n%%% jobs/1\n${job('{R‸17}')}`,
      'R18',
    ],
    [
      'a sheet that is too large',
      `${CHASSIS}%%% jobs/1\n${job('{R‸17}')}%%% jobs/2\n${job(`{R17} ${'x'.repeat(20_001)}`)}`,
      'R18',
    ],
  ])('%s', async (_, marked, to) => {
    expect(await checkRename(marked, to)).toMatchSnapshot();
  });
});

describe('what a rename makes', () => {
  it('says of the new name all that was said of the old, and nothing else anew', async () => {
    const read = (path: string) => readFileSync(new URL(`../../samples/${path}`, import.meta.url), 'utf8');
    const texts = Object.fromEntries(
      [
        'chassis/larch-20.b.tagstrip.md',
        'jobs/2041-larch-20-hum.tagstrip.md',
        'jobs/2052-larch-20-tone.tagstrip.md',
      ].map((path) => [`file:///shop/${path}`, read(path)]),
    );
    const sheets = Object.entries(texts).map(([uri, text]) => readSheet(readNote(createSnapshot(uri, text))));
    const [chassis] = sheets;
    if (chassis === undefined) throw new Error('no chassis sheet');
    const known = declaredIn(chassis);
    const counts = (each: Sheet, names: ReadonlySet<string>) => countNames(each, names);
    const parts = [...known].filter((_, i) => i % 4 === 0);
    expect(parts.length).toBeGreaterThan(12);
    for (const from of parts) {
      const letters = /^[A-Z]+/.exec(from)?.[0] ?? '';
      const to = `${letters}77${from.slice(wholeOf(from).length)}`;
      const made = rename(from, to, { sheets, missing: [], shared: [] });
      if (!made.ok) throw new Error(`${from}: ${made.reason}`);
      expect(made.sheets.length, from).toBeGreaterThan(0);
      const renamed = (name: string) =>
        wholeOf(name) === wholeOf(from) ? wholeOf(to) + name.slice(wholeOf(name).length) : name;
      for (const { sheet, edits } of made.sheets) {
        const after = readSheet(readNote(createSnapshot(sheet.uri, applyEdits(sheet.snapshot.text, edits))));
        const wanted = [...counts(sheet, known)].map(([name, count]) => [renamed(name), count] as const);
        expect(new Map([...counts(after, new Set([...known].map(renamed)))].sort())).toEqual(
          new Map(wanted.sort()),
        );
      }
    }
  });
});
