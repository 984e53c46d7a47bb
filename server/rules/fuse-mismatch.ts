/** Owns the rule fuse-mismatch: a fuse that is not the one the amplifier is marked for. */
import type { FittedPart, PhaseView } from '../bench/model.ts';
import { compareFuseSpeeds, type FuseSpeed, findFuseSpeed } from '../catalogue/fuse-facts.ts';
import { writeQuantity } from '../units/write.ts';
import { showValue, when } from './phrases.ts';
import { defineRule, type RuleContext, type Severity } from './rule.ts';

export const fuseMismatch = defineRule({
  id: 'fuse-mismatch',
  since: '0.1.0',
  category: 'ratings',
  severities: 'E ≥2× the marked rating, or slow where fast is marked; W any other difference',
  summary: 'A fuse is not the one that the amplifier is marked for.',
  why: 'The fuse is what stands between a fault and a burnt transformer. Twice the rating, or a slow one in place of a fast one, may not blow at all on a shorted output valve. A smaller or quicker one blows at switch-on, and the next hand fits a bigger one. So a slow one for a fast one is the error, and a fast one for a slow one a warning.',
  howToFix:
    'Fit the rating, characteristic and breaking capacity that the maker marked beside the holder. A UL 248-14 rating is about 1.35 times the IEC 60127 rating for the same load: between 5 × 20 mm and 6.3 × 32 mm fuses the same number is not the same fuse.',
  source:
    'the fuse of the chassis sheet, or the one that a change takes out; IEC 60127 and UL 248-14 for what the numbers mean',
  options: {
    error: { default: 2, unit: '1', means: 'fitted rating over the marked one that is an error' },
    same: { default: 0.02, unit: '1', means: 'difference of the ratings that is none' },
  },
  bad: {
    sheet: '# Job\n\n## As found\n\n- F1 = T1A\n\n## Work\n\n- F1 -> T2A\n\n## As left\n\n- mains: 230 V\n',
    names: 'F1',
  },
  good: {
    sheet:
      '# Job\n\n## As found\n\n- F1 = T3.15A\n\n## Work\n\n- F1 -> T1A\n\n## As left\n\n- mains: 230 V\n',
  },
  *check(context) {
    const { verdictViews, option } = context;
    for (const view of verdictViews) {
      for (const part of view.parts.values()) {
        if (part.class !== 'fuse') continue;
        const marked = markedFor(context, view, part);
        if (marked === undefined || marked.part === part) continue;
        const severity = judge(part, marked, option('error'), option('same'));
        if (severity === undefined) continue;
        const whose = marked.isChassis ? 'the chassis sheet has' : 'it takes the place of';
        yield {
          severity,
          subject: part.ref,
          phase: view.phase,
          message: `${when(view)}, ${part.ref} is ${nameOf(part)} and ${whose} ${nameOf(marked.part)}${comparison(part, marked.part)}. Fit what is marked beside the holder, in rating, characteristic and breaking capacity. IEC and UL ratings are not the same number: a UL fuse of ${showValue(1.35, 'A')} behaves like an IEC one of ${showValue(1, 'A')}.`,
          source: part.source,
          ...(marked.part.ratings.current === undefined
            ? {}
            : {
                limit: {
                  quantity: marked.part.ratings.current.quantity,
                  source: marked.isChassis ? 'the fuse of the chassis sheet' : 'the fuse that it replaces',
                },
              }),
          figures: {
            ...(part.ratings.current === undefined ? {} : { fitted: part.ratings.current.quantity }),
          },
        };
      }
    }
  },
  fix: (context, finding) => {
    const view = context.verdictViews.find(({ phase }) => phase === finding.phase);
    const part = view?.parts.get(finding.subject);
    const marked = view === undefined || part === undefined ? undefined : markedFor(context, view, part);
    const change = context.amplifier.changes.findLast(
      ({ ref, is }) => ref === finding.subject && is !== undefined,
    );
    const span = change?.is?.specification?.span;
    const within = change?.source.span;
    // Only what this sheet's work fits can still be written otherwise.
    if (marked === undefined || span === undefined || within === undefined) return [];
    if (change?.source.file !== context.sheet.uri || span.start < within.start || span.end > within.end)
      return [];
    const text = nameOf(marked.part);
    return [{ title: `Fit ${text} as marked`, safety: 'suggestion', edits: [{ span, text }] }];
  },
});

interface Marked {
  readonly part: FittedPart;
  readonly isChassis: boolean;
}

/** The chassis sheet's fuse; without one the fuse that was found, which may itself be wrong. */
function markedFor({ amplifier }: RuleContext, view: PhaseView, part: FittedPart): Marked | undefined {
  const factory = amplifier.phases.find(({ phase }) => phase === 'factory')?.parts.get(part.ref);
  if (factory !== undefined) return { part: factory, isChassis: true };
  if (view.phase !== 'as-left' && view.phase !== 'noted') return undefined;
  const found = amplifier.phases.find(({ phase }) => phase === 'as-found')?.parts.get(part.ref);
  return found === undefined ? undefined : { part: found, isChassis: false };
}

function judge(part: FittedPart, marked: Marked, twice: number, same: number): Severity | undefined {
  const fitted = part.ratings.current?.quantity.value;
  const wanted = marked.part.ratings.current?.quantity.value;
  const ratio = fitted === undefined || wanted === undefined || !(wanted > 0) ? 1 : fitted / wanted;
  const speed = speedOf(part);
  const wantedSpeed = speedOf(marked.part);
  const slower = speed === undefined || wantedSpeed === undefined ? 0 : compareFuseSpeeds(speed, wantedSpeed);
  const isSlowForFast = isSlow(speed) && isFast(wantedSpeed);
  if (ratio >= twice || isSlowForFast) return 'error';
  const isLarger = ratio > 1 + same || slower > 0;
  const isOther = isLarger || ratio < 1 - same || slower < 0;
  // Of a fuse that was found and is not known to be right, only a step up is told.
  return (marked.isChassis ? isOther : isLarger) ? 'warning' : undefined;
}

function speedOf(part: FittedPart): FuseSpeed | undefined {
  const word = part.specification?.fuseSpeed?.text;
  return word === undefined ? undefined : findFuseSpeed(word);
}

function isSlow(speed: FuseSpeed | undefined): boolean {
  return speed === 'T' || speed === 'TT';
}

function isFast(speed: FuseSpeed | undefined): boolean {
  return speed === 'F' || speed === 'FF';
}

/** `T1A`, as it is stamped. */
function nameOf(part: FittedPart): string {
  const current = part.ratings.current;
  return `${speedOf(part) ?? ''}${current === undefined ? '' : writeQuantity(current.quantity, { style: 'tag' })}`;
}

function comparison(part: FittedPart, marked: FittedPart): string {
  const fitted = part.ratings.current?.quantity.value;
  const wanted = marked.ratings.current?.quantity.value;
  const times =
    fitted === undefined || wanted === undefined || !(wanted > 0) || fitted === wanted
      ? ''
      : `${Number((fitted / wanted).toPrecision(3))} times the rating`;
  const isSlower = isSlow(speedOf(part)) && isFast(speedOf(marked));
  const said = [times, isSlower ? 'slow where fast is marked' : ''].filter((each) => each !== '');
  return said.length === 0 ? '' : `: ${said.join(', and ')}`;
}
