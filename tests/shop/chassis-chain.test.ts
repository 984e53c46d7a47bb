/** Chassis sheets that follow each other: what a job on the last one knows, where it says that it stands, and what goes wrong. */
import { describe, expect, it } from 'vitest';
import { expectedFigures } from '../../server/bench/expected.ts';
import type { PhaseView } from '../../server/bench/model.ts';
import { placesOf } from '../../server/cli/desk.ts';
import { figureJson } from '../../server/cli/json.ts';
import { definition } from '../../server/features/definition.ts';
import { hover } from '../../server/features/hover.ts';
import type { Rule } from '../../server/rules/rule.ts';
import { check } from '../../server/rules/run.ts';
import { sheetMissing } from '../../server/rules/sheet-missing.ts';
import { memoryFiles } from '../../server/shop/files.ts';
import { type Analysis, createShop, sheetsOf } from '../../server/shop/shop.ts';

const at = (name: string) => `file:///shop/chassis/alder-15.${name}.tagstrip.md`;
const JOB = 'file:///shop/jobs/7.tagstrip.md';

const A = `---
sheet: chassis
model: Alder 15
revision: a
mains: 230 V 50 Hz
---
# Alder 15, revision a

- T1 = mains 270-0-270V 150mA 6.3V 3A 5V 2A
- V5 = GZ34, T1 to B+1
- C11 = 32uF 500V electrolytic, B+1 to gnd
- R23 = 10k 2W, B+1 to B+2
- C12 = 16uF 500V electrolytic, B+2 to gnd
- V1A = 12AX7, a R4 B+2, k R3 C2, g R1
- R1 = 1M
- R3 = 1k5
- R4 = 100k
- C2 = 25uF 25V electrolytic
- C3 = 22n 400V paper, V1A.a to V3.g
- V3 = 6V6GT, k R19, g R17, g2 B+2
- R17 = 470k 0.5W, V3.g to gnd
- R19 = 470R 3W wirewound, V3.k to gnd
- C15 = 25uF 50V electrolytic, across R19
- C19 = 4n7 600V, V3.a to gnd
- T2 = output 5k : 8R 8W, V3.a to B+1, LS1 on 8R

Mains {mains: 230 V}, dummy load.

| Valve | a   | g2  | k    |
| ----- | --- | --- | ---- |
| V1A   | 150 |     | 1.2  |
| V3    | 288 | 240 | 17.5 |

- B+1: 300 V
- B+2: 240 V
`;

/** Writes only what differs, under its heading and beside it. */
const B = `---
sheet: chassis
model: Alder 15
revision: b
follows: alder-15.a.tagstrip.md
---
# Alder 15, revision b

- C19 -> removed
- C3 = 22n 630V film

## Differs from revision a

| Ref | Was      | Now           |
| --- | -------- | ------------- |
| R19 | 470R 3W  | 390R 5W wirewound |
| C11 | 32uF 500V | 47uF 500V electrolytic |
`;

/** A new board: the same parts under other names; R4 was R3's neighbour and now is R3. */
const C = `---
sheet: chassis
model: Alder 15
revision: c
follows: alder-15.b.tagstrip.md
---
# Alder 15, revision c

- R103: was R3
- R3: was R4
- R119: was R19
- V2: was V3
- C103: was C3
- R119 = 360R

Mains {mains: 240 V}.

- B+1: 318 V
- V2: k 18.8
`;

const JOB_ON = (name: string, body = '') =>
  `---\nchassis: ../chassis/alder-15.${name}.tagstrip.md\n---\n# Job\n\n## As found\n\n${body}`;

const SHEETS = { [at('a')]: A, [at('b')]: B, [at('c')]: C };

async function analyse(uri: string, files: Readonly<Record<string, string>>): Promise<Analysis> {
  const analysis = await createShop({ files: memoryFiles(files) }).analyse(uri);
  if (analysis === undefined) throw new Error(`${uri} is not there`);
  return analysis;
}

const factory = ({ amplifier }: Analysis): PhaseView => {
  const view = amplifier.phases.find(({ phase }) => phase === 'factory');
  if (view === undefined) throw new Error('nothing is under it');
  return view;
};

const part = (view: PhaseView, ref: string): string => {
  const found = view.parts.get(ref);
  if (found === undefined) return 'not there';
  const { value, ratings, kinds, terminals } = found;
  const written = value === undefined ? '' : String(Number(value.quantity.value.toPrecision(6)));
  const rated = [ratings.voltage, ratings.power].flatMap((each) => each?.quantity.value ?? []);
  return [written, ...rated, ...kinds, 'at', ...new Set(terminals.values())].join(' ').trim();
};

