/** Owns the rule fuse-mismatch: a fuse that is not the one the amplifier is marked for. */
import { partsOfClass } from '../bench/by-class.ts';
import type { FittedPart, PhaseView } from '../bench/model.ts';
import { compareFuseSpeeds, type FuseSpeed, findFuseSpeed } from '../catalogue/fuse-facts.ts';
import { readSpecification } from '../dialect/specification.ts';
import type { Specification } from '../dialect/tree.ts';
import { plainValue } from '../sheet/model.ts';
import { writeQuantity } from '../units/write.ts';
import { showValue } from './phrases.ts';
import { defineRule, type Report, type RuleContext, type Severity } from './rule.ts';
import { wordsBeside } from './said-beside.ts';

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
    'the fuse of the chassis sheet, what the words beside the fuse say that the holder is marked for, or the one that a change takes out; IEC 60127 and UL 248-14 for what the numbers mean',
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
  check(context) {
    const reports: Report[] = [];
    const { verdictViews, option } = context;
    for (const view of verdictViews) {
      for (const part of partsOfClass(view, 'fuse')) {
        const marked = markedFor(context, view, part);
        const fitted = fuseOf(part);
        const severity = marked && judge(fitted, marked, option('error'), option('same'));
        if (marked === undefined || severity === undefined) continue;
        const wanted = marked.fuse.current;
        reports.push({
          severity,
          subject: part.ref,
          phase: view.phase,
          tellsPhase: true,
          message: `${part.ref} is ${nameOf(fitted)} and ${SAYS[marked.by]} ${nameOf(marked.fuse)}${comparison(fitted, marked.fuse)}. Fit what is marked beside the holder, in rating, characteristic and breaking capacity. IEC and UL ratings are not the same number: a UL fuse of ${showValue(1.35, 'A')} behaves like an IEC one of ${showValue(1, 'A')}.`,
          source: part.source,
          ...(wanted === undefined
            ? {}
            : { limit: { quantity: { value: wanted, unit: 'A' }, source: LIMITS[marked.by] } }),
          figures: {
            ...(part.ratings.current === undefined ? {} : { fitted: part.ratings.current.quantity }),
          },
        });
      }
    }
    return reports;
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
    const text = nameOf(marked.fuse);
    return [{ title: `Fit ${text} as marked`, safety: 'suggestion', edits: [{ span, text }] }];
  },
});

/** What a fuse says of itself. */
interface Fuse {
  readonly current: number | undefined;
  readonly speed: FuseSpeed | undefined;
}

interface Marked {
  readonly fuse: Fuse;
  readonly by: 'chassis sheet' | 'marking' | 'fuse before';
}

const SAYS: Readonly<Record<Marked['by'], string>> = {
  'chassis sheet': 'the chassis sheet has',
  marking: 'its holder is marked',
  'fuse before': 'it takes the place of',
};
const LIMITS: Readonly<Record<Marked['by'], string>> = {
  'chassis sheet': 'the fuse of the chassis sheet',
  marking: 'the marking, as written beside it',
  'fuse before': 'the fuse that it replaces',
};

/** What is marked beside the holder, as the writer says, or the chassis sheet's fuse; without either the fuse that was found, which may itself be wrong. */
function markedFor({ amplifier, sheet }: RuleContext, view: PhaseView, part: FittedPart): Marked | undefined {
  const own = part.source.file === sheet.uri ? markIn(wordsBeside(sheet, part.source.span)) : undefined;
  if (own !== undefined) return { fuse: own, by: 'marking' };
  const factory = amplifier.phases.find(({ phase }) => phase === 'factory')?.parts.get(part.ref);
  if (factory === part) return undefined;
  if (factory !== undefined) return { fuse: nearestOf(factory, part), by: 'chassis sheet' };
  if (view.phase !== 'as-left' && view.phase !== 'noted') return undefined;
  const found = amplifier.phases.find(({ phase }) => phase === 'as-found')?.parts.get(part.ref);
  if (found === undefined || found === part) return undefined;
  // What the holder is marked for holds for the next fuse in it, too.
  const before = found.source.file === sheet.uri ? markIn(wordsBeside(sheet, found.source.span)) : undefined;
  return before === undefined ? { fuse: fuseOf(found), by: 'fuse before' } : { fuse: before, by: 'marking' };
}

