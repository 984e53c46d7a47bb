/** Owns what `compare` prints for people: stop by stop, one part a line with what it does below, ending with a count. */
import { englishBenchWords } from '../bench/bench-words.ts';
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
import { englishShop, englishShopWords } from '../shop/shop-words.ts';
import { type Places, rangeIn } from './json.ts';
import { type Paint, painter, plain, type Terminal, wrap } from './terminal.ts';

const { compare: w } = englishShopWords;
const INDENT = '      ';

export function comparisonText(comparison: Comparison, places: Places, terminal: Terminal): string {
  const { was, is, parts, settled, otherRatings } = comparison;
  const paint = painter(terminal);
  const lines = [
    paint('bold', plain(`${nameOfSheet(was, englishShop)} against ${nameOfSheet(is, englishShop)}`)),
    `first   ${plain(places.path(was.amplifier.sheet.uri))}, ${stateOf(was, englishShop)}`,
    `second  ${plain(places.path(is.amplifier.sheet.uri))}, ${stateOf(is, englishShop)}`,
    ...sayParts(comparison, englishShop).map((said) => paint('bold', wrapped(said, '', terminal.width))),
    '',
  ];
  const told = parts.filter(({ verdict }) => verdict !== 'same');
  const held = new Set(
    told.flatMap((part) => effectWords(part, englishShop)).flatMap(({ heldAlways }) => heldAlways),
  );
  if (held.size > 0)
    lines.push(
      paint('dim', wrapped(`${w.effectNote} Held: ${[...held].join('; ')}.`, '', terminal.width)),
      '',
    );
  for (const stop of STOPS) {
    const own = told.filter((part) => part.stop === stop);
    if (own.length === 0) continue;
    lines.push(paint(['bold', 'underline'], englishBenchWords.stops[stop]));
    for (const part of own) lines.push(...partLines(part, places, terminal, paint));
    lines.push('');
  }
  if (settled.length > 0)
    lines.push(
      paint(['bold', 'underline'], 'All differences together'),
      wrapped(`  ${w.settledNote}`, '  ', terminal.width),
      ...settled.map((move) => `  ${sayMove(move, englishShop)}`),
      '',
    );
  if (otherRatings.length > 0)
    lines.push(
      paint(['bold', 'underline'], 'Said of one side only, of parts that are the same'),
      ...otherRatings.map((rating) => wrapped(`  ${ratingLine(rating, paint)}`, INDENT, terminal.width)),
      '',
    );
  lines.push(sayCounts(comparison, englishShop), w.ratingsNote);
  return `${lines.join('\n')}\n`;
}

function partLines(
  part: PartComparison,
  places: Places,
  { width }: Terminal,
  paint: Paint,
): readonly string[] {
  const what = plain(sayWhat(part, englishShop));
  const beside = [
    sayRole(part, englishShop),
    sayMatched(part, englishShop),
    saySeen(part, englishShop),
  ].filter((word) => word !== undefined);
  const head = `  ${paint('bold', sayRefs(part))}  ${w.verdicts[part.verdict]}${what === '' ? '' : `: ${what}`}${
    beside.length === 0 ? '' : ` ${paint('dim', `(${beside.join('; ')})`)}`
  }`;
  return [
    wrapped(head, INDENT, width),
    ...effectWords(part, englishShop).flatMap(({ direct, directHead, signal, held }) => [
      ...(direct === undefined ? [] : [below(`${directHead}: ${direct}`, width)]),
      ...(signal === undefined ? [] : [below(`with signal: ${signal}`, width)]),
      ...(held.length === 0 ? [] : [below(paint('dim', `held: ${held.join('; ')}`), width)]),
    ]),
    ...part.ratings.map((rating) => below(ratingLine(rating, paint), width)),
    ...part.notes.map(({ text, source }) => {
      const line = rangeIn(places, source).start.line + 1;
      return below(plain(`note, ${places.path(source.file)} line ${line}: ${text}`), width);
    }),
  ];
}

function ratingLine(rating: RatingVerdict, paint: Paint): string {
  const { severity, subject, message, rule } = rating.finding;
  return `${severity} ${sayRatingHow(rating, englishShop)}: ${plain(`${subject}: ${message}`)} ${paint('dim', `[${rule}]`)}`;
}

function below(text: string, width: number): string {
  return wrapped(`${INDENT}${text}`, `${INDENT}  `, width);
}

/** Goes on with `indent` where a line is full. */
function wrapped(text: string, indent: string, width: number): string {
  const lead = /^ */.exec(text)?.[0] ?? '';
  return wrap(text.slice(lead.length), lead, indent, width).join('\n');
}
