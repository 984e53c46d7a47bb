/** What many jobs make of their failures together: counts against visits, what came back, what is like what, and how it is told. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { documentText } from '../../../server/cli/document-text.ts';
import { likenessJson, repeatsJson } from '../../../server/cli/repeats-json.ts';
import { failuresOf, type JobFacts } from '../../../server/shop/failures.ts';
import { findLike } from '../../../server/shop/likeness.ts';
import { countRepeats, type Repeats } from '../../../server/shop/repeats.ts';
import { englishShop } from '../../../server/shop/shop-words.ts';
import { printMarkdown } from '../../../server/summary/print-markdown.ts';
import { likenessDocument, repeatsDocument } from '../../../server/summary/repeats.ts';
import { englishSpeech } from '../../../server/summary/speech.ts';
import { schemaFaults } from '../../support/json-schema.ts';
import { analyseJobs, plainSpaces } from '../../support/workshop.ts';

const chassis = (revision: string, more: string) =>
  `---\nsheet: chassis\nmodel: Alder 15\nrevision: ${revision}\nmade: 1964\n---\n# Alder 15\n\n${more}`;

const A = chassis(
  'a',
  '- V1 = 6V6GT\n- V4 = GZ34, T1 to B+1\n- T1 = mains 290-0-290V 150mA\n- C5 = 47uF 450V electrolytic, B+1 to gnd\n- C1 = 22n 400V paper, V3A.a to V1.g\n- V3A = 12AX7\n- R3 = 220k, V1.g to gnd\n',
);
/** The same with its reservoir numbered C9. */
const B = chassis('b', A.slice(A.indexOf('# Alder')).replace('# Alder 15\n\n', '').replace('C5', 'C9'));

interface Job {
  readonly on: 'a' | 'b';
  readonly serial?: string;
  readonly received: string;
  readonly returned?: string;
  readonly says: string;
}

function sheetsOf(jobs: Readonly<Record<string, Job>>): Readonly<Record<string, string>> {
  const sheets = Object.entries(jobs).map(([job, { on, serial, received, returned, says }]) => {
    const fields = [
      `job: ${job}`,
      `chassis: ${on}.tagstrip.md`,
      ...(serial === undefined ? [] : [`serial: ${serial}`]),
      `received: ${received}`,
      ...(returned === undefined ? [] : [`returned: ${returned}`]),
    ];
    return [`${job}.tagstrip.md`, `---\n${fields.join('\n')}\n---\n# Job ${job}\n\n${says}`] as const;
  });
  return { ...Object.fromEntries(sheets), 'a.tagstrip.md': A, 'b.tagstrip.md': B };
}

async function factsOf(jobs: Readonly<Record<string, Job>>): Promise<readonly JobFacts[]> {
  const analyses = await analyseJobs(sheetsOf(jobs));
  return analyses.flatMap(({ analysis, path }) => failuresOf(analysis, path, englishShop) ?? []);
}

function count(facts: readonly JobFacts[]): Repeats {
  const counter = countRepeats();
  for (const each of facts) counter.add(each);
  return counter.result();
}

const DRY = (ref: string) => `## Complaint\n\nHums.\n\n## As found\n\n- ${ref}: 6uF (out of circuit)\n`;
const FINE = '## As found\n\n- earth to chassis: 0.1R\n';
const LEAKY =
  '## Complaint\n\nOne valve glows, and it crackles.\n\n## As found\n\n- V1: a 300, g +9, k 24\n- C1 lifted: V1.g: 0 V\n';

const JOBS: Readonly<Record<string, Job>> = {
  101: { on: 'a', serial: '0007', received: '2020-01-10', returned: '2020-01-20', says: DRY('C5') },
  102: { on: 'a', received: '2020-03-01', says: FINE },
  103: { on: 'b', received: '2020-05-01', says: DRY('C9') },
  104: { on: 'b', received: '2020-06-01', says: LEAKY },
  105: { on: 'a', serial: '0007', received: '2020-09-25', says: DRY('C5') },
};

/** `place Alder 15: reservoir at B+1 3/5`. */
const told = ({ groups }: Repeats) =>
  groups.map(({ dimension, group, failed, exposed }) =>
    `${dimension} ${group} ${failed}/${exposed}`.replaceAll('\u00a0', ' '),
  );

describe('the age of a part that went out', () => {
  const ageOf = async (change: string) => {
    const says = `${DRY('C5')}\n## Work\n\n- ${change}\n`;
    const counted = count(await factsOf({ 1: { on: 'a', received: '2024-01-10', says } }));
    return told(counted)
      .filter((line) => line.startsWith('age ') && line.includes(' 1/'))
      .map((line) => line.replace(/^age (.*) 1\/1$/, '$1'));
  };

  it.each([
    ['is that of the amplifier', 'C5 -> 47uF 500V', ['capacitors 40 years old or more']],
    [
      'also where the line says again what went out',
      'C5 = 47uF 450V electrolytic -> 47uF 500V',
      ['capacitors 40 years old or more'],
    ],
    ['or only its value', 'C5 = 47uF -> 47uF 500V', ['capacitors 40 years old or more']],
    [
      'but by its own date where it has one',
      'C5 = 47uF 450V date 2012 -> 47uF 500V',
      ['capacitors 10 to 20 years old'],
    ],
    ['and unknown where somebody had fitted another', 'C5 = 33uF 450V -> 47uF 500V', []],
    ['or one with another rating', 'C5 = 47uF 500V -> 47uF 550V', []],
  ])('%s', async (_, change, expected) => {
    expect(await ageOf(change)).toEqual(expected);
  });
});

