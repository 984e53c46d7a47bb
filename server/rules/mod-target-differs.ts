/** Owns the rule mod-target-differs: a mod sheet changes a part that is another one, or not there, on a chassis it was written for. */
import type { FittedPart, PhaseView } from '../bench/model.ts';
import { nameOfPoint } from '../bench/points.ts';
import type { Catalogue } from '../catalogue/find-valve.ts';
import type { Point } from '../dialect/tree.ts';
import type { ChangeStatement } from '../sheet/model.ts';
import type { Quantity } from '../units/si.ts';
import { show } from './phrases.ts';
import { defineRule, type ModTarget, type Report, type RuleContext } from './rule.ts';

/** What a mod sheet says was there, as far as it can be held against a chassis. */
interface Target {
  readonly change: ChangeStatement;
  readonly value?: Quantity;
  readonly type?: string;
  /** The two places that it sits between, by the names of the mod sheet. */
  readonly ends?: readonly [Point, Point];
}

export const modTargetDiffers = defineRule({
  id: 'mod-target-differs',
  since: '0.1.0',
  category: 'record',
  severities: 'W',
  summary: 'A mod sheet changes a part that is another one, or not there, on a chassis it was written for.',
  why: 'Refs move between revisions: what is the coupling capacitor on one drawing is a decoupler on the next. A modification that is done by ref alone then changes another part. A role is read from where the mod sheet says that the part sits; where it says nothing, only value and type are held against each other.',
  howToFix:
    'Look at both drawings. Correct the ref on the mod sheet, or write what this chassis really has there; if the mod does not apply to this chassis, take the chassis out of `written-for`.',
  source: 'the chassis sheets that `written-for` names',
  options: {
    same: {
      default: 0.1,
      unit: '1',
      means: 'difference of two values that is none: 0.02 and 0.022 µF, 470 and 500 kΩ are one part',
    },
  },
  bad: {
    sheet:
      '---\nsheet: mod\nname: more-bass\nwritten-for: larch-20.c.tagstrip.md\n---\n# More bass\n\n- C7 = 2n2 -> 22n 630V film\n',
    beside: {
      'larch-20.c.tagstrip.md':
        '---\nsheet: chassis\n---\n# Larch 20\n\n- C7 = 47n 400V, V2.a to V3.g\n- C8 = 2n2 400V, V1A.a to V1B.g\n',
    },
    names: 'C7',
    fixed:
      '---\nsheet: mod\nname: more-bass\nwritten-for: larch-20.c.tagstrip.md\n---\n# More bass\n\n- C8 = 2n2 -> 22n 630V film\n',
  },
  good: {
    sheet:
      '---\nsheet: mod\nname: more-bass\nwritten-for: larch-20.b.tagstrip.md\n---\n# More bass\n\n- C7 = 0.002uF -> 22n 630V film\n- R90 = 1k5 0.5W, V1A.k to gnd\n',
    beside: {
      'larch-20.b.tagstrip.md': '---\nsheet: chassis\n---\n# Larch 20\n\n- C7 = 2n2 400V, V1A.a to V1B.g\n',
    },
  },
  check(context) {
    const reports: Report[] = [];
    const { sheet } = context;
    for (const target of targetsOf(context)) {
      const { change } = target;
      const differences = context.targets.flatMap((chassis) => {
        const said = differenceOn(chassis, target, context);
        return said === undefined ? [] : [`on ${chassis.path}, ${said}`];
      });
      if (differences.length === 0) continue;
      const other = placesFor(target, context)[0];
      reports.push({
        severity: 'warning',
        subject: change.ref.name,
        message: `This mod changes ${change.ref.name}${describe(target)}, and ${differences.join('; ')} (the chassis sheet that it was written for).${other === undefined ? '' : ` ${other} would fit.`} Compare the drawings: correct the ref, or say that the mod does not apply there.`,
        source: { file: sheet.uri, span: change.span },
        explains: [{ rule: 'ref-unknown', subject: change.ref.name }],
      });
    }
    return reports;
  },
  fix: (context, finding) => {
    const target = targetsOf(context).find(({ change }) => change.ref.name === finding.subject);
    if (target === undefined) return [];
    const { ref } = target.change;
    const written = context.sheet.snapshot.text.slice(ref.span.start, ref.span.end);
    // Of a range or a list the ref has no letters of its own to correct.
    if (written.toUpperCase() !== ref.name || target.change.of > 1) return [];
    return placesFor(target, context).map((text) => ({
      title: `Write ${text}, which it is there`,
      safety: 'suggestion',
      edits: [{ span: ref.span, text }],
    }));
  },
});

