/** Owns the rule heater-unreferenced: a heater winding that nothing ties to the chassis. */
import type { PhaseView } from '../bench/model.ts';
import { followDirect } from './direct-path.ts';
import { defineRule, type Report } from './rule.ts';

export const heaterUnreferenced = defineRule({
  id: 'heater-unreferenced',
  since: '0.1.0',
  category: 'readings',
  severities: 'W',
  summary: 'Nothing ties the heaters to ground or to an elevation.',
  why: 'Floating heaters take any voltage that leakage gives them, up to the breakdown between heater and cathode, and hum into every grid. A centre tap, two resistors or a control to ground or to a divider hold them.',
  howToFix:
    'Ground the winding’s centre tap or fit two resistors of about 100 Ω from its ends to ground, or to a divider from the supply where cathodes stand high. Only judged where something is written on the heaters.',
  source: 'heater to cathode limits of valve makers’ data; common practice, no source',
  options: {},
  bad: {
    sheet: '# Job\n\n## Parts\n\n- R60 = 100R 0.5W, heaters to mid\n- C60 = 100n 100V, mid to gnd\n',
    names: 'heaters',
  },
  good: {
    sheet: '# Job\n\n## Parts\n\n- R60 = 100R 0.5W, heaters to gnd\n',
  },
  check(context) {
    const reports: Report[] = [];
    for (const view of context.verdictViews) {
      const node = view.circuit.nodeOf('heaters');
      const refs = node === undefined ? [] : tiedTo(view, node);
      if (node === undefined || refs.length === 0 || followDirect(view, node, '').isHeld) continue;
      const source = refs
        .flatMap((ref) => view.parts.get(ref)?.source ?? [])
        .find(({ file }) => file === context.sheet.uri);
      if (source === undefined) continue;
      reports.push({
        severity: 'warning',
        subject: 'heaters',
        phase: view.phase,
        tellsPhase: true,
        message: `${refs.join(', ')} ${refs.length === 1 ? 'is' : 'are'} written on the heaters and no direct path to ground or to an elevation: at least one belongs (heater to cathode limits of valve makers’ data). Ground the centre tap, or fit two resistors of about 100 Ω to ground.`,
        source,
      });
    }
    return reports;
  },
});

/** Parts on the heaters that a writer drew there to hold them; valves and windings are on them anyway. */
function tiedTo(view: PhaseView, node: string): readonly string[] {
  return view.circuit
    .attached(node)
    .map(({ ref }) => ref)
    .filter((ref) => {
      const part = view.parts.get(ref);
      return part?.class === 'resistor' || part?.class === 'potentiometer' || part?.class === 'capacitor';
    });
}
