/** Owns the JSON of `read`: everything as it was understood, with ranges. It is the conformance test of the dialect. */
import type { Connection, PartClass, Point, Ref, Specification } from '../dialect/tree.ts';
import type { Sheet, Statement } from '../sheet/model.ts';
import { nameOf } from '../sheet/names.ts';
import { rangeOf } from '../text/snapshot.ts';
import type { Span } from '../text/span.ts';
import type { WrittenValue } from '../units/value.ts';

type Json = Record<string, unknown>;

export function sheetJson(sheet: Sheet, file: string): Json {
  const range = (of: Span) => rangeOf(sheet.snapshot, of);
  return {
    file,
    kind: sheet.kind,
    title: sheet.title,
    frontMatter: Object.fromEntries(
      (sheet.frontMatter?.entries ?? []).map((entry) => [entry.key, entry.scalar ?? null]),
    ),
    sections: sheet.sections.map((each) => ({
      heading: each.heading,
      depth: each.depth,
      topic: each.topic,
      phase: each.phase,
      range: range(each.headingSpan),
    })),
    sets: sheet.sets.map((each) => ({
      set: each.id,
      phase: each.phase,
      conditions: each.conditions.map((condition) => condition.words),
      ...(each.mains === undefined ? {} : { mains: each.mains }),
      normal: each.normal,
      limited: each.limited,
      off: each.off,
    })),
    ...groupedStatements(sheet.statements, range),
    accepted: sheet.acceptances.map((each) => ({
      rule: each.rule,
      subjects: each.subjects,
      ...(each.reason === undefined ? {} : { reason: each.reason }),
      range: range(each.span),
    })),
    kept: sheet.keeps.map((each) => ({
      ref: each.ref.name,
      ...(each.reason === undefined ? {} : { reason: each.reason }),
      range: range(each.span),
    })),
    mentions: sheet.mentions.map((each) => ({ name: each.name, how: each.how, range: range(each.span) })),
    tasks: sheet.tasks.map((each) => ({ done: each.done, text: each.text, range: range(each.span) })),
    photos: sheet.photos.map((each) => ({
      alt: each.alt,
      url: each.url,
      refs: each.refs,
      phase: each.phase,
      range: range(each.span),
    })),
    problems: sheet.problems
      .filter(({ about }) => about === undefined)
      .map((each) => ({
        kind: each.kind,
        message: each.message,
        range: range(each.span),
      })),
  };
}

/** Where each kind of statement stands; each list in the order of the text. */
export const GROUPS: Readonly<Record<Statement['kind'], string>> = {
  fitted: 'parts',
  change: 'changes',
  reading: 'readings',
  state: 'states',
  wire: 'wires',
  question: 'questions',
  provenance: 'provenance',
  'mod-verdict': 'mods',
};

type RangeOf = (of: Span) => unknown;

function groupedStatements(statements: readonly Statement[], range: RangeOf): Json {
  const groups: Record<string, Json[]> = Object.fromEntries(Object.values(GROUPS).map((name) => [name, []]));
  const connections: Json[] = [];
  for (const statement of statements) {
    groups[GROUPS[statement.kind]]?.push(statementJson(statement, range));
    if (statement.kind !== 'fitted' && statement.kind !== 'change') continue;
    for (const connection of statement.connections) {
      connections.push({
        of: statement.ref.name,
        phase: statement.phase,
        ...(statement.planned ? { planned: true } : {}),
        ...connectionJson(connection, statement.ref.class),
        range: range(connection.span),
      });
    }
  }
  return { ...groups, connections };
}

