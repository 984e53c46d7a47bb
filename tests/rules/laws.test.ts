/** The laws that hold for all rules, each shown on a note and what is said of it. */
import { describe, expect, it } from 'vitest';
import { builtInCatalogue } from '../../server/catalogue/find-valve.ts';
import { defaultHouse } from '../../server/rules/house.ts';
import { defineRule, type Rule } from '../../server/rules/rule.ts';
import { check } from '../../server/rules/run.ts';
import { analyse } from '../support/check.ts';

const say = async (text: string, others?: Readonly<Record<string, string>>) =>
  (await analyse(text, others)).findings.map(
    ({ severity, rule, subject }) => `${severity} ${rule} ${subject}`,
  );

const LEAK = `# Job

## As found

- C14 = 22n 400V, V3.a to V5.g
- R16 = 220k 0.5W, V5.g to gnd
- V5 = 6V6GT
- R18 = 330R 10W, V5.k to gnd
- V3.a: 165 V
- V5: a 347, g2 336, g +1.9, k 22.6
`;

describe('one cause, one finding', () => {
  it('a leak that makes a valve cook is one finding, with the cooking as related', async () => {
    const { findings } = await analyse(LEAK);
    const serious = findings.filter(({ severity }) => severity === 'error' || severity === 'warning');
    // The supply voltage is not the leak's doing.
    expect(serious.map(({ rule, subject }) => `${rule} ${subject}`).sort()).toEqual([
      'anode-over-voltage V5',
      'leaky-coupling C14',
      'screen-over-voltage V5',
    ]);
    const leak = serious.find(({ rule }) => rule === 'leaky-coupling');
    expect(
      leak?.related?.some(({ subject, message }) => subject === 'V5' && /dissipates/.test(message)),
    ).toBe(true);
  });

  it('without the leak the same valve is a finding of its own', async () => {
    expect(await say(LEAK.replace('g +1.9', 'g 0'))).toContain('error anode-over-dissipation V5');
  });

  it('a reading at a wrong point accuses no resistor of overload', async () => {
    const sheet = `# Job

## As found

- V1A = 12AX7, a R4 B+3, k R5
- R4 = 100k
- R5 = 1k5
- R20 = 10k 0.5W, B+2 to B+3
- B+2: 322 V
- B+3: 180 V
`;
    const { findings } = await analyse(sheet);
    expect(findings.map(({ rule, subject }) => `${rule} ${subject}`)).toEqual(['wrong-point B+3']);
    expect(findings[0]?.related?.map(({ subject }) => subject)).toContain('R20');
  });
});

describe('phases', () => {
  const cooking = `# Job

## As found

- V5 = 6V6GT
- R18 = 330R 10W, V5.k to gnd
- V5: a 331, g2 322, k 19.4

## Work

- plug out, discharged: B+1: 3 V
- R18 = 330R 10W -> 680R 10W
`;

  it('what as left clears is information, with what it was and is', async () => {
    const { findings } = await analyse(`${cooking}\n## As left\n\n- V5: a 331, g2 322, k 21\n`);
    const [finding] = findings.filter(({ rule }) => rule === 'anode-over-dissipation');
    expect(finding?.severity).toBe('info');
    expect(finding?.cleared?.replaceAll('\u00a0', ' ')).toMatch(/^was 1\d\d %, now \d\d(\.\d)? %/);
  });

  it('what still stands as left keeps its severity there', async () => {
    const { findings } = await analyse(
      `${cooking.replace('680R', '350R')}\n## As left\n\n- V5: a 331, g2 322, k 20\n`,
    );
    const own = findings.filter(({ rule }) => rule === 'anode-over-dissipation');
    expect(own.map(({ phase, severity }) => `${phase} ${severity}`)).toEqual([
      'as-found error',
      'as-left error',
    ]);
  });

  it('silence for want of a reading clears nothing', async () => {
    const { findings } = await analyse(
      `${cooking.replace(/- R18 = 330R 10W -> .*\n/, '')}\n## As left\n\n- B+1: 330 V\n`,
    );
    const own = findings.filter(({ rule }) => rule === 'anode-over-dissipation');
    expect(own.map(({ phase, severity }) => `${phase} ${severity}`)).toEqual(['as-found error']);
  });
});

