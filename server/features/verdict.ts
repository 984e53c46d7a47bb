/**
 * Owns the one line that says how a part fares: `17.7 W, 148 % of 12 W (design-centre)`. Hovers and the values at the ends of
 * lines both take it from here, so that they never differ.
 */
import type { Figure, FigureName, FittedPart, PhaseView } from '../bench/model.ts';
import { isShare, isVague, joinValues } from '../bench/saying.ts';
import type { Quantity } from '../units/si.ts';
import { writePercent, writeQuantity } from '../units/write.ts';

export interface Verdict {
  /** Without the subject: `17.7 W, 148 % of 12 W (design-centre)`. */
  readonly text: string;
  /** The short form, for the end of a line: `17.7 W, 148 %`. */
  readonly short: string;
  /** The number alone, to stand beside that of another phase: `17.7 W`. */
  readonly value: string;
  /** The figure that it rests on. */
  readonly figure: Figure;
  /** The figure's share of its limit: 1.48. */
  readonly used?: number;
}

/** Figures that make a verdict, most telling first, with the share that goes beside each. */
const TELLING: readonly { readonly figure: FigureName; readonly share?: FigureName }[] = [
  { figure: 'anode-dissipation', share: 'anode-loading' },
  { figure: 'insulation' },
  { figure: 'dissipation', share: 'loading' },
  { figure: 'shelf-high' },
  { figure: 'corner' },
  { figure: 'voltage', share: 'margin' },
  { figure: 'effective-capacitance' },
  { figure: 'cathode-current' },
  { figure: 'current' },
  { figure: 'ripple' },
  { figure: 'mismatch' },
  { figure: 'answer' },
];

/** Every figure that is a share of another's limit, by the figure it belongs to. */
export const SHARE_OF: Partial<Record<FigureName, FigureName>> = {
  'anode-dissipation': 'anode-loading',
  'screen-dissipation': 'screen-loading',
  dissipation: 'loading',
  voltage: 'margin',
};

type BySet = ReadonlyMap<number, readonly Figure[]>;
const bySubject = new WeakMap<PhaseView, ReadonlyMap<string, BySet>>();

/** A subject's figures in one set (the view's verdict set where none is asked for) and those that need no reading. */
export function figuresOn(view: PhaseView, subject: string, set = view.verdictSet?.id): readonly Figure[] {
  const sets = getFigures(view).get(subject);
  if (sets === undefined) return [];
  const always = sets.get(0) ?? [];
  return set === undefined || set === 0 ? always : [...always, ...(sets.get(set) ?? [])];
}

/** The sets in which a subject has figures, 0 for those that need no reading. */
export function setsOf(view: PhaseView, subject: string): Iterable<number> {
  return getFigures(view).get(subject)?.keys() ?? [];
}

export function subjectsOf(view: PhaseView): Iterable<string> {
  return getFigures(view).keys();
}

/** How a subject fares in one phase and set (its verdict set where none is asked for). */
export function findVerdict(view: PhaseView, subject: string, set?: number): Verdict | undefined {
  const own = figuresOn(view, subject, set);
  for (const { figure: name, share: shareName } of TELLING) {
    const figure = own.find((each) => each.figure === name);
    if (figure === undefined) continue;
    return wordVerdict(
      figure,
      own.find((each) => each.figure === shareName),
      own,
      view.parts.get(subject),
    );
  }
  return undefined;
}

function getFigures(view: PhaseView): ReadonlyMap<string, BySet> {
  const known = bySubject.get(view);
  if (known !== undefined) return known;
  const subjects = new Map<string, Map<number, Figure[]>>();
  for (const figure of view.figures) {
    let sets = subjects.get(figure.subject);
    if (sets === undefined) {
      sets = new Map();
      subjects.set(figure.subject, sets);
    }
    const there = sets.get(figure.set);
    if (there === undefined) sets.set(figure.set, [figure]);
    else there.push(figure);
  }
  bySubject.set(view, subjects);
  return subjects;
}

