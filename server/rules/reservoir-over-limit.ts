/** Owns the rule reservoir-over-limit: more capacitance behind a valve rectifier than its data sheet allows. */
import { editionsOf } from '../catalogue/editions.ts';
import { shareOf, showValue } from './phrases.ts';
import { defineRule, type Report } from './rule.ts';
import { reservoirAt, valveRectifiers } from './supply-node.ts';

export const reservoirOverLimit = defineRule({
  id: 'reservoir-over-limit',
  since: '0.1.0',
  category: 'ratings',
  severities: 'W above the limit (a tenth is left for the nearest value on sale), E ≥2×',
  summary: 'The reservoir behind a valve rectifier is larger than its data sheet allows.',
  why: 'A larger reservoir is charged in shorter, higher peaks, and at a hot switch-on the valve sees a short circuit. Enlarging the first capacitor is the usual way to lose a valve rectifier. The limit holds for the first capacitor only: behind the choke or dropper there may be more. A tenth above is left alone: the next value on sale is seldom the limit itself, and capacitors are made to wider tolerances.',
  howToFix:
    'Go back to the value of the drawing, and put what smoothing is wanted behind the choke or the first dropper.',
  source: 'the rectifier’s data sheet, named in the message; the higher edition where publications differ',
  options: {
    warning: { default: 1.1, unit: '1', means: 'reservoir over the limit that is a warning' },
    error: { default: 2, unit: '1', means: 'reservoir over the limit that is an error' },
  },
  bad: {
    sheet:
      '# Job\n\n## As found\n\n- T1 = mains 290-0-290V 120mA 6.3V 3A 5V 2A\n- V9 = 5Y3GT, T1 to B+1\n- C21 = 47uF 500V electrolytic, B+1 to gnd\n',
    names: 'C21',
  },
  good: {
    sheet:
      '# Job\n\n## As found\n\n- T1 = mains 290-0-290V 120mA 6.3V 3A 5V 2A\n- V9 = 5Y3GT, T1 to B+1\n- C21 = 22uF 500V electrolytic, B+1 to gnd\n',
  },
  check(context) {
    const reports: Report[] = [];
    const { option } = context;
    for (const view of context.verdictViews) {
      for (const { valve, first, parts, node } of valveRectifiers(view)) {
        const reservoir = reservoirAt(view, node);
        const highest = [...editionsOf(valve, 'reservoir')].sort((a, b) => a.value - b.value).at(-1);
        const [capacitor] = reservoir?.parts ?? [];
        if (reservoir === undefined || highest === undefined || capacitor === undefined) continue;
        const allowed = highest.value * parts.length;
        const share = reservoir.farads / allowed;
        if (share <= option('warning') * (1 + 1e-9)) continue;
        const names = reservoir.parts.map(({ ref }) => ref).join(' and ');
        const own = [...reservoir.parts, ...parts].find(({ source }) => source.file === context.sheet.uri);
        const edition = highest.name === '' ? '' : `, ${highest.name}`;
        reports.push({
          severity: share >= option('error') ? 'error' : 'warning',
          subject: capacitor.ref,
          phase: view.phase,
          tellsPhase: true,
          message: `${names} is ${showValue(reservoir.farads, 'F')} on ${node}, straight behind ${first.ref}: ${shareOf(share)} the ${showValue(allowed, 'F')} that ${valve.type} allows (${highest.system}${edition}, ${highest.trust.source}). Go back to a smaller one, and put more smoothing behind the choke or the first dropper.`,
          source: (own ?? capacitor).source,
          figures: { capacitance: { value: reservoir.farads, unit: 'F' } },
          limit: {
            quantity: { value: allowed, unit: 'F' },
            source: `${valve.type}, ${highest.trust.source}`,
          },
        });
      }
    }
    return reports;
  },
});
