/**
 * Owns the groups that a part falls into when failures are counted: which part of which chassis, its place in the model whatever
 * number it bears there, its role, its kind, how hard it runs, how old it is and, of a valve, its type. A visit is exposed to a group if its amplifier has such a part.
 */
import type { FittedPart, PhaseView, Role } from '../bench/model.ts';
import { isRail } from '../bench/points.ts';
import { calledRole } from '../bench/saying.ts';
import { type Stop, stopOf } from '../bench/walk.ts';
import { findCapacitorKind } from '../catalogue/capacitor-facts.ts';
import { findResistorStyle } from '../catalogue/resistor-bodies.ts';
import { isLikeForLike } from './like-for-like.ts';
import { likenessTo } from './same-part.ts';
import type { Analysis } from './shop.ts';
import type { ShopLanguage, ShopWords } from './shop-words.ts';
import { fieldOf, type Visit } from './visits.ts';

/** In the order in which they are told. */
export const DIMENSIONS = ['part', 'place', 'role', 'kind', 'margin', 'age', 'valve'] as const;
export type Dimension = (typeof DIMENSIONS)[number];

/** The groups of one part, by name; a dimension in which nothing is known of it is left out. */
export type Groups = Readonly<Partial<Record<Dimension, string>>>;

/** A part as it came in, with what is known of how it ran. */
export interface ExposedPart {
  readonly part: FittedPart;
  /** What it is in the words of the trade: `reservoir`, `output valve`. */
  readonly role?: string;
  /** Whether it makes direct current, as far as its place tells. */
  readonly isRectifying: boolean;
  readonly groups: Groups;
}

/** Chassis and ref of a group of `part`. */
const PART_SEPARATOR = ': ';

/** Every part of the amplifier as it came in, by ref; a valve once, not half by half. */
export function exposedParts(
  analysis: Analysis,
  visit: Visit,
  language: ShopLanguage,
): ReadonlyMap<string, ExposedPart> {
  const { phases } = analysis.amplifier;
  const found = asFoundOf(analysis);
  const parts = new Map<string, ExposedPart>();
  if (found === undefined) return parts;
  const factory = phases.find(({ phase }) => phase === 'factory');
  const loads = { found: loadsOf(found), ...(factory && { factory: loadsOf(factory) }) };
  const years = { now: yearOf(visit.received ?? visit.returned), made: yearMade(analysis) };
  for (const each of found.parts.values()) {
    const ref = each.class === 'valve' ? each.whole : each.ref;
    if (parts.has(ref)) continue;
    const part = found.parts.get(ref) ?? each;
    const drawn = factory?.parts.get(part.ref);
    const role = roleOf(part, found, language);
    const place = placeOf(part, role, found, language);
    const kind = kindOf(part, drawn, language);
    const margin = marginOf(part, ref, drawn, loads, language);
    const age = ageOf(part, drawn, years, language);
    const valve = part.class === 'valve' ? (part.type?.valve?.type ?? part.type?.text) : undefined;
    parts.set(ref, {
      part,
      ...(role !== undefined && { role }),
      isRectifying: isRectifying(part, found),
      groups: {
        ...(visit.chassis !== undefined && { part: `${visit.chassis}${PART_SEPARATOR}${ref}` }),
        ...(place !== undefined &&
          visit.model !== undefined && { place: `${visit.model}${PART_SEPARATOR}${place}` }),
        ...(role !== undefined && { role }),
        ...(kind !== undefined && { kind }),
        ...(margin !== undefined && { margin }),
        ...(age !== undefined && { age }),
        ...(valve !== undefined && { valve }),
      },
    });
  }
  return parts;
}

/** The amplifier as it came in; a sheet that says nothing of that gives its first state. */
export function asFoundOf({ amplifier: { phases } }: Pick<Analysis, 'amplifier'>): PhaseView | undefined {
  return phases.find(({ phase }) => phase === 'as-found') ?? phases[0];
}

const VALVE_ROLES: Partial<Record<Stop, keyof ShopWords['groups']['valveRoles']>> = {
  supply: 'rectifier',
  input: 'gain',
  tone: 'gain',
  splitter: 'splitter',
  output: 'output',
  reverb: 'reverb',
};

/** Roles that are no name of a part by themselves: a smoothing capacitor, a tone control's potentiometer. */
const NEEDS_CLASS: ReadonlySet<Role> = new Set<Role>([
  'coupling',
  'smoothing',
  'cathode-bypass',
  'feedback',
  'feedback-loop',
  'feedback-shelf',
  'grid-return',
  'volume',
  'bright',
  'tone',
  'treble-cut',
  'bias-supply',
  'standby',
  'heater-reference',
  'reverb-drive',
  'reverb-recovery',
  'long-tail-pair',
  'cathodyne',
  'paraphase',
  'cathode-follower',
]);

