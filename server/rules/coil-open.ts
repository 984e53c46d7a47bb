/** Owns the rule coil-open: a choke, transformer, relay or tank whose winding reads open. */
import { partsOfClass } from '../bench/by-class.ts';
import type { BenchReading, FittedPart, PhaseView } from '../bench/model.ts';
import { defineRule, type Report, type RuleContext } from './rule.ts';
import { offNominalOf, pairsOf, partsServing } from './valve-circuit.ts';

const WOUND = ['inductor', 'transformer', 'relay', 'tank'] as const;

export const coilOpen = defineRule({
  id: 'coil-open',
  since: '0.1.0',
  category: 'readings',
  severities: 'W',
  summary: 'A winding reads open.',
  why: 'A winding is a length of wire: whatever it is for, it has ohms. Open, a choke cuts the supply, a tank is silent, and an output transformer with an open half leaves a screen to take the whole current of its valve.',
  howToFix:
    'Look at the ends first: lead wires and tags break more often than the winding. Else renew or rewind it. After an open primary half, suspect the screen of the valve on it.',
  source: 'definition',
  options: {},
  bad: { sheet: '# Job\n\n## As found\n\n- L1 = 10H 250R, B+1 to B+2\n- L1: open\n', names: 'L1' },
  good: { sheet: '# Job\n\n## As found\n\n- L1 = 10H 250R, B+1 to B+2\n- L1: 243R\n' },
  check(context) {
    const reports: Report[] = [];
    for (const view of context.verdictViews) {
      for (const part of partsOfClass(view, ...WOUND)) {
        const reading = openReading(view, part);
        if (reading === undefined || reading.source.file !== context.sheet.uri) continue;
        const name = reading.at.startsWith(`${part.ref}.`) ? reading.at : part.ref;
        reports.push({
          severity: 'warning',
          subject: part.ref,
          phase: view.phase,
          set: reading.set,
          tellsPhase: true,
          message: `${name} reads open, and a winding always has some ohms (by what it is). Look at its lead wires and tags first; else renew or rewind it.`,
          source: reading.source,
          explains: consequences(context, view, part.ref),
        });
      }
    }
    return reports;
  },
});

/** What was last read of the part, or of one of its windings by name (`TK1: in OL`), and is open. */
function openReading(view: PhaseView, { ref, measured }: FittedPart): BenchReading | undefined {
  const isHere = ({ quantity, phase, nominal }: BenchReading): boolean =>
    (quantity === 'resistance' || quantity === 'halves') && phase === view.phase && !nominal;
  const whole = measured.findLast(isHere);
  if (whole?.special === 'open') return whole;
  const ofWindings = view.readings.filter(
    (reading) => isHere(reading) && reading.to === undefined && reading.at.startsWith(`${ref}.`),
  );
  const last = new Map(ofWindings.map((reading) => [reading.at, reading]));
  return [...last.values()].find(({ special }) => special === 'open');
}

/** That it passes nothing, and what an open primary does to the valves on it: their currents, their screens, and the resistors before these. */
function consequences(context: RuleContext, view: PhaseView, ref: string): NonNullable<Report['explains']> {
  const own = { rule: 'contradictory-readings', subject: ref };
  const onValves = (view.roles.get(ref)?.serves ?? []).flatMap((valve) => [
    ...offNominalOf(valve),
    ...['anode-over-dissipation', 'screen-over-dissipation', 'fixed-bias-cold', 'fixed-bias-hot'].map(
      (rule) => ({
        rule,
        subject: valve,
      }),
    ),
    ...partsServing(view, valve, 'screen-resistor').map((resistor) => ({
      rule: 'resistor-over-dissipation',
      subject: resistor.ref,
    })),
    ...pairsOf(context, view, valve).map((subject) => ({ rule: 'mismatched-pair', subject })),
  ]);
  return [own, ...onValves];
}
