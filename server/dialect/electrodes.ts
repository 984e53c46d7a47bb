/** Owns how a valve's electrode is named in a list of readings: before its number, touching it, by pin, or in a word behind it. */
import type { Span } from '../text/span.ts';
import { scanTerminal } from './points.ts';
import type { PartClass, Point, Ref, Terminal } from './tree.ts';

/** An electrode or pin in a reading, and where its value begins. */
export interface Electrode {
  readonly terminal: string;
  readonly by: Terminal['by'];
  readonly valueAt: number;
  readonly span: Span;
}

const PINS = /pins?\s*#?\s*(\d{1,2})((?:\s*[/&]\s*\d{1,2})+)(?![\p{L}\p{N}.,])(?:\s*[=:]\s*|\s+)/iuy;

/**
 * The electrodes that a clause begins with: one, or pins that are read together (`pins 3/8 65`). Behind `V2 pin 1: 205;`
 * another pin is one of the same valve.
 */
export function scanElectrodes(text: string, at: number, point: Point): readonly Electrode[] {
  const part = point.kind === 'terminal' && point.ref.class === 'valve' ? point.ref : point;
  PINS.lastIndex = at;
  const mayBePins = part.kind === 'ref' && part.class === 'valve' && /p/i.test(text.charAt(at));
  const pins = mayBePins ? PINS.exec(text) : null;
  if (pins !== null) {
    const valueAt = at + pins[0].length;
    const numbers = `${pins[1] ?? ''}${pins[2] ?? ''}`.split(/[/&]/);
    return numbers.map((number) => ({
      terminal: String(Number(number)),
      by: 'pin',
      valueAt,
      span: { start: at, end: at + pins[0].trimEnd().length },
    }));
  }
  const one = scanElectrode(text, at, part);
  return one === undefined ? [] : [one];
}

const WITH_TERMINALS: ReadonlySet<PartClass> = new Set(['valve', 'transistor', 'tank', 'transformer']);

/** `a 331`, `pin 3: 331`, `g2=322`: the electrode stands before its number. */
function scanElectrode(text: string, at: number, point: Point): Electrode | undefined {
  if (point.kind !== 'ref' || !WITH_TERMINALS.has(point.class)) return undefined;
  // Volts below ground are the grid's; a bias above it may be anything (current, the cathode's volts).
  const first = text.charAt(at);
  const bias =
    point.class === 'valve' && first === 'b'
      ? /^bias\s*[=:]?\s*(?=-\s?[\d.])/.exec(text.slice(at, at + 12))
      : null;
  if (bias !== null)
    return {
      terminal: 'g',
      by: 'electrode',
      valueAt: at + bias[0].length,
      span: { start: at, end: at + 'bias'.length },
    };
  // `Va 331` and `Ia 35 mA` say the quantity once more than needed.
  const hasPrefix =
    (first === 'V' || first === 'I') && /^.(?:a|k|g[123]?)[\s:=]/.test(text.slice(at, at + 4));
  const prefix = hasPrefix ? 1 : 0;
  const terminal = scanTerminal(text, at + prefix, point.class);
  if (terminal === undefined) return point.class === 'valve' ? scanTightElectrode(text, at) : undefined;
  const gap = /^\s*(?:[=:]\s*|at\s+)?/.exec(text.slice(terminal.end, terminal.end + 8))?.[0] ?? '';
  if (gap === '' && !/[-+~<>]/.test(text.charAt(terminal.end))) return undefined;
  const { terminal: name, by, end } = terminal;
  return { terminal: name, by, valueAt: end + gap.length, span: { start: at, end } };
}

/** `a331`, `k19.4` and, in a row of pins, `3 19.4`. */
function scanTightElectrode(text: string, at: number): Electrode | undefined {
  const tight = /^([ak])(?=(?:\d{2,}|\d+[.,]\d+)(?:[.,]\d+)?\s?[Vm]*(?![\p{L}\p{N}]))/iu.exec(
    text.slice(at, at + 16),
  );
  if (tight !== null)
    return {
      terminal: (tight[1] ?? '').toLowerCase(),
      by: 'electrode',
      valueAt: at + 1,
      span: { start: at, end: at + 1 },
    };
  const pin =
    /^([1-9])(?:\s*:\s*|\s+)(?=[-+~]?\d+(?:[.,]\d+)?\s?(?:m?V)?\s*(?:$|[,;]|[1-9]\s+[-+~]?\d))/.exec(
      text.slice(at, at + 40),
    );
  if (pin === null) return undefined;
  return {
    terminal: pin[1] ?? '',
    by: 'pin',
    valueAt: at + pin[0].length,
    span: { start: at, end: at + 1 },
  };
}

export function terminalOf(ref: Ref, { terminal, by, span }: Electrode): Terminal {
  return { kind: 'terminal', ref, terminal, by, span };
}

/** `35 mA anode current`, `331 V at the anode`: the electrode in a word behind a valve's number. */
export function scanElectrodeBehind(text: string, end: number, point: Point): Electrode | undefined {
  if (point.kind !== 'ref' || point.class !== 'valve') return undefined;
  const found =
    /^\s+(?:(?:at|on)\s+(?:the\s+)?)?(anode|plate|screen|grid|cathode)(?:\s+(?:current|voltage|volts))?(?![\p{L}\p{N}])(?!\s*[:=]?\s*[-+~<>]?[\d.])/u.exec(
      text.slice(end, end + 40),
    );
  const name = found?.[1];
  const terminal = name === undefined ? undefined : scanTerminal(name, 0, 'valve')?.terminal;
  if (found === null || name === undefined || terminal === undefined) return undefined;
  const start = end + found[0].indexOf(name);
  return {
    terminal,
    by: 'electrode',
    valueAt: end + found[0].length,
    span: { start, end: start + name.length },
  };
}
