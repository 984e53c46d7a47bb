/** Owns the rule resistor-over-voltage: more across a resistor than its body stands, whatever its watts. */
import type { FittedPart } from '../bench/model.ts';
import { findValueInUse } from '../bench/model.ts';
import { type BodyLimit, LEAST_BODY_VOLTAGE, limitingVoltage } from '../catalogue/resistor-bodies.ts';
import { ohms, watts } from '../units/si.ts';
import { severityOf } from './bands.ts';
import { shareOf, showValue } from './phrases.ts';
import { defineRule, type Report } from './rule.ts';

export const resistorOverVoltage = defineRule({
  id: 'resistor-over-voltage',
  since: '0.1.0',
  category: 'ratings',
  severities: 'W >80 %, E >100 %',
  summary: 'A resistor has more volts across it than its body size stands.',
  why: 'A large resistance reaches the voltage limit of its body long before its watts: a quarter-watt part stands 250 V however little it dissipates. Over the limit it tracks, drifts and opens. Where the watts set the limit, resistor-over-dissipation says it.',
  howToFix:
    'Fit a bigger body, or two equal resistors of half the value in series: each then has half the volts.',
  source:
    'the limiting element voltage of the body size by makers’ data sheets (IEC 60115), named in the message',
  options: {
    warning: { default: 0.8, unit: '1', means: 'share of the limiting voltage that is a warning' },
    error: { default: 1, unit: '1', means: 'share that is an error' },
  },
  bad: {
    sheet: '# Job\n\n## As found\n\n- R25 = 470k 0.25W carbon film, B+1 to gnd\n- B+1: 322 V\n',
    names: 'R25',
  },
  good: {
    sheet: '# Job\n\n## As found\n\n- R25 = 470k 1W carbon film, B+1 to gnd\n- B+1: 322 V\n',
  },
  check({ verdictViews, figures, option }) {
    const reports: Report[] = [];
    const least = Math.min(option('warning'), option('error'));
    for (const view of verdictViews) {
      for (const drop of figures(view, 'drop')) {
        const { value } = drop.quantity;
        if (value <= least * LEAST_BODY_VOLTAGE) continue;
        const part = view.parts.get(drop.subject);
        if (part?.class !== 'resistor') continue;
        const own = ownLimit(part);
        // What the lowest of a band bears, its middle and its high end bear, too.
        if (own === undefined || value <= least * own.voltage) continue;
        const limit = { ...own, highest: highestLimit(part, own) };
        // Where the style is not written the limit is a band: a warning goes by its middle, an error by its high end.
        const middle = (limit.voltage + limit.highest) / 2;
        const share = { value: value / middle, unit: '1' as const };
        const low = (drop.low ?? value) / limit.highest;
        const severity = severityOf({ quantity: share, low }, [
          { severity: 'error', above: option('error') },
          { severity: 'warning', above: option('warning') },
        ]);
        if (severity === undefined) continue;
        const isBand = limit.highest > limit.voltage;
        const stands = isBand
          ? `${showValue(limit.voltage, 'V')} to ${showValue(limit.highest, 'V')} that a body of its size stands, by style (the style is not written; resistor data sheets)`
          : `${showValue(limit.voltage, 'V')} that its body stands (${limit.trust.source})`;
        reports.push({
          severity,
          subject: part.ref,
          phase: view.phase,
          ...(view.verdictSet === undefined ? {} : { set: view.verdictSet }),
          tellsPhase: true,
          message: `${part.ref} has ${showValue(value, 'V')} across it: ${shareOf(share.value)} the ${stands}, whatever its watts. Fit a bigger body, or two of half the value in series.`,
          source: drop.source,
          figures: { drop: drop.quantity },
          measure: 'drop',
          limit: {
            quantity: { value: middle, unit: 'V' },
            source: isBand ? 'the middle of what bodies of its size stand, by style' : limit.trust.source,
          },
          explains: [
            { rule: 'rating-lowered', subject: part.ref },
            // A guess at the style must not make less of what the watts say.
            ...(limit.style === undefined && severity !== 'error'
              ? []
              : [{ rule: 'resistor-over-dissipation', subject: part.ref }]),
          ],
        });
      }
    }
    return reports;
  },
});

/** Styles that the common sizes are made in, for a part whose style is not written. */
const COMMON_STYLES = ['metal film', 'carbon film', 'carbon composition'];

/** The limit of the body where that rules and not the watts. */
function ownLimit(part: FittedPart): BodyLimit | undefined {
  const own = limitFor(part, part.kinds);
  return own?.by === 'body' ? own : undefined;
}

/** The highest that any common style of the size has, where the style is not written. */
function highestLimit(part: FittedPart, own: BodyLimit): number {
  if (own.style !== undefined) return own.voltage;
  const others = COMMON_STYLES.map((style) => limitFor(part, [style])?.voltage ?? 0);
  return Math.max(own.voltage, ...others);
}

function limitFor(part: FittedPart, kinds: readonly string[]): BodyLimit | undefined {
  const power = part.ratings.power?.quantity.value;
  const resistance = findValueInUse(part)?.quantity.value;
  if (power === undefined || resistance === undefined || !(power > 0) || !(resistance > 0)) return undefined;
  const limit = limitingVoltage(watts(power), ohms(resistance), kinds);
  return limit.ok ? limit.value : undefined;
}
