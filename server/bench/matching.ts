/**
 * Owns which part of one amplifier is which part of another: by what it does and where it sits first, by its ref second, so
 * that a renumbered board does not look rebuilt.
 *
 * How it goes, surest first; what was matched by one step is out of the next:
 * 1. **Carried**: the sheets say it themselves (`R17: was R44`).
 * 2. **Valve sections**: everything else hangs on them. Each section is seen with what stands at its electrodes up to four
 *    parts away (class, role, value, rail; never a ref), every pair is scored, and the best pairs are taken while they are
 *    better than any rival. Sections that nothing tells apart (the two output valves) go by their refs, else by their order.
 * 3. **Sites**: a node is known once it has the same name on both sides (ground, a rail, an electrode of a matched section).
 *    Parts of one class with the same role between the same known nodes are the same part. Each pair makes the nodes at its
 *    other ends known, and so on until nothing new is found.
 * 4. **Role**: the same role for the same valves, the values nearer to each other than to any rival's.
 * 5. **Ref**: the same ref of the same class, unless both have roles and these are different and so are the values.
 *
 * Where several would fit equally well, the same ref decides, then the same value; where neither does, nothing is matched.
 */
import { type Circuit, type FittedPart, findValueInUse, type PhaseView, type Role } from './model.ts';
import { compareNames, isRail } from './points.ts';

/** What a pair was matched by. */
export type MatchedBy = 'carried' | 'place' | 'role' | 'ref';

export interface PartPair {
  readonly was: FittedPart;
  readonly is: FittedPart;
  readonly by: MatchedBy;
}

export interface Matching {
  /** In the order of the earlier refs. */
  readonly pairs: readonly PartPair[];
  readonly onlyWas: readonly FittedPart[];
  readonly onlyIs: readonly FittedPart[];
  /** Nodes of the first by those of the second: the same place in both. */
  readonly nodeWas: (node: string) => string | undefined;
  /** The ref (of a part, a valve or a section) in the first that one of the second stands for. */
  readonly refWas: (ref: string) => string | undefined;
}

/** `carried`: refs of the second by those of the first, as the sheets say. */
export function matchParts(
  was: PhaseView,
  is: PhaseView,
  carried: ReadonlyMap<string, string> = new Map(),
): Matching {
  const first = sideOf(was);
  const second = sideOf(is);
  colour(first, second);
  const match = createMatch(first, second);
  for (const [ref, now] of carried) {
    const [one, two] = [first.units.get(ref), second.units.get(now)];
    if (one !== undefined && two !== undefined && one.part.class === two.part.class)
      match.pair(one, two, 'carried');
  }
  matchSections(first, second, match, carried);
  matchSites(first, second, match);
  matchRoles(first, second, match);
  matchRefs(first, second, match);
  // What the refs have settled may settle places that had two answers before.
  matchSites(first, second, match);
  const pairs = [...match.pairs].sort((a, b) => compareNames(a.was.ref, b.was.ref));
  const left = (side: Side) =>
    [...side.units.values()]
      .filter((unit) => !match.isTaken(unit))
      .map(({ part }) => part)
      .sort((a, b) => compareNames(a.ref, b.ref));
  return {
    pairs,
    onlyWas: left(first),
    onlyIs: left(second),
    nodeWas: (node) => match.nodes.get(node) ?? (isNamedAlike(node, first) ? node : undefined),
    refWas: (ref) => match.refs.get(ref),
  };
}

/** One thing that is soldered or plugged in: a part, or a valve with its sections. */
interface Unit {
  readonly ref: string;
  readonly part: FittedPart;
  readonly role: Role | undefined;
}

/** A place where an electron stream is steered: `V1A`, or `V5` where a valve has one section. */
interface Section {
  readonly ref: string;
  readonly whole: string;
  readonly part: FittedPart;
  /** What it looks like from nearer and farther, without names: equal numbers are equal surroundings. */
  colours: number[];
  around: readonly number[];
}

interface Side {
  readonly view: PhaseView;
  readonly circuit: Circuit;
  readonly units: ReadonlyMap<string, Unit>;
  readonly sections: readonly Section[];
  readonly nodes: ReadonlySet<string>;
}

