/**
 * Owns how tests show what a sheet was understood to say, one line a statement, as a technician would check it:
 *
 *     as-found  set 1  V5.a  voltage 331 V  "331"
 */
import { readNote } from '../../server/dialect/note.ts';
import type { Connection, Point, Specification } from '../../server/dialect/tree.ts';
import type { Sheet, Statement } from '../../server/sheet/model.ts';
import { nameOf } from '../../server/sheet/names.ts';
import { readSheet } from '../../server/sheet/read.ts';
import type { Words } from '../../server/sheet/words.ts';
import { createSnapshot } from '../../server/text/snapshot.ts';
import type { Span } from '../../server/text/span.ts';
import type { WrittenValue } from '../../server/units/value.ts';
import { variants } from '../support/fixture.ts';

/** Reads a note that stands in `path`. */
export function sheetOf(text: string, path = 'job.tagstrip.md', words?: Words): Sheet {
  return readSheet(readNote(createSnapshot(`file:///shop/${path}`, text)), words);
}

/**
 * What `show` says of a sheet, after making sure that it says the same with CRLF and with a byte-order mark, and with an
 * emoji before each mark where the note has marks.
 */
export function said(marked: string, show: (sheet: Sheet) => string, words?: Words): string {
  const [first, ...others] = variants(marked).map(({ name, fixture }) => {
    const file = fixture.files[0];
    if (file === undefined) throw new Error('a note is needed');
    // `job.tagstrip.md` unless the fixture names its file.
    return {
      name,
      text: show(sheetOf(file.text, file.path, words))
        .replaceAll('\r\n', '\n')
        .replaceAll('🔥 ', ''),
    };
  });
  if (first === undefined) throw new Error('a note is needed');
  for (const other of others) {
    if (other.text !== first.text)
      throw new Error(`${other.name} reads differently:\n${other.text}\nand not\n${first.text}`);
  }
  return `\n${first.text}\n`;
}

/** All statements, one a line. */
export function statements(sheet: Sheet): string {
  return sheet.statements.map((statement) => line(sheet, statement)).join('\n');
}

/** All sets, one a line. */
export function sets(sheet: Sheet): string {
  return sheet.sets
    .map(({ id, phase, conditions, mains, limited, off, normal }) =>
      [
        `set ${id}`,
        phase,
        conditions
          .map(({ kind, refs, value }) =>
            [kind, ...refs.map(nameOf), value && `${value.value} ${value.unit}`].filter(Boolean).join(' '),
          )
          .join(', ') || 'nothing said',
        mains === undefined ? '' : `mains ${mains.value} V`,
        [limited && 'limited', off && 'off', normal && 'normal'].filter(Boolean).join(' '),
      ]
        .filter((each) => each !== '')
        .join('  '),
    )
    .join('\n');
}

/** The text under a span, in quotes. */
export function quote(sheet: Sheet, { start, end }: Span): string {
  return `"${sheet.snapshot.text.slice(start, end)}"`;
}

function line(sheet: Sheet, statement: Statement): string {
  const head = statement.planned ? `${statement.phase} planned` : statement.phase;
  const tail = quote(sheet, statement.span);
  return [head, ...what(statement), tail].join('  ');
}

function what(statement: Statement): string[] {
  switch (statement.kind) {
    case 'reading': {
      const { at, to, quantity, values, set, nominal, conditions } = statement;
      const place = to === undefined ? nameOf(at) : `${nameOf(at)} to ${nameOf(to)}`;
      const also = conditions.length === 0 ? [] : [`(${conditions.map(({ words }) => words).join(', ')})`];
      return [
        `set ${set}`,
        ...(nominal ? ['nominal'] : []),
        place,
        `${quantity} ${values.map(value).join(' / ')}`,
        ...also,
      ];
    }
    case 'fitted':
      return [
        `${statement.ref.name}${part(statement)} = ${specification(statement.specification)}`.trim(),
        ...statement.connections.map(connection),
      ];
    case 'change': {
      const now = statement.work ?? specification(statement.is);
      return [
        `${statement.ref.name}${part(statement)} ${statement.was ? `${specification(statement.was)} ` : ''}-> ${now}`,
        ...statement.connections.map(connection),
      ];
    }
    case 'state':
      return [`${nameOf(statement.subject)} is ${statement.state}`];
    case 'wire':
      return [`${nameOf(statement.from)} wired to ${nameOf(statement.to)}`];
    case 'question':
      return [`set ${statement.set}`, `asks ${statement.expression}`];
    case 'provenance':
      return [`${statement.ref.name} ${statement.says}${statement.was ? ` ${statement.was.name}` : ''}`];
    case 'mod-verdict':
      return [`mod ${statement.mod}: ${statement.verdict}${statement.why ? `, ${statement.why}` : ''}`];
  }
}

function part({ index, of, series }: { index: number; of: number; series: boolean }): string {
  return of === 1 ? '' : ` (${index + 1} of ${of}${series ? ' in series' : ''})`;
}

function value(written: WrittenValue): string {
  if (written.kind === 'value')
    return `${Number(written.value.quantity.value.toPrecision(6))} ${written.value.quantity.unit}`;
  return written.kind;
}

function specification(of: Specification | undefined): string {
  if (of === undefined) return '';
  return [
    ...(of.type === undefined ? [] : [of.type.text]),
    ...of.values.map(value),
    ...of.ratings.map((rating) => value(rating.value)),
    ...of.kinds.map(({ text }) => text),
  ].join(' ');
}

function names(points: readonly Point[]): string {
  return points.map(nameOf).join(' ');
}

function connection(of: Connection): string {
  switch (of.kind) {
    case 'ends':
      return `${names(of.from)} to ${names(of.to)}`;
    case 'across':
      return `across ${of.ref.name}`;
    case 'terminal':
      return `${of.terminal.text} to ${nameOf(of.to)}`;
    case 'hangs':
      return `${of.electrode.text} ${nameOf(of.on)}${of.far === undefined ? '' : ` ${nameOf(of.far)}`}`;
  }
}
