/** Holds the pictures of every sample and of the healthy corpus: well-formed, everything within, words apart, said in words too. */
import { describe, expect, it } from 'vitest';
import type { Picture } from '../../server/summary/document.ts';
import { overlaps } from '../../server/summary/plot/label.ts';
import { summarise } from '../../server/summary/summary.ts';
import { healthySheets } from '../corpus/healthy.ts';
import { analyse } from '../support/check.ts';
import { readPicture } from './plot/svg.ts';
import { analyseSample, SAMPLES } from './samples.ts';

type Analysis = Awaited<ReturnType<typeof analyse>>;

function picturesOf(analysis: Analysis): readonly Picture[] {
  return summarise(analysis, { reader: 'bench' })
    .sections.flatMap(({ blocks }) => blocks)
    .filter((block) => block.kind === 'picture');
}

function plainSpaces(text: unknown): string {
  return String(text).replaceAll('\u00a0', ' ');
}

function hold(pictures: readonly Picture[]): void {
  for (const { drawing, alternative, table } of pictures) {
    const { words } = readPicture(drawing.markup);
    for (const [i, one] of words.entries())
      for (const other of words.slice(i + 1))
        expect([one.text, other.text, overlaps(one.box, other.box)]).toEqual([one.text, other.text, false]);
    expect(String(alternative)).toMatch(/\d/);
    expect(table?.rows.length).toBeGreaterThan(0);
  }
}

describe('pictures', () => {
  it.each(SAMPLES)('of %s are whole and readable', async (sample) => {
    hold(picturesOf(await analyseSample(sample)));
  });

  it('show what a job changed, how its output valves work, and its supply', async () => {
    const titles = picturesOf(await analyseSample('jobs/2052-larch-20-tone.tagstrip.md')).map(({ title }) =>
      String(title),
    );
    expect(titles[0]).toBe('Frequency response before and after the change of C2 (cathode bypass)');
    expect(titles).toContain('Load line of V3, 5881');
    expect(titles.at(-1)).toMatch(/^Supply from V5/);
  });

  it('cut no word short, in any language', async () => {
    const analysis = await analyseSample('jobs/2041-larch-20-hum.tagstrip.md');
    for (const language of ['en', 'de'] as const) {
      const told = { ...analysis, page: { ...analysis.page, language } };
      for (const { drawing } of picturesOf(told)) expect(drawing.markup).not.toContain('…');
    }
  });

  it('say each note once, and that the rest stands above', async () => {
    const pictures = picturesOf(await analyseSample('jobs/2047-larch-20-hot-valve.tagstrip.md'));
    const said = pictures.flatMap(({ notes }) => notes.map((note) => [note].flat().join('')));
    const repeated = said.filter((note, i) => said.indexOf(note) < i);
    expect(repeated).toEqual([]);
    const second = pictures.find(({ title }) => String(title).startsWith('Load line of V4'));
    expect(second?.notes.map(String)).toContain('All else is as noted above.');
  });

  it('show a number as the tables do: as it was read, else to three digits', async () => {
    const analysis = await analyseSample('jobs/2047-larch-20-hot-valve.tagstrip.md');
    const [line, supply] = ['Load line of V4', 'Supply from'].map((start) =>
      picturesOf(analysis).find(({ title }) => String(title).startsWith(start)),
    );
    const cells = (picture: Picture | undefined) =>
      (picture?.table?.rows ?? []).map((row) => ('cells' in row ? row.cells.map(plainSpaces) : []));
    // 25.2 W and 20.0 W, 109 % and 87.0 % stand in the table of stress.
    expect(cells(line).at(-1)).toEqual([
      'Anode dissipation',
      '25.2 W, 109 % of the limit',
      '20.0 W, 87.0 % of the limit',
    ]);
    expect(plainSpaces(line?.drawing.markup)).toContain('as left, 20.0 W');
    expect(cells(supply)[0]?.slice(2)).toEqual(['332.5 V', '335.4 V', '333.6 V', '22 V', '20 V']);
    // The note says where the direct current's line begins, as the meter said it.
    const notes = picturesOf(analysis).flatMap((picture) => picture.notes.map(plainSpaces));
    expect(notes.join(' ')).toContain('from B+1 at 335.4 V without current');
    const text = '# Job\n\n## As found\n\n- R23 = 10k 1W, B+2 to B+3\n- B+2: 328.0 V\n- B+3: 290 V\n';
    const [read] = picturesOf(await analyse(text));
    expect(cells(read).map((row) => row[2])).toEqual(['328.0 V', '290 V']);
    expect(plainSpaces(read?.drawing.markup)).toContain('328.0 V');
  });

  it('of units that differ are whole too', async () => {
    const some = healthySheets().filter((_, i) => i % 6 === 0);
    let count = 0;
    for (const { text, chassis } of some) {
      const pictures = picturesOf(
        await analyse(text, chassis === undefined ? {} : { '../chassis/unit.tagstrip.md': chassis }),
      );
      count += pictures.length;
      hold(pictures);
    }
    expect(count).toBeGreaterThan(some.length);
  });

  it('draw a coupling capacitor’s corner 3 dB down at 1/(2πRC), by hand', async () => {
    // 4.7 nF into 1 MΩ is 33.9 Hz, 2.2 nF 72.3 Hz (computed); the stage in front, some tens of kΩ, brings both down a little.
    const [picture] = picturesOf(
      await analyse(
        '# Job\n\n## As found\n\n- V1 = 12AX7\n- V1A: a 180, k 1.4, g 0\n- B+3: 280 V\n- R1 = 100k 1W, V1A.a to B+3\n- R2 = 1k5, V1A.k to gnd\n- R3 = 1M, V1B.g to gnd\n- R4 = 1k5, V1B.k to gnd\n- R5 = 100k 1W, V1B.a to B+3\n- C1 = 4n7 630V, V1A.a to V1B.g\n\n## Work\n\n- C1 = 4n7 630V -> 2n2 630V film\n',
      ),
    );
    if (picture === undefined) throw new Error('no picture');
    expect(String(picture.title)).toMatch(/C1 \(coupling\)/);
    const row = (picture.table?.rows ?? []).map((each) => ('cells' in each ? each.cells.map(String) : []));
    const corners = row.find(([name]) => name?.includes('3 dB'));
    const hz = (corners ?? []).slice(1).map((cell) => Number(/[\d.]+/.exec(cell)?.[0]));
    expect(hz[0]).toBeGreaterThan(31);
    expect(hz[0]).toBeLessThan(33.9);
    expect(hz[1]).toBeGreaterThan(64);
    expect(hz[1]).toBeLessThan(72.3);
  });
});
