/**
 * Owns the supplies of one phase as the solver takes them: a winding, its rectifiers and the reservoir, at the mains of the
 * phase. What a transformer's own label leaves open (how far it sags) is assumed, in a band, and says so.
 */
import type { Winding } from '../dialect/tree.ts';
import { findRectifier } from '../electronics/models/rectifiers.ts';
import { found, type Result, refused } from '../electronics/result.ts';
import type { RectifierConnection, Supply } from '../electronics/solver/netlist.ts';
import { type RectifierLaw, SILICON } from '../electronics/solver/rectifier-law.ts';
import type { Sheet } from '../sheet/model.ts';
import { farads, hertz, ohms, quantity, volts } from '../units/si.ts';
import { writePercent } from '../units/write.ts';
import { findWindingName, isSupplyRectifier } from './circuit-netlist.ts';
import { assumed, input } from './derive/figure.ts';
import { mainsFrequency, mainsVolts } from './derive/mains.ts';
import { endsOf, type Look, rectifierEnds } from './look.ts';
import { type FigureInput, type FittedPart, findValueInUse, type Known, type PhaseView } from './model.ts';
import { compareNames } from './points.ts';
import { findOnTransformer, findSecondary, REGULATION, ratedVolts } from './windings.ts';

/** Source resistance for each volt of the winding where no current is rated [Ω/V]: common practice, no source. */
const OHMS_PER_VOLT = [0.4, 0.6] as const;
/** The primary carried over to one half of a winding, as a share of that half's own resistance: common practice, no source. */
const PRIMARY_SHARE = 0.5;

/** The weakest transformer that the label allows; the usual one; one whose volts are meant with load, so that it has more without. */
export type Stiffness = 'weak' | 'usual' | 'stiff';

export interface PlacedSupply {
  /** The node that it feeds, and whether that is below ground. */
  readonly node: string;
  readonly isNegative: boolean;
  readonly element: (stiffness: Stiffness) => Supply;
  readonly inputs: readonly FigureInput[];
  /** The mains was read in the verdict set. */
  readonly usesReading: boolean;
  readonly remark: string;
}

/** Every node that something rectifies onto, and the supply there where all that it takes is known. */
export interface Supplies {
  readonly supplies: readonly PlacedSupply[];
  /** Fed by a rectifier, but from what is not known well enough. */
  readonly unsolved: readonly string[];
}

export function readSupplies(view: PhaseView, look: Look, sheets: readonly Sheet[]): Supplies {
  const groups = new Map<string, Feed>();
  for (const part of [...view.parts.values()].sort((a, b) => compareNames(a.ref, b.ref))) {
    if (!isSupplyRectifier(part, view)) continue;
    const feed = readFeed(part, view);
    if (feed === undefined) continue;
    const key = `${feed.isNegative ? '-' : '+'} ${feed.node}`;
    const known = groups.get(key);
    groups.set(key, known === undefined ? feed : { ...known, rectifiers: [...known.rectifiers, part] });
  }
  const supplies: PlacedSupply[] = [];
  const unsolved: string[] = [];
  for (const feed of groups.values()) {
    const supply = placeSupply(feed, view, look, sheets);
    if (supply.ok) supplies.push(supply.value);
    else unsolved.push(feed.node);
  }
  return { supplies, unsolved };
}

/** Rectifiers that stand between one winding and one node. */
interface Feed {
  readonly node: string;
  readonly isNegative: boolean;
  readonly winding: string;
  readonly rectifiers: readonly FittedPart[];
}

function readFeed(part: FittedPart, view: PhaseView): Feed | undefined {
  const { anodes, cathode } = rectifierEnds(part, view.parts);
  const feeding = anodes.find((node) => findWindingName(node, view) !== undefined);
  if (cathode !== undefined && feeding !== undefined && cathode !== 'gnd') {
    return { node: cathode, isNegative: false, winding: feeding, rectifiers: [part] };
  }
  const [anode] = anodes;
  const isFed = part.class === 'diode' && findWindingName(cathode, view) !== undefined;
  if (!isFed || anode === undefined || cathode === undefined || anode === 'gnd') return undefined;
  return { node: anode, isNegative: true, winding: cathode, rectifiers: [part] };
}

