/** Owns how a figure is explained: its formula, the same with the numbers put in, and the readings and parts it rests on in the end. */

import type { Figure, FigureInput, FigureName, Known, PhaseView } from '../bench/model.ts';
import { joinValues } from '../bench/saying.ts';
import type { Analysis } from '../shop/shop.ts';
import { positionAt } from '../text/snapshot.ts';
import { writePercent } from '../units/write.ts';
import { figuresOn, SHARE_OF, show, showBand } from './verdict.ts';

export interface Working {
  /** `anode dissipation`; of another subject's figure `R25 current`. */
  readonly name: string;
  /** `(Va − Vk) · (Ik − Ig2)`; absent where it is one symbol and says nothing. */
  readonly formula?: string;
  /** `(347 V − 24.6 V) · (91.1 mA − 5.2 mA)`: the formula with the numbers put in. */
  readonly numbers?: string;
  readonly result: string;
  /** `148 % of 12 W (6V6GT, design-centre: 6V6GT data sheet)`. */
  readonly limit?: string;
  /** What a reader must be told with it: what was assumed, of what it is an average. */
  readonly remarks: readonly string[];
}

/** How deep a chain of figures is followed; no chain of the bench is longer. */
const DEEPEST = 12;
/** More leaves than this would hide the verdict. */
const MOST_LEAVES = 8;

/** The figure that an input is, where it is one of the view's own. */
function findSourceFigure(view: PhaseView, { name }: FigureInput, set: number): Figure | undefined {
  const split = name.lastIndexOf(' ');
  if (split < 0) return undefined;
  const figure = name.slice(split + 1);
  return figuresOn(view, name.slice(0, split), set).find((each) => each.figure === figure);
}

/** The telling figure, those it rests on, then the others of the same subjects; each once, shares beside what they are shares of. */
export function workingsOf(
  view: PhaseView,
  subject: string | undefined,
  telling: Figure | undefined,
  figures: readonly Figure[],
): readonly Working[] {
  const ordered = new Set<Figure>();
  const follow = (figure: Figure, depth: number) => {
    if (ordered.has(figure) || depth > DEEPEST) return;
    ordered.add(figure);
    for (const each of figure.inputs) {
      const from = findSourceFigure(view, each, figure.set);
      if (from !== undefined && (from.subject === figure.subject || depth === 0)) follow(from, depth + 1);
    }
  };
  if (telling !== undefined) follow(telling, 0);
  for (const figure of figures) ordered.add(figure);
  const shares = new Set(Object.values(SHARE_OF));
  const said = new Set<string>();
  return [...ordered]
    .filter(({ figure }) => !shares.has(figure))
    .map((figure) => {
      const remarks = remarksOf(figure).filter((each) => !said.has(each) && said.add(each));
      return workingOf(view, figure, subject, remarks);
    });
}

/** `V5.a 347 V, V5.k 24.6 V, read on line 23; R18 270 Ω, chassis sheet`. */
export function basisOf(
  { sheet, chassis }: Analysis,
  view: PhaseView,
  figure: Figure,
  except?: string,
): string | undefined {
  const leaves = new Map<string, FigureInput>();
  const follow = (of: Figure, depth: number) => {
    for (const each of of.inputs) {
      const from = depth > DEEPEST ? undefined : findSourceFigure(view, each, of.set);
      if (from !== undefined && from !== of) follow(from, depth + 1);
      else if (each.name !== except && each.name !== 'gnd')
        leaves.set(`${each.name} ${each.known.quantity.unit}`, each);
    }
  };
  follow(figure, 0);
  const places = new Map<string, string[]>();
  for (const { name, known } of [...leaves.values()].slice(0, MOST_LEAVES)) {
    // What was assumed, and why, is said with the figure.
    const place =
      known.source === undefined
        ? known.basis === 'assumed'
          ? known.basis
          : (known.because ?? known.basis)
        : known.source.file === sheet.uri
          ? `${known.basis === 'read' ? 'read on ' : ''}line ${positionAt(sheet.snapshot, known.source.span.start).line + 1}`
          : known.source.file === chassis?.uri
            ? 'chassis sheet'
            : known.basis;
    const there = places.get(place);
    const text = `${name} ${showKnown(known)}`;
    if (there === undefined) places.set(place, [text]);
    else there.push(text);
  }
  if (places.size === 0) return undefined;
  const said = [...places].map(([place, texts]) => `${texts.join(', ')}, ${place}`);
  if (leaves.size > MOST_LEAVES) said.push(`and ${leaves.size - MOST_LEAVES} more`);
  return said.join('; ');
}

