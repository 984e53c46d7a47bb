/** Owns verdicts on mods as a document, for every printer: first which mod stands how on which sheet, then each with its changes. */
import type { Source } from '../bench/model.ts';
import { sayMove } from '../shop/compare-words.ts';
import type { ModTold } from '../shop/mod-effects.ts';
import type { ChangeVerdict } from '../shop/mod-verdict.ts';
import { type ModJudged, type ModsJudged, nameOfTarget } from '../shop/mods.ts';
import {
  MODS_CAUTION,
  MODS_NOTE,
  sayChangeHere,
  sayClash,
  sayMeeting,
  sayNeed,
  sayShare,
  sayWriter,
  stateSaid,
  VERDICT_SAID,
} from '../shop/mods-words.ts';
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
import { printHtml } from './print-html.ts';

/** One sheet with the mods that were held against it. */
export interface ModsOnSheet {
  readonly judged: ModsJudged;
  /** What each would do, in the order of the mods; absent where nobody asked. */
  readonly told?: readonly ModTold[];
  /** How the sheet is called by its file. */
  readonly path: string;
}

/** `sayPlace`: where a thing is written, `chassis/larch-20.c.tagstrip.md line 24`. */
export function modsDocument(
  sheets: readonly ModsOnSheet[],
  sayPlace: (source: Source) => string,
): SummaryDocument {
  const [only, ...more] = sheets;
  const isOne = only !== undefined && more.length === 0;
  const held = new Set(
    sheets.flatMap(({ told = [] }) =>
      told.flatMap(({ effects }) => [...effects.values()].flat().flatMap(({ heldAlways }) => heldAlways)),
    ),
  );
  const note = held.size === 0 ? MODS_NOTE : `${MODS_NOTE} Held in all: ${[...held].join('; ')}.`;
  const isTold = sheets.some(({ told }) => told !== undefined);
  return {
    language: 'en',
    reader: 'bench',
    title: isOne ? `Mods against ${nameOfTarget(only.judged)}` : `Mods against ${sheets.length} sheets`,
    kind: 'Mods',
    facts: sheets.map(({ judged, path }) => [
      isOne ? 'Sheet' : nameOfTarget(judged),
      `${path}, ${stateSaid(judged)}`,
    ]),
    opening: [overview(sheets), ...(isTold ? [paragraph(note, 'small')] : [])],
    sections: [
      ...sheets.flatMap(({ judged, told }) =>
        judged.mods.flatMap((mod, i) =>
          sectionOf(
            isOne ? mod.facts.name : `${mod.facts.name}, on ${nameOfTarget(judged)}`,
            modBlocks(mod, told?.[i], sayPlace),
          ),
        ),
      ),
      ...sectionOf('Read with this', [paragraph(MODS_CAUTION, 'small')]),
    ],
  };
}

export function modsHtml(sheets: readonly ModsOnSheet[], sayPlace: (source: Source) => string): string {
  return printHtml(modsDocument(sheets, sayPlace));
}

function overview(sheets: readonly ModsOnSheet[]): Block {
  const isOne = sheets.length === 1;
  return {
    kind: 'table',
    caption: 'Which mod stands how',
    isCaptionUnseen: true,
    columns: [{ head: 'Mod' }, { head: 'Verdict' }, { head: 'Changes' }],
    rows: sheets.flatMap(({ judged }) => [
      ...(isOne ? [] : [{ group: nameOfTarget(judged) }]),
      ...judged.mods.map((mod) => ({
        cells: [
          mod.facts.name,
          `${VERDICT_SAID[mod.verdict]}${mod.writer === undefined ? '' : ', by the sheet'}`,
          [sayShare(mod), ...besideWords(mod)].join('; '),
        ],
      })),
    ]),
    hasRowHeads: true,
  };
}

/** `not together with mod presence`. */
function besideWords({ clashes, needs }: ModJudged): readonly string[] {
  const others = [...new Set(clashes.map(({ mod }) => mod))];
  const missing = needs.filter(({ state }) => state !== 'met').map(({ name }) => name);
  return [
    ...(others.length === 0 ? [] : [`not together with ${others.join(', ')}`]),
    ...(missing.length === 0 ? [] : [`needs ${missing.join(', ')} first`]),
  ];
}

