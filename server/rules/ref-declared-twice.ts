/** Owns the rule ref-declared-twice: two lines of one sheet declare the same part, so one of them is probably another part. */
import { statementsInForce } from '../bench/renumbering.ts';
import type { FittedStatement, Phase, Sheet, Statement } from '../sheet/model.ts';
import { lookUpIn } from '../sheet/watching.ts';
import { createPicker } from '../text/picking.ts';
import { lineAt } from '../text/snapshot.ts';
import type { Span } from '../text/span.ts';
import { defineRule, type Report } from './rule.ts';

export const refDeclaredTwice = defineRule({
  id: 'ref-declared-twice',
  since: '0.1.0',
  category: 'writing',
  severities: 'W',
  summary: 'One part is declared by two lines.',
  why: 'A line that was copied and given a new value or new connections but the old number declares a part that is there already, and the part that it was meant for is missing. Both lines’ connections are then taken to be this one’s.',
  howToFix:
    'Give the second its own number, or delete it. A line that only adds to a part (its rating, what it is across) is no second declaration; a change is written `was -> is` under Work.',
  source: 'grammar/dialect.md',
  options: {},
  bad: {
    sheet:
      '---\nsheet: chassis\n---\n# Rowan 8\n\n- R15 = 82k 1W, V2A.a to B+3\n- R15 = 82k 1W, V2B.a to B+3\n',
    names: 'R15',
  },
  good: {
    sheet:
      '---\nsheet: chassis\n---\n# Rowan 8\n\n- R15 = 82k 1W, V2A.a to B+3\n- R16 = 82k 1W, V2B.a to B+3\n- R16 = 5%\n',
  },
  check(context) {
    const reports: Report[] = [];
    const { sheet, amplifier } = context;
    if (sheet.kind !== 'job' && sheet.kind !== 'chassis') return reports;
    const all = lookUpIn(sheet, 'declarations', declarationsIn);
    const repeated = namesTwiceIn(all);
    if (repeated.size === 0) return reports;
    // A tag's statements have its span, the very same one: a type that stands before readings only recalls the part.
    const read = new Set(lookUpIn(sheet, 'spans of readings', spansOfReadings));
    const first = new Map<string, FittedStatement>();
    for (const statement of all) {
      if (!repeated.has(statement.ref.name) || read.has(statement.span)) continue;
      const { ref } = statement;
      const key = `${ref.name} ${statement.phase}`;
      const before = first.get(key);
      if (before === undefined) {
        first.set(key, statement);
        continue;
      }
      if (!isRepeated(before, statement)) continue;
      // Two different values are the matter of two-values.
      if (amplifier.repeats.some((each) => each.ref === ref.name)) continue;
      reports.push({
        severity: 'warning',
        subject: ref.name,
        phase: phaseIn(sheet.kind, statement.phase),
        message: `${ref.name} is declared here and on line ${lineAt(sheet.snapshot, before.span.start) + 1}. Give this one its own number if it is another part, or delete one of the lines.`,
        source: { file: sheet.uri, span: ref.span },
        related: [
          {
            subject: ref.name,
            message: 'declared here first.',
            source: { file: sheet.uri, span: before.ref.span },
          },
        ],
      });
    }
    return reports;
  },
});

function phaseIn(kind: 'job' | 'chassis', phase: Phase): Phase {
  return kind === 'chassis' ? 'factory' : phase;
}

/** Statements that say what a part is. */
function declarationsIn(sheet: Sheet): readonly FittedStatement[] {
  return pickDeclarations(statementsInForce(sheet), sheet.note.thread);
}

function namesTwiceIn(statements: readonly FittedStatement[]): ReadonlySet<string> {
  const once = new Set<string>();
  const twice = new Set<string>();
  for (const { ref } of statements) (once.has(ref.name) ? twice : once).add(ref.name);
  return twice;
}

function spansOfReadings({ statements, note }: Sheet): readonly Span[] {
  return pickRead(statements, note.thread);
}

const pickRead = createPicker<Statement, Span>(({ kind, span }) => (kind === 'reading' ? span : undefined));

const pickDeclarations = createPicker<Statement, FittedStatement>((statement) => {
  if (statement.kind !== 'fitted' || statement.planned || statement.series) return undefined;
  const { specification } = statement;
  const says =
    specification !== undefined &&
    (specification.values.length > 0 ||
      specification.type !== undefined ||
      specification.windings.length > 0);
  // In the work and as left, what is fitted is a change, and there may be several.
  const isState = statement.phase === 'factory' || statement.phase === 'as-found';
  return says && isState ? statement : undefined;
});

/** A second line is another declaration where both say the ends, or neither does and it is no valve's type said again. */
function isRepeated(one: FittedStatement, other: FittedStatement): boolean {
  const [connected, again] = [one.connections.length > 0, other.connections.length > 0];
  if (connected !== again) return false;
  return connected || one.ref.class !== 'valve';
}
