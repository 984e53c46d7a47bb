/** What is so as found and as left, or of both halves of a twin, is told once and says so. */
import { describe, expect, it } from 'vitest';
import { rules } from '../../server/rules/registry.ts';
import { analyse } from '../support/check.ts';

const findingsOf = async (text: string, rule: string) =>
  (await analyse(text)).findings.filter((finding) => finding.rule === rule);

const COLD = `# Osprey 50

## Circuit
- T1 = mains 345V 300mA 6.3V 6A 45V 50mA
- D1-D4 = 1N4007, T1 to B+
- C1 = 50uF 500V, B+ to gnd
- L1 = 5H 100R, B+ to B+2
- C2 = 50uF 500V, B+2 to gnd

## As found
- mains 243:
- B+ 462

## As left
- mains 242:
- B+ 480
`;

const TIED = `# Curlew

- V3 = 12AT7
- V3A.a = V3B.a
- V3A.k = V3B.k
- V3A.g = V3B.g
- R25 = 2k2 1W, V3A.k to gnd
- R26 = 1M, V3A.g to gnd

## As found
- V3A.a 432, k 14.9

## As left
- V3A: a 425, k 9.1
`;

describe('a number that stands as found and as left', () => {
  it('is one finding a part', async () => {
    const found = await findingsOf(COLD, 'cold-start-over-voltage');
    expect(found.map(({ severity, subject, phase }) => `${severity} ${subject} ${phase}`)).toEqual([
      'error C1 as-left',
      'error C2 as-left',
    ]);
    expect(found[0]?.message).toMatch(/^As found and as left, C1 meets 574\sV/);
  });

  it('is accepted once', async () => {
    const accepted = await findingsOf(
      `${COLD}\n{accept cold-start-over-voltage C1: never switched on cold}\n`,
      'cold-start-over-voltage',
    );
    expect(accepted.map(({ accepted }) => accepted)).toEqual(['never switched on cold', undefined]);
    expect(
      await findingsOf(`${COLD}\n{accept cold-start-over-voltage C1: so}\n`, 'acceptance-unused'),
    ).toEqual([]);
  });

  it('names the line as found where another was read as left', async () => {
    const [only, ...others] = await findingsOf(
      '# Job\n\n## As found\n\n- V5 = 6V6GT\n- R17 = 470R 5W, V5.k to gnd\n- V5: a 361, g2 272, k 12.4\n\n## As left\n\n- V5: a 361, g2 272, k 12.4\n',
      'anode-over-voltage',
    );
    expect(others).toEqual([]);
    expect(only?.message).toMatch(/^As found and as left, V5 has 349\sV/);
    expect(only?.related?.map(({ message }) => message)).toContain('as found, it stood here.');
  });

  it('is one finding where it moved by no more than a meter errs, and says both', async () => {
    const found = await findingsOf(
      '# Job\n\n## As found\n\n- V5 = 6V6GT\n- R17 = 470R 5W, V5.k to gnd\n- V5: a 361, g2 272, k 12.4\n\n## As left\n\n- V5: a 360, g2 272, k 12.4\n',
      'anode-over-voltage',
    );
    expect(found.map(({ phase }) => phase)).toEqual(['as-left']);
    expect(found[0]?.message).toMatch(/^As left, V5 has 348\sV.* As found it was 349\sV\.$/);
  });

  it('stays two findings where the part is another of the same number', async () => {
    const found = await findingsOf(
      '# Job\n\n## As found\n\n- F1 = 1A (marked T500mA)\n\n## Work\n\n- F1 -> T1A\n\n## As left\n\n- mains: 230 V\n',
      'fuse-mismatch',
    );
    expect(found.every(({ stoodBefore }) => stoodBefore === undefined)).toBe(true);
    expect(found.at(-1)?.message).toMatch(/^As left, F1 is T1A/);
  });

  it('is one finding where only the end of its band moved, or what no figure tells', async () => {
    const [only, ...others] = await findingsOf(
      '# Job\n\n## As found\n\n- V5 = 6V6GT\n- R17 = 330R 5W, V5.k to gnd\n- V5: a 361, g2 352, k 19.4\n\n## As left\n\n- V5: a 361, g2 354, k 19.4\n',
      'anode-over-dissipation',
    );
    expect(others).toEqual([]);
    expect(only?.stoodBefore).toEqual({});
  });

  it('stays two findings where the number moved', async () => {
    const found = await findingsOf(
      '# Job\n\n## As found\n\n- V5 = 6V6GT\n- R17 = 470R 5W, V5.k to gnd\n- V5: a 361, g2 272, k 12.4\n\n## As left\n\n- V5: a 352, g2 272, k 12.4\n',
      'anode-over-voltage',
    );
    expect(found.map(({ phase }) => phase)).toEqual(['as-found', 'as-left']);
  });
});

