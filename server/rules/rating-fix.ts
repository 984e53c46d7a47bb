/**
 * Owns what is said and offered where a rating is too low: which standard one to fit, and the fix that writes it into the tag
 * which fits the part; only where this sheet itself fits it.
 */
import { nextVoltageRating } from '../catalogue/standard-ratings.ts';
import { writeQuantity } from '../units/write.ts';
import { showValue } from './phrases.ts';
import type { Finding, Fix, RuleContext } from './rule.ts';
import { namesIn } from './subject.ts';

/**
 * Replaces the written rating of the finding's part by `next`. It is a suggestion, never safe: what is soldered in does not
 * change by writing, so it is offered for parts that this sheet's work fits, where the line is still a plan.
 */
export function ratingFix(
  context: RuleContext,
  finding: Finding,
  which: 'voltage' | 'power',
  next: number | undefined,
): readonly Fix[] {
  if (next === undefined) return [];
  const change = context.amplifier.changes.findLast(
    (each) => namesIn(finding.subject).includes(each.ref) && each.is !== undefined,
  );
  const rating = change?.is?.ratings[which];
  if (rating?.source === undefined || rating.source.file !== context.sheet.uri) return [];
  const { start, end } = rating.source.span;
  const { span } = change?.source ?? rating.source;
  if (start < span.start || end > span.end) return [];
  const text = writeQuantity({ value: next, unit: which === 'voltage' ? 'V' : 'W' }, { style: 'tag' });
  return [
    { title: `Fit ${text} instead`, safety: 'suggestion', edits: [{ span: rating.source.span, text }] },
  ];
}

/** What to fit for a capacitor that must stand so many volts. */
export function adviseVoltage(needed: number): string {
  const next = nextVoltageRating(needed);
  return next === undefined
    ? 'Use a series pair with balancing resistors.'
    : `Fit ${showValue(next, 'V')} or more.`;
}
