/** Owns the rule rating-lowered: a change that fits a lower rating than it takes out, where the margin is needed. */
import type { FittedPart, PartChange, PhaseView } from '../bench/model.ts';
import { worstOnCoupling } from './cold-supply.ts';
import { findFigure } from './figure-of.ts';
import { show, showShare, showValue } from './phrases.ts';
import { ratingFix } from './rating-fix.ts';
import { defineRule, type Report, type RuleContext } from './rule.ts';

type Which = 'voltage' | 'power';

export const ratingLowered = defineRule({
  id: 'rating-lowered',
  since: '0.1.0',
  category: 'ratings',
  severities: 'W',
  summary: 'A change fits a lower rating than it takes out, and the margin gets worse.',
  why: 'The rating that came out may have been chosen for a reason that does not show in a warm reading: the cold supply, full drive, heat from a valve beside it. A lower one is a decision, and worth a line.',
  howToFix:
    'Fit the rating that came out or a higher one. If the lower one is meant (the old one was needlessly high, or the only part that fits the clips), accept the finding with that reason.',
  source: 'the two ratings as written; the share that is enough is common practice, no source',
  options: {
    enough: {
      default: 0.5,
      unit: '1',
      means: 'share of the new rating in use at worst up to which a lower rating is not remarked on',
    },
  },
  bad: {
    sheet:
      '# Job\n\n## Work\n\n- C21 = 47uF 500V electrolytic, B+1 to gnd -> 47uF 450V electrolytic\n\n## As left\n\n- B+1: 382 V\n',
    names: 'C21',
  },
  good: {
    sheet:
      '# Job\n\n## Work\n\n- C21 = 47uF 450V electrolytic, B+1 to gnd -> 47uF 500V electrolytic\n- C40 = 22uF 160V electrolytic, bias to gnd -> 22uF 100V electrolytic\n\n## As left\n\n- B+1: 382 V\n- bias: -41 V\n',
  },
  check(context) {
    const reports: Report[] = [];
    const views = context.verdictViews;
    const view =
      views.find(({ phase }) => phase === 'as-left') ?? views.find(({ phase }) => phase === 'noted');
    for (const change of context.amplifier.changes) {
      const { was, is, planned } = change;
      if (was === undefined || is === undefined || planned || isSuperseded(context, change)) continue;
      const which = whichRating(is);
      const before = which && was.ratings[which];
      const after = which && is.ratings[which];
      if (which === undefined || before === undefined || after === undefined) continue;
      if (after.quantity.value >= before.quantity.value) continue;
      const used = view === undefined ? undefined : worstUse(context, view, is, which);
      const share = used === undefined ? undefined : used / after.quantity.value;
      if (share !== undefined && (share <= context.option('enough') || share > spokenFor(which))) continue;
      // A bypass that was read is judged against its cathode at full drive.
      if (share !== undefined && view?.roles.get(is.ref)?.role === 'cathode-bypass') continue;
      const unit = which === 'voltage' ? 'V' : 'W';
      const inUse =
        used === undefined || share === undefined
          ? ''
          : ` At worst ${showValue(used, unit)} of it is in use: ${showShare(share)} now, ${showShare(used / before.quantity.value)} before.`;
      reports.push({
        severity: 'warning',
        subject: is.ref,
        ...(view === undefined ? {} : { phase: view.phase }),
        message: `${is.ref} was rated ${show(before.quantity)} and is now rated ${show(after.quantity)} (as written for the part).${inUse} Fit ${show(before.quantity)} or more; if the lower rating is meant, accept it with the reason.`,
        source: after.source?.file === context.sheet.uri ? after.source : change.source,
        figures: { rating: after.quantity },
        limit: { quantity: before.quantity, source: 'rating of the part that was taken out' },
        // Up to the share that was let through here those are information, and this is what caused them.
        explains:
          share === undefined
            ? []
            : [{ rule: which === 'voltage' ? 'over-voltage' : 'resistor-over-dissipation', subject: is.ref }],
      });
    }
    return reports;
  },
  fix: (context, finding) =>
    ratingFix(
      context,
      finding,
      finding.limit?.quantity.unit === 'W' ? 'power' : 'voltage',
      finding.limit?.quantity.value,
    ),
});

/** Whether a later line of the work fits the part again. */
function isSuperseded({ amplifier }: RuleContext, change: PartChange): boolean {
  const last = amplifier.changes.findLast(
    ({ ref, is, planned }) => ref === change.ref && is !== undefined && !planned,
  );
  return last !== change;
}

function whichRating(part: FittedPart): Which | undefined {
  if (part.class === 'capacitor') return 'voltage';
  return part.class === 'resistor' ? 'power' : undefined;
}

/** The share above which the rules of running voltage and of dissipation speak themselves. */
function spokenFor(which: Which): number {
  return which === 'voltage' ? 0.95 : 0.85;
}

/** The most of its rating that the part is known to meet; undefined where nothing says how much that is. */
function worstUse(context: RuleContext, view: PhaseView, part: FittedPart, which: Which): number | undefined {
  const figure = (name: 'voltage' | 'cold-voltage' | 'dissipation') =>
    findFigure(context, view, name, part.ref)?.quantity.value;
  const role = view.roles.get(part.ref)?.role;
  if (which === 'power') {
    // At full drive a screen resistor takes many times its idle power.
    return role === 'screen-resistor' ? undefined : figure('dissipation');
  }
  const coupling = role === 'coupling' ? worstOnCoupling(context, view, part)?.volts : undefined;
  // A warm reading says nothing of what a coupling capacitor meets cold.
  if (role === 'coupling') return coupling;
  const running = figure('voltage');
  const cold = figure('cold-voltage');
  return running === undefined && cold === undefined ? undefined : Math.max(running ?? 0, cold ?? 0);
}
