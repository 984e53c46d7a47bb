/** The rules of work and record: what a returned sheet is asked for, what a half-written one is not, and what healthy work stays free of. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { fixes } from '../../server/features/fixes.ts';
import { defaultHouse } from '../../server/rules/house.ts';
import { defineRule } from '../../server/rules/rule.ts';
import { check } from '../../server/rules/run.ts';
import { applyEdits } from '../../server/text/edits.ts';
import { analyse } from '../support/check.ts';

/** `info check-out-missing V5` of one rule, in the order of the text. */
async function said(rule: string, text: string, others?: Readonly<Record<string, string>>) {
  const { findings } = await analyse(text, others);
  return findings
    .filter((finding) => finding.rule === rule)
    .map(({ severity, subject }) => `${severity} ${subject}`);
}

async function message(rule: string, text: string): Promise<string> {
  const { findings } = await analyse(text);
  return findings.find((finding) => finding.rule === rule)?.message.replaceAll('\u00a0', ' ') ?? '';
}

const DISCHARGED = '- plug out, discharged through 10k: B+1: 3 V\n';
const RETURNED = '---\nreturned: 2026-03-06\n---\n';
const CHASSIS = `---
sheet: chassis
model: Rowan 8
---
# Rowan 8

- V1A = 12AX7, a R4 B+2, k R5 C5, g R6
- R4 = 100k 1W
- R5 = 1k5 0.5W
- R6 = 1M 0.5W
- C5 = 22uF 25V electrolytic
- C6 = 22n 630V film, V1A.a to V5.g
- V5 = 6V6GT
- R16 = 470k 0.5W, V5.g to gnd
- R18 = 470R 5W, V5.k to gnd
- R20 = 10k 2W, B+1 to B+2
- C21 = 47uF 450V electrolytic, B+1 to gnd
- C22 = 22uF 450V electrolytic, B+2 to gnd
- T2 = output 5k : 8R, V5.a, B+1, LS1 on 8R
- F1 = T1A
- SW1 = 250V 2A, line to T1
{keep C6: part of the sound}
`;
const OTHERS = { '../chassis/rowan.tagstrip.md': CHASSIS };
const job = (body: string, returned = true) =>
  `---\nchassis: ../chassis/rowan.tagstrip.md\n${returned ? 'returned: 2026-03-06\n' : ''}---\n# Job\n\n${body}`;

describe('residual-voltage', () => {
  const off = (text: string) => `# Job\n\n## Work\n\n${text}`;

  it.each([
    ['- plug out, discharged: B+1: 12 V', []],
    ['- plug out, discharged: B+1: 30 V', []],
    ['- plug out, discharged: B+1: 31 V', ['warning B+1']],
    ['- plug out, discharged: B+1: 60 V', ['warning B+1']],
    ['- plug out: B+1: 61 V, B+2: 4 V', ['error B+1']],
    ['- plug out: bias: -48 V', ['warning bias']],
    // The last reading of a place counts, whatever it was before.
    ['- plug out: B+1: 310 V\n- discharged: B+1: 2 V', []],
    ['- discharged: B+1: 2 V\n- plug out, after ten minutes: B+1: 44 V', ['warning B+1']],
    // Powered, it is no residual.
    ['- B+1: 331 V', []],
  ])('%s', async (text, expected) => {
    expect(await said('residual-voltage', off(text))).toEqual(expected);
  });

  it('is not joined by a second finding that nothing was recorded', async () => {
    const sheet = off('- plug out: B+1: 71 V\n- C21 = 47uF 450V, B+1 to gnd -> 47uF 500V\n');
    expect(await said('discharge-unrecorded', sheet)).toEqual([]);
    expect(await said('residual-voltage', sheet)).toEqual(['error B+1']);
  });
});

describe('earth-unchecked', () => {
  it.each([
    ['a new fuse and no earth reading', '## Work\n\n- F1 -> T1A\n', ['info F1']],
    ['a new switch', '## Work\n\n- SW1 -> 250V 4A\n', ['info SW1']],
    [
      'an earth reading before the work only',
      '## As found\n\n- earth to chassis: 0.1R\n\n## Work\n\n- F1 -> T1A\n',
      ['info F1'],
    ],
    ['one as left', '## Work\n\n- F1 -> T1A\n\n## As left\n\n- earth to chassis: 0.1R\n', []],
    [
      'insulation is no continuity',
      '## Work\n\n- F1 -> T1A\n\n## As left\n\n- line to earth: 20M\n',
      ['info F1'],
    ],
    ['work elsewhere', `## Work\n\n${DISCHARGED}- R4 -> 100k 1W\n`, []],
    ['the fuse seen and left', '## Work\n\n- F1 -> same\n', []],
    ['a fuse only planned', '## Work\n\n- [ ] F1 -> T1A\n', []],
  ])('%s', async (_, body, expected) => {
    expect(await said('earth-unchecked', job(body), OTHERS)).toEqual(expected);
  });

  it('asks nothing of a job that has not gone back', async () => {
    expect(await said('earth-unchecked', job('## Work\n\n- F1 -> T1A\n', false), OTHERS)).toEqual([]);
  });
});

