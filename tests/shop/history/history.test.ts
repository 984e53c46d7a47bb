/** Return visits of one amplifier: which jobs are the same amplifier, what moved at equal mains, what was changed between. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { documentText } from '../../../server/cli/document-text.ts';
import { historyJson } from '../../../server/cli/history.ts';
import { mainsFactor } from '../../../server/shop/equal-mains.ts';
import { type Drift, findReturns, type HistoryList, visitFactsOf } from '../../../server/shop/history.ts';
import { englishShop } from '../../../server/shop/shop-words.ts';
import { historyDocument } from '../../../server/summary/history.ts';
import { printMarkdown } from '../../../server/summary/print-markdown.ts';
import { englishSpeech } from '../../../server/summary/speech.ts';
import { schemaFaults } from '../../support/json-schema.ts';
import { analyseJobs, plainSpaces } from '../../support/workshop.ts';

const CHASSIS = `---
sheet: chassis
model: Alder 15
revision: a
---
# Alder 15

- V1, V2 = 6V6GT
- R1 = 470R 5W wirewound, V1.k to gnd
- R2 = 470R 5W wirewound, V2.k to gnd
- C6 = 47uF 450V electrolytic, B+2 to gnd
`;

/** `fields` beside job and chassis; the body. */
const job = (number: number, fields: string, body: string) =>
  `---\njob: ${number}\nchassis: chassis.tagstrip.md\n${fields}\n---\n# Job ${number}\n\n${body}`;

const chart = (heading: string, mains: string, k: number, g2 = 290) =>
  `## ${heading}\n\n${mains}\n\n- B+1: ${g2 + 20} V, 10 Vpp\n- V1: a 300, g2 ${g2}, g 0.5, k ${k}\n- V2: a 300, g2 ${g2}, g 0.5, k 20\n\n`;

const THEN = job(
  1,
  'serial: 0042\nreceived: 2020-01-10\nreturned: 2020-01-20',
  `${chart('As found', 'Mains {mains: 230 V}', 25)}## Work\n\n- C6 = 47uF 450V -> 47uF 500V electrolytic\n\n${chart('As left', 'Mains {mains: 230 V}', 20)}`,
);
const NOW = job(
  2,
  'serial: 0042\nreceived: 2021-03-25',
  chart('As found', 'Mains {mains: 241.5 V}', 18.9, 304.5),
);

async function returnsOf(sheets: readonly string[], serial?: string): Promise<HistoryList> {
  const named = Object.fromEntries(sheets.map((text, i) => [`${i + 1}.tagstrip.md`, text]));
  const analyses = await analyseJobs({ ...named, 'chassis.tagstrip.md': CHASSIS });
  return findReturns(
    analyses.flatMap(
      ({ analysis }) =>
        visitFactsOf(analysis, (uri) => uri.slice(uri.lastIndexOf('/') + 1), englishShop) ?? [],
    ),
    serial,
  );
}

const sayDrift = ({ before, now, brought, share }: Drift) =>
  [before, now, brought].map((each) => (each === undefined ? '-' : each.value.toPrecision(4))).join(' ') +
  ` ${share === undefined ? '-' : share.toFixed(3)}`;

/** `B+1 DC 310.0 325.5 310.0 0.000`. */
const readingsIn = ({ amplifiers }: HistoryList) =>
  amplifiers[0]?.steps[0]?.readings.map((drift) => `${drift.at} ${drift.what} ${sayDrift(drift)}`);

describe('visits of one amplifier', () => {
  it.each([
    ['have one model and serial', [THEN, NOW], ['1 2']],
    ['whatever the order of the sheets', [NOW, THEN], ['1 2']],
    [
      'or one returns the other',
      [job(1, 'received: 2020-01-10', ''), job(2, 'received: 2021-01-10\nreturns: 1.tagstrip.md', '')],
      ['1 2'],
    ],
    [
      'as the serial is written, whatever its case',
      [job(1, 'serial: a7 b', ''), job(2, 'serial: A7  B', '')],
      ['1 2'],
    ],
    ['and a serial is no number', [job(1, 'serial: 042', ''), job(2, 'serial: 42', '')], []],
    [
      'and no serial is the serial of another model',
      [THEN, '---\njob: 2\nserial: 0042\nmodel: Rowan 30\n---\n# Job\n'],
      [],
    ],
    ['and a job without either is alone', [job(1, 'hours: 1', ''), job(2, 'hours: 1', '')], []],
  ])('%s', async (_, sheets, told) => {
    const { amplifiers } = await returnsOf(sheets);
    expect(amplifiers.map(({ visits }) => visits.map(({ visit }) => visit.job).join(' '))).toEqual(told);
  });

  it('are shown of one serial where that is asked for', async () => {
    const other = [job(3, 'serial: 7', ''), job(4, 'serial: 7', '')];
    expect((await returnsOf([THEN, NOW, ...other])).amplifiers).toHaveLength(2);
    expect((await returnsOf([THEN, NOW, ...other], '0042')).amplifiers.map(({ serial }) => serial)).toEqual([
      '0042',
    ]);
    expect((await returnsOf([THEN, NOW, ...other], '42')).amplifiers).toEqual([]);
  });
});

