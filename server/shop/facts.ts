/**
 * Owns a sheet as statements: one fact a line, part by part, in an order that does not hang on how the sheet is laid out. Two
 * texts of a sheet that say the same give the same lines, and what changed is the lines that changed.
 */
import type { BenchReading, Figure, FigureName, FittedPart, PartChange, PhaseView } from '../bench/model.ts';
import { compareNames, nameOfPoint } from '../bench/points.ts';
import { PHASE_WORDS, sayBand, sayFigure, sayQuantity } from '../bench/saying.ts';
import type { Point } from '../dialect/tree.ts';
import type { Phase, Sheet, Statement } from '../sheet/model.ts';
import { contains } from '../text/span.ts';
import { oneLine, sayConditions, sayFitted, sayPart, sayReading } from './fact-words.ts';
import type { Analysis } from './shop.ts';

export type FactKind =
  | 'head'
  | 'part'
  | 'work'
  | 'wanted'
  | 'state'
  | 'reading'
  | 'figure'
  | 'finding'
  | 'said'
  | 'text';

export interface Fact {
  readonly kind: FactKind;
  /** What it is about: `R19`, `V3.k`; of a head its key. */
  readonly subject: string;
  /** Which of a subject's facts it is, with its phase: two texts' facts of one key are the same thing said anew. */
  readonly key: string;
  /** What comes before the value: `as left  V3.k:`. */
  readonly lead: string;
  readonly value: string;
  readonly figure?: FigureName;
}

/** One line, without its ending. */
export function sayFact({ lead, value }: Fact): string {
  return [lead, value].filter((each) => each !== '').join(' ');
}

/** All that a sheet says, in its own right: what it takes from its chassis sheet is said there. */
export function factsOf(analysis: Analysis): readonly Fact[] {
  const { sheet, amplifier } = analysis;
  const own = amplifier.phases.filter(({ phase }) => phase !== 'factory' || sheet.kind !== 'job');
  return [
    ...headFacts(sheet),
    ...own.flatMap((view) => phaseFacts(view, analysis)),
    ...saidFacts(sheet),
    ...plannedFacts(amplifier.changes),
    ...findingFacts(analysis),
    ...textFacts(sheet),
  ];
}

function headFacts(sheet: Sheet): readonly Fact[] {
  const entries = (sheet.frontMatter?.entries ?? []).map(({ key, scalar, valueSpan }) => ({
    key,
    value: oneLine(scalar ?? sheet.snapshot.text.slice(valueSpan.start, valueSpan.end)),
  }));
  return entries.map(({ key, value }) => ({
    kind: 'head',
    subject: key,
    key: `head ${key}`,
    lead: `${key}:`,
    value,
  }));
}

/** Parts and places in natural order; of each what is fitted, what was seen and read of it, and what follows. */
function phaseFacts(view: PhaseView, { sheet, amplifier }: Analysis): readonly Fact[] {
  const { phase } = view;
  const changes = amplifier.changes.filter((change) => !change.planned && phaseOf(change, sheet) === phase);
  const done = new Set(changes.map(({ ref }) => ref));
  const facts = [
    ...[...view.parts.values()].flatMap((part) =>
      part.source.file === sheet.uri && part.since === phase && !done.has(part.ref)
        ? partFact(part, view)
        : [],
    ),
    ...changes.flatMap((change) => changeFact(change, view)),
    ...amplifier.states
      .filter((state) => state.phase === phase && state.source.file === sheet.uri)
      .map(({ subject, state }) => fact('state', phase, subject, state, subject, state)),
    ...readingFacts(new Set([...view.readings, ...view.nominals]), view, sheet),
    ...figureFacts(view, sheet),
    ...view.unanswered
      .filter(({ source }) => source.file === sheet.uri)
      .map(({ subject, reason }) =>
        fact('said', phase, subject, 'answer', `${oneLine(subject)} answer`, `none: ${reason}`),
      ),
  ];
  return [...new Map(facts.map((each) => [each.key, each])).values()].sort(
    (a, b) =>
      compareNames(placeOf(a.subject), placeOf(b.subject)) ||
      ORDER.indexOf(a.kind) - ORDER.indexOf(b.kind) ||
      compareNames(a.subject, b.subject),
  );
}

const ORDER: readonly FactKind[] = ['part', 'work', 'state', 'reading', 'figure', 'said'];

/** `V3.k` belongs to V3. */
function placeOf(subject: string): string {
  return /^[A-Z]+\d+[A-Z]?\./.test(subject) ? (subject.split('.')[0] ?? subject) : subject;
}

const WHEN: Readonly<Record<Phase, string>> = { ...PHASE_WORDS, factory: 'as drawn', work: 'work' };

