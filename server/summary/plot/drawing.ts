/**
 * Owns how pictures are drawn: the few strokes that all of them have in common, axes, and the frame with its words for those
 * who listen. One ink, the reader's own; lines differ by dashes and weight and bear their names, so that nothing hangs on colour.
 *
 * No plotting library: the usual one made of parts (scales and line shapes alone, d3-scale 4.0.3 and d3-shape 3.2.1) adds 47 kB
 * to each bundle, and gives what `axis.ts` does in a hundred lines; the others want a document or a canvas, which neither the
 * server nor the command line has. What makes these pictures work, where words may stand and what is said to those who cannot
 * see them, none of them has.
 */
import { fixed, type Html, html, plainOnly } from '../escape.ts';
import type { Scale } from './axis.ts';
import { type Box, boxOf, fitted, type Label, type Spot } from './label.ts';

/** A picture with all that stands for it in words. Title, alternative text, notes and table are plain text, not yet escaped. */
export interface Plot {
  /** One `svg` element, for a page. */
  readonly svg: Html;
  readonly title: string;
  /** The picture's content in words, with the numbers. */
  readonly alt: string;
  /** What must stand below it: what was assumed and held, whose curves these are. */
  readonly notes: readonly string[];
  readonly table: PlotTable;
}

export interface PlotTable {
  readonly head: readonly string[];
  /** The first cell of a row is its name. */
  readonly rows: readonly (readonly string[])[];
}

/** How pictures sit in a page; the page's style sheet takes this in. */
export const PLOT_STYLE = `
.picture{margin:.6rem 0 1rem;max-width:44rem;overflow-x:auto;break-inside:avoid}
.plot{display:block;width:100%;min-width:34rem;height:auto;color:var(--ink,currentColor)}
@media print{.picture{overflow:visible}.plot{min-width:0}}
`;

export const WIDTH = 680;
export const LABEL_SIZE = 12.5;
export const TICK_SIZE = 11.5;

const INK = 'currentColor';
const QUIET = 'var(--quiet,currentColor)';
const RULE = 'var(--rule,currentColor)';
/** Behind words, so that a rule that passes there does not cross them out; nothing where no page says its colour. */
const PAPER = 'var(--paper,none)';

const STROKES = {
  /** The state that holds: as left, after. */
  now: { width: 2.4, dash: undefined, ink: INK },
  /** The state that was: as found, before. */
  before: { width: 1.8, dash: '7 4', ink: INK },
  /** What should be. */
  nominal: { width: 1.6, dash: '1 4', ink: INK },
  limit: { width: 1.8, dash: '12 4 2 4', ink: INK },
  /** An upright bar on a line. */
  stem: { width: 1.4, dash: undefined, ink: INK },
  thin: { width: 1, dash: undefined, ink: QUIET },
  dotted: { width: 1.4, dash: '2 3', ink: INK },
} as const;
export type Stroke = keyof typeof STROKES;

export function drawLine(spots: readonly Spot[], stroke: Stroke): Html {
  if (spots.length < 2) return fixed('');
  const { width, dash, ink } = STROKES[stroke];
  const path = spots.map(({ x, y }, i) => `${i === 0 ? 'M' : 'L'}${digits(x)} ${digits(y)}`).join('');
  return html`<path d="${path}" fill="none" stroke="${fixed(ink)}" stroke-width="${width}"${dash === undefined ? undefined : html` stroke-dasharray="${dash}"`} stroke-linejoin="round"${dash === STROKES.nominal.dash ? html` stroke-linecap="round"` : undefined}/>`;
}

export function drawDot({ x, y }: Spot, look: 'full' | 'open', radius = 4.5): Html {
  const fill = fixed(look === 'full' ? INK : PAPER);
  return html`<circle cx="${digits(x)}" cy="${digits(y)}" r="${radius}" fill="${fill}" stroke="${fixed(INK)}" stroke-width="1.8"/>`;
}

export function drawLabel(
  { text, size, anchor, at }: Label,
  ink: 'ink' | 'quiet' = 'ink',
  weight?: 600,
): Html {
  const side = anchor === 'start' ? undefined : html` text-anchor="${anchor}"`;
  const bold = weight === undefined ? undefined : html` font-weight="${weight}"`;
  return html`<text x="${digits(at.x)}" y="${digits(at.y)}" font-size="${size}"${side}${bold} fill="${fixed(ink === 'ink' ? INK : QUIET)}">${plainOnly(text)}</text>`;
}

