/** Owns the rendering of a read tag as one line of text, so that a test's table can be read by a technician. */

import { readConditions } from '../../server/dialect/conditions.ts';
import { readItem, readTag } from '../../server/dialect/tag.ts';
import type { Connection, Point, Specification, Tag, WritingProblem } from '../../server/dialect/tree.ts';
import type { Quantity } from '../../server/units/si.ts';
import type { WrittenValue } from '../../server/units/value.ts';
import { writeQuantity as writeForPrint } from '../../server/units/write.ts';

/** Plain spaces, so that a table can be typed. */
function writeQuantity(of: Quantity): string {
  return writeForPrint(of).replace(/\s/g, ' ');
}

export function showPoint(point: Point): string {
  if (point.kind === 'terminal')
    return `${point.ref.name}.${point.terminal}${point.by === 'pin' ? '(pin)' : ''}`;
  return point.name;
}

export function showValue(written: WrittenValue): string {
  if (written.kind !== 'value') {
    return written.kind === 'ambiguous'
      ? `{${written.meanings.map(({ saying }) => saying.replace(/\s/g, ' ')).join(' | ')}}`
      : written.kind;
  }
  const { quantity, sureness, wave, unitWritten } = written.value;
  const mark = { exact: '', about: '~', below: '<', above: '>', range: 'range ' }[sureness];
  const range = sureness === 'range' ? `${written.value.low}..${written.value.high} ${quantity.unit}` : '';
  return `${mark}${range === '' ? writeQuantity(quantity) : range}${wave === undefined ? '' : ` ${wave}`}${unitWritten ? '' : '*'}`;
}

export function showSpecification(of: Specification): string {
  const parts: string[] = [];
  if (of.type !== undefined) parts.push(`type ${of.type.text}`);
  parts.push(...of.values.map(showValue));
  if (of.fuseSpeed !== undefined) parts.push(`speed ${of.fuseSpeed.text}`);
  parts.push(
    ...of.ratings.map(
      (rating) => `${rating.of} ${rating.of === 'date' ? rating.text : showValue(rating.value)}`,
    ),
  );
  for (const winding of of.windings) {
    const half = winding.centreTapped ? ' ct' : '';
    const what = winding.volts ?? winding.impedance;
    const current = winding.current === undefined ? '' : ` ${showValue(winding.current)}`;
    parts.push(`${winding.side} ${what === undefined ? '?' : showValue(what)}${half}${current}`);
  }
  if (of.kinds.length > 0) parts.push(of.kinds.map(({ text }) => text).join(' '));
  return parts.join(', ');
}

function showConnection(of: Connection): string {
  switch (of.kind) {
    case 'ends':
      return `${of.from.map(showPoint).join('+')} - ${of.toWritten ? of.to.map(showPoint).join('+') : '(gnd)'}`;
    case 'across':
      return `across ${of.ref.name}`;
    case 'terminal':
      return `${of.terminal.text}: ${showPoint(of.to)}`;
    case 'hangs':
      return `${of.electrode.text}: ${showPoint(of.on)} - ${of.far === undefined ? '(gnd)' : showPoint(of.far)}`;
  }
}

