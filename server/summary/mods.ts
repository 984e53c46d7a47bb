/** Owns verdicts on mods as a document, for every printer: first which mod stands how on which sheet, then each with its changes. */
import { sayAllHeld, sayLevels } from '../bench/effect-words.ts';
import type { Source } from '../bench/model.ts';
import { sayMove, stateOf } from '../shop/compare-words.ts';
import type { ModTold } from '../shop/mod-effects.ts';
import type { ChangeVerdict } from '../shop/mod-verdict.ts';
import {
  sayChangeHere,
  sayClash,
  sayMeeting,
  sayNeed,
  sayOpenChanges,
  sayWriter,
} from '../shop/mod-words.ts';
import { type ModJudged, type ModsJudged, nameOfTarget } from '../shop/mods.ts';
import { sheetName } from '../shop/uris.ts';
import {
  aside,
  type Block,
  type Item,
  listOf,
  paragraph,
  type SummaryDocument,
  sectionOf,
  strong,
  type Text,
} from './document.ts';
import type { Speech } from './speech.ts';

/** One sheet with the mods that were held against it. */
export interface ModsOnSheet {
  readonly judged: ModsJudged;
  /** What each would do, in the order of the mods; absent where nobody asked. */
  readonly told?: readonly ModTold[];
  /** What is heard of each, made by `mod-pictures.ts`. */
  readonly pictures?: ReadonlyMap<ModJudged, Block>;
  readonly path: string;
}

/** `sayPlace`: where a thing is written, `chassis/larch-20.c.tagstrip.md line 24`. */
export function modsDocument(
  sheets: readonly ModsOnSheet[],
  sayPlace: (source: Source) => string,
  speech: Speech,
): SummaryDocument {
  const { words, shop } = speech;
  const { mods: w, ...d } = words.documents;
  const { note: general, caution } = shop.says.mods;
  const [only, ...more] = sheets;
  const isOne = only !== undefined && more.length === 0;
  const held = new Set(
    sheets.flatMap(({ told = [] }) =>
      told.flatMap(({ effects }) => [...effects.values()].flat().flatMap(({ heldAlways }) => heldAlways)),
    ),
  );
  const note = held.size === 0 ? general : `${general} ${w.heldInAll([...held].join('; '))}`;
  const isTold = sheets.some(({ told }) => told !== undefined);
  return {
    language: words.language,
    reader: 'bench',
    title: isOne ? w.againstOne(nameOfTarget(only.judged, shop)) : w.againstMany(sheets.length),
    kind: w.kind,
    facts: sheets.map(({ judged, path }) => [
      isOne ? w.sheet : nameOfTarget(judged, shop),
      `${sheetName(path)}, ${stateOf(judged.view ?? {}, shop)}`,
    ]),
    opening: [overview(sheets, speech), ...(isTold ? [paragraph(note, 'small')] : [])],
    sections: [
      ...sheets.flatMap(({ judged, told, pictures }) =>
        judged.mods.flatMap((mod, i) =>
          sectionOf(isOne ? mod.facts.name : w.modOn(mod.facts.name, nameOfTarget(judged, shop)), [
            ...modBlocks(mod, told?.[i], sayPlace, speech),
            pictures?.get(mod),
          ]),
        ),
      ),
      ...sectionOf(d.readWithThis, [
        paragraph([caution, d.rulesLanguage === '' ? '' : ` ${d.rulesLanguage}`], 'small'),
      ]),
    ],
  };
}

function overview(sheets: readonly ModsOnSheet[], speech: Speech): Block {
  const { words, shop } = speech;
  const { mods: w } = words.documents;
  const { verdicts } = shop.says.mods;
  const isOne = sheets.length === 1;
  return {
    kind: 'table',
    caption: w.overview,
    isCaptionUnseen: true,
    columns: [{ head: w.mod }, { head: w.verdict }, { head: w.changes }],
    rows: sheets.flatMap(({ judged }) => [
      ...(isOne ? [] : [{ group: nameOfTarget(judged, shop) }]),
      ...judged.mods.map((mod) => ({
        cells: [
          mod.facts.name,
          mod.writer === undefined ? verdicts[mod.verdict] : w.bySheet(verdicts[mod.verdict]),
          [sayOpenChanges(mod, shop), ...besideWords(mod, speech)].join('; '),
        ],
      })),
    ]),
    hasRowHeads: true,
  };
}

