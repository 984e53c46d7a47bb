/** Owns the rule check-out-missing: parts were changed, the amplifier went back, and nothing they affect was read as left. */
import type { BenchReading, FittedPart, PartChange, PhaseView, Role } from '../bench/model.ts';
import { compareNames, isSupplyRail } from '../bench/points.ts';
import { figuresIn } from './figure-of.ts';
import { linesToFillIn } from './new-lines.ts';
import { defineRule, type Report, type RuleContext } from './rule.ts';
import { isReturned, partOf, workDone } from './work-done.ts';

/** Classes whose change moves a voltage or a signal that can be read. */
const JUDGED: ReadonlySet<FittedPart['class']> = new Set([
  'resistor',
  'capacitor',
  'inductor',
  'transformer',
  'valve',
  'diode',
]);
const SUPPLY: ReadonlySet<Role> = new Set([
  'reservoir',
  'smoothing',
  'dropper',
  'choke',
  'rectifier',
  'mains-transformer',
  'bleeder',
]);
/** Roles that set what an output valve idles at. */
const BIAS: ReadonlySet<Role> = new Set([
  'cathode-resistor',
  'sense-resistor',
  'grid-leak',
  'coupling',
  'screen-resistor',
  'output-transformer',
]);
/** Anodes rated below this belong to valves that nobody biases by hand [W]. */
const OUTPUT_VALVE_WATTS = 5;

export const checkOutMissing = defineRule({
  id: 'check-out-missing',
  since: '0.1.0',
  category: 'record',
  severities: 'I, once a returned sheet',
  summary: 'Parts were changed and nothing that they affect was read as left.',
  why: 'A new part that is not metered afterwards is a hope. After anything in the output stage the idle current decides how long the valves last, and the next technician has nothing to compare with.',
  howToFix:
    'Read what the part affects and write it under As left: the rail for a supply part, anode and cathode for a stage, the output under signal for what only the signal passes, and cathode volts (or bias) of each output valve after any change to the output stage.',
  source: 'common practice, no source',
  options: {},
  bad: {
    sheet:
      '---\nreturned: 2026-03-06\n---\n# Job\n\n## As found\n\n- V5 = 6V6GT\n- R17 = 470R 5W, V5.k to gnd\n\n## Work\n\n- plug out, discharged: B+1: 3 V\n- V5 = 6V6GT -> 6V6GT\n\n## As left\n\n- B+1: 330 V\n',
    names: 'V5',
  },
  good: {
    sheet:
      '---\nreturned: 2026-03-06\n---\n# Job\n\n## As found\n\n- V5 = 6V6GT\n- R17 = 470R 5W, V5.k to gnd\n\n## Work\n\n- plug out, discharged: B+1: 3 V\n- V5 = 6V6GT -> 6V6GT\n\n## As left\n\n- V5: a 311, g2 301, k 19.2\n',
  },
  check(context) {
    const reports: Report[] = [];
    const missing = missingIn(context);
    const [first, ...others] = missing.values();
    if (first === undefined) return reports;
    const refs = [...missing.keys()].sort(compareNames);
    const wanted = [...new Set([...missing.values()].map((each) => each.wanted))];
    reports.push({
      severity: 'info',
      subject: first.change.ref,
      message: `${refs.join(', ')} ${refs.length === 1 ? 'was changed and nothing that it affects' : 'were changed and nothing that they affect'} is recorded as left. Read and write: ${wanted.join('; ')}.`,
      source: first.change.source,
      related: others.map(({ change, wanted: what }) => ({
        subject: change.ref,
        message: `changed too, unread: ${what}`,
        source: change.source,
      })),
    });
    return reports;
  },
  fix: (context) => {
    const lines = [...missingIn(context).values()].flatMap((each) => each.lines);
    return linesToFillIn(context.sheet, lines, 'Add what is to be read as lines to fill in');
  },
});

interface Unread {
  /** In words, for the message. */
  readonly wanted: string;
  /** As lines with question marks for the numbers; none where nobody can tell which points. */
  readonly lines: readonly string[];
}

/** By ref, each change of which nothing was read as left. */
function missingIn(context: RuleContext): ReadonlyMap<string, Unread & { readonly change: PartChange }> {
  const { amplifier, sheet } = context;
  const missing = new Map<string, Unread & { readonly change: PartChange }>();
  const last = amplifier.phases.findLast(({ phase }) => phase === 'as-left' || phase === 'work');
  if (!isReturned(sheet) || last === undefined) return missing;
  const readings = readAsLeft(context);
  for (const change of workDone(amplifier)) {
    const part = partOf(change, amplifier);
    if (part === undefined || !JUDGED.has(part.class) || missing.has(change.ref)) continue;
    const found = unread(part, last, readings);
    if (found !== undefined) missing.set(change.ref, { change, ...found });
  }
  return missing;
}

