/** Owns the rule discharge-unrecorded: high-tension parts were changed and no residual voltage was written down. */

import type { PhaseView } from '../bench/model.ts';
import { lineAt, lineEndingNear, lineSpan } from '../text/snapshot.ts';
import { isOff } from './residual-voltage.ts';
import { defineRule, type Report, type RuleContext } from './rule.ts';

/** Classes whose change means a soldering iron inside the high-tension circuit. */
const SOLDERED = new Set([
  'resistor',
  'capacitor',
  'inductor',
  'transformer',
  'potentiometer',
  'diode',
  'switch',
  'connector',
]);

export const dischargeUnrecorded = defineRule({
  id: 'discharge-unrecorded',
  since: '0.1.0',
  category: 'record',
  severities: 'I, once a sheet',
  summary: 'Parts were changed and no residual voltage is recorded.',
  why: 'Tens of joules stay in the capacitors after the plug is out, a can behind the standby switch may be cut off from any bleeder, and charge recovers by itself. The next technician needs to know how long this amplifier holds it, and that it was checked.',
  howToFix:
    'Write what every can read before the iron went in, for instance `- plug out, discharged through 10k: B+1: 4 V, B+2: 2 V`. Below 30 V, better below 10 V, on each.',
  source:
    'common practice, no source; IEC 62368-1 calls 60 V DC no longer hazardous in dry conditions, which is not a service target',
  options: {},
  bad: { sheet: '# Job\n\n## Work\n\n- C21 = 47uF 450V, B+1 to gnd -> 47uF 500V\n', names: 'C21' },
  good: {
    sheet:
      '# Job\n\n## Work\n\n- plug out, discharged through 10k: B+1: 4 V\n- C21 = 47uF 450V, B+1 to gnd -> 47uF 500V\n',
  },
  check(context) {
    const reports: Report[] = [];
    const { amplifier, sheet } = context;
    if (sheet.kind !== 'job') return reports;
    const change = amplifier.changes.find(({ ref, work, planned, source }) => {
      if (planned || work === 'same' || source.file !== sheet.uri) return false;
      const part = amplifier.phases.flatMap(({ parts }) => parts.get(ref) ?? [])[0];
      return part !== undefined && SOLDERED.has(part.class);
    });
    if (change === undefined) return reports;
    const cans = cansOf(amplifier.phases);
    const checked = residuals(context);
    const missing = cans.filter((node) => !checked.has(node));
    if (checked.size > 0 && missing.length === 0) return reports;
    const what =
      checked.size === 0
        ? 'no residual voltage is recorded'
        : `the residual voltage of ${missing.join(', ')} is not recorded, and a can behind the standby switch keeps its own charge`;
    reports.push({
      severity: 'info',
      subject: change.ref,
      message: `${change.ref} was changed and ${what}. Before the iron goes in: plug out, discharge every can through a resistor, and write what each reads: below 30 V, better below 10 V.`,
      source: change.source,
    });
    return reports;
  },
  fix: ({ amplifier, sheet }, finding) => {
    const cans = cansOf(amplifier.phases);
    const { snapshot } = sheet;
    const line = lineSpan(snapshot, lineAt(snapshot, finding.source.span.start));
    const indent = snapshot.text.slice(line.start, line.end).match(/^[ \t]*/)?.[0] ?? '';
    // A line that waits to be filled in is not offered again.
    if (/^[ \t]*- \[ \] plug out, discharged through 10k/m.test(snapshot.text)) return [];
    const nodes = cans.length === 0 ? ['B+'] : cans;
    const text = `${indent}- [ ] plug out, discharged through 10k, each can read: ${nodes.join(', ')}${lineEndingNear(snapshot, line.start)}`;
    return [
      {
        title: 'Add the discharge line to fill in',
        safety: 'suggestion',
        edits: [{ span: { start: line.start, end: line.start }, text }],
      },
    ];
  },
});

/** Nodes with a reservoir or smoothing capacitor to ground. */
function cansOf(phases: readonly PhaseView[]): readonly string[] {
  const nodes = new Set<string>();
  for (const view of phases) {
    for (const { ref, role } of view.roles.values()) {
      if (role !== 'reservoir' && role !== 'smoothing') continue;
      for (const node of view.parts.get(ref)?.terminals.values() ?? []) if (node !== 'gnd') nodes.add(node);
    }
  }
  return [...nodes].sort();
}

/** Nodes that were read while powered down, in any phase of this sheet; what they held is judged by residual-voltage. */
function residuals({ amplifier, sheet }: RuleContext): ReadonlySet<string> {
  const nodes = new Set<string>();
  for (const view of amplifier.phases) {
    for (const reading of view.readings) {
      if (reading.source.file === sheet.uri && reading.quantity === 'voltage' && isOff(reading))
        nodes.add(reading.node ?? reading.at);
    }
  }
  return nodes;
}