describe('check-out-missing', () => {
  it.each([
    ['a reservoir, nothing read', '- C21 -> 47uF 500V', '', ['info C21']],
    ['a reservoir, its rail read', '- C21 -> 47uF 500V', '- B+1: 331 V', []],
    ['an anode load, only a rail read', '- R4 -> 100k 1W', '- B+1: 331 V', ['info R4']],
    ['an anode load, its anode read', '- R4 -> 100k 1W', '- V1A.a: 180 V', []],
    ['a bypass, the output read under signal', '- C5 -> 22uF 35V', '- LS1: 8 Vrms at 1 kHz', []],
    ['an output valve, only the rail read', '- V5 = 6V6GT', '- B+1: 331 V', ['info V5']],
    ['an output valve, its cathode read', '- V5 = 6V6GT', '- V5.k: 19.4 V', []],
    ['an output valve, its current read', '- V5 = 6V6GT', '- V5: 38 mA', []],
    [
      'its cathode resistor, only the output read',
      '- R18 -> 470R 7W',
      '- LS1: 8 Vrms at 1 kHz',
      ['info R18'],
    ],
    ['a part that is looked at only', '- R18 -> same', '', []],
    ['a jack', '- J1 -> 6.3 mm', '', []],
  ])('%s', async (_, work, left, expected) => {
    const body = `## Work\n\n${DISCHARGED}${work}\n\n## As left\n\n- earth to chassis: 0.1R\n${left}\n`;
    expect(await said('check-out-missing', job(body), OTHERS)).toEqual(expected);
  });

  it('is one finding that names all parts', async () => {
    const text = `${RETURNED}# Job\n\n## As found\n\n- V5 = 6V6GT\n- R18 = 470R 5W, V5.k to gnd\n- C21 = 47uF 450V, B+1 to gnd\n\n## Work\n\n${DISCHARGED}- R18 -> 470R 7W\n- C21 -> 47uF 500V\n`;
    expect(await said('check-out-missing', text)).toEqual(['info R18']);
    expect(await message('check-out-missing', text)).toMatch(
      /^C21, R18 were changed .* of V5; the volts and ripple of B\+1\.$/,
    );
  });

  it('asks nothing of a job that has not gone back', async () => {
    const body = `## Work\n\n${DISCHARGED}- C21 -> 47uF 500V\n`;
    expect(await said('check-out-missing', job(body, false), OTHERS)).toEqual([]);
  });
});

describe('conditions-missing', () => {
  const charts = (found: string, left: string, head = '') =>
    `${head}# Job\n\n## As found\n\n${found}\n\n- V5: a 331, k 19.4\n\n## As left\n\n${left}\n\n- V5: a 334, k 19.6\n`;
  const MAINS = 'Mains {mains: 233 V}.';

  it.each([
    ['the one before lacks it', charts('', MAINS), ['hint mains']],
    ['the one after lacks it, and the amplifier went back', charts(MAINS, '', RETURNED), ['hint mains']],
    ['the one after lacks it so far', charts(MAINS, ''), []],
    ['both have it', charts(MAINS, MAINS, RETURNED), []],
    ['neither has: nothing here says that mains matter to this writer', charts('', '', RETURNED), []],
    ['one chart alone', '# Job\n\n## As found\n\n- V5: a 331, k 19.4\n', []],
  ])('%s', async (_, text, expected) => {
    expect(await said('conditions-missing', text)).toEqual(expected);
  });
});

describe('task-open', () => {
  it.each([
    ['under Work', '## Work\n\n- [ ] soak test\n', ['hint soak test']],
    ['a planned part under Work', '## Work\n\n- [ ] C12 = 47uF 500V\n', ['hint C12']],
    [
      'two of one name',
      '## Work\n\n- [ ] C12 = 47uF 500V\n- [ ] look at C12 again: {C12}\n',
      ['hint C12', 'hint look at C12 again: {C12}'],
    ],
    ['ticked', '## Work\n\n- [x] soak test\n', []],
    ['for another time', '## Next time\n\n- [ ] new valves\n', []],
    ['wanted', '## Quote\n\n- [ ] C12 = 47uF 500V\n', []],
    ['declined', '## Declined\n\n- [ ] new valves\n', []],
  ])('%s', async (_, body, expected) => {
    expect(await said('task-open', `${RETURNED}# Job\n\n${body}`)).toEqual(expected);
    expect(await said('task-open', `# Job\n\n${body}`)).toEqual([]);
  });
});