function readAsLeft({ amplifier, sheet }: RuleContext): readonly BenchReading[] {
  const left = amplifier.phases.find(({ phase }) => phase === 'as-left');
  return (left?.readings ?? []).filter(
    ({ source, nominal, set }) => source.file === sheet.uri && !nominal && !set.off,
  );
}

/** What ought to have been read after a change of the part; undefined where it was, or where nobody can tell. */
function unread(part: FittedPart, view: PhaseView, readings: readonly BenchReading[]): Unread | undefined {
  const role = view.roles.get(part.ref)?.role;
  const valves = valvesAround(part, view);
  if (part.class === 'valve' || (role !== undefined && BIAS.has(role))) {
    const unbiased = valves
      .filter((ref) => isOutputValve(ref, view))
      .filter((ref) => !isBiasRead(ref, view, readings));
    if (unbiased.length > 0)
      return {
        wanted: `the cathode volts, or the bias and idle current, of ${unbiased.join(', ')}`,
        lines: unbiased.map((ref) => `- ${ref}: a ?, g2 ?, k ?`),
      };
  }
  if (readings.some(({ at, to }) => at === part.ref || to === part.ref)) return undefined;
  const running = readings.filter(({ quantity }) => quantity !== 'resistance');
  if (role !== undefined && SUPPLY.has(role)) {
    const rails = [...part.terminals.values()].filter(isSupplyRail);
    if (running.some(({ node }) => node !== undefined && isSupplyRail(node))) return undefined;
    return rails.length === 0
      ? { wanted: 'the supply rails', lines: [] }
      : {
          wanted: `the volts and ripple of ${rails.join(', ')}`,
          lines: rails.flatMap((rail) => [`- ${rail}: ? V`, `- ${rail}: ? Vpp`]),
        };
  }
  const places = new Set([
    ...[...part.terminals.values()].filter(isTelling),
    ...valves.flatMap((ref) => [...(view.parts.get(ref)?.terminals.values() ?? [])].filter(isTelling)),
  ]);
  // Where nothing says what it is tied to, any reading may be the one.
  if (places.size === 0 && valves.length === 0)
    return running.length > 0
      ? undefined
      : { wanted: `the amplifier after ${part.ref} was changed`, lines: [] };
  const isRead = running.some(
    ({ at, node, quantity }) =>
      (node !== undefined && places.has(node)) ||
      valves.some((ref) => at === ref || at.startsWith(`${ref}.`)) ||
      // A signal that came through the whole amplifier came through this part.
      ((quantity === 'ac-voltage' || quantity === 'power') && isOutput(at)),
  );
  if (isRead) return undefined;
  return valves.length > 0
    ? {
        wanted: `anode and cathode volts of ${valves.join(', ')}`,
        lines: valves.map((ref) => `- ${ref}: a ?, k ?`),
      }
    : {
        wanted: `the volts at ${[...places].join(', ')}`,
        lines: [...places].map((place) => `- ${place}: ? V`),
      };
}

/** Neither ground nor a rail: a place that this part moves. */
function isTelling(node: string): boolean {
  return node !== 'gnd' && !isSupplyRail(node);
}

function isOutput(at: string): boolean {
  return /^(?:LS|T|TR|OT)\d/.test(at);
}

/** The valves that a part serves or is tied to; a valve is its own. */
function valvesAround(part: FittedPart, view: PhaseView): readonly string[] {
  const isValve = (ref: string): boolean => {
    const found = view.parts.get(ref);
    return found?.class === 'valve' && found.type?.valve?.kind !== 'rectifier';
  };
  if (part.class === 'valve') {
    const own = [...view.parts.values()].filter(({ ref, whole }) => ref === part.ref || whole === part.ref);
    return own.map(({ ref }) => ref).filter(isValve);
  }
  const tied = [...part.terminals.values()]
    .filter(isTelling)
    .flatMap((node) => view.circuit.attached(node).map(({ ref }) => ref));
  const serves = view.roles.get(part.ref)?.serves ?? [];
  return [...new Set([...serves, ...tied])].filter(isValve).sort(compareNames);
}

function isOutputValve(ref: string, view: PhaseView): boolean {
  return (view.parts.get(ref)?.type?.valve?.limits.anodeDissipation?.value ?? 0) >= OUTPUT_VALVE_WATTS;
}

function isBiasRead(ref: string, view: PhaseView, readings: readonly BenchReading[]): boolean {
  const places = ['k', 'g'].flatMap((electrode) => view.circuit.nodeOf(`${ref}.${electrode}`) ?? []);
  const names = [ref, `${ref}.a`, `${ref}.k`, `${ref}.g`];
  return (
    readings.some(
      ({ node, at, quantity }) =>
        (quantity === 'voltage' &&
          ((node !== undefined && places.includes(node)) || names.slice(2).includes(at))) ||
        (quantity === 'current' && names.includes(at)),
    ) ||
    (['cathode-current', 'anode-current'] as const).some((name) =>
      figuresIn(view, name, 'all').some(({ subject, set }) => subject === ref && set !== 0),
    )
  );
}