function placeSupply(
  { node: rectified, isNegative, winding: windingName, rectifiers }: Feed,
  view: PhaseView,
  look: Look,
  sheets: readonly Sheet[],
): Result<PlacedSupply> {
  const source = findWindingName(windingName, view);
  const winding = source && findSecondary(source.transformer, source.index);
  const rated = winding && ratedVolts(winding);
  if (source === undefined || winding === undefined || rated === undefined) {
    return refused(`no volts written for ${windingName}`);
  }
  const { transformer } = source;
  const law = lawOf(rectifiers);
  if (!law.ok) return law;
  const connection = connectionOf(rectifiers, winding);
  if (!connection.ok) return connection;
  // Behind a fuse or a standby switch the reservoir may stand one part further on.
  const node = [rectified, ...nextNodes(rectified, look)].find(
    (each) => reservoirAt(each, view, look) !== undefined,
  );
  const reservoir = node === undefined ? undefined : reservoirAt(node, view, look);
  if (node === undefined || reservoir === undefined) return refused(`no reservoir on ${rectified}`);

  if (!(rated > 0)) return refused(`no volts written for ${windingName}`);
  const mains = mainsShare(view, sheets);
  const path = chargingPath(view, transformer, winding, rated, (symbol) => `${symbol}(${rectified})`);
  const frequency = mainsFrequency(sheets) ?? input('f', 'mains', assumed(50, 'Hz', '50 Hz mains assumed'));
  const element = (stiffness: Stiffness): Supply => {
    const { rise, resistance } = path.at(stiffness);
    return {
      kind: 'supply',
      name: `${transformer.ref} ${rectified}`,
      plus: isNegative ? 'gnd' : node,
      minus: isNegative ? node : 'gnd',
      connection: connection.value,
      law: law.value,
      winding: volts(rated * (1 + rise) * mains.share),
      sourceResistance: ohms(resistance),
      mains: hertz(frequency.known.quantity.value),
      reservoir: farads(reservoir.total),
    };
  };
  return found({
    node,
    isNegative,
    element,
    inputs: [
      input(`Vrms(${rectified})`, `${transformer.ref} winding`, {
        quantity: quantity(rated, 'V'),
        basis: 'fitted',
        source: { file: transformer.source.file, span: winding.span },
      }),
      ...path.inputs,
      ...mains.inputs,
      ...reservoir.inputs,
    ],
    usesReading: mains.isRead,
    remark: `from ${transformer.ref} ${mains.words}, ${path.words}`,
  });
}

/** All valves of one type, or all silicon; valves side by side share the current. */
function lawOf(rectifiers: readonly FittedPart[]): Result<RectifierLaw> {
  if (rectifiers.every((part) => part.class === 'diode')) return found(SILICON);
  const wholes = new Map(rectifiers.map((part) => [part.whole, part] as const));
  const types = new Set([...wholes.values()].map(({ type }) => type?.valve?.type ?? type?.text ?? ''));
  const [type] = types;
  if (types.size !== 1 || type === undefined || rectifiers.some((part) => part.class === 'diode')) {
    return refused('rectifiers of more than one kind');
  }
  const known = findRectifier(type);
  if (!known.ok) return known;
  const { law } = known.value;
  return found(law.kind === 'valve' ? { ...law, perveance: law.perveance * wholes.size } : law);
}

function connectionOf(
  rectifiers: readonly FittedPart[],
  { centreTapped }: Winding,
): Result<RectifierConnection> {
  const isValve = rectifiers.some((part) => part.class === 'valve');
  if (isValve) return centreTapped ? found('full-wave') : refused('a rectifier valve on an untapped winding');
  // Diodes in series count as one: a string on each half.
  const strings = new Set(rectifiers.map((part) => part.string?.[0] ?? part.ref)).size;
  if (strings === 1) return found('half-wave');
  if (centreTapped && (strings === 2 || strings === 4)) return found('full-wave');
  return strings === 4 ? found('bridge') : refused('two diodes on an untapped winding');
}

/** Nodes one fuse or switch away. */
function nextNodes(node: string, look: Look): readonly string[] {
  return look
    .partsAt(node)
    .filter((part) => part.class === 'fuse' || part.class === 'switch')
    .flatMap((part) => (endsOf(part) ?? []).filter((end) => end !== node && end !== 'gnd'));
}

/** All capacitors from a node to ground, series strings among them. */
function reservoirAt(
  node: string,
  view: PhaseView,
  look: Look,
): { readonly total: number; readonly inputs: readonly FigureInput[] } | undefined {
  let total = 0;
  const inputs: FigureInput[] = [];
  const take = (part: FittedPart): number => {
    const known = findValueInUse(part);
    if (known === undefined || known.quantity.unit !== 'F' || !(known.quantity.value > 0)) return 0;
    inputs.push(input(part.ref, part.ref, known));
    return known.quantity.value;
  };
  for (const part of look.partsAt(node)) {
    if (part.class !== 'capacitor') continue;
    const ends = endsOf(part);
    if (ends === undefined) continue;
    if (ends.includes('gnd')) {
      total += take(part);
    } else if (part.string !== undefined) {
      const values = part.string.map((ref) => {
        const each = view.parts.get(ref);
        return each === undefined ? 0 : take(each);
      });
      const isWhole = part.string.some(
        (ref) => view.parts.get(ref) !== undefined && endsAtGround(view.parts.get(ref)),
      );
      if (isWhole && values.every((value) => value > 0)) {
        total += 1 / values.reduce((sum, value) => sum + 1 / value, 0);
      }
    }
  }
  return total > 0 ? { total, inputs } : undefined;
}