function wordVerdict(
  figure: Figure,
  share: Figure | undefined,
  own: readonly Figure[],
  part: FittedPart | undefined,
): Verdict {
  const value = showBand(figure);
  const plain = { value, figure };
  switch (figure.figure) {
    case 'voltage': {
      const rating = part?.ratings.voltage?.quantity;
      if (share === undefined || rating === undefined) return { ...plain, text: value, short: value };
      const used = 1 - share.quantity.value;
      return {
        ...plain,
        text: `${value}, ${writePercent(used)} of ${show(rating)} working voltage`,
        short: `${value}, ${shortPercent(used)} of ${show(rating)}`,
        used,
      };
    }
    case 'corner':
      return { ...plain, text: `${value} corner (−3 dB)`, short: `${value} corner` };
    case 'insulation':
      return { ...plain, text: `leaks through ${value}`, short: `leaks, ${value}` };
    case 'effective-capacitance':
      return { ...plain, text: `acts as ${value}`, short: `acts as ${value}` };
    case 'ripple':
      return { ...plain, text: `${value} p-p ripple`, short: `${value} p-p` };
    case 'shelf-high': {
      const low = own.find((each) => each.figure === 'shelf-low');
      const step = own.find((each) => each.figure === 'step-db');
      if (low === undefined || step === undefined)
        return { ...plain, text: `full gain above ${value}`, short: `shelf, ${value}` };
      const from = showBand(low);
      // Two bands make no range: how deep the shelf is says most.
      const isBand = low.low !== undefined || figure.low !== undefined;
      const range = isBand ? value : showRange(low.quantity, figure.quantity);
      const before = isBand ? '' : `${range}, `;
      if (step.quantity.value < 0) {
        const less = showBand(turned(step));
        return {
          figure,
          value: range,
          text: `${less} less above ${value}, full gain below ${from}`,
          short: `${before}${less} less above${isBand ? ` ${value}` : ''}`,
        };
      }
      return {
        figure,
        value: range,
        text: `full gain above ${value}, ${showBand(step)} less below ${from}`,
        short: `${before}${showBand(step)} shelf`,
      };
    }
    default: {
      if (share === undefined) return { ...plain, text: value, short: value };
      const used = share.quantity.value;
      const of =
        share.limit === undefined
          ? ''
          : ` of ${show(share.limit.quantity)} (${shortSource(share.limit.source)})`;
      return {
        ...plain,
        text: `${value}, ${writePercent(used)}${of}`,
        short: `${value}, ${shortPercent(used)}`,
        used,
      };
    }
  }
}

/** The same figure the other way round: what is lost, of what is gained. */
function turned(figure: Figure): Figure {
  const { quantity, low, high } = figure;
  const turn = (value: number) => (value === 0 ? 0 : -value);
  return {
    ...figure,
    quantity: { ...quantity, value: turn(quantity.value) },
    ...(low !== undefined && high !== undefined && { low: turn(high), high: turn(low) }),
  };
}

/** Whose limit it is, in the fewest words: `design-centre` of `5881, design-centre: 5881 data sheet; …`. */
function shortSource(source: string): string {
  const system = /design-centre|design-maximum|absolute-maximum/.exec(source)?.[0];
  if (system !== undefined) return system;
  const around = /\bat (\S+ °C) around it/.exec(source)?.[1];
  return around === undefined ? source : `rating, ${around} around it`;
}

/** Whole percents, for the end of a line; a tenth where a whole one would hide on which side of the limit it lies. */
function shortPercent(ratio: number): string {
  const percent = ratio * 100;
  if (percent > 0 && percent < 1) return `under ${writePercent(0.01)}`;
  const isNearLimit = percent > 99 && percent < 101;
  const rounded = isNearLimit ? Math.round(percent * 10) / 10 : Math.round(percent);
  return writePercent(rounded / 100, { digits: 6 });
}

/** `4.82 to 9.59 Hz`, or with both units where they differ. */
function showRange(low: Quantity, high: Quantity): string {
  return joinValues(show(low), ' to ', show(high));
}

/** To be read and not copied into a sheet: with a minus that is one. Four digits are a meter's own. */
export function show(quantity: Quantity, digits?: 4): string {
  const written = digits === undefined ? writeQuantity(quantity) : writeQuantity(quantity, { digits });
  return written.replace(/^-/, '−');
}

/** A value, or where an assumption widened it a band: `12.1 to 13.7 W`. */
export function showBand({
  quantity,
  low,
  high,
  figure,
}: Pick<Figure, 'quantity' | 'low' | 'high'> & Partial<Pick<Figure, 'figure'>>): string {
  const isPercent = figure !== undefined && isShare(figure);
  if (low === undefined || high === undefined || (isPercent && !isVague({ quantity, low, high })))
    return isPercent ? writePercent(quantity.value) : show(quantity);
  if (isPercent) return joinValues(writePercent(low), ' to ', writePercent(high));
  const [from, to] = [
    { ...quantity, value: low },
    { ...quantity, value: high },
  ];
  return show(from) === show(to) ? show(from) : showRange(from, to);
}
