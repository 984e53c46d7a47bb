/** Owns the JSON of `compare`: every part with what differs, what that does and what the rules say, each with its place. */
import type { ChangeEffect, EffectLine } from '../bench/effects.ts';
import type { Figure, Source } from '../bench/model.ts';
import type { LevelEffect } from '../bench/response.ts';
import type { ComparedSheet, Comparison, PartComparison } from '../shop/compare.ts';
import { effectWords, nameOfSheet, sayMarked } from '../shop/compare-words.ts';
import type { ComparedPart } from '../shop/compared-part.ts';
import type { RatingVerdict } from '../shop/rating-verdicts.ts';
import { englishShop } from '../shop/shop-words.ts';
import { findingJson, type Places, rangeIn, VERSION } from './json.ts';

/** `grammar/json/compare.schema.json` describes it. */
export function comparisonJson(comparison: Comparison, places: Places): Record<string, unknown> {
  const { was, is, parts, settled, otherRatings } = comparison;
  return {
    tagstrip: VERSION,
    compare: {
      was: sheetJson(was, places),
      is: sheetJson(is, places),
      parts: parts.map((part) => partJson(part, places)),
      settled: settled.map(({ subject, now, was: before, is: after }) => ({
        subject,
        ...(now !== undefined && { now }),
        figure: before.figure,
        unit: before.quantity.unit,
        was: valueJson(before),
        is: valueJson(after),
      })),
      otherRatings: otherRatings.map((rating) => ratingJson(rating, places)),
    },
  };
}

function sheetJson(sheet: ComparedSheet, places: Places): Record<string, unknown> {
  const { uri } = sheet.amplifier.sheet;
  return {
    file: places.path(uri),
    name: nameOfSheet(sheet, englishShop),
    ...(sheet.phase !== undefined && { phase: sheet.phase }),
    ...(sheet.isPart && { incomplete: true }),
  };
}

function partJson(part: PartComparison, places: Places): Record<string, unknown> {
  const { verdict, stop, was, is, by, differences, effects, ratings, notes, instead } = part;
  return {
    verdict,
    group: stop,
    ...(was && { was: sideJson(was, places) }),
    ...(is && { is: sideJson(is, places) }),
    ...(by && { matchedBy: by }),
    ...(instead && { instead: instead.map(({ part: { ref } }) => ref) }),
    differences: differences.map(({ of, was: one, is: two }) => ({
      of,
      ...(one !== undefined && { was: one }),
      ...(two !== undefined && { is: two }),
    })),
    effects: effects.map((effect) => effectJson(effect)),
    effectWords: effectWords(part, englishShop).map(({ direct, signal, held, heldAlways }) => ({
      ...(direct !== undefined && { direct }),
      ...(signal !== undefined && { signal }),
      held: [...held, ...heldAlways],
    })),
    ratings: ratings.map((rating) => ratingJson(rating, places)),
    notes: notes.map(({ text, of, source }) => ({ of, text, ...placeJson(source, places) })),
  };
}

function sideJson({ part, role, seen }: ComparedPart, places: Places): Record<string, unknown> {
  const { ref, value } = part;
  return {
    ref,
    class: part.class,
    marked: sayMarked(part, englishShop),
    ...(value && { value: value.quantity.value, unit: value.quantity.unit }),
    ...(role !== undefined &&
      role.role !== 'unknown' && { role: role.role, serves: role.serves, confidence: role.confidence }),
    ...(seen && { seen: seen.says }),
    connections: Object.fromEntries(part.terminals),
    ...placeJson(part.source, places),
  };
}

function effectJson({ ref, phase, direct, signal, levels }: ChangeEffect): Record<string, unknown> {
  return {
    ref,
    phase,
    direct: direct.map(lineJson),
    signal: signal.map(lineJson),
    ...(levels && { levels: levelsJson(levels) }),
  };
}

/** Levels of a way before and after, a point a frequency; `mods` has them too. */
export function levelsJson({ from, at, basis, levels }: LevelEffect): Record<string, unknown> {
  return {
    from,
    at,
    basis,
    points: levels.map(({ frequency, before, after, change }) => ({
      frequency: frequency.value,
      ...(before && { was: before.value }),
      ...(after && { is: after.value }),
      ...(change && { change: change.value }),
    })),
  };
}

function lineJson({ subject, figure, before, after }: EffectLine): Record<string, unknown> {
  return {
    subject,
    figure,
    unit: (before ?? after)?.quantity.unit,
    ...(before && { was: valueJson(before) }),
    ...(after && { is: valueJson(after) }),
  };
}

function valueJson({ quantity, low, high, basis, limit }: Figure): Record<string, unknown> {
  return {
    value: quantity.value,
    ...(low !== undefined && { low }),
    ...(high !== undefined && { high }),
    basis,
    ...(limit && {
      limit: { value: limit.quantity.value, unit: limit.quantity.unit, source: limit.source },
    }),
  };
}

function ratingJson({ how, isOtherUnread, finding }: RatingVerdict, places: Places): Record<string, unknown> {
  return { how, ...(isOtherUnread && { otherUnread: true }), finding: findingJson(finding, places) };
}

function placeJson(source: Source, places: Places): Record<string, unknown> {
  return { file: places.path(source.file), range: rangeIn(places, source) };
}
