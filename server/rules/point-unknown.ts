/** Owns the rule point-unknown: a named place that is one letter from a known one, or is called by a word that names none. */
import { defineRule } from './rule.ts';
import { offeredFixes, reportProblems } from './writing.ts';

export const pointUnknown = defineRule({
  id: 'point-unknown',
  since: '0.1.0',
  category: 'writing',
  severities: 'W',
  summary:
    'A named place is one letter from one that the circuit has, or is called by a word that cannot name a place.',
  why: 'A free name such as `tail` is declared by the first connection that uses it. A reading at `tial` belongs to no place, so no figure is made of it. In `R3 = 100k, V1A.g to in` the word `in` has a meaning of its own, so that R3 would be connected nowhere.',
  howToFix: 'Correct the name; the known one is offered. If it is another place, connect something to it.',
  source: 'grammar/dialect.md',
  options: {},
  bad: {
    sheet: '# Job\n\n## As found\n\n- R12 = 15k 1W, tail to gnd\n\nThe {tial: 36.2 V} is as it should be.\n',
    names: 'tial',
  },
  good: {
    sheet: '# Job\n\n## As found\n\n- R12 = 15k 1W, tail to gnd\n\nThe {tail: 36.2 V} is as it should be.\n',
  },
  check: (context) => reportProblems(context, 'point-unknown', 'warning'),
  fix: (context, finding) => offeredFixes(context, finding, 'point-unknown'),
});