const said = ({ findings }: Analysis) => findings.map(({ rule, subject }) => `${rule} ${subject}`);
const missing = (analysis: Analysis) => said(analysis).filter((line) => line.startsWith('sheet-missing'));

describe('a revision that follows another', () => {
  it('inherits everything that it does not write', async () => {
    const view = factory(await analyse(at('b'), SHEETS));
    expect(part(view, 'R17')).toBe('470000 0.5 at V3.g gnd');
    expect(part(view, 'R4')).toBe('100000 at V1A.a B+2');
  });

  it('overrides values and keeps where the part sits', async () => {
    const view = factory(await analyse(at('b'), SHEETS));
    expect(part(view, 'C3')).toBe('2.2e-8 630 film at V1A.a V3.g');
  });

  it('has what it lists under “Differs from”, and not what others have', async () => {
    const view = factory(await analyse(at('b'), SHEETS));
    expect(part(view, 'R19')).toBe('390 5 wirewound at V3.k gnd');
    expect(part(view, 'C11')).toBe('0.000047 500 electrolytic at B+1 gnd');
    const others = { ...SHEETS, [at('b')]: B.replace('Differs from revision a', 'Differs in revision c') };
    expect(part(factory(await analyse(at('b'), others)), 'R19')).toBe('470 3 wirewound at V3.k gnd');
  });

  it('is without what it removed', async () => {
    expect(part(factory(await analyse(at('a'), SHEETS)), 'C19')).toBe('4.7e-9 600 at V3.a gnd');
    expect(part(factory(await analyse(at('b'), SHEETS)), 'C19')).toBe('not there');
    expect(part(factory(await analyse(at('c'), SHEETS)), 'C19')).toBe('not there');
  });

  it('loses every section of a can or a valve that it removes', async () => {
    const files = {
      [at('a')]:
        '---\nsheet: chassis\n---\n- C1 = 32+32uF 450V, B+1 B+2 to gnd\n- V1 = 12AX7\n- V1A: k 1.2\n',
      [at('b')]:
        '---\nsheet: chassis\nfollows: alder-15.a.tagstrip.md\n---\n- C1 -> removed\n- V1 -> removed\n',
    };
    expect([...factory(await analyse(at('b'), files)).parts.keys()]).toEqual([]);
  });
});

describe('a renumbered board', () => {
  it('takes the part over under its new name, wherever it was named', async () => {
    const view = factory(await analyse(at('c'), SHEETS));
    // 360 Ω of revision c, in place of b’s 390 Ω, where a put its 470 Ω: `=` says all that is marked.
    expect(part(view, 'R119')).toBe('360 at V2.k gnd');
    expect(part(view, 'C103')).toBe('2.2e-8 630 film at V1A.a V2.g');
    expect(part(view, 'C15')).toBe('0.000025 50 electrolytic at V2.k gnd');
    expect(part(view, 'R103')).toBe('1500 at V1A.k gnd');
  });

  it('gives a name to another part and has the old names no more', async () => {
    const view = factory(await analyse(at('c'), SHEETS));
    expect(part(view, 'R3')).toBe('100000 at V1A.a B+2');
    for (const old of ['R4', 'R19', 'V3', 'C3']) expect(part(view, old)).toBe('not there');
    expect(view.circuit.nodes.filter((node) => node.startsWith('V3'))).toEqual([]);
  });

  it('exchanges two names', async () => {
    const files = {
      [at('a')]: '---\nsheet: chassis\n---\n- R4 = 100k, V1A.a to B+1\n- R5 = 1k5, V1A.k to gnd\n',
      [at('b')]: '---\nsheet: chassis\nfollows: alder-15.a.tagstrip.md\n---\n- R4: was R5\n- R5: was R4\n',
    };
    const view = factory(await analyse(at('b'), files));
    expect(part(view, 'R4')).toBe('1500 at V1A.k gnd');
    expect(part(view, 'R5')).toBe('100000 at V1A.a B+1');
  });

  it('takes the place of a part that is not said to be anywhere', async () => {
    const files = {
      [at('a')]: '---\nsheet: chassis\n---\n- R4 = 100k, V1A.a to B+1\n- R5 = 1k5, V1A.k to gnd\n',
      [at('b')]: '---\nsheet: chassis\nfollows: alder-15.a.tagstrip.md\n---\n- R4: was R5\n',
    };
    const view = factory(await analyse(at('b'), files));
    expect([...view.parts.keys()]).toEqual(['R4']);
    expect(part(view, 'R4')).toBe('1500 at V1A.k gnd');
  });

  it('of one unit is said in its job', async () => {
    const body = '- R44: was R19\n- R44: 520R\n';
    const view = factory(await analyse(JOB, { ...SHEETS, [JOB]: JOB_ON('a', body) }));
    expect(part(view, 'R44')).toBe('470 3 wirewound at V3.k gnd');
    expect(part(view, 'R19')).toBe('not there');
  });
});

