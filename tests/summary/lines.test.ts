/** Holds the way back from the page to the sheet: what comes from a line of this sheet carries it, and nothing else does. */
import { describe, expect, it } from 'vitest';
import { renderHtml } from '../../server/summary/html.ts';
import { tagsOf } from './page.ts';
import { analyseSample, textOfSample } from './samples.ts';

const SAMPLE = 'jobs/2041-larch-20-hum.tagstrip.md';

async function linesOf(reader: 'bench' | 'customer' | 'label') {
  const page = renderHtml(await analyseSample(SAMPLE), { reader });
  const source = textOfSample(SAMPLE).split('\n');
  return [...page.matchAll(/<(\w+)[^>]* data-line="(\d+)"[^>]*>(.*?)<\/\1>/gs)].map(
    ([, , line, content = '']) => ({
      source: source[Number(line)] ?? '',
      said: content.replace(/<[^>]*>/g, ' ').replace(/\u00a0/g, ' '),
    }),
  );
}

describe('the lines on a page', () => {
  it('are those of the sheet, from 0', async () => {
    const lines = await linesOf('bench');
    expect(lines.length).toBeGreaterThan(30);
    const change = lines.find(({ said }) => said.includes('C11') && said.includes('47 µF 500 V'));
    expect(change?.source).toContain('C11 = 47uF 500V electrolytic -> 47uF 550V');
    const complaint = lines.find(({ said }) => said.startsWith('Loud even buzz'));
    expect(complaint?.source).toContain('Loud even buzz');
    const reading = lines.find(({ said }) => said.includes('B+1') && said.includes('339.6 V'));
    expect(reading?.source).toContain('B+1: 339.6 V');
  });

  it('stand on the owner’s text and on the slip too', async () => {
    expect((await linesOf('customer')).some(({ source }) => source.startsWith('The main smoothing'))).toBe(
      true,
    );
    expect((await linesOf('label')).some(({ source }) => source.includes('C11 = 47uF'))).toBe(true);
  });

  it('lie within the sheet, and a chassis sheet’s are not given as its own', async () => {
    const analysis = await analyseSample(SAMPLE);
    const count = analysis.sheet.snapshot.lineStarts.length;
    const page = renderHtml(analysis, { reader: 'bench' });
    const lines = tagsOf(page).flatMap(({ attributes }) => attributes['data-line'] ?? []);
    expect(lines.map(Number).filter((line) => !(line >= 0 && line < count))).toEqual([]);
    // C13's volts at switch-on come from the chassis sheet; what was read at it stands in this one.
    expect(page).toContain('larch-20.b, line\u00a017');
  });
});
