/** Owns the rule substitute-differs: a part put in place of another, with nothing said of it, moves a corner, a level or a voltage. */
import type { Figure, FittedPart, PartChange, PhaseView, Role } from '../bench/model.ts';
import { voltageDecibels } from '../electronics/decibels.ts';
import { ratio } from '../units/si.ts';
import { figuresIn } from './figure-of.ts';
import { shareOf, show, showShare, showValue } from './phrases.ts';
import { defineRule, type Report, type RuleContext } from './rule.ts';
import { hasWordsBeside } from './said-beside.ts';
import { workDone } from './work-done.ts';

/** What a new value moves, and by how much: as a frequency ratio, in decibels, or as a share of a voltage. */
interface Effect {
  readonly kind: 'octaves' | 'level' | 'volts';
  readonly size: number;
  readonly says: () => string;
}

const DEFAULTS: Readonly<Record<Effect['kind'], number>> = { octaves: 1 / 3, level: 1, volts: 0.05 };

export const substituteDiffers = defineRule({
  id: 'substitute-differs',
  since: '0.1.0',
  category: 'record',
  severities: 'I',
  summary:
    'A replacement has another value, moves something that can be heard or measured, and nothing says that it was meant.',
  why: 'The nearest part in the drawer is often near enough, and sometimes it is another amplifier. A change that is meant has a reason, and the next technician needs it to know which of the two values to order.',
  howToFix:
    'Fit the value that came out, or write the reason beside the change, behind it in brackets or in a column of its row. A higher rating, another make or another kind at the same value is never spoken of.',
  source:
    'the two values as written; a third of an octave, 1 dB and 5 % are house rules; a corner goes as 1/(R · C), a shelf of a bypass as 1/C, ripple as 1/C, a drop at the same current as R',
  options: {
    octaves: { default: DEFAULTS.octaves, unit: '1', means: 'a corner may move by this much, in octaves' },
    level: { default: DEFAULTS.level, unit: 'dB', means: 'a level may move by this much' },
    volts: { default: DEFAULTS.volts, unit: '1', means: 'a direct voltage may move by this share' },
  },
  bad: {
    sheet:
      '# Job\n\n## Work\n\n- plug out, discharged: B+1: 3 V\n- C14 = 22n 400V, V3.a to V5.g -> 10n 630V film\n',
    names: 'C14',
  },
  good: {
    sheet:
      '# Job\n\n## Work\n\n- plug out, discharged: B+1: 3 V\n- C14 = 0.02uF 400V, V3.a to V5.g -> 22n 630V film\n- C15 = 22n 400V, V4.a to V6.g -> 10n 630V film (less bass, as asked)\n',
  },
  check(context) {
    const reports: Report[] = [];
    const { sheet } = context;
    for (const [ref, changes] of replacementsOf(context)) {
      const swap = swapOf(changes);
      if (swap === undefined) continue;
      const { was, is, last } = swap;
      const view = viewWith(context, ref);
      const [one, other] = [was.value?.quantity, is.value?.quantity];
      if (view === undefined || one === undefined || other === undefined) continue;
      const effect = effectOf(was, is, view);
      if (effect === undefined || effect.size <= context.option(effect.kind) * (1 + ROUNDING)) continue;
      if (isExplained(context, changes)) continue;
      const source = is.value?.source?.file === sheet.uri ? is.value.source : last.source;
      reports.push({
        severity: 'info',
        subject: ref,
        message: `${ref} was ${show(one)} and is now ${show(other)}: ${effect.says()}. If that is meant, write the reason beside the change; if not, fit ${show(one)}.`,
        source,
        figures: { was: one, now: other },
        limit: {
          quantity: {
            value: context.option(effect.kind),
            unit: effect.kind === 'level' ? 'dB' : '1',
          },
          source: `house rule, ${effect.kind === 'octaves' ? 'octaves' : effect.kind === 'level' ? 'of level' : 'share of a voltage'}`,
        },
      });
    }
    return reports;
  },
});

/** A third of an octave is 1.26 as a ratio, and a ratio on the limit is not over it. */
const ROUNDING = 1e-6;

interface Swap {
  readonly was: FittedPart;
  readonly is: FittedPart;
  readonly last: PartChange;
}

/** Changes of value or type by part, in their order. */
function replacementsOf({ amplifier }: RuleContext): ReadonlyMap<string, readonly PartChange[]> {
  const byRef = new Map<string, PartChange[]>();
  for (const change of workDone(amplifier)) {
    if (change.work !== undefined) continue;
    const list = byRef.get(change.ref);
    if (list === undefined) byRef.set(change.ref, [change]);
    else list.push(change);
  }
  return byRef;
}

/** From what was there before the first change to what is there after the last. */
function swapOf(changes: readonly PartChange[]): Swap | undefined {
  const was = changes[0]?.was;
  const last = changes.at(-1);
  if (was === undefined || last?.is === undefined || was.class !== last.is.class) return undefined;
  return { was, is: last.is, last };
}

/** A reason beside it, or a heading that calls the work a modification. */
function isExplained({ sheet }: RuleContext, changes: readonly PartChange[]): boolean {
  return changes.some(
    ({ source: { span } }) =>
      hasWordsBeside(sheet, span) ||
      sheet.sections.some(
        ({ bodySpan, heading }) =>
          bodySpan.start <= span.start &&
          span.start < bodySpan.end &&
          /\bmod(?:s|ification|ifications)?\b/i.test(heading),
      ),
  );
}

/** Where the new part stands: as left, else in the work. */
function viewWith({ amplifier }: RuleContext, ref: string): PhaseView | undefined {
  return amplifier.phases.findLast(
    ({ phase, parts }) => (phase === 'as-left' || phase === 'work') && parts.has(ref),
  );
}

