/** What counts as failed on one job, and what does not: a sheet, and the parts that it shows to be bad. */
import { describe, expect, it } from 'vitest';
import { failuresOf, type JobFacts } from '../../../server/shop/failures.ts';
import { englishShop } from '../../../server/shop/shop-words.ts';
import { analyseJobs, plainSpaces } from '../../support/workshop.ts';

const CHASSIS = `---
sheet: chassis
model: Alder 15
revision: a
---
# Alder 15

- V1 = 6V6GT
- V2 = 6V6GT
- V3A, V3B = 12AX7
- R1, R2 = 470R 5W wirewound, V1.k V2.k to gnd
- R3, R4 = 220k, V1.g V2.g to gnd
- C1, C2 = 22n 400V paper, V3A.a V3B.a to V1.g V2.g
- C5 = 47uF 450V electrolytic, B+1 to gnd
- C6 = 47uF 450V electrolytic, B+2 to gnd
- T1 = mains 290-0-290V 150mA
- V4 = GZ34, T1 to B+1
- R9 = 1k 5W, B+1 to B+2
- F1 = T1A
`;

const WORK = '\n## Work\n\n- plug out, discharged: B+1: 3 V, B+2: 1 V\n';

async function factsOf(text: string): Promise<JobFacts> {
  const [job] = await analyseJobs({
    'job.tagstrip.md': `---\njob: 7\nchassis: chassis.tagstrip.md\nreceived: 2020-05-01\n---\n# Job\n\n${text}`,
    'chassis.tagstrip.md': CHASSIS,
  });
  const facts = job && failuresOf(job.analysis, job.path, englishShop);
  if (facts === undefined) throw new Error('a job has facts');
  return facts;
}

/** `C5 evidence capacitance-low` per failure; `C6 not precaution` per replacement that does not count. */
async function told(text: string): Promise<readonly string[]> {
  const { failures, notCounted } = await factsOf(text);
  return [
    ...failures.map(({ ref, by, evidence }) =>
      [ref, by, ...evidence.map(({ kind, rule }) => rule ?? kind)].join(' '),
    ),
    ...notCounted.map(({ ref, why }) => `${ref} not ${why}`),
  ];
}

describe('a can that was replaced as a whole', () => {
  it('failed by the section that is shown to be bad, and not a second time as a whole', async () => {
    const sheet = (read: string) =>
      `- C8 = 32+32uF 450V, B+3 B+4\n\n## As found\n\n${read}${WORK}- C8 -> 47uF 450V, B+3 to gnd\n`;
    expect(await told(sheet('- C8A: 4u7\n'))).toEqual(['C8A evidence capacitance-low']);
    const { failures } = await factsOf(sheet('- C8A: 4u7\n'));
    expect(plainSpaces(failures[0]?.replacedBy ?? '')).toBe('47 µF 450 V');
    expect(await told(sheet('It hummed.\n'))).toEqual(['C8 replaced replaced']);
  });
});

describe('a part has failed', () => {
  it.each([
    [
      'where its capacitance has gone',
      '## As found\n\n- C5: 6uF (out of circuit)\n',
      'C5 evidence capacitance-low',
    ],
    [
      'where it has been renewed since',
      `## As found\n\n- C5: 6uF (out of circuit)\n${WORK}- C5 = 47uF 450V -> 47uF 500V electrolytic\n`,
      'C5 evidence capacitance-low',
    ],
    [
      'where a grid stands positive behind it',
      '## As found\n\n- V1: a 300, g +9, k 24\n- C1 lifted: V1.g: 0 V\n',
      'C1 evidence leaky-coupling',
    ],
    ['where it is open', '## As found\n\n- F1: open\n', 'F1 evidence reading'],
    ['where it is charred', '## As found\n\n- R9: charred\n', 'R9 evidence state'],
    ['where a valve is microphonic', '## As found\n\n- V1: microphonic\n', 'V1 evidence state'],
    [
      'where it went out like for like and nothing says why',
      `${WORK}- C6 = 47uF 450V -> 47uF 450V electrolytic\n`,
      'C6 replaced replaced',
    ],
    [
      'where a modern value stands for an old one',
      `## As found\n\n- C6 = 32uF 450V\n${WORK}- C6 -> 47uF 450V electrolytic\n`,
      'C6 replaced replaced',
    ],
    [
      'where a valve was renewed by another name for it',
      `${WORK}- V1 = 6V6GT -> 6V6\n`,
      'V1 replaced replaced',
    ],
  ])('%s', async (_, text, failed) => {
    expect(await told(text)).toEqual([failed]);
  });

  it('is told by its first sentence, without the moment and without the advice', async () => {
    const { failures } = await factsOf('## As found\n\n- C5: 6uF (out of circuit)\n');
    expect(plainSpaces(failures[0]?.evidence[0]?.says ?? '')).toBe(
      'C5 measures 6 µF: 12.8 % of its marking 47 µF',
    );
    expect(failures[0]).toMatchObject({ role: 'reservoir', groups: { kind: 'electrolytic capacitors' } });
  });
});

