/** Owns the verb `mods`: mod sheets against chassis and job sheets, in the order given. */
import type { Source } from '../bench/model.ts';
import { tellMod } from '../shop/mod-effects.ts';
import { judgeMods, type ModSheet } from '../shop/mods.ts';
import { type Analysis, sheetsOf } from '../shop/shop.ts';
import { type ModsOnSheet, modsDocument, modsHtml } from '../summary/mods.ts';
import type { Snapshot } from '../text/snapshot.ts';
import { pathOf } from './desk.ts';
import { type Places, rangeIn } from './json.ts';
import { modsJson } from './mods-json.ts';
import { printDocument } from './print-document.ts';
import { type ShopVerb, Unusable } from './verb.ts';

/** From more sheets than these on only verdicts are given: the effects of all mods on all sheets are nothing that anybody reads. */
const MOST_TOLD = 12;

export const modsVerb: ShopVerb = {
  name: 'mods',
  formats: ['text', 'md', 'html', 'json'],
  options: [],
  does: 'mod sheets against chassis or job sheets: to do, done, not applicable, conflicts; with what each would do',
  run: async (desk) => {
    const mods: ModSheet[] = [];
    const on: string[] = [];
    const texts = new Map<string, Snapshot>();
    const note = (analysis: Analysis) => {
      for (const { uri, snapshot } of sheetsOf(analysis)) texts.set(uri, snapshot);
      if (analysis.earlier !== undefined)
        texts.set(analysis.earlier.sheet.uri, analysis.earlier.sheet.snapshot);
    };
    for await (const { analysis } of desk.analyses()) {
      const { kind, uri } = analysis.sheet;
      if (kind === 'mod') {
        note(analysis);
        mods.push({
          amplifier: analysis.amplifier,
          origins: (analysis.input.targets ?? []).map(({ amplifier }) => amplifier),
        });
      } else if (kind !== 'shop') on.push(uri);
    }
    if (mods.length === 0)
      throw new Unusable('mods takes at least one mod sheet (sheet: mod); none was given');
    if (on.length === 0)
      throw new Unusable('mods takes a chassis or job sheet to hold the mod sheets against; none was given');
    const { folder } = desk.setting;
    const sheets: ModsOnSheet[] = [];
    for (const uri of on) {
      const analysis = await desk.shop.analyse(uri);
      if (analysis === undefined) throw new Unusable(`cannot read ${pathOf(uri, folder)}`);
      note(analysis);
      const { amplifier, earlier, input } = analysis;
      const { catalogue, house } = input;
      const judged = judgeMods(
        mods,
        { amplifier, ...(earlier && { earlier: earlier.amplifier }) },
        catalogue,
      );
      sheets.push({
        judged,
        path: pathOf(uri, folder),
        ...(on.length <= MOST_TOLD && {
          told: judged.mods.map((mod) => tellMod(mod, amplifier, { catalogue, house })),
        }),
      });
    }
    const places: Places = {
      path: (uri) => pathOf(uri, folder),
      snapshot: (uri) => texts.get(uri),
      chassisNamed: () => undefined,
    };
    const sayPlace = (source: Source) =>
      `${places.path(source.file)} line ${rangeIn(places, source).start.line + 1}`;
    if (desk.call.format === 'html') desk.print(modsHtml(sheets, sayPlace));
    else printDocument(desk, modsDocument(sheets, sayPlace), modsJson(sheets, places));
    return 0;
  },
};
