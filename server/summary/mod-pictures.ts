/** Owns the pictures of mods: of each the frequency response before and after all its changes, where any of it is heard. */
import type { Amplifier } from '../bench/model.ts';
import { findModResponses } from '../shop/mod-effects.ts';
import type { ModJudged } from '../shop/mods.ts';
import { type Block, pictureOf } from './document.ts';
import type { PlotWords } from './plot/plot-words.ts';
import { responsePlot } from './plot/response-plot.ts';

/** One a mod at most, of the way that moves most. Pictures are numbered through the page, from `first` on. */
export function modPictures(
  mods: readonly ModJudged[],
  amplifier: Amplifier,
  plots: PlotWords,
  first: number,
): ReadonlyMap<ModJudged, Block> {
  const pictures = new Map<ModJudged, Block>();
  for (const mod of mods) {
    const [way] = findModResponses(mod, amplifier);
    if (way === undefined) continue;
    const data = { ...way, mod: mod.facts.name };
    pictures.set(mod, pictureOf(responsePlot(data, plots, first + pictures.size)));
  }
  return pictures;
}
