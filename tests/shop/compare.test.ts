/** Two amplifiers side by side: what is the same part under another ref, what differs, what that does, and how it is told. */
import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { comparisonJson } from '../../server/cli/compare-json.ts';
import { comparisonText } from '../../server/cli/compare-text.ts';
import { placesOf } from '../../server/cli/desk.ts';
import type { Places } from '../../server/cli/json.ts';
import { type Comparison, compareAmplifiers, refOf } from '../../server/shop/compare.ts';
import { sayDifference, sayMarked, sayRefs } from '../../server/shop/compare-words.ts';
import { memoryFiles } from '../../server/shop/files.ts';
import { type Analysis, createShop } from '../../server/shop/shop.ts';
import { englishShop } from '../../server/shop/shop-words.ts';
import { comparisonDocument } from '../../server/summary/compare.ts';
import { printHtml } from '../../server/summary/print-html.ts';
import { printMarkdown } from '../../server/summary/print-markdown.ts';
import { englishSpeech } from '../../server/summary/speech.ts';
import { schemaFaults } from '../support/json-schema.ts';

const LARCH = readFileSync(new URL('../../samples/chassis/larch-20.b.tagstrip.md', import.meta.url), 'utf8');

const VALVES: Readonly<Record<string, string>> = { 1: '4', 2: '5', 3: '7', 4: '8', 5: '9' };
/** Every part of the sheet under another ref: a new board. */
const RENUMBERED = LARCH.replace(
  /\b([RC])(\d+)\b/g,
  (_, letter: string, n: string) => `${letter}${Number(n) + 100}`,
).replace(/\bV([1-5])([AB]?)\b/g, (_, n: string, section: string) => `V${VALVES[n]}${section}`);

interface Two {
  readonly comparison: Comparison;
  readonly places: Places;
}

async function compare(was: string, is: string, others: Readonly<Record<string, string>> = {}): Promise<Two> {
  const [first, second] = ['file:///shop/one.tagstrip.md', 'file:///shop/two.tagstrip.md'];
  const beside = Object.fromEntries(
    Object.entries(others).map(([name, text]) => [`file:///shop/${name}`, text]),
  );
  const shop = createShop({ files: memoryFiles({ ...beside, [first]: was, [second]: is }) });
  const [one, two] = [await shop.analyse(first), await shop.analyse(second)] as [Analysis, Analysis];
  const { catalogue, house } = one.input;
  const [placesWas, placesIs] = [placesOf(one, '/shop'), placesOf(two, '/shop')];
  return {
    comparison: compareAmplifiers(one.amplifier, two.amplifier, { catalogue, house }, englishShop),
    places: { ...placesWas, snapshot: (uri) => placesWas.snapshot(uri) ?? placesIs.snapshot(uri) },
  };
}

const told = ({ comparison }: Two): readonly string[] =>
  comparison.parts
    .filter(({ verdict }) => verdict !== 'same')
    .map((part) =>
      [
        part.stop,
        part.verdict,
        sayRefs(part),
        part.differences.map((each) => sayDifference(each, englishShop)).join('; '),
      ]
        .filter((word) => word !== '')
        .join(' ')
        .replaceAll('\u00a0', ' '),
    );
const ofRef = ({ comparison }: Two, ref: string) => comparison.parts.find((part) => refOf(part) === ref);

describe('a sheet against itself', () => {
  it('is the same, part by part', async () => {
    expect(told(await compare(LARCH, LARCH))).toEqual([]);
  });
});

