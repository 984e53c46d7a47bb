/** Owns the verb `figures`: every computed figure once, with what it was computed from. */
import { expectedFigures } from '../bench/expected.ts';
import type { Figure } from '../bench/model.ts';
import type { Analysis } from '../shop/shop.ts';
import { figureJson } from './json.ts';
import { printJsonList } from './json-list.ts';
import { countFigures, figuresText } from './text.ts';
import type { Desk, Verb } from './verb.ts';

export const figuresVerb: Verb = {
  name: 'figures',
  formats: ['text', 'json'],
  options: [],
  does: 'every computed figure, and what it was computed from',
  run: async (desk) => {
    await (desk.call.format === 'json' ? printJson(desk) : printText(desk));
    return 0;
  },
};

async function printJson({ print, analyses }: Desk): Promise<void> {
  const list = printJsonList('figures', print);
  const isNew = remember();
  for await (const { analysis, places } of analyses()) {
    for (const figure of figuresOf(analysis).filter(isNew)) list.add(figureJson(figure, places));
  }
  list.end();
}

async function printText({ print, analyses, streams }: Desk): Promise<void> {
  let count = 0;
  const isNew = remember();
  for await (const { analysis, places } of analyses()) {
    const figures = figuresOf(analysis).filter(isNew);
    count += figures.length;
    print(figuresText(figures, places, streams.terminal));
  }
  print(countFigures(count));
}

/** What a phase is expected to show follows what was read in it. */
function figuresOf({ amplifier }: Analysis): readonly Figure[] {
  return amplifier.phases.flatMap((view) => [...view.figures, ...expectedFigures(view, amplifier)]);
}

/** The chassis sheet's own figures come with each job on it, and with the chassis sheet itself: they are told the first time. */
function remember(): (figure: Figure) => boolean {
  const told = new Set<string>();
  return ({ file, subject, figure, phase, set }) => {
    const key = [file, subject, figure, phase, set].join('\n');
    if (told.has(key)) return false;
    told.add(key);
    return true;
  };
}
