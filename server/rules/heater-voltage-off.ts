/** Owns the rule heater-voltage-off: heaters that have too much or too little, at nominal mains. */

import { mainsVolts, sheetsOf } from '../bench/derive/mains.ts';
import type { BenchReading, PhaseView } from '../bench/model.ts';
import { severityOf } from './bands.ts';
import { showShare, showValue } from './phrases.ts';
import { readingsThat } from './readings-that.ts';
import { defineRule, type Report, type RuleContext } from './rule.ts';
import { amplifyingValves } from './valve-circuit.ts';

export const heaterVoltageOff = defineRule({
  id: 'heater-voltage-off',
  since: '0.1.0',
  category: 'ratings',
  severities:
    'I ±5 %, W ±7 %, E ±10 % at nominal mains; W at most where the mains of the reading is not written',
  summary: 'The heater voltage is off its nominal value.',
  why: 'Within 5 % valves live as long as they can. Above 10 % the heater and the cathode coating wear out fast; below 10 % the coating is poisoned under load and the valve reads weak. An old 117 V primary on 125 V mains is enough to do it. Where the mains of the reading is not written, the mains may be what is off, and it is a warning at most.',
  howToFix:
    'Read at the socket with a true-rms meter, all valves in. Check the mains tap. High: a small resistor in each heater lead, rated for the current. Low: look for a loaded winding, a bad joint or a thin lead.',
  source:
    'the heater voltage by the valve’s data sheet or the winding as written; ±10 % by valve makers’ general notes, from memory, unverified',
  options: {
    info: { default: 0.05, unit: '1', means: 'share off nominal that is information' },
    warning: { default: 0.07, unit: '1', means: 'share that is a warning' },
    error: { default: 0.1, unit: '1', means: 'share that is an error' },
  },
  bad: {
    sheet:
      '---\nmains: 230 V 50 Hz\n---\n# Job\n\n## As found\n\nMains {mains: 231 V}.\n\n- heaters: 7.1 V\n',
    names: 'heaters',
  },
  good: {
    sheet:
      '---\nmains: 230 V 50 Hz\n---\n# Job\n\n## As found\n\nMains {mains: 244 V}.\n\n- heaters: 6.7 V\n',
  },
  check(context) {
    const reports: Report[] = [];
    for (const view of context.verdictViews) {
      for (const [reading, heater] of heatersRead(view)) {
        const read = Math.abs(reading.value.quantity.value);
        const mains = reading.set.mains?.value;
        const nominalMains = mainsVolts(sheetsOf(context.amplifier))?.known.quantity.value;
        const isCorrected = mains !== undefined && nominalMains !== undefined && mains > 0;
        const volts = isCorrected ? (read * nominalMains) / mains : read;
        const off = Math.abs(volts - heater.volts) / heater.volts;
        const severity = severityFor(context, off, isCorrected);
        if (severity === undefined) continue;
        const corrected =
          isCorrected && Math.abs(mains / nominalMains - 1) > 0.005
            ? `, ${showValue(volts, 'V')} at ${showValue(nominalMains, 'V')} mains`
            : '';
        const unsaid = isCorrected ? '' : ' The mains of the reading is not written, or not the nominal one.';
        reports.push({
          severity,
          subject: heater.subject,
          phase: view.phase,
          set: reading.set,
          tellsPhase: true,
          message: `${showValue(read, 'V')} was read at ${reading.at}${corrected}: ${showShare(off)} ${volts > heater.volts ? 'above' : 'below'} ${showValue(heater.volts, 'V')} (${heater.source}); within 5 % is good and 10 % the limit.${unsaid} Check the mains tap and read at the socket with all valves in.`,
          source: reading.source,
          figures: { 'heater-voltage': { value: volts, unit: 'V' } },
          limit: { quantity: { value: heater.volts, unit: 'V' }, source: heater.source },
        });
      }
    }
    return reports;
  },
});