describe('failures are counted', () => {
  it('against the visits whose amplifier has such a part, the most frequent first', async () => {
    expect(told(count(await factsOf(JOBS)))).toEqual([
      'part Alder 15, revision a: C5 2/3',
      'part Alder 15, revision b: C1 1/2',
      'part Alder 15, revision b: C9 1/2',
      'place Alder 15: reservoir at B+1 3/5',
      'place Alder 15: coupling capacitor of V1 1/5',
      'role reservoir 3/5',
      'role coupling capacitor 1/5',
      'kind electrolytic capacitors 3/5',
      'kind paper capacitors 1/5',
      'age capacitors 40 years old or more 4/5',
    ]);
  });

  it('with the sheets behind each, in the order of time, however they came', async () => {
    const facts = await factsOf(JOBS);
    const [one, other] = [count(facts), count([...facts].reverse())];
    expect(other).toEqual(one);
    const reservoir = one.groups.find(({ group }) => group === 'reservoir');
    expect(reservoir?.visits.map(({ visit }) => visit.job)).toEqual(['101', '103', '105']);
    expect(reservoir?.interval.low).toBeCloseTo(0.2307, 4);
    expect(reservoir?.interval.high).toBeCloseTo(0.8824, 4);
  });

  it('and what came back in the same amplifier is told with the months between', async () => {
    const { again } = count(await factsOf(JOBS));
    expect(again).toHaveLength(1);
    expect(again[0]).toMatchObject({ serial: '0007', ref: 'C5' });
    expect(again[0]?.visits.map(({ visit, months }) => [visit.job, months])).toEqual([
      ['101', undefined],
      ['105', 8],
    ]);
  });

  it('from facts that are plain data and small, so that threads may send them and thousands fit', async () => {
    for (const facts of await factsOf(JOBS)) {
      expect(structuredClone(facts)).toEqual(facts);
      expect(JSON.stringify(facts).length).toBeLessThan(4000);
    }
  });

  it('in none of none', () => {
    expect(count([])).toMatchObject({ jobs: 0, failures: 0, groups: [], again: [] });
  });
});

describe('earlier jobs like one', () => {
  it('share what few have; a later one is none', async () => {
    const facts = await factsOf(JOBS);
    const asked = facts.find(({ visit }) => visit.job === '105');
    if (asked === undefined) throw new Error('105 is a job');
    const { like, jobs } = findLike(asked, facts);
    expect(jobs).toBe(5);
    expect(like.map(({ facts: { visit } }) => visit.job)).toEqual(['101', '103', '102', '104']);
    expect(like[0]?.shared.map(({ of, what, jobs: n }) => `${of} ${what} ${n}`)).toEqual([
      'amplifier 0007 2',
      'chassis Alder 15, revision a 3',
      'role reservoir 3',
      'word hums 3',
    ]);
    expect(like[1]?.shared.map(({ of }) => of)).toEqual(['role', 'word', 'model']);
    const first = facts.find(({ visit }) => visit.job === '101');
    expect(first && findLike(first, facts).like).toEqual([]);
  });
});

describe('it is told', () => {
  const terminal = { colour: false, width: 100 };

  it('in the terminal, with how little it proves', async () => {
    const text = plainSpaces(
      documentText(repeatsDocument(count(await factsOf(JOBS)), englishSpeech), terminal),
    );
    expect(text).toContain('Failed  4 parts on 4 of 5 jobs');
    expect(text).toContain(
      '- reservoir: 3 of 5 visits (60 %); with so few, anything from 23 to 88 % fits.\n    job 101 C5; job 103 C9; job 105 C5',
    );
    expect(text).toContain(
      'job 105, 2020-09-25 (105.tagstrip.md) 8 months after it had gone back: C5 measures 6 µF',
    );
    expect(text.split('\n').filter((line) => line.length > 100)).toEqual([]);
    expect(text).not.toMatch(/undefined|NaN|\bsafe/);
  });

  it('as Markdown, with nothing of a sheet left to act as markup', async () => {
    const facts = await factsOf({
      '1*2*': { on: 'a', received: '2020-01-01', says: `${DRY('C5')}\n## Owner\n\n<b>x</b> [y](http://z)\n` },
    });
    const text = printMarkdown(repeatsDocument(count(facts), englishSpeech));
    expect(text).toContain('1\\*2\\*');
    const asked = { ...(facts[0] as JobFacts), visit: { file: 'other', title: '', isOpen: true } };
    const like = printMarkdown(likenessDocument(findLike(asked, facts), englishSpeech));
    expect(like).not.toContain('<b>');
    expect(like).not.toMatch(/(?<!\\)\]\(http/);
  });

  it('as JSON that holds to its schema', async () => {
    const schema = JSON.parse(
      readFileSync(new URL('../../../grammar/json/repeats.schema.json', import.meta.url), 'utf8'),
    );
    const facts = await factsOf({
      ...JOBS,
      106: {
        on: 'a',
        received: '2021-01-01',
        says: '## Work\n\n- C5 = 47uF 450V -> 47uF 450V electrolytic (preventive)\n',
      },
    });
    const json = JSON.parse(JSON.stringify(repeatsJson(count(facts))));
    expect(schemaFaults(json, schema)).toEqual([]);
    expect(json.repeats.notCounted).toHaveLength(1);
    const like = JSON.parse(JSON.stringify(likenessJson(findLike(facts[4] as JobFacts, facts))));
    expect(schemaFaults(like, schema)).toEqual([]);
    expect(like.like.sheets[0].score).toBeGreaterThan(like.like.sheets[1].score);
  });
});