const MARKED =
  /(?<![\p{L}])(?:(?:is |was |it’s |it's )?(?:marked|stamped|labelled)(?: for| as)?|should be|(?:holder|panel|label|chassis) says)\s*:?\s+/iu;

/** `marked T500mA`: what the words beside a fuse say that it should be. */
function markIn(words: string): Fuse | undefined {
  const marked = MARKED.exec(words);
  if (marked === null) return undefined;
  const start = marked.index + marked[0].length;
  const specification = readSpecification('fuse', words, { start, end: words.length })?.specification;
  return specification === undefined || specification.values.length === 0 ? undefined : said(specification);
}

function fuseOf({ specification }: FittedPart): Fuse {
  return specification === undefined ? { current: undefined, speed: undefined } : said(specification);
}

function said({ values: [value], fuseSpeed }: Specification): Fuse {
  return {
    current: plainValue(value)?.quantity.value,
    speed: fuseSpeed === undefined ? undefined : findFuseSpeed(fuseSpeed.text),
  };
}

/** Of fuses for several mains taps the one nearest to what is fitted: which tap is set the rule does not know. */
function nearestOf(marked: FittedPart, { ratings }: FittedPart): Fuse {
  const fuse = fuseOf(marked);
  const fitted = ratings.current?.quantity.value;
  const all = (marked.specification?.values ?? []).flatMap((each) => plainValue(each)?.quantity.value ?? []);
  if (fitted === undefined || all.length < 2) return fuse;
  const [nearest] = all.sort((a, b) => Math.abs(a - fitted) - Math.abs(b - fitted));
  return { ...fuse, current: nearest };
}

function judge(part: Fuse, marked: Marked, twice: number, same: number): Severity | undefined {
  const wanted = marked.fuse;
  const ratio = ratioOf(part, wanted) ?? 1;
  const slower =
    part.speed === undefined || wanted.speed === undefined ? 0 : compareFuseSpeeds(part.speed, wanted.speed);
  const isSlowForFast = isSlow(part.speed) && isFast(wanted.speed);
  if (ratio >= twice || isSlowForFast) return 'error';
  const isLarger = ratio > 1 + same || slower > 0;
  const isOther = isLarger || ratio < 1 - same || slower < 0;
  // Of a fuse that was found and is not known to be right, only a step up is told.
  return (marked.by === 'fuse before' ? isLarger : isOther) ? 'warning' : undefined;
}

function ratioOf({ current: fitted }: Fuse, { current: wanted }: Fuse): number | undefined {
  return fitted === undefined || wanted === undefined || !(wanted > 0) ? undefined : fitted / wanted;
}

function isSlow(speed: FuseSpeed | undefined): boolean {
  return speed === 'T' || speed === 'TT';
}

function isFast(speed: FuseSpeed | undefined): boolean {
  return speed === 'F' || speed === 'FF';
}

/** `T1A`, as it is stamped. */
function nameOf({ current, speed }: Fuse): string {
  return `${speed ?? ''}${current === undefined ? '' : writeQuantity({ value: current, unit: 'A' }, { style: 'tag' })}`;
}

function comparison(part: Fuse, marked: Fuse): string {
  const ratio = ratioOf(part, marked);
  const times = ratio === undefined || ratio === 1 ? '' : `${Number(ratio.toPrecision(3))} times the rating`;
  const isSlower = isSlow(part.speed) && isFast(marked.speed);
  const said = [times, isSlower ? 'slow where fast is marked' : ''].filter((each) => each !== '');
  return said.length === 0 ? '' : `: ${said.join(', and ')}`;
}