describe('what was looked at', () => {
  it('is the last word on each part', async () => {
    const files = {
      [at('a')]: '---\nsheet: chassis\n---\n- R4 = 100k\n- R5 = 1k\n- R4, R5: as drawn\n',
      [JOB]: JOB_ON('a', '- R5: not seen\n'),
    };
    const { amplifier } = await analyse(JOB, files);
    expect([...amplifier.seen].map(([ref, { says, source }]) => `${ref} ${says} ${source.file}`)).toEqual([
      `R4 as-drawn ${at('a')}`,
      `R5 not-seen ${JOB}`,
    ]);
  });
});

describe('the chart', () => {
  const chart = (view: PhaseView) =>
    view.nominals
      .filter(({ quantity }) => quantity === 'voltage')
      .map(({ node, value, set, source }) => {
        const from = source.file.split('.').at(-3);
        return `${node} ${value.quantity.value} at ${set.mains?.value ?? 'unsaid'} from ${from}`;
      })
      .sort();

  it('is inherited point by point, each at its own mains', async () => {
    expect(chart(factory(await analyse(at('c'), SHEETS)))).toEqual([
      'B+1 318 at 240 from c',
      'B+2 240 at 230 from a',
      'B+2 240 at 230 from a',
      'V1A.a 150 at 230 from a',
      'V1A.k 1.2 at 230 from a',
      'V2.a 288 at 230 from a',
      'V2.k 18.8 at 240 from c',
    ]);
  });

  it('goes on where the mains is the same, so that a figure may use both', async () => {
    const files = {
      [at('a')]: A,
      [at('b')]: B.replace('- C19', '- V3: k 20 V\n\nMains {mains: 230 V}.\n\n- V3: k 20 V\n- C19'),
    };
    const view = factory(await analyse(at('b'), files));
    const current = view.figures.find(
      ({ subject, figure }) => subject === 'V3' && figure === 'anode-dissipation',
    );
    expect(current?.inputs.length).toBeGreaterThan(0);
    expect(new Set(view.readings.map(({ set }) => set.id)).size).toBeLessThanOrEqual(2);
  });

  it('of an older circuit makes no figure of a newer one, though it stays what should be there', async () => {
    // 17.5 V over 470 Ω was 37 mA; over revision b's 390 Ω nobody has read anything.
    const b = factory(await analyse(at('b'), SHEETS));
    const current = (view: PhaseView, ref: string) =>
      view.figures.find(({ subject, figure }) => subject === ref && figure === 'cathode-current');
    expect(current(factory(await analyse(at('a'), SHEETS)), 'V3')?.quantity.value).toBeCloseTo(17.5 / 470, 6);
    expect(current(b, 'V3')).toBeUndefined();
    expect(b.nominals.some(({ node }) => node === 'V3.k')).toBe(true);
    // R3 is the same in both, and so is what it shows.
    expect(current(b, 'V1A')?.quantity.value).toBeCloseTo(1.2 / 1500, 6);
    expect(said(await analyse(at('b'), SHEETS))).not.toContainEqual(
      expect.stringContaining('over-dissipation'),
    );
  });

  it('never gives two sheets’ sets one number', async () => {
    const view = factory(await analyse(at('c'), SHEETS));
    const bySet = new Map<number, Set<string>>();
    for (const { set, source } of view.readings)
      bySet.set(set.id, (bySet.get(set.id) ?? new Set()).add(source.file));
    expect([...bySet.values()].map((files) => [...files])).toEqual([[at('a')], [at('c')]]);
  });

  it('is corrected to the mains of its own line in a job', async () => {
    // B+2 is a's 240 V at 230 V: at 207 V it should be 216 V. B+1 is c's 318 V at 240 V: 274 V.
    const body = 'Mains {mains: 207 V}.\n\n- B+1: 274 V\n- B+2: 216 V\n';
    expect(said(await analyse(JOB, { ...SHEETS, [JOB]: JOB_ON('c', body) }))).not.toContainEqual(
      expect.stringContaining('off-nominal'),
    );
    const high = body.replace('274', '360').replace('216', '284');
    expect(said(await analyse(JOB, { ...SHEETS, [JOB]: JOB_ON('c', high) }))).toContainEqual(
      expect.stringContaining('off-nominal B+'),
    );
  });
});

