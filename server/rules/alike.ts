/**
 * Owns the joining of findings that say one thing twice: the same number as found and as left, or of sections of one body
 * (the tied halves of a twin, the sections of a can). A reader who is told twice looks for two faults. They are compared by what
 * was found, and when that was is no part of their words.
 */
import type { Source } from '../bench/model.ts';
import { show } from './phrases.ts';
import type { Related, Report, Rule } from './rule.ts';
import { sayNames, subjectOf } from './subject.ts';
import { METER_SLACK } from './voltages.ts';

interface Said {
  readonly rule: Rule;
  readonly report: Report;
}

/** The findings with those joined that are alike in rule, severity, figures and limit, of one subject or of sections of a body. */
export function joinAlike<T extends Said>(raws: readonly T[]): readonly T[] {
  return joinSections(joinPhases(raws));
}

/** As found and as left alike, it stands as left, and says that it stood before. */
function joinPhases<T extends Said>(raws: readonly T[]): readonly T[] {
  const subjectOfRule = ({ rule, report }: Said): string => `${rule.id} ${report.subject}`;
  const asFound = new Map(
    raws
      .filter((raw) => raw.report.phase === 'as-found' && isJoined(raw))
      .map((raw) => [subjectOfRule(raw), raw]),
  );
  if (asFound.size === 0) return raws;
  const joined = new Set<T>();
  const all = raws.map((raw) => {
    const { report } = raw;
    const before = report.phase === 'as-left' && isJoined(raw) ? asFound.get(subjectOfRule(raw)) : undefined;
    const stoodBefore = before && alikeBefore(before, raw);
    if (before === undefined || stoodBefore === undefined) return raw;
    joined.add(before);
    const { at } = stoodBefore;
    const message = at === undefined ? report.message : `${report.message} As found it was ${show(at)}.`;
    const related = relatedTo(raw, [{ raw: before, message: 'as found, it stood here.' }]);
    return { ...raw, report: { ...report, stoodBefore, message, related } };
  });
  return joined.size === 0 ? raws : all.filter((raw) => !joined.has(raw));
}

/** How it stood before; undefined where the two differ by more than a meter's own error explains. */
function alikeBefore(before: Said, now: Said): Report['stoodBefore'] {
  const { measure, severity, message } = now.report;
  if (severity !== before.report.severity) return undefined;
  if (foundIn(before.report) === foundIn(now.report) || message === before.report.message) return {};
  if (measure === undefined) return undefined;
  const [was, is] = [before.report.figures?.[measure], now.report.figures?.[measure]];
  if (was === undefined || is === undefined || was.unit !== is.unit) return undefined;
  return Math.abs(is.value - was.value) > METER_SLACK * Math.abs(was.value) ? undefined : { at: was };
}

const SECTION = /^([A-Z]{1,3}\d+)[A-D]$/;

/** `V3A` and `V3B` with one number: the first speaks for both. */
function joinSections<T extends Said>(raws: readonly T[]): readonly T[] {
  const groups = new Map<string, T[]>();
  for (const raw of raws) {
    const { subject } = raw.report;
    const body = SECTION.exec(subject)?.[1];
    if (body === undefined || !isJoined(raw)) continue;
    const key = `${raw.rule.id} ${body} ${raw.report.phase} ${foundIn(raw.report, subject)}`;
    const group = groups.get(key);
    if (group === undefined) groups.set(key, [raw]);
    else group.push(raw);
  }
  const spoken = new Map<T, readonly T[]>();
  const joined = new Set<T>();
  for (const [first, ...others] of groups.values()) {
    if (first === undefined || others.length === 0) continue;
    spoken.set(first, others);
    for (const other of others) joined.add(other);
  }
  if (joined.size === 0) return raws;
  return raws.flatMap((raw) => {
    if (joined.has(raw)) return [];
    const others = spoken.get(raw);
    if (others === undefined) return [raw];
    const names = others.map(({ report }) => report.subject);
    const message = `${raw.report.message} The same holds for ${sayNames(names.join(','))}.`;
    const subject = subjectOf([raw.report.subject, ...names]);
    const related = relatedTo(
      raw,
      others.map((other) => ({ raw: other, message: 'the same was found here.' })),
    );
    return [{ ...raw, report: { ...raw.report, subject, message, related } }];
  });
}

/** What speaks of the amplifier at a time; what speaks of the writing and the record is about its place. */
function isJoined({ rule, report }: Said): boolean {
  return report.tellsPhase === true && rule.category !== 'writing' && rule.category !== 'record';
}

/**
 * What was found: severity, figures and limit in digits as they are told, and the words but for the name of the `section` that
 * they are about. Where there are figures, other numbers in the words do not count: the end of a band, what a meter takes.
 */
function foundIn({ severity, figures = {}, limit, stoodBefore, message }: Report, section?: string): string {
  const told = Object.entries(figures).map(([name, figure]) => [name, show(figure)]);
  const held = limit && [show(limit.quantity), limit.source];
  const before = stoodBefore && [stoodBefore.at && show(stoodBefore.at)];
  const words = section === undefined ? message : withoutName(message, section);
  return JSON.stringify([severity, told, held, before, told.length === 0 ? words : withoutNumbers(words)]);
}

function withoutName(said: string, name: string): string {
  return said.replace(new RegExp(`(?<![\\p{L}\\p{N}])${name}(?![\\p{L}\\p{N}])`, 'gu'), '·');
}

/** Those in names (`R25`, `B+2`, `T500mA`) stay. */
function withoutNumbers(said: string): string {
  return said.replace(/(?<![\p{L}\p{N}.+-])\d+(?:\.\d+)?/gu, '·');
}

/** What was related, and the places of those that were joined where they are others. */
function relatedTo(
  { report }: Said,
  joined: readonly { readonly raw: Said; readonly message: string }[],
): readonly Related[] {
  const related = [...(report.related ?? [])];
  const placeOf = ({ file, span }: Source) => `${file} ${span.start}`;
  const taken = new Set([report.source, ...related.map(({ source }) => source)].map(placeOf));
  for (const { raw, message } of joined) {
    for (const each of [
      { subject: raw.report.subject, message, source: raw.report.source },
      ...(raw.report.related ?? []),
    ]) {
      if (taken.has(placeOf(each.source))) continue;
      taken.add(placeOf(each.source));
      related.push(each);
    }
  }
  return related;
}
