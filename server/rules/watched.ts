/**
 * Owns running a rule only where something that it looked at has changed. A rule is given its context under watch: whatever it
 * reads of the amplifier, of a sheet or of what the shop adds is noted, and while all of it is the very same its reports stand.
 */
import type { Amplifier } from '../bench/model.ts';
import type { Sheet } from '../sheet/model.ts';
import { createWatch, type Watch, watchObject, watchSheet } from '../sheet/watching.ts';
import type { Report, Rule, RuleContext } from './rule.ts';

/** What is the same for all rules of one run, and must be for a report to be taken over. */
export interface Bounds {
  readonly catalogue: object;
  readonly house: object;
}

interface Kept extends Bounds {
  readonly watch: Watch<RuleContext>;
  readonly reports: readonly Report[];
}

/** By the thread of the sheet's notes. A sheet may be checked alone and in an analysis by turns, so more than one is kept. */
const keptOf = new WeakMap<object, Map<Rule, readonly Kept[]>>();
const KEPT = 2;

/** The reports of a rule; `context` is not watched, and what it gives must not change for the same bounds. */
export function reportsOf(rule: Rule, context: RuleContext, bounds: Bounds): readonly Report[] {
  // What the others said is new every time.
  if (rule.afterOthers === true) return [...rule.check(context)];
  const { thread } = context.sheet.note;
  const byRule = keptOf.get(thread) ?? new Map<Rule, readonly Kept[]>();
  keptOf.set(thread, byRule);
  const kept = byRule.get(rule) ?? [];
  const { catalogue, house } = bounds;
  const known = kept.find(
    (each) => each.catalogue === catalogue && each.house === house && each.watch.isSameIn(context),
  );
  if (known !== undefined) return known.reports;
  const watch = createWatch<RuleContext>();
  const reports = [...rule.check(watchContext(context, watch))];
  byRule.set(rule, [{ catalogue, house, watch, reports }, ...kept].slice(0, KEPT));
  return reports;
}

function watchContext(context: RuleContext, watch: Watch<RuleContext>): RuleContext {
  const amplifier = watchAmplifier(context.amplifier, watch);
  return watchObject<RuleContext, RuleContext>(context, 'context', watch, (from) => from, {
    amplifier,
    sheet: amplifier.sheet,
    // These hang on the house and on the views alone.
    option: context.option,
    figures: context.figures,
    isOwn: context.isOwn,
    catalogue: context.catalogue,
  });
}

function watchAmplifier(amplifier: Amplifier, watch: Watch<RuleContext>): Amplifier {
  const sheet = (of: Sheet, name: string, findIn: (from: Amplifier) => Sheet | undefined): Sheet =>
    watchSheet(of, name, watch, ({ amplifier: from }) => findIn(from));
  const { chassis, follows, shopSheet } = amplifier;
  watch.note('chassis', chassis !== undefined, (from) => from.amplifier.chassis !== undefined);
  watch.note('follows', follows.length, (from) => from.amplifier.follows.length);
  watch.note('shop sheet', shopSheet !== undefined, (from) => from.amplifier.shopSheet !== undefined);
  return watchObject<Amplifier, RuleContext>(amplifier, 'amplifier', watch, (from) => from.amplifier, {
    sheet: sheet(amplifier.sheet, 'sheet', (from) => from.sheet),
    ...(chassis && { chassis: sheet(chassis, 'chassis', (from) => from.chassis) }),
    follows: follows.map((each, i) => sheet(each, `follows ${i}`, (from) => from.follows[i])),
    ...(shopSheet && { shopSheet: sheet(shopSheet, 'shop', (from) => from.shopSheet) }),
  });
}
