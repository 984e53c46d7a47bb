/** Owns an invented amplifier in three revisions, the last on a board with other numbers, and six mods that were written for it. */

import { memoryFiles } from '../../../server/shop/files.ts';
import type { Evidence } from '../../../server/shop/mod-verdict.ts';
import { judgeMods, type ModJudged, type ModSheet, type ModsJudged } from '../../../server/shop/mods.ts';
import { type Analysis, createShop } from '../../../server/shop/shop.ts';
import { englishShop } from '../../../server/shop/shop-words.ts';
import { lineAt } from '../../../server/text/snapshot.ts';

const chassis = (revision: string, body: string) =>
  `---\nsheet: chassis\nmodel: Alder 5\nrevision: ${revision}\nmains: 230 V 50 Hz\n---\n# Alder 5, revision ${revision}\n\n${body}`;

export const A = chassis(
  'a',
  `- T1 = mains 290-0-290V 120mA 6.3V 3A 5V 2A
- V3 = 5Y3GT, T1 to B+1
- C10 = 16uF 500V electrolytic, B+1 to gnd
- R10 = 470R 5W, B+1 to B+2
- C11 = 16uF 500V electrolytic, B+2 to gnd
- R11 = 22k 1W, B+2 to B+3
- C12 = 16uF 500V electrolytic, B+3 to gnd
- V1A = 12AX7, a R4 B+3, k R3, g R2 J1
- R1 = 1M 0.5W, J1 to gnd
- R2 = 68k 0.5W, J1 to V1A.g
- R3 = 1k5 0.5W, V1A.k to gnd
- C1 = 25uF 25V electrolytic, across R3
- R4 = 100k 1W, V1A.a to B+3
- C2 = 22n 400V film, V1A.a to vol
- VR1 = 1M log, vol to gnd, wiper to V1B.g
- V1B = 12AX7, a R6 B+3, k R5
- R5 = 1k5 0.5W, V1B.k to gnd
- C3 = 25uF 25V electrolytic, across R5
- R6 = 100k 1W, V1B.a to B+3
- C4 = 22n 400V film, V1B.a to V2.g
- V2 = 6V6GT
- R7 = 220k 0.5W, V2.g to gnd
- R8 = 470R 5W wirewound, V2.k to gnd
- C5 = 25uF 50V electrolytic, across R8
- V2.g2 = B+2
- T2 = output 5k : 8R 8W, V2.a to B+1, LS1 on 8R
- LS1 = 8R 10W
`,
);

/** The factory made the first bypass smaller, put a bleeder in and took the second bypass out. */
export const B = A.replace('revision: a', 'revision: b')
  .replace('C1 = 25uF 25V electrolytic', 'C1 = 0.68uF 63V film')
  .replace('- C3 = 25uF 25V electrolytic, across R5\n', '- R20 = 220k 2W, B+1 to gnd\n')
  .replace('R8 = 470R', 'R8 = 510R');

const NEW_NAMES: Readonly<Record<string, string>> = {
  ...{ R1: 'R7', R2: 'R8', R3: 'R1', R4: 'R2', R5: 'R3', R6: 'R4', R7: 'R6', R8: 'R5' },
  ...{ C1: 'C4', C2: 'C5', C3: 'C1', C4: 'C2', C5: 'C3', C10: 'C20', C11: 'C21', C12: 'C22' },
  ...{ R10: 'R20', R11: 'R21', V1A: 'V2A', V1B: 'V2B', V2: 'V1' },
};
/** The same circuit as revision a, everything under another number, and nothing that says so. */
export const C = A.replace('revision: a', 'revision: c').replace(
  /\b(?:[RC]\d+|V1A|V1B|V2)\b(?![A-Z])/g,
  (ref) => NEW_NAMES[ref] ?? ref,
);

const mod = (name: string, front: string, body: string) =>
  `---\nsheet: mod\nname: ${name}\n${front}---\n# ${name}\n\n${body}`;
const FOR_A = 'written-for: ../chassis/a.tagstrip.md\n';