function sideOf(view: PhaseView): Side {
  const units = new Map<string, Unit>();
  const sections: Section[] = [];
  const split = new Set<string>();
  for (const part of view.parts.values())
    if (part.class === 'valve' && part.section !== undefined) split.add(part.whole);
  for (const part of view.parts.values()) {
    const role = view.roles.get(part.ref)?.role;
    if (part.class !== 'valve') {
      units.set(part.ref, { ref: part.ref, part, role });
      continue;
    }
    const own = view.parts.get(part.whole) ?? part;
    if (!units.has(part.whole)) {
      const whole = own.ref === part.whole ? own : { ...own, ref: part.whole };
      units.set(part.whole, { ref: part.whole, part: whole, role: view.roles.get(part.whole)?.role ?? role });
    }
    if (part.section === undefined && split.has(part.ref)) continue;
    sections.push({ ref: part.ref, whole: part.whole, part, colours: [], around: [] });
  }
  const nodes = new Set<string>(['gnd', ...view.circuit.nodes]);
  for (const part of view.parts.values()) for (const node of part.terminals.values()) nodes.add(node);
  return { view, circuit: view.circuit, units, sections, nodes };
}

/** A node that bears its name for its own sake: ground, a rail, a place that the writer named; not a part's terminal. */
function isNamed(node: string): boolean {
  return node === 'gnd' || isRail(node) || !/^[A-Z]{1,3}\d+[A-Z]?(?:\.|$)/.test(node);
}

function isNamedAlike(node: string, first: Side): boolean {
  return isNamed(node) && first.nodes.has(node);
}

const ROUNDS = 4;

/** Numbers for surroundings, shared by both sides. Two digits of a value tell 82k from 100k and not 99k from 100k. */
function colour(...sides: readonly Side[]): void {
  const numbers = new Map<string, number>();
  const numberOf = (text: string): number => {
    const known = numbers.get(text);
    if (known !== undefined) return known;
    numbers.set(text, numbers.size);
    return numbers.size - 1;
  };
  for (const side of sides) {
    const { view, circuit } = side;
    const parts = [...view.parts.values()];
    let ofPart = new Map(parts.map((part) => [part.ref, numberOf(looksOf(part, view))] as const));
    let ofNode = new Map<string, number>();
    const attached = new Map([...side.nodes].map((node) => [node, circuit.attached(node)] as const));
    const byRef = new Map(side.sections.map((section) => [section.ref, section]));
    const note = () => {
      for (const section of side.sections) section.colours.push(ofPart.get(section.ref) ?? -1);
    };
    note();
    for (const section of side.sections) {
      section.around = [...section.part.terminals].flatMap(([terminal, node]) =>
        node === 'gnd' || isRail(node)
          ? []
          : (attached.get(node) ?? []).flatMap(({ ref }) =>
              ref === section.ref || byRef.has(ref)
                ? []
                : [numberOf(`${terminal} has ${ofPart.get(ref) ?? 'nothing'}`)],
            ),
      );
    }
    for (let round = 0; round < ROUNDS; round++) {
      const before = ofPart;
      ofNode = new Map(
        [...side.nodes].map((node) => {
          if (node === 'gnd' || isRail(node)) return [node, numberOf(node)];
          const around = (attached.get(node) ?? []).map(
            ({ ref, terminal }) => `${kindOfEnd(view.parts.get(ref), terminal)}:${before.get(ref) ?? '?'}`,
          );
          return [node, numberOf(`node ${around.sort().join(' ')}`)];
        }),
      );
      const nodes = ofNode;
      ofPart = new Map(
        parts.map((part) => {
          const ends = [...part.terminals].map(
            ([terminal, node]) => `${kindOfEnd(part, terminal)}:${nodes.get(node) ?? '?'}`,
          );
          return [part.ref, numberOf(`${before.get(part.ref)} ${ends.sort().join(' ')}`)];
        }),
      );
      note();
    }
  }
}

