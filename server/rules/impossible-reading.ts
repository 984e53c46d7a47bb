/** Owns the rule impossible-reading: volts above all that the supply can give or on the wrong side of ground, and ohms, farads or watts below nothing. */
import { allInRole } from '../bench/by-class.ts';
import type { Amplifier, BenchReading, PhaseView } from '../bench/model.ts';
import { isSupplyRail } from '../bench/points.ts';
import type { ReadingQuantity } from '../dialect/tree.ts';
import type { Unit } from '../units/si.ts';
import { figuresIn } from './figure-of.ts';
import { show, showValue } from './phrases.ts';
import { isFullWave, rectifiersAt } from './rectifiers.ts';
import { defineRule, type Limit, type Report, type RuleContext } from './rule.ts';
import { pairsOf } from './valve-circuit.ts';

export const impossibleReading = defineRule({
  id: 'impossible-reading',
  since: '0.1.0',
  category: 'readings',
  severities: 'E',
  summary:
    'A voltage is higher than the supply can ever give, a supply rail reads negative, or ohms, farads, henries or watts do.',
  why: 'Nothing in the amplifier stands higher than the unloaded supply at high mains. A reading beyond that is a slip of the pen, a wrong range or another point, and every conclusion from it is worth nothing. A supply rail below ground was read with the leads the wrong way round. Negative ohms are shown by a meter that has volts across its leads: something there is still charged or fed. Power is judged as written only; a dissipation that comes out negative may be a valve whose screen takes all the current, and is left to the rules of its readings.',
  howToFix:
    'Take the reading again and correct the line. If it stands, the transformer is not the one written down.',
  source:
    'the winding’s voltage, without load and at high mains (EN 50160, ANSI C84.1); only where a full-wave supply is written',
  options: {
    above: { default: 1.05, unit: '1', means: 'times the unloaded supply above which a reading cannot be' },
  },
  bad: {
    sheet:
      '---\nmains: 230 V 50 Hz\n---\n# Job\n\n## As found\n\n- T1 = mains 280-0-280V 120mA 5V 2A\n- V9 = GZ34, T1 to B+1\n- C1 = 32uF 500V electrolytic, B+1 to gnd\n- V5.a: 612 V\n',
    names: 'V5.a',
  },
  good: {
    sheet:
      '---\nmains: 230 V 50 Hz\n---\n# Job\n\n## As found\n\n- T1 = mains 280-0-280V 120mA 5V 2A\n- V9 = GZ34, T1 to B+1\n- C1 = 32uF 500V electrolytic, B+1 to gnd\n- V5.a: 312 V\n',
  },
  check: (context) => context.eachReading(checkReading),
});

function checkReading(context: RuleContext, view: PhaseView, reading: BenchReading): Report | undefined {
  if (reading.source.file !== context.sheet.uri) return undefined;
  const belowNothing = checkSign(reading);
  if (belowNothing !== undefined) {
    return {
      ...belowNothing,
      phase: view.phase,
      set: reading.set,
      explains: BY_MEASUREMENT.map((rule) => ({ rule, subject: reading.at })),
    };
  }
  const { quantity, node, to, special, nominal } = reading;
  if (quantity !== 'voltage' || node === undefined || to !== undefined || special !== undefined || nominal)
    return undefined;
  const report = checkVolts(context, reading, highestPossible(context.amplifier));
  if (report === undefined) return undefined;
  return {
    ...report,
    phase: view.phase,
    set: reading.set,
    explains: [{ rule: 'off-nominal', subject: reading.at }, ...restingOn(context, view, node)],
  };
}

/** Of a part or valve, what is worked out from the volts beside it. */
const BY_VOLTS = [
  'over-voltage',
  'coupling-over-voltage',
  'anode-over-voltage',
  'screen-over-voltage',
  'contradictory-readings',
  'resistor-over-dissipation',
  'resistor-over-voltage',
  'runs-hot-on-board',
  'anode-over-dissipation',
  'screen-over-dissipation',
  'cathode-over-current',
  'fixed-bias-hot',
  'screen-open',
  'no-conduction',
  'bottomed',
] as const;

