/** Owns the rule conflict-marked: a merge was left undecided in the sheet. */
import { defineRule } from './rule.ts';
import { reportProblems } from './writing.ts';

export const conflictMarked = defineRule({
  id: 'conflict-marked',
  since: '0.1.0',
  category: 'writing',
  severities: 'E',
  summary: 'A merge was left undecided: two versions stand in the sheet.',
  why: 'Where two people changed the same lines, git leaves both versions between lines of `<<<<<<<`, `=======` and `>>>>>>>`. Only one of them is what was fitted or read. The sheet is read with the first alone, so that one undecided line does not make twenty findings; what the second says is not looked at.',
  howToFix:
    'Decide which version is true, or write what is true of both, and delete the lines of marks. The fixes keep the one or the other.',
  source: 'git: how conflicts are presented, with or without the common ancestor',
  options: {},
  bad: {
    sheet:
      '# Job\n\n## As found\n\n- V5 6V6GT: a 331, g2 322\n\n<<<<<<< HEAD\n- R17 = 470R 5W, V5.k to gnd\n=======\n- R17 = 330R 5W, V5.k to gnd\n>>>>>>> bench-two\n',
    names: '<<<<<<< HEAD',
    fixed: '# Job\n\n## As found\n\n- V5 6V6GT: a 331, g2 322\n\n- R17 = 470R 5W, V5.k to gnd\n',
  },
  good: {
    sheet: '# Job\n\nTwo visits\n=======\n\n## As found\n\n- R17 = 470R 5W, V5.k to gnd\n',
  },
  check: (context) => reportProblems(context, 'conflict-marked', 'error'),
  fix: ({ sheet }, finding) => {
    const { start } = finding.source.span;
    const problem = sheet.problems.find(
      ({ kind, span }) => kind === 'conflict-marked' && span.start === start,
    );
    return (problem?.offers ?? []).map(({ saying, edit }) => ({
      title: saying,
      safety: 'suggestion',
      edits: [edit],
    }));
  },
});
