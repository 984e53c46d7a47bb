/** Owns the one line that tests and the reference of the dialect show for a tag: what it was understood to say. */
import type {
  Block,
  Condition,
  Connection,
  Note,
  Point,
  Specification,
  Tag,
} from '../../server/dialect/tree.ts';
import type { WrittenValue } from '../../server/units/value.ts';
import { writeQuantity } from '../../server/units/write.ts';
import { sliceOf } from './fixture.ts';

/** All that a note says, a line for each tag, standing condition and problem, in reading order. */
export function describeNote(note: Note): string[] {
  const { text } = note.snapshot;
  const problems = note.problems.map((problem) => ({
    at: problem.span.start,
    line: `! ${problem.kind} at “${sliceOf(text, problem.span).replace(/\s+/g, ' ')}”`,
  }));
  const said = note.blocks.flatMap((block) =>
    describeBlock(block).map((line) => ({ at: line.at, line: line.line })),
  );
  // Values are written with a no-break space, which no expectation should have to type.
  return [...said, ...problems].sort((a, b) => a.at - b.at).map(({ line }) => line.replaceAll('\u00a0', ' '));
}

interface Line {
  readonly at: number;
  readonly line: string;
}

function describeBlock(block: Block): Line[] {
  switch (block.kind) {
    case 'opaque':
      return [];
    case 'heading':
      return block.tags.map((tag) => ({ at: tag.span.start, line: describeTag(tag) }));
    case 'passage': {
      const planned = block.task === 'open' ? 'planned: ' : '';
      const standing = (block.standing ?? []).map((each) => describeCondition(each)).join(', ');
      const lines = block.tags.map((tag) => ({ at: tag.span.start, line: planned + describeTag(tag) }));
      const images = block.images.flatMap(({ refs, span }) =>
        refs.length === 0
          ? []
          : [{ at: span.start, line: `photo of ${refs.map(({ name }) => name).join(', ')}` }],
      );
      const all = [...lines, ...images].sort((a, b) => a.at - b.at);
      return standing === '' ? all : [{ at: block.span.start, line: `from here: ${standing}` }, ...all];
    }
    case 'table':
      return block.rows.flatMap((row) =>
        row.tags.map((tag, i) => {
          const phase = row.phases[i];
          return { at: tag.span.start, line: (phase === undefined ? '' : `${phase}: `) + describeTag(tag) };
        }),
      );
  }
}

export function describeTag(tag: Tag): string {
  const when =
    tag.conditions.length === 0 ? '' : `, when ${tag.conditions.map(describeCondition).join(', ')}`;
  const remark = tag.remark === undefined ? '' : `, remark “${tag.remark.text}”`;
  return describeBody(tag) + when + remark;
}

function describeBody(tag: Tag): string {
  switch (tag.kind) {
    case 'mention':
      return `mention ${points(tag.points)}`;
    case 'fitted':
      return joined(`fitted ${refs(tag)}`, [
        tag.specification === undefined ? '' : specification(tag.specification),
        ...tag.connections.map(connection),
      ]);
    case 'reading': {
      const items = tag.items.map((item) => {
        const at = point(item.at) + (item.to === undefined ? '' : ` to ${point(item.to)}`);
        const values = item.values.map(value).join(' and ');
        const then = item.then === undefined ? '' : ` then ${value(item.then)}`;
        const frequency = item.frequency === undefined ? '' : ` at ${writeQuantity(item.frequency)}`;
        const volts = item.atVolts === undefined ? '' : ` at ${writeQuantity(item.atVolts)}`;
        return `${at} ${item.quantity} ${values}${then}${frequency}${volts}`;
      });
      const type = tag.type === undefined ? '' : `fitted ${points(tag.refs)}: ${specification(tag.type)}; `;
      return `${type}reading ${items.join('; ')}`;
    }
    case 'change':
      return joined(`change ${refs(tag)}`, [
        `${tag.was === undefined ? 'whatever was' : specification(tag.was)} -> ${
          'values' in tag.is ? specification(tag.is) : (tag.work ?? tag.is.text)
        }`,
        ...tag.connections.map(connection),
      ]);
    case 'wire':
      return `wire ${point(tag.from)} to ${point(tag.to)}`;
    case 'question':
      return `question ${tag.expression.text}`;
    case 'state':
      return `state ${points(tag.subjects)}: ${tag.states.map(({ state }) => state).join(', ')}`;
    case 'accept':
      return `accept ${[tag.rule.text, points(tag.subjects)].join(' ').trim()}${reason(tag.reason)}`;
    case 'keep':
      return `keep ${points(tag.refs)}${reason(tag.reason)}`;
    case 'provenance':
      return `provenance ${points(tag.refs)}: ${tag.says}${tag.was === undefined ? '' : ` ${tag.was.name}`}`;
    case 'mod-verdict':
      return `mod ${tag.mod.text}: ${tag.verdict}${tag.why === undefined ? '' : ` (${tag.why.text})`}`;
    case 'unreadable':
      return `unreadable “${tag.opens.text}”`;
    case 'candidate':
      return `if ${tag.node.name} is a node: ${describeTag(tag.tag)}`;
  }
}