const DROPS: ReadonlySet<Role> = new Set(['anode-load', 'dropper', 'screen-resistor', 'tail']);

/**
 * Whether a part of another value would pass in the place of `was` without a word of this rule: undefined where the part's role
 * does not tell what it moves. `option` gives the house's thresholds.
 */
export function passesFor(
  was: FittedPart,
  is: FittedPart,
  view: PhaseView,
  option: (name: keyof typeof DEFAULTS) => number | undefined = () => undefined,
): boolean | undefined {
  const effect = effectOf(was, is, view);
  if (effect === undefined) return undefined;
  return effect.size <= (option(effect.kind) ?? DEFAULTS[effect.kind]) * (1 + ROUNDING);
}

/** What follows from the two marked values alone; undefined where the part's role does not tell. */
function effectOf(was: FittedPart, is: FittedPart, view: PhaseView): Effect | undefined {
  const before = was.value?.quantity;
  const after = is.value?.quantity;
  const role = view.roles.get(is.ref);
  if (before === undefined || after === undefined) return undefined;
  if (before.unit !== after.unit || !(before.value > 0) || !(after.value > 0)) return undefined;
  const share = after.value / before.value;
  const octaves = Math.abs(Math.log2(share));
  const way = share > 1 ? 'down' : 'up';
  if (role === undefined) return networkEffect(is.ref, octaves, share, view);
  if (role.role === 'coupling') {
    return {
      kind: 'octaves',
      size: octaves,
      says: () => `${corner(view, is.ref)} moves ${way} to ${shareOf(1 / share)} what it was`,
    };
  }
  if (role.role === 'cathode-bypass') {
    return {
      kind: 'octaves',
      size: octaves,
      says: () => `both ends of its shelf move ${way} to ${shareOf(1 / share)} what it was`,
    };
  }
  if (role.role === 'grid-leak') {
    return {
      kind: 'octaves',
      size: octaves,
      says: () =>
        `the corner in front of that grid moves ${way} by up to a factor of ${(share > 1 ? share : 1 / share).toPrecision(3)}`,
    };
  }
  if ((role.role === 'reservoir' || role.role === 'smoothing') && share < 1) {
    const rise = decibels(1 / share);
    return { kind: 'level', size: rise, says: () => `the ripple on it rises by ${showValue(rise, 'dB')}` };
  }
  if (role.role === 'feedback') {
    const size = decibels(share > 1 ? share : 1 / share);
    return {
      kind: 'level',
      size,
      says: () => `the feedback, and with it the gain, moves by up to ${showValue(size, 'dB')}`,
    };
  }
  if (role.role === 'cathode-resistor') {
    const moved = Math.abs(share - 1);
    return {
      kind: 'volts',
      size: moved,
      says: () =>
        `at the same current the cathode stands ${showShare(moved)} ${share > 1 ? 'higher' : 'lower'}`,
    };
  }
  if (DROPS.has(role.role)) return dropEffect(is, share, view);
  return networkEffect(is.ref, octaves, share, view);
}

/** A capacitor in a tone network, over a volume control or a peaker: what the parts around it make of it goes as 1/C. */
function networkEffect(ref: string, octaves: number, share: number, view: PhaseView): Effect | undefined {
  if (view.parts.get(ref)?.class !== 'capacitor') return undefined;
  const [low, high] = [figureOf(view, ref, 'shelf-low'), figureOf(view, ref, 'shelf-high')];
  const moved = `${share > 1 ? 'down' : 'up'} to ${shareOf(1 / share)} what it was`;
  if (low !== undefined && high !== undefined) {
    // Where nobody wrote a setting each end may lie anywhere in a band, and moves all the same.
    if (low.low !== undefined || high.low !== undefined)
      return {
        kind: 'octaves',
        size: octaves,
        says: () => `its shelf, wherever its control stands, moves ${moved}`,
      };
    return {
      kind: 'octaves',
      size: octaves,
      says: () => `its shelf, now ${show(low.quantity)} to ${show(high.quantity)}, moves ${moved}`,
    };
  }
  if (figureOf(view, ref, 'corner') === undefined) return undefined;
  return { kind: 'octaves', size: octaves, says: () => `${corner(view, ref)} moves ${moved}` };
}

/** What a resistor in a supply line moves at its far end, from the current that was read through it. */
function dropEffect(part: FittedPart, share: number, view: PhaseView): Effect | undefined {
  const drop = figureOf(view, part.ref, 'drop');
  const volts = [...part.terminals.values()].flatMap((node) => voltsAt(view, node) ?? []);
  if (drop === undefined || volts.length < 2) return undefined;
  const far = Math.min(...volts.map(Math.abs));
  if (!(far > 0)) return undefined;
  // Read with the new part in, so the old one dropped the same current times its own value.
  const moved = Math.abs(drop.quantity.value * (1 - 1 / share)) / far;
  return {
    kind: 'volts',
    size: moved,
    says: () => `at the same current the voltage behind it moves by ${showShare(moved)}`,
  };
}

function figureOf(view: PhaseView, subject: string, name: Figure['figure']): Figure | undefined {
  return figuresIn(view, name).findLast(({ subject: of }) => of === subject);
}

function voltsAt(view: PhaseView, node: string): number | undefined {
  return view.readings.findLast(
    (reading) =>
      reading.node === node &&
      reading.toNode === undefined &&
      reading.quantity === 'voltage' &&
      reading.set.id === view.verdictSet?.id,
  )?.value.quantity.value;
}

function corner(view: PhaseView, ref: string): string {
  const now = figureOf(view, ref, 'corner');
  return now === undefined ? 'the corner' : `the corner, now ${show(now.quantity)},`;
}

function decibels(share: number): number {
  const level = voltageDecibels(ratio(share));
  return level.ok ? level.value : 0;
}