function modBlocks(
  mod: ModJudged,
  told: ModTold | undefined,
  sayPlace: (source: Source) => string,
): readonly Block[] {
  const { facts, changes, wires, needs, clashes, meets, writer } = mod;
  const writers = sayWriter(mod);
  const lines: Text[] = [
    [strong(VERDICT_SAID[mod.verdict]), `: ${sayShare(mod)}.`],
    ...(facts.purpose === undefined ? [] : [`For: ${facts.purpose}`]),
    ...(writers === undefined || writer === undefined
      ? []
      : [[capital(writers), ' ', aside('place', sayPlace(writer.source))]]),
    ...needs.map((need) => `Needs ${sayNeed(need)}`),
    ...(facts.needsToo.length === 0 ? [] : [`Needs: ${facts.needsToo.join(', ')}`]),
    // One that is about a part is told with its change.
    ...clashes.flatMap((clash) => (clash.ref === undefined ? [`Conflicts: ${sayClash(clash)}`] : [])),
    ...meets.map((meeting) => `Beside it: ${sayMeeting(meeting)}`),
  ];
  return [
    ...lines.map((text) => paragraph(text)),
    ...(changes.length === 0 ? [] : [listOf(changes.map((each) => changeItem(each, told, sayPlace)))]),
    ...(wires.length === 0
      ? []
      : [
          listOf(wires.map(({ words, verdict }) => ({ text: [words, ': ', strong(VERDICT_SAID[verdict])] }))),
        ]),
    ...outcomeBlocks(told),
  ];
}

function changeItem(
  each: ChangeVerdict,
  told: ModTold | undefined,
  sayPlace: (source: Source) => string,
): Item {
  const below: (Item | string)[] = [
    ...each.evidence.map(
      ({ text, source }): Item => ({
        text: [capital(text), ...(source === undefined ? [] : [' ', aside('place', sayPlace(source))])],
      }),
    ),
    ...(each.planned === undefined ? [] : [`Planned already: ${sayPlace(each.planned)}`]),
    ...(told?.effects.get(each.change) ?? []).flatMap(({ direct, directHead, signal, held }) => [
      ...(direct === undefined ? [] : [`${directHead}: ${direct}`]),
      ...(signal === undefined ? [] : [`With signal: ${signal}`]),
      ...(held.length === 0 ? [] : [`Held: ${held.join('; ')}`]),
    ]),
  ];
  return {
    text: [sayChangeHere(each), ': ', strong(VERDICT_SAID[each.verdict]), `. ${capital(each.why)}.`],
    ...(below.length > 0 && { blocks: [listOf(below)] }),
  };
}

function outcomeBlocks(told: ModTold | undefined): readonly Block[] {
  if (told === undefined || told.mod.open.length === 0) return [];
  const { moves, findings, isSolved, left } = told.outcome;
  const isAll = told.mod.open.length > 1;
  const what = isAll ? 'With all of them done' : 'With it done';
  return [
    ...(moves.length === 0 ? [] : [paragraph(`All together, expected: ${moves.map(sayMove).join('; ')}.`)]),
    ...(left.length === 0
      ? []
      : [paragraph(`Not in what follows, for where it goes cannot be told: ${left.join('; ')}.`)]),
    findings.length === 0
      ? paragraph(
          isSolved
            ? `${what} no rule on ratings or bias says more than it says now.`
            : `${what} no rule says more than now, but the volts could not be solved: dissipations were not looked at.`,
          'small',
        )
      : paragraph(`${what} it would break:`),
    ...(findings.length === 0
      ? []
      : [
          listOf(
            findings.map(({ severity, subject, message, rule }) => ({
              role: severity,
              text: [aside('severity', severity), ' ', strong(subject), ` ${message} `, aside('note', rule)],
            })),
            'findings',
          ),
        ]),
  ];
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