describe('expected volts', () => {
  it('come from the parts of all revisions where no chart gives them', async () => {
    const noChart = A.slice(0, A.indexOf('Mains {mains'));
    const { amplifier } = await analyse(at('b'), { [at('a')]: noChart, [at('b')]: B });
    const [view] = amplifier.phases;
    const expected = view === undefined ? [] : expectedFigures(view, amplifier);
    const volts = (subject: string) => expected.find((each) => each.subject === subject)?.quantity.value;
    expect(volts('B+1')).toBeGreaterThan(280);
    expect(volts('V3.k')).toBeGreaterThan(12);
    // 390 Ω in place of 470 Ω lets more current through and raises less.
    const first = await analyse(at('a'), { [at('a')]: noChart });
    const [viewOfA] = first.amplifier.phases;
    const before = viewOfA === undefined ? [] : expectedFigures(viewOfA, first.amplifier);
    expect(volts('V3.k')).toBeLessThan(before.find(({ subject }) => subject === 'V3.k')?.quantity.value ?? 0);
    expect(volts('V3')).toBeGreaterThan(before.find(({ subject }) => subject === 'V3')?.quantity.value ?? 1);
  });
});

describe('places', () => {
  const files = { ...SHEETS, [JOB]: JOB_ON('c', 'So {R17} and {R119} and {C103}.\n\n- V2: k 19\n') };

  it('of a part are in the sheet that writes it', async () => {
    const analysis = await analyse(JOB, files);
    const { text } = analysis.sheet.snapshot;
    const go = (name: string) =>
      definition(analysis, text.indexOf(name)).map(({ file, span }) => {
        const sheet = sheetsOf(analysis).find(({ uri }) => uri === file);
        return `${file.split('.').at(-3)} ${sheet?.snapshot.text.slice(span.start, span.end)}`;
      });
    expect(go('R17}')).toEqual(['a R17']);
    expect(go('R119}')).toEqual(['c R119']);
    expect(hover(analysis, text.indexOf('R17}'))?.headline).toContain('grid leak');
  });

  it('of every figure and its inputs can be looked up', async () => {
    const analysis = await analyse(JOB, files);
    const places = placesOf(analysis, '/shop');
    const figures = analysis.amplifier.phases.flatMap((view) => [
      ...view.figures,
      ...expectedFigures(view, analysis.amplifier),
    ]);
    const json = figures.map((figure) => figureJson(figure, places));
    const inherited = json.filter((each) => 'from' in each && String(each.file).includes('.c.'));
    expect(inherited.length).toBeGreaterThan(0);
    const line = (each: Record<string, unknown>) => (each.range as { start: { line: number } }).start.line;
    // The line that names the revision before.
    expect(new Set(inherited.map(line))).toEqual(new Set([4]));
    expect(inherited.map(({ from }) => (from as { file: string }).file)).toContain(
      'chassis/alder-15.a.tagstrip.md',
    );
  });

  it('of a finding are in the sheet that is checked: what a revision makes of an old part is said at its own line', async () => {
    const rule: Rule = {
      ...sheetMissing,
      id: 'too-old',
      category: 'ratings',
      check({ amplifier }) {
        const old = amplifier.phases[0]?.parts.get('C12');
        return old === undefined
          ? []
          : [{ severity: 'warning', subject: old.ref, message: 'Too old.', source: old.source }];
      },
    };
    const { input, sheet } = await analyse(at('b'), SHEETS);
    const [finding, ...others] = check({ ...input, rules: [rule], chassisFindings: [] });
    expect(others).toEqual([]);
    expect(finding?.file).toBe(at('b'));
    const { start, end } = finding?.source.span ?? { start: 0, end: 0 };
    expect(sheet.snapshot.text.slice(start, end)).toBe('alder-15.a.tagstrip.md');
    expect(finding?.related?.map(({ source }) => source.file)).toEqual([at('a')]);
    // What the revision before says by itself is said there.
    const before = await analyse(at('a'), SHEETS);
    const said = check({ ...before.input, rules: [rule], isEverywhere: true });
    expect(said).toHaveLength(1);
    expect(check({ ...input, rules: [rule], chassisFindings: said })).toEqual([]);
  });

  it('says in a job nothing that its chassis sheet says of a part of an older revision', async () => {
    const hot = { ...SHEETS, [at('a')]: A.replace('B+1: 300 V', 'B+1: 540 V'), [JOB]: JOB_ON('b') };
    expect(said(await analyse(at('a'), hot))).toContain('over-voltage C11');
    expect(said(await analyse(JOB, hot))).not.toContain('over-voltage C11');
  });
});

