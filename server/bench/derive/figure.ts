/**
 * Owns the making of one figure: inputs that know where they came from, a calculation, and what follows for basis, band
 * and the place where it is shown. No figure is made but here.
 */
import type { Result } from '../../electronics/result.ts';
import type { Phase } from '../../sheet/model.ts';
import { type Quantity, quantity, type Unit } from '../../units/si.ts';
import {
  assumptionsIn,
  type Basis,
  type Figure,
  type FigureInput,
  type FigureName,
  type Known,
  type Source,
  weaker,
} from '../model.ts';

/** Where and when figures are made. */
export interface Moment {
  readonly file: string;
  readonly phase: Phase;
  /** 0 where no reading takes part. */
  readonly set: number;
}

export interface Calculation {
  readonly subject: string;
  readonly figure: FigureName;
  readonly unit: Unit;
  /** With the symbols of `inputs`. */
  readonly formula: string;
  readonly inputs: readonly FigureInput[];
  /** Of the inputs' values in their order. */
  readonly by: (...values: readonly number[]) => Result<number>;
  /** Shown there where no input has a place in this file. */
  readonly source?: Source;
  readonly limit?: Figure['limit'];
  readonly remark?: string;
  /** Something was assumed that is no number of its own. */
  readonly assumed?: boolean;
  /** The band where it is no matter of the inputs' corners. */
  readonly band?: readonly [low: number, high: number];
  /** The low end of the band where it lies inside the inputs' bands and no corner says it: two that may be alike. */
  readonly least?: number;
}

/** Inputs with a band beyond this number are taken at their own value: each doubles the work. */
const MOST_BANDS = 4;

/**
 * The figure, or undefined where the calculation refuses: no chart, no figure. Its value is what the formula gives for the
 * inputs as they are told, so that whoever reckons it again finds the same; its band lies around that and need not be even.
 */
export function calculate(moment: Moment, calculation: Calculation): Figure | undefined {
  const { subject, inputs, by, remark } = calculation;
  const values = inputs.map(numberOf);
  const result = by(...values);
  if (!result.ok || !Number.isFinite(result.value)) return undefined;
  const source = placeOf(subject, moment.file, inputs) ?? calculation.source;
  if (source === undefined) return undefined;
  const { value } = result;
  const band = calculation.band ?? bandOf(values, inputs, by);
  let basis: Basis = calculation.assumed === true ? 'assumed' : 'read';
  for (const { known } of inputs) basis = weaker(basis, known.basis);
  // One literal with every field: there are very many figures, and all are to be of one shape.
  return {
    file: moment.file,
    subject,
    figure: calculation.figure,
    quantity: quantity(value, calculation.unit),
    low: band && Math.min(band[0], calculation.least ?? Number.POSITIVE_INFINITY, value),
    high: band && Math.max(band[1], value),
    phase: moment.phase,
    set: moment.set,
    basis,
    formula: calculation.formula,
    inputs,
    source,
    limit: calculation.limit,
    remark: remark === '' ? undefined : remark,
  };
}

const numberOf = ({ known }: FigureInput): number => known.quantity.value;

const isBanded = ({ known: { low, high } }: FigureInput): boolean =>
  low !== undefined && high !== undefined && low !== high;

/** Least and greatest result over the corners of the inputs' bands; every calculation here is monotonic in each input. */
function bandOf(
  values: readonly number[],
  inputs: readonly FigureInput[],
  by: Calculation['by'],
): readonly [low: number, high: number] | undefined {
  if (!inputs.some(isBanded)) return undefined;
  const banded: number[] = [];
  for (let i = 0; i < inputs.length && banded.length < MOST_BANDS; i++) {
    const each = inputs[i];
    if (each !== undefined && isBanded(each)) banded.push(i);
  }
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  let reachesNothing = false;
  const at = [...values];
  for (let corner = 0; corner < 1 << banded.length; corner++) {
    for (let bit = 0; bit < banded.length; bit++) {
      const i = banded[bit] ?? 0;
      const known = inputs[i]?.known;
      at[i] = (corner & (1 << bit) ? known?.high : known?.low) ?? 0;
    }
    const result = by(...at);
    if (!result.ok || !Number.isFinite(result.value)) {
      reachesNothing = true;
      continue;
    }
    low = Math.min(low, result.value);
    high = Math.max(high, result.value);
  }
  if (!(low <= high) || !Number.isFinite(low) || !Number.isFinite(high)) return undefined;
  // A corner that is refused lies beyond nothing at all: no drop, no current. So the band reaches down to it.
  return [reachesNothing ? Math.min(low, 0) : low, high];
}

