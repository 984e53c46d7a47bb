/**
 * Owns the words of a condition: what held when readings were taken (`mains 238`, `dummy 8R`, `C14 lifted`). A passage
 * of nothing else is a list of conditions; in a sentence beside a mains reading they are picked out.
 */
import type { Span } from '../text/span.ts';
import type { Quantity, Unit } from '../units/si.ts';
import { fold, unfold } from './folding.ts';
import { scanRef } from './references.ts';
import type { Condition, Ref, WritingProblem } from './tree.ts';
import { scanWritten } from './written.ts';

/**
 * The conditions that a stretch of the sheet consists of, with or without the colon at its end; undefined if anything
 * else stands in it. `named` are the shop's own words.
 */
export function readConditions(
  sheetText: string,
  span: Span,
  named: readonly string[] = [],
): readonly Condition[] | undefined {
  const folded = fold(sheetText, span, true);
  const conditions = conditionsIn(folded.text, 0, folded.text.length, named);
  return conditions === undefined ? undefined : unfold(conditions, folded);
}

/**
 * Condition words among others in a passage that ends in a colon (`Lamp in, by the old lead, hot:`): each phrase that is
 * wholly a condition counts, lest what was standing before it be taken to stand on.
 */
export function pickConditions(
  sheetText: string,
  span: Span,
  named: readonly string[] = [],
): readonly Condition[] {
  const folded = fold(sheetText, span, true);
  const { text } = folded;
  const found = phrasesOf(text, 0, text.length).flatMap(({ start, end }) => [
    ...(conditionsIn(text, start, end, named) ?? []),
  ]);
  return unfold(found, folded);
}

/**
 * Condition words in a sentence that also holds a mains tag (`Mains {mains: 236 V}, dummy load, twenty minutes warm.`).
 * Each phrase that is wholly a condition counts; the rest of the passage is prose.
 */
