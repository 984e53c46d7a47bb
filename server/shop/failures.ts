/**
 * Owns what failed on one job, as plain facts: parts that a reading, a finding or a state of the sheet shows to be bad, parts
 * that were only replaced like for like, and replacements that say themselves that nothing was wrong. One job by itself; what
 * many jobs make of it together is `repeats.ts`.
 */
import type { BenchReading, FittedPart, PhaseView } from '../bench/model.ts';
import { compareNames } from '../bench/points.ts';
import type { State } from '../dialect/tree.ts';
import type { Finding } from '../rules/rule.ts';
import { wordsBeside } from '../rules/said-beside.ts';
import { namesIn } from '../rules/subject.ts';
import { type Range, rangeOf } from '../text/snapshot.ts';
import type { Span } from '../text/span.ts';
import { sayMarked } from './compare-words.ts';
import {
  asFoundOf,
  DIMENSIONS,
  type Dimension,
  type ExposedPart,
  exposedParts,
  type Groups,
} from './exposure.ts';
import { type OtherReason, type Replacement, replacementsIn } from './replacements.ts';
import type { Analysis } from './shop.ts';
import type { ShopLanguage } from './shop-words.ts';
import { symptomWords } from './symptoms.ts';
import { type Visit, visitOf } from './visits.ts';

/** One reason to hold a part for failed. */
export interface Evidence {
  readonly kind: 'finding' | 'state' | 'reading' | 'replaced';
  /** Of a finding. */
  readonly rule?: string;
  /** `C11 measures 6.8 µF: 14.5 % of its marking 47 µF`. */
  readonly says: string;
  /** In the job sheet. */
  readonly range: Range;
}

export interface Failure {
  readonly ref: string;
  /** `47 µF 500 V electrolytic`. */
  readonly marked: string;
  readonly role?: string;
  readonly groups: Groups;
  /** `evidence` where the sheet shows that it was bad; `replaced` where it only went out like for like. */
  readonly by: 'evidence' | 'replaced';
  readonly evidence: readonly Evidence[];
  /** What went in: `47 µF 550 V electrolytic`. */
  readonly replacedBy?: string;
}

/** A replacement that counts as no failure, and why. */
export interface NotCounted {
  readonly ref: string;
  readonly why: OtherReason;
  readonly says: string;
  readonly range: Range;
}

/** What one job says about failing: small, and plain data. */
export interface JobFacts {
  readonly visit: Visit;
  readonly failures: readonly Failure[];
  readonly notCounted: readonly NotCounted[];
  /** The groups that its amplifier has a part in, each once. */
  readonly exposed: Readonly<Record<Dimension, readonly string[]>>;
  /** Roles of the parts that failed, or that a warning of as found speaks of. */
  readonly affected: readonly string[];
  readonly symptoms: readonly string[];
  /** What the owner was told, white space collapsed. */
  readonly told?: string;
}

/** The facts of a job sheet; undefined of any other sheet. `path` is how the sheet is shown. */
export function failuresOf(analysis: Analysis, path: string, language: ShopLanguage): JobFacts | undefined {
  const visit = visitOf(analysis, path, language);
  if (visit === undefined) return undefined;
  const parts = exposedParts(analysis, visit, language);
  const said = evidenceIn(analysis, parts, language);
  const failures: Failure[] = [];
  const notCounted: NotCounted[] = [];
  const replaced = new Map(
    replacementsIn(analysis, (ref) => said.has(ref), language).map((each) => [each.ref, each]),
  );
  for (const ref of new Set([...said.keys(), ...replaced.keys()])) {
    const own = said.get(ref) ?? [];
    // A can goes as a whole: where a section of it is shown to be bad, that is what failed.
    if (own.length === 0 && [...said.keys()].some((each) => wholeOf(each, parts) === ref)) continue;
    const replacement = replaced.get(ref) ?? replaced.get(wholeOf(ref, parts) ?? '');
    const { sheet } = analysis;
    if (own.length === 0 && replacement !== undefined && replacement.why !== 'like-for-like') {
      const { why, says, source } = replacement;
      notCounted.push({ ref, why, says, range: rangeOf(sheet.snapshot, source.span) });
      continue;
    }
    const exposed = parts.get(ref);
    const part = exposed?.part ?? replacement?.was;
    if (part === undefined) continue;
    failures.push({
      ref,
      marked: sayMarked(part, language),
      ...(exposed?.role !== undefined && { role: exposed.role }),
      groups: exposed?.groups ?? {},
      by: own.length > 0 ? 'evidence' : 'replaced',
      evidence:
        own.length > 0 || replacement === undefined
          ? own
          : [replacedEvidence(replacement, analysis, language)],
      ...(replacement !== undefined && { replacedBy: sayMarked(replacement.is, language) }),
    });
  }
  const told = ownerText(analysis);
  return {
    visit,
    failures: failures.sort((a, b) => compareNames(a.ref, b.ref)),
    notCounted: notCounted.sort((a, b) => compareNames(a.ref, b.ref)),
    exposed: exposedGroups(parts),
    affected: affectedRoles(analysis, parts, failures),
    symptoms: symptomWords(analysis.sheet),
    ...(told !== undefined && { told }),
  };
}

