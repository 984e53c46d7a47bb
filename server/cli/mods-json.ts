/** Owns the JSON of `mods`: each mod against each sheet, change by change, with evidence, effects and what it would break. */
import type { Source } from '../bench/model.ts';
import type { ModTold } from '../shop/mod-effects.ts';
import type { ChangeVerdict } from '../shop/mod-verdict.ts';
import { isAgreed } from '../shop/mod-words.ts';
import { type ModJudged, nameOfTarget } from '../shop/mods.ts';
import { englishShop } from '../shop/shop-words.ts';
import type { ModsOnSheet } from '../summary/mods.ts';
import { levelsJson } from './compare-json.ts';
import { type Places, rangeIn, VERSION } from './json.ts';

/** `grammar/json/mods.schema.json` describes it. */
export function modsJson(sheets: readonly ModsOnSheet[], places: Places): Record<string, unknown> {
  return {
    tagstrip: VERSION,
    mods: sheets.flatMap(({ judged, told, path }) =>
      judged.mods.map((mod, i) => ({
        on: {
          file: path,
          name: nameOfTarget(judged, englishShop),
          ...(judged.view && { phase: judged.view.phase }),
        },
        ...modJson(mod, told?.[i], places),
      })),
    ),
  };
}

function modJson(mod: ModJudged, told: ModTold | undefined, places: Places): Record<string, unknown> {
  const { facts, verdict, ours, writer, changes, wires, open, needs, clashes, meets } = mod;
  return {
    mod: {
      file: places.path(mod.sheet.uri),
      name: facts.name,
      ...(facts.purpose !== undefined && { purpose: facts.purpose }),
      writtenForIt: mod.isWrittenFor,
    },
    verdict,
    ours,
    ...(writer && {
      writer: {
        verdict: writer.verdict,
        ...(writer.why !== undefined && { why: writer.why }),
        agrees: isAgreed(mod),
        ...placeJson(writer.source, places),
      },
    }),
    open: open.length,
    of: changes.length,
    changes: changes.map((each) => changeJson(each, open, told, places)),
    wires: wires.map(({ words, verdict: own, source }) => ({
      words,
      verdict: own,
      ...placeJson(source, places),
    })),
    needs: needs.map(({ name, state, why }) => ({ mod: name, state, why })),
    needsInWords: facts.needsToo,
    conflicts: clashes.map(({ mod: other, why, ref }) => ({
      mod: other,
      why,
      ...(ref !== undefined && { ref }),
    })),
    meets: meets.map(({ mod: other, places: at }) => ({ mod: other, places: at })),
    ...(told && { outcome: outcomeJson(told) }),
  };
}

function changeJson(
  each: ChangeVerdict,
  open: readonly ChangeVerdict[],
  told: ModTold | undefined,
  places: Places,
): Record<string, unknown> {
  const { change, verdict, why, evidence, ref, part, planned, isUnderRated } = each;
  return {
    words: change.words,
    kind: change.kind,
    ref: change.ref.name,
    ...placeJson(change.source, places),
    verdict,
    open: open.some((one) => one.change === change),
    why,
    ...((part !== undefined || ref !== change.ref.name) && { here: ref }),
    ...(part?.value && { value: part.value.quantity.value, unit: part.value.quantity.unit }),
    evidence: evidence.map(({ text, source }) => ({ text, ...(source && placeJson(source, places)) })),
    ...(isUnderRated && { underRated: true }),
    ...(planned && { planned: placeJson(planned, places) }),
    effects: (told?.effects.get(change) ?? []).map(({ direct, signal, held, heldAlways }) => ({
      ...(direct !== undefined && { direct }),
      ...(signal !== undefined && { signal }),
      held: [...held, ...heldAlways],
    })),
  };
}

function outcomeJson({
  outcome: { moves, levels, findings, isSolved, left },
}: ModTold): Record<string, unknown> {
  return {
    solved: isSolved,
    leftOut: left,
    moves: moves.map(({ subject, was, is }) => ({
      subject,
      figure: was.figure,
      unit: was.quantity.unit,
      was: was.quantity.value,
      is: is.quantity.value,
    })),
    levels: levels.map(({ refs, ...way }) => ({ refs, ...levelsJson(way) })),
    breaks: findings.map(({ rule, severity, subject, message, figures, limit }) => ({
      rule,
      severity,
      subject,
      message,
      figures: figures ?? {},
      ...(limit && {
        limit: { value: limit.quantity.value, unit: limit.quantity.unit, source: limit.source },
      }),
    })),
  };
}

function placeJson(source: Source, places: Places): Record<string, unknown> {
  return { file: places.path(source.file), range: rangeIn(places, source) };
}
