/** Owns the rule meter-loading: grids whose volts the meter itself pulled down. */
import { type FittedPart, findValueInUse, type PhaseView } from '../bench/model.ts';
import { parallelResistance } from '../electronics/combined-resistance.ts';
import { meterLoadingLoss } from '../electronics/meter-loading.ts';
import { ohms } from '../units/si.ts';
import { shareOf, show, showShare, showValue } from './phrases.ts';
import { defineRule, type Report, type RuleContext } from './rule.ts';
import { farEnd, isAmplifying, momentOf, partsServing } from './valve-circuit.ts';
import { findVolts } from './voltages.ts';

export const meterLoading = defineRule({
  id: 'meter-loading',
  since: '0.1.0',
  category: 'readings',
  severities: 'I >3 %, W >8 %, once a phase',
  summary: 'A meter on a high resistance pulled the volts down that it was to read.',
  why: 'A 10 MΩ meter across a 1 MΩ grid leak takes 9 % of the voltage away, and an old moving-coil meter most of it. The reading looks like a weak bias or a leaking capacitor and is neither.',
  howToFix:
    'Read at a point of low resistance instead (the other end of the grid leak, the cathode), or reckon the loss back in. Where the meter is another than 10 MΩ, the shop sheet sets it.',
  source: 'voltage divider of the grid leak and the meter',
  options: {
    info: {
      default: 0.03,
      unit: '1',
      means: 'share lost that is information (220 kΩ loses 2 % in every amplifier)',
    },
    warning: { default: 0.08, unit: '1', means: 'share lost that is a warning' },
    meter: { default: 10e6, unit: 'Ohm', means: 'resistance of the meter' },
    least: { default: 1, unit: 'V', means: 'volts below which a loss does not matter' },
  },
  bad: {
    sheet:
      '# Job\n\n## As found\n\n- V2A = 12AX7\n- C6 = 22n 630V film, V1B.a to V2A.g\n- R9 = 1M 0.5W, V2A.g to tail\n- tail: 36 V\n- V2A: g 32.6\n',
    names: 'V2A.g',
  },
  good: {
    sheet:
      '# Job\n\n## As found\n\n- V5 = 6L6GC\n- R16 = 100k 0.5W, V5.g to bias\n- bias: -48 V\n- V5: g -47.5\n',
  },
  check(context) {
    const reports: Report[] = [];
    const grids = context.eachPart(loadedGrid, 'valve');
    for (const view of context.verdictViews) {
      const loaded = grids.filter(({ phase }) => phase === view.phase);
      const [worst, ...others] = loaded.sort((a, b) => b.loss - a.loss);
      if (worst === undefined) continue;
      const severity = worst.loss > context.option('warning') ? 'warning' : 'info';
      const also =
        others.length === 0
          ? ''
          : ` So does it at ${others.map(({ at, loss }) => `${at} (${showShare(loss)})`).join(', ')}.`;
      reports.push({
        severity,
        subject: worst.at,
        ...momentOf(view),
        tellsPhase: true,
        message: `a meter of ${show({ value: context.option('meter'), unit: 'Ohm' })} on the ${showValue(worst.ohms, 'Ohm')} at ${worst.at} takes ${shareOf(worst.loss)} its volts away, above ${showShare(context.option(severity === 'warning' ? 'warning' : 'info'))} (house rule): ${show(worst.read)} as read is less than stands there.${also} Read at the far end of the leak instead.`,
        source: worst.source,
        figures: { loss: { value: worst.loss, unit: '1' } },
        limit: {
          quantity: { value: context.option(severity === 'warning' ? 'warning' : 'info'), unit: '1' },
          source: 'house rule; common practice, no source',
        },
      });
    }
    return reports;
  },
});

function loadedGrid(context: RuleContext, view: PhaseView, valve: FittedPart) {
  if (!isAmplifying(valve)) return undefined;
  const at = `${valve.ref}.g`;
  const reading = findVolts(view, at);
  if (reading === undefined || reading.source.file !== context.sheet.uri) return undefined;
  const { quantity: read } = reading.value;
  if (Math.abs(read.value) < context.option('least')) return undefined;
  const source = sourceResistance(view, valve);
  if (source === undefined) return undefined;
  const loss = meterLoadingLoss(ohms(source), ohms(context.option('meter')));
  if (!loss.ok || loss.value <= context.option('info')) return undefined;
  return { phase: view.phase, at, ohms: source, loss: loss.value, read, source: reading.source };
}

/** The leaks of a grid that nothing else drives with direct current. */
function sourceResistance(view: PhaseView, valve: FittedPart): number | undefined {
  const node = view.circuit.nodeOf(`${valve.ref}.g`);
  if (node === undefined) return undefined;
  const values: number[] = [];
  for (const { ref, terminal } of view.circuit.attached(node)) {
    const part = view.parts.get(ref);
    if (part === undefined || part.class === 'capacitor' || part.class === 'test-point') continue;
    if (part.class === 'valve' && terminal === 'g') continue;
    const isLeak = part.class === 'resistor' && partsServing(view, valve.ref, 'grid-leak').includes(part);
    const value = isLeak ? findValueInUse(part)?.quantity.value : undefined;
    const far = farEnd(part, node);
    // Anything else that hangs there may hold the grid better than its leak; volts over a leak to ground are a fault's.
    if (value === undefined || far === undefined || far === 'gnd') return undefined;
    values.push(value);
  }
  const together = parallelResistance(values.map(ohms));
  return together.ok ? together.value : undefined;
}
