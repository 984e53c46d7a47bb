/** Owns the rule rectifier-over-current: a valve rectifier that gives more direct current than its data sheet allows. */
import { shareOf, showValue } from './phrases.ts';
import { defineRule, type Report } from './rule.ts';
import { currentDrawn, type ValveRectifier, valveRectifiers, windingVolts } from './supply-node.ts';

export const rectifierOverCurrent = defineRule({
  id: 'rectifier-over-current',
  since: '0.1.0',
  category: 'ratings',
  severities: 'W >100 %, E >200 %',
  summary: 'A valve rectifier gives more direct current than its data sheet allows.',
  why: 'Above its current a rectifier’s cathode is worn out early, and its drop takes the volts that the amplifier was made for. A rectifier of a smaller type fits the same socket.',
  howToFix:
    'Fit the type that the drawing has. If it is that type, look for what draws the current: bias of the output valves first, then a leaking capacitor.',
  source: 'the rectifier’s data sheet, named in the message; the current by the readings',
  options: {
    warning: { default: 1, unit: '1', means: 'share of the limit that is a warning' },
    error: { default: 2, unit: '1', means: 'share that is an error' },
  },
  bad: {
    sheet:
      '# Job\n\n## As found\n\n- T1 = mains 290-0-290V 120mA 6.3V 3A 5V 2A\n- V9 = 5Y3GT, T1 to B+1\n- C21 = 16uF 500V electrolytic, B+1 to gnd\n- L1 = 10H 200R, B+1 to B+2\n- B+1: 322 V\n- B+2: 292 V\n',
    names: 'V9',
  },
  good: {
    sheet:
      '# Job\n\n## As found\n\n- T1 = mains 290-0-290V 120mA 6.3V 3A 5V 2A\n- V9 = 5Y3GT, T1 to B+1\n- C21 = 16uF 500V electrolytic, B+1 to gnd\n- L1 = 10H 200R, B+1 to B+2\n- B+1: 322 V\n- B+2: 304 V\n',
  },
  check(context) {
    const reports: Report[] = [];
    const { option } = context;
    for (const view of context.verdictViews) {
      for (const rectifier of valveRectifiers(view)) {
        const { node, valve, first, parts, limits } = rectifier;
        const drawn = currentDrawn(context, view, node);
        if (drawn === undefined) continue;
        const volts = windingVolts(context, view, node);
        const allowed = allowedCurrent(rectifier, volts) * parts.length;
        const share = drawn.amperes / allowed;
        const severity =
          drawn.low / allowed > option('error')
            ? ('error' as const)
            : share > option('warning')
              ? ('warning' as const)
              : undefined;
        if (severity === undefined) continue;
        const reading = view.readings.findLast(
          (each) => each.source.file === context.sheet.uri && each.set.id === view.verdictSet?.id,
        );
        const at = volts === undefined ? '' : ` at ${showValue(volts, 'V')} an anode`;
        reports.push({
          severity,
          subject: first.ref,
          phase: view.phase,
          ...(view.verdictSet === undefined ? {} : { set: view.verdictSet }),
          tellsPhase: true,
          message: `${first.ref} gives ${drawn.isLeast ? 'at least ' : ''}${showValue(drawn.amperes, 'A')} (by ${drawn.from.join(', ')}): ${shareOf(share)} the ${showValue(allowed, 'A')} that ${valve.type} allows${at} (${valve.system}, ${limits.current.trust.source}). Fit the type of the drawing; if it is that, look for what draws the current.`,
          source: first.source.file === context.sheet.uri ? first.source : (reading ?? first).source,
          figures: { current: { value: drawn.amperes, unit: 'A' } },
          limit: {
            quantity: { value: allowed, unit: 'A' },
            source: `${valve.type}, ${limits.current.trust.source}`,
          },
          // The same current comes out of the winding.
          explains: [...view.roles.values()]
            .filter(({ role }) => role === 'mains-transformer')
            .map(({ ref }) => ({ rule: 'winding-overload', subject: ref })),
        });
      }
    }
    return reports;
  },
});

/** The sheet's current at the winding's volts; at higher volts it allows less. */
function allowedCurrent({ limits }: ValveRectifier, volts: number | undefined): number {
  const rows = [...limits.anodeVoltage].sort((a, b) => a.rms - b.rms);
  const row = volts === undefined ? undefined : (rows.find(({ rms }) => rms >= volts) ?? rows.at(-1));
  return row?.current ?? limits.current.value;
}
