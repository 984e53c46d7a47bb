/** Holds the before/after picture: only where it is asked for, in plain words with a gloss, and nothing that was not read. */
import { describe, expect, it } from 'vitest';
import { renderHtml } from '../../server/summary/html.ts';
import { analyse } from '../support/check.ts';
import { sectionOf } from './page.ts';
import { analyseSample } from './samples.ts';

async function pictureOf(sheet: string, withReadings = true): Promise<string> {
  const analysis = sheet.startsWith('jobs/') ? await analyseSample(sheet) : await analyse(sheet);
  return sectionOf(renderHtml(analysis, { reader: 'customer', withReadings }), 'Before and after');
}

describe('the customer’s before and after', () => {
  it('stands only where it is asked for', async () => {
    expect(await pictureOf('jobs/2041-larch-20-hum.tagstrip.md', false)).toBe('');
  });

  it('tells mains, supply, hum, each output valve and the earth, each with what it is', async () => {
    const said = await pictureOf('jobs/2041-larch-20-hum.tagstrip.md');
    expect(said).toContain('mains voltage at that moment what the wall socket gave / 236 V / 234 V /');
    expect(said).toMatch(/main supply voltage .* \/ 325\.6 V \/ 339\.6 V \//);
    expect(said).toMatch(
      /hum on the main supply .*; peak to peak is from trough to crest \/ 127 V peak to peak \/ 20 V peak to peak \//,
    );
    expect(said).toMatch(/current of output valve V3 .* \/ 68\.2 mA \/ 71\.5 mA \//);
    expect(said).toMatch(/heat in output valve V4 \/ 18\.8 W, 81\.8 % \/ 20\.6 W, 89\.6 % \//);
    expect(said).toMatch(/earth connection .* \/ 0\.1 Ω \/ 0\.1 Ω \//);
  });

  it('compares a test signal only with the one of the same frequency', async () => {
    const said = await pictureOf(
      '# X\n\n- LS1 = 8R 30W\n\n## As found\n\n1 kHz:\n\n- LS1: 3.2 Vrms\n\n## As left\n\n1 kHz:\n\n- LS1: 8.1 Vrms at 1 kHz\n- LS1: 7.9 Vrms at 100 Hz\n',
    );
    expect(said).toContain('loudspeaker at 100 Hz / not read / 7.9 V rms /');
  });

  it('says what was not read, and that nothing was', async () => {
    expect(await pictureOf('# X\n\n## As found\n\n- B+1: 340 V\n')).toMatch(
      /When it came in \/ main supply voltage .* \/ 340 V \/$/,
    );
    expect(await pictureOf('# X\n\n## Work\n\n- C1 -> removed\n')).toBe(
      'No readings in normal running are written on the sheet. /',
    );
  });
});
