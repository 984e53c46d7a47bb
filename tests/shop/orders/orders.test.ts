/** Parts to buy over open jobs: what counts as wanted, what becomes one line, what would serve instead. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { documentText } from '../../../server/cli/document-text.ts';
import { ordersJson } from '../../../server/cli/orders.ts';
import { gatherOrders, type OrderList, ordersOf } from '../../../server/shop/orders.ts';
import { englishShop } from '../../../server/shop/shop-words.ts';
import { renderMarkdown } from '../../../server/summary/markdown.ts';
import { ordersDocument } from '../../../server/summary/orders.ts';
import { printMarkdown } from '../../../server/summary/print-markdown.ts';
import { englishSpeech } from '../../../server/summary/speech.ts';
import { schemaFaults } from '../../support/json-schema.ts';
import { analyseJobs, plainSpaces } from '../../support/workshop.ts';

const CHASSIS = `---
sheet: chassis
model: Alder 15
---
# Alder 15

- T1 = mains 290-0-290V 150mA 5V 2A
- V4 = GZ34, T1 to B+1
- C5 = 47uF 500V electrolytic, B+1 to gnd
- R9 = 1k 5W, B+1 to B+2
- C6 = 22uF 500V electrolytic, B+2 to gnd
- V1A = 12AX7, a R4 B+2, k R3, g R1
- R4 = 100k 1W, V1A.a to B+2
- R3 = 1k5 0.5W, V1A.k to gnd
- R1 = 1M 0.5W, V1A.g to gnd
- C1 = 22n 630V film, V1A.a to V2.g
- R2 = 220k 0.5W, V2.g to gnd
- V2 = 6V6GT
- R5 = 470R 5W wirewound, V2.k to gnd
`;

async function listOf(jobs: Readonly<Record<string, string>>): Promise<OrderList> {
  const sheets = Object.fromEntries(
    Object.entries(jobs).map(([job, text]) => [
      `${job}.tagstrip.md`,
      text.startsWith('---')
        ? text
        : `---\njob: ${job}\nchassis: chassis.tagstrip.md\n---\n# Job ${job}\n\n${text}`,
    ]),
  );
  const analyses = await analyseJobs({ ...sheets, 'chassis.tagstrip.md': CHASSIS });
  return gatherOrders(analyses.flatMap(({ analysis, path }) => ordersOf(analysis, path, englishShop) ?? []));
}

/** `2 × 47 µF 550 V electrolytic: 1 C5, 2 C5`. */
const told = ({ lines }: OrderList) =>
  lines.map(({ quantity, what, for: wanted }) =>
    plainSpaces(
      `${quantity} × ${what}: ${wanted.map(({ visit, items }) => `${visit.job} ${items.map(({ ref }) => ref).join(' ')}`).join(', ')}`,
    ),
  );

/** `rating 22 nF 1000 V film`. */
async function substitutesOf(text: string): Promise<readonly string[]> {
  const { lines } = await listOf({ 1: text });
  return lines.flatMap(({ substitutes }) => substitutes.map(({ of, what }) => plainSpaces(`${of} ${what}`)));
}