/** `not together with mod presence`. */
function besideWords({ clashes, needs }: ModJudged, { words }: Speech): readonly string[] {
  const { mods: w } = words.documents;
  const others = [...new Set(clashes.map(({ mod }) => mod))];
  const missing = needs.filter(({ state }) => state !== 'met').map(({ name }) => name);
  return [
    ...(others.length === 0 ? [] : [w.notTogether(others.join(', '))]),
    ...(missing.length === 0 ? [] : [w.needsFirst(missing.join(', '))]),
  ];
}

function modBlocks(
  mod: ModJudged,
  told: ModTold | undefined,
  sayPlace: (source: Source) => string,
  speech: Speech,
): readonly Block[] {
  const { words, shop } = speech;
  const { mods: w } = words.documents;
  const { verdicts } = shop.says.mods;
  const { facts, changes, wires, needs, clashes, meets, writer } = mod;
  const writers = sayWriter(mod, shop);
  const lines: Text[] = [
    [strong(verdicts[mod.verdict]), `: ${sayOpenChanges(mod, shop)}.`],
    ...(facts.purpose === undefined ? [] : [w.purpose(facts.purpose)]),
    ...(writers === undefined || writer === undefined
      ? []
      : [[capital(writers), ' ', aside('place', sayPlace(writer.source))]]),
    ...needs.map((need) => w.needs(sayNeed(need, shop))),
    ...(facts.needsToo.length === 0 ? [] : [w.needsToo(facts.needsToo.join(', '))]),
    // One that is about a part is told with its change.
    ...clashes.flatMap((clash) => (clash.ref === undefined ? [w.conflicts(sayClash(clash))] : [])),
    ...meets.map((meeting) => w.beside(sayMeeting(meeting, shop))),
  ];
  return [
    ...lines.map((text) => paragraph(text)),
    ...(changes.length === 0
      ? []
      : [listOf(changes.map((each) => changeItem(each, told, sayPlace, speech)))]),
    ...(wires.length === 0
      ? []
      : [listOf(wires.map((wire) => ({ text: [wire.words, ': ', strong(verdicts[wire.verdict])] })))]),
    ...outcomeBlocks(told, speech),
  ];
}

function changeItem(
  each: ChangeVerdict,
  told: ModTold | undefined,
  sayPlace: (source: Source) => string,
  speech: Speech,
): Item {
  const { words, shop, markEnglish } = speech;
  const { mods: w, ...d } = words.documents;
  const below: (Item | string)[] = [
    ...each.evidence.map(
      ({ text, source }): Item => ({
        text: [
          markEnglish(capital(text)),
          ...(source === undefined ? [] : [' ', aside('place', sayPlace(source))]),
        ],
      }),
    ),
    ...(each.planned === undefined ? [] : [w.planned(sayPlace(each.planned))]),
    ...(told?.effects.get(each.change) ?? []).flatMap(({ direct, directHead, signal, held }) => [
      ...(direct === undefined ? [] : [`${directHead}: ${direct}`]),
      ...(signal === undefined ? [] : [d.withSignal(signal)]),
      ...(held.length === 0 ? [] : [d.held(held.join('; '))]),
    ]),
  ];
  return {
    text: [
      sayChangeHere(each, shop),
      ': ',
      strong(shop.says.mods.verdicts[each.verdict]),
      '. ',
      markEnglish(capital(each.why)),
      '.',
    ],
    ...(below.length > 0 && { blocks: [listOf(below)] }),
  };
}

function outcomeBlocks(told: ModTold | undefined, speech: Speech): readonly Block[] {
  const { words, terms, shop, english } = speech;
  const { mods: w, severities } = words.documents;
  if (told === undefined || told.mod.open.length === 0) return [];
  const { moves, levels, findings, isSolved, left } = told.outcome;
  const isAll = told.mod.open.length > 1;
  const what = isAll ? w.allDone : w.oneDone;
  return [
    ...(moves.length === 0
      ? []
      : [paragraph(w.together(moves.map((move) => sayMove(move, shop)).join('; ')))]),
    ...levels.map((each) =>
      paragraph(w.levels(each.refs.join(', '), sayLevels(each, terms), sayAllHeld(each.held, terms))),
    ),
    ...(left.length === 0 ? [] : [paragraph(w.left(left.join('; ')))]),
    findings.length === 0
      ? paragraph(isSolved ? w.nothingMore(what) : w.unsolved(what), 'small')
      : paragraph(w.breaks(what)),
    ...(findings.length === 0
      ? []
      : [
          listOf(
            findings.map(({ severity, subject, message, rule }) => ({
              role: severity,
              text: [
                aside('severity', severities[severity]),
                ' ',
                strong(subject),
                ' ',
                english(message),
                ' ',
                aside('note', english(rule)),
              ],
            })),
            'findings',
          ),
        ]),
  ];
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