function looksOf(part: FittedPart, view: PhaseView): string {
  const value = findValueInUse(part)?.quantity.value;
  const kind = part.type?.valve?.kind ?? '';
  return [
    part.class,
    part.class === 'valve' ? kind : (view.roles.get(part.ref)?.role ?? ''),
    value === undefined ? '' : value.toPrecision(2),
  ].join(' ');
}

/** Ends that can be exchanged have no name. */
function kindOfEnd(part: FittedPart | undefined, terminal: string): string {
  return part !== undefined && ['resistor', 'capacitor', 'inductor', 'fuse'].includes(part.class)
    ? ''
    : terminal;
}

interface Match {
  readonly pairs: readonly PartPair[];
  readonly pair: (one: Unit, two: Unit, by: MatchedBy) => void;
  readonly isTaken: (unit: Unit) => boolean;
  readonly place: (now: string, before: string) => boolean;
  /** Nodes and refs of the first, by those of the second. */
  readonly nodes: ReadonlyMap<string, string>;
  /** Nodes of the first that are known. */
  readonly placed: ReadonlySet<string>;
  readonly refs: Map<string, string>;
}

function createMatch(first: Side, second: Side): Match {
  const pairs: PartPair[] = [];
  const taken = new Set<Unit>();
  const nodes = new Map<string, string>();
  const placed = new Set<string>();
  const refs = new Map<string, string>();
  const place = (now: string, before: string): boolean => {
    if (nodes.has(now) || placed.has(before)) return false;
    nodes.set(now, before);
    placed.add(before);
    return true;
  };
  place('gnd', 'gnd');
  for (const node of second.nodes) if (isRail(node) && first.nodes.has(node)) place(node, node);
  return {
    pairs,
    pair: (one, two, by) => {
      if (taken.has(one) || taken.has(two)) return;
      taken.add(one);
      taken.add(two);
      pairs.push({ was: one.part, is: two.part, by });
      refs.set(two.ref, one.ref);
    },
    isTaken: (unit) => taken.has(unit),
    place,
    nodes,
    placed,
    refs,
  };
}

const SAME_REF = 1.5;
const LEAST_SECTION = 3;
const CLEARLY = 0.25;

/** Sections by their surroundings; then the valves that hold them. */
function matchSections(first: Side, second: Side, match: Match, carried: ReadonlyMap<string, string>): void {
  const wholeNow = new Map([...match.refs].map(([now, before]) => [before, now]));
  const scores: { one: Section; two: Section; score: number }[] = [];
  for (const one of first.sections) {
    for (const two of second.sections) {
      const said = carried.get(one.ref) ?? wholeNow.get(one.whole);
      if (said !== undefined && said !== two.ref && said !== two.whole) continue;
      if (said === undefined && match.refs.has(two.whole)) continue;
      const score = likeness(one, two) + (said === undefined ? 0 : 20);
      if (score >= LEAST_SECTION) scores.push({ one, two, score });
    }
  }
  scores.sort(
    (a, b) => b.score - a.score || compareNames(a.one.ref, b.one.ref) || compareNames(a.two.ref, b.two.ref),
  );
  const done = new Set<Section>();
  const envelope = (section: Section, side: Side) => side.units.get(section.whole);
  for (const { one, two, score } of scores) {
    if (done.has(one) || done.has(two)) continue;
    // Another that fits as well leaves it open, unless the surroundings are the very same: then either may be either.
    const rival = scores.find(
      (other) =>
        other.score > score - CLEARLY &&
        (other.one === one) !== (other.two === two) &&
        !done.has(other.one) &&
        !done.has(other.two) &&
        !isTwin(other.one === one ? other.two : other.one, other.one === one ? two : one),
    );
    if (rival !== undefined && one.ref !== two.ref) continue;
    done.add(one);
    done.add(two);
    for (const [terminal, node] of two.part.terminals) {
      const before = one.part.terminals.get(terminal);
      if (before !== undefined) match.place(node, before);
    }
    if (one.ref !== one.whole || two.ref !== two.whole) match.refs.set(two.ref, one.ref);
    const [a, b] = [envelope(one, first), envelope(two, second)];
    if (a !== undefined && b !== undefined && !match.isTaken(a) && !match.isTaken(b))
      match.pair(a, b, 'place');
  }
}

