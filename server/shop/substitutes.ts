/**
 * Owns what would serve in the place of a part that is to be bought: a higher rating, the next value on sale where the rule about
 * substitutes would pass it, another valve that goes into the same socket and stands at least as much; with what each changes.
 */
import { findEffect } from '../bench/effect-words.ts';
import type { Amplifier, FittedPart, Known, PartChange, PhaseView } from '../bench/model.ts';
import { findCapacitorKind, mainsClassesIn } from '../catalogue/capacitor-facts.ts';
import { type Catalogue, hasSamePins } from '../catalogue/find-valve.ts';
import { nearestModern, nextPreferredDown, nextPreferredUp } from '../catalogue/preferred-values.ts';
import { nextPowerRating, nextVoltageRating } from '../catalogue/standard-ratings.ts';
import type { Valve } from '../catalogue/valve.ts';
import type { House } from '../rules/house.ts';
import { passesFor } from '../rules/substitute-differs.ts';
import { lastState } from './compare.ts';
import { isCan, sayAsked } from './compare-words.ts';
import type { ShopLanguage } from './shop-words.ts';

export interface Substitute {
  readonly of: 'rating' | 'value' | 'type';
  /** `47 µF 630 V electrolytic`. */
  readonly what: string;
  /** What it changes there, computed where the circuit is known: `DC: voltage margin 39.4 → 47.1 %`. */
  readonly difference: string;
}

export interface SubstituteOptions {
  readonly catalogue: Catalogue;
  readonly house: House;
}

/** For the part of a planned change, the least change first. */
export function substitutesFor(
  change: PartChange,
  amplifier: Amplifier,
  options: SubstituteOptions,
  language: ShopLanguage,
): readonly Substitute[] {
  const { substitutes: w } = language.says;
  const view = lastState(amplifier);
  const { is } = change;
  if (is === undefined || view === undefined) return [];
  const placed = view.parts.get(change.ref);
  const part = is.terminals.size > 0 || placed === undefined ? is : { ...is, terminals: placed.terminals };
  return candidatesFor(part, change.ref, view, options).flatMap(({ of, part: other, always }) => {
    const effect = findEffect(
      { ref: change.ref, was: part, is: other, planned: true, source: change.source },
      amplifier,
      language.terms,
    );
    const said = [
      ...(effect?.direct === undefined ? [] : [`${effect.directHead}: ${effect.direct}`]),
      ...(effect?.signal === undefined ? [] : [w.withSignal(effect.signal)]),
      ...(always === undefined ? [] : [w[always]]),
    ];
    return {
      of,
      what: sayAsked(other, language),
      difference: said.length === 0 ? w.notKnown : said.join('; '),
    };
  });
}

interface Candidate {
  readonly of: Substitute['of'];
  readonly part: FittedPart;
  /** What is true of it whatever the circuit. */
  readonly always?: 'room' | 'setAgain';
}

function candidatesFor(
  part: FittedPart,
  ref: string,
  view: PhaseView,
  options: SubstituteOptions,
): readonly Candidate[] {
  switch (part.class) {
    case 'capacitor':
      // On the mains side the class is what counts, and only the same class serves.
      if (mainsClassesIn(part.kinds).length > 0 || isCan(part)) return [];
      return [...higherVoltage(part), ...otherValues(part, ref, view, options)];
    case 'resistor':
      return [...higherPower(part), ...otherValues(part, ref, view, options)];
    case 'valve':
      return otherTypes(part, options.catalogue);
    default:
      return [];
  }
}

function higherVoltage(part: FittedPart): readonly Candidate[] {
  const rated = part.ratings.voltage;
  const next = rated && nextVoltageRating(rated.quantity.value * 1.0001);
  if (rated === undefined || next === undefined) return [];
  const voltage: Known<'V'> = { ...rated, quantity: { value: next, unit: 'V' } };
  return [
    {
      of: 'rating',
      part: { ...part, ratings: { ...part.ratings, voltage } },
      always: 'room',
    },
  ];
}

function higherPower(part: FittedPart): readonly Candidate[] {
  const rated = part.ratings.power;
  const next = rated && nextPowerRating(rated.quantity.value * 1.0001);
  if (rated === undefined || next === undefined) return [];
  const power: Known<'W'> = { ...rated, quantity: { value: next, unit: 'W' } };
  return [
    {
      of: 'rating',
      part: { ...part, ratings: { ...part.ratings, power } },
      always: 'room',
    },
  ];
}

