/** Owns the verb `compare`: two sheets part by part, or one sheet at two revisions of its repository. */
import { compareAmplifiers } from '../shop/compare.ts';
import { comparisonDocument } from '../summary/compare.ts';
import { comparisonPictures } from '../summary/compare-pictures.ts';
import { printHtml } from '../summary/print-html.ts';
import { printMarkdown } from '../summary/print-markdown.ts';
import { speechFor } from './call-speech.ts';
import { comparisonJson } from './compare-json.ts';
import { openSides } from './compare-sides.ts';
import { comparisonText } from './compare-text.ts';
import { type ShopVerb, Unusable } from './verb.ts';

export const compareVerb: ShopVerb = {
  name: 'compare',
  formats: ['text', 'json', 'md', 'html'],
  options: [],
  does: 'two sheets part by part, or one at two revisions (a.tagstrip.md@REV a.tagstrip.md), with what each difference does',
  run: async ({ call, setting, print }) => {
    const sides = await openSides(call.paths, setting.folder);
    if (!sides.ok) throw new Unusable(sides.reason);
    const { was, is, places } = sides.value;
    // What both are held to is the house of the second: it is the one that counts today.
    const { catalogue, house } = is.input;
    const speech = speechFor(call, is.page);
    const comparison = compareAmplifiers(was.amplifier, is.amplifier, { catalogue, house }, speech.shop);
    const pictures = () => comparisonPictures(comparison, speech.plots);
    switch (call.format) {
      case 'json':
        print(`${JSON.stringify(comparisonJson(comparison, places), null, 2)}\n`);
        break;
      case 'md':
        print(printMarkdown(comparisonDocument(comparison, pictures(), speech)));
        break;
      case 'html':
        print(printHtml(comparisonDocument(comparison, pictures(), speech), is.page.paper));
        break;
      default:
        print(comparisonText(comparison, places, setting.terminal));
    }
    return 0;
  },
};