function likeness(one: Section, two: Section): number {
  let seen = 0;
  // The nearest round is no more than the kind of valve; each round farther is worth more, and none without those before it.
  for (let round = 0; round <= ROUNDS && one.colours[round] === two.colours[round]; round++)
    seen += 1 + round;
  const isSameType = typeOf(one.part) !== '' && typeOf(one.part) === typeOf(two.part);
  return (
    seen + 5 * overlap(one.around, two.around) + (one.ref === two.ref ? SAME_REF : 0) + (isSameType ? 1 : 0)
  );
}

/** Share of what stands around both, of all that stands around either. */
function overlap(one: readonly number[], two: readonly number[]): number {
  if (one.length === 0 && two.length === 0) return 0;
  const left = [...two];
  let both = 0;
  for (const each of one) {
    const at = left.indexOf(each);
    if (at < 0) continue;
    left.splice(at, 1);
    both++;
  }
  return both / (one.length + two.length - both);
}

function isTwin(one: Section, other: Section): boolean {
  return one.colours.every((each, round) => each === other.colours[round]);
}

function typeOf({ type }: FittedPart): string {
  return (type?.valve?.type ?? type?.text ?? '').toUpperCase();
}

/** Parts of one role between known nodes; each makes the node at its other end known. */
function matchSites(first: Side, second: Side, match: Match): void {
  for (let goes = true; goes; ) {
    goes = false;
    const before = bySite(first, match, (node) => (match.placed.has(node) ? node : undefined));
    const now = bySite(second, match, (node) => match.nodes.get(node));
    for (const [site, ones] of before) {
      const twos = now.get(site) ?? [];
      for (const [one, two] of assign(ones, twos)) {
        match.pair(one, two, 'place');
        goes = true;
      }
    }
    // By whatever they were paired, their other ends are one place.
    for (const { was, is } of match.pairs)
      if (placeEnds(was, is, match) || placeOwn(was, is, first, second, match)) goes = true;
  }
}

/** Unmatched parts by class, role and known nodes; only such as have a known node beside ground, or two. */
function bySite(
  side: Side,
  match: Match,
  known: (node: string) => string | undefined,
): ReadonlyMap<string, readonly Unit[]> {
  const sites = new Map<string, Unit[]>();
  for (const unit of side.units.values()) {
    if (match.isTaken(unit) || unit.part.class === 'valve' || unit.part.terminals.size === 0) continue;
    const ends = [...unit.part.terminals].flatMap(([terminal, node]) => {
      const name = known(node);
      return name === undefined ? [] : [`${kindOfEnd(unit.part, terminal)}:${name}`];
    });
    if (ends.every((end) => end.endsWith(':gnd'))) continue;
    const site = [unit.part.class, unit.role ?? '', unit.part.terminals.size, ...ends.sort()].join(' ');
    const list = sites.get(site);
    if (list === undefined) sites.set(site, [unit]);
    else list.push(unit);
  }
  return sites;
}

/** Pairs within one site: one and one; else by value with ref, by ref, by value; the rest only if there is one on each side. */
function assign(ones: readonly Unit[], twos: readonly Unit[]): readonly (readonly [Unit, Unit])[] {
  if (twos.length === 0) return [];
  const pairs: (readonly [Unit, Unit])[] = [];
  let [left, right] = [ones, twos];
  const take = (fits: (one: Unit, two: Unit) => boolean, isSure: boolean): void => {
    for (const one of left) {
      const fitting = right.filter((two) => fits(one, two));
      const [two] = fitting;
      const rivals = two === undefined ? [] : left.filter((other) => fits(other, two));
      if (two === undefined || (!isSure && (fitting.length > 1 || rivals.length > 1))) continue;
      pairs.push([one, two]);
      left = left.filter((each) => each !== one);
      right = right.filter((each) => each !== two);
    }
  };
  take((one, two) => one.ref === two.ref && valuesOf(one, two) === 'same', true);
  take((one, two) => valuesOf(one, two) === 'same', false);
  take((one, two) => one.ref === two.ref, true);
  // Two of one value in parallel on each side: which is which makes no difference.
  const [one, other] = left;
  const areAlike =
    left.length === right.length &&
    left.every((each) => right.every((two) => valuesOf(each, two) === 'same'));
  if (one !== undefined && other !== undefined && areAlike)
    for (const [i, each] of left.entries()) {
      const two = right[i];
      if (two !== undefined) pairs.push([each, two]);
    }
  else if (left.length === 1 && right.length === 1 && one !== undefined && right[0] !== undefined)
    pairs.push([one, right[0]]);
  return pairs;
}

