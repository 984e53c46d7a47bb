/**
 * Owns what the editor says of mods: on a line of a mod sheet how that change stands on the nearest chassis sheets, on a job's
 * `mod NAME:` line how the whole mod stands. Which other sheets are needed for that is said first; whoever asks fetches them.
 */
import type { ChangeStatement, FittedStatement, ModVerdict } from '../sheet/model.ts';
import { modFacts } from '../shop/mod-changes.ts';
import type { ChangeVerdict } from '../shop/mod-verdict.ts';
import { sayChange, sayClash, sayNeed, sayOpenChanges, sayWriter } from '../shop/mod-words.ts';
import { judgeMods, type ModJudged, type ModSheet, nameOfTarget } from '../shop/mods.ts';
import type { Analysis } from '../shop/shop.ts';
import { englishShop, englishShopWords } from '../shop/shop-words.ts';
import type { Aside, Hover } from './hover.ts';
import { findStatement } from './lines.ts';

/** A line that speaks of a mod; undefined where a place does not. */
export type ModLine =
  /** A change on a mod sheet: wants the chassis sheets that the mod may be done on. */
  | { readonly kind: 'change'; readonly statement: FittedStatement | ChangeStatement }
  /** `mod NAME:` on another sheet: wants the mod sheets of its family, and any of that name. */
  | { readonly kind: 'verdict'; readonly statement: ModVerdict };

export function findModLine({ sheet }: Analysis, offset: number): ModLine | undefined {
  const statement = findStatement(sheet, offset);
  if (sheet.kind === 'mod') {
    const isChange =
      statement?.kind === 'change' || (statement?.kind === 'fitted' && statement.specification);
    return isChange && (statement.kind === 'change' || statement.kind === 'fitted')
      ? { kind: 'change', statement }
      : undefined;
  }
  return statement?.kind === 'mod-verdict' ? { kind: 'verdict', statement } : undefined;
}

function modSheetOf({ amplifier, input }: Analysis): ModSheet {
  return { amplifier, origins: (input.targets ?? []).map((target) => target.amplifier) };
}

/** The mods against this job or chassis sheet. */
export function judgeHere(
  mods: readonly Analysis[],
  { amplifier, earlier, input }: Analysis,
): readonly ModJudged[] {
  const target = { amplifier, ...(earlier && { earlier: earlier.amplifier }) };
  return judgeMods(mods.map(modSheetOf), target, input.catalogue, englishShop).mods;
}

/** `own`: what the hover says of the part itself; `others`: the sheets that the line wants. */
export function modHover(
  line: ModLine,
  analysis: Analysis,
  others: readonly Analysis[],
  own: Hover | undefined,
): Hover | undefined {
  return line.kind === 'change'
    ? changeHover(line.statement, analysis, others, own)
    : verdictHover(line.statement, analysis, others);
}

function changeHover(
  { ref, span }: FittedStatement | ChangeStatement,
  mod: Analysis,
  targets: readonly Analysis[],
  own: Hover | undefined,
): Hover | undefined {
  const said = targets.flatMap((target) => {
    const judged = judgeMods(
      [modSheetOf(mod)],
      { amplifier: target.amplifier },
      mod.input.catalogue,
      englishShop,
    );
    const change = judged.mods[0]?.changes.find((each) => each.change.ref.name === ref.name);
    return change === undefined
      ? []
      : [{ change, line: `${nameOfTarget(judged, englishShop)}: ${sayHere(change)}` }];
  });
  const [first] = said;
  if (first === undefined) return own;
  const verdicts: Aside = { lines: said.map(({ line }) => line) };
  if (own !== undefined) return { ...own, asides: [verdicts, ...own.asides] };
  return {
    span,
    headline: first.change.change.words,
    asides: [verdicts],
    footnotes: [],
    workings: [],
    offers: [],
  };
}

function sayHere(change: ChangeVerdict): string {
  const isElsewhere = change.ref !== change.change.ref.name && change.verdict !== 'unknown';
  return `${isElsewhere ? `here ${change.ref}, ` : ''}${sayChange(change, englishShop)}`;
}

function verdictHover(
  { mod: name, span, verdict }: ModVerdict,
  analysis: Analysis,
  mods: readonly Analysis[],
): Hover | undefined {
  const judged = judgeHere(mods, analysis).find(({ facts }) => isOneName(facts.name, name));
  if (judged === undefined)
    return {
      span,
      headline: `mod ${name}: ${verdict}, as written here`,
      asides: [{ lines: [`No mod sheet of the folders is named ${name}, so nothing else is known of it.`] }],
      footnotes: [],
      workings: [],
      offers: [],
    };
  const writers = sayWriter(judged, englishShop);
  const lines = [
    ...(judged.facts.purpose === undefined ? [] : [`For: ${judged.facts.purpose}`]),
    ...(writers === undefined ? [] : [`${writers.charAt(0).toUpperCase()}${writers.slice(1)}`]),
    ...judged.needs.map((need) => `Needs ${sayNeed(need, englishShop)}`),
    ...judged.clashes.flatMap((clash) => (clash.ref === undefined ? [`Conflicts: ${sayClash(clash)}`] : [])),
  ];
  return {
    span,
    headline: `mod ${judged.facts.name} ${englishShopWords.mods.verdicts[judged.verdict]}: ${sayOpenChanges(judged, englishShop)}`,
    asides: [
      ...(lines.length === 0 ? [] : [{ lines }]),
      { lines: judged.changes.map((each) => `${each.change.words}: ${sayHere(each)}`) },
    ],
    footnotes: [],
    workings: [],
    offers: [],
  };
}

/** The mod sheets among these that go by one of the names. */
export function namedMods(mods: readonly Analysis[], names: readonly string[]): readonly Analysis[] {
  return mods.filter(({ sheet }) => names.some((name) => isOneName(modFacts(sheet).name, name)));
}

export function isOneName(one: string, other: string): boolean {
  return one.toLowerCase() === other.toLowerCase();
}