/** The can that a capacitor is a section of. */
function wholeOf(ref: string, parts: ReadonlyMap<string, ExposedPart>): string | undefined {
  const part = parts.get(ref)?.part;
  return part?.class === 'capacitor' && part.section !== undefined ? part.whole : undefined;
}

function exposedGroups(parts: ReadonlyMap<string, ExposedPart>): JobFacts['exposed'] {
  const groups: Record<Dimension, Set<string>> = {
    part: new Set(),
    place: new Set(),
    role: new Set(),
    kind: new Set(),
    margin: new Set(),
    age: new Set(),
    valve: new Set(),
  };
  for (const { groups: own } of parts.values())
    for (const dimension of DIMENSIONS) {
      const group = own[dimension];
      if (group !== undefined) groups[dimension].add(group);
    }
  const list = (dimension: Dimension) => [...groups[dimension]];
  return {
    part: list('part'),
    place: list('place'),
    role: list('role'),
    kind: list('kind'),
    margin: list('margin'),
    age: list('age'),
    valve: list('valve'),
  };
}

/** Rules whose subject is the part that is bad, once they are sure enough to warn. */
const PART_RULES: ReadonlySet<string> = new Set([
  'capacitance-low',
  'coil-open',
  'esr-high',
  'excess-ripple',
  'gassy-valve',
  'halves-unequal',
  'insulation-low',
  'leaky-coupling',
  'resistor-open',
  'screen-open',
  'value-out-of-tolerance',
]);

/** States of a part that is bad. A valve that glows may be driven to it by another part; a lifted leg may have been lifted to measure. */
const BAD_STATES: ReadonlySet<State> = new Set<State>([
  'charred',
  'cracked',
  'dry joint',
  'leaking',
  'noisy',
  'scratchy',
  'microphonic',
  'gassy',
]);

type Said = ReadonlyMap<string, readonly Evidence[]>;

function evidenceIn(
  analysis: Analysis,
  parts: ReadonlyMap<string, ExposedPart>,
  { says, foreign }: ShopLanguage,
): Said {
  const { failures: w } = says;
  const { sheet, amplifier, findings } = analysis;
  const said = new Map<string, Evidence[]>();
  const add = (name: string, evidence: Omit<Evidence, 'range'>, span: Span): void => {
    const ref = partNamed(name, parts);
    if (ref === undefined) return;
    const own = said.get(ref) ?? [];
    own.push({ ...evidence, range: rangeOf(sheet.snapshot, span) });
    said.set(ref, own);
  };
  for (const finding of findings) {
    if (finding.source.file !== sheet.uri || !isSure(finding)) continue;
    for (const name of blamedBy(finding, analysis, parts))
      add(
        name,
        { kind: 'finding', rule: finding.rule, says: foreign(firstSentence(finding.message)) },
        finding.source.span,
      );
  }
  for (const { subject, state, phase, source } of amplifier.states) {
    if (!BAD_STATES.has(state) || source.file !== sheet.uri || phase === 'as-left' || phase === 'factory')
      continue;
    add(subject, { kind: 'state', says: `${subject} ${w.states[state]}` }, source.span);
  }
  for (const [ref, { part }] of parts) {
    if (said.get(ref)?.some(({ kind }) => kind === 'finding')) continue;
    for (const reading of deadReadings(part, asFoundOf(analysis)))
      if (reading.source.file === sheet.uri)
        add(
          ref,
          {
            kind: 'reading',
            says: w.reads(ref, reading.special === undefined ? '' : w.specials[reading.special]),
          },
          reading.source.span,
        );
  }
  return said;
}

/** A warning, or what was one until the work cleared it; nobody said that it may stay. */
function isSure({ severity, cleared, accepted }: Finding): boolean {
  return accepted === undefined && (cleared !== undefined || severity === 'error' || severity === 'warning');
}

function blamedBy(
  { rule, subject }: Finding,
  { amplifier }: Analysis,
  parts: ReadonlyMap<string, ExposedPart>,
): readonly string[] {
  if (PART_RULES.has(rule)) return namesIn(subject);
  if (rule === 'mismatched-pair') return unlikeValves(namesIn(subject), amplifier);
  if (rule !== 'half-wave-ripple') return [];
  // It names the supply; half a supply is a rectifier or a winding, and what was replaced says which.
  const suspects = [...parts].filter(([, each]) => isRectifier(each)).map(([ref]) => ref);
  const changed = amplifier.changes.flatMap(({ ref, planned, work }) =>
    planned || work === 'same' || !suspects.includes(ref) ? [] : ref,
  );
  return changed.length > 0 ? changed : suspects.length === 1 ? suspects : [];
}

/**
 * A pair that was renewed had run apart by itself. Where the two were swapped and read again, the low one is the worn one if it
 * stayed low in the other socket, and neither is if the socket made the difference; without that it may be either.
 */
