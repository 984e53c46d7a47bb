/**
 * Owns running a rule only where something that it looked at has changed. A rule is given its context under watch: whatever it
 * reads of the amplifier, of a phase, of a sheet or of what the shop adds is noted, and while all of it is the very same its
 * reports stand. Of a rule that goes from part to part, or from reading to reading, only those are looked at again that asked
 * for volts or figures which have changed.
 */
import { partsOfClass } from '../bench/by-class.ts';
import type { Amplifier, PhaseView } from '../bench/model.ts';
import { namesBetween } from '../bench/readings.ts';
import { createLoop, type Loop, type Touched } from '../sheet/asking.ts';
import type { Sheet } from '../sheet/model.ts';
import { createWatch, unwatched, type Watch, watchObject, watchSheet, wholeOf } from '../sheet/watching.ts';
import { differenceOf } from '../text/stretch.ts';
import type { Check, Report, Rule, RuleContext } from './rule.ts';

/** What is the same for all rules of one run, and must be for a report to be taken over. */
export interface Bounds {
  readonly catalogue: object;
  readonly house: object;
}

interface Kept extends Bounds {
  /** The chassis sheet under it: a sheet may be checked alone and in an analysis by turns. */
  readonly under: object | undefined;
  /** What may stand while all that was looked at is the same. */
  told?: { readonly watch: Watch<RuleContext>; readonly reports: readonly Report[] };
  /** By what is gone through and the phase. */
  readonly loops: Map<string, KeptLoop>;
}

interface KeptLoop {
  readonly loop: Loop<object, unknown>;
  /** All that any of its things ever looked at, but for what is asked for by name. */
  readonly watch: Watch<RuleContext>;
  /** The phases that it went through last, or whose readings and figures it may have asked for. */
  phases?: readonly PhaseView[];
}

/** By the thread of the sheet's notes. */
const keptOf = new WeakMap<object, Map<Rule, readonly Kept[]>>();
const KEPT = 2;

/** The reports of a rule; `context` is not watched, and what it gives must not change for the same bounds. */
export function reportsOf(rule: Rule, context: RuleContext, bounds: Bounds): readonly Report[] {
  const { thread } = context.sheet.note;
  // What the others said is new every time.
  if (rule.afterOthers === true || thread === undefined) return rule.check(context);
  const byRule = keptOf.get(thread) ?? new Map<Rule, readonly Kept[]>();
  keptOf.set(thread, byRule);
  const known = byRule.get(rule) ?? [];
  const { catalogue, house } = bounds;
  const chassis = context.amplifier.chassis?.note;
  const under = chassis?.thread ?? chassis;
  const kept: Kept = known.find(
    (each) => each.catalogue === catalogue && each.house === house && each.under === under,
  ) ?? { catalogue, house, under, loops: new Map() };
  if (kept.told?.watch.isSameIn(context) === true) return kept.told.reports;
  if (known[0] !== kept) byRule.set(rule, [kept, ...known.filter((each) => each !== kept)].slice(0, KEPT));
  const watch = createWatch<RuleContext>();
  const reports = rule.check(watchContext(context, watch, kept.loops));
  kept.told = { watch, reports };
  return reports;
}

