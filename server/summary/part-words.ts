/** Owns how a part is described on a page: its value, ratings and kind for the bench, its plain name for its owner. */
import type { FittedPart, Known, PhaseView, Role } from '../bench/model.ts';
import { calledRole, sayKinds } from '../bench/saying.ts';
import { findPartClass } from '../dialect/letters.ts';
import type { PartClass, Winding } from '../dialect/tree.ts';
import type { WrittenValue } from '../units/value.ts';
import { aside, type Text } from './document.ts';
import type { Numbers } from './numbers.ts';
import type { PlainPart } from './plain-part.ts';
import type { Telling } from './telling.ts';

type Saying = Pick<Telling, 'numbers' | 'words'>;

/** `47 µF 450 V electrolytic`, `5881`, `T 1 A`; undefined where nothing but the ref is written. */
export function describePart(part: FittedPart, { numbers, words }: Saying): string | undefined {
  const { ratings, specification } = part;
  const showKnown = shower(numbers);
  const said = [
    part.type?.text,
    specification?.fuseSpeed?.text,
    ...valuesOf(part, numbers),
    windingsOf(part, numbers),
    showKnown(part.resistance),
    // A loudspeaker's impedance is its main value already.
    part.impedance?.quantity.value === part.value?.quantity.value ? undefined : showKnown(part.impedance),
    showKnown(ratings.voltage),
    showKnown(ratings.current),
    showKnown(ratings.power),
    showKnown(ratings.temperature),
    part.isToleranceMarked ? `±${numbers.sayValue(part.tolerance, '1')}` : undefined,
    ...sayKinds(part.kinds, words.terms),
    ratings.date,
  ].filter((each): each is string => each !== undefined && each !== '');
  return said.length === 0 ? undefined : [...new Set(said)].join(' ');
}

/** What a part is made for, without words of its construction unless they are asked for. */
export function describeForOwner(
  part: FittedPart,
  withKinds: boolean,
  { numbers, words }: Saying,
): string | undefined {
  const { ratings, specification } = part;
  const showKnown = shower(numbers);
  const said = [
    part.type?.text,
    specification?.fuseSpeed?.text,
    ...valuesOf(part, numbers),
    windingsOf(part, numbers),
    showKnown(ratings.voltage),
    showKnown(ratings.current),
    showKnown(ratings.power),
    ...(withKinds ? sayKinds(part.kinds, words.terms) : []),
  ].filter((each): each is string => each !== undefined && each !== '');
  return said.length === 0 ? undefined : [...new Set(said)].join(' ');
}

function valuesOf(part: FittedPart, numbers: Numbers): readonly (string | undefined)[] {
  const farads = (part.specification?.values ?? []).flatMap((each) =>
    each.kind === 'value' && each.value.quantity.unit === 'F' ? [numbers.say(each.value.quantity)] : [],
  );
  // A can that went as a whole had all its sections.
  if (farads.length > 1 && part.section === undefined) return [farads.join(' + ')];
  if (part.value !== undefined) return [numbers.say(part.value.quantity)];
  return (part.specification?.values ?? []).map((each) =>
    each.kind === 'value' ? numbers.say(each.value.quantity) : each.spelling,
  );
}

/** `290-0-290 V 300 mA, 6.3 V 4 A` of a mains transformer, `6.6 kΩ : 4 Ω, 8 Ω` of an output transformer. */
function windingsOf({ specification }: FittedPart, numbers: Numbers): string | undefined {
  const say = (written: WrittenValue | undefined): string | undefined =>
    written === undefined
      ? undefined
      : written.kind === 'value'
        ? numbers.say(written.value.quantity)
        : written.spelling;
  const sayAll = (side: Winding['side']): string =>
    (specification?.windings ?? [])
      .filter((each) => each.side === side)
      .map(({ volts, centreTapped, impedance, current }) => {
        const half = say(volts);
        // The number stands twice, its unit once.
        const whole = half && centreTapped ? `${half.split('\u00a0')[0]}-0-${half}` : half;
        return [whole, say(impedance), say(current)].filter((each) => each !== undefined).join(' ');
      })
      .join(', ');
  const said = [sayAll('primary'), sayAll('secondary')].filter((each) => each !== '').join(' : ');
  return said === '' ? undefined : said;
}

function shower(numbers: Numbers): (known: Known | undefined) => string | undefined {
  return (known) => (known === undefined ? undefined : numbers.say(known.quantity));
}

/** The part's role where its connections tell it in any phase, the latest that knows one. */
export function roleOf(phases: readonly PhaseView[], ref: string): Role {
  const found = phases.findLast((view) => known(view, ref) !== undefined)?.roles.get(ref);
  return found === undefined ? 'unknown' : calledRole(found);
}

function known(view: PhaseView, ref: string): Role | undefined {
  const role = view.roles.get(ref)?.role;
  return role === 'unknown' ? undefined : role;
}

/** What a part is called for its owner, and what it does. */
export function plainPart(
  { amplifier, words }: Telling,
  ref: string,
  part: FittedPart | undefined,
): PlainPart {
  const { phases } = amplifier;
  const role = roleOf(phases, ref);
  const byRoles: Readonly<Partial<Record<Role, PlainPart>>> = words.plainRoles;
  const byRole = byRoles[role];
  if (byRole !== undefined)
    return part?.class === 'valve' && role === 'rectifier'
      ? { ...byRole, name: words.rectifierValve }
      : byRole;
  const found = part ?? phases.findLast((view) => view.parts.has(ref))?.parts.get(ref);
  switch (found?.type?.valve?.kind) {
    case 'rectifier':
      return { ...words.plainRoles.rectifier, name: words.rectifierValve };
    case 'triode':
      return words.smallValve;
    case 'pentode':
    case 'beam-tetrode':
      if (feedsTransformer(phases, ref)) return words.outputValve;
  }
  return words.plainClasses[found?.class ?? classOf(ref)];
}

/** Whether a valve's anode goes to an output transformer, as far as connections are written. */
function feedsTransformer(phases: readonly PhaseView[], ref: string): boolean {
  return phases.some(({ roles }) =>
    [...roles.values()].some(({ role, serves }) => role === 'output-transformer' && serves.includes(ref)),
  );
}

/** The class that a ref's letters name, of a part that no sheet declares. */
function classOf(ref: string): PartClass {
  return findPartClass(ref.match(/^[A-Z]+/)?.[0] ?? '') ?? 'other';
}

/** `reservoir` beside a ref on the bench; empty where nothing tells it. */
export function benchRole({ amplifier, words }: Telling, ref: string): string {
  return words.roles[roleOf(amplifier.phases, ref)];
}

/** A ref with its role beside it. */
export function namedPart(telling: Telling, ref: string): Text {
  const role = benchRole(telling, ref);
  return role === '' ? ref : [ref, ' ', aside('note', role)];
}
