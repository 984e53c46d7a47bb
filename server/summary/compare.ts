/** Owns the comparison of two amplifiers as a document: what a technician walks through, stop by stop, for every printer. */
import { STOPS } from '../bench/walk.ts';
import type { Comparison, PartComparison } from '../shop/compare.ts';
import {
  effectWords,
  nameOfSheet,
  sayCounts,
  sayMatched,
  sayMove,
  sayParts,
  sayRatingHow,
  sayRefs,
  sayRole,
  saySeen,
  sayWhat,
  stateOf,
} from '../shop/compare-words.ts';
import type { RatingVerdict } from '../shop/rating-verdicts.ts';
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
import { plainWords } from './prose.ts';
import type { Speech } from './speech.ts';

/** `pictures`: of what is heard, made by `compare-pictures.ts`. */
export function comparisonDocument(
  comparison: Comparison,
  pictures: readonly Block[] = [],
  speech: Speech,
): SummaryDocument {
  const { words, terms, shop } = speech;
  const { compare: w, ...d } = words.documents;
  const { effectNote, settledNote, ratingsNote } = shop.says.compare;
  const { was, is, parts, settled, otherRatings } = comparison;
  const told = parts.filter(({ verdict }) => verdict !== 'same');
  const sections = STOPS.flatMap((stop) => {
    const own = told.filter((part) => part.stop === stop);
    return sectionOf(
      terms.stops[stop],
      own.length === 0 ? [] : [listOf(own.map((part) => itemOf(part, speech)))],
    );
  });
  const held = new Set(
    told.flatMap((part) => effectWords(part, shop)).flatMap(({ heldAlways }) => heldAlways),
  );
  return {
    language: words.language,
    reader: 'bench',
    title: d.against(nameOfSheet(was, shop), nameOfSheet(is, shop)),
    kind: w.kind,
    facts: [
      [w.first, `${nameOfSheet(was, shop)}, ${stateOf(was, shop)}`],
      [w.second, `${nameOfSheet(is, shop)}, ${stateOf(is, shop)}`],
      [w.parts, sayCounts(comparison, shop)],
    ],
    opening: [
      ...sayParts(comparison, shop).map((said) => paragraph(said, 'warning')),
      ...(held.size === 0 ? [] : [paragraph(`${effectNote} ${d.held([...held].join('; '))}.`, 'small')]),
    ],
    sections: [
      ...sections,
      ...sectionOf(w.responses, pictures),
      ...sectionOf(
        w.together,
        settled.length === 0
          ? []
          : [paragraph(settledNote, 'small'), listOf(settled.map((move) => sayMove(move, shop)))],
      ),
      ...sectionOf(
        w.oneSide,
        otherRatings.length === 0 ? [] : [listOf(otherRatings.map((rating) => ratingItem(rating, speech)))],
      ),
      ...sectionOf(d.readWithThis, [
        paragraph([ratingsNote, d.rulesLanguage === '' ? '' : ` ${d.rulesLanguage}`], 'small'),
      ]),
    ],
  };
}

function itemOf(part: PartComparison, speech: Speech): Item {
  const { words, shop } = speech;
  const { compare: w, ...d } = words.documents;
  const beside = [sayRole(part, shop), sayMatched(part, shop), saySeen(part, shop)].filter(
    (word) => word !== undefined,
  );
  const below: (Item | string)[] = [
    ...effectWords(part, shop).flatMap(({ direct, directHead, signal, held }) => [
      ...(direct === undefined ? [] : [`${directHead}: ${direct}`]),
      ...(signal === undefined ? [] : [d.withSignal(signal)]),
      ...(held.length === 0 ? [] : [d.held(held.join('; '))]),
    ]),
    ...part.ratings.map((rating) => ratingItem(rating, speech)),
    ...part.notes.map(({ text, of }) => ({
      text: [aside('because', of === 'was' ? w.noteOfFirst : w.noteOfSecond), plainWords(text)],
    })),
  ];
  const what = sayWhat(part, shop);
  return {
    text: [
      strong(sayRefs(part)),
      ` ${shop.says.compare.verdicts[part.verdict]}${what === '' ? '' : `: ${what}`}`,
      ...(beside.length === 0 ? [] : [' ', aside('note', beside.join('; '))]),
    ],
    ...(below.length > 0 && { blocks: [listOf(below)] }),
  };
}

function ratingItem(rating: RatingVerdict, { words, shop, english }: Speech): Item {
  const { severity, subject, message, rule } = rating.finding;
  return {
    text: [
      aside('severity', words.documents.severities[severity]),
      ` ${sayRatingHow(rating, shop)}: `,
      strong(subject),
      ' ',
      english(message),
      ' ',
      aside('note', english(rule)),
    ],
  };
}