function fact(
  kind: FactKind,
  phase: Phase,
  subject: string,
  which: string,
  name: string,
  value: string,
  figure?: FigureName,
): Fact {
  return {
    kind,
    subject,
    key: `${phase} ${kind} ${subject} ${which}`,
    lead: `${WHEN[phase]}  ${name}`,
    value,
    ...(figure && { figure }),
  };
}

function partFact(part: FittedPart, view: PhaseView): Fact {
  return fact('part', view.phase, part.ref, '', `${part.ref} =`, sayPart(part, view));
}

/** The phase that a change belongs to: one that is written among the findings was made after them. */
function phaseOf({ source }: PartChange, sheet: Sheet): Phase | undefined {
  if (source.file !== sheet.uri) return undefined;
  const statement = sheet.statements.find(
    ({ kind, span }) => span.start === source.span.start && (kind === 'change' || kind === 'fitted'),
  );
  return statement?.phase === 'as-found' ? 'work' : statement?.phase;
}

/** What was done: `C9 22 nF 630 V paper → 22 nF 630 V film`, `R31 resoldered`. */
function changeFact({ ref, was, is, work }: PartChange, view: PhaseView): Fact {
  const said =
    work ??
    [was === undefined ? 'none' : sayFitted(was), is === undefined ? 'removed' : sayPart(is, view)].join(
      '\u00a0→\u00a0',
    );
  return fact('work', view.phase, ref, '', ref, said);
}

type Say = (subject: string, which: string, lead: string, value: string) => Fact;

/** What no part, reading or figure shows: who looked, what a part was called, places tied together, mods, and words beside a tag. */
function saidFacts(sheet: Sheet): readonly Fact[] {
  const said: Say = (subject, which, lead, value) => ({
    kind: 'said',
    subject,
    key: `said ${subject} ${which}`,
    lead,
    value: oneLine(value),
  });
  const facts = sheet.statements.flatMap((statement): readonly Fact[] => {
    const when = WHEN[statement.phase];
    switch (statement.kind) {
      case 'provenance': {
        const { ref, says, was } = statement;
        return says === 'was'
          ? [said(ref.name, 'was', `${ref.name}:`, `was ${was?.name ?? ''}`)]
          : [said(ref.name, 'seen', `${ref.name}:`, says.replace('-', ' '))];
      }
      case 'wire': {
        const [one, other] = [nameAt(statement.from), nameAt(statement.to)];
        return [said(one, `tied ${other}`, `${when}  ${one} =`, other)];
      }
      case 'mod-verdict': {
        const { mod, verdict, why } = statement;
        return [
          said(`mod ${mod}`, '', `mod ${oneLine(mod)}:`, why === undefined ? verdict : `${verdict}, ${why}`),
        ];
      }
      default:
        return [];
    }
  });
  return [...facts, ...remarkFacts(sheet, said)].sort((a, b) => compareNames(a.subject, b.subject));
}

/** What the writer said behind a line that was read, once, however many statements the line makes. */
function remarkFacts({ note, statements, snapshot }: Sheet, said: Say): readonly Fact[] {
  const counts = new Map<string, number>();
  return note.blocks.flatMap((block) => {
    if (block.kind === 'opaque' || block.kind === 'table') return [];
    return block.tags.flatMap(({ span, remark }): readonly Fact[] => {
      const first = statements.find((each) => contains(span, each.span));
      if (remark === undefined || first === undefined) return [];
      const subject = subjectOf(first);
      const lead = `${WHEN[first.phase]}  ${subject} remark:`;
      const again = counts.get(lead) ?? 0;
      counts.set(lead, again + 1);
      const words = snapshot.text.slice(remark.span.start, remark.span.end);
      return [said(subject, `remark ${first.phase} ${again}`, lead, words)];
    });
  });
}

function subjectOf(statement: Statement): string {
  switch (statement.kind) {
    case 'reading':
      return nameAt(statement.at);
    case 'state':
      return nameAt(statement.subject);
    case 'wire':
      return nameAt(statement.from);
    case 'question':
      return `? ${oneLine(statement.expression)}`;
    case 'mod-verdict':
      return `mod ${statement.mod}`;
    default:
      return statement.ref.name;
  }
}

function nameAt(point: Point): string {
  return nameOfPoint(point, () => undefined).name;
}

function plannedFacts(changes: readonly PartChange[]): readonly Fact[] {
  return changes
    .filter(({ planned }) => planned)
    .map(({ ref, is, work }) => ({
      kind: 'wanted' as const,
      subject: ref,
      key: `wanted ${ref}`,
      lead: `wanted  ${ref}`,
      value: work ?? (is === undefined ? '' : sayFitted(is)),
    }))
    .sort((a, b) => compareNames(a.subject, b.subject));
}