/** The last reading of each heater with all valves in and full mains on; an idle amplifier and a driven one heat alike. */
function heatersRead(view: PhaseView): Iterable<readonly [BenchReading, Heater]> {
  const last = new Map<string, readonly [BenchReading, Heater]>();
  for (const reading of readingsThat(view, 'alternating volts', isAlternating)) {
    if (reading.to !== undefined || reading.nominal) continue;
    if (reading.wave !== undefined && reading.wave !== 'rms' && reading.wave !== 'ac') continue;
    const { set } = reading;
    if (set.limited || set.off) continue;
    if ([...set.conditions, ...reading.conditions].some(({ kind }) => kind === 'out')) continue;
    const heater = heaterAt(view, reading);
    if (heater !== undefined) last.set(heater.subject, [reading, heater]);
  }
  return last.values();
}

function isAlternating({ quantity }: BenchReading): boolean {
  return quantity === 'ac-voltage';
}

/** Without the mains that it was read at, a reading alone makes no error. */
function severityFor({ option }: RuleContext, off: number, isCorrected: boolean) {
  const figure = { quantity: { value: off, unit: '1' as const } };
  if (!isCorrected) {
    return severityOf(figure, [
      { severity: 'warning', above: option('error') },
      { severity: 'info', above: option('warning') },
    ]);
  }
  return severityOf(figure, [
    { severity: 'error', above: option('error') },
    { severity: 'warning', above: option('warning') },
    { severity: 'info', above: option('info') },
  ]);
}

interface Heater {
  readonly subject: string;
  readonly volts: number;
  readonly source: string;
}

/** Voltages that heaters are made for. */
const COMMON = [5, 6.3, 12.6] as const;

/** Further from any nominal voltage than this it was read between other points, or is no heater. */
const PLAUSIBLE = 0.3;

function heaterAt(view: PhaseView, { at, value }: BenchReading): Heater | undefined {
  const read = Math.abs(value.quantity.value);
  const near = (volts: readonly number[]): number | undefined => {
    const [best] = [...volts].sort((a, b) => Math.abs(read - a) - Math.abs(read - b));
    return best !== undefined && Math.abs(read - best) <= PLAUSIBLE * best ? best : undefined;
  };
  if (at === 'heaters') {
    // The volts that the valves here are made for: 5.3 V is low for them, and not near enough to a rectifier's 5 V.
    const made = amplifyingValves(view).flatMap(({ type }) => {
      const heater = type?.valve?.heater;
      return heater === undefined
        ? []
        : [heater.volts.value, ...(heater.series ? [heater.series.volts] : [])];
    });
    const volts = near(made.length > 0 ? made : COMMON);
    return volts === undefined ? undefined : { subject: at, volts, source: 'nominal heater voltage' };
  }
  const [, ref, terminal] = /^([A-Z]+\d+[A-Z]?)\.(h|\d+)$/.exec(at) ?? [];
  const part = ref === undefined ? undefined : view.parts.get(ref);
  if (ref === undefined || part === undefined) return undefined;
  const valve = part.type?.valve;
  if (terminal === 'h' && valve !== undefined) {
    const { volts: own, series } = valve.heater;
    const volts = near([own.value, ...(series === undefined ? [] : [series.volts])]);
    return volts === undefined
      ? undefined
      : { subject: ref, volts, source: `${valve.type}, ${own.trust.source}` };
  }
  const windings = part.specification?.windings.filter(
    ({ side, volts }) => side === 'secondary' && volts?.kind === 'value',
  );
  const winding = windings?.[Number(terminal) - 1];
  const written = winding?.volts?.kind === 'value' ? winding.volts.value.quantity.value : undefined;
  // A winding of a heater's volts: the HT and the bias winding are no business of this rule.
  if (written === undefined || !COMMON.some((each) => Math.abs(each - written) < 0.3)) return undefined;
  return near([written]) === undefined
    ? undefined
    : { subject: ref, volts: written, source: `as written for ${ref}` };
}
