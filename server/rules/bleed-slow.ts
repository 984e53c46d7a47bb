/** Owns the rule bleed-slow: capacitors that hold a dangerous charge for minutes after the plug is out. */
import { show } from './phrases.ts';
import { defineRule, type Report } from './rule.ts';
import { momentOf } from './valve-circuit.ts';

export const bleedSlow = defineRule({
  id: 'bleed-slow',
  since: '0.1.0',
  category: 'readings',
  severities: 'I >60 s to 60 V with more than 2 J, once a phase',
  summary: 'A capacitor takes longer than a minute to bleed down to 60 V.',
  why: 'Whoever opens the amplifier next waits a minute and reaches in. A large capacitor on a large bleeder holds hundreds of volts then, with the valves pulled or the standby open no load helps, and charge creeps back by itself.',
  howToFix:
    'Discharge every can through a resistor and meter each one, whatever the bleeder should have done. A smaller bleeder of enough power shortens the wait. The time is reckoned from the parts as marked: it plans the wait, only a meter ends it.',
  source:
    'exponential discharge; IEC 62368-1 calls 60 V DC no longer hazardous in dry conditions, which is not a service target; time and energy are house rules',
  options: {
    time: { default: 60, unit: 's', means: 'time to 60 V that is reported' },
    energy: { default: 2, unit: 'J', means: 'energy below which it does not matter' },
  },
  bad: {
    sheet:
      '# Job\n\n## As found\n\n- C31 = 220uF 500V electrolytic, B+1 to gnd\n- R25 = 470k 2W, B+1 to gnd\n- B+1: 440 V\n',
    names: 'C31',
  },
  good: {
    sheet:
      '# Job\n\n## As found\n\n- C31 = 47uF 500V electrolytic, B+1 to gnd\n- R25 = 220k 2W, B+1 to gnd\n- B+1: 360 V\n',
  },
  check(context) {
    const reports: Report[] = [];
    for (const view of context.verdictViews) {
      const energies = new Map(
        context.figures(view, 'energy').map(({ subject, quantity }) => [subject, quantity] as const),
      );
      const slow = context
        .figures(view, 'bleed-time')
        .filter(
          ({ subject, quantity, low }) =>
            (low ?? quantity.value) > context.option('time') &&
            (energies.get(subject)?.value ?? 0) > context.option('energy'),
        )
        .sort((a, b) => b.quantity.value - a.quantity.value);
      const [worst, ...others] = slow;
      const energy = worst && energies.get(worst.subject);
      if (worst === undefined || energy === undefined) continue;
      const also = others.length === 0 ? '' : ` So do ${others.map(({ subject }) => subject).join(', ')}.`;
      reports.push({
        severity: 'info',
        subject: worst.subject,
        ...momentOf(view),
        tellsPhase: true,
        message: `${worst.subject} holds ${show(energy)} and takes ${show(worst.quantity)} ${worst.remark === undefined ? 'to 60 V' : `(${worst.remark})`}, longer than ${show({ value: context.option('time'), unit: 's' })} (house rule).${also} Discharge every can through a resistor and meter each one.`,
        source: worst.source,
        figures: { 'bleed-time': worst.quantity, energy },
        measure: 'bleed-time',
        limit: {
          quantity: { value: context.option('time'), unit: 's' },
          source: 'house rule; common practice, no source',
        },
      });
    }
    return reports;
  },
});
