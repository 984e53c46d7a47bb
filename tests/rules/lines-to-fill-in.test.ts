/** The lines that are offered for readings still to be taken: where they are put, that they say nothing yet, and that filling them in is enough. */
import { describe, expect, it } from 'vitest';
import { fixes } from '../../server/features/fixes.ts';
import { applyEdits } from '../../server/text/edits.ts';
import { analyse } from '../support/check.ts';

const RETURNED = '---\nreturned: 2026-03-06\n---\n# Job\n\n';
const DISCHARGED = '- plug out, discharged through 10k: B+1: 3 V\n';

/** The sheet after the rule's first fix. */
async function fix(rule: string, text: string): Promise<string> {
  const analysis = await analyse(text);
  const offer = fixes(analysis, { start: 0, end: text.length }).find(({ finding }) => finding.rule === rule);
  if (offer === undefined) throw new Error(`no fix for ${rule}`);
  return applyEdits(text, offer.edits);
}

async function rulesOf(text: string): Promise<readonly string[]> {
  return (await analyse(text)).findings.map(({ rule }) => rule);
}

describe('the earth', () => {
  const work = `${RETURNED}## Work\n\n${DISCHARGED}- F1 = T1A -> T1A\n`;
  it.each([
    [
      'in the list that ends As left',
      `${work}\n## As left\n\n- B+1: 330 V\n`,
      '- B+1: 330 V\n- earth to chassis: ?\n',
    ],
    ['behind a paragraph', `${work}\n## As left\n\nPlays well.\n`, 'Plays well.\n\n- earth to chassis: ?\n'],
    [
      'behind a table, and before the next heading',
      `${work}\n## As left\n\n| Valve | a |\n| --- | --- |\n| V4 | 348 |\n\n## Owner\n\nIt works.\n`,
      '| V4 | 348 |\n\n- earth to chassis: ?\n\n## Owner\n',
    ],
    ['under a heading of its own', work, '- F1 = T1A -> T1A\n\n## As left\n\n- earth to chassis: ?\n'],
    [
      'where there are no headings',
      `${RETURNED}- F1 = T1A -> T1A\n`,
      '- F1 = T1A -> T1A\n- earth to chassis: ?\n',
    ],
    ['under an empty heading', `${work}\n## As left\n`, '## As left\n\n- earth to chassis: ?\n'],
  ])('is a line %s', async (_, text, expected) => {
    const fixed = await fix('earth-unchecked', text);
    expect(fixed).toContain(expected);
    const crlf = await fix('earth-unchecked', text.replaceAll('\n', '\r\n'));
    expect(crlf).toBe(fixed.replaceAll('\n', '\r\n'));
    expect(await rulesOf(fixed)).toContain('earth-unchecked');
    expect(await rulesOf(fixed.replace('?', '0.1R'))).not.toContain('earth-unchecked');
  });
});

describe('the check-out', () => {
  it('is a line for every valve that was worked around', async () => {
    const text = `${RETURNED}## As found\n\n- V5 = 6V6GT\n- R17 = 470R 5W, V5.k to gnd\n\n## Work\n\n${DISCHARGED}- V5 = 6V6GT -> 6V6GT\n`;
    const fixed = await fix('check-out-missing', text);
    expect(fixed).toContain('-> 6V6GT\n\n## As left\n\n- V5: a ?, g2 ?, k ?\n');
    const filled = fixed.replace('a ?, g2 ?, k ?', 'a 311, g2 301, k 19.2');
    expect(await rulesOf(filled)).not.toContain('check-out-missing');
  });

  it('is the volts and the ripple of a rail', async () => {
    const text = `${RETURNED}## As found\n\n- V9 = GZ34, T1 to B+1\n- C21 = 47uF 450V, B+1 to gnd\n\n## Work\n\n${DISCHARGED}- C21 = 47uF 450V -> 47uF 500V\n\n## As left\n\nHums no more.\n`;
    const fixed = await fix('check-out-missing', text);
    expect(fixed).toContain('Hums no more.\n\n- B+1: ? V\n- B+1: ? Vpp\n');
    expect(await rulesOf(fixed.replace('? Vpp', '8 Vpp').replace('? V', '330 V'))).not.toContain(
      'check-out-missing',
    );
  });
});

describe('the mains of a chart', () => {
  it('is a line in front of it', async () => {
    const text =
      '# Job\n\n## As found\n\n- V5: a 331, k 19.4\n\n## As left\n\nMains {mains: 233 V}.\n\n- V5: a 334, k 19.6\n';
    const fixed = await fix('conditions-missing', text);
    expect(fixed).toContain('## As found\n\nMains {mains: ? V}.\n\n- V5: a 331');
    expect(await rulesOf(fixed.replace('? V', '231 V'))).not.toContain('conditions-missing');
  });
});

describe('a number without a unit', () => {
  it('may be any of those that it can be on such a part', async () => {
    const text = '# Job\n\n## As found\n\n- L1: 10\n';
    const { findings } = await analyse(text);
    expect(findings.map(({ rule }) => rule)).toEqual(['unit-missing']);
    const titles = fixes(await analyse(text), { start: 0, end: text.length }).map(({ title }) => title);
    expect(titles).toEqual([
      'Write 10R (10 ohms)',
      'Write 10 H (10 henries)',
      'Write 10 mA (10 milliamperes)',
    ]);
  });
});
