/** Holds the return visit: what was left then beside what is read today, and only what was read both times. */
import { describe, expect, it } from 'vitest';
import { renderHtml } from '../../server/summary/html.ts';
import { analyse } from '../support/check.ts';
import { sectionOf } from './page.ts';

const THEN =
  '---\njob: 2031\n---\n# Then\n\n## As left\n\nMains {mains: 230 V}.\n\n- B+1: 340 V\n- V3 5881: k 23.0\n- B+2: 330 V\n';

async function against(today: string, then = THEN): Promise<string> {
  const analysis = await analyse(`---\nreturns: 2031.tagstrip.md\n---\n# Back\n\n${today}`, {
    '2031.tagstrip.md': then,
  });
  return sectionOf(renderHtml(analysis, { reader: 'bench' }), 'Against the earlier job');
}

describe('an amplifier that comes back', () => {
  it('is compared with how it left, at equal mains', async () => {
    const said = await against(
      '## As found\n\nMains {mains: 236 V}.\n\n- B+1: 325 V\n- V3: k 23.1\n- B+3: 250 V\n',
    );
    expect(said).toContain('Point / What / Left on 2031 / As found / Difference /');
    expect(said).toContain('B+1 / DC volts / 340 V / 325 V / −15 V (−4.4 %) −6.8 % at equal mains /');
    expect(said).toContain('V3.k / DC volts / 23.0 V / 23.1 V /');
    expect(said).not.toContain('B+2');
    expect(said).not.toContain('B+3');
  });

  it('has today’s as left beside it, and the difference to that', async () => {
    const said = await against(
      '## As found\n\nMains {mains: 230 V}.\n\n- B+1: 300 V\n\n## As left\n\nMains {mains: 230 V}.\n\n- B+1: 341 V\n',
    );
    expect(said).toContain('B+1 / DC volts / 340 V / 300 V / 341 V / +1 V (+0.3 %) /');
  });

  it('says so where nothing can be compared', async () => {
    expect(await against('## As found\n\n- B+7: 300 V\n')).toBe(
      'No reading of today has its like as left on 2031. /',
    );
  });
});