export const MODS: Readonly<Record<string, string>> = {
  'bass-shelf': mod(
    'bass-shelf',
    `purpose: less mud\n${FOR_A}`,
    '- C1 = 25uF 25V, V1A.k to gnd -> 680n 63V film\n- C3 = 25uF 25V, across R5 -> 680n 63V film\n',
  ),
  'cool-output': mod('cool-output', FOR_A, '- R8 = 470R 5W, V2.k to gnd -> 560R 7W wirewound\n'),
  'hot-output': mod('hot-output', FOR_A, '- R8 = 470R 5W, V2.k to gnd -> 220R 5W wirewound\n'),
  'firm-supply': mod(
    'firm-supply',
    `${FOR_A}needs: bleeder\n`,
    '- C10 = 16uF 500V -> 100uF 500V electrolytic\n',
  ),
  bleeder: mod('bleeder', FOR_A, '- R20 = 220k 2W metal film, B+1 to gnd\n'),
  'no-bypass': mod('no-bypass', FOR_A, '- C3 -> removed\n'),
};

const SHOP = 'file:///shop/';
const TEXTS: Readonly<Record<string, string>> = {
  'chassis/a.tagstrip.md': A,
  'chassis/b.tagstrip.md': B,
  'chassis/c.tagstrip.md': C,
  ...Object.fromEntries(Object.entries(MODS).map(([name, text]) => [`mods/${name}.tagstrip.md`, text])),
};

const uriOf = (path: string) => `${SHOP}${path}`;
/** One for all tests, so that the sheets that are always there are read once. */
const shop = createShop({
  files: memoryFiles(Object.fromEntries(Object.entries(TEXTS).map(([path, text]) => [uriOf(path), text]))),
});

/** The sheets at these paths, with other texts in the place of those that are always there, or beside them. */
export async function readSheets(
  paths: readonly string[],
  texts: Readonly<Record<string, string>>,
): Promise<readonly Analysis[]> {
  for (const [path, text] of Object.entries(texts)) shop.store.setOpen(uriOf(path), text, 1);
  try {
    const found: Analysis[] = [];
    for (const path of paths) {
      const analysis = await shop.analyse(uriOf(path));
      if (analysis === undefined) throw new Error(`there is no ${path}`);
      found.push(analysis);
    }
    return found;
  } finally {
    for (const path of Object.keys(texts)) shop.store.close(uriOf(path));
  }
}

/** The mods against one sheet: `on` is the text of a job or chassis sheet; other sheets are there by their path from the shop. */
export async function judge(
  on: string,
  names: readonly string[] = Object.keys(MODS),
  others: Readonly<Record<string, string>> = {},
): Promise<{ readonly judged: ModsJudged; readonly analysis: Analysis }> {
  const known = Object.entries({ ...TEXTS, ...others }).find(([, text]) => text === on)?.[0];
  const path = known ?? 'jobs/this.tagstrip.md';
  const [analysis, ...sheets] = await readSheets(
    [path, ...names.map((name) => `mods/${name}.tagstrip.md`)],
    known === undefined ? { ...others, [path]: on } : others,
  );
  if (analysis === undefined) throw new Error('nothing was read');
  const mods = sheets.map(
    ({ amplifier, input }): ModSheet => ({
      amplifier,
      origins: (input.targets ?? []).map((each) => each.amplifier),
    }),
  );
  const { amplifier, earlier, input } = analysis;
  return {
    judged: judgeMods(
      mods,
      { amplifier, ...(earlier && { earlier: earlier.amplifier }) },
      input.catalogue,
      englishShop,
    ),
    analysis,
  };
}

/** `bass-shelf: still applies, 2 of 2 open`, then each change. */
export async function told(...asked: Parameters<typeof judge>): Promise<readonly string[]> {
  const { judged } = await judge(...asked);
  return judged.mods.flatMap((each) => [
    sayMod(each),
    ...each.changes.map(
      (change) =>
        `  ${plain(`${change.change.ref.name}${change.ref === change.change.ref.name ? '' : ` (${change.ref})`} ${change.verdict}: ${change.why}`)}`,
    ),
  ]);
}

export function sayMod({ facts, verdict, ours, writer, open, changes }: ModJudged): string {
  const both = writer === undefined ? verdict : `${verdict} by the sheet, ${ours} by the parts`;
  return `${facts.name}: ${both}, ${open.length} of ${changes.length} open`;
}

/** `a.tagstrip.md line 10: C4 as written`. */
export function sayEvidence({ text, source }: Evidence, analysis: Analysis): string {
  const sheets = [analysis.sheet, analysis.chassis, ...analysis.follows, analysis.earlier?.sheet];
  const sheet = sheets.find((each) => each?.uri === source?.file);
  if (source === undefined || sheet === undefined) return plain(text);
  return plain(
    `${sheet.uri.split('/').at(-1)} line ${lineAt(sheet.snapshot, source.span.start) + 1}: ${text}`,
  );
}

export function plain(text: string): string {
  return text.replaceAll('\u00a0', ' ');
}
