/** Owns the rule rating-missing: a part that the readings would judge, with no rating written to judge it by. */
import type { Role } from '../bench/model.ts';
import { findFigure } from './figure-of.ts';
import { showValue } from './phrases.ts';
import { defineRule, type Report } from './rule.ts';

const CAPACITORS: ReadonlySet<Role> = new Set(['reservoir', 'smoothing', 'coupling', 'cathode-bypass']);
const RESISTORS: ReadonlySet<Role> = new Set([
  'dropper',
  'bleeder',
  'anode-load',
  'cathode-resistor',
  'screen-resistor',
]);

export const ratingMissing = defineRule({
  id: 'rating-missing',
  since: '0.1.0',
  category: 'ratings',
  severities: 'H',
  summary: 'A part of the HT or cathode circuit has no rating written.',
  why: 'The readings say what the part meets; without its rating nothing can be said of the margin, and nothing is. A missing warning here means nothing at all.',
  howToFix: 'Write the working voltage or the watts that the part is marked with: `C21 = 47uF 450V`.',
  source: 'the sheet itself',
  options: {
    volts: {
      default: 10,
      unit: 'V',
      means: 'volts on a capacitor below which a missing rating is not remarked on',
    },
    watts: { default: 0.1, unit: 'W', means: 'power in a resistor below which it is not' },
    most: { default: 0.5, unit: 'W', means: 'power above which resistor-over-dissipation remarks on it' },
  },
  bad: {
    sheet: '# Job\n\n## As found\n\n- C21 = 47uF electrolytic, B+1 to gnd\n- B+1: 352 V\n',
    names: 'C21',
  },
  good: {
    sheet: '# Job\n\n## As found\n\n- C21 = 47uF 450V electrolytic, B+1 to gnd\n- B+1: 352 V\n',
  },
  check({ verdictViews, figures, option, isOwn, amplifier }) {
    const reports: Report[] = [];
    const factory = amplifier.phases.find(({ phase }) => phase === 'factory');
    for (const view of verdictViews) {
      for (const part of view.parts.values()) {
        const of = part.class === 'capacitor' ? 'voltage' : part.class === 'resistor' ? 'power' : undefined;
        if (of === undefined || part.ratings[of] !== undefined || !isOwn(part)) continue;
        const role = view.roles.get(part.ref)?.role;
        if (role === undefined || !(of === 'voltage' ? CAPACITORS : RESISTORS).has(role)) continue;
        const drawn = factory?.parts.get(part.ref);
        if (drawn !== part && drawn?.ratings[of] !== undefined) continue;
        const name = of === 'voltage' ? 'voltage' : 'dissipation';
        const meets = findFigure({ figures }, view, name, part.ref);
        if (meets === undefined) continue;
        const { value, unit } = meets.quantity;
        if (of === 'voltage' ? value < option('volts') : value < option('watts') || value > option('most'))
          continue;
        reports.push({
          severity: 'hint',
          subject: part.ref,
          phase: view.phase,
          tellsPhase: true,
          message: `${part.ref} ${of === 'voltage' ? `has ${showValue(value, unit)} on it` : `dissipates ${showValue(value, unit)}`} and no ${of === 'voltage' ? 'working voltage' : 'power rating'} is written for it. Write what is marked on it, so that it can be judged.`,
          source: part.source,
          figures: { [name]: meets.quantity },
          measure: name,
        });
      }
    }
    return reports;
  },
});
