/** Owns the rule off-nominal: a voltage far from what the chassis sheet says, at the same mains. */
import type { BenchReading, PhaseView } from '../bench/model.ts';
import { isBiasNode, isRail, isSupplyRail } from '../bench/points.ts';
import { type Nominal, nominalAt } from './nominal.ts';
import { show, showDeparture, showShare, showValue } from './phrases.ts';
import { defineRule, type Report, type RuleContext } from './rule.ts';
import { momentOf } from './valve-circuit.ts';
import { findVolts } from './voltages.ts';

/** An average new valve’s current, and so every drop that it makes, may lie so far either way. */
const VALVE_SPREAD = 0.2;
/** A grid or a point of less than so many volts is no chart voltage [V]. */
const LEAST = 0.5;
const LEAST_AT_GRID = 5;

export const offNominal = defineRule({
  id: 'off-nominal',
  since: '0.1.0',
  category: 'readings',
  severities: 'I >10 %, W >20 % beyond what an average valve’s spread makes',
  summary: 'A voltage lies far from the chassis sheet’s, reckoned to the same mains.',
  why: 'The chart of the same model is the nearest thing to knowing what is normal. A comparison counts only at corrected mains and with the spread of valves allowed for: new ones differ by a fifth in current, and with them every drop.',
  howToFix:
    'Go from the supply downwards: the first point that is off explains those behind it. Compare the load, the warm-up and the standby switch before the parts. Behind a limiter nothing is compared.',
  source:
    'the chassis sheet’s own voltages, corrected for the mains of both; valve spread of 20 % in current: common practice, no source',
  options: {
    info: { default: 0.1, unit: '1', means: 'departure beyond the spread that is information' },
    warning: { default: 0.2, unit: '1', means: 'departure that is a warning' },
    unknownMains: {
      default: 0.1,
      unit: '1',
      means: 'allowance where the mains of one of the charts is not written',
    },
  },
  bad: {
    sheet:
      '# Job\n\n## As found\n\nMains {mains: 230 V}, twenty minutes warm.\n\n| Point | Found | Nominal |\n| ----- | ----- | ------- |\n| B+1   | 228   | 334     |\n| B+2   | 226   | 331     |\n',
    names: 'B+1',
  },
  good: {
    sheet:
      '# Job\n\n## As found\n\nMains {mains: 230 V}, twenty minutes warm.\n\n| Point | Found | Nominal |\n| ----- | ----- | ------- |\n| B+1   | 322   | 334     |\n| B+2   | 318   | 331     |\n',
  },
  check(context) {
    const reports: Report[] = [];
    const asLeft = context.verdictViews.find(({ phase }) => phase === 'as-left');
    for (const view of context.verdictViews) {
      const off = departures(context, view).sort(fromTheSupply);
      for (const [i, each] of off.entries()) {
        const explained = off.slice(i + 1).filter((other) => isBehind(each, other));
        const again =
          view.phase === 'as-found' && asLeft !== undefined ? readAgain(context, asLeft, each) : undefined;
        reports.push(reportOf(context, view, each, explained, again));
      }
    }
    return reports;
  },
});

interface Departure {
  readonly at: string;
  readonly reading: BenchReading;
  readonly nominal: Nominal;
  /** What the nominal is at this mains. */
  readonly should: number;
  /** Signed share of it. */
  readonly departure: number;
  /** Beyond spread, last digit and unknown mains. */
  readonly beyond: number;
  readonly allowed: number;
  readonly mains: 'same' | 'corrected' | 'unknown';
}

function departures(context: RuleContext, view: PhaseView): Departure[] {
  const found: Departure[] = [];
  if (view.nominals.length === 0) return found;
  const top = highestNominal(context, view);
  for (const reading of view.readings) {
    const { node } = reading;
    if (node === undefined || reading.source.file !== context.sheet.uri || findVolts(view, node) !== reading)
      continue;
    const departure = departureOf(context, view, reading, node, top);
    if (departure !== undefined && departure.beyond > context.option('info')) found.push(departure);
  }
  return found;
}

