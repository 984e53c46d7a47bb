/** Owns the rule grid-leak-over-limit: more resistance from a grid to its bias or ground than the valve's data sheet allows. */

import { partsOfClass } from '../bench/by-class.ts';
import { type FittedPart, findValueInUse, type PhaseView } from '../bench/model.ts';
import { type Edition, editionsOf } from '../catalogue/editions.ts';
import { parallelResistance, seriesResistance } from '../electronics/combined-resistance.ts';
import { ohms } from '../units/si.ts';
import { isFixedBiasOutput, isReturnedToBias } from './bias-kind.ts';
import { showValue } from './phrases.ts';
import { defineRule, type Report } from './rule.ts';
import { partsAt, partsServing } from './valve-circuit.ts';

export const gridLeakOverLimit = defineRule({
  id: 'grid-leak-over-limit',
  since: '0.1.0',
  category: 'ratings',
  severities: 'I >1× the limit, W >3×',
  summary: 'A grid leak is larger than the valve’s data sheet allows.',
  why: 'Every valve draws a little grid current from gas, more as it gets hot. Over a large grid leak that makes volts which take the bias away, and the valve runs hotter still. In fixed bias nothing holds it. Most fixed-bias amplifiers break the limit, so up to three times it is told and no more.',
  howToFix:
    'If the design has it so, leave it, and watch for valves whose current creeps up after half an hour. A leak that was enlarged in a repair goes back to the drawing’s value.',
  source: 'the valve’s data sheet, of the two limits the one for its kind of bias, named in the message',
  options: {
    info: { default: 1, unit: '1', means: 'grid leak over the limit that is information' },
    warning: { default: 3, unit: '1', means: 'grid leak over the limit that is a warning' },
  },
  bad: {
    sheet:
      '# Job\n\n## As found\n\n- V5 = 6L6GC\n- R16 = 220k 0.5W, V5.g to bias\n- R43 = 1R 1W, V5.k to gnd\n',
    names: 'R16',
  },
  good: {
    sheet:
      '# Job\n\n## As found\n\n- V5 = 6L6GC\n- R16 = 220k 0.5W, V5.g to gnd\n- R18 = 330R 10W, V5.k to gnd\n',
  },
  check({ verdictViews, option, sheet }) {
    const reports: Report[] = [];
    for (const view of verdictViews) {
      for (const part of partsOfClass(view, 'valve')) {
        const valve = part.type?.valve;
        if (valve === undefined || valve.kind === 'rectifier') continue;
        const isFixed = isFixedBiasOutput(view, part.ref) || isReturnedToBias(view, part.ref);
        const limit = highest(editionsOf(valve, isFixed ? 'gridLeakFixedBias' : 'gridLeakSelfBias'));
        const leak = limit && leakOf(view, part);
        if (limit === undefined || leak === undefined) continue;
        const times = leak.ohms / limit.value;
        // A preferred value may stand a hair above the figure that a sheet prints.
        if (times <= option('info') * 1.02) continue;
        const own = [leak.part, part].find(({ source }) => source.file === sheet.uri);
        const edition = limit.name === '' ? '' : `, ${limit.name}`;
        reports.push({
          severity: times > option('warning') ? 'warning' : 'info',
          subject: leak.part.ref,
          phase: view.phase,
          tellsPhase: true,
          message: `the grid of ${part.ref} has ${showValue(leak.ohms, 'Ohm')} to its ${isFixed ? 'bias' : 'return'} (${leak.by}): ${Number(times.toPrecision(2))} times the ${showValue(limit.value, 'Ohm')} that ${valve.type} allows with ${isFixed ? 'fixed bias' : 'a cathode resistor'} (${limit.system}${edition}, ${limit.trust.source}). ${isFixed ? 'Nearly universal in fixed bias, and still over the sheet' : 'Over the sheet'}: watch for a current that creeps up, and go back to the drawing’s value if it was enlarged.`,
          source: (own ?? leak.part).source,
          figures: { 'grid-leak': { value: leak.ohms, unit: 'Ohm' } },
          limit: {
            quantity: { value: limit.value, unit: 'Ohm' },
            source: `${valve.type}, ${limit.trust.source}`,
          },
        });
      }
    }
    return reports;
  },
});

function highest(editions: readonly Edition[]): Edition | undefined {
  let most: Edition | undefined;
  for (const edition of editions) if (most === undefined || edition.value >= most.value) most = edition;
  return most;
}

interface Leak {
  /** The largest of its resistors. */
  readonly part: FittedPart;
  readonly ohms: number;
  /** `R16`, `R16 and stopper R44`. */
  readonly by: string;
}

/** What returns the grid: its leaks side by side, and a stopper in series. Undefined where a control is in the way. */
function leakOf(view: PhaseView, valve: FittedPart): Leak | undefined {
  const grid = view.circuit.nodeOf(`${valve.ref}.g`);
  if (grid === undefined) return undefined;
  const here = partsAt(view, grid);
  const stopper = partsServing(view, valve.ref, 'grid-stopper').find((part) => here.includes(part));
  const behind = stopper && [...stopper.terminals.values()].find((node) => node !== grid);
  const around = behind === undefined ? here : [...here, ...partsAt(view, behind)];
  if (around.some((part) => part.class === 'potentiometer')) return undefined;
  const leaks = around.filter(
    (part) => part.class === 'resistor' && view.roles.get(part.ref)?.role === 'grid-leak',
  );
  if (leaks.length === 0) return undefined;
  const values = leaks.map((part) => ohmsOf(part));
  const known = values.filter((value) => value !== undefined);
  const [first] = [...leaks].sort((a, b) => (ohmsOf(b) ?? 0) - (ohmsOf(a) ?? 0));
  const together = parallelResistance(known.map(ohms));
  if (first === undefined || known.length !== values.length || !together.ok) return undefined;
  const series = stopper === undefined ? 0 : (ohmsOf(stopper) ?? 0);
  const whole = seriesResistance([together.value, ohms(series)]);
  if (!whole.ok) return undefined;
  const names = leaks.map(({ ref }) => ref).join(' ∥ ');
  return {
    part: first,
    ohms: whole.value,
    by: stopper === undefined ? names : `${names} and stopper ${stopper.ref}`,
  };
}

function ohmsOf(part: FittedPart): number | undefined {
  const known = findValueInUse(part);
  return known?.quantity.unit === 'Ohm' && known.quantity.value > 0 ? known.quantity.value : undefined;
}