describe('a renumbered board', () => {
  it('is no other board: every part is found under its new ref', async () => {
    const { comparison } = await compare(LARCH, RENUMBERED);
    const verdicts = new Set(comparison.parts.map(({ verdict }) => verdict));
    expect(verdicts).toEqual(new Set(['moved', 'same']));
    for (const { was, is } of comparison.parts) {
      const [, letter, n] = /^([RC])(\d+)$/.exec(was?.part.ref ?? '') ?? [];
      if (letter !== undefined) expect(is?.part.ref).toBe(`${letter}${Number(n) + 100}`);
    }
    expect(comparison.settled).toEqual([]);
    expect(comparison.otherRatings).toEqual([]);
  });

  it('shows what differs on it besides', async () => {
    const changed = RENUMBERED.replace('R119 = 330R 5W', 'R119 = 390R 5W')
      .replace('- C105 = 22uF 25V electrolytic, across R106\n', '')
      .replace('C103 = 22n 630V', 'C103 = 47n 630V');
    const two = await compare(LARCH, changed);
    expect(told(two).filter((line) => !line.includes(' moved '))).toEqual([
      'input changed C3 → C103 22 nF → 47 nF',
      'input removed C5',
      'output changed R19 → R119 330 Ω → 390 Ω',
    ]);
    expect(two.comparison.settled.map(({ subject }) => subject)).toContain('V3.k');
  });

  it('is found however the numbers fall', async () => {
    const refs = [...new Set([...LARCH.matchAll(/\b[RC]\d+\b/g)].map(([ref]) => ref))].filter(
      (ref) => !/^R\d+R$/.test(ref),
    );
    await fc.assert(
      fc.asyncProperty(fc.shuffledSubarray(refs, { minLength: refs.length }), async (shuffled) => {
        // Within a letter, any part may get any other's number.
        const names = new Map<string, string>();
        for (const letter of ['R', 'C']) {
          const own = refs.filter((ref) => ref.startsWith(letter));
          const theirs = shuffled.filter((ref) => ref.startsWith(letter));
          for (const [i, ref] of own.entries()) names.set(ref, theirs[i] ?? ref);
        }
        const other = LARCH.replace(/\b[RC]\d+\b/g, (ref) => names.get(ref) ?? ref);
        const { comparison } = await compare(LARCH, other);
        for (const { was, is, verdict } of comparison.parts) {
          expect(['moved', 'same']).toContain(verdict);
          expect(is?.part.value?.quantity.value).toBe(was?.part.value?.quantity.value);
          if (names.has(was?.part.ref ?? '')) expect(is?.part.ref).toBe(names.get(was?.part.ref ?? ''));
        }
      }),
      { numRuns: 6, seed: 20 },
    );
  });
});

describe('revisions that follow each other', () => {
  const next = (body: string) =>
    `---\nsheet: chassis\nmodel: Larch 20\nrevision: c\nfollows: one.tagstrip.md\n---\n# Larch 20, revision c\n\n${body}`;

  it('differ in what the later one writes', async () => {
    const two = await compare(
      LARCH,
      next('- R14 -> removed\n- R19: was R20\n- R20: was R19\n- C3 = 10n 630V film\n'),
    );
    expect(told(two)).toEqual([
      'input changed C3 22 nF → 10 nF',
      'output moved R20 → R19',
      'output moved R19 → R20',
      'feedback removed R14',
    ]);
    expect(ofRef(two, 'R20')?.by).toBe('carried');
  });

  it('bring along what was once written of the part, with its place', async () => {
    const two = await compare(
      LARCH,
      next('- R15 = 100k 1W\n\nSince the third unit {R15} is 100k. It made no difference.\n'),
    );
    const notes = ofRef(two, 'R15')?.notes ?? [];
    expect(notes.map(({ of, text }) => `${of}: ${text}`)).toEqual([
      'is: Since the third unit {R15} is 100k.',
    ]);
    expect(notes[0]?.source.file).toBe('file:///shop/two.tagstrip.md');
  });

  it('say which rating is new and which is cleared', async () => {
    const low = LARCH.replace(/(C12 *\| 47uF *\| )500V/, '$1300V');
    const cleared = await compare(low, next('- C12 = 47uF 500V electrolytic\n'));
    expect(ofRef(cleared, 'C12')?.ratings.map(({ how, finding }) => `${how} ${finding.rule}`)).toContainEqual(
      expect.stringContaining('cleared '),
    );
    const worse = await compare(LARCH, next('- C12 = 47uF 300V electrolytic\n'));
    expect(ofRef(worse, 'C12')?.ratings.every(({ how }) => how === 'new')).toBe(true);
    expect(ofRef(worse, 'C12')?.ratings.length).toBeGreaterThan(0);
  });
});