function unlikeValves(pair: readonly string[], amplifier: Analysis['amplifier']): readonly string[] {
  const isRenewed = (ref: string) =>
    amplifier.changes.some((change) => !change.planned && change.work === undefined && change.ref === ref);
  const [one, other] = pair;
  const view = amplifier.phases.find(({ phase }) => phase === 'as-found');
  if (one === undefined || other === undefined || pair.length !== 2 || view === undefined) return [];
  if (!pair.some(isRenewed)) return [];
  const cathode = (ref: string, isWanted: (reading: BenchReading) => boolean) =>
    view.readings.findLast(
      (reading) =>
        reading.at === `${ref}.k` &&
        reading.quantity === 'voltage' &&
        reading.to === undefined &&
        isWanted(reading),
    )?.value.quantity.value;
  const isSwapped = ({ set, conditions }: BenchReading) =>
    [...set.conditions, ...conditions].some(
      ({ kind, refs }) => kind === 'swapped' && pair.every((ref) => refs.some(({ name }) => name === ref)),
    );
  const inPlace = ({ set, normal }: BenchReading) => normal && set.id === view.verdictSet?.id;
  const [before, after] = [inPlace, isSwapped].map((isWanted) => {
    const [first, second] = [cathode(one, isWanted), cathode(other, isWanted)];
    return first === undefined || second === undefined ? undefined : first - second;
  });
  if (before === undefined || after === undefined) return pair.filter(isRenewed);
  if (before * after >= 0) return [];
  return [before < 0 ? one : other];
}

function isRectifier({ part: { class: of, type }, isRectifying }: ExposedPart): boolean {
  return type?.valve?.kind === 'rectifier' || (isRectifying && (of === 'valve' || of === 'diode'));
}

/** The part that a subject names: `V4` of `V4.g`, `V1` of `V1A` and of `V1 pins 6 7 8`. */
function partNamed(name: string, parts: ReadonlyMap<string, ExposedPart>): string | undefined {
  const ref = /^[^. ]+/.exec(name)?.[0] ?? name;
  if (parts.has(ref)) return ref;
  const whole = /^([A-Z]+\d+)[A-Z]$/.exec(ref)?.[1];
  return whole !== undefined && parts.has(whole) ? whole : undefined;
}

/** Readings of the part itself that no good one gives: open where something should pass, a short where nothing should. */
function deadReadings(part: FittedPart, view: PhaseView | undefined): readonly BenchReading[] {
  return part.measured.filter(({ special, phase, quantity, set, conditions }) => {
    if (special === undefined || view === undefined || phase !== view.phase) return false;
    if ([...set.conditions, ...conditions].some(({ kind }) => kind === 'in-circuit')) return false;
    if (special === 'open')
      return quantity === 'capacitance' || (quantity === 'resistance' && !BLOCKING.has(part.class));
    return BLOCKING.has(part.class);
  });
}

/** Parts that hold direct volts off: open is how they should read. */
const BLOCKING: ReadonlySet<FittedPart['class']> = new Set([
  'capacitor',
  'diode',
  'valve',
  'transistor',
  'switch',
  'connector',
  'test-point',
  'relay',
  'other',
]);

/** Without the moment that it begins with, and without what to do about it. */
function firstSentence(message: string): string {
  const first = /^(.*?[^.])\.(?:\s|$)/.exec(message)?.[1] ?? message;
  const said = first.replace(/^(?:As found|As left|Noted|During the work), /, '');
  return said.charAt(0).toUpperCase() + said.slice(1);
}

function replacedEvidence(
  { ref, was, is, source }: Replacement,
  { sheet }: Analysis,
  language: ShopLanguage,
): Evidence {
  const { failures: w } = language.says;
  const words = wordsBeside(sheet, source.span).replace(/[{}]/g, '');
  return {
    kind: 'replaced',
    says: `${w.replaced(ref, sayMarked(was, language), sayMarked(is, language))}; ${words === '' ? w.noReason : w.beside(words)}`,
    range: rangeOf(sheet.snapshot, source.span),
  };
}

function affectedRoles(
  { findings, sheet }: Analysis,
  parts: ReadonlyMap<string, ExposedPart>,
  failures: readonly Failure[],
): readonly string[] {
  const roles = new Set(failures.flatMap(({ role }) => role ?? []));
  for (const finding of findings) {
    if (
      finding.file !== sheet.uri ||
      (finding.phase !== 'as-found' && finding.stoodBefore === undefined) ||
      !isSure(finding)
    )
      continue;
    for (const name of namesIn(finding.subject)) {
      const role = parts.get(partNamed(name, parts) ?? '')?.role;
      if (role !== undefined) roles.add(role);
    }
  }
  return [...roles];
}

const MOST_TOLD = 400;

function ownerText({ sheet }: Analysis): string | undefined {
  const said = sheet.sections
    .filter(({ topic }) => topic === 'owner')
    .map(({ bodySpan }) => sheet.snapshot.text.slice(bodySpan.start, bodySpan.end))
    .join(' ')
    .replace(/[{}]/g, '')
    .replace(/\s+/g, ' ')
    .trim();
  if (said === '') return undefined;
  return said.length <= MOST_TOLD ? said : `${said.slice(0, said.lastIndexOf(' ', MOST_TOLD))} …`;
}