function joined(head: string, parts: readonly string[]): string {
  const said = parts.filter((part) => part !== '');
  return said.length === 0 ? head : `${head}: ${said.join('; ')}`;
}

function reason(word: { readonly text: string } | undefined): string {
  return word === undefined ? '' : `: ${word.text}`;
}

function refs(tag: {
  readonly refs: readonly { readonly name: string }[];
  readonly series: boolean;
}): string {
  return tag.refs.map(({ name }) => name).join(tag.series ? ' + ' : ', ');
}

function points(all: readonly Point[]): string {
  return all.map(point).join(', ');
}

function point(of: Point): string {
  if (of.kind !== 'terminal') return of.name;
  return of.by === 'pin' ? `${of.ref.name} pin ${of.terminal}` : `${of.ref.name}.${of.terminal}`;
}

function value(written: WrittenValue): string {
  if (written.kind !== 'value')
    return written.kind === 'ambiguous' ? `ambiguous “${written.spelling}”` : written.kind;
  const { quantity, sureness, wave, signed, low, high } = written.value;
  const sign = signed && quantity.value > 0 ? '+' : '';
  const about = { exact: '', about: 'about ', below: 'below ', above: 'above ', range: '' }[sureness];
  const said =
    sureness === 'range'
      ? `${writeQuantity({ ...quantity, value: low })} to ${writeQuantity({ ...quantity, value: high })}`
      : writeQuantity(quantity);
  return `${about}${sign}${said}${wave === undefined ? '' : ` ${wave}`}`;
}

function specification(of: Specification): string {
  const windings = of.windings.map(({ side, volts, impedance, current, centreTapped }) =>
    [
      side === 'primary' ? 'primary' : '',
      volts === undefined ? '' : `${value(volts)}${centreTapped ? ' each side of its tap' : ''}`,
      impedance === undefined ? '' : value(impedance),
      current === undefined ? '' : `at ${value(current)}`,
    ]
      .filter((part) => part !== '')
      .join(' '),
  );
  return [
    of.type?.text ?? '',
    of.fuseSpeed === undefined ? '' : `fuse ${of.fuseSpeed.text}`,
    ...of.values.map(value),
    ...windings.map((winding) => `winding ${winding}`),
    ...of.ratings.map((rating) => `${rating.of} ${rating.of === 'date' ? rating.text : value(rating.value)}`),
    ...of.kinds.map(({ text }) => text),
  ]
    .filter((part) => part !== '')
    .join(', ');
}

function connection(of: Connection): string {
  switch (of.kind) {
    case 'ends':
      return `${points(of.from)} to ${of.toWritten ? points(of.to) : 'gnd, not written'}`;
    case 'across':
      return `across ${of.ref.name}`;
    case 'terminal':
      return `its ${of.terminal.text} to ${point(of.to)}`;
    case 'hangs':
      return `on its ${of.electrode.text} ${point(of.on)}${of.far === undefined ? '' : ` to ${point(of.far)}`}`;
  }
}

function describeCondition(condition: Condition): string {
  const of = condition.refs.length === 0 ? '' : ` ${points(condition.refs)}`;
  return `${condition.kind}${of}${condition.value === undefined ? '' : ` ${writeQuantity(condition.value)}`}`;
}
