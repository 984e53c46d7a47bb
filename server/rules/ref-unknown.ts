/** Owns the rule ref-unknown: a part that is spoken of and that neither this sheet nor its chassis sheet has. */
import type { PhaseView } from '../bench/model.ts';
import type { Point } from '../dialect/tree.ts';
import { isSameList } from '../sheet/keeping.ts';
import type { ChangeStatement, FittedStatement, Mention, Sheet, Statement } from '../sheet/model.ts';
import { refOf } from '../sheet/names.ts';
import { lookUpIn } from '../sheet/watching.ts';
import { createNearest } from '../text/nearest.ts';
import { createPicker, type Picker } from '../text/picking.ts';
import { defineRule, type Report, type RuleContext } from './rule.ts';

export const refUnknown = defineRule({
  id: 'ref-unknown',
  since: '0.1.0',
  category: 'writing',
  severities: 'W',
  summary: 'A part is named that the chassis sheet does not have.',
  why: 'A reading on a mistyped ref is a reading on a part that is not there: the figure it should have made is missing, and the next technician looks for it in vain.',
  howToFix:
    'Correct the ref; the nearest known one is offered. If the part is really there, declare it with `=`, here or on the chassis sheet.',
  source: 'the chassis sheet, or the sheet’s own declarations',
  options: {},
  bad: { sheet: '# Job\n\n## As found\n\n- C14 = 22n 400V, V3.a to V5.g\n\nSo {C41} leaks.\n', names: 'C41' },
  good: { sheet: '# Job\n\n## As found\n\n- C14 = 22n 400V, V3.a to V5.g\n\nSo {C14} leaks.\n' },
  check(context) {
    const reports: Report[] = [];
    const { sheet, amplifier } = context;
    const known = knownRefs(context);
    const unknown = lookUpIn(sheet, 'mentions of unknown parts', ({ mentions, note }) =>
      pickerOf(known)(mentions, note.thread),
    );
    if (unknown.length === 0) return reports;
    const nearest = nearestByLetters(known);
    const hasChassis = amplifier.chassis !== undefined;
    const letters = new Set(hasChassis ? [...known].map(lettersOf) : []);
    const said = new Set<string>();
    for (const { ref, span } of unknown) {
      if (ref === undefined || said.has(ref)) continue;
      const near = nearest(ref);
      // Without a chassis sheet a job need not declare what it reads: only a near miss that nothing else supports is said.
      if (!hasChassis && (near === undefined || isSupported(context, ref))) continue;
      // A chassis sheet that has no part of this kind at all is not complete enough to miss one.
      if (hasChassis && !letters.has(lettersOf(ref))) continue;
      said.add(ref);
      const where = hasChassis
        ? 'Neither this sheet nor its chassis sheet has'
        : 'Nothing on this sheet declares';
      reports.push({
        severity: 'warning',
        subject: ref,
        message: `${where} ${ref}.${near === undefined ? '' : ` The nearest known is ${near}.`} Correct the ref, or declare the part with =.`,
        source: { file: sheet.uri, span },
      });
    }
    return reports;
  },
  fix: (context, finding) => {
    const near = nearestByLetters(knownRefs(context))(finding.subject);
    const written = context.sheet.snapshot.text.slice(finding.source.span.start, finding.source.span.end);
    const rest = written.toUpperCase().startsWith(finding.subject)
      ? written.slice(finding.subject.length)
      : undefined;
    if (near === undefined || rest === undefined) return [];
    return [
      {
        title: `Write ${near}`,
        safety: 'suggestion',
        edits: [{ span: finding.source.span, text: near + rest }],
      },
    ];
  },
});

/** The nearest known ref of the same class letters: `V21` is no slip for `R21`. */
function nearestByLetters(known: ReadonlySet<string>): (ref: string) => string | undefined {
  const finders = new Map<string, (ref: string) => string | undefined>();
  return (ref) => {
    const letters = lettersOf(ref);
    const finder =
      finders.get(letters) ?? createNearest([...known].filter((each) => lettersOf(each) === letters));
    finders.set(letters, finder);
    return finder(ref);
  };
}