function valuesOf(one: Unit, two: Unit): 'same' | 'other' | 'unsaid' {
  const [a, b] = [one, two].map(({ part }) => part.value?.quantity.value);
  if (a === undefined || b === undefined)
    return a === b && typeOf(one.part) === typeOf(two.part) ? 'same' : 'unsaid';
  return Math.abs(a - b) <= 0.01 * Math.max(Math.abs(a), Math.abs(b)) ? 'same' : 'other';
}

/** Of a matched pair, the one end that is not known yet. */
function placeEnds(was: FittedPart, is: FittedPart, match: Match): boolean {
  const open = [...is.terminals].filter(([, node]) => !match.nodes.has(node));
  const openBefore = [...was.terminals].filter(([, node]) => !match.placed.has(node));
  let goes = false;
  for (const [terminal, node] of open) {
    const ends = openBefore.filter(([name]) =>
      kindOfEnd(is, terminal) === '' ? openBefore.length === 1 && open.length === 1 : name === terminal,
    );
    const [, before] = ends[0] ?? [];
    if (before !== undefined && match.place(node, before)) goes = true;
  }
  return goes;
}

/** Places that are called after a matched part: a winding, a tap, the contact of a jack. */
function placeOwn(was: FittedPart, is: FittedPart, first: Side, second: Side, match: Match): boolean {
  if (is.class === 'valve' || kindOfEnd(is, '1') === '') return false;
  let goes = false;
  for (const node of second.nodes) {
    if (node !== is.ref && !node.startsWith(`${is.ref}.`)) continue;
    const before = `${was.ref}${node.slice(is.ref.length)}`;
    if (first.nodes.has(before) && match.place(node, before)) goes = true;
  }
  return goes;
}

/** The same role for the same valves, the nearest in value. */
function matchRoles(first: Side, second: Side, match: Match): void {
  const open = (side: Side) =>
    [...side.units.values()].filter(
      (unit) =>
        !match.isTaken(unit) &&
        unit.role !== undefined &&
        unit.role !== 'unknown' &&
        unit.part.class !== 'valve',
    );
  const serves = (side: Side, unit: Unit, translate: (ref: string) => string | undefined) =>
    (side.view.roles.get(unit.part.ref)?.serves ?? [])
      .map((ref) => translate(ref) ?? '?')
      .sort()
      .join(' ');
  const groups = new Map<string, { ones: Unit[]; twos: Unit[] }>();
  const groupOf = (unit: Unit, of: string) => {
    const key = [unit.part.class, unit.role, of].join('|');
    const group = groups.get(key) ?? { ones: [], twos: [] };
    groups.set(key, group);
    return group;
  };
  for (const unit of open(first))
    groupOf(
      unit,
      serves(first, unit, (ref) => ref),
    ).ones.push(unit);
  for (const unit of open(second))
    groupOf(
      unit,
      serves(second, unit, (ref) => match.refs.get(ref)),
    ).twos.push(unit);
  for (const { ones, twos } of groups.values())
    for (const [one, two] of assign(ones, twos)) match.pair(one, two, 'role');
}

/** The same ref of the same class; where both have roles that differ and the values differ too, it is another part. */
function matchRefs(first: Side, second: Side, match: Match): void {
  for (const one of first.units.values()) {
    const two = second.units.get(one.ref);
    if (two === undefined || match.isTaken(one) || match.isTaken(two) || one.part.class !== two.part.class)
      continue;
    const isKnown = ({ role }: Unit) => role !== undefined && role !== 'unknown';
    const isOther = isKnown(one) && isKnown(two) && one.role !== two.role && valuesOf(one, two) === 'other';
    if (!isOther) match.pair(one, two, 'ref');
  }
}
