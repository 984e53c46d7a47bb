/** Owns the comparison of two amplifiers as a document: what a technician walks through, stop by stop, for every printer. */
import { englishBenchWords } from '../bench/bench-words.ts';
import { STOPS } from '../bench/walk.ts';
import type { Comparison, PartComparison, RatingVerdict } from '../shop/compare.ts';
import {
  EFFECT_NOTE,
  effectWords,
  nameOfSheet,
  RATINGS_NOTE,
  SETTLED_NOTE,
  sayCounts,
  sayMatched,
  sayMove,
  sayRatingHow,
  sayRefs,
  sayRole,
  saySeen,
  sayWhat,
  stateOf,
  VERDICT_WORDS,
} from '../shop/compare-words.ts';
import {
  aside,
  type Block,
  type Item,
  listOf,
  paragraph,
  type SummaryDocument,
  sectionOf,
  strong,
} from './document.ts';
import { printHtml } from './print-html.ts';
import { printMarkdown } from './print-markdown.ts';

/** `pictures`: of what is heard, made by `compare-pictures.ts`. */
export function comparisonDocument(comparison: Comparison, pictures: readonly Block[] = []): SummaryDocument {
  const { was, is, parts, settled, otherRatings } = comparison;
  const told = parts.filter(({ verdict }) => verdict !== 'same');
  const sections = STOPS.flatMap((stop) => {
    const own = told.filter((part) => part.stop === stop);
    return sectionOf(englishBenchWords.stops[stop], own.length === 0 ? [] : [listOf(own.map(itemOf))]);
  });
  const held = new Set(told.flatMap(effectWords).flatMap(({ heldAlways }) => heldAlways));
  return {
    language: 'en',
    reader: 'bench',
    title: `${nameOfSheet(was)} against ${nameOfSheet(is)}`,
    kind: 'Comparison',
    facts: [
      ['First', `${nameOfSheet(was)}, ${stateOf(was)}`],
      ['Second', `${nameOfSheet(is)}, ${stateOf(is)}`],
      ['Parts', sayCounts(comparison)],
    ],
    opening: [
      ...(held.size === 0 ? [] : [paragraph(`${EFFECT_NOTE} Held: ${[...held].join('; ')}.`, 'small')]),
    ],
    sections: [
      ...sections,
      ...sectionOf('Responses, one difference at a time', pictures),
      ...sectionOf(
        'All differences together',
        settled.length === 0 ? [] : [paragraph(SETTLED_NOTE, 'small'), listOf(settled.map(sayMove))],
      ),
      ...sectionOf(
        'Said of one side only, of parts that are the same',
        otherRatings.length === 0 ? [] : [listOf(otherRatings.map(ratingItem))],
      ),
      ...sectionOf('Read with this', [paragraph(RATINGS_NOTE, 'small')]),
    ],
  };
}

/** The page by itself. */
export function comparisonHtml(comparison: Comparison, pictures: readonly Block[] = []): string {
  return printHtml(comparisonDocument(comparison, pictures));
}

export function comparisonMarkdown(comparison: Comparison, pictures: readonly Block[] = []): string {
  return printMarkdown(comparisonDocument(comparison, pictures));
}

function itemOf(part: PartComparison): Item {
  const beside = [sayRole(part), sayMatched(part), saySeen(part)].filter((word) => word !== undefined);
  const below: (Item | string)[] = [
    ...effectWords(part).flatMap(({ direct, directHead, signal, held }) => [
      ...(direct === undefined ? [] : [`${directHead}: ${direct}`]),
      ...(signal === undefined ? [] : [`With signal: ${signal}`]),
      ...(held.length === 0 ? [] : [`Held: ${held.join('; ')}`]),
    ]),
    ...part.ratings.map(ratingItem),
    ...part.notes.map(({ text, of }) => ({
      text: [aside('because', of === 'was' ? 'Note of the first: ' : 'Note of the second: '), text],
    })),
  ];
  const what = sayWhat(part);
  return {
    text: [
      strong(sayRefs(part)),
      ` ${VERDICT_WORDS[part.verdict]}${what === '' ? '' : `: ${what}`}`,
      ...(beside.length === 0 ? [] : [' ', aside('note', beside.join('; '))]),
    ],
    ...(below.length > 0 && { blocks: [listOf(below)] }),
  };
}

function ratingItem(rating: RatingVerdict): Item {
  const { severity, subject, message, rule } = rating.finding;
  return {
    text: [
      aside('severity', severity),
      ` ${sayRatingHow(rating)}: `,
      strong(subject),
      ` ${message} `,
      aside('note', rule),
    ],
  };
}
