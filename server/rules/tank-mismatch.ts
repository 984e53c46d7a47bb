/** Owns the rule tank-mismatch: a reverb tank whose input does not fit the transformer that drives it. */
import { partsOfClass } from '../bench/by-class.ts';
import type { FittedPart, PhaseView } from '../bench/model.ts';
import { plainValue } from '../sheet/model.ts';
import { showValue } from './phrases.ts';
import { defineRule, type Report } from './rule.ts';

export const tankMismatch = defineRule({
  id: 'tank-mismatch',
  since: '0.1.0',
  category: 'readings',
  severities: 'W beyond a factor of 2',
  summary: 'The tank’s input impedance does not fit the transformer that drives it.',
  why: 'Tanks look alike and differ a hundredfold in impedance. An 8 Ω coil on a circuit for 150 Ω is a near short for its driver; the other way round the springs hardly move, and the reverb is blamed on its valves.',
  howToFix:
    'Fit the tank that the drive is made for. The number of ohms is the impedance at 1 kHz, several times what an ohmmeter reads on the coil.',
  source:
    'the impedances as written on tank and transformer; the factor is a house rule (common practice, no source)',
  options: {
    factor: { default: 2, unit: '1', means: 'times either way that are a warning' },
  },
  bad: {
    sheet:
      '# Job\n\n## Parts\n\n- T3 = output 22k : 8R, V3.a, ct B+2\n- TK1 = tank in 150R out 2k2, T3.8R to V4A.g\n',
    names: 'TK1',
  },
  good: {
    sheet:
      '# Job\n\n## Parts\n\n- T3 = output 22k : 8R, V3.a, ct B+2\n- TK1 = tank in 8R out 2k2, T3.8R to V4A.g\n',
  },
  check(context) {
    const reports: Report[] = [];
    for (const view of context.verdictViews) {
      for (const tank of partsOfClass(view, 'tank')) {
        const own = impedanceOf(tank, 'primary');
        const driver = driverOf(view, tank);
        const drive = driver && impedanceOf(driver, 'secondary');
        const source = [tank, driver].find((part) => part?.source.file === context.sheet.uri)?.source;
        if (own === undefined || driver === undefined || drive === undefined || source === undefined)
          continue;
        const times = Math.max(own, drive) / Math.min(own, drive);
        if (times <= context.option('factor')) continue;
        reports.push({
          severity: 'warning',
          subject: tank.ref,
          phase: view.phase,
          tellsPhase: true,
          message: `${tank.ref} has an input of ${showValue(own, 'Ohm')} and ${driver.ref} drives it from a winding for ${showValue(drive, 'Ohm')}: ${times.toPrecision(2)} times apart, beyond ${context.option('factor')} (house rule). Fit the tank that the drive is made for.`,
          source,
          figures: { times: { value: times, unit: '1' } },
          limit: {
            quantity: { value: drive, unit: 'Ohm' },
            source: `the secondary of ${driver.ref} as written`,
          },
        });
      }
    }
    return reports;
  },
});

/** The transformer that a tank's input hangs on. */
function driverOf(view: PhaseView, tank: FittedPart): FittedPart | undefined {
  const ref = tank.terminals.get('1')?.split('.')[0];
  const part = ref === undefined ? undefined : view.parts.get(ref);
  return part?.class === 'transformer' ? part : undefined;
}

/** The one impedance written on a side; of several taps nobody says which is meant. */
function impedanceOf(part: FittedPart, side: 'primary' | 'secondary'): number | undefined {
  const values = (part.specification?.windings ?? []).flatMap((winding) => {
    const value = winding.side === side ? plainValue(winding.impedance)?.quantity.value : undefined;
    return value === undefined || value <= 0 ? [] : [value];
  });
  const [only] = values;
  return values.length === 1 ? only : undefined;
}
