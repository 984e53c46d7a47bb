/** Owns the rule excess-ripple: a reservoir that lets more ripple stand than its marked capacitance would. */
import { assumptions, show, showFigure } from './phrases.ts';
import { defineRule, type Report } from './rule.ts';

export const excessRipple = defineRule({
  id: 'excess-ripple',
  since: '0.1.0',
  category: 'readings',
  severities: 'W >1.6×, E >3×',
  summary: 'More ripple stands on a reservoir than its marked capacitance explains.',
  why: 'Ripple grows as the reservoir dries out, long before the direct voltage falls: a reservoir at a fifth of its capacitance gives five times the ripple and loses a few per cent of its volts.',
  howToFix:
    'Measure the capacitance with one end lifted, or hang a good capacitor across it for a moment with care. Renew the reservoir. At 50 or 60 Hz instead of twice that, look at the rectifier first.',
  source:
    'Radiotron Designer’s Handbook, 4th ed., chapter 31, with the conduction time of the rectifier allowed for',
  options: {
    warning: { default: 1.6, unit: '1', means: 'ripple over the computed one that is a warning' },
    error: { default: 3, unit: '1', means: 'times that are an error' },
  },
  bad: {
    sheet:
      '---\nmains: 230 V 50 Hz\n---\n# Job\n\n## As found\n\n- T1 = mains 280-0-280V 120mA 5V 2A\n- V9 = GZ34, T1 to B+1\n- C1 = 32uF 500V electrolytic, B+1 to gnd\n- R20 = 1k 10W, B+1 to B+2\n- B+1: 318 V, 80 Vpp\n- B+2: 236 V\n',
    names: 'C1',
  },
  good: {
    sheet:
      '---\nmains: 230 V 50 Hz\n---\n# Job\n\n## As found\n\n- T1 = mains 280-0-280V 120mA 5V 2A\n- V9 = GZ34, T1 to B+1\n- C1 = 32uF 500V electrolytic, B+1 to gnd\n- R20 = 1k 10W, B+1 to B+2\n- B+1: 326 V, 16.7 Vpp\n- B+2: 244 V\n',
  },
  check({ verdictViews, figures, option }) {
    const reports: Report[] = [];
    for (const view of verdictViews) {
      for (const effective of figures(view, 'effective-capacitance')) {
        const part = view.parts.get(effective.subject);
        const marked = part?.value?.quantity;
        if (part === undefined || marked === undefined || marked.unit !== 'F') continue;
        // By the end of the band that accuses least: the ripple may have been rms or peak-to-peak, the load a little more.
        const most = effective.high ?? effective.quantity.value;
        const times = marked.value / most;
        const severity =
          times > option('error') ? 'error' : times > option('warning') ? 'warning' : undefined;
        if (severity === undefined) continue;
        const node = [...part.terminals.values()].find((each) => each !== 'gnd');
        const ripple = figures(view, 'ripple').find((figure) => figure.subject === node);
        const said = ripple === undefined ? 'The ripple' : `${showFigure(ripple)} p-p of ripple at ${node}`;
        reports.push({
          severity,
          subject: part.ref,
          phase: view.phase,
          ...(view.verdictSet === undefined ? {} : { set: view.verdictSet }),
          tellsPhase: true,
          message: `${said} is what ${showFigure(effective)} would give; ${part.ref} is marked ${show(marked)}, at least ${times.toPrecision(2)} times that. It has dried out: measure it out of circuit.${assumptions(effective)}`,
          source: ripple?.source ?? effective.source,
          figures: {
            'effective-capacitance': effective.quantity,
            ...(ripple === undefined ? {} : { ripple: ripple.quantity }),
          },
          measure: 'effective-capacitance',
          limit: { quantity: marked, source: 'marked on the part' },
        });
      }
    }
    return reports;
  },
});