describe('a rectifier valve whose place diodes have taken', () => {
  const SILICON =
    '---\nsheet: chassis\nmodel: Larch 20\nrevision: c\nfollows: one.tagstrip.md\n---\n# c\n\n- V5 -> removed\n- D1, D2 = 1N4007, T1 to B+1\n';
  const moved = (two: Two, ref: string, figure: string, of: string): number => {
    const lines = ofRef(two, ref)?.effects.flatMap(({ direct }) => direct) ?? [];
    const line = lines.find((each) => each.figure === figure && each.subject === of);
    return (line?.after?.quantity.value ?? Number.NaN) - (line?.before?.quantity.value ?? Number.NaN);
  };

  it('is told in one go: what less drop makes of the rail and of the output valves', async () => {
    const two = await compare(LARCH, SILICON);
    expect(told(two)).toEqual(['supply added D1', 'supply added D2', 'supply removed V5']);
    const [solved] = two.comparison.settled.filter(({ subject }) => subject === 'B+1');
    const together = (solved?.is.quantity.value ?? 0) - (solved?.was.quantity.value ?? 0);
    expect(together).toBeGreaterThan(5);
    expect(moved(two, 'V5', 'expected', 'B+1')).toBeCloseTo(together, 6);
    expect(moved(two, 'V5', 'anode-dissipation', 'V3')).toBeGreaterThan(1);
    const text = comparisonText(two.comparison, two.places, { colour: false, width: 300 });
    expect(text).toContain('D1  added: 1N4007 (rectifier; in place of V5)');
    expect(text).toContain(
      'V5  removed: GZ34 (rectifier; D1, D2 in its place, and what that does is told here)',
    );
  });

  it('alone moves no volts that could be told: a rail that is read is none that is solved', async () => {
    const without = await compare(LARCH, SILICON.replace(/- D1.*\n/, ''));
    const effects = ofRef(without, 'V5')?.effects ?? [];
    expect(effects.flatMap(({ direct }) => direct).filter(({ figure }) => figure === 'expected')).toEqual([]);
    expect(
      effects.flatMap(({ direct }) => direct).filter(({ figure }) => figure === 'anode-dissipation'),
    ).toEqual([]);
  });

  it('has its heater, its reverse volts and its largest reservoir at rest, and none of them with signal', async () => {
    const two = await compare(LARCH, SILICON);
    const effects = [...(ofRef(two, 'V5')?.effects ?? []), ...(ofRef(two, 'D1')?.effects ?? [])];
    const [direct, signal] = [
      effects.flatMap(({ direct: lines }) => lines.map(({ figure }) => figure)),
      effects.flatMap(({ signal: lines }) => lines.map(({ figure }) => figure)),
    ];
    expect(direct).toEqual(expect.arrayContaining(['peak-inverse', 'reservoir-loading']));
    expect(signal).toEqual([]);
  });

  it('as JSON holds to its schema', async () => {
    const { comparison, places } = await compare(LARCH, SILICON);
    const json = JSON.parse(JSON.stringify(comparisonJson(comparison, places)));
    const schema = JSON.parse(
      readFileSync(new URL('../../grammar/json/compare.schema.json', import.meta.url), 'utf8'),
    );
    expect(schemaFaults(json, schema)).toEqual([]);
    const parts: readonly { readonly instead?: unknown }[] = json.compare.parts;
    expect(parts.flatMap(({ instead }) => (instead === undefined ? [] : [instead]))).toEqual([
      ['V5'],
      ['V5'],
      ['D1', 'D2'],
    ]);
  });
});

describe('two jobs at other mains', () => {
  const at = (mains: number, work = '') =>
    `---\njob: ${mains}\nchassis: larch.tagstrip.md\n---\n# One\n\n${work}## As left\n\nMains {mains: ${mains} V}, no signal.\n\n- B+1: ${(mains * 1.45).toFixed(0)} V\n`;
  const settled = async (was: string, is: string) =>
    (await compare(was, is, { 'larch.tagstrip.md': LARCH })).comparison.settled.map(({ subject }) => subject);

  it('do not differ by what the mains makes of their volts', async () => {
    expect(await settled(at(230), at(240))).toEqual([]);
    expect(await settled(at(230), at(240).replace('Mains {mains: 240 V}, no signal.\n', ''))).toEqual([]);
  });

  it('and do by their parts', async () => {
    const other = at(240, '## Work\n\n- R3 = 1k5 0.5W -> 820R 0.5W\n\n');
    const moved = await settled(at(230), other);
    expect(moved).toContain('V1A.k');
    expect(moved).not.toContain('V3.k');
  });
});