describe('the last readings against now', () => {
  it('are brought to the mains of then where they go with it', async () => {
    const list = await returnsOf([THEN, NOW]);
    expect(list.amplifiers[0]?.steps[0]).toMatchObject({
      months: 14,
      mains: 'brought',
      before: { phase: 'as-left', mains: 230 },
      now: { phase: 'as-found', mains: 241.5 },
    });
    expect(readingsIn(list)).toEqual([
      'B+1 DC 310.0 324.5 309.0 -0.003',
      'B+1 ripple, pp 10.00 10.00 - 0.000',
      'V1.a DC 300.0 300.0 285.7 -0.048',
      'V1.g2 DC 290.0 304.5 290.0 0.000',
      'V1.g DC 0.5000 0.5000 - 0.000',
      'V1.k DC 20.00 18.90 18.00 -0.100',
      'V2.a DC 300.0 300.0 285.7 -0.048',
      'V2.g2 DC 290.0 304.5 290.0 0.000',
      'V2.g DC 0.5000 0.5000 - 0.000',
      'V2.k DC 20.00 20.00 19.05 -0.048',
    ]);
  });

  it('tell the drift of each valve: current in proportion, watts by the square', async () => {
    const { amplifiers } = await returnsOf([THEN, NOW]);
    const [first] = amplifiers[0]?.steps[0]?.valves ?? [];
    expect(first).toMatchObject({ ref: 'V1', type: '6V6GT', isSelfBiased: true });
    const { current, dissipation, anode } = first?.figures ?? {};
    expect(current && sayDrift(current)).toBe('0.04255 0.04021 0.03830 -0.100');
    expect(anode && sayDrift(anode)).toBe('300.0 300.0 285.7 -0.048');
    const watts = dissipation?.brought?.value ?? Number.NaN;
    expect(watts / (dissipation?.now.value ?? Number.NaN)).toBeCloseTo((230 / 241.5) ** 2, 9);
  });

  it('stay as read where a mains is not written, and say so', async () => {
    const list = await returnsOf([THEN, job(2, 'serial: 0042', chart('As found', '', 18.9, 304.5))]);
    expect(list.amplifiers[0]?.steps[0]?.mains).toBe('not-written');
    expect(readingsIn(list)?.[0]).toBe('B+1 DC 310.0 324.5 - 0.047');
    const text = plainSpaces(
      documentText(historyDocument(list, englishSpeech), { colour: false, width: 200 }),
    );
    expect(text).toContain('The mains is not written now: compared as read');
  });

  it('stay as read where the mains is as good as equal', async () => {
    const list = await returnsOf([
      THEN,
      job(2, 'serial: 0042', chart('As found', 'Mains {mains: 231 V}', 20)),
    ]);
    expect(list.amplifiers[0]?.steps[0]?.mains).toBe('equal');
    expect(readingsIn(list)?.[0]).toBe('B+1 DC 310.0 310.0 - 0.000');
  });

  it('of a valve with fixed bias bring its anode only', async () => {
    const fixed = (n: number, mains: number) =>
      `---\njob: ${n}\nserial: 9\nmodel: Rowan\n---\n# Job\n\n## As found\n\nMains {mains: ${mains} V}\n\n- V1 6L6GC: a 440, g2 438, g -45, 35 mA\n`;
    const { amplifiers } = await returnsOf([fixed(1, 230), fixed(2, 240)]);
    const [valve] = amplifiers[0]?.steps[0]?.valves ?? [];
    expect(valve?.isSelfBiased).toBe(false);
    expect(valve?.figures.current?.brought).toBeUndefined();
    expect(valve?.figures.dissipation?.brought).toBeUndefined();
    expect(valve?.figures.anode?.brought?.value).toBeCloseTo((440 * 230) / 240, 6);
  });

  describe('of valves that share a cathode resistor', () => {
    const SHARED = `---
sheet: chassis
model: Alder 15
revision: b
---
# Alder 15

- V1, V2 = EL84
- R1 = 130R 5W wirewound, V1.k V2.k to gnd
- R2, R3 = 100R 0.5W, B+2 to V1.g2 V2.g2
- T2 = output 8k : 8R 15W, V1.a V2.a, ct B+1
- T2: 140R + 150R
`;
    const shared = (n: number, rail: number, k: number, g: number) =>
      job(
        n,
        `serial: 1\nreceived: 202${n}-01-01`,
        `## As found\n\nMains {mains: 230 V}\n\n- B+1: ${rail} V\n- B+2: 305 V\n- V1: a 313, g2 304, g ${g}, k ${k}\n- V2: a 313, g2 304, g 0, k ${k}\n`,
      );
    const list = async () => {
      const analyses = await analyseJobs({
        '1.tagstrip.md': shared(1, 317, 10.7, 0),
        '2.tagstrip.md': shared(2, 318, 8.6, 5.1),
        'chassis.tagstrip.md': SHARED,
      });
      return findReturns(
        analyses.flatMap(({ analysis }) => visitFactsOf(analysis, (uri) => uri, englishShop) ?? []),
      );
    };
    const rows = async () => {
      const document = historyDocument(await list(), englishSpeech);
      return plainSpaces(documentText(document, { colour: false, width: 200 }))
        .split('\n')
        .map((line) => line.trim().replace(/ {2,}/g, ' | '));
    };

    it('tell what they pass together', async () => {
      const text = await rows();
      expect(text).toContain(
        'V1,V2 EL84 | cathode current together, through R1 | 82.3 mA | 66.2 mA | −19.6 % !',
      );
    });

    it('and do not mark what one volt more at the rail makes of the drop over half a primary', async () => {
      const text = await rows();
      expect(text).toContain(
        'V1 EL84 | cathode current | 21.4 to 55.7 mA | 28.6 to 62.9 mA | within its band',
      );
      expect(text.filter((line) => line.includes('anode dissipation'))).toSatisfy((lines: string[]) =>
        lines.every((line) => line.endsWith('within its band')),
      );
    });

    it('mark a grid that came up from nothing by its volts', async () => {
      expect(await rows()).toContain('V1.g | DC | 0 V | 5.1 V | +5.1 V !');
    });

    it('as JSON that holds to its schema', async () => {
      const schema = JSON.parse(
        readFileSync(new URL('../../../grammar/json/history.schema.json', import.meta.url), 'utf8'),
      );
      const json = JSON.parse(JSON.stringify(historyJson(await list())));
      expect(schemaFaults(json, schema)).toEqual([]);
      expect(json.history.amplifiers[0].steps[0].valves[0].cathodeCurrent.withinBand).toBe(true);
      expect(json.history.amplifiers[0].steps[0].valves.at(-1)).toMatchObject({
        ref: 'V1,V2',
        through: 'R1',
        selfBiased: true,
      });
    });
  });

  it('never take readings behind a lamp', async () => {
    const list = await returnsOf([
      THEN,
      job(2, 'serial: 0042', '## As found\n\nlamp 60 W:\n\n- B+1: 200 V\n- V1.k: 9 V\n'),
    ]);
    expect(readingsIn(list)).toEqual([]);
  });

  it.each([
    [230, undefined],
    [undefined, 230],
    [0, 230],
    [230, Number.NaN],
    [230, 230.5],
  ])('%s V then and %s V now need no factor or give none', (then, now) => {
    expect(mainsFactor(then, now)).toBeUndefined();
  });
});

