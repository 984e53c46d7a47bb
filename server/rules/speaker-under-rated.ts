/** Owns the rule speaker-under-rated: a loudspeaker that gets more watts than it is rated for. */
import { figuresIn } from './figure-of.ts';
import { shareOf, show, showFigure } from './phrases.ts';
import { defineRule, type Report } from './rule.ts';

export const speakerUnderRated = defineRule({
  id: 'speaker-under-rated',
  since: '0.1.0',
  category: 'ratings',
  severities: 'W above the rating',
  summary: 'The amplifier gives more than its loudspeaker is rated for.',
  why: 'The reading is of a sine. Driven into clipping the same amplifier gives up to twice the watts, and a voice coil burns at the average. Two loudspeakers share; one alone does not.',
  howToFix:
    'Fit a loudspeaker rated for at least the power at clipping, better one and a half times that, or tell the owner what it will bear.',
  source: 'the power rating marked on the loudspeaker; the power by the volts read across it',
  options: {
    warning: { default: 1, unit: '1', means: 'power over the rating that is a warning' },
  },
  bad: {
    sheet: '# Job\n\n## As found\n\n- LS1 = 8R 15W\n\nclipping, 1 kHz, dummy 8R:\n\n- LS1: 14.2 Vrms\n',
    names: 'LS1',
  },
  good: {
    sheet: '# Job\n\n## As found\n\n- LS1 = 8R 30W\n\nclipping, 1 kHz, dummy 8R:\n\n- LS1: 14.2 Vrms\n',
  },
  check({ verdictViews, option }) {
    const reports: Report[] = [];
    for (const view of verdictViews) {
      for (const power of figuresIn(view, 'power', 'all')) {
        const part = view.parts.get(power.subject);
        const rating = part?.ratings.power;
        if (part?.class !== 'loudspeaker' || rating === undefined || !(rating.quantity.value > 0)) continue;
        const share = power.quantity.value / rating.quantity.value;
        if (share <= option('warning')) continue;
        reports.push({
          severity: 'warning',
          subject: part.ref,
          phase: view.phase,
          tellsPhase: true,
          message: `the volts on ${part.ref} are ${showFigure(power)} into it: ${shareOf(share)} the ${show(rating.quantity)} that it is rated for (marked on it), and clipped it gets up to twice that. Fit one that bears the amplifier’s power, or tell the owner.`,
          source: power.source,
          figures: { power: power.quantity },
          limit: { quantity: rating.quantity, source: `power rating marked on ${part.ref}` },
        });
      }
    }
    return reports;
  },
});