describe('wish-broken', () => {
  const kept = (work: string) =>
    `# Job\n\n## Intake\n\n{keep C41: owner’s wish}\n\n## Work\n\n${DISCHARGED}${work}\n`;

  it.each([
    ['- C41 = 47n 400V -> 47n 630V', ['warning C41']],
    ['- C41 -> removed', ['warning C41']],
    ['- C41 -> resoldered', []],
    ['- C41 -> same', []],
    ['- [ ] C41 = 47n 400V -> 47n 630V', []],
    ['- C42 = 47n 400V -> 47n 630V', []],
    // Tried, and out again.
    ['- C41 = 47n 400V -> 22n 400V\n- C41 -> 47n 400V', []],
  ])('%s', async (work, expected) => {
    expect(await said('wish-broken', kept(work))).toEqual(expected);
  });

  it('knows the wishes of the chassis sheet', async () => {
    const body = `## Work\n\n${DISCHARGED}- C6 -> 22n 630V film\n`;
    const { findings } = await analyse(job(body), OTHERS);
    const [finding] = findings.filter(({ rule }) => rule === 'wish-broken');
    expect(finding?.message).toContain('“part of the sound”');
    expect(finding?.related?.[0]?.source.file).toMatch(/rowan/);
  });
});

describe('substitute-differs', () => {
  it.each([
    ['a coupling capacitor of half the value', '- C6 -> 10n 630V film', ['info C6']],
    ['the same with its reason', '- C6 -> 10n 630V film (less bass, as asked)', []],
    ['the modern neighbour of an old value', '- C6 = 0.02uF 400V -> 22n 630V film', []],
    ['a higher rating only', '- C6 -> 22n 1000V film', []],
    ['a third of an octave and no more', '- C6 -> 27n 630V film', []],
    ['a little over', '- C6 -> 28n 630V film', ['info C6']],
    ['a bypass of a tenth', '- C5 -> 2u2 25V', ['info C5']],
    ['a smoothing capacitor of less', '- C22 -> 10uF 450V', ['info C22']],
    ['a smoothing capacitor of more', '- C22 -> 47uF 450V', []],
    ['50 µF for 47 µF', '- C21 -> 50uF 500V', []],
    ['a cathode resistor a twelfth lower', '- R18 -> 430R 5W', ['info R18']],
    ['a cathode resistor of the same value', '- R18 -> 470R 7W', []],
    ['a dropper, with what it drops', '- R20 -> 22k 2W', ['info R20']],
    ['a part that is only planned', '- [ ] C6 -> 10n 630V film', []],
    ['resoldered', '- C6 -> resoldered', []],
  ])('%s', async (_, work, expected) => {
    const body = `## Work\n\n${DISCHARGED}${work}\n\n## As left\n\n- B+1: 331 V, B+2: 282 V\n- V5: a 318, g2 282, k 19.4\n`;
    expect(await said('substitute-differs', job(body), OTHERS)).toEqual(expected);
  });

  it('tells no ends of a shelf that may lie anywhere, for nobody wrote how the control stands', async () => {
    const text = `# Job\n\n- V1A = 12AX7, a R2 B+4, k R3\n- C3 = 22n 400V, V1A.a to vol\n- VR1 = 1M log, vol to gnd, wiper to V1B.g\n- C4 = 120p, vol to V1B.g (bright)\n- V1B = 12AX7, a R5 B+4, k R6\n\n## Work\n\n${DISCHARGED}- C4 120p -> 4n7\n`;
    expect(await message('substitute-differs', text)).toMatch(
      /: its shelf, wherever its control stands, moves down to 2\.55.% of what it was\./,
    );
  });

  it('says by how much', async () => {
    const text = `# Job\n\n## As found\n\n- V5 = 6V6GT\n- R18 = 470R 5W, V5.k to gnd\n\n## Work\n\n${DISCHARGED}- R18 -> 560R 5W\n`;
    expect(await message('substitute-differs', text)).toBe(
      'R18 was 470 Ω and is now 560 Ω: at the same current the cathode stands 19.1 % higher. If that is meant, write the reason beside the change; if not, fit 470 Ω.',
    );
  });

  it('leaves a change alone that stands under a heading of modifications, or in a row with its reason', async () => {
    expect(
      await said('substitute-differs', job(`## Mods\n\n${DISCHARGED}- C6 -> 10n 630V film\n`), OTHERS),
    ).toEqual([]);
    const table = (why: string) =>
      `## Work\n\n| Ref | Was | Now | Why |\n| --- | --- | --- | --- |\n| C6 | 22n 630V | 10n 630V | ${why} |\n`;
    expect(await said('substitute-differs', job(table('tighter low end')), OTHERS)).toEqual([]);
    expect(await said('substitute-differs', job(table('')), OTHERS)).toEqual(['info C6']);
  });

  it('does not take a dried-out part for the value that it is marked with', async () => {
    const body = `## As found\n\n- C6: 9n (out of circuit)\n\n## Work\n\n${DISCHARGED}- C6 -> 22n 630V film\n`;
    expect(await said('substitute-differs', job(body), OTHERS)).toEqual([]);
  });
});