function statementJson(statement: Statement, range: RangeOf): Json {
  const base = {
    phase: statement.phase,
    ...(statement.planned ? { planned: true } : {}),
    range: range(statement.span),
  };
  switch (statement.kind) {
    case 'fitted':
      return {
        ...base,
        ...refJson(statement.ref),
        ...(statement.series ? { series: true } : {}),
        ...(statement.specification === undefined
          ? {}
          : { is: specificationJson(statement.specification, range) }),
      };
    case 'change':
      return {
        ...base,
        ...refJson(statement.ref),
        ...(statement.series ? { series: true } : {}),
        ...(statement.was === undefined ? {} : { was: specificationJson(statement.was, range) }),
        ...(statement.is === undefined ? {} : { is: specificationJson(statement.is, range) }),
        ...(statement.work === undefined ? {} : { work: statement.work }),
      };
    case 'reading':
      return {
        ...base,
        at: nameOf(statement.at),
        ...(statement.to === undefined ? {} : { to: nameOf(statement.to) }),
        quantity: statement.quantity,
        values: statement.values.map((each) => valueJson(each, range)),
        ...(statement.frequency === undefined ? {} : { frequency: statement.frequency }),
        ...(statement.atVolts === undefined ? {} : { atVolts: statement.atVolts }),
        set: statement.set,
        ...(statement.nominal ? { nominal: true } : {}),
        ...(statement.conditions.length === 0
          ? {}
          : { conditions: statement.conditions.map((each) => each.words) }),
      };
    case 'state':
      return {
        ...base,
        subject: nameOf(statement.subject),
        state: statement.state,
        ...(statement.remark ? { remark: statement.remark } : {}),
      };
    case 'wire':
      return { ...base, from: nameOf(statement.from), to: nameOf(statement.to) };
    case 'question':
      return { ...base, expression: statement.expression, set: statement.set };
    case 'provenance':
      return {
        ...base,
        ...refJson(statement.ref),
        says: statement.says,
        ...(statement.was ? { was: statement.was.name } : {}),
      };
    case 'mod-verdict':
      return {
        ...base,
        mod: statement.mod,
        verdict: statement.verdict,
        ...(statement.why ? { why: statement.why } : {}),
      };
  }
}

function refJson(ref: Ref): Json {
  return { ref: ref.name, class: ref.class };
}

function specificationJson(of: Specification, range: RangeOf): Json {
  return {
    text: of.type?.text,
    values: of.values.map((each) => valueJson(each, range)),
    ratings: of.ratings.map((each) => ({
      of: each.of,
      text: each.text,
      value: valueJson(each.value, range),
    })),
    kinds: of.kinds.map((each) => each.text),
    ...(of.windings.length === 0
      ? {}
      : {
          windings: of.windings.map((each) => ({
            side: each.side,
            ...(each.volts === undefined ? {} : { volts: valueJson(each.volts, range) }),
            ...(each.centreTapped ? { centreTapped: true } : {}),
            ...(each.impedance === undefined ? {} : { impedance: valueJson(each.impedance, range) }),
            ...(each.current === undefined ? {} : { current: valueJson(each.current, range) }),
          })),
        }),
    ...(of.fuseSpeed === undefined ? {} : { speed: of.fuseSpeed.text }),
  };
}

function connectionJson(connection: Connection, partClass: PartClass): Json {
  const points = (list: readonly Point[]) => list.map(nameOf);
  switch (connection.kind) {
    case 'ends': {
      // Points of a winding said in one row are its ends; of any other part one end alone goes to ground.
      const isWinding = partClass.startsWith('transformer') && connection.from.length > 1;
      return {
        kind: 'ends',
        from: points(connection.from),
        to: connection.toWritten ? points(connection.to) : isWinding ? [] : ['gnd'],
      };
    }
    case 'across':
      return { kind: 'across', ref: connection.ref.name };
    case 'terminal':
      return { kind: 'terminal', terminal: connection.terminal.text, to: nameOf(connection.to) };
    case 'hangs':
      return {
        kind: 'hangs',
        electrode: connection.electrode.text,
        on: nameOf(connection.on),
        ...(connection.far === undefined ? {} : { far: nameOf(connection.far) }),
      };
  }
}

function valueJson(written: WrittenValue, range: RangeOf): Json {
  switch (written.kind) {
    case 'value': {
      const { quantity, sureness, low, high, wave, spelling, span } = written.value;
      const bounds =
        sureness === 'exact'
          ? {}
          : { ...(Number.isFinite(low) ? { low } : {}), ...(Number.isFinite(high) ? { high } : {}) };
      return {
        ...quantity,
        ...(sureness === 'exact' ? {} : { sureness }),
        ...bounds,
        ...(wave === undefined ? {} : { wave }),
        spelling,
        range: range(span),
      };
    }
    case 'ambiguous':
      return {
        ambiguous: written.meanings.map((each) => each.saying),
        spelling: written.spelling,
        range: range(written.span),
      };
    default:
      return { [written.kind]: true, spelling: written.spelling, range: range(written.span) };
  }
}