describe('to order', () => {
  it.each([
    [
      'what an open task would fit',
      '## Work\n\n- [ ] C5 = 47uF 500V -> 47uF 550V electrolytic\n',
      ['1 × 47 µF 550 V electrolytic: 1 C5'],
    ],
    [
      'what stands under Wanted',
      '## Wanted\n\n- C5 -> 47uF 550V electrolytic\n',
      ['1 × 47 µF 550 V electrolytic: 1 C5'],
    ],
    [
      'what stands under Quote in a table',
      '## Quote\n\n| Ref | Was | Now |\n| --- | --- | --- |\n| V2 | 6V6GT | 6V6GT |\n',
      ['1 × 6V6GT: 1 V2'],
    ],
    ['both halves of a valve as one', '## Wanted\n\n- V1A, V1B = 12AX7\n', ['1 × 12AX7: 1 V1']],
    [
      'a can with all its sections',
      '## Wanted\n\n- C5 = 32+32uF 450V electrolytic\n',
      ['1 × 32+32uF 450V electrolytic: 1 C5'],
    ],
    [
      'a tolerance that is asked for',
      '## Wanted\n\n- [ ] R4 = 100k 1W 1%\n- [ ] R2 = 100k 1W\n',
      ['1 × 100 kΩ 1 W: 1 R2', '1 × 100 kΩ 1 W ±1 %: 1 R4'],
    ],
    ['a fuse as it is written', '## Wanted\n\n- F1 = T1A 250V\n', ['1 × T1A 250V: 1 F1']],
    [
      'a transformer as it is written',
      '## Wanted\n\n- T2 = output 8k : 8R 15W\n',
      ['1 × output 8k : 8R 15W: 1 T2'],
    ],
  ])('is %s', async (_, text, lines) => {
    expect(told(await listOf({ 1: text }))).toEqual(lines);
  });

  it.each([
    ['what is done', '## Work\n\n- [x] C5 = 47uF 500V -> 47uF 550V electrolytic\n'],
    ['what is ticked off the list', '## Wanted\n\n- [x] C5 -> 47uF 550V electrolytic\n'],
    ['work that needs no part', '## Wanted\n\n- [ ] C5 -> resoldered\n- [ ] R9 -> removed\n'],
    ['what was turned down', '## Declined\n\n- C5 -> 47uF 550V electrolytic\n'],
    [
      'what the work has fitted meanwhile',
      '## Work\n\n- C5 = 47uF 500V -> 47uF 550V electrolytic\n\n## Wanted\n\n- [ ] C5 -> 47uF 550V electrolytic\n',
    ],
    [
      'anything of a job that has gone back',
      '---\njob: 1\nreturned: 2026-02-01\n---\n# Job\n\n## Quote\n\n- [ ] C5 = 47uF 550V\n',
    ],
    ['anything of a chassis sheet', '---\nsheet: chassis\n---\n# X\n\n## Wanted\n\n- [ ] C5 = 47uF 550V\n'],
  ])('is not %s', async (_, text) => {
    expect(told(await listOf({ 1: text }))).toEqual([]);
  });

  it('makes one line of the same part for several jobs, valves first, then by value', async () => {
    const list = await listOf({
      1: '## Wanted\n\n- [ ] C5, C6 = 47 mfd 550V electrolytic\n- [ ] R5 = 470R 5W wirewound\n',
      2: '## Wanted\n\n- [ ] C5 = 47µF 550V electrolytic\n- [ ] V2 = 6V6\n- [ ] C6 = 22uF 500V electrolytic\n',
      3: '## Wanted\n\n- [ ] V2 = 6V6GT\n- [ ] C5 = 47uF 500V electrolytic\n',
      4: '## As found\n\nNothing yet.\n',
    });
    expect(told(list)).toEqual([
      '2 × 6V6: 2 V2, 3 V2',
      '1 × 22 µF 500 V electrolytic: 2 C6',
      '1 × 47 µF 500 V electrolytic: 3 C5',
      '3 × 47 µF 550 V electrolytic: 1 C5 C6, 2 C5',
      '1 × 470 Ω 5 W wirewound: 1 R5',
    ]);
    expect(list).toMatchObject({ openJobs: 4, pieces: 8 });
    const served = list.lines.find(({ what }) => plainSpaces(what) === '47 µF 500 V electrolytic')?.servedBy;
    expect(served?.map(plainSpaces)).toEqual(['47 µF 550 V electrolytic']);
  });

  it('lets no wider tolerance serve for a closer one, and nothing for a can', async () => {
    const { lines } = await listOf({
      1: '## Wanted\n\n- [ ] R4 = 100k 1W 1%\n- [ ] R2 = 100k 2W\n- [ ] C5 = 47uF 550V\n- [ ] C6 = 47+47uF 450V\n',
    });
    const served = lines.map(({ what, servedBy }) => plainSpaces(`${what}: ${servedBy.join()}`));
    expect(served).toContain('100 kΩ 1 W ±1 %: ');
    expect(served).toContain('47+47uF 450V: ');
    expect(served).toContain('47 µF 550 V: ');
    const can = lines.find(({ what }) => what.startsWith('47+47'));
    expect(can?.substitutes).toEqual([]);
    const close = lines.find(({ what }) => what.includes('±1'));
    expect(close?.substitutes.every(({ what }) => what.includes('±1'))).toBe(true);
  });

  it('names a valve by the names that it was not asked for by', async () => {
    const { lines } = await listOf({
      1: '## Wanted\n\n- [ ] V1 = ECC83\n',
      2: '## Wanted\n\n- [ ] V9 = EL84\n',
    });
    const names = new Map(lines.map(({ what, alsoSoldAs }) => [what, alsoSoldAs]));
    expect(names.get('ECC83')).toContain('12AX7');
    expect(names.get('ECC83')).not.toContain('ECC83');
    expect(names.get('EL84')).toContain('6BQ5');
  });

  it('says of no valve what it is for where only its readings are written', async () => {
    const { jobs } = await listOf({
      1: '---\njob: 1\n---\n# Bare\n\n## As found\n\n- V4 EL84: a 310, 40 mA\n\n## Wanted\n\n- [ ] V4 -> EL84\n',
      2: '## Wanted\n\n- [ ] V1 -> 12AX7\n',
    });
    expect(jobs.flatMap(({ items }) => items.map(({ ref, role }) => [ref, role]))).toEqual([
      ['V4', undefined],
      ['V1', 'gain-stage valve'],
    ]);
  });

  it('keeps what no tag names', async () => {
    const { jobs } = await listOf({
      1: '## Wanted\n\n- [ ] grille cloth, 60 cm\n- [ ] C5 -> 47uF 550V electrolytic\n\n## Work\n\n- [ ] order knobs, four\n- [ ] ring the owner\n',
    });
    expect(jobs[0]?.inWords.map(({ text }) => text)).toEqual(['grille cloth, 60 cm', 'knobs, four']);
  });

  it('is the same on the bench page', async () => {
    const text =
      '---\njob: 1\n---\n# Job\n\n## Wanted\n\n- [ ] C5 = 47uF 500V -> 47uF 550V electrolytic\n- [ ] R9 -> removed\n';
    const [job] = await analyseJobs({ '1.tagstrip.md': text });
    const page = job === undefined ? '' : renderMarkdown(job.analysis, { reader: 'bench' });
    const [section] = /## [^\n]*order[^#]*/i.exec(page) ?? [''];
    expect(section).toContain('C5');
    expect(section).not.toContain('R9');
  });
});