export function findConditions(
  sheetText: string,
  span: Span,
  named: readonly string[] = [],
): readonly Condition[] {
  const folded = fold(sheetText, span, true);
  const found: Condition[] = [];
  for (const sentence of sentencesOf(folded.text)) {
    const text = folded.text.slice(0, sentence.end);
    if (!/\{\s*mains\b/i.test(text.slice(sentence.start))) continue;
    // A tag's own words are its own; a phrase may stand on either side of it.
    const bare = text.replace(/\{[^{}]*\}/g, (tag) => ','.padEnd(tag.length, ' '));
    for (const phrase of phrasesOf(bare, sentence.start, sentence.end)) {
      const read = conditionsIn(bare, phrase.start, phrase.end, named);
      if (read !== undefined) found.push(...read);
    }
  }
  return unfold(found, folded);
}

/** `standby on` means playing to one and waiting to the other: it is asked. */
export function problemsOfConditions(conditions: readonly Condition[]): WritingProblem[] {
  return conditions.flatMap((condition): WritingProblem[] =>
    condition.kind !== 'standby-on'
      ? []
      : [
          {
            kind: 'standby-on',
            span: condition.span,
            message: `“${condition.words}” means playing to one and waiting to another: write “in play” or “in standby”`,
            offers: [
              { saying: 'the amplifier is playing', edit: { span: condition.span, text: 'in play' } },
              { saying: 'the HT is off', edit: { span: condition.span, text: 'in standby' } },
            ],
          },
        ],
  );
}

function sentencesOf(text: string): Span[] {
  const sentences: Span[] = [];
  let start = 0;
  for (let at = 0; at < text.length; at++) {
    if (text.charAt(at) === '{') {
      const closing = text.indexOf('}', at);
      if (closing > at) at = closing;
    } else if (/[.!?]/.test(text.charAt(at)) && /^\s|^$/.test(text.slice(at + 1, at + 2))) {
      sentences.push({ start, end: at + 1 });
      start = at + 1;
    }
  }
  if (start < text.length) sentences.push({ start, end: text.length });
  return sentences;
}

function phrasesOf(text: string, start: number, end: number): Span[] {
  const phrases: Span[] = [];
  let from = start;
  for (let at = start; at <= end; at++) {
    if (at < end && !/[,;]/.test(text.charAt(at)) && !/^[.:]\s*$/.test(text.slice(at, end))) continue;
    if (at > from) phrases.push({ start: from, end: at });
    from = at + 1;
  }
  return phrases;
}

/** Words between conditions that say nothing. */
const FILLER =
  /(?:[\s,;/&+]|(?:and|with|the|on|at|under|after|behind|from|readings?|all|then|voltages?|chart|taken|measured|when|while|full|now|again|back|to|up)(?![\p{L}\p{N}_-]))+/iuy;

/** All conditions of a stretch of folded text; undefined if anything else stands there. */
export function conditionsIn(
  text: string,
  start: number,
  end: number,
  named: readonly string[] = [],
): readonly Condition[] | undefined {
  let stop = end;
  while (stop > start && /[\s:.]/.test(text.charAt(stop - 1))) stop--;
  const bounded = text.slice(0, stop);
  const conditions: Condition[] = [];
  let at = start;
  while (at < bounded.length) {
    const condition = scanCondition(bounded, at, named);
    if (condition !== undefined && condition.span.end > at) {
      conditions.push(condition);
      at = condition.span.end;
      continue;
    }
    FILLER.lastIndex = at;
    const filler = FILLER.exec(bounded);
    if (filler === null || filler[0] === '') return undefined;
    at += filler[0].length;
  }
  return conditions.length === 0 ? undefined : conditions;
}

type Kind = Condition['kind'];

/** Fixed phrases, longest first where one begins another. */
const PHRASES: readonly (readonly [RegExp, Kind])[] = [
  [/same conditions|conditions as (?:before|above|found)|same as (?:before|above)/iy, 'same'],
  [/(?:in )?standby (?:switch )?(?:on|off)/iy, 'standby-on'],
  [/(?:in|on) standby|standby/iy, 'in-standby'],
  [/in play|out of standby|playing|in operate|operating/iy, 'in-play'],
  [/(?:plug(?:ged)? out|unplugged|switched off|powered off|power off|off)/iy, 'off'],
  [/out[- ]of[- ]circuit|off the board|one end lifted|one leg lifted/iy, 'out-of-circuit'],
  [/in[- ]circuit/iy, 'in-circuit'],
  [/from cold|cold/iy, 'cold'],
  [/hot/iy, 'hot'],
  [/no sig(?:nal)?|no input|quiescent|at idle|idle|input shorted/iy, 'no-signal'],
  [/(?:just (?:at |below )?|onset of |at (?:the )?onset of )?clipping|full drive|full output/iy, 'clipping'],
  [/no load|load off|unloaded/iy, 'no-load'],
];

const LETTER = /[\p{L}\p{N}_]/u;

function scanCondition(text: string, at: number, named: readonly string[]): Condition | undefined {
  if (at > 0 && LETTER.test(text.charAt(at - 1))) return undefined;
  const ofShop = named.find(
    (word) =>
      word !== '' &&
      text.slice(at, at + word.length).toLowerCase() === word.toLowerCase() &&
      !LETTER.test(text.charAt(at + word.length)),
  );
  if (ofShop !== undefined) return condition('named', text, at, at + ofShop.length);
  // A part is named, or at most ohms are said: no word of a condition has a digit or a sign so near its front.
  if (NAMED.test(text.slice(at, at + 4))) return scanOfParts(text, at) ?? scanOhmsOfLoad(text, at);
  return (
    scanOfParts(text, at) ??
    scanMains(text, at) ??
    scanWarmUp(text, at) ??
    scanLoad(text, at) ??
    scanLamp(text, at) ??
    scanDischarged(text, at) ??
    scanPhrase(text, at) ??
    scanSignal(text, at)
  );
}

function condition(
  kind: Kind,
  text: string,
  start: number,
  end: number,
  more: { readonly refs?: readonly Ref[]; readonly value?: Quantity | undefined } = {},
): Condition {
  return {
    kind,
    refs: more.refs ?? [],
    value: more.value,
    words: text.slice(start, end).replace(/\s+/g, ' '),
    span: { start, end },
  };
}

function scanPhrase(text: string, at: number): Condition | undefined {
  for (const [pattern, kind] of PHRASES) {
    pattern.lastIndex = at;
    const found = pattern.exec(text);
    if (found !== null && !LETTER.test(text.charAt(at + found[0].length))) {
      return condition(kind, text, at, at + found[0].length);
    }
  }
  return undefined;
}

/** `R17`, `VR1`, `B+1`; but not `ca5 V`. */
const NAMED = /^(?!ca)[a-z](?:[a-z]{0,2}\d|[+-])/i;

/** A value of one unit at `at`. */
function valueAt(
  text: string,
  at: number,
  unit: Unit,
  bare: boolean,
): { readonly value: Quantity; readonly end: number } | undefined {
  const scanned = scanWritten(text, at, bare ? unit : undefined, unit === 'Ohm' ? 'resistor' : undefined);
  if (scanned?.written.kind !== 'value' || scanned.written.value.quantity.unit !== unit) return undefined;
  if (LETTER.test(text.charAt(scanned.end))) return undefined;
  return { value: scanned.written.value.quantity, end: scanned.end };
}

/** Behind a word and the joint that may follow it: `mains 238`, `mains at 238`, `mains: 238 V`. */
function behind(text: string, at: number, word: RegExp): number | undefined {
  word.lastIndex = at;
  const found = word.exec(text);
  if (found === null || LETTER.test(text.charAt(at + found[0].length))) return undefined;
  return at + found[0].length;
}

function gapEnd(text: string, at: number): number {
  return (
    at +
    (/^\s*(?:(?:at|of|=|:|is|was|set to|through|into)\s*)?/i.exec(text.slice(at, at + 16))?.[0].length ?? 0)
  );
}

function scanMains(text: string, at: number): Condition | undefined {
  for (const [word, kind] of [
    [/(?:mains|wall|line)(?: voltage)?/iy, 'mains'],
    [/(?:on (?:the |a )?)?variac/iy, 'variac'],
  ] as const) {
    const end = behind(text, at, word);
    if (end === undefined) continue;
    const found = valueAt(text, gapEnd(text, end), 'V', true);
    if (found !== undefined) {
      // `mains 230 V 50 Hz`: its own frequency, no signal.
      const hertz = /^\s*,?\s*(?:at\s+)?[56]0\s?Hz(?![\p{L}\p{N}])/iu.exec(
        text.slice(found.end, found.end + 16),
      );
      return condition(kind, text, at, found.end + (hertz?.[0].length ?? 0), { value: found.value });
    }
    if (kind === 'variac') return condition(kind, text, at, end);
  }
  const first = valueAt(text, at, 'V', false);
  const word =
    first === undefined
      ? null
      : /^\s+(mains|(?:on (?:the |a )?)?variac)(?![\p{L}\p{N}])/iu.exec(text.slice(first.end));
  if (first === undefined || word === null) return undefined;
  const kind = /variac/i.test(word[0]) ? 'variac' : 'mains';
  return condition(kind, text, at, first.end + word[0].length, { value: first.value });
}

function scanLamp(text: string, at: number): Condition | undefined {
  const end = behind(text, at, /(?:lamp(?: limiter)?|bulb limiter|limiter|light bulb)/iy);
  if (end !== undefined) {
    const found = valueAt(text, gapEnd(text, end), 'W', true);
    return condition('lamp', text, at, found?.end ?? end, found === undefined ? {} : { value: found.value });
  }
  const first = valueAt(text, at, 'W', false);
  const word =
    first === undefined
      ? null
      : /^\s+(?:lamp(?: limiter)?|bulb|limiter)(?![\p{L}\p{N}])/iu.exec(text.slice(first.end));
  if (first === undefined || word === null) return undefined;
  return condition('lamp', text, at, first.end + word[0].length, { value: first.value });
}

function scanLoad(text: string, at: number): Condition | undefined {
  // `11.2 V at 1 kHz into 8R`: what the output stage works into.
  const into = behind(text, at, /into(?: an?)?/iy);
  const load = into === undefined ? undefined : valueAt(text, gapEnd(text, into), 'Ohm', false);
  if (load !== undefined) return condition('dummy-load', text, at, load.end, { value: load.value });
  const dummy = behind(text, at, /dummy(?: load)?|resistive load|load resistor/iy);
  const speaker =
    dummy === undefined ? behind(text, at, /(?:loud)?speaker(?: load)?|own speaker/iy) : undefined;
  const end = dummy ?? speaker;
  if (end !== undefined) {
    const found = valueAt(text, gapEnd(text, end), 'Ohm', true);
    const kind = dummy === undefined ? 'speaker' : 'dummy-load';
    return condition(kind, text, at, found?.end ?? end, found === undefined ? {} : { value: found.value });
  }
  return scanOhmsOfLoad(text, at);
}

/** `8R dummy`, `16 ohm load`. */
function scanOhmsOfLoad(text: string, at: number): Condition | undefined {
  const first = valueAt(text, at, 'Ohm', false);
  const word =
    first === undefined
      ? null
      : /^\s+((?:dummy|resistive)(?: load)?|load|(?:loud)?speaker)(?![\p{L}\p{N}])/iu.exec(
          text.slice(first.end),
        );
  if (first === undefined || word === null) return undefined;
  const kind = /speaker/i.test(word[0]) ? 'speaker' : 'dummy-load';
  return condition(kind, text, at, first.end + word[0].length, { value: first.value });
}

function scanDischarged(text: string, at: number): Condition | undefined {
  const end = behind(text, at, /discharged|drained|bled down/iy);
  if (end === undefined) return undefined;
  const found = valueAt(text, gapEnd(text, end), 'Ohm', false);
  return condition(
    'discharged',
    text,
    at,
    found?.end ?? end,
    found === undefined ? {} : { value: found.value },
  );
}

const NUMBER_WORDS: readonly string[] =
  'zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen'.split(
    ' ',
  );
const TENS: readonly string[] = 'zero ten twenty thirty forty fifty sixty seventy eighty ninety'.split(' ');
const NUMBER_WORD = [...NUMBER_WORDS, ...TENS].join('|');
const DURATION = new RegExp(
  String.raw`(?:(\d{1,3}(?:[.,]\d)?)|((?:${NUMBER_WORD})(?:[- ](?:${NUMBER_WORD}))?))[\s-]*(minutes?|mins?|m|hours?|hrs?|h|seconds?|secs?|s)(?![\p{L}\p{N}])`,
  'uiy',
);
const HALF_HOUR = /half an hour|an hour|a minute/iy;
const WARM = /^\s*(?:warm(?:-?up|ed up)?|of warm-?up|from cold|in|hot|on)(?![\p{L}\p{N}-])/iu;

/** `15 min`, `twenty minutes warm`, `warmed up`. */
function scanWarmUp(text: string, at: number): Condition | undefined {
  let seconds: number | undefined;
  let end = at;
  HALF_HOUR.lastIndex = at;
  const half = HALF_HOUR.exec(text);
  DURATION.lastIndex = at;
  const found = half === null ? DURATION.exec(text) : null;
  if (half !== null) {
    seconds = /^half/i.test(half[0]) ? 1800 : /hour/i.test(half[0]) ? 3600 : 60;
    end = at + half[0].length;
  } else if (found !== null) {
    const number =
      found[1] === undefined ? numberOfWords(found[2] ?? '') : Number(found[1].replace(',', '.'));
    const unit = (found[3] ?? '').toLowerCase();
    if (number !== undefined) {
      seconds = number * (unit.startsWith('h') ? 3600 : unit.startsWith('s') ? 1 : 60);
      end = at + found[0].length;
    }
  }
  if (seconds !== undefined) {
    const warm = WARM.exec(text.slice(end, end + 16));
    return condition('warm-up', text, at, end + (warm?.[0].length ?? 0), {
      value: { value: seconds, unit: 's' },
    });
  }
  const warm = behind(text, at, /warmed[- ]up|warmed|warm/iy);
  return warm === undefined ? undefined : condition('warm-up', text, at, warm);
}

function numberOfWords(words: string): number | undefined {
  const [first = '', second] = words.toLowerCase().split(/[- ]/);
  const small = NUMBER_WORDS.indexOf(first);
  const tens = TENS.indexOf(first);
  if (second === undefined) {
    if (small >= 0) return small;
    return tens >= 0 ? tens * 10 : undefined;
  }
  const unit = NUMBER_WORDS.indexOf(second);
  return tens >= 2 && unit >= 1 && unit <= 9 ? tens * 10 + unit : undefined;
}

function scanSignal(text: string, at: number): Condition | undefined {
  const frequency = valueAt(text, at, 'Hz', false);
  if (frequency !== undefined) {
    const word = /^\s+(?:sine(?: wave)?|signal|tone|square(?: wave)?)(?![\p{L}\p{N}])/iu.exec(
      text.slice(frequency.end),
    );
    const volts = valueAt(text, gapEnd(text, frequency.end), 'V', false);
    const end = word === null ? (volts?.end ?? frequency.end) : frequency.end + word[0].length;
    return condition('signal', text, at, end, { value: frequency.value });
  }
  const end = behind(text, at, /signal|driven/iy);
  return end === undefined ? undefined : condition('signal', text, at, end);
}

const REFS_GAP = /^(?:\s*(?:,|&|\+|and\s)\s*(?:and\s+)?|\s+)/i;

/** `V6 out`, `C22 lifted`, `V5 V6 swapped`, `VR3 at 3`. */
function scanOfParts(text: string, at: number): Condition | undefined {
  const without = /^(?:without|no)\s+(?=[A-Z])/.exec(text.slice(at, at + 9))?.[0].length ?? 0;
  const refs: Ref[] = [];
  let end = at + without;
  for (;;) {
    const scanned = scanRef(text, end);
    if (scanned === undefined) break;
    refs.push(scanned.ref);
    // Which leg was lifted does not matter to what the condition does.
    end =
      scanned.end +
      (/^\.\d{1,2}(?![\p{L}\p{N}])/u.exec(text.slice(scanned.end, scanned.end + 4))?.[0].length ?? 0);
    const gap = REFS_GAP.exec(text.slice(end, end + 8));
    if (gap === null || scanRef(text, end + gap[0].length) === undefined) break;
    end += gap[0].length;
  }
  if (refs.length === 0) return undefined;
  if (without > 0) return condition('out', text, at, end, { refs });
  const word =
    /^\s+(?:(?:is|are|both)\s+)?(out(?! of)|pulled|removed|lifted|disconnected|(?:one )?(?:leg|end) lifted|swapped|exchanged|in[- ]circuit|out[- ]of[- ]circuit|(?:set )?(?:at|to)\s(?=\s*\d))(?!\p{L})/iu.exec(
      text.slice(end, end + 32),
    );
  if (word === null) return undefined;
  const behindWord = end + word[0].length;
  const said = (word[1] ?? '').toLowerCase();
  if (/^out[- ]of|^in[- ]c/.test(said)) {
    return condition(said.startsWith('in') ? 'in-circuit' : 'out-of-circuit', text, at, behindWord, { refs });
  }
  if (/at|to/.test(said) && /\s$/.test(word[0])) {
    const setting = valueAt(text, behindWord, '1', true);
    return setting === undefined
      ? undefined
      : condition('setting', text, at, setting.end, { refs, value: setting.value });
  }
  const kind: Kind = /swap|exch/.test(said) ? 'swapped' : /lift|disc/.test(said) ? 'lifted' : 'out';
  return condition(kind, text, at, behindWord, { refs });
}
