/** Owns the perveance of the rectifier valves: one number each, from the drop that its data sheet prints. */
import { type Amperes, amperes, type Volts, volts } from '../../units/si.ts';
import { found, type Result, refused } from '../result.ts';
import { perveanceFromDrop, type RectifierLaw } from '../solver/rectifier-law.ts';

interface RectifierDatum {
  readonly valve: string;
  readonly synonyms: readonly string[];
  /** Drop with one anode passing this direct current. */
  readonly current: Amperes;
  readonly drop: Volts;
  readonly source: string;
}

const datum = (
  valve: string,
  synonyms: readonly string[],
  milliamperes: number,
  drop: number,
  source: string,
): RectifierDatum => ({ valve, synonyms, current: amperes(milliamperes / 1000), drop: volts(drop), source });

const CHECKED = 'data sheet from memory, checked against its own output voltages';
const MEMORY = 'data sheet from memory, unverified';
const WEAK = 'data sheet from memory, editions disagree';

export const RECTIFIERS: readonly RectifierDatum[] = [
  datum('GZ34', ['5AR4'], 225, 17, CHECKED),
  datum('EZ81', ['6CA4'], 150, 20, CHECKED),
  datum('EZ80', ['6V4'], 90, 20, CHECKED),
  datum('5Y3GT', ['5Y3'], 125, 55, MEMORY),
  datum('5U4G', [], 225, 50, 'data sheet of the four-pin twin: 44 to 58 V, its middle taken'),
  datum('5U4GB', [], 275, 50, MEMORY),
  datum('5V4GA', ['5V4G'], 175, 25, WEAK),
  datum('6X4', ['EZ90'], 70, 22, 'data sheet, transcribed'),
];

export interface KnownRectifier {
  readonly valve: string;
  readonly law: RectifierLaw;
  readonly source: string;
}

/** The law of a rectifier valve by its type; refused where its drop is not known. */
export function findRectifier(type: string): Result<KnownRectifier> {
  const wanted = type.trim().toUpperCase();
  const entry = RECTIFIERS.find(({ valve, synonyms }) => valve === wanted || synonyms.includes(wanted));
  if (entry === undefined) return refused(`no data for the rectifier ${type}`);
  const perveance = perveanceFromDrop(entry.current, entry.drop);
  if (!perveance.ok) return perveance;
  return found({
    valve: entry.valve,
    law: { kind: 'valve', perveance: perveance.value },
    source: entry.source,
  });
}
