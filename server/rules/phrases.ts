/** Owns the turns of phrase that rules share: numbers as the trade writes them, when a thing was so, and bands said as bands. */
import { assumptionsIn, type Figure } from '../bench/model.ts';
import { sayBand, sayFigure, sayQuantity } from '../bench/saying.ts';
import type { Phase, SheetKind } from '../sheet/model.ts';
import type { Quantity, Unit } from '../units/si.ts';
import type { Report } from './rule.ts';

export function show(quantity: Quantity): string {
  return sayQuantity(quantity);
}

export function showValue(value: number, unit: Unit): string {
  return show({ value, unit });
}

/** A part of a whole, or how far one thing is from another: per cent however large it is (`18 %`, `389 %`). */
export function showShare(share: number): string {
  return sayQuantity({ value: share, unit: '1' }, 'share');
}

/** How far a thing is from what it should be, with its sign: `+389 %`, `−18 %`. */
export function showDeparture(share: number): string {
  return `${share < 0 ? '−' : '+'}${showShare(Math.abs(share))}`;
}

/** What stands before the thing that is compared with: `116 % of` the limit, `5 times` the limit. */
export function shareOf(share: number): string {
  const said = sayQuantity({ value: share, unit: '1' });
  return said.endsWith('%') ? `${said} of` : `${said} times`;
}

/** `12.9 W`, or with an assumption in it `12.9 W (12.1 to 13.7 W)`. */
export function showFigure(figure: Figure): string {
  const [said, band] = [sayFigure(figure), sayBand(figure)];
  return figure.low === undefined || band === said ? said : `${said} (${band})`;
}

const WHEN: Readonly<Record<Phase, string>> = {
  factory: 'As the chassis sheet has it',
  'as-found': 'As found',
  work: 'During the work',
  'as-left': 'As left',
  noted: 'As noted',
};
const WITH_MOD = 'With the modification';
const IN_BOTH = 'As found and as left';

/** All that a report says, with its opening: `As left, V5 …`, or `As found and as left, V5 …` where it was to be said of both. */
export function sayReport({ phase, tellsPhase, stoodBefore, message }: Report, kind: SheetKind): string {
  if (phase === undefined || !tellsPhase) return message;
  if (kind === 'mod') return `${WITH_MOD}, ${message}`;
  const isSameInBoth = stoodBefore !== undefined && stoodBefore.at === undefined;
  return `${isSameInBoth ? IN_BOTH : WHEN[phase]}, ${message}`;
}

/** The same without its opening: `V5 …`. */
export function sayTimeless({ tellsPhase, message }: Report): string {
  return tellsPhase ? message.replace(/^./u, (first) => first.toUpperCase()) : message;
}

/** What an assumed input rests on, as a sentence to add; empty where nothing was assumed. */
export function assumptions(figure: Figure): string {
  const said = assumptionsIn(figure.inputs);
  return said.length === 0 ? '' : ` Assumed: ${said.join('; ')}.`;
}

/** `; average of the valves that share R18` where the figure must not be told without it. */
export function remarkOf(figure: Figure): string {
  return figure.remark === undefined ? '' : ` (${figure.remark})`;
}
