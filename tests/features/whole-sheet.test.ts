/** What is said of a sheet as a whole: its folds, its links, its colours; and what is found by name over all sheets. */
import { describe, expect, it } from 'vitest';
import { folds } from '../../server/features/folding.ts';
import { links } from '../../server/features/links.ts';
import { semanticTokens } from '../../server/features/semantic-tokens.ts';
import { workspaceSymbols } from '../../server/features/workspace-symbols.ts';
import { lineAt } from '../../server/text/snapshot.ts';
import { askAll } from '../support/navigation.ts';

const checkFolds = (text: string, headings: boolean) =>
  askAll(`${text}‸`, ({ analysis }) => {
    const { text: all, lineStarts } = analysis.sheet.snapshot;
    const lines = all.split(/\r\n|\n/);
    if (lines.length !== lineStarts.length) throw new Error('lines are counted differently');
    return folds(analysis, { headings })
      .map(({ from, to, kind }) => `${kind}: ${lines[from]} … ${lines[to]}`)
      .join('\n');
  });

describe('folds', () => {
  const sheet = `---
job: 7
---
# Larch

## As found

| Valve | a   |
| ----- | --- |
| V1    | 100 |

- R1 = 1k
- R2 = 1k
- R3 = 1k
- R4 = 1k
- R5 = 1k
- R6 = 1k

Some words.

- R7 = 1k
- R8 = 1k

## Work

`;
  it('are the front matter, tables and long runs of parts', async () => {
    expect(await checkFolds(sheet, false)).toMatchInlineSnapshot(`
      "front-matter: --- … ---
      table: | Valve | a   | … | V1    | 100 |
      list: - R1 = 1k … - R6 = 1k"
    `);
  });

  it('are sections too where the editor folds none', async () => {
    expect(await checkFolds(sheet, true)).toMatchInlineSnapshot(`
      "front-matter: --- … ---
      section: # Larch … ## Work
      section: ## As found … - R8 = 1k
      table: | Valve | a   | … | V1    | 100 |
      list: - R1 = 1k … - R6 = 1k"
    `);
  });
});

describe('links', () => {
  const checkLinks = (text: string) =>
    askAll(`${text}‸`, ({ analysis }) =>
      links(analysis)
        .map(({ span, uri, tooltip, kind }) => {
          const slice = analysis.sheet.snapshot.text.slice(span.start, span.end);
          return `${kind} ⟦${slice}⟧ ${uri} (${tooltip})`;
        })
        .join('\n'),
    );

  it('are the sheets that the front matter names, and photos beside the sheet', async () => {
    expect(
      await checkLinks(`%%% jobs/7
---
chassis: ../chassis/larch 20.tagstrip.md
returns: 5.tagstrip.md
---
![V5 glowing](photos/v5%20hot.jpg) ![](https://example.org/x.png) ![](file:///etc/passwd) ![](data:image/png;base64,AA)
`),
    ).toMatchInlineSnapshot(`
      "sheet ⟦../chassis/larch 20.tagstrip.md⟧ file:///shop/chassis/larch%2020.tagstrip.md (Open the chassis sheet)
      sheet ⟦5.tagstrip.md⟧ file:///shop/jobs/5.tagstrip.md (Open the earlier job)
      photo ⟦![V5 glowing](photos/v5%20hot.jpg)⟧ file:///shop/jobs/photos/v5%20hot.jpg (Open the photo of V5)"
    `);
    expect(
      await checkLinks(
        '%%% mods/m\n---\nsheet: mod\nwritten-for:\n  - ../a.tagstrip.md\n  - javascript:x\n---\n',
      ),
    ).toMatchInlineSnapshot(
      `"sheet ⟦../a.tagstrip.md⟧ file:///shop/a.tagstrip.md (Open the chassis sheet that this mod was written for)"`,
    );
  });
});

const checkTokens = (text: string) =>
  askAll(`${text}‸`, ({ analysis }) => {
    const { snapshot } = analysis.sheet;
    const lines: string[][] = [];
    for (const { span, kind, isDeclaration, isProse } of semanticTokens(analysis)) {
      const line = lineAt(snapshot, span.start);
      const marks = `${isDeclaration ? '!' : ''}${isProse ? '~' : ''}`;
      lines[line] ??= [];
      lines[line]?.push(`${marks}${kind} ${snapshot.text.slice(span.start, span.end)}`);
    }
    return lines.flatMap((each) => (each === undefined ? [] : [each.join(' | ')])).join('\n');
  });