describe('a sheet that rests on one which cannot be read', () => {
  const LOST =
    '---\nsheet: chassis\nmodel: Lost\nfollows: gone.tagstrip.md\n---\n# Lost\n\n- R1 = 1M 0.5W, J1 to gnd\n';

  it.each([
    ['first', LOST, LARCH, 'what is told as added may stand there'],
    ['second', LARCH, LOST, 'what is told as removed may stand there'],
  ])('as the %s is said to be known in part', async (which, was, is, said) => {
    const { comparison, places } = await compare(was, is);
    const expected = `The ${which} rests on a sheet that cannot be read: ${said}.`;
    expect(comparisonText(comparison, places, { colour: false, width: 200 })).toContain(expected);
    expect(printMarkdown(comparisonDocument(comparison, [], englishSpeech))).toContain(`> ${expected}`);
    const json = JSON.parse(JSON.stringify(comparisonJson(comparison, places)));
    expect(json.compare[which === 'first' ? 'was' : 'is'].incomplete).toBe(true);
    const schema = JSON.parse(
      readFileSync(new URL('../../grammar/json/compare.schema.json', import.meta.url), 'utf8'),
    );
    expect(schemaFaults(json, schema)).toEqual([]);
  });

  it('and one that is whole is not', async () => {
    const { comparison, places } = await compare(LARCH, LARCH);
    expect(comparisonText(comparison, places, { colour: false, width: 200 })).not.toContain('cannot be read');
  });
});

describe('what a part is', () => {
  it.each([
    ['F1 = T1A', 'F1', 'T1A'],
    ['F1 = F1.6A', 'F1', 'F1.6A'],
    ['T1 = mains 290-0-290V 150mA 6.3V 4A', 'T1', 'mains 290-0-290 V 150 mA, 6.3 V 4 A'],
    ['T1 = mains 290V 150mA', 'T1', 'mains 290 V 150 mA'],
    ['R1 = 330R 5W wirewound', 'R1', '330 Ω 5 W wirewound'],
  ])('%s is told as marked', async (line, ref, said) => {
    const { comparison } = await compare(`# None\n`, `# One\n\n- ${line}\n`);
    const part = comparison.parts.find((each) => refOf(each) === ref)?.is?.part;
    expect(part && sayMarked(part, englishShop).replaceAll('\u00a0', ' ')).toBe(said);
  });

  it('a winding with a tap in its middle is not one without', async () => {
    const two = await compare('# One\n\n- T1 = mains 290-0-290V\n', '# Two\n\n- T1 = mains 290V\n');
    expect(told(two)).toEqual(['supply changed T1 windings 290-0-290 V → 290 V']);
  });
});

describe('what a rule says of one side', () => {
  const chart = (k: number, a: string) =>
    `---\nsheet: chassis\nmodel: Alder\n---\n# Alder\n\n- V3 = EL84\n- R1 = 130R 5W, V3.k to gnd\n\n{mains: 230 V}\n\n- B+1: 318 V\n- V3: ${a}k ${k}\n`;

  const overVoltage = ({ comparison }: Two) =>
    comparison.otherRatings.flatMap(({ how, isOtherUnread = false, finding }) =>
      finding.rule === 'anode-over-voltage' ? [[how, isOtherUnread]] : [],
    );

  it('is cleared by a reading of the other only', async () => {
    const read = await compare(chart(10.6, 'a 313, '), chart(10.6, 'a 290, '));
    expect(overVoltage(read)).toEqual([['cleared', false]]);
    const unread = await compare(chart(10.6, 'a 313, '), chart(10.6, ''));
    expect(overVoltage(unread)).toEqual([['cleared', true]]);
    expect(comparisonText(unread.comparison, unread.places, { colour: false, width: 300 })).toContain(
      'warning in the first, and not read in the second: V3:',
    );
    expect(overVoltage(await compare(chart(10.6, ''), chart(10.6, 'a 313, ')))).toEqual([['new', true]]);
  });
});

