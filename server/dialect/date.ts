/** Owns dates beside a part: `date 2011`, `date 2020-04-??`, and whether such a day can be. */
import { isDigit } from '../units/sticky.ts';
import type { Draft } from './draft.ts';

const DATE =
  /(?:dated?|made)\s+(\d{4}-[\d?]{2}-[\d?]{2}|\d{4}-[\d?]{2}|\d{1,2}\/\d{4}|\d{6}|\d{4}|\d{2}\/\d{2}|'\d{2})(?![\p{L}\p{N}])/iuy;

/** `1958` or `2020-04` by themselves: years in which valves were made, with nothing behind that would make them a value. */
const PLAIN_DATE =
  /(\d{4}-[\d?]{2}-[\d?]{2}|(?:19|20)\d{2}-[\d?]{2}|19[2-9]\d|20[0-4]\d)(?![\p{L}\p{N}%/+-]|[.,]\d|\s?(?:V|v|m?A|W|R|k|K|M|[munpµ]F)(?![\p{L}\p{N}]))/uy;

export function scanDate(text: string, at: number, draft: Draft): number | undefined {
  const found = findDate(text, at, draft);
  if (found === null) return undefined;
  const end = at + found[0].length;
  const written = found[1] ?? '';
  const span = { start: at, end };
  const dateSpan = { start: end - written.length, end };
  draft.ratings.push({
    of: 'date',
    value: { kind: 'unread', spelling: written, span: dateSpan },
    text: written,
    span,
  });
  const wrong = impossibleDate(written);
  if (wrong !== undefined) {
    draft.problems.push({ kind: 'date-impossible', span: dateSpan, message: wrong, offers: [] });
  }
  return end;
}

function findDate(text: string, at: number, draft: Draft): RegExpExecArray | null {
  if (isDigit(text, at)) {
    PLAIN_DATE.lastIndex = at;
    return isRated(draft) ? PLAIN_DATE.exec(text) : null;
  }
  DATE.lastIndex = at;
  return /[dm]/i.test(text.charAt(at)) ? DATE.exec(text) : null;
}

/** Whether value and rating are said already, so that one more number of four digits can only be its year. */
function isRated({ partClass, values, ratings, type }: Draft): boolean {
  const has = (of: Draft['ratings'][number]['of']): boolean => ratings.some((rating) => rating.of === of);
  if (partClass === 'valve') return type !== undefined;
  if (partClass === 'capacitor') return values.length > 0 && has('voltage');
  return partClass === 'resistor' && values.length > 0 && has('power');
}

/** Why a date cannot be, in words; undefined if it can. No clock is asked, so a year counts as future from 2100 on. */
function impossibleDate(written: string): string | undefined {
  const iso = /^(\d{4})(?:-([\d?]{2}))?(?:-([\d?]{2}))?$/.exec(written);
  const short = /^(\d{2})(\d{2})(\d{2})$/.exec(written);
  const monthYear = /^(\d{1,2})\/(\d{4})$/.exec(written);
  const year = iso?.[1] ?? monthYear?.[2];
  const month = iso?.[2] ?? short?.[2] ?? monthYear?.[1];
  const day = iso?.[3] ?? short?.[3];
  // `0412` is week 12 of 2004 or month 12 of it: a date code, not a year.
  const isCode = iso !== null && iso[2] === undefined && Number(year) < 1900;
  if (year !== undefined && !isCode) {
    if (Number(year) >= 2100) return `${written}: the year ${year} has not come yet`;
    if (Number(year) < 1900) return `${written}: ${year} is before there were valves`;
  }
  if (month !== undefined && /^\d+$/.test(month) && (Number(month) < 1 || Number(month) > 12)) {
    return `${written}: there is no month ${month}`;
  }
  if (day !== undefined && /^\d+$/.test(day)) {
    const days = daysIn(Number(month), year === undefined ? undefined : Number(year));
    if (Number(day) < 1 || Number(day) > days) return `${written}: there is no day ${day} in that month`;
  }
  return undefined;
}

function daysIn(month: number, year: number | undefined): number {
  if (month === 2) {
    const isLeap = year === undefined || (year % 4 === 0 && (year % 100 !== 0 || year % 400 === 0));
    return isLeap ? 29 : 28;
  }
  return [4, 6, 9, 11].includes(month) ? 30 : 31;
}
