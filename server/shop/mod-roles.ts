/**
 * Owns how a mod sheet says in words what a part does (`cathode bypass of the first stage`), and which part of an amplifier
 * that is. It must not know what is done to the part.
 */

import type { FittedPart, PhaseView, Role } from '../bench/model.ts';
import { stagesInOrder } from '../bench/stage-order.ts';
import { findPart, type PartFound } from '../bench/wanted-part.ts';

export interface RoleSaid {
  readonly role: Role;
  /** Whose; absent where nobody says. */
  readonly of?: ServedSaid;
  /** As it was written, without what stands behind. */
  readonly words: string;
}

type ServedSaid =
  | { readonly kind: 'stage'; readonly nth: number }
  | { readonly kind: 'splitter' }
  | { readonly kind: 'output' }
  | { readonly kind: 'valves'; readonly refs: readonly string[] };

/** What the trade calls each role. The longest word is tried first. */
const ROLE_NAMES: readonly (readonly [string, Role])[] = (
  [
    ['anode load', 'anode-load'],
    ['anode resistor', 'anode-load'],
    ['plate load', 'anode-load'],
    ['plate resistor', 'anode-load'],
    ['cathode resistor', 'cathode-resistor'],
    ['cathode bypass', 'cathode-bypass'],
    ['cathode capacitor', 'cathode-bypass'],
    ['coupling', 'coupling'],
    ['grid leak', 'grid-leak'],
    ['grid stopper', 'grid-stopper'],
    ['screen resistor', 'screen-resistor'],
    ['screen stopper', 'screen-resistor'],
    ['dropper', 'dropper'],
    ['dropping resistor', 'dropper'],
    ['reservoir', 'reservoir'],
    ['smoothing', 'smoothing'],
    ['sense resistor', 'sense-resistor'],
    ['bleeder', 'bleeder'],
    ['choke', 'choke'],
    ['output transformer', 'output-transformer'],
    ['mains transformer', 'mains-transformer'],
    ['rectifier', 'rectifier'],
    ['tail', 'tail'],
    ['feedback', 'feedback'],
    ['snubber', 'snubber'],
    ['volume', 'volume'],
    ['bright', 'bright'],
    ['treble cut', 'treble-cut'],
    ['tone', 'tone'],
  ] as const
).toSorted(([one], [other]) => other.length - one.length);

const NTH: Readonly<Record<string, number>> = { first: 1, second: 2, third: 3, fourth: 4, fifth: 5 };