function watchContext(context: RuleContext, watch: Watch<RuleContext>, loops: Kept['loops']): RuleContext {
  const amplifier = watchAmplifier(context.amplifier, watch);
  const { phases } = context.amplifier;
  const watchedFigures: RuleContext['figures'] = (view, name) => {
    const own = unwatched(view);
    const index = phases.indexOf(own);
    // Of another amplifier, or put together of two phases.
    if (index < 0) return context.figures(wholeOf(view), name);
    const found = context.figures(own, name);
    watch.note(`figures ${index} ${name}`, found, (from) => {
      const there = from.amplifier.phases[index];
      return there && from.figures(there, name);
    });
    return found;
  };
  const goThrough = <T extends object, R>(
    what: string,
    of: (view: PhaseView) => readonly T[],
    check: Check<T, R>,
  ): readonly R[] =>
    context.verdictViews.flatMap((view) => {
      const index = phases.indexOf(view);
      // All that is gone through, or asked for by name, is somewhere among these.
      for (const [i, each] of phases.entries())
        for (const key of ['parts', 'readings', 'figures'] as const)
          watch.note(`view ${i} ${key}`, each[key], (from) => from.amplifier.phases[i]?.[key]);
      const slot = `${what} ${view.phase}`;
      let kept = loops.get(slot);
      if (kept === undefined || !kept.watch.isSameIn(context)) {
        kept = { loop: createLoop<object, unknown>(), watch: createWatch<RuleContext>() };
        loops.set(slot, kept);
      }
      const touched = kept.phases === undefined ? 'all' : touchedBetween(kept.phases, phases);
      const own = watchContext(context, kept.watch, new Map());
      const ownView = own.amplifier.phases[index] ?? view;
      kept.phases = phases;
      watch.include(kept.watch);
      // Whatever is in a slot was put there by the same rule, which goes through parts of a class and through readings once each.
      const loop = kept.loop as unknown as Loop<T, R>;
      return loop.run(of(view), touched, (thing) => {
        const said = check(own, ownView, thing);
        return said === undefined ? NONE : [said];
      });
    });
  return watchObject<RuleContext, RuleContext>(context, 'context', watch, (from) => from, {
    amplifier,
    sheet: amplifier.sheet,
    verdictViews: amplifier.phases.filter((_, i) => context.verdictViews.some((view) => view === phases[i])),
    figures: watchedFigures,
    eachPart: (check, of, ...also) =>
      goThrough(`parts ${[of, ...also].join(' ')}`, (view) => partsOfClass(view, of, ...also), check),
    eachReading: (check) => goThrough('readings', ({ readings }) => readings, check),
    // These hang on the house, on the catalogue and on the sheet's name alone.
    option: context.option,
    isOwn: context.isOwn,
    catalogue: context.catalogue,
  });
}

const NONE: readonly never[] = [];

/** The names of which something else was read or figured in some phase than before. */
function touchedBetween(before: readonly PhaseView[], phases: readonly PhaseView[]): Touched {
  const touched = new Set<string>();
  for (const [i, view] of phases.entries()) {
    const last = before[i];
    if (last === undefined) return 'all';
    for (const name of touchedIn(last, view)) touched.add(name);
  }
  return touched;
}

/** Weak, so that no view keeps all the views before it. */
const touchedSince = new WeakMap<
  PhaseView,
  { readonly before: WeakRef<PhaseView>; readonly touched: ReadonlySet<string> }
>();

function touchedIn(before: PhaseView, view: PhaseView): ReadonlySet<string> {
  if (before === view) return NOTHING;
  const known = touchedSince.get(view);
  if (known?.before.deref() === before) return known.touched;
  const touched = namesBetween(before.readings, view.readings);
  const figures = differenceOf(before.figures, view.figures);
  const still = new Set(figures.come);
  const was = new Set(figures.gone);
  for (const each of figures.gone) if (!still.has(each)) touched.add(each.subject);
  for (const each of figures.come) if (!was.has(each)) touched.add(each.subject);
  touchedSince.set(view, { before: new WeakRef(before), touched });
  return touched;
}

const NOTHING: ReadonlySet<string> = new Set();

function watchAmplifier(amplifier: Amplifier, watch: Watch<RuleContext>): Amplifier {
  const sheet = (of: Sheet, name: string, findIn: (from: Amplifier) => Sheet | undefined): Sheet =>
    watchSheet(of, name, watch, ({ amplifier: from }) => findIn(from));
  const { chassis, follows, shopSheet, phases } = amplifier;
  watch.note('chassis', chassis !== undefined, (from) => from.amplifier.chassis !== undefined);
  watch.note('follows', follows.length, (from) => from.amplifier.follows.length);
  watch.note('shop sheet', shopSheet !== undefined, (from) => from.amplifier.shopSheet !== undefined);
  watch.note('phases', phases.map(nameOfPhase), (from) => from.amplifier.phases.map(nameOfPhase));
  return watchObject<Amplifier, RuleContext>(amplifier, 'amplifier', watch, (from) => from.amplifier, {
    sheet: sheet(amplifier.sheet, 'sheet', (from) => from.sheet),
    ...(chassis && { chassis: sheet(chassis, 'chassis', (from) => from.chassis) }),
    follows: follows.map((each, i) => sheet(each, `follows ${i}`, (from) => from.follows[i])),
    ...(shopSheet && { shopSheet: sheet(shopSheet, 'shop', (from) => from.shopSheet) }),
    phases: phases.map((view, i) =>
      watchObject<PhaseView, RuleContext>(view, `view ${i}`, watch, (from) => from.amplifier.phases[i], {}),
    ),
  });
}

function nameOfPhase({ phase }: PhaseView): string {
  return phase;
}