describe('between the visits', () => {
  it('is told what the first one changed, and what was found otherwise', async () => {
    const { amplifiers } = await returnsOf([
      THEN,
      job(
        2,
        'serial: 0042\nreceived: 2021-03-25',
        '## As found\n\n- C6 = 100uF 450V electrolytic\n- R1 = 390R 5W\n',
      ),
    ]);
    const step = amplifiers[0]?.steps[0];
    expect(step?.changed.map(({ says }) => plainSpaces(says))).toEqual([
      'C6 47 µF 450 V → 47 µF 500 V electrolytic',
    ]);
    expect(step?.otherwise.map(({ ref, left, found }) => plainSpaces(`${ref} ${left} → ${found}`))).toEqual([
      'C6 47 µF 500 V electrolytic → 100 µF 450 V electrolytic',
    ]);
  });

  it('is the same valve a year on without the word that it was new', async () => {
    const { amplifiers } = await returnsOf([
      job(
        1,
        'serial: 0042\nreceived: 2020-03-25\nreturned: 2020-03-26',
        '## As found\n\n- V4 = 12AX7\n- B+1: 300 V\n\n## Work\n\n- V4 -> 12AX7 new\n',
      ),
      job(2, 'serial: 0042\nreceived: 2021-03-25', '## As found\n\n- V4 = 12AX7\n- B+1: 300 V\n'),
    ]);
    expect(amplifiers[0]?.steps[0]?.otherwise).toEqual([]);
  });

  it('stand the readings on a part that nobody changed', async () => {
    const measured = (n: number, fields: string, says: string) => job(n, `serial: 0042\n${fields}`, says);
    const { amplifiers } = await returnsOf([
      measured(
        1,
        'received: 2020-01-01',
        '## As found\n\n- C6: 45uF (out of circuit)\n- R1: 471R (out of circuit)\n\n## Work\n\n- R1 = 470R 5W -> 470R 5W\n',
      ),
      measured(
        2,
        'received: 2021-01-01',
        '## As found\n\n- C6: 36uF (out of circuit)\n- R1: 470R (out of circuit)\n',
      ),
    ]);
    expect(amplifiers[0]?.steps[0]?.parts.map((drift) => `${drift.at} ${sayDrift(drift)}`)).toEqual([
      'C6 0.00004500 0.00003600 - -0.200',
    ]);
  });
});

