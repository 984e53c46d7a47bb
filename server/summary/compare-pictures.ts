/** Owns the pictures of a comparison: the response of both amplifiers laid over each other, for each difference that is heard. */
import { findResponses } from '../bench/response.ts';
import type { Comparison } from '../shop/compare.ts';
import { type Block, pictureOf } from './document.ts';
import type { PlotWords } from './plot/plot-words.ts';
import { responsePlot } from './plot/response-plot.ts';

/** More pictures than this no reader compares. */
const MOST_PICTURES = 8;

/** One difference at a time, in the first amplifier with all else as it stands there. */
export function comparisonPictures(
  { was: { amplifier }, parts }: Comparison,
  plots: PlotWords,
): readonly Block[] {
  const changes = parts.flatMap(({ effects }) => effects.map(({ change }) => change));
  return findResponses({ ...amplifier, changes }, MOST_PICTURES).map((response, i) =>
    pictureOf(responsePlot(response, plots, i + 1)),
  );
}
