/**
 * Owns what is tied to what: every way of saying a connection becomes joined names, and every node gets one name.
 * The order in which connections were written makes no difference.
 */
import type { Connection, PartClass, Point, Ref } from '../dialect/tree.ts';
import type { FittedPhase, Fitting } from './fitting.ts';
import { createNames } from './joined-names.ts';
import {
  compareNames,
  type FindElectrode,
  NAME_RANKS,
  nameOfPoint,
  normalTerminal,
  TERMINALS_OF,
} from './points.ts';
import type { SaidConnection } from './said-connections.ts';
import { type Netlist, netlistOf, refOf } from './settled-netlist.ts';
import type { PinnedElectrode } from './valves.ts';

/** What one line says of a two-terminal part: points at one end and at the other; none there where it does not say. */
interface Claim {
  readonly near: readonly string[];
  readonly far: readonly string[];
  /** Where no far end is ever said, it is ground: `R9 = 220k, V5.g` and `k R5`. */
  readonly groundedIfAlone: boolean;
  readonly own: boolean;
  readonly when: number;
}

interface TwoTerminalPart {
  readonly ref: Ref;
  readonly claims: Claim[];
}

/** Whether the same parts are tied in the same way in two phases, whatever their values. */
export function isWiredAlike(one: FittedPhase, other: FittedPhase): boolean {
  if (one.wires.length !== other.wires.length) return false;
  if (one.fittings === other.fittings) return true;
  if (one.fittings.size !== other.fittings.size) return false;
  const there = other.fittings.values();
  for (const { ref, connections } of one.fittings.values()) {
    const next = there.next().value;
    if (next === undefined || next.ref.name !== ref.name || next.ref.class !== ref.class) return false;
    const areSame = next.connections === connections || next.connections.length + connections.length === 0;
    if (!areSame) return false;
  }
  return true;
}