describe('acceptances', () => {
  const two = '# Job\n\n## As found\n\n- R17 = 470R 5W, V5.k to gnd\n- R17 = 330R 5W\n\n';

  it.each([
    ['of what is found', '{accept two-values R17: as drawn}', [], []],
    ['of what is found, for the whole sheet', '{accept two-values: as drawn}', [], []],
    ['of another part', '{accept two-values R18: as drawn}', ['info R18'], []],
    ['of one part too many', '{accept two-values R17 R18: as drawn}', ['info R18'], []],
    ['of a rule that is silent', '{accept over-voltage: as drawn}', ['info over-voltage'], []],
    ['of a rule that does not exist', '{accept two-value R17: as drawn}', ['info two-value'], []],
    ['without a reason', '{accept two-values R17}', [], ['warning R17']],
    ['without a reason, for the whole sheet', '{accept two-values}', [], ['warning two-values']],
    ['without a reason, of nothing', '{accept two-values R18}', ['info R18'], []],
  ])('%s', async (_, accept, unused, unexplained) => {
    expect(await said('acceptance-unused', two + accept)).toEqual(unused);
    expect(await said('acceptance-without-reason', two + accept)).toEqual(unexplained);
  });

  it('name where the rule did speak', async () => {
    expect(await message('acceptance-unused', `${two}{accept two-values R18: as drawn}`)).toBe(
      'two-values is accepted for R18 and was not found there, but at R17. Correct the part, or take it out.',
    );
  });

  it('of a misspelled rule are offered the nearest name', async () => {
    const text = `${two}{accept two-value R17: as drawn}\n`;
    const analysis = await analyse(text);
    const [finding] = analysis.findings.filter(({ rule }) => rule === 'acceptance-unused');
    if (finding === undefined) throw new Error('no finding');
    const [fix] = fixes(analysis, finding.source.span).filter(({ finding: of }) => of === finding);
    expect(fix?.title).toBe('Write two-values');
    const mended = await analyse(applyEdits(text, fix?.edits ?? []));
    expect(mended.findings.map(({ rule, accepted }) => `${rule} ${accepted}`)).toEqual([
      'two-values as drawn',
    ]);
  });

  it.each([
    ['both valves', 'V4 V5', 'seen'],
    ['one of the valves', 'V4', 'seen'],
    ['another valve', 'V6', undefined],
  ])('of a pair, naming %s', async (_, names, accepted) => {
    const { input } = await analyse(`${two}{accept always ${names}: seen}`);
    const pair = defineRule({
      id: 'always',
      since: '0.1.0',
      category: 'readings',
      severities: 'W',
      summary: 'x',
      why: 'x',
      howToFix: 'x',
      source: 'this test',
      options: {},
      bad: { sheet: '' },
      good: { sheet: '' },
      check: () => [
        {
          severity: 'warning',
          subject: 'V4,V5',
          message: 'A pair.',
          source: { file: input.amplifier.sheet.uri, span: { start: 0, end: 1 } },
        },
      ],
    });
    const [finding] = check({ ...input, rules: [pair] });
    expect(finding?.accepted).toBe(accepted);
  });

  it('of a rule that the house has switched off are not remarked on', async () => {
    const { input } = await analyse(`${two}{accept over-voltage C1: as drawn}`);
    const house = {
      ...defaultHouse,
      severity: (rule: string) => (rule === 'over-voltage' ? 'off' : undefined),
    } as const;
    expect(check({ ...input, house }).map(({ rule }) => rule)).not.toContain('acceptance-unused');
    expect(check(input).map(({ rule }) => rule)).toContain('acceptance-unused');
  });

  it('on a job, of what only the chassis sheet is told, are used', async () => {
    const chassis =
      '---\nsheet: chassis\n---\n# Rowan 8\n\n- C21 = 47uF 350V, B+1 to gnd\n\n## Voltages\n\n- B+1: 340 V\n';
    const text =
      '---\nchassis: ../chassis/c.tagstrip.md\n---\n# Job\n\n## As found\n\n- B+1: 338 V\n\n{accept over-voltage C21: as drawn}\n';
    expect(await said('acceptance-unused', text, { '../chassis/c.tagstrip.md': chassis })).toEqual([]);
  });
});