function departureOf(
  context: RuleContext,
  view: PhaseView,
  reading: BenchReading,
  node: string,
  top: number,
): Departure | undefined {
  const nominal = nominalAt(context, view, node);
  if (nominal === undefined || node === 'gnd') return undefined;
  const isGrid =
    view.circuit.attached(node).some(({ terminal }) => terminal === 'g') || /\.g$/.test(reading.at);
  if (Math.abs(nominal.volts) < (isGrid ? LEAST_AT_GRID : LEAST)) return undefined;
  const now = view.verdictSet?.mains?.value;
  const factor = now !== undefined && nominal.mains !== undefined ? now / nominal.mains : 1;
  const isUnknown = !nominal.isColumn && (now === undefined || nominal.mains === undefined);
  const should = nominal.volts * factor;
  const allowed =
    spreadAt(node, nominal.volts, isGrid, top) +
    reading.uncertainty / Math.abs(should) +
    (isUnknown ? context.option('unknownMains') : 0);
  const departure = reading.value.quantity.value / should - 1;
  return {
    at: reading.at,
    reading,
    nominal,
    should,
    departure,
    beyond: Math.abs(departure) - allowed,
    allowed,
    mains: isUnknown ? 'unknown' : factor === 1 ? 'same' : 'corrected',
  };
}

/** What a fifth more or less current makes of a node: all of a cathode’s volts, the drop from the highest rail elsewhere. */
function spreadAt(node: string, nominal: number, isGrid: boolean, top: number): number {
  if (isGrid || isBiasNode(node) || nominal < 0) return 0;
  if (isRail(node) || /\.(?:a|g2)$/.test(node)) return (VALVE_SPREAD * Math.max(0, top - nominal)) / nominal;
  return VALVE_SPREAD;
}

function highestNominal(context: RuleContext, view: PhaseView): number {
  return Math.max(0, ...view.circuit.nodes.map((node) => nominalAt(context, view, node)?.volts ?? 0));
}

/** Supply rails first, the highest of them foremost. */
function fromTheSupply(a: Departure, b: Departure): number {
  const rank = ({ reading }: Departure): number => (isSupplyRail(reading.node ?? '') ? 0 : 1);
  return rank(a) - rank(b) || Math.abs(b.nominal.volts) - Math.abs(a.nominal.volts) || b.beyond - a.beyond;
}

/** A rail that is off pulls everything behind it the same way; an electrode that is off pulls the others of its valve. */
function isBehind(first: Departure, other: Departure): boolean {
  if (isSupplyRail(first.reading.node ?? ''))
    return Math.sign(first.departure) === Math.sign(other.departure);
  const valve = first.at.split('.')[0];
  return first.at.includes('.') && other.at.split('.')[0] === valve;
}

/** What was read there as left, where that is no longer off. */
function readAgain(
  context: RuleContext,
  asLeft: PhaseView,
  { reading, at }: Departure,
): BenchReading | undefined {
  const again = findVolts(asLeft, reading.node ?? at);
  if (again === undefined || again.node === undefined) return undefined;
  const left = departureOf(context, asLeft, again, again.node, highestNominal(context, asLeft));
  return left !== undefined && left.beyond <= context.option('info') ? again : undefined;
}

function reportOf(
  context: RuleContext,
  view: PhaseView,
  each: Departure,
  explained: readonly Departure[],
  again: BenchReading | undefined,
): Report {
  const { at, reading, nominal, should, departure, beyond, allowed, mains } = each;
  const isWarning = beyond > context.option('warning');
  const at230 =
    mains === 'corrected'
      ? `, ${showValue(should, 'V')} at this mains`
      : mains === 'unknown'
        ? ' (the mains of one of the two is not written, which is allowed for)'
        : '';
  const limit = (isWarning ? context.option('warning') : context.option('info')) + allowed;
  return {
    severity: isWarning && again === undefined ? 'warning' : 'info',
    subject: at,
    ...momentOf(view),
    tellsPhase: true,
    message: `${at} reads ${show(reading.value.quantity)} where ${nominal.whose} says ${showValue(nominal.volts, 'V')}${at230}: ${showDeparture(departure)}, more than the ${showShare(limit)} that valves, meter and the house rule allow. ${again === undefined ? 'Look at what feeds it before what it feeds.' : `As left it reads ${show(again.value.quantity)}.`}`,
    source: reading.source,
    figures: { departure: { value: departure, unit: '1' }, nominal: { value: should, unit: 'V' } },
    limit: { quantity: { value: should, unit: 'V' }, source: nominal.whose },
    explains: explained.map((other) => ({ rule: 'off-nominal', subject: other.at })),
  };
}