/** Everything that is fitted in some phase or declared by a statement, with the whole of each section. */
function knownRefs({ amplifier, sheet }: RuleContext): ReadonlySet<string> {
  const declared = lookUpIn(sheet, 'what is fitted', whatIsFitted);
  const parts = amplifier.phases.map((view) => view.parts);
  const before = knownBy.get(declared);
  if (before !== undefined && isSameList(before.parts, parts)) return before.known;
  const known = new Set<string>();
  for (const of of parts) {
    for (const { ref, whole } of of.values()) {
      known.add(ref);
      if (whole !== ref) known.add(whole);
    }
  }
  for (const { ref } of declared) known.add(ref.name).add(ref.whole);
  knownBy.set(declared, { parts, known });
  return known;
}

type Fits = FittedStatement | ChangeStatement;

/** By the statements that fit something, which stay while only readings change. */
const knownBy = new WeakMap<
  readonly Fits[],
  { readonly parts: readonly PhaseView['parts'][]; readonly known: ReadonlySet<string> }
>();

const pickFits = createPicker<Statement, Fits>((statement) =>
  statement.kind === 'fitted' || statement.kind === 'change' ? statement : undefined,
);

function whatIsFitted({ statements, note }: Sheet): readonly Fits[] {
  return pickFits(statements, note.thread);
}

const pickers = new WeakMap<ReadonlySet<string>, Picker<Mention, Mention>>();

/** Picks mentions, other than by the way, of parts that are not known. */
function pickerOf(known: ReadonlySet<string>): Picker<Mention, Mention> {
  const before = pickers.get(known);
  if (before !== undefined) return before;
  const picker = createPicker<Mention, Mention>((mention) => {
    const { ref, how } = mention;
    return ref === undefined || known.has(ref) || how === 'declaration' || how === 'prose'
      ? undefined
      : mention;
  });
  pickers.set(known, picker);
  return picker;
}

/** Whether a reading or a connection speaks of a ref: it is there, though nobody declared it. */
function isSupported({ sheet }: RuleContext, ref: string): boolean {
  return (
    setOf(lookUpIn(sheet, 'refs read', refsRead)).has(ref) ||
    setOf(lookUpIn(sheet, 'refs connected', refsConnected)).has(ref)
  );
}

const pickRead = createPicker<Mention, string>(({ how, ref }) => (how === 'reading' ? ref : undefined));

function refsRead({ mentions, note }: Sheet): readonly string[] {
  return pickRead(mentions, note.thread);
}

const pickConnected = createPicker<Statement, string>((statement) => {
  const points: (Point | undefined)[] = [];
  if (statement.kind === 'wire') points.push(statement.from, statement.to);
  if (statement.kind === 'fitted' || statement.kind === 'change')
    for (const connection of statement.connections) {
      if (connection.kind === 'ends') points.push(...connection.from, ...connection.to);
      if (connection.kind === 'terminal') points.push(connection.to);
      if (connection.kind === 'hangs') points.push(connection.on, connection.far);
    }
  const refs = points.flatMap((point) => (point && refOf(point)) ?? []);
  return refs.length === 0 ? undefined : refs.join(' ');
});

/** The refs of each statement in one word. */
function refsConnected({ statements, note }: Sheet): readonly string[] {
  return pickConnected(statements, note.thread);
}

const sets = new WeakMap<readonly string[], ReadonlySet<string>>();

function setOf(words: readonly string[]): ReadonlySet<string> {
  const known = sets.get(words);
  if (known !== undefined) return known;
  const set = new Set(words.flatMap((each) => each.split(' ')));
  sets.set(words, set);
  return set;
}

function lettersOf(ref: string): string {
  return ref.replace(/\d.*$/, '');
}
