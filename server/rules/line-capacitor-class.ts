/** Owns the rule line-capacitor-class: a capacitor on the mains side that is not made for its place there. */
import { partsOfClass } from '../bench/by-class.ts';
import { mainsVolts, sheetsOf } from '../bench/derive/mains.ts';
import type { FittedPart, PhaseView } from '../bench/model.ts';
import { mainsClassesIn } from '../catalogue/capacitor-facts.ts';
import { showValue } from './phrases.ts';
import { defineRule, type Report } from './rule.ts';

export const lineCapacitorClass = defineRule({
  id: 'line-capacitor-class',
  since: '0.1.0',
  category: 'ratings',
  severities: 'E from a line to chassis without Y class, W between lines without X class',
  summary: 'A capacitor on the mains side is not of the class that its place wants.',
  why: 'From line to chassis an ordinary capacitor that shorts puts the mains on the strings. A Y class part is made and tested so that it does not short; an X class part is made to bear the mains’ pulses between lines, and may short. A high DC rating is neither: 600 V DC is about 220 V AC and says nothing of pulses.',
  howToFix:
    'Line to chassis: take it out, or fit Y2 (Y1 where local rules want it). Line to line or neutral: fit X2. Mains-side work follows local rules and is for those who may do it; measure earth continuity and insulation after.',
  source: 'IEC 60384-14',
  options: {},
  bad: {
    sheet: '# Job\n\n## As found\n\n- C50 = 47n 600V paper, line to chassis\n',
    names: 'C50',
  },
  good: {
    sheet:
      '---\nmains: 230 V 50 Hz\n---\n# Job\n\n## As found\n\n- C50 = 4n7 250V y2, line to chassis\n- C51 = 100n 275V x2, line to neutral\n',
  },
  check(context) {
    const reports: Report[] = [];
    for (const view of context.verdictViews) {
      if (!MAINS.some((node) => view.circuit.attached(node).length > 0)) continue;
      const live = liveNodes(view);
      for (const part of partsOfClass(view, 'capacitor')) {
        const place = placeOf(part, live);
        if (place === undefined) continue;
        const mains = mainsVolts(sheetsOf(context.amplifier))?.known.quantity.value;
        const classes = mainsClassesIn(part.kinds);
        const wanted = classes.filter(({ between }) => place === 'lines' || between === place);
        const fits = wanted.some(
          ({ highestRated }) => highestRated === undefined || mains === undefined || mains <= highestRated,
        );
        if (fits) continue;
        const isToEarth = place === 'line and earth';
        const names = classes.map(({ name }) => name).join(' ');
        const [first] = wanted;
        const what =
          first?.highestRated !== undefined && mains !== undefined
            ? `is ${first.name}, which is made for up to ${showValue(first.highestRated, 'V')}, on ${showValue(mains, 'V')} mains`
            : names === ''
              ? 'has no mains class written'
              : `is ${names}, made for between lines`;
        reports.push({
          severity: isToEarth ? 'error' : 'warning',
          subject: part.ref,
          phase: view.phase,
          tellsPhase: true,
          message: isToEarth
            ? `${part.ref} goes from the mains to chassis and ${what}; that place wants Y class (IEC 60384-14). If it shorts, the chassis and the strings are at mains: take it out or fit Y2, by local rules, and treat the chassis as live until then.`
            : `${part.ref} stands between mains lines and ${what}; that place wants X class (IEC 60384-14). Fit X2, by local rules.`,
          source: part.source,
        });
      }
    }
    return reports;
  },
});

const MAINS = ['line', 'neutral', 'mains', 'live'];
const EARTHED = new Set(['gnd', 'earth']);

/** The lines of the mains, also behind fuse and switch. */
function liveNodes(view: PhaseView): ReadonlySet<string> {
  const live = new Set(MAINS);
  const open = [...MAINS];
  for (let node = open.pop(); node !== undefined; node = open.pop()) {
    for (const { ref } of view.circuit.attached(node)) {
      const part = view.parts.get(ref);
      if (part?.class !== 'fuse' && part?.class !== 'switch' && part?.class !== 'thermistor') continue;
      for (const far of part.terminals.values()) {
        if (live.has(far) || EARTHED.has(far)) continue;
        live.add(far);
        open.push(far);
      }
    }
  }
  return live;
}

function placeOf(part: FittedPart, live: ReadonlySet<string>): 'lines' | 'line and earth' | undefined {
  const ends = [...part.terminals.values()];
  if (ends.length !== 2) return undefined;
  const onLine = ends.filter((node) => live.has(node)).length;
  if (onLine === 2) return 'lines';
  return onLine === 1 && ends.some((node) => EARTHED.has(node)) ? 'line and earth' : undefined;
}
