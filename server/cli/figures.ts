/** Owns the verb `figures`: every computed figure once, with what it was computed from. */

import { expectedFigures } from '../bench/expected.ts';
import type { Figure } from '../bench/model.ts';
import type { Analysis } from '../shop/shop.ts';
import { groupBy } from '../text/grouping.ts';
import { figureJson } from './json.ts';
import { jsonItem, printJsonList } from './json-list.ts';
import { countFigures, figuresText } from './text.ts';
import type { SheetVerb } from './verb.ts';

/** The figures of one file. Those of a chassis sheet come with each job on it. */
interface FiguresOfFile {
  readonly file: string;
  readonly count: number;
  readonly text: string;
  readonly items: readonly string[];
}

export const figuresVerb: SheetVerb<readonly FiguresOfFile[]> = {
  name: 'figures',
  formats: ['text', 'json'],
  options: [],
  does: 'every computed figure, and what it was computed from',
  part: ({ analysis, places, call, setting }) =>
    [...groupBy(figuresOf(analysis), ({ file }) => file)].map(([file, figures]) => ({
      file,
      count: figures.length,
      ...(call.format === 'json'
        ? { text: '', items: figures.map((figure) => jsonItem(figureJson(figure, places))) }
        : { text: figuresText(figures, places, setting.terminal), items: [] }),
    })),
  run: async ({ call, print }, parts) => {
    const list = call.format === 'json' ? printJsonList('figures', print) : undefined;
    const told = new Set<string>();
    let total = 0;
    for await (const part of parts()) {
      for (const { file, count, text, items } of part.filter((each) => !told.has(each.file))) {
        told.add(file);
        total += count;
        if (list === undefined) print(text);
        else list.add(items);
      }
    }
    if (list === undefined) print(countFigures(total));
    else list.end();
    return 0;
  },
};

/** What a phase is expected to show follows what was read in it. */
function figuresOf({ amplifier }: Analysis): readonly Figure[] {
  return amplifier.phases.flatMap((view) => [...view.figures, ...expectedFigures(view, amplifier)]);
}