describe('what would serve', () => {
  it('is a higher working voltage, and the neighbours that move a corner by less than a third of an octave', async () => {
    expect(await substitutesOf('## Wanted\n\n- [ ] C1 = 22n 630V film\n')).toEqual([
      'rating 22 nF 1000 V film',
      'value 18 nF 630 V film',
      'value 27 nF 630 V film',
    ]);
  });

  it('is more smoothing, but no more at the reservoir than the rectifier allows', async () => {
    expect(await substitutesOf('## Wanted\n\n- [ ] C6 = 22uF 500V electrolytic\n')).toEqual([
      'rating 22 µF 630 V electrolytic',
      'value 33 µF 500 V electrolytic',
    ]);
    // A GZ34 stands 60 µF behind it.
    expect(await substitutesOf('## Wanted\n\n- [ ] C5 = 47uF 500V electrolytic\n')).toEqual([
      'rating 47 µF 630 V electrolytic',
    ]);
  });

  it('is what is sold today for a value of old', async () => {
    expect(await substitutesOf('## Wanted\n\n- [ ] C6 = 32uF 500V electrolytic\n')).toContain(
      'value 33 µF 500 V electrolytic',
    );
  });

  it('is more watts, and no other ohms where they would move the cathode by more than 5 %', async () => {
    expect(await substitutesOf('## Wanted\n\n- [ ] R5 = 470R 5W wirewound\n')).toEqual([
      'rating 470 Ω 7 W wirewound',
    ]);
  });

  it('is a valve of the same socket that stands at least as much', async () => {
    expect(await substitutesOf('## Wanted\n\n- [ ] V2 = 6V6GT\n')).toEqual(['type 6V6GTA']);
    expect(await substitutesOf('## Wanted\n\n- [ ] V2 = 6V6GTA\n')).toEqual([]);
    expect(await substitutesOf('## Wanted\n\n- [ ] V2 = 6L6GC\n')).toEqual([]);
  });

  it.each([
    ['a fuse', '- [ ] F1 = T1A'],
    ['a capacitor of a mains class', '- [ ] C90 = 4n7 250V Y2'],
    ['a transformer', '- [ ] T2 = output 8k : 8R'],
    ['a part that nothing is known of', '- [ ] X1 = thing'],
  ])('is nothing for %s', async (_, item) => {
    expect(await substitutesOf(`## Wanted\n\n${item}\n`)).toEqual([]);
  });

  it('says what it changes, computed from the sheets', async () => {
    const { lines } = await listOf({
      1: '## As found\n\nMains {mains: 230 V}\n\n- B+1: 350 V\n\n## Wanted\n\n- [ ] C5 = 47uF 500V -> 47uF 500V electrolytic\n',
    });
    const says = plainSpaces(lines[0]?.substitutes[0]?.differences[0]?.says ?? '');
    expect(says).toMatch(/^DC[^:]*: voltage margin 30 → 44\.4 %; look whether it has room$/);
  });
});

