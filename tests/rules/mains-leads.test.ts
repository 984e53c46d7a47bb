/** Mains leads without an earth: what is said of them, what they are mended by, and what is no mains lead. */
import { describe, expect, it } from 'vitest';
import { analyse } from '../support/check.ts';

async function said(body: string, chassis?: string): Promise<readonly string[]> {
  const head = chassis === undefined ? '' : '---\nchassis: ../chassis/c.tagstrip.md\n---\n';
  const beside: Record<string, string> = chassis === undefined ? {} : { '../chassis/c.tagstrip.md': chassis };
  const { findings } = await analyse(
    body.startsWith('---') ? body : `${head}# Job\n\n## As found\n\n${body}`,
    beside,
  );
  return findings
    .filter(({ severity }) => severity !== 'hint')
    .map(({ severity, rule, subject, phase }) => `${severity} ${rule} ${subject} ${phase ?? ''}`.trim());
}

describe('a mains lead without an earth', () => {
  it.each([
    '- PL1 = mains lead, two-core\n',
    '- PL1 = two-core mains lead\n',
    '- PL1 = 2-core mains cord, captive\n',
    '- PL1 = two-prong mains plug\n',
    '- W1 = mains cable 2 wire\n',
    '- PL1 = mains inlet, unearthed\n',
    '- PL1 = two-pin plug, line to neutral\n',
    '{PL1 = ungrounded mains lead}\n',
  ])('is an error: %s', async (body) => {
    expect(await said(body)).toEqual([expect.stringMatching(/^error two-core-mains (?:PL1|W1) as-found$/)]);
  });

  it('is one finding with the open earth that follows from it', async () => {
    expect(await said('- PL1 = mains lead, two-core\n- earth to chassis: open\n')).toEqual([
      'error two-core-mains PL1 as-found',
    ]);
  });

  it('that was renewed is what was found', async () => {
    const found =
      '- PL1 = mains lead, two-core\n\n## Work\n\n- PL1 -> mains lead, three-core\n\n## As left\n\n- earth to chassis: 0.1R\n';
    expect(await said(found)).toContain('info two-core-mains PL1 as-found');
    expect(await said(found)).not.toContain(expect.stringMatching(/^error/));
  });

  it('that stays is an error as left too', async () => {
    const stays = '- PL1 = mains lead, two-core\n\n## As left\n\n- mains: 231 V\n';
    expect(await said(stays)).toContain('error two-core-mains PL1 as-left');
  });

  it('of the chassis sheet is said there, once', async () => {
    const chassis = '---\nsheet: chassis\n---\n# Rowan 8\n\n- PL1 = mains lead, two-core\n- B+1: 300 V\n';
    expect(await said(chassis)).toEqual(['error two-core-mains PL1 factory']);
    expect(await said('- B+1: 300 V\n', chassis)).toEqual([]);
  });
});

describe('nothing is said of', () => {
  it.each([
    ['a lead with an earth', '- PL1 = mains lead, 3-core\n'],
    ['a lead of which nothing is said', '- PL1 = mains lead\n'],
    ['a declared class II lead', '- PL1 = two-core mains lead, class II\n'],
    ['a sheet of a class II amplifier', '---\nclass: II\n---\n# Job\n\n- PL1 = mains lead, two-core\n'],
    ['a loudspeaker’s plug', '- PL2 = two-pin loudspeaker plug\n'],
    ['a signal lead', '- W2 = two-core screened cable, J1 to V1A.g\n'],
  ])('%s', async (_, body) => {
    expect(await said(body)).toEqual([]);
  });
});
