/** Owns the rule diode-over-voltage: a rectifier diode whose peak inverse voltage leaves too little over. */
import { partsOfClass } from '../bench/by-class.ts';
import { rectifierEnds } from '../bench/look.ts';
import type { Figure, FittedPart, PhaseView, Source } from '../bench/model.ts';
import { findDiode } from '../catalogue/diode-facts.ts';
import type { Winding } from '../dialect/tree.ts';
import type { RectifierCircuit } from '../electronics/cold-start-voltage.ts';
import { peakInverseVoltage } from '../electronics/rectifier-check.ts';
import { ratio, volts } from '../units/si.ts';
import { findColdSupply } from './cold-supply.ts';
import { assumptions, shareOf, showShare, showValue } from './phrases.ts';
import { defineRule, type Report } from './rule.ts';

export const diodeOverVoltage = defineRule({
  id: 'diode-over-voltage',
  since: '0.1.0',
  category: 'ratings',
  severities: 'W <1.5× the peak inverse at high mains without load, E <1.0×',
  summary: 'A rectifier diode is rated too near the peak inverse voltage.',
  why: 'With a centre-tapped winding each diode stands twice the peak of one half: its own half pulls it down while the reservoir holds it up. High mains and the winding’s rise without load come on top, and mains spikes after that. A diode that breaks down puts the winding across the reservoir.',
  howToFix:
    'Fit diodes of a higher rating, or two in series in each leg. A bridge over the whole winding halves what each stands.',
  source:
    'the rating written, or the type’s data sheet (from memory, unverified); the factor is common practice, no source; high mains by EN 50160 or ANSI C84.1',
  options: {
    warning: { default: 1.5, unit: '1', means: 'rating over the peak inverse below which it is a warning' },
    error: { default: 1, unit: '1', means: 'rating over the peak inverse below which it is an error' },
  },
  bad: {
    sheet:
      '---\nmains: 230 V 50 Hz\n---\n# Job\n\n## As found\n\n- T1 = mains 340-0-340V 150mA 6.3V 4A\n- D1 = 1N4007, T1 to B+1\n- D2 = R2000F, T1 to B+1\n- C21 = 47uF 600V electrolytic, B+1 to gnd\n',
    names: 'D1',
  },
  good: {
    sheet:
      '---\nmains: 230 V 50 Hz\n---\n# Job\n\n## As found\n\n- T1 = mains 190-0-190V 150mA 6.3V 4A\n- D1, D2 = 1N4007, T1 to B+1\n- C21 = 47uF 350V electrolytic, B+1 to gnd\n',
  },
  check(context) {
    const reports: Report[] = [];
    for (const view of context.verdictViews) {
      for (const part of partsOfClass(view, 'diode')) {
        if (view.roles.get(part.ref)?.role !== 'rectifier') continue;
        const rating = ratingOf(part);
        // Diodes in series share what they hold off; the first of a string speaks for all.
        const inSeries = part.string?.length ?? 1;
        if (inSeries > 1 && part.string?.[0] !== part.ref) continue;
        const node = rectifierEnds(part, view.parts).cathode;
        const supply = node === undefined ? undefined : findColdSupply(context, view, node);
        if (rating === undefined || node === undefined || supply === undefined) continue;
        const circuit = circuitAt(view, node, supply);
        const whole = inverse(supply, circuit);
        if (circuit === undefined || whole === undefined) continue;
        const across = whole / inSeries;
        const low = (inverse(supply, circuit, 'low') ?? whole) / inSeries;
        const isBelow = rating.volts < low * context.option('error');
        if (!isBelow && rating.volts >= across * context.option('warning')) continue;
        const tapped =
          circuit === 'centre-tap' ? 'twice the peak of one half: the winding is centre-tapped' : '';
        const shared = inSeries > 1 ? `shared by ${inSeries} in series` : '';
        const reasons = [tapped, shared].filter((each) => each !== '').join('; ');
        const why = reasons === '' ? '' : ` (${reasons})`;
        reports.push({
          severity: isBelow ? 'error' : 'warning',
          subject: part.ref,
          phase: view.phase,
          tellsPhase: true,
          message: `at high mains and without load ${part.ref} stands ${showValue(across, 'V')} in the reverse direction${why}, and it is rated ${showValue(rating.volts, 'V')} (${rating.source}): ${shareOf(rating.volts / across)} that, where ${showShare(context.option('warning'))} is wanted. Fit a higher rating or two in series.${assumptions(supply)}`,
          source: part.source,
          figures: { 'peak-inverse': { value: across, unit: 'V' } },
          limit: { quantity: { value: rating.volts, unit: 'V' }, source: rating.source },
        });
      }
    }
    return reports;
  },
});

function ratingOf(part: FittedPart): { readonly volts: number; readonly source: string } | undefined {
  const written = part.ratings.voltage?.quantity.value;
  if (written !== undefined) return { volts: written, source: 'marked on the part' };
  const known = part.type === undefined ? undefined : findDiode(part.type.text);
  return known && { volts: known.peakInverse, source: known.trust.source };
}

/** Two diodes on a centre tap are full-wave, four make a bridge, one alone is half-wave. */
function circuitAt(view: PhaseView, node: string, supply: Figure): RectifierCircuit | undefined {
  const place = supply.inputs.find(({ symbol }) => symbol === 'Vrms')?.known.source;
  if (place === undefined) return undefined;
  const winding = windingAt(view, place);
  if (winding === undefined) return undefined;
  if (winding.centreTapped) return 'centre-tap';
  const here = view.circuit.attached(node).filter(({ ref }) => view.roles.get(ref)?.role === 'rectifier');
  return here.length > 1 ? 'bridge' : 'half-wave';
}

function windingAt(view: PhaseView, { file, span: at }: Source): Winding | undefined {
  for (const { source, specification } of view.parts.values()) {
    if (specification === undefined || source.file !== file) continue;
    for (const winding of specification.windings)
      if (winding.span.start === at.start && winding.span.end === at.end) return winding;
  }
  return undefined;
}

function inverse(supply: Figure, circuit: RectifierCircuit | undefined, end?: 'low'): number | undefined {
  const known = (symbol: string) => supply.inputs.find((each) => each.symbol === symbol)?.known;
  const value = (symbol: string): number => {
    const of = known(symbol);
    return (end === undefined ? undefined : of?.[end]) ?? of?.quantity.value ?? 0;
  };
  if (circuit === undefined) return undefined;
  const answer = peakInverseVoltage({
    winding: volts(value('Vrms')),
    rise: ratio(value('r')),
    mains: ratio(value('m')),
    circuit,
  });
  return answer.ok ? answer.value : undefined;
}