describe('the list is told', () => {
  const JOBS = {
    1: '## Wanted\n\n- [ ] C1 = 22n 630V film\n- [ ] <b>cloth</b> [x](http://y)\n',
    2: '## Wanted\n\n- [ ] C1 = 22n 630V film\n',
  };

  it('in the terminal', async () => {
    const text = plainSpaces(
      documentText(ordersDocument(await listOf(JOBS), englishSpeech), { colour: false, width: 100 }),
    );
    expect(text).toContain('To buy     2 pieces on 1 line');
    expect(text).toContain('         2  22 nF 630 V film capacitor  job 1 C1; job 2 C1');
    expect(text).toContain('- 18 nF 630 V film: with signal: corner');
    expect(text.split('\n').filter((line) => line.length > 100)).toEqual([]);
    expect(text).not.toMatch(/undefined|NaN|\bsafe/);
    const nothing = documentText(ordersDocument(await listOf({}), englishSpeech), {
      colour: true,
      width: 80,
    });
    expect(nothing).toContain('Nothing is to be ordered');
  });

  it('as Markdown, with nothing of a sheet left to act as markup', async () => {
    const text = printMarkdown(ordersDocument(await listOf(JOBS), englishSpeech));
    expect(text).toContain(
      '| 2 | 22 nF 630 V film capacitor |'.replaceAll(' nF', '\u00a0nF').replace('630 V', '630\u00a0V'),
    );
    expect(text).not.toContain('<b>');
    expect(text).not.toMatch(/(?<!\\)\]\(http/);
  });

  it('as JSON that holds to its schema', async () => {
    const schema = JSON.parse(
      readFileSync(new URL('../../../grammar/json/orders.schema.json', import.meta.url), 'utf8'),
    );
    const json = JSON.parse(JSON.stringify(ordersJson(await listOf(JOBS))));
    expect(schemaFaults(json, schema)).toEqual([]);
    expect(json.orders.lines[0].substitutes.length).toBeGreaterThan(1);
  });
});