describe('a chassis sheet and a job on it', () => {
  const JOB =
    '---\njob: 7\nchassis: one.tagstrip.md\n---\n# The loud one\n\n## Work\n\n- R19 = 330R 5W wirewound -> 390R 5W wirewound\n- V1 -> 12AT7\n\n{R19} ran hot.\n\n## As left\n\n- R4: not seen\n';

  it('differ in what was done', async () => {
    const two = await compare(LARCH, JOB);
    expect(told(two)).toEqual(['input changed V1 12AX7 → 12AT7', 'output changed R19 330 Ω → 390 Ω']);
    expect(ofRef(two, 'R19')?.notes.map(({ text }) => text)).toEqual(['{R19} ran hot.']);
    expect(ofRef(two, 'R4')?.is?.seen?.says).toBe('not-seen');
  });

  it('tell direct current apart from the signal, and what was held', async () => {
    const [effect] = ofRef(await compare(LARCH, JOB), 'R19')?.effects ?? [];
    expect(effect?.direct.some(({ figure }) => figure === 'anode-dissipation')).toBe(true);
    expect(effect?.direct.some(({ figure }) => figure.startsWith('shelf'))).toBe(false);
    expect(effect?.signal.some(({ figure }) => figure.startsWith('shelf'))).toBe(true);
    expect(effect?.held.map(({ kind }) => kind)).toContain('average-valves');
  });
});

describe('what is told', () => {
  const HOSTILE = '\n{R15} is <b>82k</b> | [x](http://example.org) @someone `R15`.\n';
  const changed = () =>
    compare(
      LARCH,
      `${LARCH.replace('R15 = 82k 1W', 'R15 = 100k 1W').replace('C2 = 22uF 25V', 'C2 = 680n 50V')}${HOSTILE}`,
    );

  it('in the terminal goes stop by stop', async () => {
    const { comparison, places } = await changed();
    const text = comparisonText(comparison, places, { colour: false, width: 100 }).replaceAll('\u00a0', ' ');
    expect(text).toContain('Larch 20, revision b against Larch 20, revision b');
    expect(text).toContain('Phase splitter\n  R15  changed: 82 kΩ → 100 kΩ (anode load of V2A)');
    expect(text).toContain('with signal: shelf 4.82 to 9.59');
    expect(text).toContain('note, two.tagstrip.md line 112: {R15} is <b>82k</b>');
    expect(text).toContain('2 changed, 47 the same.');
    expect(text).toContain('V2A.a 194 → 183 V');
    expect(text.split('\n').filter((line) => line.length > 101)).toEqual([]);
    for (let width = 60; width < 120; width++) {
      const narrow = comparisonText(comparison, places, { colour: false, width });
      expect(narrow.split('\n').filter((line) => /→\s*$|^\s*→/.test(line))).toEqual([]);
    }
  });

  it('as JSON holds to its schema, and every place is in its file', async () => {
    const { comparison, places } = await changed();
    const json = JSON.parse(JSON.stringify(comparisonJson(comparison, places)));
    const schema = JSON.parse(
      readFileSync(new URL('../../grammar/json/compare.schema.json', import.meta.url), 'utf8'),
    );
    expect(schemaFaults(json, schema)).toEqual([]);
    expect(schemaFaults({ ...json, tagstrip: 2 }, schema)).toEqual(['$.tagstrip is not 1']);
    expect(json.compare.parts).toHaveLength(49);
  });

  it('as Markdown and as a page lets nothing of a note act as markup', async () => {
    const { comparison } = await changed();
    const markdown = printMarkdown(comparisonDocument(comparison, [], englishSpeech));
    expect(markdown).toContain('**R15** changed: 82');
    expect(markdown).not.toContain('<b>');
    expect(markdown).not.toMatch(/(?<!\\)\]\(http/);
    const html = printHtml(comparisonDocument(comparison, [], englishSpeech));
    expect(html).not.toContain('<b>');
    expect(html).toContain('R15 is 82k');
    expect(html).not.toMatch(/<a href="http|<script/);
  });

  it('never calls anything safe', async () => {
    const { comparison, places } = await changed();
    const all = [
      comparisonText(comparison, places, { colour: false, width: 80 }),
      printMarkdown(comparisonDocument(comparison, [], englishSpeech)),
    ];
    expect(all.join('\n')).not.toMatch(/\bsafe/i);
  });
});

describe('sheets with nothing on them', () => {
  it.each(['', '# Nothing\n', '---\nsheet: chassis\n---\n'])(
    '%j is compared without a word',
    async (text) => {
      const { comparison, places } = await compare(text, LARCH);
      expect(comparison.parts.every(({ verdict }) => verdict === 'added')).toBe(true);
      expect(comparisonText(comparison, places, { colour: true, width: 80 })).not.toContain('undefined');
    },
  );
});