function endsAtGround(part: FittedPart | undefined): boolean {
  return part !== undefined && (endsOf(part)?.includes('gnd') ?? false);
}

interface ChargingPath {
  readonly at: (stiffness: Stiffness) => { readonly rise: number; readonly resistance: number };
  readonly inputs: readonly FigureInput[];
  readonly words: string;
}

/** What the winding has without load over what is written, and what it puts in series with the rectifier. */
function chargingPath(
  view: PhaseView,
  transformer: FittedPart,
  { current }: Winding,
  rated: number,
  symbol: (of: string) => string,
): ChargingPath {
  const amperes = current?.kind === 'value' ? current.value.quantity.value : undefined;
  const { usual: usualLoss, most: mostLoss } = REGULATION;
  const rise = input(
    symbol('r'),
    `${transformer.ref} no-load rise`,
    assumed(
      0,
      '1',
      `volts of ${transformer.ref} taken as without load; were they meant with load, it would have ${writePercent(usualLoss)} more without (common practice, no source)`,
      [0, usualLoss],
    ),
  );
  const halves = findOnTransformer(view, transformer, 'halves');
  const path =
    (usual: number, most: number): ChargingPath['at'] =>
    (stiffness) => ({
      rise: stiffness === 'stiff' ? usualLoss : 0,
      resistance: stiffness === 'weak' ? most : usual,
    });
  if (halves !== undefined) {
    const mean = (halves.value.quantity.value + (halves.second ?? halves.value).quantity.value) / 2;
    const resistance = mean * (1 + PRIMARY_SHARE);
    return {
      at: path(resistance, resistance),
      words: 'its source resistance from its halves as read',
      inputs: [
        rise,
        input(symbol('Rh'), `${transformer.ref} halves`, halves.value),
        input(
          symbol('Rs'),
          `${transformer.ref} source resistance`,
          assumed(
            resistance,
            'Ohm',
            'half winding and the primary carried over, taken as half as much again (common practice, no source)',
          ),
        ),
      ],
    };
  }
  const [usual, most] =
    amperes !== undefined && amperes > 0
      ? [(usualLoss * rated) / amperes, (mostLoss * rated) / amperes]
      : [OHMS_PER_VOLT[0] * rated, OHMS_PER_VOLT[1] * rated];
  const from = amperes === undefined ? 'its volts' : 'its rated current';
  return {
    at: path(usual, most),
    words: 'its source resistance assumed',
    inputs: [
      rise,
      input(
        symbol('Rs'),
        `${transformer.ref} source resistance`,
        assumed(
          usual,
          'Ohm',
          `assumed from ${from}; no winding resistance is written (common practice, no source)`,
          [usual, most],
        ),
      ),
    ],
  };
}

/** The mains of the phase over the mains that the amplifier is made for. */
function mainsShare(
  view: PhaseView,
  sheets: readonly Sheet[],
): {
  readonly share: number;
  readonly inputs: readonly FigureInput[];
  readonly isRead: boolean;
  readonly words: string;
} {
  const nominal = mainsVolts(sheets);
  const set = view.verdictSet;
  const rated = nominal?.known.quantity.value;
  if (set?.mains === undefined || !(set.mains.value > 0)) {
    const words = rated === undefined ? 'at its rated mains' : `at ${rated} V mains, none being read`;
    return { share: 1, inputs: nominal === undefined ? [] : [nominal], isRead: false, words };
  }
  const reading = view.readings.findLast(({ at, set: of }) => at === 'mains' && of.id === set.id);
  const file = view.readings.find(({ set: of }) => of.id === set.id)?.source.file;
  const known: Known = reading?.value ?? {
    quantity: set.mains,
    basis: 'read',
    because: 'mains of this set',
    ...(set.mainsSpan !== undefined && file !== undefined && { source: { file, span: set.mainsSpan } }),
  };
  const read = input('Vm', 'mains', known);
  if (nominal === undefined || rated === undefined) {
    return {
      share: 1,
      inputs: [read],
      isRead: true,
      words: `as if its windings were rated at ${set.mains.value} V mains`,
    };
  }
  return {
    share: set.mains.value / rated,
    inputs: [read, { ...nominal, symbol: 'Vn', name: 'mains it is made for' }],
    isRead: true,
    words: `at ${set.mains.value} V mains`,
  };
}