/** All that is told of the volts at a node: of the parts on it, the valves that they serve, their other ends, and what feeds them. */
function restingOn(context: RuleContext, view: PhaseView, node: string): NonNullable<Report['explains']> {
  const refs = view.circuit.attached(node).map(({ ref }) => ref);
  const valves = refs.flatMap((ref) => view.roles.get(ref)?.serves ?? []);
  const ends = refs.flatMap((ref) => [...(view.parts.get(ref)?.terminals.values() ?? [])]);
  const sources = [...view.roles.values()].flatMap(({ ref: subject, role }) => [
    ...(role === 'rectifier' ? [{ rule: 'rectifier-over-current', subject }] : []),
    ...(role === 'mains-transformer' ? [{ rule: 'winding-overload', subject }] : []),
  ]);
  return [
    ...[...new Set([...refs, ...valves])].flatMap((subject) => BY_VOLTS.map((rule) => ({ rule, subject }))),
    ...valves
      .flatMap((valve) => pairsOf(context, view, valve))
      .map((subject) => ({ rule: 'mismatched-pair', subject })),
    ...[...new Set([node, ...ends])].flatMap((subject) =>
      ['wrong-point', 'contradictory-readings', 'off-nominal'].map((rule) => ({ rule, subject })),
    ),
    ...sources,
  ];
}

function checkVolts(
  context: RuleContext,
  reading: BenchReading,
  most: number | undefined,
): Report | undefined {
  const { value } = reading.value.quantity;
  if (most !== undefined && Math.abs(value) - reading.uncertainty > context.option('above') * most) {
    return impossibleVolts(
      reading,
      `${show(reading.value.quantity)} at ${reading.at} is more than the supply can give: without load and at high mains it reaches ${showValue(most, 'V')} (from the winding as written, with the most that it may rise). Read it again: a digit, the range or the point is wrong.`,
      { quantity: { value: most, unit: 'V' }, source: 'unloaded supply at high mains' },
    );
  }
  if (value + reading.uncertainty < -1 && isSupplyRail(reading.node ?? reading.at)) {
    return impossibleVolts(
      reading,
      `${reading.at} reads ${show(reading.value.quantity)}, and a supply rail stands above ground (limit 0 V, by what the rail is). The leads were the wrong way round, or another point was read: read it again.`,
      { quantity: { value: 0, unit: 'V' }, source: 'what a supply rail is' },
    );
  }
  return undefined;
}

function impossibleVolts({ at, value, source }: BenchReading, message: string, limit: Limit): Report {
  return {
    severity: 'error',
    subject: at,
    source,
    figures: { voltage: value.quantity },
    message,
    limit,
  };
}

/** Of a part, what is worked out from what was measured of it. */
const BY_MEASUREMENT = [
  'value-out-of-tolerance',
  'capacitance-low',
  'esr-high',
  'contradictory-readings',
  'insulation-low',
  'coil-open',
] as const;

/** A meter whose leads were nulled shows this little below nothing. */
const ZERO_ERROR: Partial<Record<Unit, number>> = { Ohm: 1, F: 1e-9, H: 1e-5, W: 0 };

const WORDS: Partial<Record<ReadingQuantity, string>> = {
  halves: 'resistance',
  arms: 'resistance',
  esr: 'ESR',
};

/** Ohms, farads, henries and watts have no sign. */
function checkSign({
  at,
  quantity,
  value,
  uncertainty,
  special,
  nominal,
  source,
}: BenchReading): Report | undefined {
  const { unit, value: read } = value.quantity;
  const error = ZERO_ERROR[unit];
  if (error === undefined || special !== undefined || nominal || (value.high ?? read) + uncertainty >= -error)
    return undefined;
  const why =
    unit === 'W'
      ? 'power that a part turns into heat or sound is never below 0 W (by what power is). Correct the sign or the number.'
      : `it is never below ${showValue(0, unit)} (by what it is). A meter shows that when volts stand across its leads: something there is still charged or fed. Plug out, discharge, meter the volts, and read it again.`;
  return {
    severity: 'error',
    subject: at,
    message: `${show(value.quantity)} of ${WORDS[quantity] ?? quantity} at ${at}: ${why}`,
    source,
    figures: { read: value.quantity },
    limit: { quantity: { value: 0, unit }, source: `what ${unit === 'W' ? 'power' : 'it'} is` },
  };
}

const mostOf = new WeakMap<Amplifier, { readonly volts: number | undefined }>();

/** The highest unloaded supply of any phase; undefined where a rail is not fed by a plain full-wave rectifier, which may be a doubler. */
function highestPossible(amplifier: Amplifier): number | undefined {
  const known = mostOf.get(amplifier);
  if (known !== undefined) return known.volts;
  let most: number | undefined;
  let isSure = true;
  for (const view of amplifier.phases) {
    for (const { ref } of allInRole(view, 'rectifier')) {
      const fed = [...(view.parts.get(ref)?.terminals.values() ?? [])].filter(isSupplyRail);
      if (fed.some((node) => !isFullWave(rectifiersAt(view, node)))) isSure = false;
    }
    for (const { quantity, high } of figuresIn(view, 'cold-voltage'))
      most = Math.max(most ?? 0, high ?? quantity.value);
  }
  const volts = isSure ? most : undefined;
  mostOf.set(amplifier, { volts });
  return volts;
}