describe('it is told', () => {
  const THIRD = job(3, 'serial: 0042\nreceived: 2022-05-01', chart('As found', 'Mains {mains: 230 V}', 17));

  it('in the terminal, with a mark at what has moved', async () => {
    const text = plainSpaces(
      documentText(historyDocument(await returnsOf([THEN, NOW, THIRD]), englishSpeech), {
        colour: false,
        width: 100,
      }),
    );
    expect(text).toContain('Alder 15, serial 0042');
    expect(text).toContain('Job 1 to job 2, 14 months later');
    expect(text).toContain('Mains 230 V then, 241.5 V now: direct volts of now are\n  brought to 230 V.');
    expect(text).toMatch(/V1 6V6GT {2}cathode current +42\.6 mA +40\.2 mA +38\.3 mA +−10\.0 % !/);
    expect(text).toContain(
      'Changed in job 1, before these readings: C6 47 µF 450 V → 47 µF 500 V electrolytic.',
    );
    expect(text).toMatch(/V1 +53\.2 mA +42\.6 mA +40\.2 mA +36\.2 mA/);
    expect(text).not.toMatch(/undefined|NaN|\bsafe/);
    expect(
      documentText(historyDocument(await returnsOf([THEN]), englishSpeech), { colour: true, width: 80 }),
    ).toContain('No amplifier came more than once');
  });

  it('what was changed after the last readings as between them and now', async () => {
    const unread = THEN.slice(0, THEN.indexOf('## As left'));
    const said = async (then: string) =>
      plainSpaces(
        documentText(historyDocument(await returnsOf([then, NOW]), englishSpeech), {
          colour: false,
          width: 200,
        }),
      );
    expect(await said(unread)).toContain(
      'Changed in job 1, between these readings, so what moved may come of it: C6 47 µF 450 V',
    );
    expect(await said(THEN)).toContain('Changed in job 1, before these readings: C6 47 µF 450 V');
  });

  it('as Markdown', async () => {
    const hostile = NOW.replace('serial: 0042', 'serial: "0042"').replace('# Job 2', '# <b>Job</b>');
    const text = printMarkdown(historyDocument(await returnsOf([THEN, hostile]), englishSpeech));
    expect(text).toContain('| **V1 6V6GT** | cathode current |');
    expect(text).not.toContain('<b>');
  });

  it('as JSON that holds to its schema', async () => {
    const schema = JSON.parse(
      readFileSync(new URL('../../../grammar/json/history.schema.json', import.meta.url), 'utf8'),
    );
    const json = JSON.parse(JSON.stringify(historyJson(await returnsOf([THEN, NOW, THIRD]))));
    expect(schemaFaults(json, schema)).toEqual([]);
    expect(json.history.amplifiers[0].steps).toHaveLength(2);
  });
});