describe('value-uncommon', () => {
  it.each([
    ['- R4 = 100k -> 4k9', ['hint R4']],
    ['- R4 = 100k -> 4k7', []],
    ['- R4 = 100k -> 4k99 1%', []],
    ['- VR1 = 1M log -> 500k log', []],
    ['- VR1 = 1M log -> 350k log', ['hint VR1']],
    ['- C1 = 22n -> 23n', ['hint C1']],
    ['- C1 = 22n -> 0.05uF 400V', []],
    ['- C1 = 8uF 450V -> 16uF 450V', []],
    ['- C1 = 22n -> about 23n', []],
    // What comes out may be anything.
    ['- R4 = 4k9 -> 4k7', []],
  ])('%s', async (work, expected) => {
    expect(await said('value-uncommon', `# Job\n\n## Work\n\n${DISCHARGED}${work}\n`)).toEqual(expected);
  });

  it('says nothing of what was found, or stands on a chassis sheet', async () => {
    expect(await said('value-uncommon', '# Job\n\n## As found\n\n- R4 = 4k9\n')).toEqual([]);
    expect(await said('value-uncommon', '---\nsheet: chassis\n---\n# X\n\n- R4 = 4k9\n')).toEqual([]);
  });
});

describe('ref-declared-twice', () => {
  const chassis = (lines: string) => `---\nsheet: chassis\n---\n# Rowan 8\n\n${lines}\n`;

  it.each([
    ['two lines with ends', '- R15 = 82k, V2A.a to B+3\n- R15 = 82k, V2B.a to B+3', ['warning R15']],
    ['two rows', '| Ref | Value |\n| --- | --- |\n| R15 | 82k |\n| R15 | 82k |', ['warning R15']],
    [
      'a row and a line that says the ends',
      '| Ref | Value |\n| --- | --- |\n| R15 | 82k |\n\n- R15 = 82k, V2A.a to B+3',
      [],
    ],
    ['a rating added', '- R15 = 82k, V2A.a to B+3\n- R15 = 1W', []],
    ['a valve’s type said again with its readings', '- V5 = 6V6GT\n- V5 6V6GT: a 331, k 19.4', []],
    ['two halves of one valve', '- V1A = 12AX7, a R4 B+3\n- V1B = 12AX7, a R7 B+3', []],
    ['windings and their resistance', '- T2 = output 8k : 8R, V5.a V6.a, ct B+1\n- T2: 138R + 124R', []],
    ['what another revision has', '- R19 = 330R\n\n## Differs from revision a\n\n- R19 = 330R', []],
  ])('%s', async (_, lines, expected) => {
    expect(await said('ref-declared-twice', chassis(lines))).toEqual(expected);
  });

  it('leaves two different values to two-values', async () => {
    const text = chassis('- R15 = 82k, V2A.a to B+3\n- R15 = 100k, V2B.a to B+3');
    expect(await said('ref-declared-twice', text)).toEqual([]);
    expect(await said('two-values', text)).toEqual(['warning R15']);
  });
});

describe('the samples', () => {
  const sample = (path: string) => readFileSync(new URL(`../../samples/${path}`, import.meta.url), 'utf8');
  const RULES = [
    'residual-voltage',
    'earth-unchecked',
    'check-out-missing',
    'conditions-missing',
    'task-open',
    'wish-broken',
    'substitute-differs',
    'acceptance-unused',
    'acceptance-without-reason',
    'value-uncommon',
    'ref-declared-twice',
  ];

  it.each(['2041-larch-20-hum', '2047-larch-20-hot-valve', '2052-larch-20-tone'])(
    '%s is a record that lacks nothing',
    async (name) => {
      const { findings } = await analyse(sample(`jobs/${name}.tagstrip.md`), {
        '../chassis/larch-20.b.tagstrip.md': sample('chassis/larch-20.b.tagstrip.md'),
      });
      expect(findings.filter(({ rule }) => RULES.includes(rule)).map(({ rule }) => rule)).toEqual([]);
    },
  );
});