/** More than this over a value is another part, whatever its role says. */
const MOST = 1.6;

function otherValues(
  part: FittedPart,
  ref: string,
  view: PhaseView,
  { house }: SubstituteOptions,
): readonly Candidate[] {
  const known = part.value;
  const placed = view.parts.get(ref);
  if (known === undefined || placed === undefined) return [];
  const { value } = known.quantity;
  const of = part.class === 'capacitor' ? 'capacitor' : 'resistor';
  const isElectrolytic = of === 'capacitor' && findCapacitorKind(part.kinds) === 'electrolytic';
  const series = of === 'resistor' ? 'E24' : isElectrolytic ? 'E6' : 'E12';
  const values = new Set(
    [nearestModern(value, of), nextPreferredDown(value, series), nextPreferredUp(value, series)].filter(
      (each) => each !== undefined,
    ),
  );
  const limit = reservoirLimit(ref, view);
  return [...values]
    .filter((each) => Math.abs(each / value - 1) > 1e-3 && each / value < MOST && value / each < MOST)
    .filter((each) => each <= value || limit === undefined || each <= limit)
    .sort((a, b) => Math.abs(Math.log(a / value)) - Math.abs(Math.log(b / value)))
    .flatMap((each): readonly Candidate[] => {
      const other: FittedPart = {
        ...part,
        value: { ...known, quantity: { ...known.quantity, value: each } },
      };
      const passes = passesAs(part, other, view, house);
      return passes ? [{ of: 'value', part: other }] : [];
    });
}

/** Whether the rule about substitutes would have nothing to say; more capacitance in a supply is no loss of smoothing. */
function passesAs(part: FittedPart, other: FittedPart, view: PhaseView, house: House): boolean {
  const passes = passesFor(part, other, view, (name) => house.threshold('substitute-differs', name));
  if (passes !== undefined) return passes;
  const role = view.roles.get(part.ref)?.role;
  const isFilter = role === 'reservoir' || role === 'smoothing';
  return isFilter && (other.value?.quantity.value ?? 0) > (part.value?.quantity.value ?? 0);
}

/** The most that the rectifier valve in front of a reservoir allows; undefined where there is none. */
function reservoirLimit(ref: string, view: PhaseView): number | undefined {
  if (view.roles.get(ref)?.role !== 'reservoir') return undefined;
  const limits = [...view.parts.values()].flatMap(
    ({ type }) => type?.valve?.rectifier?.reservoir.value ?? [],
  );
  return limits.length === 0 ? undefined : Math.min(...limits);
}

/** Heater current, amplification and transconductance may be another's by so much. */
const HEATER = 1.05;
const LIKE = 1.25;

/** Types of the same socket, pins and heater that stand at least as much and amplify about as much. */
function otherTypes(part: FittedPart, catalogue: Catalogue): readonly Candidate[] {
  const { type } = part;
  const valve = type?.valve;
  if (type === undefined || valve === undefined) return [];
  return catalogue
    .listValves()
    .filter((other) => other !== valve && standsFor(other, valve))
    .map((other) => ({
      of: 'type' as const,
      part: { ...part, type: { ...type, text: other.type, valve: other } },
      always: 'setAgain' as const,
    }));
}

/** Halves of unequal twins stand in the catalogue by themselves. */
const HALF = /-\d+$/;

function standsFor(other: Valve, valve: Valve): boolean {
  if (HALF.test(other.type) !== HALF.test(valve.type)) return false;
  if (other.kind !== valve.kind || other.base !== valve.base || !hasSamePins(other, valve)) return false;
  if (other.heater.volts.value !== valve.heater.volts.value) return false;
  if (other.heater.amperes.value > valve.heater.amperes.value * HEATER) return false;
  for (const limit of STANDING) {
    const [mine, wanted] = [other.limits[limit]?.value, valve.limits[limit]?.value];
    if (wanted !== undefined && (mine === undefined || mine < wanted)) return false;
  }
  const [mine, wanted] = [other.rectifier?.current.value, valve.rectifier?.current.value];
  if (wanted !== undefined && (mine === undefined || mine < wanted)) return false;
  return (['amplificationFactor', 'transconductance'] as const).every((of) => {
    const [a, b] = [other.typical[0]?.[of], valve.typical[0]?.[of]];
    return a === undefined || b === undefined || (a / b < LIKE && b / a < LIKE);
  });
}

const STANDING = [
  'anodeVoltage',
  'anodeDissipation',
  'screenVoltage',
  'screenDissipation',
  'cathodeCurrent',
] as const;
