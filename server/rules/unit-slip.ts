/** Owns the rule unit-slip: a reading a thousand times off what the part or valve can be. */
import type { BenchReading, FittedPart, PhaseView } from '../bench/model.ts';
import { show } from './phrases.ts';
import { defineRule, type Report, type RuleContext } from './rule.ts';
import { contradictionsRound, pairsOf } from './valve-circuit.ts';
import { findVolts } from './voltages.ts';

export const unitSlip = defineRule({
  id: 'unit-slip',
  since: '0.1.0',
  category: 'readings',
  severities: 'W',
  summary: 'A reading is a thousand times off.',
  why: '45 A for 45 mA and .049 mA for 49 mA are slips that every bench makes. One prefix wrong, every figure that follows is wrong by a thousand, and a valve seems to dissipate kilowatts or nothing.',
  howToFix: 'Correct the prefix; the fix offers the reading that would fit.',
  source: 'the marking of the part, or the valve’s data sheet limits',
  options: {
    within: { default: 0.3, unit: '1', means: 'how near a thousand times the marked value counts as a slip' },
  },
  bad: { sheet: '# Job\n\n## As found\n\n- V5 = 6V6GT\n- V5: a 331, 38 A\n', names: 'V5' },
  good: { sheet: '# Job\n\n## As found\n\n- V5 = 6V6GT\n- V5: a 331, 34 mA\n' },
  check: (context) => context.eachReading(checkReading),
  fix: ({ sheet }, finding) => {
    const meant = finding.figures?.meant;
    const { span } = finding.source;
    if (meant === undefined) return [];
    const written = sheet.snapshot.text.slice(span.start, span.end);
    const text = rewriteUnit(written, meant.value / (finding.figures?.read?.value ?? Number.NaN));
    return text === undefined
      ? []
      : [{ title: `Write ${text}`, safety: 'suggestion', edits: [{ span, text }] }];
  },
});

function checkReading(context: RuleContext, view: PhaseView, reading: BenchReading): Report | undefined {
  if (reading.source.file !== context.sheet.uri || reading.special !== undefined || reading.nominal)
    return undefined;
  const { quantity } = reading;
  if (quantity !== 'current' && quantity !== 'resistance' && quantity !== 'capacitance') return undefined;
  const part = view.parts.get(reading.at.split('.')[0] ?? reading.at);
  if (part === undefined) return undefined;
  const times = part.class === 'valve' ? valveSlip(view, part, reading) : markingSlip(context, part, reading);
  return times === undefined ? undefined : slip(context, view, part, reading, times);
}

/** By what the reading must be multiplied to be what the valve can pass; undefined where it is plausible, or no factor makes it so. */
function valveSlip(view: PhaseView, part: FittedPart, reading: BenchReading): number | undefined {
  const limits = part.type?.valve?.limits;
  if (reading.quantity !== 'current' || limits?.anodeDissipation === undefined || !reading.normal)
    return undefined;
  const across =
    (findVolts(view, `${part.ref}.a`)?.value.quantity.value ?? 250) -
    (findVolts(view, `${part.ref}.k`)?.value.quantity.value ?? 0);
  if (across <= 0) return undefined;
  const most = limits.anodeDissipation.value / across;
  const share = Math.abs(reading.value.quantity.value) / most;
  const isLikely = (factor: number) => share * factor > 0.15 && share * factor < 2;
  if (share > 20 && isLikely(1e-3)) return 1e-3;
  // A valve that hardly conducts is a finding of its own unless the slipped reading would be just right.
  return share < 2e-3 && isLikely(1e3) ? 1e3 : undefined;
}

function markingSlip(context: RuleContext, part: FittedPart, reading: BenchReading): number | undefined {
  const marked = part.value?.quantity;
  const read = reading.value.quantity;
  if (
    marked === undefined ||
    marked.unit !== read.unit ||
    reading.at !== part.ref ||
    marked.value <= 0 ||
    read.value <= 0
  )
    return undefined;
  if (reading.quantity !== 'resistance' && reading.quantity !== 'capacitance') return undefined;
  return [1e-3, 1e3, 1e-6, 1e6].find(
    (factor) => Math.abs((read.value * factor) / marked.value - 1) < context.option('within'),
  );
}

function slip(
  context: RuleContext,
  view: PhaseView,
  part: FittedPart,
  reading: BenchReading,
  times: number,
): Report {
  const read = reading.value.quantity;
  const meant = { value: read.value * times, unit: read.unit };
  const against =
    part.class === 'valve'
      ? `${part.type?.text ?? part.ref} can pass nothing like it`
      : `${part.ref} is marked ${part.value === undefined ? '' : show(part.value.quantity)}`;
  return {
    severity: 'warning',
    subject: part.ref,
    phase: view.phase,
    set: reading.set,
    message: `${reading.at} is written as ${show(read)}, and ${against}. ${show(meant)} would fit: a prefix slipped by ${Math.round(Math.max(times, 1 / times))}.`,
    source: reading.source,
    figures: { read, meant },
    explains: [
      { rule: 'value-out-of-tolerance', subject: part.ref },
      { rule: 'anode-over-dissipation', subject: part.ref },
      { rule: 'screen-over-dissipation', subject: part.ref },
      { rule: 'fixed-bias-hot', subject: part.ref },
      { rule: 'cathode-over-current', subject: part.ref },
      { rule: 'resistor-over-dissipation', subject: part.ref },
      { rule: 'capacitance-low', subject: part.ref },
      ...contradictionsRound(view, part.ref),
      ...[...part.terminals.values()].flatMap((subject) => [
        { rule: 'wrong-point', subject },
        { rule: 'contradictory-readings', subject },
      ]),
      ...pairsOf(context, view, part.ref).map((subject) => ({ rule: 'mismatched-pair', subject })),
      // Rectifier and winding are charged with all that the valves are said to draw.
      ...(part.class === 'valve' ? [...view.roles.values()] : []).flatMap(({ ref: subject, role }) => [
        ...(role === 'rectifier' ? [{ rule: 'rectifier-over-current', subject }] : []),
        ...(role === 'mains-transformer' ? [{ rule: 'winding-overload', subject }] : []),
      ]),
    ],
  };
}

const PREFIXES = ['p', 'n', 'u', 'm', '', 'k', 'M'];

/** The author's own digits with the prefix moved; undefined where the spelling has no plain prefix to move. */
function rewriteUnit(written: string, times: number): string | undefined {
  const match = /^(.*?\d)(\s*)([pnumkKM]?)(A|F|R|Ω|ohms?|V)$/.exec(written.trim().replace(/[µμ]/g, 'u'));
  if (match === null || !Number.isFinite(times)) return undefined;
  const [, digits, gap, prefix, unit] = match;
  const at = PREFIXES.indexOf((prefix ?? '').replace('K', 'k'));
  const next = PREFIXES[at + Math.round(Math.log10(times) / 3)];
  return at < 0 || next === undefined ? undefined : `${digits}${gap}${next}${unit}`;
}
