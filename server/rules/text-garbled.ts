/** Owns the rule text-garbled: a sign was garbled in copying, or was lost because the file is not UTF-8. */
import type { Sheet } from '../sheet/model.ts';
import { span } from '../text/span.ts';
import { defineRule, type Report } from './rule.ts';
import { offeredFixes, reportProblems } from './writing.ts';

/** What a reader of UTF-8 puts in place of what is none. */
const LOST = '\uFFFD';

export const textGarbled = defineRule({
  id: 'text-garbled',
  since: '0.1.0',
  category: 'writing',
  severities: 'W',
  summary: 'A sign was garbled in copying, or lost because the file is not UTF-8.',
  why: '`ÂµF` or `Î©` is what a wrong character encoding makes of µF and Ω. What was meant is likely but not certain. Of a file that is not UTF-8 each µ, Ω and ± is read as `�`, and what it was cannot be told: `22 �F` may have been µF.',
  howToFix:
    'Replace the garbled sign; the fix offers the likely one. Where there are `�`, reopen the file in the encoding that it was written in and save it as UTF-8; signs that were lost in an earlier saving are to be typed again.',
  source: 'Unicode: UTF-8 read as Latin-1; Latin-1 read as UTF-8',
  options: {},
  bad: { sheet: '# Job\n\n## Parts\n\n- C12 = 47 ÂµF 25V\n', names: 'Âµ' },
  good: { sheet: '# Job\n\n## Parts\n\n- C12 = 47 µF 25V\n' },
  check: (context) => [...reportProblems(context, 'text-garbled', 'warning'), ...lostSigns(context.sheet)],
  fix: (context, finding) => offeredFixes(context, finding, 'text-garbled'),
});

/** Said once for all of them, at the first: they have one cause. Looked for anew in every text, so no place has to move. */
function lostSigns({ snapshot: { text }, uri }: Sheet): readonly Report[] {
  const start = text.indexOf(LOST);
  if (start < 0) return [];
  const count = text.split(LOST).length - 1;
  const signs =
    count === 1 ? 'One sign of this sheet was' : `${count} signs of this sheet were, the first of them here,`;
  return [
    {
      severity: 'warning',
      subject: LOST,
      message: `${signs} not UTF-8 and cannot be read (${LOST}): a prefix, a unit or a tolerance beside a number may be missing. Reopen the file in the encoding that it was written in and save it as UTF-8; where ${LOST} is still there, type the sign again.`,
      source: { file: uri, span: span(start, start + 1) },
    },
  ];
}
