/** A sheet as statements: the same for whoever writes the same otherwise, nothing hidden, and a line for each change. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { tidyEdits } from '../../server/features/tidy.ts';
import { changesBetween } from '../../server/shop/fact-changes.ts';
import { factsOf, sayFact } from '../../server/shop/facts.ts';
import { memoryFiles } from '../../server/shop/files.ts';
import { type Analysis, createShop } from '../../server/shop/shop.ts';
import { applyEdits } from '../../server/text/edits.ts';

const sample = (path: string) =>
  readFileSync(new URL(`../../samples/${path}.tagstrip.md`, import.meta.url), 'utf8');
const CHASSIS = sample('chassis/larch-20.b');
const JOB = sample('jobs/2047-larch-20-hot-valve');

const analyses = new Map<string, Promise<Analysis>>();

function analysisOf(text: string, at = 'jobs/2047'): Promise<Analysis> {
  const known = analyses.get(`${at} ${text}`) ?? analyse(text, at);
  analyses.set(`${at} ${text}`, known);
  return known;
}

async function analyse(text: string, at: string): Promise<Analysis> {
  const uri = `file:///shop/${at}.tagstrip.md`;
  const chassis = 'file:///shop/chassis/larch-20.b.tagstrip.md';
  const shop = createShop({ files: memoryFiles({ [chassis]: CHASSIS, [uri]: text }) });
  const analysis = await shop.analyse(uri);
  if (analysis === undefined) throw new Error('there is a sheet');
  return analysis;
}

const plain = (text: string) => text.replaceAll('\u00a0', ' ');
const statements = async (text: string, at?: string) =>
  factsOf(await analysisOf(text, at)).map((fact) => plain(sayFact(fact)));
const changes = async (was: string | undefined, is: string | undefined, at?: string) =>
  changesBetween(
    was === undefined ? undefined : await analysisOf(was, at),
    is === undefined ? undefined : await analysisOf(is, at),
  ).map(({ line }) => plain(line));
const body = (text: string) => `# Job\n\n## As found\n\n${text}\n`;

describe('a sheet as statements', () => {
  it('says a fact a line, part by part, with what follows', async () => {
    const lines = await statements(JOB);
    for (const line of [
      'serial: 0164',
      'as found  V4.k: 29.9 V',
      'as found  V4 anode dissipation 25.2 W (109 % of 23 W)',
      'as found  C10: insulation 3.3 MΩ (dummy load, fifteen minutes warm, no signal, out of circuit)',
      'work  C10 22 nF 630 V paper → 22 nF 630 V film, V2B.a to V4.g, coupling of V4',
      'as left  V3,V4 mismatch 0.303 %',
      'finding  as found C10 leaky-coupling: info',
      'text  The glow is in the right-hand socket.',
    ])
      expect(lines).toContain(line);
    expect(lines.every((line) => !/[\r\n]/.test(line))).toBe(true);
  });

  it('says of a chassis sheet what it fits, windings and fuses too', async () => {
    const lines = await statements(CHASSIS, 'chassis/larch-20.b');
    expect(lines).toContain('as drawn  R19 = 330 Ω 5 W wirewound, V3.k to gnd, cathode resistor of V3');
    expect(lines).toContain('as drawn  T1 = mains 290-0-290 V 300 mA, 6.3 V 4 A, 5 V 3 A, mains transformer');
    expect(lines).toContain('as drawn  F1 = T1A');
  });

  it.each([
    ['line ends', (text: string) => text.replaceAll('\n', '\r\n')],
    ['a byte-order mark', (text: string) => `\uFEFF${text}`],
    ['empty lines', (text: string) => text.replaceAll('\n\n', '\n\n\n')],
    ['the columns of its tables', (text: string) => text.replace(/ +\|/g, ' |').replace(/-{3,}/g, '---')],
  ])('is the same whatever %s', async (what, write) => {
    const own = JOB.replace(/^chassis: .*\n/m, '');
    const head = own.indexOf('# Larch');
    const other = what === 'a byte-order mark' ? write(own) : own.slice(0, head) + write(own.slice(head));
    expect(other).not.toBe(own);
    expect(await statements(other)).toEqual(await statements(own));
    expect(await changes(own, other)).toEqual([]);
  });

  it('is the same after the tags were tidied', async () => {
    for (const [path, tidy, hurried] of [
      ['1806-larch-20-buzz', 'C11: 5uF', 'C11: 5 mfd'],
      ['1874-larch-20-half-power', '2M (valve', '2 Mohm (valve'],
      ['1932-larch-20-thick', 'chassis: 0,1R', 'chassis: 0,1 Ω'],
    ] as const) {
      const text = sample(`jobs/${path}`)
        .replace(/^chassis: .*$/m, 'chassis: ../chassis/larch-20.b.tagstrip.md')
        .replaceAll(tidy, hurried);
      const tidied = applyEdits(text, tidyEdits((await analysisOf(text)).sheet));
      expect(tidied, path).not.toBe(text);
      expect(await statements(tidied), path).toEqual(await statements(text));
    }
  });

  it('is the same in a list, in a sentence and in a table, but for the text around', async () => {
    const facts = async (text: string) =>
      (await statements(body(text))).filter((line) => !line.startsWith('text'));
    const list = await facts('- V5 = 6V6GT\n- V5: a 331, k 19.4\n- R17 = 470R 5W, V5.k to gnd');
    expect(list.some((line) => line.startsWith('as found  V5 anode dissipation'))).toBe(true);
    expect(await facts('{R17 = 470R 5W, V5.k to gnd} under {V5 = 6V6GT}, {V5: a 331, k 19.4}')).toEqual(list);
    expect(
      await facts(
        '| Ref | Value | Rating | From | To |\n| --- | --- | --- | --- | --- |\n| V5 | 6V6GT | | | |\n| R17 | 470R | 5W | V5.k | gnd |\n\n| Valve | k | a |\n| --- | --- | --- |\n| V5 | 19.4 | 331 |',
      ),
    ).toEqual(list);
  });

  it.each([
    ['- mod tight-bass: declined, likes it thick', ['mod tight-bass: declined, likes it thick']],
    ['- R4-R5: as drawn', ['R4: as drawn', 'R5: as drawn']],
    ['- C8: not seen', ['C8: not seen']],
    ['- R17 = 1k\n- R17: was R44', ['R17: was R44']],
    ['{V6.k = V5.k}', ['as found  V6.k = V5.k']],
    ['- V5: a 331, g2 322 - warm', ['as found  V5.a remark: warm']],
    ['- C9 = 22n 400V -> 22n 630V (leaking)', ['as found  C9 remark: leaking']],
    ['- V2: microphonic - badly', ['as found  V2 remark: badly']],
    ['{? V9.a / 2}', ['as found  V9.a / 2 answer none: nothing was read at V9.a in this set']],
  ])('hides nothing of %j', async (line, expected) => {
    expect(await statements(body(line))).toEqual(expect.arrayContaining(expected));
    const [without, withIt] = [body('- R1 = 1k'), body(`- R1 = 1k\n\n${line}`)];
    expect(await changes(without, withIt)).toEqual(
      expect.arrayContaining(expected.map((each) => expect.stringContaining(each))),
    );
  });

  it('hides nothing: every word of the sheet that is in no statement stands there as it is', async () => {
    const text = `${JOB}\nA last word, with a control \u001b[31m sign.\n`;
    const lines = await statements(text);
    expect(lines).toContain('text  A last word, with a control [31m sign.');
    expect(lines).toContain('text  ## Left alone');
  });
});

describe('what changed', () => {
  it('of a part is one line with what that does', async () => {
    const next = CHASSIS.replace('R19 = 330R 5W', 'R19 = 390R 5W');
    expect((await changes(CHASSIS, next, 'chassis/larch-20.b'))[0]).toBe(
      'R19 330 Ω → 390 Ω, V3 anode dissipation 20.5 → 18.4 W (expected)',
    );
  });

  it.each([
    ['C11 = 47uF', '- C11', 'never'],
    [
      '| C11 | 47uF  | 500V   |',
      '| C11 | 47uF  | 450V   |',
      'C11 working voltage 500 V → 450 V, voltage margin 33.3 → 25.9 %',
    ],
    ['C3 = 22n', 'C3 = 10n', 'C3 22 nF → 10 nF, corner 6.97 → 15.3 Hz'],
    ['F1 = T1A', 'F1 = F1A', 'F1 fuse speed T → F'],
    ['- R25 = 220k 2W, B+1 to gnd\n', '', 'R25 removed: 220 kΩ 2 W'],
  ])('%s to %s', async (from, to, line) => {
    const next = CHASSIS.replace(from, to);
    if (line === 'never') expect(next).toBe(CHASSIS);
    else expect(await changes(CHASSIS, next, 'chassis/larch-20.b')).toContain(line);
  });

  it('of a reading is a line for it and one for what it was taken for', async () => {
    const next = JOB.replace('V4: a 330.9, g2 328.3, g 0, k 23.0', 'V4: a 330.9, g2 328.3, g 0, k 24.1');
    expect(await changes(JOB, next)).toEqual([
      'as left  V3,V4 mismatch 0.303 → 4.37 %',
      'as left  V4.k: 23 → 24.1 V',
      'as left  V4 anode dissipation 20 W (87 % of 23 W) → 21 W (91.1 % of 23 W)',
      'new: finding  as left V4 anode-over-dissipation: info',
    ]);
  });

  it('of the words and the head is shown as it is', async () => {
    const next = JOB.replace('The glow is', 'The glow was')
      .replace('hours: 2', 'hours: 3')
      .replace('serial: 0164\n', '');
    expect(await changes(JOB, next)).toEqual([
      'no more: serial: 0164',
      'hours: 2 → 3',
      '- The glow is in the right-hand socket.',
      '+ The glow was in the right-hand socket.',
    ]);
  });

  it('between two sheets is told of parts by the comparison alone', async () => {
    const one = await analysisOf(CHASSIS, 'chassis/larch-20.b');
    const other = await analysisOf(
      '---\nsheet: chassis\nfollows: larch-20.b.tagstrip.md\n---\n# Larch 20\n\n- R40 = 390R 5W, V3.k to gnd\n- R40: was R19\n',
      'chassis/larch-20.d',
    );
    const lines = changesBetween(one, other).map(({ line }) => plain(line));
    expect(lines).toContain(
      'R19 → R40 330 Ω → 390 Ω, kind wirewound → not written, V3 anode dissipation 20.5 → 18.4 W (expected)',
    );
    expect(lines.filter((line) => /as drawn {2}[CRV]\d+[AB]? =/.test(line))).toEqual([]);
  });

  it('of a sheet that is new, or no more, is all of it', async () => {
    expect(await changes(undefined, body('- V5: a 331'))).toContain('new: as found  V5.a: 331 V');
    expect(await changes(body('- V5: a 331'), undefined)).toContain('no more: as found  V5.a: 331 V');
  });
});
