import { describe, expect, it } from 'vitest';
import { renderHtml } from '../../server/summary/html.ts';
import { longSheet } from '../perf/long-sheet.ts';
import { analyse } from '../support/check.ts';
import { findUnpaired, sectionOf } from './page.ts';
import { analyseSample } from './samples.ts';

async function changes(sample: string, folder = 'jobs'): Promise<string> {
  const analysis = await analyseSample(`${folder}/${sample}.tagstrip.md`);
  const page = renderHtml(analysis, { reader: 'bench' });
  expect(findUnpaired(page)).toBeUndefined();
  return sectionOf(page, 'Parts changed');
}

describe('what a change does', () => {
  it('stands under it, at rest apart from with signal', async () => {
    const said = await changes('2052-larch-20-tone');
    expect(said).toMatch(
      /line 36 \/ DC: voltage margin 94\.7 → 97\.9 % \/ AC: shelf 4\.82 to 9\.59 → 156 to 310 Hz; level from V1A\.g to V1B\.g moved: 82 Hz −5\.2 dB, 400 Hz −1\.4 dB, 1 kHz −0\.3 dB, 5 kHz 0 dB \//,
    );
    expect(said).toMatch(/line 38 \/ DC: voltage margin 8 → 63\.5 % \//);
  });

  it('says what it holds: its own under it, what all hold once below the table', async () => {
    const said = await changes('2052-larch-20-tone');
    expect(said).toContain(
      'Held: VR2 at 5 (assumed); feedback loop open at R14; V1B, V2A, V2B at the catalogue’s',
    );
    expect(said.match(/every other part as left/g)).toHaveLength(1);
  });

  it('is marked as expected where it was solved', async () => {
    const said = await changes('2047-larch-20-hot-valve');
    expect(said).toMatch(
      /DC, expected: V4 bias −18\.6 → −23\.2 V; V4 anode dissipation 25\.3 → 20\.6 W \(110 → 89\.6 % of 23 W\)/,
    );
    // Its own volts, told after another part's, bear its name.
    expect(said).toMatch(/of 23 W\); C10 voltage 169 → 187 V; C10 voltage margin/);
    expect(said).toContain('Held: average new valves, solved and not read');
    expect(await changes('2041-larch-20-hum')).toContain('; expected B+1 ripple (p-p) 127 → 20.5 V');
  });

  it('is not told of work on the very part', async () => {
    expect(await changes('2041-larch-20-hum')).toMatch(
      /resoldered \/ one leg was dull \/ line 57 \/ What each/,
    );
  });

  it('stands in a mod sheet too, on the chassis that it was written for', async () => {
    expect(await changes('tight-bass', 'mods')).toMatch(
      /C2 cathode bypass \/ 22 µF 25 V \/ 680 nF 63 V film \/ line 13 \/ DC: voltage margin 94\.7 → 97\.9 % \/ AC: shelf 4\.82 to 9\.59 → 156 to 310 Hz; /,
    );
  });

  it('is nothing for the customer', async () => {
    for (const sample of ['2041-larch-20-hum', '2047-larch-20-hot-valve', '2052-larch-20-tone']) {
      const analysis = await analyseSample(`jobs/${sample}.tagstrip.md`);
      expect(renderHtml(analysis, { reader: 'customer' })).not.toMatch(/→|\bdB\b|Held:|DC:|AC:/);
    }
  });
});

describe('a long sheet with many changes', () => {
  const work = Array.from(
    { length: 60 },
    (_, i) => `- C${i * 10 + 10} = 22n 630V film -> 10n 630V film\n- R${i * 10 + 10} = 100k -> 220k 1W\n`,
  );

  it('tells of the first forty, and says so', async () => {
    const analysis = await analyse(`${longSheet(500)}\n## Work\n\n${work.join('')}`);
    const said = sectionOf(renderHtml(analysis, { reader: 'bench' }), 'Parts changed');
    expect(said.match(/AC: /g)?.length).toBeGreaterThan(10);
    expect(said.match(/AC: /g)?.length).toBeLessThanOrEqual(40);
    expect(said).toContain('Effects are worked out for the first 40 changes; 80 more stand without.');
  });
});
