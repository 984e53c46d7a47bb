/** The offer to accept a finding, on every rule's own example and in the corners of a sheet: it accepts that finding, breaks nothing, and is not made twice. */
import { describe, expect, it } from 'vitest';
import { acceptances } from '../../server/features/acceptances.ts';
import { rules } from '../../server/rules/registry.ts';
import { applyEdits } from '../../server/text/edits.ts';
import { analyse } from '../support/check.ts';

const REMINDER = 'acceptance-without-reason';

/** The sheet after the offer for the first finding of `rule` is taken; undefined where there is none. */
async function accept(
  text: string,
  rule: string,
  beside?: Readonly<Record<string, string>>,
): Promise<string | undefined> {
  const analysis = await analyse(text, beside);
  const finding = analysis.findings.find((each) => each.rule === rule);
  if (finding === undefined) throw new Error(`no ${rule}`);
  const offer = acceptances(analysis, finding.source.span).find((each) => each.finding === finding);
  return offer && applyEdits(text, offer.edits);
}

describe.each(rules.map((rule) => [rule.id, rule] as const))('accepting %s', (id, rule) => {
  it.each([
    ['LF', (text: string) => text],
    ['CRLF', (text: string) => text.replaceAll('\n', '\r\n')],
  ])('leaves the sheet as readable as it was, %s', async (_, turn) => {
    const text = turn(rule.bad.sheet);
    const fixed = await accept(text, id, rule.bad.beside);
    if (rule.category === 'writing' || rule.afterOthers === true) {
      expect(fixed).toBeUndefined();
      return;
    }
    if (fixed === undefined) throw new Error(`${id} cannot be accepted`);
    if (text.includes('\r\n')) expect(fixed).not.toMatch(/[^\r]\n/);
    const [before, after] = [await analyse(text, rule.bad.beside), await analyse(fixed, rule.bad.beside)];
    const own = after.findings.filter((each) => each.rule === id);
    expect(own.map(({ accepted }) => accepted)).toEqual(['no reason written']);
    const say = (all: typeof before.findings) =>
      all
        .filter((each) => each.rule !== REMINDER)
        .map((each) => `${each.severity} ${each.rule} ${each.subject}`);
    expect(say(after.findings)).toEqual(say(before.findings));
    expect(after.findings.filter((each) => each.rule === REMINDER)).toHaveLength(1);
    expect(
      acceptances(after, own[0]?.source.span ?? { start: 0, end: 0 }).filter(
        (each) => each.finding.rule === id,
      ),
    ).toEqual([]);
  });
});

describe('where the acceptance is written', () => {
  const taken = async (before: string, after: string) =>
    await accept(
      `# Job\n\n${before}\n\n- C21 = 47uF 450V electrolytic, B+1 to gnd\n- B+1: 490 V${after}`,
      'over-voltage',
    );
  const line = '\n\n{accept over-voltage C21: }';

  it.each([
    ['at the end of a sheet without a line end', '', `${line}\n`],
    ['at the end of a sheet', '\n', `${line}\n`],
    ['before the next heading', '\n\n## Work\n', `${line}\n\n## Work\n`],
    ['before a heading without a blank line', '\n## Work\n', `${line}\n\n## Work\n`],
    [
      'behind a list that goes on',
      '\n- B+1: 8 Vpp\n\n  with the lamp out\n',
      `\n- B+1: 8 Vpp\n\n  with the lamp out${line}\n`,
    ],
    [
      'behind a table',
      '\n\n| Valve | a |\n| --- | --- |\n| V4 | 348 |\n',
      `\n\n| Valve | a |\n| --- | --- |\n| V4 | 348 |${line}\n`,
    ],
    ['before code that is never closed', '\n\n```\nas it was\n', `${line}\n\n\`\`\`\nas it was\n`],
  ])('%s', async (_, after, expected) => {
    const fixed = await taken('## As found', after);
    expect(fixed).toBe(
      `# Job\n\n## As found\n\n- C21 = 47uF 450V electrolytic, B+1 to gnd\n- B+1: 490 V${expected}`,
    );
    const { findings } = await analyse(fixed ?? '');
    expect(findings.find(({ rule }) => rule === 'over-voltage')?.accepted).toBe('no reason written');
  });

  it('is an acceptance of both valves of a pair', async () => {
    const pair = rules.find(({ id }) => id === 'mismatched-pair');
    expect(await accept(pair?.bad.sheet ?? '', 'mismatched-pair')).toMatch(
      /\{accept mismatched-pair V\d V\d: \}/,
    );
  });
});
