/** Owns the rule wish-broken: a part that was to be kept as it is was changed. */
import type { FittedPart, PartChange } from '../bench/model.ts';
import type { Keep, Sheet } from '../sheet/model.ts';
import { defineRule, type Report, type RuleContext } from './rule.ts';
import { workDone } from './work-done.ts';

export const wishBroken = defineRule({
  id: 'wish-broken',
  since: '0.1.0',
  category: 'record',
  severities: 'W',
  summary: 'A part that was to be kept was changed.',
  why: 'What an owner asked to leave alone was said at the counter, days before the iron is hot. The old part cannot be put back once it is in the bin.',
  howToFix:
    'Put the old part back, or ask the owner and write the answer in place of the wish. A part that came out only for a trial and went back is no broken wish: write that too.',
  source: 'the wish as it is written, `{keep C41: owner’s wish}`, here or on the chassis sheet',
  options: {},
  bad: {
    sheet:
      '# Job\n\n## Intake\n\n{keep C41: owner’s wish}\n\n## Work\n\n- plug out, discharged: B+1: 3 V\n- C41 = 47n 400V paper -> 47n 630V film\n',
    names: 'C41',
  },
  good: {
    sheet:
      '# Job\n\n## Intake\n\n{keep C41: owner’s wish}\n\n## Work\n\n- plug out, discharged: B+1: 3 V\n- C41 -> resoldered\n- C42 = 47n 400V paper -> 47n 630V film\n',
  },
  check(context) {
    const reports: Report[] = [];
    for (const { keep, sheet } of wishes(context)) {
      const change = findReplacement(context, keep);
      if (change === undefined) continue;
      const why = keep.reason === undefined ? '' : ` (“${keep.reason}”)`;
      const what = change.work === 'removed' ? 'was taken out' : 'was changed';
      reports.push({
        severity: 'warning',
        subject: change.ref,
        message: `${change.ref} ${what}, and it was to be kept${why}. Put the old part back, or ask and write the answer in place of the wish.`,
        source: change.source,
        related: [
          {
            subject: keep.ref.name,
            message: 'to be kept, it says here.',
            source: { file: sheet.uri, span: keep.span },
          },
        ],
      });
    }
    return reports;
  },
});

function wishes({ amplifier }: RuleContext): readonly { readonly keep: Keep; readonly sheet: Sheet }[] {
  const { sheet, chassis } = amplifier;
  return [sheet, ...(chassis === undefined ? [] : [chassis])].flatMap((each) =>
    each.keeps.map((keep) => ({ keep, sheet: each })),
  );
}

/** The change that took the kept part out; undefined where it is in again, or only its joints were touched. */
function findReplacement({ amplifier }: RuleContext, { ref }: Keep): PartChange | undefined {
  const replaced = workDone(amplifier).filter(
    (change) =>
      (change.ref === ref.name || change.ref.replace(/[A-Z]$/, '') === ref.name) &&
      (change.work === undefined || change.work === 'removed'),
  );
  const [first] = replaced;
  const last = replaced.at(-1);
  if (first === undefined || last === undefined) return undefined;
  // Tried and put back.
  const isBack = first !== last && isSamePart(first.was, last.is);
  return isBack ? undefined : last;
}

function isSamePart(one: FittedPart | undefined, other: FittedPart | undefined): boolean {
  if (one === undefined || other === undefined) return false;
  return (
    one.value?.quantity.value === other.value?.quantity.value &&
    one.ratings.voltage?.quantity.value === other.ratings.voltage?.quantity.value &&
    one.ratings.power?.quantity.value === other.ratings.power?.quantity.value &&
    one.type?.text === other.type?.text &&
    one.kinds.join(' ') === other.kinds.join(' ')
  );
}