describe('what the chassis sheet says is said there once', () => {
  const chassis =
    '---\nsheet: chassis\nmodel: Rowan 8\n---\n# Rowan 8\n\n- C21 = 47uF 350V, B+1 to gnd\n\n## Voltages\n\n- B+1: 340 V\n';
  const others = { '../chassis/rowan.tagstrip.md': chassis };
  const job = (body: string) => `---\nchassis: ../chassis/rowan.tagstrip.md\n---\n# Job\n\n${body}`;

  it('the chassis sheet itself is warned of', async () => {
    expect(await say(chassis)).toEqual(['warning over-voltage C21']);
  });
  it('a job with the same volts is not', async () => {
    expect(await say(job('## As found\n\n- B+1: 338 V\n'), others)).toEqual([]);
  });
  it('a job in which it is worse is', async () => {
    expect(await say(job('## As found\n\n- B+1: 352 V\n'), others)).toEqual(['error over-voltage C21']);
  });
  it('a job that fits the part anew is', async () => {
    const text =
      '## Work\n\n- plug out, discharged: B+1: 3 V\n- C21 -> 47uF 350V\n\n## As left\n\n- B+1: 338 V\n';
    expect(await say(job(text), others)).toEqual(['warning over-voltage C21']);
  });
});

describe('a band fires by its safe end', () => {
  it('an assumed screen share alone makes no error', async () => {
    // 6V6GT, 12 W: the middle of the band is over 125 %, its low end is not.
    const { findings } = await analyse(
      '# Job\n\n## As found\n\n- V5 = 6V6GT\n- R18 = 390R 10W, V5.k to gnd\n- V5: a 315, k 20.5\n',
    );
    const [finding] = findings.filter(({ rule }) => rule === 'anode-over-dissipation');
    expect(finding?.figures?.['anode-loading']?.value).toBeGreaterThan(1);
    expect(finding?.severity).toBe('warning');
    expect(finding?.message).toMatch(/ to .*Assumed: screen share/);
  });
});

describe('accept', () => {
  it('keeps the finding, with the reason, out of the count', async () => {
    const { findings } = await analyse(
      `${LEAK.replace('g +1.9', 'g 0')}\n{accept anode-over-voltage V5: maker's design}\n`,
    );
    const [finding] = findings.filter(({ rule }) => rule === 'anode-over-voltage');
    expect(finding?.accepted).toBe("maker's design");
  });
  it('of another part leaves this one standing', async () => {
    const { findings } = await analyse(`${LEAK}\n{accept anode-over-voltage V6: maker's design}\n`);
    expect(findings.find(({ rule }) => rule === 'anode-over-voltage')?.accepted).toBeUndefined();
  });
});

describe('a rule that fails', () => {
  const failing: Rule = defineRule({
    id: 'always-fails',
    since: '0.1.0',
    category: 'record',
    severities: 'W',
    summary: 'Fails.',
    why: 'To see what happens.',
    howToFix: 'Nothing.',
    source: 'this test',
    options: {},
    bad: { sheet: '' },
    good: { sheet: '' },
    check: () => {
      throw new Error('no such thing');
    },
  });

  it('is one finding that names the rule, and the others go on', async () => {
    const { input, findings } = await analyse(LEAK);
    const { rules } = await import('../../server/rules/registry.ts');
    const all = check({
      ...input,
      catalogue: builtInCatalogue,
      house: defaultHouse,
      rules: [...rules, failing],
    });
    const own = all.filter(({ rule }) => rule === 'always-fails');
    expect(own.map(({ message }) => message)).toEqual([
      expect.stringMatching(/always-fails failed.*no such thing.*fault of Tagstrip/),
    ]);
    expect(all.length).toBe(findings.length + 1);
  });
});

describe('fingerprints', () => {
  it('stay when lines are added above, and differ between subjects', async () => {
    const before = (await analyse(LEAK)).findings.map(({ fingerprint }) => fingerprint);
    const after = (await analyse(LEAK.replace('# Job\n', '# Job\n\nA line more.\n'))).findings.map(
      ({ fingerprint }) => fingerprint,
    );
    expect(after).toEqual(before);
    expect(new Set(before).size).toBe(before.length);
  });
});
