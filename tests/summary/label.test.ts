/** Holds the slip in the chassis: mains and bias as they were at check-out, what is not as drawn, and nothing invented. */
import { describe, expect, it } from 'vitest';
import { renderHtml } from '../../server/summary/html.ts';
import { renderMarkdown } from '../../server/summary/markdown.ts';
import { analyse } from '../support/check.ts';
import { textOf } from './page.ts';
import { analyseSample } from './samples.ts';

async function slipOf(sheet: string, others?: Record<string, string>): Promise<string> {
  const analysis = sheet.startsWith('jobs/') ? await analyseSample(sheet) : await analyse(sheet, others);
  return textOf(renderHtml(analysis, { reader: 'label' }));
}

describe('the label', () => {
  it('has mains and bias at check-out, with the limit', async () => {
    const slip = await slipOf('jobs/2041-larch-20-hum.tagstrip.md');
    expect(slip).toContain('Job / 2041 / Finished / 2026-03-06 / Mains at check-out / 234 V');
    expect(slip).toContain('V3 cathode 23.6 V; 71.5 mA through the cathode; anode 20.9 W, 90.7 % of 23 W');
    expect(slip).toContain('Volts as read; currents and watts computed from them.');
  });

  it('lists parts that are not as drawn with value and date, and not those that were brought back to it', async () => {
    const slip = await slipOf('jobs/2052-larch-20-tone.tagstrip.md');
    expect(slip).toContain('Fitted 2026-04-17: / C2 680 nF 63 V film in place of 22 µF 25 V electrolytic /');
    expect(slip).not.toContain('C15');
  });

  it('keeps what somebody before us fitted, with the day it was found', async () => {
    const slip = await slipOf(
      '---\nchassis: ../chassis/x.tagstrip.md\nreceived: 2026-05-01\n---\n# X\n\n## As found\n\n- R1 = 220k 0.5W\n',
      { '../chassis/x.tagstrip.md': '---\nsheet: chassis\n---\n# X\n\n- R1 = 100k 0.5W, V1A.a to B+1\n' },
    );
    expect(slip).toContain('Found 2026-05-01: / R1 220 kΩ 0.5 W in place of 100 kΩ 0.5 W /');
  });

  it('keeps what the job before fitted, with its day, unless something is written of it since', async () => {
    const slip = await slipOf('jobs/2103-larch-20-back-again.tagstrip.md');
    expect(slip).toContain('Fitted 2026-09-02: / C12 47 µF 550 V electrolytic in place of');
    expect(slip).toContain(
      'Fitted 2026-03-06: / C11 47 µF 550 V electrolytic in place of 47 µF 500 V electrolytic /',
    );
    // Resoldered in that job, and so as drawn.
    expect(slip).not.toContain('R25');
    const others = {
      '../chassis/x.tagstrip.md': '---\nsheet: chassis\n---\n# X\n\n- R1 = 100k 0.5W\n- R2 = 1k\n- R3 = 2k\n',
      '1.tagstrip.md':
        '---\nchassis: ../chassis/x.tagstrip.md\n---\n# X\n\n## Work\n\n- R1 -> 220k\n- R2 -> 1k5\n- R3 -> 2k2\n',
    };
    const again = await slipOf(
      '---\nchassis: ../chassis/x.tagstrip.md\nreturns: 1.tagstrip.md\n---\n# X\n\n## As found\n\n- R2 = 1k\n\n## Work\n\n- R3 -> 2k\n',
      others,
    );
    expect(again).toMatch(/No date written: \/ R1 220 kΩ/);
    expect(again).not.toMatch(/R2|R3/);
  });

  it('says what was taken out for good, and nothing of what was looked at and left', async () => {
    const slip = await slipOf(
      '---\nchassis: ../chassis/x.tagstrip.md\nreturned: 2026-05-04\n---\n# X\n\n## Work\n\n- C1 -> removed\n- C2 -> same\n',
      {
        '../chassis/x.tagstrip.md':
          '---\nsheet: chassis\n---\n# X\n\n- C1 = 47n 400V, V1A.a to gnd\n- C2 = 22n 400V\n',
      },
    );
    expect(slip).toContain('Fitted 2026-05-04: / C1 taken out (47 nF 400 V) /');
    expect(slip).not.toContain('C2');
  });

  it('says fixed bias by its grid volts', async () => {
    const slip = await slipOf(
      '# X\n\n## As left\n\nMains {mains: 230 V}.\n\n- V5 = 6L6GC\n- R1 = 1R, V5.k to gnd\n- V5: a 440, g2 438, g -40.7, k 35 mV\n',
    );
    expect(slip).toMatch(/V5 grid −40\.7 V; cathode 35 mV; 35\.0 mA through the cathode; anode 14\.\d W/);
  });

  it('fills nothing in', async () => {
    const slip = await slipOf('# X\n\n## Work\n\n- C1 = 10uF 25V -> 22uF 50V\n');
    expect(slip).toContain('Serial number / not written / Job / not written / Finished / not written');
    expect(slip).toContain('Mains at check-out / not read');
    expect(slip).toContain('Bias at check-out: not read.');
    expect(slip).toContain('No date written: / C1 22 µF 50 V in place of 10 µF 25 V /');
    expect(slip).toContain('Which parts are original is not known');
  });

  it('warns and leaves judgement to others, as Markdown too', async () => {
    const analysis = await analyseSample('jobs/2041-larch-20-hum.tagstrip.md');
    for (const said of [
      textOf(renderHtml(analysis, { reader: 'label' })),
      renderMarkdown(analysis, { reader: 'label' }),
    ])
      expect(said).toMatch(/can kill, also with the plug out.*Local codes and licensed practice decide/);
  });
});