export function buildNetlist(
  { fittings, wires }: FittedPhase,
  findElectrode: FindElectrode,
  electrodes: readonly string[],
  pinned: readonly PinnedElectrode[] = [],
): Netlist {
  const names = createNames();
  const parts = new Map<string, TwoTerminalPart>();
  const refs = new Map<string, Ref>();
  /** Part terminals that a point was said for. */
  const occupied = new Set<string>();
  const loose = new Map<string, LooseEnd>();

  const use = (point: Point): string => {
    if (point.kind === 'ref' && isTwoTerminal(point.class)) {
      refs.set(point.name, point);
      return `${BARE}${point.name}`;
    }
    const { name, rank } = nameOfPoint(point, findElectrode);
    names.add(name, rank);
    return name;
  };
  /** Joins a terminal or node to a point; which end of a bare part is meant is settled once all parts are placed. */
  const tie = (terminal: string, point: string): void => {
    if (terminal.startsWith(BARE)) {
      if (!point.startsWith(BARE)) tie(point, terminal);
      return;
    }
    if (point.startsWith(BARE)) {
      const target = point.slice(BARE.length);
      loose.set(`${refOf(terminal)}>${target} ${terminal}`, { terminal, target });
      return;
    }
    names.join(terminal, point);
    occupied.add(terminal);
  };
  const partOf = (ref: Ref): TwoTerminalPart => {
    const known = parts.get(ref.name);
    if (known !== undefined) return known;
    const part = { ref, claims: [] };
    parts.set(ref.name, part);
    return part;
  };

  names.add('gnd', NAME_RANKS.ground);
  for (const electrode of electrodes) names.add(electrode, NAME_RANKS.electrode);
  // The pin that was written names the place; it belongs to the half, no longer to the whole valve.
  const halves = new Set(pinned.map(({ name }) => refOf(name)));
  const ofHalves = new Set(pinned.map(({ pin }) => pin));
  for (const { name, pin } of pinned) {
    names.add(pin, NAME_RANKS.electrode);
    names.join(name, pin);
  }
  for (const { from, to } of wires) tie(use(from), use(to));

  /** `last` where it lies over a whole series string; `both` where two parts are named that may turn out to follow one another. */
  const across: { ref: Ref; on: Ref; last?: Ref; both?: readonly [Ref, Ref]; when: number }[] = [];
  for (const fitting of fittings.values()) {
    for (const said of fitting.connections) readConnection(fitting, said);
  }
  // Parts are placed by what their own lines say, then by what other lines say of them.
  const placed = new Set<string>();
  for (const part of [...parts.values()].sort((a, b) => compareNames(a.ref.name, b.ref.name))) place(part);
  for (const { ref, on, last, both } of across.sort((a, b) => compareNames(a.ref.name, b.ref.name))) {
    const mine = terminalNames(ref);
    const outer = both && outerEnds(...both);
    names.join(mine[0], outer?.[0] ?? terminalNames(on)[0]);
    names.join(mine[1], outer?.[1] ?? terminalNames(last ?? on)[1]);
    placed.add(ref.name);
  }
  settleLooseEnds();

  return netlistOf(names.settled(), isTerminal);

  function readConnection(
    fitting: Fitting,
    { connection, index, of, series, together, when }: SaidConnection,
  ): void {
    const { ref } = fitting;
    switch (connection.kind) {
      case 'across':
        readAcross(fitting, connection, index, of, when);
        return;
      case 'terminal': {
        const terminal = `${ref.name}.${normalTerminal(ref.class, connection.terminal.text)}`;
        names.add(terminal, NAME_RANKS.terminal);
        if (connection.to.kind === 'ref' && isTwoTerminal(connection.to.class)) {
          partOf(connection.to).claims.push({
            near: [terminal],
            far: [],
            groundedIfAlone: false,
            own: false,
            when,
          });
        } else tie(terminal, use(connection.to));
        if (isPolarised(fitting)) nameEnds(fitting);
        return;
      }
      case 'hangs': {
        const electrode = normalTerminal('valve', connection.electrode.text);
        const at = `${ref.name}.${electrode}`;
        names.add(at, NAME_RANKS.electrode);
        hang(at, electrode, connection.on, connection.far, when);
        return;
      }
      case 'ends': {
        // `R1, R2 = 220k, B+ to mid, mid to gnd`: as many places as parts are one each.
        if (of > 1) {
          const places = fitting.connections.filter(
            (said) => said.when === when && said.connection.kind === 'ends' && !said.series,
          );
          if (places.length === of && places[index]?.connection !== connection) return;
        }
        const from = ownShare(connection.from, index, of, series).map(use);
        const to = ownShare(connection.to, index, of, series).map(use);
        const hasTo = connection.toWritten || to.length > 0;
        if (series && of > 1) seriesEnds(ref, index, of, together, from, hasTo ? to : ['gnd'], when);
        else if (isTwoTerminal(ref.class)) {
          const claim = { near: from, far: to, groundedIfAlone: !hasTo, own: true, when };
          partOf(ref).claims.push(claim);
        } else manyEnds(fitting, from, to);
        return;
      }
    }
  }

  /**
   * As many parts across as many: one each. One across both of a series pair, however that is written, lies over the pair. Else
   * all across the first.
   */
  function readAcross(
    { ref, connections }: Fitting,
    connection: Extract<Connection, { kind: 'across' }>,
    index: number,
    of: number,
    when: number,
  ): void {
    const { start } = connection.span;
    const side = connections.filter(
      (said) =>
        said.when === when && said.connection.kind === 'across' && said.connection.span.start === start,
    );
    const pair = of === 1 && side.length > 1 ? stringOf(side) : undefined;
    if (pair !== undefined) {
      if (side[0]?.connection === connection) across.push({ ref, ...pair, when });
      return;
    }
    const own = side[side.length === of ? index : 0];
    if (own?.connection !== connection) return;
    const second = of === 1 && side.length === 2 ? side[1]?.connection : undefined;
    const both = second?.kind === 'across' ? ([connection.ref, second.ref] as const) : undefined;
    across.push({ ref, on: connection.ref, ...(both && { both }), when });
  }

  /** `plus at B+1, minus at gnd` are the two ends; one of them alone leaves the other at ground. */
  function nameEnds({ ref, connections }: Fitting): void {
    const [one, two] = terminalNames(ref);
    const said = connections.flatMap(({ connection }) =>
      connection.kind === 'terminal' ? [normalTerminal(ref.class, connection.terminal.text)] : [],
    );
    for (const [name, end] of [
      ['plus', one],
      ['minus', two],
    ] as const) {
      if (said.includes(name)) names.join(`${ref.name}.${name}`, end);
      else if (!said.some((other) => names.isJoined(`${ref.name}.${other}`, 'gnd'))) names.join(end, 'gnd');
    }
  }

  /** First and last of the series string that the parts of these connections are, all of it. */
  function stringOf(side: readonly SaidConnection[]): { on: Ref; last: Ref } | undefined {
    const on = side.flatMap(({ connection }) => (connection.kind === 'across' ? [connection.ref] : []));
    const [any] = on;
    const together = any && fittings.get(any.name)?.connections.find(({ series }) => series)?.together;
    const inOrder = together?.map((name) => on.find((ref) => ref.name === name));
    const [first, last] = [inOrder?.[0], inOrder?.at(-1)];
    const isWhole = inOrder?.length === on.length && inOrder.every((ref) => ref !== undefined);
    return isWhole && first !== undefined && last !== undefined ? { on: first, last } : undefined;
  }

  /** The far ends of two parts that meet at one node other than ground (`C40 = 100uF, B+1 to mid`, `C41 = 100uF, mid to gnd`). */
  function outerEnds(one: Ref, other: Ref): readonly [string, string] | undefined {
    const [a, b] = [terminalNames(one), terminalNames(other)];
    const meeting = [
      [0, 0],
      [0, 1],
      [1, 0],
      [1, 1],
    ] as const;
    const [first, ...more] = meeting.filter(([i, j]) => names.isJoined(a[i], b[j]));
    if (first === undefined || more.length > 0) return undefined;
    const [i, j] = first;
    if (names.isJoined(a[i], 'gnd')) return undefined;
    return [a[i === 0 ? 1 : 0], b[j === 0 ? 1 : 0]];
  }

  /** What hangs on an electrode, and its other end. */
  function hang(at: string, electrode: string, on: Point, far: Point | undefined, when: number): void {
    if (on.kind !== 'ref' || !isTwoTerminal(on.class)) {
      tie(at, use(on));
      if (far !== undefined) tie(at, use(far));
      return;
    }
    const toGround = electrode === 'k' || electrode === 'g';
    if (far?.kind === 'ref' && isTwoTerminal(far.class)) {
      // A resistor and its bypass hang side by side on a cathode; elsewhere one part follows the other.
      if (electrode === 'k' && far.class !== on.class) {
        for (const ref of [on, far])
          partOf(ref).claims.push({ near: [at], far: [], groundedIfAlone: true, own: false, when });
        return;
      }
    }
    const end = far === undefined ? [] : [use(far)];
    partOf(on).claims.push({ near: [at], far: end, groundedIfAlone: toGround, own: false, when });
  }

  /** `C40 + C41`: one after the other from the first end to the second. */
  function seriesEnds(
    ref: Ref,
    index: number,
    of: number,
    together: readonly string[],
    from: string[],
    to: string[],
    when: number,
  ): void {
    const middle = (i: number): string => {
      const name = `${together[i] ?? ref.name}+${together[i + 1] ?? ''}`;
      names.add(name, NAME_RANKS.named);
      return name;
    };
    const near = index === 0 ? from : [middle(index - 1)];
    const far = index === of - 1 ? to : [middle(index)];
    partOf(ref).claims.push({ near, far, groundedIfAlone: false, own: true, when });
  }

  /** Ends of parts with more than two terminals: rectifier valves and transformers. */
  function manyEnds({ ref }: Fitting, from: readonly string[], to: readonly string[]): void {
    const tieAll = (terminal: string, points: readonly string[], rank: number): void => {
      if (points.length === 0) return;
      const name = `${ref.name}.${terminal}`;
      names.add(name, rank);
      for (const point of points) tie(name, point);
    };
    if (ref.class === 'valve') {
      tieAll('a', from, NAME_RANKS.electrode);
      tieAll('k', to, NAME_RANKS.electrode);
      return;
    }
    for (const [i, point] of from.entries()) tieAll(`p${i + 1}`, [point], NAME_RANKS.own);
    tieAll(from.length > 1 ? 'ct' : 'p2', to, NAME_RANKS.own);
  }

  function terminalNames(ref: Ref): readonly [string, string] {
    const [first, second] = TERMINALS_OF[ref.class] ?? ['1', '2'];
    const one = `${ref.name}.${first}`;
    const two = `${ref.name}.${second}`;
    names.add(one, NAME_RANKS.own);
    names.add(two, NAME_RANKS.own);
    return [one, two];
  }

  /** Joins a two-terminal part's ends to the points that its claims name. */
  function place({ ref, claims }: TwoTerminalPart): void {
    const [one, two] = terminalNames(ref);
    let latest = Number.NEGATIVE_INFINITY;
    for (const { own, when } of claims) if (own) latest = Math.max(latest, when);
    // Where the part itself was restated later, what a stage line once said of it no longer holds.
    const full: Claim[] = [];
    const half: Claim[] = [];
    for (const claim of claims) {
      const { near, far, own, when } = claim;
      if (!own && when < latest) continue;
      if (far.length > 0) full.push(claim);
      else if (near.length > 0) half.push(claim);
    }
    if (full.length > 1) full.sort(byPoints);
    if (half.length > 1) half.sort(byPoints);
    for (const { near, far } of full) {
      const crossed =
        (isJoinedToAny(one, far) || isJoinedToAny(two, near)) &&
        !isJoinedToAny(one, near) &&
        !isJoinedToAny(two, far);
      const [a, b] = crossed ? [two, one] : [one, two];
      for (const point of near) tie(a, point);
      for (const point of far) tie(b, point);
    }
    if (full.length === 0) placeHalves(one, two, half);
    else {
      for (const { near } of half) {
        if (near.some((point) => isJoinedToAny(point, [one, two]))) continue;
        // A point that a stage line ties to a placed part joins its live end.
        const [live] = names.isJoined(one, 'gnd') ? [two] : [one];
        for (const point of near) tie(live, point);
      }
    }
    placed.add(ref.name);
  }

  function placeHalves(one: string, two: string, half: readonly Claim[]): void {
    const [first] = half;
    if (first === undefined) return;
    for (const point of first.near) tie(one, point);
    const rest = half.slice(1).filter(({ near }) => !near.some((point) => names.isJoined(point, one)));
    const [second] = rest;
    if (second === undefined) {
      if (half.some(({ groundedIfAlone }) => groundedIfAlone)) names.join(two, 'gnd');
      return;
    }
    const sharesElectrode =
      rest.every(({ near }) => electrodeOf(near[0]) === 'k') && electrodeOf(first.near[0]) === 'k';
    if (sharesElectrode) {
      for (const { near } of rest) for (const point of near) tie(one, point);
      names.join(two, 'gnd');
      return;
    }
    for (const { near } of rest) for (const point of near) tie(two, point);
  }

  /** `V1A.a to VR1`: the end of VR1 that names this part, else the one that nothing else was said of. */
  function settleLooseEnds(): void {
    const settled = new Set<LooseEnd>();
    const inOrder = [...loose.values()].sort(
      (a, b) => compareNames(a.terminal, b.terminal) || compareNames(a.target, b.target),
    );
    const byPair = new Map(inOrder.map((end) => [`${refOf(end.terminal)}>${end.target}`, end]));
    for (const end of inOrder) {
      if (settled.has(end)) continue;
      const { terminal, target } = end;
      const back = byPair.get(`${target}>${refOf(terminal)}`);
      const ref = refs.get(target);
      settled.add(end);
      if (back !== undefined && back !== end) {
        names.join(terminal, back.terminal);
        settled.add(back);
      } else if (ref !== undefined) {
        const [one, two] = terminalNames(ref);
        const isTaken = occupied.has(one) && (!occupied.has(two) || names.isJoined(one, 'gnd'));
        const chosen = isTaken ? two : one;
        names.join(terminal, chosen);
        occupied.add(chosen);
        placed.add(target);
      }
    }
  }

  function isJoinedToAny(name: string, points: readonly string[]): boolean {
    return points.some((point) => names.isJoined(name, point));
  }

  /** Whether a name is a terminal of something that is there: a fitted part that was placed, or an electrode of a valve. */
  function isTerminal(name: string): boolean {
    const ref = refOf(name);
    if (ref === name || ofHalves.has(name)) return false;
    return fittings.has(ref)
      ? !parts.has(ref) || placed.has(ref)
      : names.rankOf(name) === NAME_RANKS.electrode || halves.has(ref);
  }
}