function showBody(tag: Tag): string {
  switch (tag.kind) {
    case 'mention':
      return tag.points.map(showPoint).join(' ');
    case 'fitted': {
      const spec = tag.specification === undefined ? '' : ` = ${showSpecification(tag.specification)}`;
      const where = tag.connections.map((each) => ` [${showConnection(each)}]`).join('');
      return `${tag.refs.map(({ name }) => name).join(tag.series ? ' + ' : ' ')}${spec}${where}${tag.colonForEquals ? ' (colon)' : ''}`;
    }
    case 'reading': {
      const type =
        tag.type === undefined
          ? ''
          : `${tag.refs.map(({ name }) => name).join(' ')} is ${showSpecification(tag.type)}; `;
      return (
        type +
        tag.items
          .map((item) => {
            const to = item.to === undefined ? '' : ` to ${showPoint(item.to)}`;
            const then = item.then === undefined ? '' : ` then ${showValue(item.then)}`;
            const frequency = item.frequency === undefined ? '' : ` at ${writeQuantity(item.frequency)}`;
            const volts = item.atVolts === undefined ? '' : ` at ${writeQuantity(item.atVolts)}`;
            return `${showPoint(item.at)}${to} ${item.quantity} ${item.values.map(showValue).join(' / ')}${then}${frequency}${volts}`;
          })
          .join('; ') +
        (tag.states === undefined ? '' : `; ${tag.states.map(({ state }) => state).join(', ')}`)
      );
    }
    case 'change': {
      const was = tag.was === undefined ? '?' : showSpecification(tag.was);
      const is = 'values' in tag.is ? showSpecification(tag.is) : `(${tag.work ?? ''})`;
      const where = tag.connections.map((each) => ` [${showConnection(each)}]`).join('');
      return `${tag.refs.map(({ name }) => name).join(tag.series ? ' + ' : ' ')}: ${was} -> ${is}${where}`;
    }
    case 'wire':
      return `${showPoint(tag.from)} = ${showPoint(tag.to)}`;
    case 'question':
      return tag.expression.text;
    case 'state':
      return `${tag.subjects.map(showPoint).join(' ')}: ${tag.states.map(({ state }) => state).join(', ')}`;
    case 'accept':
      return `${tag.rule.text} ${tag.subjects.map(showPoint).join(' ')}${tag.reason === undefined ? '' : `: ${tag.reason.text}`}`;
    case 'keep':
      return `${tag.refs.map(({ name }) => name).join(' ')}${tag.reason === undefined ? '' : `: ${tag.reason.text}`}`;
    case 'provenance':
      return `${tag.refs.map(({ name }) => name).join(' ')} ${tag.says}${tag.was === undefined ? '' : ` ${tag.was.name}`}`;
    case 'mod-verdict':
      return `${tag.mod.text}: ${tag.verdict}${tag.why === undefined ? '' : `, ${tag.why.text}`}`;
    case 'unreadable':
      return `${tag.opens.text}: ${tag.expected}`;
    case 'candidate':
      return `${tag.node.name}: ${showTag(tag.tag)}`;
  }
}

export function showTag(tag: Tag): string {
  const conditions = tag.conditions
    .map(
      ({ kind, refs, value }) =>
        `${kind}${refs.map(({ name }) => ` ${name}`).join('')}${value === undefined ? '' : ` ${writeQuantity(value)}`}`,
    )
    .join(', ');
  const under = conditions === '' ? '' : ` under ${conditions}`;
  const remark = tag.remark === undefined || tag.kind === 'candidate' ? '' : ` -- ${tag.remark.text}`;
  return `${tag.kind} ${showBody(tag)}${tag.kind === 'candidate' ? '' : under + remark}`;
}

function showProblem(text: string, problem: WritingProblem): string {
  const offers = problem.offers.map(
    ({ edit }) => `${text.slice(0, edit.span.start)}${edit.text}${text.slice(edit.span.end)}`,
  );
  return `${problem.kind} “${text.slice(problem.span.start, problem.span.end)}”: ${problem.message}${offers.length === 0 ? '' : ` → ${offers.join(' | ')}`}`;
}

/** `{…}` as a tag in braces. */
export function showBraces(written: string): string {
  const read = readTag(
    written,
    { start: 1, end: written.length - 1 },
    { start: 0, end: written.length },
    'braces',
  );
  return [showTag(read.tag), ...read.problems.map((problem) => `  ! ${showProblem(written, problem)}`)].join(
    '\n',
  );
}

/** The text of a list item; undefined is prose. */
function showItem(written: string): string {
  const read = readItem(written, { start: 0, end: written.length });
  if (read === undefined) return 'prose';
  return [showTag(read.tag), ...read.problems.map((problem) => `  ! ${showProblem(written, problem)}`)].join(
    '\n',
  );
}

/** A passage's conditions; undefined is prose. */
function showConditions(written: string): string {
  const read = readConditions(written, { start: 0, end: written.length });
  if (read === undefined) return 'prose';
  return read
    .map(({ kind, refs, value, words }) => {
      const of = refs.map(({ name }) => ` ${name}`).join('');
      return `${kind}${of}${value === undefined ? '' : ` ${writeQuantity(value)}`} “${words}”`;
    })
    .join(', ');
}

/** By its first sign: `{…}` a tag in braces, `- …` a list item, `@ …` a passage of conditions. */
export function showWritten(written: string): string {
  if (written.startsWith('- ')) return showItem(written.slice(2));
  return written.startsWith('@ ') ? showConditions(written.slice(2)) : showBraces(written);
}
