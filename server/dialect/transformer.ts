/**
 * Owns the reading of a transformer's and a reverb tank's windings: `mains 290-0-290V 150mA 6.3V 4A 5V 2A`,
 * `output 8k : 4R 8R 16R 18W`, `tank in 8R out 2k2`. Each voltage starts a winding; a current belongs to the last one.
 */

import type { Span } from '../text/span.ts';
import type { WrittenValue } from '../units/value.ts';
import type { Draft } from './draft.ts';
import type { Winding } from './tree.ts';
import { scanWritten, unitOf, writtenAs } from './written.ts';

const HALVES =
  /(\d+(?:\.\d+)?)\s?[Vv]?\s?-\s?0\s?-\s?(\d+(?:\.\d+)?)(?:\s?[Vv](?:ac|AC|rms)?)?(?:\s?(?:CT|ct))?(?![\p{L}\p{N}])/uy;
/** `0-230V`: a winding drawn with both its ends. */
const ZERO = /0\s?-\s?(\d+(?:\.\d+)?)\s?[Vv](?:ac|AC|rms)?(?![\p{L}\p{N}])/uy;
/** `2x6.3V`: two windings alike. */
const TWICE = /2\s?[x*]\s?(\d+(?:\.\d+)?)\s?[Vv](?:ac|AC|rms)?(?![\p{L}\p{N}])/uy;
const CENTRE_TAP = /(?:C\.?T\.?|c\.?t\.?|centre-?tapped|center-?tapped)(?![\p{L}\p{N}])/uy;
const SIDE = /(primary|pri|secondary|sec|in(?:put)?|out(?:put)?)(?![\p{L}\p{N}-])/iuy;

/** The next word of a transformer's specification; the offset behind it, undefined if it is none of a winding's words. */
export function scanTransformerItem(text: string, at: number, draft: Draft): number | undefined {
  const isTank = draft.partClass === 'tank';
  if (text.charAt(at) === ':' && !isTank) {
    // What stood before the colon is the primary side.
    for (let i = 0; i < draft.windings.length; i++) setSide(draft, i, 'primary');
    return at + 1;
  }
  SIDE.lastIndex = at;
  const side = SIDE.exec(text);
  if (side !== null && (isTank || !/^(in|out)/i.test(side[0]))) {
    const end = at + side[0].length;
    const which = /^(?:pri|in)/i.test(side[0]) ? 'primary' : 'secondary';
    const before = draft.windings.length - 1;
    // `in 8R` announces, `230V primary` follows.
    const gap = /^\s*/.exec(text.slice(end))?.[0].length ?? 0;
    const value = scanWritten(text, end + gap, undefined, draft.partClass);
    if (value !== undefined && (isTank || before < 0 || unitOf(value.written) === 'Ohm')) {
      return addWinding(draft, which, value.written, at, value.end) ? value.end : undefined;
    }
    if (before >= 0) setSide(draft, before, which);
    return end;
  }
  if (isTank) return scanCoil(text, at, draft);
  HALVES.lastIndex = at;
  const halves = HALVES.exec(text);
  if (halves !== null && halves[1] === halves[2]) {
    const end = at + halves[0].length;
    const volts = writtenAs(text, { start: at, end }, `${halves[1]}V`, 'V', 'transformer');
    draft.windings.push(windingOf('secondary', volts, undefined, true, { start: at, end }));
    return end;
  }
  TWICE.lastIndex = at;
  const twice = TWICE.exec(text);
  if (twice !== null) {
    const span = { start: at, end: at + twice[0].length };
    const volts = writtenAs(text, span, `${twice[1]}V`, 'V', 'transformer');
    for (let i = 0; i < 2; i++) draft.windings.push(windingOf('secondary', volts, undefined, false, span));
    return span.end;
  }
  CENTRE_TAP.lastIndex = at;
  const tap = CENTRE_TAP.exec(text);
  const last = draft.windings[draft.windings.length - 1];
  if (tap !== null && last?.volts !== undefined) {
    const end = at + tap[0].length;
    draft.windings[draft.windings.length - 1] = {
      ...last,
      centreTapped: true,
      span: { start: last.span.start, end },
    };
    return end;
  }
  ZERO.lastIndex = at;
  const zero = ZERO.exec(text);
  if (zero !== null) {
    const span = { start: at, end: at + zero[0].length };
    const volts = writtenAs(text, span, `${zero[1]}V`, 'V', 'transformer');
    draft.windings.push(windingOf('secondary', volts, undefined, false, span));
    return span.end;
  }
  // `290-0-290V at 150 mA`, `8k / 8R`.
  const joint =
    last === undefined ? 0 : (/^(?:at\s+|@\s?|\/\s?)/.exec(text.slice(at, at + 8))?.[0].length ?? 0);
  const scanned = scanWritten(text, at + joint, undefined, draft.partClass);
  if (scanned === undefined) return undefined;
  switch (unitOf(scanned.written)) {
    case 'V':
    case 'Ohm': {
      const hasImpedance = draft.windings.some((winding) => winding.impedance !== undefined);
      const isFirstImpedance = unitOf(scanned.written) === 'Ohm' && !hasImpedance;
      const side = isFirstImpedance ? 'primary' : 'secondary';
      return addWinding(draft, side, scanned.written, at, scanned.end) ? scanned.end : undefined;
    }
    case 'A': {
      if (last === undefined || last.current !== undefined) return undefined;
      draft.windings[draft.windings.length - 1] = {
        ...last,
        current: scanned.written,
        span: { start: last.span.start, end: scanned.end },
      };
      return scanned.end;
    }
    default:
      return undefined;
  }
}

/** `8R in`, `2k2 out`: a tank's coil with its side behind. */
function scanCoil(text: string, at: number, draft: Draft): number | undefined {
  const value = scanWritten(text, at, undefined, 'tank');
  const side =
    value === undefined ? null : /^\s+(in|out)(?:put)?(?![\p{L}\p{N}])/u.exec(text.slice(value.end));
  if (value === undefined || side === null) return undefined;
  const end = value.end + side[0].length;
  return addWinding(draft, side[1] === 'in' ? 'primary' : 'secondary', value.written, at, end)
    ? end
    : undefined;
}

function windingOf(
  side: Winding['side'],
  volts: WrittenValue | undefined,
  impedance: WrittenValue | undefined,
  centreTapped: boolean,
  span: Span,
): Winding {
  return { side, volts, centreTapped, impedance, current: undefined, span };
}

function addWinding(
  draft: Draft,
  side: Winding['side'],
  written: Parameters<typeof unitOf>[0],
  start: number,
  end: number,
): boolean {
  const unit = unitOf(written);
  const span = { start, end };
  if (unit === 'V') draft.windings.push(windingOf(side, written, undefined, false, span));
  else if (unit === 'Ohm') draft.windings.push(windingOf(side, undefined, written, false, span));
  else return false;
  return true;
}

function setSide(draft: Draft, index: number, side: Winding['side']): void {
  const winding = draft.windings[index];
  if (winding !== undefined) draft.windings[index] = { ...winding, side };
}