describe('colours', () => {
  it('say what each word of a tag is', async () => {
    expect(
      await checkTokens(`{R17 = 470R 5W wirewound, V5.k to gnd} and R17.
{V5 6V6GT: a 331, 38 mA} {V5.a to B+1: 3.4 V} {R31: charred}
{C12 = 10uF 25V -> 1uF 50V film} {C21 -> same} {D1-D4 = 1N4007}
{? 2 * (B+1 - V5.a) / R17}
{accept screen-over-voltage V5: maker's design} {keep C12: owner's wish}

- C14 lifted: V5.g: 0 V (a remark)
- V1A = 12AX7, a R4 B+3, k R5 C3
- T1 = mains 290-0-290V 150mA

| Ref | Value | Kind |
| --- | ----- | ---- |
| R4  | 100k  | film |
`),
    ).toMatchInlineSnapshot(`
      "!ref R17 | sign = | value 470R | value 5W | kind wirewound | ref V5 | electrode k | keyword to | node gnd | ~ref R17
      !ref V5 | type 6V6GT | sign : | electrode a | value 331 | value 38 mA | ref V5 | electrode a | keyword to | node B+1 | sign : | value 3.4 V | ref R31 | sign : | state charred
      !ref C12 | sign = | value 10uF | value 25V | sign -> | value 1uF | value 50V | kind film | !ref C21 | sign -> | state same | !ref D1 | !ref D4 | sign = | type 1N4007
      sign ? | value 2 | sign * | sign ( | node B+1 | sign - | ref V5 | electrode a | sign ) | sign / | ref R17
      keyword accept | rule screen-over-voltage | ref V5 | sign : | remark maker's design | keyword keep | ref C12 | sign : | remark owner's wish
      ref C14 | sign : | ref V5 | electrode g | sign : | value 0 V | remark a remark
      !ref V1A | sign = | type 12AX7 | electrode a | ref R4 | node B+3 | electrode k | ref R5 | ref C3
      !ref T1 | sign = | kind mains | value 290-0-290V 150mA
      !ref R4 | value 100k | kind film"
    `);
  });

  it('of a stretch are those of the whole that lie in it', async () => {
    await askAll('{R1 = 1k}\n\n{R2 = 2k} R1\n\n- R3: 3k‸\n', ({ analysis }) => {
      const all = semanticTokens(analysis);
      const { length } = analysis.sheet.snapshot.text;
      for (let start = 0; start < length; start += 3) {
        const within = { start, end: Math.min(length, start + 9) };
        expect(semanticTokens(analysis, within)).toEqual(
          all.filter(({ span }) => span.start < within.end && within.start < span.end),
        );
      }
      return '';
    });
  });
});

describe('found by name', () => {
  const checkSymbols = (query: string) =>
    askAll(
      `%%% chassis/larch
---
sheet: chassis
model: Larch 20
revision: b
---
# Larch 20
## Phase splitter
- R17 = 470R
%%% jobs/7
---
job: 2041
chassis: ../chassis/larch.tagstrip.md
---
# Larch, humming
## As found
{R17: 468R} {R170 = 1k}
- R17 -> 1k
%%% jobs/8
# Ash
‸
`,
      async ({ index }) => {
        const found = await workspaceSymbols(index, query, () => false);
        return (found ?? [])
          .map(({ name, kind, container, at }) => {
            const slice = at?.sheet.snapshot.text.slice(at.span.start, at.span.end);
            return `${kind} ${name}${slice === undefined ? '' : ` ⟦${slice}⟧`} (${container})`;
          })
          .join('\n');
      },
    );

  it('are sheets when nothing is typed yet', async () => {
    expect(await checkSymbols('')).toMatchInlineSnapshot(`
      "sheet Larch 20 (revision b)
      sheet Larch, humming (job 2041)
      sheet Ash (job sheet)"
    `);
  });
  it('are parts where they are fitted or changed, the chassis sheet first', async () => {
    expect(await checkSymbols('r17')).toMatchInlineSnapshot(`
      "part R17 ⟦R17⟧ (Larch 20)
      part R170 ⟦R170⟧ (Larch, humming)
      part R17 ⟦R17⟧ (Larch, humming)"
    `);
  });
  it('are headings of chassis sheets, and not those that every job has', async () => {
    expect(await checkSymbols('splitter')).toMatchInlineSnapshot(
      `"heading Phase splitter ⟦## Phase splitter⟧ (Larch 20)"`,
    );
    expect(await checkSymbols('as found')).toBe('');
  });
  it('are sheets by title, file and job number', async () => {
    expect(await checkSymbols('hum')).toMatchInlineSnapshot(`"sheet Larch, humming (job 2041)"`);
    expect(await checkSymbols('2041')).toMatchInlineSnapshot(`"sheet Larch, humming (job 2041)"`);
  });
});
