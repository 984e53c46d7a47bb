/** Owns what `compare` prints for people: stop by stop, one part a line with what it does below, ending with a count. */
import { stripVTControlCharacters, styleText } from 'node:util';
import { englishBenchWords } from '../bench/bench-words.ts';
import { STOPS } from '../bench/walk.ts';
import type { Comparison, PartComparison, RatingVerdict } from '../shop/compare.ts';
import {
  effectWords,
  nameOfSheet,
  sayCounts,
  sayMatched,
  sayMove,
  sayRatingHow,
  sayRefs,
  sayRole,
  saySeen,
  sayWhat,
  stateOf,
} from '../shop/compare-words.ts';
import { englishShop, englishShopWords } from '../shop/shop-words.ts';
import { type Places, rangeIn } from './json.ts';
import type { Terminal } from './text.ts';

const { compare: w } = englishShopWords;
const INDENT = '      ';

export function comparisonText(comparison: Comparison, places: Places, terminal: Terminal): string {
  const { was, is, parts, settled, otherRatings } = comparison;
  const paint: Paint = (style, text) =>
    terminal.colour ? styleText(style, text, { validateStream: false }) : text;
  const lines = [
    paint('bold', plain(`${nameOfSheet(was, englishShop)} against ${nameOfSheet(is, englishShop)}`)),
    `first   ${places.path(was.amplifier.sheet.uri)}, ${stateOf(was, englishShop)}`,
    `second  ${places.path(is.amplifier.sheet.uri)}, ${stateOf(is, englishShop)}`,
    '',
  ];
  const told = parts.filter(({ verdict }) => verdict !== 'same');
  const held = new Set(
    told.flatMap((part) => effectWords(part, englishShop)).flatMap(({ heldAlways }) => heldAlways),
  );
  if (held.size > 0)
    lines.push(paint('dim', wrap(`${w.effectNote} Held: ${[...held].join('; ')}.`, '', terminal.width)), '');
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
      wrap(`  ${w.settledNote}`, '  ', terminal.width),
      ...settled.map((move) => `  ${sayMove(move, englishShop)}`),
      '',
    );
  if (otherRatings.length > 0)
    lines.push(
      paint(['bold', 'underline'], 'Said of one side only, of parts that are the same'),
      ...otherRatings.map((rating) => wrap(`  ${ratingLine(rating, paint)}`, INDENT, terminal.width)),
      '',
    );
  lines.push(sayCounts(comparison, englishShop), w.ratingsNote);
  return `${lines.join('\n')}\n`;
}

type Style = Parameters<typeof styleText>[0];
type Paint = (style: Style, text: string) => string;

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
    wrap(head, INDENT, width),
    ...effectWords(part, englishShop).flatMap(({ direct, directHead, signal, held }) => [
      ...(direct === undefined ? [] : [below(`${directHead}: ${direct}`, width)]),
      ...(signal === undefined ? [] : [below(`with signal: ${signal}`, width)]),
      ...(held.length === 0 ? [] : [below(paint('dim', `held: ${held.join('; ')}`), width)]),
    ]),
    ...part.ratings.map((rating) => below(ratingLine(rating, paint), width)),
    ...part.notes.map(({ text, source }) => {
      const line = rangeIn(places, source).start.line + 1;
      return below(`note, ${places.path(source.file)} line ${line}: ${plain(text)}`, width);
    }),
  ];
}

/** What a terminal would take for a command of its own. */
function plain(text: string): string {
  return text.replace(/\p{Cc}/gu, '');
}

function ratingLine(rating: RatingVerdict, paint: Paint): string {
  const { severity, subject, message, rule } = rating.finding;
  return `${severity} ${sayRatingHow(rating, englishShop)}: ${subject}: ${message} ${paint('dim', `[${rule}]`)}`;
}

function below(text: string, width: number): string {
  return wrap(`${INDENT}${text}`, `${INDENT}  `, width);
}

/** Breaks at ordinary spaces only, so a number stays with its unit. */
function wrap(text: string, indent: string, width: number): string {
  const room = Math.max(40, width);
  const lead = /^ */.exec(text)?.[0] ?? '';
  const lines: string[] = [];
  let line = lead;
  let isEmpty = true;
  for (const word of text.slice(lead.length).split(' ')) {
    if (!isEmpty && visibleLength(line) + 1 + visibleLength(word) > room) {
      lines.push(line);
      line = indent + word;
    } else line = isEmpty ? line + word : `${line} ${word}`;
    isEmpty = false;
  }
  return [...lines, line].join('\n');
}

function visibleLength(text: string): number {
  return stripVTControlCharacters(text).length;
}
