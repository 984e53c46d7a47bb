/** Holds every fixed word of documents over many sheets to the one table, over the whole invented shop. */
import { describe, expect, it } from 'vitest';
import { compareAmplifiers } from '../../server/shop/compare.ts';
import { failuresOf } from '../../server/shop/failures.ts';
import { findReturns, visitFactsOf } from '../../server/shop/history.ts';
import { findLike } from '../../server/shop/likeness.ts';
import { tellMod } from '../../server/shop/mod-effects.ts';
import { judgeMods } from '../../server/shop/mods.ts';
import { gatherOrders, ordersOf } from '../../server/shop/orders.ts';
import { countRepeats } from '../../server/shop/repeats.ts';
import { comparisonDocument } from '../../server/summary/compare.ts';
import { comparisonPictures } from '../../server/summary/compare-pictures.ts';
import type { SummaryDocument } from '../../server/summary/document.ts';
import { historyDocument } from '../../server/summary/history.ts';
import { modPictures } from '../../server/summary/mod-pictures.ts';
import { modsDocument } from '../../server/summary/mods.ts';
import { ordersDocument } from '../../server/summary/orders.ts';
import { printHtml } from '../../server/summary/print-html.ts';
import { likenessDocument, repeatsDocument } from '../../server/summary/repeats.ts';
import { type Speech, speechOf } from '../../server/summary/speech.ts';
import { markedSpeech, wordsUntold } from './marked-speech.ts';
import { textOf } from './page.ts';
import { analyseSample, SAMPLES, textOfSample } from './samples.ts';

const WRITTEN = SAMPLES.flatMap((path) => [textOfSample(path), path]);

async function all() {
  return Promise.all(SAMPLES.map(async (path) => ({ path, analysis: await analyseSample(path) })));
}

async function comparison(speech: Speech): Promise<SummaryDocument> {
  const [was, is] = await Promise.all(
    ['b', 'c'].map((of) => analyseSample(`chassis/larch-20.${of}.tagstrip.md`)),
  );
  if (was === undefined || is === undefined) throw new Error('two revisions');
  const { catalogue, house } = is.input;
  const compared = compareAmplifiers(was.amplifier, is.amplifier, { catalogue, house }, speech.shop);
  return comparisonDocument(compared, comparisonPictures(compared, speech.plots), speech);
}

async function mods(speech: Speech): Promise<SummaryDocument> {
  const sheets = await all();
  const own = sheets
    .filter(({ analysis }) => analysis.sheet.kind === 'mod')
    .map(({ analysis: { amplifier, input } }) => ({
      amplifier,
      origins: (input.targets ?? []).map((target) => target.amplifier),
    }));
  const targets = sheets.filter(
    ({ path }) => path.startsWith('chassis/') || /jobs\/(?:2103|2052)/.test(path),
  );
  const told = targets.map(({ path, analysis: { amplifier, earlier, input } }) => {
    const target = { amplifier, ...(earlier && { earlier: earlier.amplifier }) };
    const judged = judgeMods(own, target, input.catalogue, speech.shop);
    const pictures = modPictures(judged.mods, amplifier, speech.plots, 1);
    return {
      judged,
      path,
      pictures,
      told: judged.mods.map((mod) => tellMod(mod, amplifier, input, speech.shop)),
    };
  });
  return modsDocument(told, ({ file }) => file.slice(file.lastIndexOf('/') + 1), speech);
}

async function repeats(speech: Speech): Promise<SummaryDocument> {
  const counter = countRepeats();
  for (const { analysis, path } of await all()) {
    const facts = failuresOf(analysis, path, speech.shop);
    if (facts !== undefined) counter.add(facts);
  }
  return repeatsDocument(counter.result(), speech);
}

async function likeness(speech: Speech): Promise<SummaryDocument> {
  const facts = (await all()).flatMap(({ analysis, path }) => failuresOf(analysis, path, speech.shop) ?? []);
  const asked = facts.find(({ visit }) => visit.job === '2117');
  if (asked === undefined) throw new Error('job 2117');
  return likenessDocument(findLike(asked, facts), speech);
}

async function orders(speech: Speech): Promise<SummaryDocument> {
  const wanted = (await all()).flatMap(({ analysis, path }) => ordersOf(analysis, path, speech.shop) ?? []);
  return ordersDocument(gatherOrders(wanted), speech);
}

async function history(speech: Speech): Promise<SummaryDocument> {
  const facts = (await all()).flatMap(
    ({ analysis, path }) => visitFactsOf(analysis, () => path, speech.shop) ?? [],
  );
  return historyDocument(findReturns(facts), speech);
}

const DOCUMENTS = { comparison, mods, repeats, likeness, orders, history };

describe('every fixed word comes from the table', () => {
  it.each(Object.entries(DOCUMENTS))('%s', async (_, make) => {
    const page = printHtml(await make(markedSpeech));
    expect(page).toContain('⟦');
    expect(wordsUntold(page, WRITTEN)).toEqual([]);
  });
});

describe('a page over many sheets in German', () => {
  const german = speechOf({ language: 'de', decimal: ',' });

  it.each(Object.entries(DOCUMENTS))('%s', async (_, make) => {
    const page = printHtml(await make(german));
    expect(page).toContain('<html lang="de"');
    const own = textOf(page.replace(/<span lang="en">[\s\S]*?<\/span>/g, ' '));
    // Words that our sentences have and no author of the samples writes.
    expect(own).not.toMatch(/\b(?:visits|voltage margin|every other part|beam tetrodes)\b/);
    expect(own).not.toMatch(/\bsicher(?:e|er|es|en)?\b/i);
  });
});