function targetsOf({ sheet, targets }: RuleContext): readonly Target[] {
  if (sheet.kind !== 'mod' || targets.length === 0) return [];
  const seen = new Set<string>();
  return sheet.statements.flatMap((change): Target[] => {
    // A part that an earlier line of the mod has changed is no longer the chassis's.
    if (change.kind !== 'change' || seen.has(change.ref.name)) return [];
    seen.add(change.ref.name);
    const [value, ...more] = change.was?.values ?? [];
    const isPlain = value?.kind === 'value' && more.length === 0;
    const ends = endsBefore(change);
    return [
      {
        change,
        ...(isPlain ? { value: value.value.quantity } : {}),
        ...(change.was?.type === undefined ? {} : { type: change.was.type.text }),
        ...(ends === undefined ? {} : { ends }),
      },
    ];
  });
}

/** Where it is said to sit before the arrow; behind it, it says where the new part goes. */
function endsBefore({ connections, is }: ChangeStatement): readonly [Point, Point] | undefined {
  for (const connection of connections) {
    if (connection.kind !== 'ends' || !connection.toWritten) continue;
    if (is !== undefined && connection.span.start > is.span.start) continue;
    const [from, secondFrom] = connection.from;
    const [to, secondTo] = connection.to;
    if (from !== undefined && to !== undefined && secondFrom === undefined && secondTo === undefined)
      return [from, to];
  }
  return undefined;
}

function differenceOn(chassis: ModTarget, target: Target, context: RuleContext): string | undefined {
  const view = chassis.amplifier.phases.at(-1);
  const { name, section } = target.change.ref;
  if (view === undefined) return undefined;
  const part = view.parts.get(name);
  if (part === undefined) {
    // Sections of a can or a twin are written on the chassis sheet as they are wired.
    const isWritten = section === undefined && [...view.parts.values()].some(({ whole }) => whole === name);
    return isWritten ? undefined : `there is no ${name}`;
  }
  return differenceOf(part, target, view, context);
}

function differenceOf(
  part: FittedPart,
  { value, type, ends }: Target,
  view: PhaseView,
  { catalogue, option }: RuleContext,
): string | undefined {
  const there = part.value?.quantity;
  if (value !== undefined && there !== undefined) {
    const [one, other] = [value.value, there.value];
    const isSame =
      value.unit === there.unit && Math.max(one, other) <= Math.min(one, other) * (1 + option('same') + 1e-6);
    if (!isSame) return `${part.ref} is ${show(there)}`;
  }
  if (type !== undefined && part.type !== undefined && !isOneType(type, part.type.text, catalogue))
    return `${part.ref} is ${part.type.text}`;
  const nodes = [...part.terminals.values()];
  const wanted = (ends ?? []).flatMap((point) => nodeOf(point, view) ?? []);
  // An end that the chassis sheet does not know proves nothing.
  const isElsewhere =
    wanted.length === 2 && nodes.length === 2 && !wanted.every((node) => nodes.includes(node));
  return isElsewhere ? `${part.ref} sits between ${nodes.join(' and ')}` : undefined;
}

function nodeOf(point: Point, { circuit }: PhaseView): string | undefined {
  const { name } = nameOfPoint(point, () => undefined);
  return name === 'gnd' ? name : circuit.nodeOf(name);
}

/** `12AX7` and `ECC83` are one type. */
function isOneType(one: string, other: string, { findValve }: Catalogue): boolean {
  if (one.toUpperCase() === other.toUpperCase()) return true;
  const [a, b] = [findValve(one), findValve(other)];
  // What the catalogue cannot decide is not held against anybody.
  if (a === undefined || b === undefined) return false;
  return 'ask' in a || 'ask' in b || a.valve.type === b.valve.type;
}

/** Refs that would fit on every chassis that the mod was written for; only where the mod says a value or a type to go by. */
function placesFor(target: Target, context: RuleContext): readonly string[] {
  const { value, type, change } = target;
  const [first, ...others] = context.targets.flatMap(({ amplifier }) => amplifier.phases.at(-1) ?? []);
  if (first === undefined || (value === undefined && type === undefined)) return [];
  const fits = (part: FittedPart | undefined, view: PhaseView): boolean =>
    part !== undefined &&
    part.class === change.ref.class &&
    (part.value !== undefined || part.type !== undefined) &&
    differenceOf(part, target, view, context) === undefined;
  const found = [...first.parts.values()]
    .filter((part) => fits(part, first) && others.every((view) => fits(view.parts.get(part.ref), view)))
    .map(({ ref }) => ref);
  // Of several that would do, none is the likelier.
  return found.length === 1 ? found : [];
}

function describe({ value, type }: Target): string {
  if (value !== undefined) return ` as ${show(value)}`;
  return type === undefined ? '' : ` as ${type}`;
}
