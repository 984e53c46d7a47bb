/** Owns the verb `mods`: mod sheets against chassis and job sheets, in the order given. */
import type { Source } from '../bench/model.ts';
import { diskFiles } from '../shop/disk-files.ts';
import { tellMod } from '../shop/mod-effects.ts';
import { judgeMods, type ModSheet } from '../shop/mods.ts';
import { createSheetIndex } from '../shop/sheet-index.ts';
import { type Analysis, sheetsOf } from '../shop/shop.ts';
import { sheetName } from '../shop/uris.ts';
import { modPictures } from '../summary/mod-pictures.ts';
import { type ModsOnSheet, modsDocument } from '../summary/mods.ts';
import type { Snapshot } from '../text/snapshot.ts';
import { isPage, speechFor } from './call-speech.ts';
import { pathOf } from './desk.ts';
import { type Places, rangeIn } from './json.ts';
import { modsJson } from './mods-json.ts';
import { printDocument } from './print-document.ts';
import { type Desk, type ShopVerb, Unusable } from './verb.ts';

/** From more sheets than these on only verdicts are given: the effects of all mods on all sheets are nothing that anybody reads. */
const MOST_TOLD = 12;

export const modsVerb: ShopVerb = {
  name: 'mods',
  formats: ['text', 'md', 'html', 'json'],
  isOneDocument: true,
  options: [],
  does: 'mod sheets against chassis or job sheets: to do, done, not applicable, conflicts; with what each would do',
  run: async (desk) => {
    const { shop, setting, call } = desk;
    const speech = speechFor(call);
    const texts = new Map<string, Snapshot>();
    const read = async (uri: string): Promise<Analysis> => {
      const analysis = await shop.analyse(uri);
      if (analysis === undefined) throw new Unusable(`cannot read ${pathOf(uri, setting.folder)}`);
      const { earlier } = analysis;
      for (const sheet of [...sheetsOf(analysis), ...(earlier === undefined ? [] : [earlier.sheet])])
        texts.set(sheet.uri, sheet.snapshot);
      return analysis;
    };
    const { mods: modUris, others } = await sortByKind(desk);
    if (modUris.length === 0)
      throw new Unusable('mods takes at least one mod sheet (sheet: mod); none was given');
    if (others.length === 0)
      throw new Unusable('mods takes a chassis or job sheet to hold the mod sheets against; none was given');
    const mods: ModSheet[] = [];
    for (const uri of modUris) {
      const { amplifier, input } = await read(uri);
      mods.push({ amplifier, origins: (input.targets ?? []).map((each) => each.amplifier) });
    }
    const isTold = others.length <= MOST_TOLD;
    const sheets: ModsOnSheet[] = [];
    let pictured = 0;
    for (const uri of others) {
      const { amplifier, earlier, input } = await read(uri);
      const { catalogue, house } = input;
      const target = { amplifier, ...(earlier && { earlier: earlier.amplifier }) };
      const judged = judgeMods(mods, target, catalogue, speech.shop);
      const pictures =
        isTold && call.format === 'html'
          ? modPictures(judged.mods, amplifier, speech.plots, pictured + 1)
          : undefined;
      pictured += pictures?.size ?? 0;
      sheets.push({
        judged,
        path: pathOf(uri, setting.folder),
        ...(pictures && { pictures }),
        ...(isTold && {
          told: judged.mods.map((mod) => tellMod(mod, amplifier, { catalogue, house }, speech.shop)),
        }),
      });
    }
    const places: Places = {
      path: (uri) => pathOf(uri, setting.folder),
      snapshot: (uri) => texts.get(uri),
      chassisNamed: () => undefined,
    };
    const sayPlace = (source: Source) => {
      const line = rangeIn(places, source).start.line + 1;
      return isPage(call)
        ? `${sheetName(source.file)}, ${speech.words.lines(line, line)}`
        : `${places.path(source.file)} line ${line}`;
    };
    printDocument(desk, modsDocument(sheets, sayPlace, speech), modsJson(sheets, places));
    return 0;
  },
};

/** Which of the sheets are mods, and which they are to be held against; told by their heads alone. */
async function sortByKind({
  sheets,
  shop: { store },
}: Desk): Promise<{ readonly mods: readonly string[]; readonly others: readonly string[] }> {
  const index = createSheetIndex({ files: diskFiles, store });
  const mods: string[] = [];
  const others: string[] = [];
  for (const uri of await sheets()) {
    const kind = (await index.find(uri))?.kind;
    if (kind === 'mod') mods.push(uri);
    else if (kind !== 'shop') others.push(uri);
  }
  return { mods, others };
}
