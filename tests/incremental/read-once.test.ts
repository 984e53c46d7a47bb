/** Sheets that are read once keep nothing for a next reading, and are told as any others. */
import { expect, it } from 'vitest';
import { figuresNamed } from '../../server/bench/figures-by-name.ts';
import { FIGURES } from '../../server/bench/model.ts';
import { resolveAmplifier } from '../../server/bench/resolve.ts';
import { builtInCatalogue } from '../../server/catalogue/find-valve.ts';
import { createReader } from '../../server/dialect/note.ts';
import { readSheet } from '../../server/sheet/read.ts';
import { memoryFiles } from '../../server/shop/files.ts';
import { type Analysis, createShop } from '../../server/shop/shop.ts';
import { createSnapshot } from '../../server/text/snapshot.ts';
import { manySheets } from '../perf/many-sheets.ts';

/** The chassis sheets, and of the jobs some of each kind. */
const some = manySheets(120).filter(({ path }, i) => path.startsWith('chassis/') || i % 49 === 0);
const sheets = Object.fromEntries(some.map(({ path, text }) => [`file:///shop/${path}`, text]));
const uris = Object.keys(sheets);

/** All that a person is told: findings, and every figure of every phase. */
function told({ findings, amplifier }: Analysis): unknown {
  return {
    findings,
    phases: amplifier.phases.map(({ phase, figures, offers, unanswered }) => ({
      phase,
      figures,
      offers: offers.length,
      unanswered,
    })),
  };
}

it('says the same of every sheet', async () => {
  const kept = createShop({ files: memoryFiles(sheets) });
  const once = createShop({ files: memoryFiles(sheets), isReadOnce: () => true });
  for (const uri of uris) {
    const [one, other] = [await kept.analyse(uri), await once.analyse(uri)];
    if (one === undefined || other === undefined) throw new Error(`${uri} is not there`);
    expect(told(other), uri).toEqual(told(one));
  }
});

it('makes the same figures for whoever asks for them by name', () => {
  const amplifierOf = (uri: string, isReadOnce: boolean) => {
    const reader = createReader({ isReadOnce: () => isReadOnce });
    const textOf = (each: string): string => {
      const text = sheets[each];
      if (text === undefined) throw new Error(`${each} is not there`);
      return text;
    };
    const sheetOf = (each: string) => readSheet(reader.readNote(createSnapshot(each, textOf(each))));
    const chassis = /^chassis: (.*)$/m.exec(textOf(uri))?.[1];
    const under = chassis === undefined ? undefined : sheetOf(new URL(chassis, uri).href);
    return resolveAmplifier(sheetOf(uri), under, builtInCatalogue);
  };
  let many = 0;
  for (const uri of uris) {
    const once = amplifierOf(uri, true).phases;
    // Those that rest on others first, before anybody else asked for what they rest on.
    for (const [i, view] of amplifierOf(uri, false).phases.entries())
      for (const name of [...FIGURES].reverse())
        for (const sets of ['verdict', 'all'] as const) {
          const own = once[i];
          const made = own && figuresNamed(own, name, sets);
          expect(made, `${uri} ${view.phase} ${name}`).toEqual(figuresNamed(view, name, sets));
          many += made?.length ?? 0;
        }
  }
  expect(many).toBeGreaterThan(1000);
});

it('says the same of a sheet that is opened, typed in and closed again', async () => {
  const uri = uris.find((each) => sheets[each]?.includes('\nchassis: ')) ?? '';
  const text = sheets[uri] ?? '';
  expect(text).toContain('g 0');
  const shop = createShop({
    files: memoryFiles(sheets),
    isReadOnce: (each) => shop.store.open(each) === undefined,
  });
  const afresh = async (changed: string) => {
    const analysis = await createShop({ files: memoryFiles({ ...sheets, [uri]: changed }) }).analyse(uri);
    return analysis && told(analysis);
  };
  const now = async () => {
    const analysis = await shop.analyse(uri);
    return analysis && told(analysis);
  };
  expect(await now()).toEqual(await afresh(text));
  for (const [version, changed] of [text, `${text}\n- V3: a 512\n`, text.replace('g 0', 'g -2')].entries()) {
    shop.store.setOpen(uri, changed, version);
    expect(await now(), `version ${version}`).toEqual(await afresh(changed));
  }
  shop.store.close(uri);
  expect(await now()).toEqual(await afresh(text));
});

it('has no thread to keep anything by', () => {
  const snapshot = createSnapshot('file:///a.tagstrip.md', '- V5: a 331\n');
  expect(createReader({ isReadOnce: () => true }).readNote(snapshot).thread).toBeUndefined();
  expect(createReader().readNote(snapshot).thread).toBeDefined();
});