function readingFacts(
  readings: ReadonlySet<BenchReading>,
  { phase, verdictSet }: PhaseView,
  sheet: Sheet,
): readonly Fact[] {
  const counts = new Map<string, number>();
  return [...readings]
    .filter((reading) => reading.source.file === sheet.uri)
    .map((reading) => {
      const { at, to, quantity, nominal, set, conditions } = reading;
      const subject = at;
      // The conditions of normal running stand in the text once; those of other readings make them what they are.
      const isUsual = set.id === verdictSet?.id && conditions.length === 0;
      const under = isUsual ? '' : sayConditions([...set.conditions, ...conditions]);
      const isReference = nominal && phase !== 'factory';
      const which = [to ?? '', quantity, isReference ? 'nominal' : '', under].join(' ');
      const again = counts.get(`${subject} ${which}`) ?? 0;
      counts.set(`${subject} ${which}`, again + 1);
      const name = `${to === undefined ? at : `${at} to ${to}`}${isReference ? ' should be' : ':'}`;
      return fact('reading', phase, subject, `${which} ${again}`, name, sayReading(reading, under));
    });
}

/** A figure's share of its limit is told beside it. */
const SHARES: Partial<Record<FigureName, FigureName>> = {
  'anode-dissipation': 'anode-loading',
  'screen-dissipation': 'screen-loading',
  dissipation: 'loading',
};
const BESIDE: ReadonlySet<FigureName> = new Set(Object.values(SHARES));

/** What the sheet's own readings and parts give. What an average valve would give is told by `figures`. */
function figureFacts({ phase, figures }: PhaseView, sheet: Sheet): readonly Fact[] {
  const own = figures.filter(({ source, basis }) => source.file === sheet.uri && basis !== 'expected');
  const shareOf = ({ subject, set, figure }: Figure) =>
    own.find((each) => each.subject === subject && each.set === set && each.figure === SHARES[figure]);
  const counts = new Map<string, number>();
  return own.flatMap((figure) => {
    const { subject } = figure;
    if (BESIDE.has(figure.figure)) return [];
    const again = counts.get(`${subject} ${figure.figure}`) ?? 0;
    counts.set(`${subject} ${figure.figure}`, again + 1);
    const share = shareOf(figure);
    const limit = share?.limit ?? figure.limit;
    const told = `${sayBand(figure)}${
      share === undefined
        ? ''
        : ` (${sayFigure(share)}${limit === undefined ? '' : ` of ${sayQuantity(limit.quantity)}`})`
    }`;
    const name = `${subject} ${figure.figure.replace(/-db$/, '').replaceAll('-', ' ')}`;
    return [fact('figure', phase, subject, `${figure.figure} ${again}`, name, told, figure.figure)];
  });
}

/** What the rules say, by name: their words have lines and numbers in them that move with every edit. */
function findingFacts({ findings }: Analysis): readonly Fact[] {
  const told = findings
    .filter(({ severity }) => severity !== 'hint')
    .map(({ rule, subject, severity, phase, accepted }): Fact => {
      const when = phase === undefined ? '' : `${WHEN[phase]} `;
      return {
        kind: 'finding',
        subject,
        key: `finding ${rule} ${subject} ${when}`,
        lead: `finding  ${when}${oneLine(subject)} ${rule}:`,
        value: accepted === undefined ? severity : `accepted, ${oneLine(accepted)}`,
      };
    });
  return [...new Map(told.map((each) => [each.key, each])).values()].sort((a, b) =>
    a.key < b.key ? -1 : a.key > b.key ? 1 : 0,
  );
}

/**
 * What stands in the sheet besides: headings, prose, remarks, in their order. Where a statement stands there is only an
 * ellipsis, so that a value that is told above is not told again, and nothing that was written is hidden.
 */
function textFacts(sheet: Sheet): readonly Fact[] {
  const { text } = sheet.snapshot;
  const spans = [...sheet.statements.map(({ span }) => span)].sort(
    (a, b) => a.start - b.start || b.end - a.end,
  );
  const start = sheet.frontMatter?.span.end ?? 0;
  let rest = '';
  let at = start;
  for (const span of spans) {
    if (span.start < at) continue;
    rest += `${text.slice(at, span.start)}${text.slice(span.start, span.end).includes('\n') ? '…\n' : '…'}`;
    at = span.end;
  }
  rest += text.slice(at);
  const counts = new Map<string, number>();
  return rest.split(/\r\n|\r|\n/).flatMap((line) => {
    const said = oneLine(line);
    // Marks of lists, tables and rules alone say nothing.
    if (!/[\p{L}\p{N}]/u.test(said)) return [];
    const again = counts.get(said) ?? 0;
    counts.set(said, again + 1);
    return [
      { kind: 'text', subject: said, key: `text ${said} ${again}`, lead: 'text ', value: said } as const,
    ];
  });
}
