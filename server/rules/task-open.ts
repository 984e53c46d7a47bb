/** Owns the rule task-open: a task of a sheet that went back is not ticked. */
import type { Topic } from '../sheet/model.ts';
import { lineAt, lineSpan } from '../text/snapshot.ts';
import { contains } from '../text/span.ts';
import { defineRule, type Report, type RuleContext } from './rule.ts';
import { isReturned } from './work-done.ts';

/** What stands there is for another time, and open by intention. */
const FOR_LATER: ReadonlySet<Topic> = new Set(['wanted', 'next-time', 'declined', 'left-alone']);
const LONGEST = 60;

export const taskOpen = defineRule({
  id: 'task-open',
  since: '0.1.0',
  category: 'record',
  severities: 'H',
  summary: 'A task is not ticked on a sheet that went back.',
  why: 'An unticked task says that a thing is still to be done, and the parts in it count as wanted, not as fitted. On a sheet that went back either the work was forgotten or the tick was.',
  howToFix:
    'Tick it if it was done. If it is for another time, move it under Next time, Wanted, Declined or Left alone, where open tasks are at home.',
  source: 'the sheet itself: `returned` in its head and the open box',
  options: {},
  bad: {
    sheet: '---\nreturned: 2026-03-06\n---\n# Job\n\n## Work\n\n- [x] cleaned the sockets\n- [ ] soak test\n',
    names: 'soak test',
    fixed: '---\nreturned: 2026-03-06\n---\n# Job\n\n## Work\n\n- [x] cleaned the sockets\n- [x] soak test\n',
  },
  good: {
    sheet:
      '---\nreturned: 2026-03-06\n---\n# Job\n\n## Work\n\n- [x] soak test\n\n## Next time\n\n- [ ] new valves\n',
  },
  check({ sheet }) {
    const reports: Report[] = [];
    if (!isReturned(sheet)) return reports;
    const said = new Set<string>();
    for (const { done, text, span } of sheet.tasks) {
      const section = sheet.sections.find(
        ({ bodySpan }) => bodySpan.start <= span.start && span.start < bodySpan.end,
      );
      if (done || (section !== undefined && FOR_LATER.has(section.topic))) continue;
      const what = text.length > LONGEST ? `${text.slice(0, LONGEST).trimEnd()}…` : text;
      const ref = sheet.mentions.find((each) => each.ref !== undefined && contains(span, each.span))?.ref;
      const subject = ref === undefined || said.has(ref) ? what : ref;
      said.add(subject);
      reports.push({
        severity: 'hint',
        subject,
        message: `The sheet was returned and this task is open: “${what}”. Tick it if it was done, or move it under Next time, Wanted, Declined or Left alone.`,
        source: { file: sheet.uri, span },
      });
    }
    return reports;
  },
  fix: (context, finding) => {
    const box = boxOf(context, finding.source.span.start);
    if (box === undefined) return [];
    return [
      {
        title: 'Tick it as done',
        safety: 'suggestion',
        edits: [{ span: { start: box + 1, end: box + 2 }, text: 'x' }],
      },
    ];
  },
});

/** Where the `[ ]` of a task begins, on the task's first line. */
function boxOf({ sheet: { snapshot } }: RuleContext, offset: number): number | undefined {
  const line = lineSpan(snapshot, lineAt(snapshot, offset));
  const at = snapshot.text.slice(line.start, line.end).search(/\[[ \t]\]/);
  return at < 0 ? undefined : line.start + at;
}