/** What stands with a figure, and what was assumed for it. */
function remarksOf({ remark, inputs }: Figure): readonly string[] {
  const assumed = inputs.flatMap(({ known }) =>
    known.basis === 'assumed' && known.because !== undefined ? [`assumed: ${known.because}`] : [],
  );
  return [...(remark?.split('; ') ?? []), ...assumed];
}

function workingOf(
  view: PhaseView,
  figure: Figure,
  subject: string | undefined,
  remarks: readonly string[],
): Working {
  // That a gain is told in decibels its unit says.
  const name = figure.figure
    .replace(/^level-(\d+)$/, 'level at $1 Hz')
    .replace(/-db$/, '')
    .replaceAll('-', ' ');
  const isTrivial = /^\|?[\p{L}\p{Nd}]+\|?$/u.test(figure.formula);
  const numbers = isTrivial ? undefined : putNumbersIn(figure);
  const limit = limitOf(view, figure);
  return {
    name: figure.subject === subject || figure.figure === 'answer' ? name : `${figure.subject} ${name}`,
    ...(isTrivial ? {} : { formula: figure.formula }),
    ...(numbers === undefined ? {} : { numbers }),
    result: showBand(figure),
    ...(limit === undefined ? {} : { limit }),
    remarks,
  };
}

function limitOf(view: PhaseView, figure: Figure): string | undefined {
  const shareName: FigureName | undefined = SHARE_OF[figure.figure];
  const share = figuresOn(view, figure.subject, figure.set).find((each) => each.figure === shareName);
  if (share?.limit === undefined) return undefined;
  const used = share.figure === 'margin' ? 1 - share.quantity.value : share.quantity.value;
  return `${writePercent(used)} of ${show(share.limit.quantity)} (${share.limit.source})`;
}

/** Each symbol of the formula replaced by its number; undefined where none stands in it. */
function putNumbersIn({ formula, inputs }: Figure): string | undefined {
  const numbers = new Map(inputs.map(({ symbol, known }) => [symbol, showKnown(known)]));
  if (numbers.size === 0) return undefined;
  const symbols = [...numbers.keys()].sort((a, b) => b.length - a.length).map(escapePattern);
  // A letter behind a number and a space is that number's unit, as in `ln(V / 42 V)`.
  const symbol = new RegExp(
    `(?<![\\p{L}\\p{Nd}_.])(?<!\\p{Nd}[ \\u00a0])(?:${symbols.join('|')})(?![\\p{L}\\p{Nd}_])`,
    'gu',
  );
  let found = 0;
  const written = formula.replace(symbol, (each: string, at: number) => {
    found++;
    const number = numbers.get(each) ?? each;
    const isRaised = /^[²³^]/.test(formula.slice(at + each.length));
    return isRaised || number.includes(' to ') ? `(${number})` : number;
  });
  return found === 0 ? undefined : written;
}

/** Four digits of what a meter said, so that small differences between two readings still come out of the numbers shown. */
function showKnown(known: Known): string {
  const { unit, value } = known.quantity;
  if (unit === '1' && Math.abs(value) < 1) {
    const { low = value, high = value } = known;
    return low === high ? writePercent(value) : joinValues(writePercent(low), ' to ', writePercent(high));
  }
  return known.basis === 'read' && known.low === undefined ? show(known.quantity, 4) : showBand(known);
}

function escapePattern(text: string): string {
  return text.replace(/[\\^$.*+?()[\]{}|]/g, '\\$&');
}