describe('a chain that is broken', () => {
  it('is said once, at the line that names the missing sheet', async () => {
    const files = { [at('b')]: B, [at('c')]: C, [JOB]: JOB_ON('c') };
    expect(missing(await analyse(at('b'), files))).toEqual(['sheet-missing alder-15.a.tagstrip.md']);
    expect(missing(await analyse(at('c'), files))).toEqual([]);
    expect(missing(await analyse(JOB, files))).toEqual([]);
    expect(part(factory(await analyse(JOB, files)), 'R119')).toBe('360 at');
  });

  it('is said of a ring in each sheet of it, and nowhere else', async () => {
    const files = {
      [at('a')]: A.replace('revision: a', 'revision: a\nfollows: alder-15.b.tagstrip.md'),
      [at('b')]: B,
      [at('c')]: C,
      [JOB]: JOB_ON('b'),
    };
    const { findings } = await analyse(at('a'), files);
    const [ring] = findings.filter(({ rule }) => rule === 'sheet-missing');
    expect(ring?.message).toContain(
      'leads round to this sheet again (alder-15.a.tagstrip.md, then alder-15.b.tagstrip.md, then alder-15.a.tagstrip.md)',
    );
    expect(missing(await analyse(at('b'), files))).toHaveLength(1);
    expect(missing(await analyse(at('c'), files))).toEqual([]);
    expect(missing(await analyse(JOB, files))).toEqual([]);
    expect(part(factory(await analyse(JOB, files)), 'R19')).toBe('390 5 wirewound at V3.k gnd');
  });

  it.each([
    ['alder-15.a.tagstrip.md', 'is this sheet itself'],
    ['https://example.org/a.tagstrip.md', 'is not a path to a sheet beside this one'],
    ['../jobs/7.tagstrip.md', 'is no chassis sheet'],
  ])('says what is wrong with %s', async (path, because) => {
    const files = { [at('a')]: `---\nsheet: chassis\nfollows: ${path}\n---\n- R1 = 1M\n`, [JOB]: '# Job\n' };
    const { findings } = await analyse(at('a'), files);
    expect(findings.map(({ message }) => message)).toEqual([expect.stringContaining(because)]);
  });
});

describe('a long chain', () => {
  const revision = (i: number) =>
    `---\nsheet: chassis\n${i === 0 ? '' : `follows: alder-15.${i - 1}.tagstrip.md\n`}---\n- R${i + 1} = ${i + 1}k\n- R50: was R49\n- R99 = ${100 + i}k, V1A.a to B+1\n`;
  const chain = Object.fromEntries(Array.from({ length: 20 }, (_, i) => [at(String(i)), revision(i)]));

  it('is read once through', async () => {
    const files = memoryFiles({ ...chain, [JOB]: JOB_ON('19') });
    const shop = createShop({ files });
    const analysis = await shop.analyse(JOB);
    expect(analysis?.follows.map(({ uri }) => uri)).toEqual(
      Array.from({ length: 19 }, (_, i) => at(String(i))),
    );
    expect(analysis && part(factory(analysis), 'R99')).toBe('119000 at V1A.a B+1');
    expect(analysis && [...factory(analysis).parts.keys()].length).toBe(21);
    // The job, twenty revisions, and a shop sheet looked for in three folders.
    expect(files.reads()).toBeLessThanOrEqual(24);
  });

  it('tells the job when the oldest changes', async () => {
    const shop = createShop({ files: memoryFiles({ ...chain, [JOB]: JOB_ON('19') }) });
    const first = await shop.analyse(JOB);
    expect(await shop.analyse(JOB)).toBe(first);
    expect(shop.dependents(at('0'))).toContain(JOB);
    shop.store.setOpen(at('0'), revision(0).replace('R1 = 1k', 'R1 = 7k'), 1);
    const second = await shop.analyse(JOB);
    expect(second).not.toBe(first);
    expect(second && part(factory(second), 'R1')).toBe('7000 at');
  });
});
