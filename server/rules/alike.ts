/**
 * Owns the joining of findings that say one thing twice: the same number as found and as left, or of sections of one body
 * (the tied halves of a twin, the sections of a can). A reader who is told twice looks for two faults.
 */
import type { Source } from '../bench/model.ts';
import { sayPhase, show } from './phrases.ts';
import type { Related, Report, Rule } from './rule.ts';
import { sayNames, subjectOf } from './subject.ts';
import { METER_SLACK } from './voltages.ts';

interface Said {
  readonly rule: Rule;
  readonly report: Report;
}

/** The findings with those joined that are alike in rule, subject and all that their messages say. */
export function joinAlike<T extends Said>(raws: readonly T[]): readonly T[] {
  return joinSections(joinPhases(raws));
}

/** As found and as left alike, it stands as left, and says that it stood before. */
function joinPhases<T extends Said>(raws: readonly T[]): readonly T[] {
  const subjectOfRule = ({ rule, report }: Said): string => `${rule.id} ${report.subject}`;
  const asFound = new Map(
    raws.filter(({ report }) => report.phase === 'as-found').map((raw) => [subjectOfRule(raw), raw]),
  );
  if (asFound.size === 0) return raws;
  const joined = new Set<T>();
  const all = raws.map((raw) => {
    const { report } = raw;
    const before = report.phase === 'as-left' ? asFound.get(subjectOfRule(raw)) : undefined;
    const message = before === undefined ? undefined : inBoth(before, raw);
    if (before === undefined || message === undefined) return raw;
    joined.add(before);
    const related = relatedTo(raw, [{ raw: before, message: 'as found, it stood here.' }]);
    return { ...raw, report: { ...report, stoodBefore: true, message, related } };
  });
  return joined.size === 0 ? raws : all.filter((raw) => !joined.has(raw));
}

/** What to say of both; undefined where they differ by more than a meter's own error explains. */
function inBoth(before: Said, now: Said): string | undefined {
  const key = keyOf(now);
  if (key === undefined) return undefined;
  const { message, severity, measure } = now.report;
  if (keyOf(before) === key) {
    return `${sayPhase('as-found')} and as left${message.slice(sayPhase('as-left').length)}`;
  }
  if (measure === undefined || severity !== before.report.severity) return undefined;
  const [was, is] = [before.report.figures?.[measure], now.report.figures?.[measure]];
  if (was === undefined || is === undefined || was.unit !== is.unit) return undefined;
  if (Math.abs(is.value - was.value) > METER_SLACK * Math.abs(was.value)) return undefined;
  return `${message} As found it was ${show(was)}.`;
}

const SECTION = /^([A-Z]{1,3}\d+)[A-D]$/;

/** `V3A` and `V3B` with one number: the first speaks for both. */
function joinSections<T extends Said>(raws: readonly T[]): readonly T[] {
  const groups = new Map<string, T[]>();
  for (const raw of raws) {
    const { subject } = raw.report;
    const body = SECTION.exec(subject)?.[1];
    const said = body === undefined ? undefined : keyOf(raw, subject);
    if (said === undefined) continue;
    const key = `${body} ${raw.report.phase ?? ''} ${said}`;
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

/**
 * What a finding says but for the phase, and for the name of the `section` that it is about; undefined of one that speaks of no
 * phase, or of the writing and the record.
 */
function keyOf({ rule, report }: Said, section?: string): string | undefined {
  if (report.phase === undefined || rule.category === 'writing' || rule.category === 'record')
    return undefined;
  const phase = sayPhase(report.phase);
  if (!report.message.startsWith(phase)) return undefined;
  const said = report.message.slice(phase.length);
  const about = section === undefined ? `${report.subject} ${said}` : withoutName(said, section);
  return `${rule.id} ${report.severity} ${about}`;
}

function withoutName(said: string, name: string): string {
  return said.replace(new RegExp(`(?<![\\p{L}\\p{N}])${name}(?![\\p{L}\\p{N}])`, 'gu'), '·');
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