/** Classes that say by themselves what the part is for. */
const OWN_ROLE: ReadonlySet<FittedPart['class']> = new Set([
  'fuse',
  'loudspeaker',
  'lamp',
  'tank',
  'relay',
  'thermistor',
  'battery',
]);

/** A valve's stop says what it is for; any other part has the role that its connections give it. */
export function roleOf(
  part: FittedPart,
  view: PhaseView,
  { terms, says: { groups: w } }: ShopLanguage,
): string | undefined {
  if (part.class === 'valve') {
    const stop = stopOf(part, view);
    const role = VALVE_ROLES[stop];
    // A valve of which nothing but readings is written may be any.
    if (role === undefined || (stop === 'input' && !hasParts(part, view))) return undefined;
    return w.valveRoles[role];
  }
  const role = view.roles.get(part.ref);
  const found = role && calledRole(role);
  if (found === undefined || found === 'unknown')
    return OWN_ROLE.has(part.class) ? terms.classes[part.class] : undefined;
  const said = terms.roles[found];
  return NEEDS_CLASS.has(found) ? w.roleOfClass(said, terms.classes[part.class]) : said;
}

/** Whether anything but valves hangs on it. */
function hasParts({ whole }: FittedPart, { parts, circuit }: PhaseView): boolean {
  return [...parts.values()].some(
    (section) =>
      section.whole === whole &&
      [...section.terminals.values()].some(
        (node) =>
          node !== 'gnd' && circuit.attached(node).some((each) => parts.get(each.ref)?.class !== 'valve'),
      ),
  );
}

function isRectifying(part: FittedPart, view: PhaseView): boolean {
  return part.class === 'valve'
    ? stopOf(part, view) === 'supply'
    : view.roles.get(part.ref)?.role === 'rectifier';
}

/** `coupling capacitor of V4`: what it does for which valve, which a new numbering leaves as it is. */
function placeOf(
  part: FittedPart,
  role: string | undefined,
  view: PhaseView,
  { terms, says: { groups: w } }: ShopLanguage,
): string | undefined {
  if (role === undefined) return undefined;
  if (part.class === 'valve') return `${role} ${part.whole}`;
  const serves = view.roles.get(part.ref)?.serves ?? [];
  const rail = [...part.terminals.values()].find(isRail);
  if (serves.length > 0) return terms.roleOf(role, serves.join(', '));
  return rail === undefined ? role : w.at(role, rail);
}

/** Classes whose parts wear out or break: a test point or a connector that nobody described is none. */
const COUNTED: ReadonlySet<FittedPart['class']> = new Set([
  'resistor',
  'potentiometer',
  'capacitor',
  'inductor',
  'transformer',
  'valve',
  'diode',
  'transistor',
  'integrated-circuit',
  'fuse',
  'switch',
  'connector',
  'loudspeaker',
  'lamp',
  'relay',
  'tank',
  'thermistor',
  'battery',
]);

/** `electrolytic capacitors`, `beam tetrodes`; what is not written is said to be so. */
function kindOf(
  part: FittedPart,
  drawn: FittedPart | undefined,
  { says: { groups: w } }: ShopLanguage,
): string | undefined {
  const { class: of, type } = part;
  // A job names an old part by its value alone; its kind is the drawing's, as long as it may be that very part.
  const kinds =
    part.kinds.length === 0 && drawn !== undefined && isLikeForLike(drawn, part) ? drawn.kinds : part.kinds;
  if (!COUNTED.has(of)) return undefined;
  switch (of) {
    case 'capacitor':
      return w.capacitors[findCapacitorKind(kinds) ?? 'unwritten'];
    case 'resistor':
      return w.resistors[findResistorStyle(kinds) ?? 'unwritten'];
    case 'valve':
      return w.valves[type?.valve?.kind ?? 'unknown'];
    default:
      return w.plurals[of];
  }
}

/** The share of its rating that each part runs at, by ref: the worst that is known. */
type Loads = ReadonlyMap<string, number>;

function loadsOf(view: PhaseView): Loads {
  const loads = new Map<string, number>();
  for (const { subject, figure, quantity, set } of view.figures) {
    if (set !== 0 && set !== view.verdictSet?.id) continue;
    const share = figure === 'margin' ? 1 - quantity.value : quantity.value;
    if (figure !== 'margin' && figure !== 'loading' && figure !== 'anode-loading') continue;
    const ref =
      view.parts.get(subject)?.class === 'valve' ? (view.parts.get(subject)?.whole ?? subject) : subject;
    loads.set(ref, Math.max(loads.get(ref) ?? Number.NEGATIVE_INFINITY, share));
  }
  return loads;
}

