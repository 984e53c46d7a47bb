/** Owns which pictures stand on the page for the bench, and in which order: what was changed, how the valves work, the supply. */
import { findLoadLines } from '../bench/load-lines.ts';
import { findResponses } from '../bench/response.ts';
import { findSupplyChains } from '../bench/supply-chain.ts';
import { type Block, pictureOf, type Text } from './document.ts';
import type { Plot } from './plot/drawing.ts';
import { loadLinePlot } from './plot/load-line-plot.ts';
import type { PlotWords } from './plot/plot-words.ts';
import { responsePlot } from './plot/response-plot.ts';
import { supplyPlot } from './plot/supply-plot.ts';
import type { Telling } from './telling.ts';

/** More of one kind than this nobody looks through; the figures of the others stand in the tables. */
const MOST_OF_A_KIND = 6;

type Draw = (number: number) => Plot;

/** Pictures are numbered through the page, since each names its own words by an id. */
export function pictureBlocks({ amplifier, analysis, words, english }: Telling): readonly Block[] {
  const says = analysis.page.decimal === ',' ? withComma(words.plot) : words.plot;
  const draws: readonly Draw[] = [
    ...findResponses(amplifier, MOST_OF_A_KIND).map(
      (response): Draw =>
        (number) =>
          responsePlot(response, says, number),
    ),
    ...findLoadLines(amplifier)
      .slice(0, MOST_OF_A_KIND)
      .map(
        (line): Draw =>
          (number) =>
            loadLinePlot(line, says, number),
      ),
    ...findSupplyChains(amplifier).map(
      (chain): Draw =>
        (number) =>
          supplyPlot(chain, says, number),
    ),
  ];
  return draws.map((draw, i) => {
    const plot = draw(i + 1);
    return { ...pictureOf(plot), notes: plot.notes.map((note) => markEnglish(note, english)) };
  });
}

/** In another language what came in English from below stands between ‹ and ›; it is marked for those who listen. */
function markEnglish(note: string, english: Telling['english']): Text {
  return note.split(/(‹[^‹›]*›)/).map((part) => (part.startsWith('‹') ? english(part) : part));
}

function withComma(words: PlotWords): PlotWords {
  const comma = (written: string) => written.replace(/(?<=\d)\.(?=\d)/g, ',');
  return {
    ...words,
    formatNumber: (value) => comma(words.formatNumber(value)),
    formatQuantity: (quantity, digits) => comma(words.formatQuantity(quantity, digits)),
    formatShare: (share) => comma(words.formatShare(share)),
  };
}