describe('a replacement is told apart', () => {
  it.each([
    [
      'as a precaution',
      `${WORK}- C6 = 47uF 450V -> 47uF 500V electrolytic (same age as C5)\n`,
      'C6 not precaution',
    ],
    [
      'as a precaution in a row of its own',
      `## Work\n\n| Ref | Was | Now | Why |\n| --- | --- | --- | --- |\n| C6 | 47uF 450V | 47uF 500V electrolytic | preventive |\n`,
      'C6 not precaution',
    ],
    [
      'as a precaution in German',
      `${WORK}- C6 = 47uF 450V -> 47uF 500V electrolytic (vorsorglich)\n`,
      'C6 not precaution',
    ],
    ['as a modification by its value', `${WORK}- C1 = 22n 400V -> 10n 630V film\n`, 'C1 not modification'],
    ['as a modification by its heading', '## Mods\n\n- R1 = 470R 5W -> 480R 5W\n', 'R1 not modification'],
    [
      'as measured good',
      `## As found\n\n- C6: 45uF (out of circuit)\n${WORK}- C6 = 47uF 450V -> 47uF 450V electrolytic\n`,
      'C6 not measured-good',
    ],
  ])('%s', async (_, text, said) => {
    expect(await told(text)).toEqual([said]);
  });

  it('as the like of one that failed', async () => {
    const text = `## As found\n\n- V1: a 300, g +9, k 24\n- C1 lifted: V1.g: 0 V\n${WORK}- C1, C2 -> 22n 630V film\n`;
    expect(await told(text)).toEqual(['C1 evidence leaky-coupling', 'C2 not twin']);
  });

  it('and a new part, a moved one and a resoldered one are no replacement', async () => {
    expect(await told(`${WORK}- R30 = 220k 2W, B+1 to gnd\n- R9 -> raised\n- C5 -> resoldered\n`)).toEqual(
      [],
    );
  });
});

describe('a pair of valves that had run apart and was renewed', () => {
  const APART =
    '## As found\n\nMains {mains: 230 V}\n\n- V1: a 300, g2 290, g 0, k 24\n- V2: a 300, g2 290, g 0, k 12\n';
  const RENEWED = `${WORK}- V1, V2 = 6V6GT -> 6V6GT (matched pair)\n`;

  it('may be either of them', async () => {
    expect(await told(APART + RENEWED)).toEqual([
      'V1 evidence mismatched-pair',
      'V2 evidence mismatched-pair',
    ]);
  });

  it('is the one that stayed low in the other socket', async () => {
    const swapped = '- V1 V2 swapped: V1.k: 12 V\n- V1 V2 swapped: V2.k: 24 V\n';
    expect(await told(APART + swapped + RENEWED)).toEqual([
      'V2 evidence mismatched-pair',
      'V1 not precaution',
    ]);
  });

  it('is neither where the socket made the difference', async () => {
    const swapped = '- V1 V2 swapped: V1.k: 24 V\n- V1 V2 swapped: V2.k: 12 V\n';
    expect(await told(APART + swapped + RENEWED)).toEqual(['V1 not precaution', 'V2 not precaution']);
  });
});

describe('what is no failure', () => {
  it.each([
    [
      'a warning that was accepted',
      '## As found\n\n- C5: 20uF (out of circuit)\n\n{accept capacitance-low C5: it hums no more than others}\n',
    ],
    ['a valve that glows, which another part may have driven to it', '## As found\n\n- V1: glowing\n'],
    ['a leg that was lifted', '## As found\n\n- R9: lifted\n'],
    ['a plan', '## Quote\n\n- [ ] C5 -> 47uF 500V electrolytic\n'],
    ['a state of the new part', `${WORK}\n## As left\n\n- V1: microphonic\n`],
    ['a diode that reads open one way', '## As found\n\n- D1 = 1N4007, T1 to B+1\n- D1: open\n'],
  ])('%s', async (_, text) => {
    expect((await factsOf(text)).failures).toEqual([]);
  });

  it('and only a job has facts', async () => {
    const sheets = await analyseJobs({ 'chassis.tagstrip.md': CHASSIS });
    expect(sheets).toEqual([]);
  });
});

describe('the complaint', () => {
  it('is kept by its telling words', async () => {
    const { symptoms } = await factsOf(
      '## Complaint\n\nHums, hummed and is humming whatever the volume, {C5}.\n\n## As found\n\nCold.\n',
    );
    expect(symptoms).toEqual(['hums', 'volume']);
  });
});

describe('a complaint without a heading', () => {
  it('is what stands below the title', async () => {
    const { symptoms } = await factsOf('“Buzzes like a bee in a tin.”\n\n## As found\n\n- B+1: 300 V\n');
    expect(symptoms).toEqual(['buzzes', 'bee', 'tin']);
  });
});
