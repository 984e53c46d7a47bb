/** Holds every fixed word of every document to the one table: in a language whose words stand in marks, nothing else is found unmarked. */
import { describe, expect, it } from 'vitest';
import { sheetsOf } from '../../server/shop/shop.ts';
import { printHtml } from '../../server/summary/print-html.ts';
import { type SummaryOptions, summarise } from '../../server/summary/summary.ts';
import { markedSpeech, wordsUntold } from './marked-speech.ts';
import { analyseSample, SAMPLES } from './samples.ts';

const FORMS: readonly SummaryOptions[] = [
  { reader: 'bench' },
  { reader: 'customer', withReadings: true },
  { reader: 'label' },
];

describe('every fixed word of a summary comes from the table', () => {
  it.each(SAMPLES)('%s', async (path) => {
    const analysis = await analyseSample(path);
    const { earlier } = analysis;
    const written = [...sheetsOf(analysis), ...(earlier === undefined ? [] : [earlier.sheet])].flatMap(
      ({ snapshot, uri }) => [snapshot.text, uri],
    );
    for (const form of FORMS) {
      const page = printHtml(summarise(analysis, { ...form, speech: markedSpeech }));
      expect(page).toContain('⟦');
      expect(wordsUntold(page, written), form.reader).toEqual([]);
    }
  });
});
