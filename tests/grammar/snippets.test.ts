/** The snippets: each says what it should mean once its blanks are filled in, and blames nobody before. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { analyse } from '../support/check.ts';
import { describeNote } from '../support/describe-tag.ts';
import { fillIn } from '../support/placeholders.ts';

interface Snippet {
  readonly prefix: string;
  readonly description: string;
  readonly body: readonly string[];
}

const snippets = JSON.parse(
  readFileSync(new URL('../../grammar/snippets.json', import.meta.url), 'utf8'),
) as Readonly<Record<string, Snippet>>;

const said = async (text: string) => describeNote((await analyse(text)).sheet.note);

/** Numbers in the blank cells of a table, as they are filled in from left to right: 301, 302 and so on. */
function fillCells(text: string): string {
  let next = 301;
  return text.replace(/\|[ ]+(?=\|)/g, () => `| ${next++} `);
}

const CHART = [
  'mention V1',
  'reading V1.a voltage 301 V',
  'reading V1.g2 voltage 302 V',
  'reading V1.g voltage 303 V',
  'reading V1.k voltage 304 V',
];

/** For each snippet what the meter says, in turn, and what the sheet is then understood to say. Tasks are ticked. */
const MEANINGS: Readonly<Record<string, readonly [readings: readonly string[], meaning: readonly string[]]>> =
  {
    Intake: [[], []],
    'Safety before it is opened': [
      ['0.1', '4'],
      ['reading earth to chassis resistance 0.1 Ω', 'reading B+1 voltage 4 V, when off, discharged 10 kΩ'],
    ],
    'First power behind a lamp': [['212'], ['from here: lamp 60 W', 'reading B+1 voltage 212 V']],
    'Chart of readings': [
      ['233'],
      ['from here: dummy-load, warm-up 20 min, no-signal', 'reading mains ac-voltage 233 V', ...CHART],
    ],
    'Supply nodes': [
      ['335', '20', '331'],
      ['reading B+1 voltage 335 V; B+1 ripple 20 V pp', 'reading B+2 voltage 331 V'],
    ],
    'Change of a part': [[], ['change C1: 22 nF, voltage 400 V, film -> 22 nF, voltage 630 V, film']],
    'Changes as a table': [[], ['change C1: 22 nF, voltage 400 V, film -> 22 nF, voltage 630 V, film']],
    'Before and after': [
      [],
      [
        'from here: dummy-load, warm-up 20 min, no-signal',
        'mention mains',
        'found: reading mains ac-voltage 301 V',
        'left: reading mains ac-voltage 302 V',
        'mention B+1',
        'found: reading B+1 voltage 303 V',
        'left: reading B+1 voltage 304 V',
      ],
    ],
    'Part out of circuit': [
      ['0', '3.3'],
      ['reading V1.g voltage 0 V, when lifted C1', 'reading C1 insulation 3.3 MΩ, when out-of-circuit'],
    ],
    'Check-out': [
      ['233', '335', '20', '0.1', '200'],
      [
        'from here: dummy-load, warm-up 20 min, no-signal',
        'reading mains ac-voltage 233 V',
        ...CHART,
        'reading B+1 voltage 335 V; B+1 ripple 20 V pp',
        'reading earth to chassis resistance 0.1 Ω',
        'reading line to chassis resistance 200 MΩ, when off',
      ],
    ],
    Question: [[], ['question (B+1 - V1A.a) / R4']],
    'Wish of the owner': [[], ["keep C41: owner's wish"]],
    Quote: [[], ['change C1: 47 µF, voltage 450 V -> 47 µF, voltage 500 V, electrolytic']],
  };

it('is held to a meaning, each', () => {
  expect(Object.keys(snippets)).toEqual(Object.keys(MEANINGS));
});

it('has a word of its own, each, which no part or point is called', () => {
  const words = Object.values(snippets).map(({ prefix }) => prefix);
  expect(new Set(words).size).toBe(words.length);
  for (const word of words) expect(word).toMatch(/^[a-z]+(-[a-z]+)*$/);
});

describe.each(Object.entries(snippets))('%s', (name, { body, description }) => {
  const text = body.join('\n');

  it('says what it should once it is filled in', async () => {
    const [readings, meaning] = MEANINGS[name] ?? [[], []];
    const filled = fillCells(fillIn(text, readings)).replaceAll('- [ ]', '- [x]');
    expect(await said(filled)).toEqual(meaning);
  });

  it('has nothing that cannot be read, filled in or not', async () => {
    const [readings] = MEANINGS[name] ?? [[]];
    for (const given of [[], readings]) {
      const { findings, sheet } = await analyse(fillIn(text, given));
      expect(sheet.problems).toEqual([]);
      expect(findings.filter(({ rule }) => /^(tag|value|unit|ref|point|text|front)-/.test(rule))).toEqual([]);
    }
  });

  it('leaves no reading that nobody took, and ends where one goes on writing', async () => {
    const { sheet } = await analyse(fillIn(text));
    expect(sheet.statements.filter(({ kind }) => kind === 'reading')).toEqual([]);
    expect(text.match(/\$0/g)).toHaveLength(1);
    expect(description).not.toBe('');
  });
});