/** The role that a remark is, or that it opens with before a comma; undefined where it is anything else. */
export function readRole(remark: string): RoleSaid | undefined {
  const text = remark.trim().replace(/^the\s+/i, '');
  for (const [name, role] of ROLE_NAMES) {
    const head = new RegExp(
      `^${name.replaceAll(' ', '[ -]')}(?:\\s+(?:capacitor|resistor|control|pot))?s?(?![\\p{L}\\p{N}])`,
      'iu',
    ).exec(text);
    if (head === null) continue;
    const rest = text.slice(head[0].length);
    const of = readServed(rest);
    // Words that go on say something of the part, and begin with a role by chance: `feedback was too strong`.
    if (!/^\s*(?:$|[,;.:(–-])/.test(rest.slice(of?.length ?? 0))) return undefined;
    return {
      role,
      ...(of && { of: of.served }),
      words: `${head[0]}${of === undefined ? '' : rest.slice(0, of.length)}`,
    };
  }
  return undefined;
}

function readServed(rest: string): { readonly served: ServedSaid; readonly length: number } | undefined {
  const joint = '^\\s+(?:of|to|at|under|into|for)\\s+(?:the\\s+)?';
  const find = (words: string) => new RegExp(`${joint}(?:${words})(?![\\p{L}\\p{N}])`, 'iu').exec(rest);
  const stage = find(`(${Object.keys(NTH).join('|')})(?:\\s+(?:stage|cathode|valve|triode|grid|anode))?`);
  if (stage !== null)
    return {
      served: { kind: 'stage', nth: NTH[(stage[1] ?? '').toLowerCase()] ?? 1 },
      length: stage[0].length,
    };
  const splitter = find('(?:phase[ -])?(?:splitter|inverter)');
  if (splitter !== null) return { served: { kind: 'splitter' }, length: splitter[0].length };
  const output = find('output(?:[ -](?:valves?|tubes?|stage|pair))?');
  if (output !== null) return { served: { kind: 'output' }, length: output[0].length };
  const valves = find('(V\\d+[A-Z]?(?:\\s*(?:,|and|&)\\s*V\\d+[A-Z]?)*)');
  if (valves !== null)
    return {
      served: { kind: 'valves', refs: (valves[1] ?? '').toUpperCase().match(/V\d+[A-Z]?/g) ?? [] },
      length: valves[0].length,
    };
  return undefined;
}

export interface RoleWanted {
  readonly said: RoleSaid;
  readonly class: FittedPart['class'];
  /** What it was, in the unit of the class. */
  readonly value?: number;
  readonly ref: string;
}

/**
 * The part of that role. Valves that are called by ref are a hint only where no sheet ties that ref to this amplifier, and so
 * hold only where nothing else of that role and value is there.
 */
export function findByRole(view: PhaseView, { said, class: of, value, ref }: RoleWanted): PartFound {
  const bare = { role: said.role, class: of, ...(value !== undefined && { value }) };
  if (said.of === undefined || said.of.kind === 'valves') return findPart(view, bare);
  const wanted = { ...bare, ref };
  const groups = servedBy(said.of, view);
  const [first, ...others] = groups.flatMap((serves) => {
    const found = findPart(view, { ...wanted, serves });
    return found.kind === 'none' ? [] : [found];
  });
  if (first === undefined) return { kind: 'none' };
  if (others.length === 0) return first;
  // One part for several valves, or several alike of which the ref is one.
  const parts = new Map([first, ...others].flatMap(partsIn).map((part) => [part.ref, part]));
  const own = parts.get(ref);
  if (parts.size === 1 || first.kind === 'other-value') return first;
  return own === undefined || [first, ...others].some(({ kind }) => kind !== 'found')
    ? { kind: 'several', parts: [...parts.values()] }
    : { kind: 'found', part: own, because: view.roles.get(ref)?.because ?? 'by its ref', isHinted: true };
}

/** Whether a part has another role than the one that is said, or serves others; one of which nothing is known has not. */
export function hasOtherRole(part: FittedPart, said: RoleSaid, view: PhaseView): boolean {
  const found = view.roles.get(part.ref);
  if (found === undefined || found.role === 'unknown') return false;
  if (found.role !== said.role && found.network?.name !== said.role) return true;
  const groups = said.of === undefined ? [] : servedBy(said.of, view);
  return groups.length > 0 && !groups.some((refs) => refs.every((ref) => found.serves.includes(ref)));
}

function partsIn(found: PartFound): readonly FittedPart[] {
  if (found.kind === 'found') return [found.part];
  return found.kind === 'none' ? [] : found.parts;
}

/** Valves that are meant, each list by itself one that a part may serve. */
function servedBy(of: ServedSaid, view: PhaseView): readonly (readonly string[])[] {
  switch (of.kind) {
    case 'stage': {
      const stage = stagesInOrder(view)[of.nth - 1] ?? [];
      // Two side by side are two stages that may be meant.
      return stage.map((ref) => [ref]);
    }
    case 'splitter':
      return [...view.roles.values()]
        .filter(({ ref, role, network }) => /^V\d/.test(ref) && SPLITTERS.has(network?.name ?? role))
        .map(({ ref }) => [ref]);
    case 'output':
      return [...view.roles.values()]
        .filter(({ role }) => role === 'output-transformer')
        .flatMap(({ serves }) => serves.map((ref) => [ref]));
    case 'valves':
      return of.refs.map((ref) => [ref]);
  }
}

const SPLITTERS: ReadonlySet<Role> = new Set<Role>(['long-tail-pair', 'cathodyne', 'paraphase']);