/**
 * The tag that completed it: the last reading of the subject itself, else of a figure of it, else any reading, else a part,
 * in this file; where nothing of this file takes part, the first place there is.
 */
function placeOf(subject: string, file: string, inputs: readonly FigureInput[]): Source | undefined {
  let best: Source | undefined;
  let bestRank = -1;
  for (const each of inputs) {
    const { name, known } = each;
    const { source } = known;
    if (source === undefined || source.file !== file) continue;
    const rank = restsOnOwn(subject, each)
      ? 3
      : goesOnWith(name, subject, ' ')
        ? 2
        : known.basis === 'read'
          ? 1
          : 0;
    if (rank > bestRank || (rank === bestRank && best !== undefined && source.span.end > best.span.end)) {
      best = source;
      bestRank = rank;
    }
  }
  return best ?? inputs.find(({ known }) => known.source !== undefined)?.known.source;
}

/** A reading at the subject itself, or a figure that rests on one: not one taken at a fellow on the same node. */
function restsOnOwn(subject: string, { name, known, isOwn }: FigureInput): boolean {
  return isOwn ?? (known.basis === 'read' && (name === subject || goesOnWith(name, subject, '.')));
}

/** Whether a name is the subject's with this and more behind it. */
function goesOnWith(name: string, subject: string, next: string): boolean {
  return name[subject.length] === next && name.startsWith(subject);
}

export function input(symbol: string, name: string, known: Known, isOwn?: boolean): FigureInput {
  return { name, symbol, known, isOwn };
}

/** The same input under another symbol. */
export function as(symbol: string, { name, known, isOwn }: FigureInput): FigureInput {
  return { name, symbol, known, isOwn };
}

/** A figure as the input of another. */
export function inputFrom(symbol: string, figure: Figure): FigureInput {
  const { subject, inputs, formula, remark } = figure;
  return {
    name: `${subject} ${figure.figure}`,
    symbol,
    known: {
      quantity: figure.quantity,
      low: figure.low,
      high: figure.high,
      digit: undefined,
      basis: figure.basis,
      source: figure.source,
      because: remark === undefined ? formula : `${formula}; ${remark}`,
      assumptions: assumptionsIn(inputs),
    },
    isOwn: inputs.some((each) => restsOnOwn(subject, each)),
  };
}

/** What is no reading and no marking of a sheet: where it comes from says `because`. */
export function knownBy<U extends Unit>(
  value: number,
  unit: U,
  basis: Basis,
  because: string | undefined,
  source?: Source,
): Known<U> {
  return {
    quantity: quantity(value, unit),
    low: undefined,
    high: undefined,
    digit: undefined,
    basis,
    source,
    because,
    assumptions: undefined,
  };
}

/** The same but for its number and the band around it. */
export function knownWith(
  known: Known,
  of: Quantity,
  low: number | undefined,
  high: number | undefined,
): Known {
  return {
    quantity: of,
    low,
    high,
    digit: known.digit,
    basis: known.basis,
    source: known.source,
    because: known.because,
    assumptions: known.assumptions,
  };
}

export function assumed<U extends Unit>(
  value: number,
  unit: U,
  because: string,
  band?: readonly [number, number],
): Known<U> {
  return {
    quantity: quantity(value, unit),
    low: band?.[0],
    high: band?.[1],
    digit: undefined,
    basis: 'assumed',
    source: undefined,
    because,
    assumptions: undefined,
  };
}

/** Remarks of the figures that another rests on, each once. */
export function remarksOf(...figures: readonly (Figure | undefined)[]): string | undefined {
  const said = new Set<string>();
  for (const figure of figures) {
    for (const part of figure?.remark?.split('; ') ?? []) said.add(part);
  }
  return said.size === 0 ? undefined : [...said].join('; ');
}
