/** Owns telling the taps of a mains primary from the winding for the HT behind them, where all are volts in a row. */
import type { Winding } from './tree.ts';

/** Volts that a mains primary is tapped for. */
const MAINS_TAPS: ReadonlySet<number> = new Set([
  100, 105, 110, 115, 117, 120, 125, 127, 200, 208, 210, 215, 220, 225, 230, 235, 240, 245, 250,
]);
/** Above the mains's own taps, or with a tap in its middle, it is for the HT. */
const HT = 130;

/**
 * `mains 100V 120V 230V 240V 250-0-250V 80mA 6.3V 2A`: rising mains volts at the front that say no current are taps of the primary,
 * where a winding for the HT follows them.
 */
export function withPrimaryTaps(windings: readonly Winding[]): readonly Winding[] {
  let count = 0;
  let last = 0;
  for (const winding of windings) {
    const volts = voltsOf(winding);
    const isTap =
      winding.side === 'secondary' &&
      !winding.centreTapped &&
      winding.current === undefined &&
      MAINS_TAPS.has(volts);
    if (!isTap || volts <= last) break;
    last = volts;
    count++;
  }
  const next = windings[count];
  const isHt = next !== undefined && next.side === 'secondary' && voltsOf(next) >= HT;
  if (count === 0 || !isHt || (count === 1 && !next.centreTapped)) return windings;
  return windings.map((winding, i) => (i < count ? { ...winding, side: 'primary' } : winding));
}

function voltsOf({ volts }: Winding): number {
  return volts?.kind === 'value' ? volts.value.quantity.value : 0;
}
