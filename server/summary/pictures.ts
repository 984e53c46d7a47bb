/** Owns which pictures stand on the page for the bench, and in which order: what was changed, how the valves work, the supply. */
import { findLoadLines } from '../bench/load-lines.ts';
import { findResponses } from '../bench/response.ts';
import { findSupplyChains } from '../bench/supply-chain.ts';
import { type Block, pictureOf } from './document.ts';
import type { Plot } from './plot/drawing.ts';
import { loadLinePlot } from './plot/load-line-plot.ts';
import { responsePlot } from './plot/response-plot.ts';
import { supplyPlot } from './plot/supply-plot.ts';
import type { Telling } from './telling.ts';

/** More of one kind than this nobody looks through; the figures of the others stand in the tables. */
const MOST_OF_A_KIND = 6;

type Draw = (number: number) => Plot;

/** Pictures are numbered through the page, since each names its own words by an id. */
export function pictureBlocks({ amplifier, plots, words, markEnglish }: Telling): readonly Block[] {
  const draws: readonly Draw[] = [
    ...findResponses(amplifier, MOST_OF_A_KIND).map(
      (response): Draw =>
        (number) =>
          responsePlot(response, plots, number),
    ),
    ...findLoadLines(amplifier)
      .slice(0, MOST_OF_A_KIND)
      .map(
        (line): Draw =>
          (number) =>
            loadLinePlot(line, plots, number),
      ),
    ...findSupplyChains(amplifier).map(
      (chain): Draw =>
        (number) =>
          supplyPlot(chain, plots, number),
    ),
  ];
  // What was said below one picture holds for its neighbour, and is not said again.
  const told = new Set<string>();
  return draws.map((draw, i) => {
    const plot = draw(i + 1);
    const fresh = plot.notes.filter((note) => !told.has(note));
    for (const note of fresh) told.add(note);
    const notes = fresh.map((note) => markEnglish(note));
    return {
      ...pictureOf(plot),
      notes: fresh.length === plot.notes.length ? notes : [...notes, words.bench.pictureAsBefore],
    };
  });
}