/** A point that is a whole part: which of its ends is meant follows from the others. */
const BARE = '@';

interface LooseEnd {
  readonly terminal: string;
  readonly target: string;
}

function isTwoTerminal(partClass: PartClass): boolean {
  return TERMINALS_OF[partClass] !== undefined;
}

/** A part of two ends, of which its poles are all that is said. */
function isPolarised({ ref, connections }: Fitting): boolean {
  return (
    isTwoTerminal(ref.class) &&
    ref.class !== 'diode' &&
    ref.class !== 'potentiometer' &&
    connections.every(
      ({ connection }) =>
        connection.kind === 'terminal' &&
        /^(?:plus|minus)$/.test(normalTerminal(ref.class, connection.terminal.text)),
    )
  );
}

/** n refs with n points at an end take one each; with one point they share it. */
function ownShare(points: readonly Point[], index: number, of: number, series: boolean): readonly Point[] {
  if (series || of < 2 || points.length !== of) return points;
  const own = points[index];
  return own === undefined ? [] : [own];
}

function byPoints(a: Claim, b: Claim): number {
  return compareNames(a.near.join(' '), b.near.join(' ')) || compareNames(a.far.join(' '), b.far.join(' '));
}

function electrodeOf(point: string | undefined): string | undefined {
  const dot = point?.indexOf('.') ?? -1;
  return dot < 0 ? undefined : point?.slice(dot + 1);
}