/** Ends of the steps of load, each below; the words of the steps stand in the same order. */
const LOAD_STEPS: readonly number[] = [0.5, 0.75, 0.9, 1 + 1e-9, Number.POSITIVE_INFINITY];

/** What it ran at while it was well: by the chassis sheet where the part is that sheet's, else as it came in. */
function marginOf(
  part: FittedPart,
  ref: string,
  drawn: FittedPart | undefined,
  loads: { readonly found: Loads; readonly factory?: Loads },
  { says: { groups: w } }: ShopLanguage,
): string | undefined {
  const rated: Partial<Record<FittedPart['class'], string>> = w.rated;
  const of = rated[part.class];
  const own = drawn !== undefined && isOneRating(drawn, part) ? loads.factory?.get(ref) : undefined;
  const share = own ?? loads.found.get(ref);
  if (of === undefined || share === undefined || !Number.isFinite(share)) return undefined;
  const load = w.loads[LOAD_STEPS.findIndex((below) => share < below)];
  return load === undefined ? undefined : w.loaded(w.plurals[part.class], load, of);
}

/** The very part that is drawn, or one that runs at the same share of its rating. */
function isOneRating(drawn: FittedPart, part: FittedPart): boolean {
  if (drawn.class === 'valve') return drawn.type?.valve === part.type?.valve;
  const rated = ({ ratings: { voltage, power } }: FittedPart) =>
    `${voltage?.quantity.value ?? ''} ${power?.quantity.value ?? ''}`;
  return rated(drawn) === rated(part) && isLikeForLike(drawn, part);
}

/** The part that is drawn, said again before it went out (`C11 = 47uF -> …`): nothing in the line speaks against that. */
function isSaidAgain(part: FittedPart, drawn: FittedPart): boolean {
  const isAlike = (of: 'voltage' | 'power' | 'current') => {
    const [one, other] = [part, drawn].map(({ ratings }) => ratings[of]?.quantity.value);
    return one === undefined || other === undefined || one === other;
  };
  return (
    likenessTo(part, drawn) === 'same' &&
    isAlike('voltage') &&
    isAlike('power') &&
    isAlike('current') &&
    (part.kinds.length === 0 || part.kinds.every((kind) => drawn.kinds.includes(kind)))
  );
}

/** The same of years. */
const AGE_STEPS: readonly number[] = [2, 5, 10, 20, 40, Number.POSITIVE_INFINITY];

/** By its own date code, else as old as what is drawn: by the date code there, or the year that the amplifier was made in. */
function ageOf(
  part: FittedPart,
  drawn: FittedPart | undefined,
  { now, made }: { readonly now: number | undefined; readonly made: number | undefined },
  { says: { groups: w } }: ShopLanguage,
): string | undefined {
  const isDrawn = part.since === 'factory' || (drawn !== undefined && isSaidAgain(part, drawn));
  const from = yearOf(part.ratings.date) ?? (isDrawn ? (yearOf(drawn?.ratings.date) ?? made) : undefined);
  if (now === undefined || from === undefined || from > now || !COUNTED.has(part.class)) return undefined;
  const age = w.ages[AGE_STEPS.findIndex((below) => now - from < below)];
  return age === undefined ? undefined : w.aged(w.plurals[part.class], age);
}

/** The year that the amplifier was made in, where its sheet or its chassis sheet has one. */
function yearMade({ sheet, chassis }: Analysis): number | undefined {
  for (const from of [sheet, chassis])
    for (const key of from === undefined ? [] : ['made', 'year', 'built']) {
      const year = from && yearOf(fieldOf(from, key));
      if (year !== undefined) return year;
    }
  return undefined;
}

/** Of a date as it is written: `1958`, `2011-04`, `04/2011`, `580412`, `'58`; a code that may be a week is none. */
function yearOf(written: string | undefined): number | undefined {
  const text = written?.trim() ?? '';
  const whole = /^(\d{4})(?:-[\d?]{2}){0,2}$/.exec(text)?.[1] ?? /^\d{1,2}\/(\d{4})$/.exec(text)?.[1];
  if (whole !== undefined) {
    const year = Number(whole);
    return year >= 1900 && year < 2100 ? year : undefined;
  }
  const short = /^(\d{2})\d{4}$/.exec(text)?.[1] ?? /^'(\d{2})$/.exec(text)?.[1];
  if (short === undefined) return undefined;
  // Two digits: no valve amplifier is from before 1930.
  return Number(short) >= 30 ? 1900 + Number(short) : 2000 + Number(short);
}