/** The same among lines: with the paper behind it, so that no rule crosses it out. */
export function drawLabelOver(label: Label, ink: 'ink' | 'quiet' = 'ink'): Html {
  const { left, right, top, bottom } = boxOf(label);
  return html`<rect x="${digits(left)}" y="${digits(top)}" width="${digits(right - left)}" height="${digits(bottom - top)}" fill="${fixed(PAPER)}"/>${drawLabel(label, ink)}`;
}

/** A line along which something is read off, or a border. */
export function drawRule(from: Spot, to: Spot, weight: 'faint' | 'plain' | 'leader' | 'strong'): Html {
  const ink = { strong: INK, leader: QUIET, plain: RULE, faint: RULE }[weight];
  const width = { strong: 1.4, leader: 0.9, plain: 1, faint: 0.6 }[weight];
  return html`<line x1="${digits(from.x)}" y1="${digits(from.y)}" x2="${digits(to.x)}" y2="${digits(to.y)}" stroke="${fixed(ink)}" stroke-width="${width}"/>`;
}

export interface Axes {
  readonly plot: Box;
  readonly x: Scale;
  readonly y: Scale;
  readonly sayX: (value: number) => string;
  readonly sayY: (value: number) => string;
  /** What each axis shows, with its unit. */
  readonly nameX: string;
  readonly nameY: string;
  /** A decade, or nothing: values whose line is stronger than the others'. */
  readonly isStrongX?: (value: number) => boolean;
  /** Room left free between the plot and the name of its left axis. */
  readonly lift?: number;
}

/** Rules, ticks and their numbers outside of the plot, what the axes show above the left one and below the lower one. */
export function drawAxes({ plot, x, y, sayX, sayY, nameX, nameY, isStrongX, lift = 0 }: Axes): Html {
  const pieces: Html[] = [];
  let free = Number.NEGATIVE_INFINITY;
  for (const tick of x.ticks) {
    const at = x.at(tick);
    pieces.push(
      drawRule({ x: at, y: plot.top }, { x: at, y: plot.bottom }, isStrongX?.(tick) ? 'plain' : 'faint'),
    );
    const text = sayX(tick);
    const half = (text.length * TICK_SIZE * 0.64) / 2;
    // Numbers that would run into each other are left out, never squeezed.
    if (at - half < free) continue;
    free = at + half + 4;
    pieces.push(
      drawLabel({ text, size: TICK_SIZE, anchor: 'middle', at: { x: at, y: plot.bottom + 17 } }, 'quiet'),
    );
  }
  for (const tick of y.ticks) {
    const at = y.at(tick);
    pieces.push(drawRule({ x: plot.left, y: at }, { x: plot.right, y: at }, tick === 0 ? 'plain' : 'faint'));
    const text = fitted(sayY(tick), TICK_SIZE, plot.left - 8);
    pieces.push(
      drawLabel({ text, size: TICK_SIZE, anchor: 'end', at: { x: plot.left - 6, y: at + 4 } }, 'quiet'),
    );
  }
  const width = plot.right - plot.left;
  pieces.push(
    drawRule({ x: plot.left, y: plot.bottom }, { x: plot.right, y: plot.bottom }, 'strong'),
    drawRule({ x: plot.left, y: plot.top }, { x: plot.left, y: plot.bottom }, 'strong'),
    drawLabel({
      text: fitted(nameY, LABEL_SIZE, width + plot.left - 8),
      size: LABEL_SIZE,
      anchor: 'start',
      at: { x: 4, y: plot.top - 12 - lift },
    }),
    drawLabel({
      text: fitted(nameX, LABEL_SIZE, width),
      size: LABEL_SIZE,
      anchor: 'end',
      at: { x: plot.right, y: plot.bottom + 34 },
    }),
  );
  return html`${pieces}`;
}

/** The whole picture. `name` tells it from the others on its page and is ours, never a note's. */
export function frame(
  {
    title,
    alt,
    name,
    height,
    width = WIDTH,
  }: {
    readonly title: string;
    readonly alt: string;
    readonly name: string;
    readonly height: number;
    readonly width?: number;
  },
  body: readonly Html[],
): Html {
  return html`<svg class="plot" role="img" aria-labelledby="${name}-title ${name}-desc" viewBox="0 0 ${digits(width)} ${digits(height)}"><title id="${name}-title">${plainOnly(title)}</title><desc id="${name}-desc">${plainOnly(alt)}</desc>${body}</svg>`;
}

/** Half a tenth of a picture unit is finer than any printer. */
function digits(value: number): number {
  const rounded = Math.round(value * 10) / 10;
  return Number.isFinite(rounded) ? (rounded === 0 ? 0 : rounded) : 0;
}
