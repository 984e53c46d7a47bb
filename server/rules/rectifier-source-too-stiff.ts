/** Owns the rule rectifier-source-too-stiff: a mains transformer with too little resistance for a valve rectifier. */
import { mainsVolts, sheetsOf } from '../bench/derive/mains.ts';
import type { BenchReading, FittedPart, PhaseView } from '../bench/model.ts';
import { rectifierSourceResistance } from '../electronics/rectifier-source-resistance.ts';
import { ohms, ratio } from '../units/si.ts';
import { showValue } from './phrases.ts';
import { defineRule, type Report } from './rule.ts';
import { type ValveRectifier, valveRectifiers, windingVolts } from './supply-node.ts';

export const rectifierSourceTooStiff = defineRule({
  id: 'rectifier-source-too-stiff',
  since: '0.1.0',
  category: 'ratings',
  severities: 'W below the least source resistance, E below half of it',
  summary: 'The mains transformer has too little resistance for its valve rectifier.',
  why: 'What limits the current into an empty reservoir is the copper of the transformer. A new, larger transformer has less of it, and the valve arcs at a hot switch-on that it bore for forty years.',
  howToFix:
    'Put a resistor in each anode lead that makes up what is missing, rated for the current, or use a smaller reservoir.',
  source:
    'the rectifier’s data sheet, named in the message; the resistances as read between line and neutral and across the winding’s halves',
  options: {
    warning: { default: 1, unit: '1', means: 'least resistance over what is there that is a warning' },
    error: { default: 2, unit: '1', means: 'least resistance over what is there that is an error' },
  },
  bad: {
    sheet:
      '---\nmains: 230 V 50 Hz\n---\n# Job\n\n## As found\n\n- T1 = mains 325-0-325V 120mA 6.3V 3A\n- V9 = 6X4, T1 to B+1\n- C21 = 8uF 500V electrolytic, B+1 to gnd\n- T1: 180R + 184R\n- line to neutral: 32R\n',
    names: 'V9',
  },
  good: {
    sheet:
      '---\nmains: 230 V 50 Hz\n---\n# Job\n\n## As found\n\n- T1 = mains 290-0-290V 120mA 6.3V 3A 5V 2A\n- V9 = GZ34, T1 to B+1\n- C21 = 32uF 500V electrolytic, B+1 to gnd\n- T1: 95R + 98R\n- line to neutral: 21R\n',
  },
  check(context) {
    const reports: Report[] = [];
    const { option, amplifier } = context;
    for (const view of context.verdictViews) {
      for (const rectifier of valveRectifiers(view)) {
        const { first, valve, node, limits } = rectifier;
        const halves = halvesRead(transformerOf(view, first));
        const copper = halves && primaryRead(view);
        if (halves === undefined || copper === undefined) continue;
        const secondary = windingVolts(context, view, node);
        const least = secondary === undefined ? undefined : leastResistance(rectifier, secondary);
        const primary = mainsVolts(sheetsOf(amplifier))?.known.quantity.value;
        if (primary === undefined || secondary === undefined || least === undefined) continue;
        const there = rectifierSourceResistance({
          secondary: ohms(halves.ohms),
          primary: ohms(copper.value.quantity.value),
          turnsRatio: ratio(secondary / primary),
        });
        if (!there.ok || !(there.value > 0)) continue;
        const times = least / there.value;
        if (times <= option('warning')) continue;
        const missing = least - there.value;
        reports.push({
          severity: times > option('error') ? 'error' : 'warning',
          subject: first.ref,
          phase: view.phase,
          tellsPhase: true,
          message: `${first.ref} is charged through ${showValue(there.value, 'Ohm')} at each anode (the smaller half of the winding and ${showValue(copper.value.quantity.value, 'Ohm')} of primary, seen through the turns), and ${valve.type} wants at least ${showValue(least, 'Ohm')} at ${showValue(secondary, 'V')} (${valve.system}, ${limits.trust.source}). Put ${showValue(missing, 'Ohm')} or more in each anode lead.`,
          source: halves.reading.source,
          figures: { 'source-resistance': { value: there.value, unit: 'Ohm' } },
          limit: { quantity: { value: least, unit: 'Ohm' }, source: `${valve.type}, ${limits.trust.source}` },
        });
      }
    }
    return reports;
  },
});

/** The sheet's least resistance at the winding's volts: between two of its rows, that of the lower. */
function leastResistance({ limits }: ValveRectifier, volts: number): number | undefined {
  const rows = [...limits.sourceResistance].sort((a, b) => a.rms - b.rms);
  // Below a sheet's lowest row it asks for less than that row: how much less is not printed.
  const [lowest] = rows;
  if (lowest === undefined || volts < lowest.rms * 0.9) return undefined;
  return (rows.findLast(({ rms }) => rms <= volts * 1.02) ?? lowest).minimum;
}

/** The transformer whose winding is at the anodes. */
function transformerOf(view: PhaseView, rectifier: FittedPart): FittedPart | undefined {
  const nodes = ['a', 'a1', 'a2'].flatMap((terminal) => rectifier.terminals.get(terminal) ?? []);
  for (const node of nodes) {
    const part = view.parts.get(node.split('.')[0] ?? '');
    if (part?.class === 'transformer' || part?.class === 'transformer-or-transistor') return part;
  }
  return undefined;
}

function halvesRead(
  transformer: FittedPart | undefined,
): { readonly ohms: number; readonly reading: BenchReading } | undefined {
  const reading = transformer?.measured.findLast(({ quantity }) => quantity === 'halves');
  const one = reading?.value.quantity.value;
  const two = reading?.second?.quantity.value;
  if (reading === undefined || one === undefined || two === undefined) return undefined;
  return { ohms: Math.min(one, two), reading };
}

const LINES: ReadonlySet<string> = new Set(['line', 'neutral', 'live', 'mains']);

/** The primary's copper, read at the plug: between line and neutral. */
function primaryRead(view: PhaseView): BenchReading | undefined {
  return view.readings.findLast(
    ({ quantity, special, at, to }) =>
      quantity === 'resistance' &&
      special === undefined &&
      LINES.has(at) &&
      (to === undefined ? at === 'mains' : LINES.has(to)),
  );
}