describe('halves that are tied', () => {
  it('are one finding, which either half accepts', async () => {
    const found = await findingsOf(TIED, 'anode-over-voltage');
    expect(found.map(({ subject, phase }) => `${subject} ${phase}`)).toEqual(['V3A,V3B as-left']);
    expect(found[0]?.message).toMatch(
      /^As left, V3A has 416\sV.* As found it was 417\sV\. The same holds for V3B\.$/,
    );
    const accepted = await findingsOf(
      `${TIED}\n{accept anode-over-voltage V3B: the maker drew it so}\n`,
      'anode-over-voltage',
    );
    expect(accepted.every(({ accepted }) => accepted !== undefined)).toBe(true);
  });

  it('are one finding where they were so as found, too', async () => {
    const found = await findingsOf(
      TIED.replace('V3A: a 425, k 9.1', 'V3A: a 432, k 14.9'),
      'anode-over-voltage',
    );
    expect(found.map(({ subject, phase }) => `${subject} ${phase}`)).toEqual(['V3A,V3B as-left']);
    expect(found[0]?.message).toMatch(/^As found and as left, V3A has 417\sV.* The same holds for V3B\.$/);
  });

  it('are told of once by the chassis sheet', async () => {
    const chassis = `---\nsheet: chassis\nmodel: Curlew\n---\n${TIED.slice(0, TIED.indexOf('## As found'))}## Voltages\n\n| Valve | a | k |\n|---|---|---|\n| V3A | 432 | 14.9 |\n`;
    const { findings } = await analyse(
      '---\nchassis: c.tagstrip.md\n---\n# Job\n\n## As found\n- V3A: a 430, k 14.9\n',
      { 'c.tagstrip.md': chassis },
    );
    expect(findings.filter(({ rule }) => rule === 'anode-over-voltage')).toEqual([]);
  });
});

describe('a valve at its published point', () => {
  it('is a warning that says what decides it, as long as its band reaches below the rating', async () => {
    const sheet = (a: number) =>
      `# Job\n\n## As found\n\n- V2 = EL84\n- R7 = 150R 3W, V2.k to gnd\n- V2: a ${a}, g2 245, g 0, k 7.9\n`;
    const at = async (a: number) =>
      (await findingsOf(sheet(a), 'anode-over-dissipation')).map(
        ({ severity, message }) => `${severity} ${message}`,
      );
    expect((await at(262))[0]).toMatch(
      /^warning .*12\sW \(11\.7\sW to 12\.3\sW\): 100\.2\s% of 12\sW.*reading the screen current decides/,
    );
    expect((await at(275))[0]).toMatch(/^warning .*Look at what sets its bias/);
  });
});

/** Slips of the pen stand where they were written; what the record lacks, and what the work made, is of no other phase. */
const OF_ONE_PLACE: ReadonlySet<string> = new Set([
  'electrolytic-aged',
  'feedback-sense',
  'fuse-mismatch',
  'grid-floating',
  'impossible-reading',
  'two-values',
  'unit-slip',
]);

const FOUND = '## As found\n';

/** The sheet with all that was read as found read so as left, too; what is fitted stays fitted. */
const leftAsFound = (sheet: string): string => {
  const lines = (sheet.split(FOUND)[1] ?? '').split('\n').filter((line) => !/^- [^:]*=/.test(line));
  const read = lines.some((line) => line.includes(':') || line.includes('|')) ? lines : ['- mains: 230 V'];
  return `${sheet}\n## As left\n\n${read.join('\n').replace('| Found', '| Left')}\n`;
};

describe('what every rule says of as found', () => {
  const told = rules.filter(
    ({ id, category, bad }) =>
      (category === 'ratings' || category === 'readings') &&
      bad.sheet.includes(FOUND) &&
      !OF_ONE_PLACE.has(id),
  );

  it.each(told.map((rule) => [rule.id, rule] as const))(
    'is told once where it is so as left: %s',
    async (id, { bad }) => {
      const { findings } = await analyse(leftAsFound(bad.sheet), bad.beside);
      const [own, ...others] = findings.filter((finding) => finding.rule === id);
      expect(others).toEqual([]);
      expect([own?.phase, own?.stoodBefore, own?.message.split(',')[0]]).toEqual([
        'as-left',
        {},
        'As found and as left',
      ]);
    },
  );

  it('opens with its phase by what it knows of it, and never by its own words', async () => {
    for (const { bad } of rules) {
      for (const { timeless, message } of (await analyse(bad.sheet, bad.beside)).findings) {
        expect(timeless).not.toMatch(/^(As found|As left|As noted|As the chassis sheet has it|During)\b/);
        expect(message.toLowerCase()).toContain(timeless.toLowerCase());
      }
    }
  });
});
