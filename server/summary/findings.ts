/** Owns how findings stand on the bench's page: those that stand, those accepted with the reason, those that the work cleared. */
import { type Finding, SEVERITIES } from '../rules/rule.ts';
import { aside, type Block, type Item, listOf, paragraph, strong, type Text } from './document.ts';
import type { Telling } from './telling.ts';
import type { Words } from './words.ts';

export interface SortedFindings {
  readonly standing: readonly Finding[];
  readonly accepted: readonly Finding[];
  readonly cleared: readonly Finding[];
}

/** Worst first, else in the order of the sheet. An accepted finding that was cleared as well is cleared. */
export function sortFindings(findings: readonly Finding[]): SortedFindings {
  const sorted = [...findings].sort(
    (a, b) => SEVERITIES.indexOf(a.severity) - SEVERITIES.indexOf(b.severity),
  );
  const isCleared = ({ cleared }: Finding): boolean => cleared !== undefined;
  const isAccepted = (each: Finding): boolean => each.accepted !== undefined && !isCleared(each);
  return {
    cleared: sorted.filter(isCleared),
    accepted: sorted.filter(isAccepted),
    standing: sorted.filter((each) => !isCleared(each) && !isAccepted(each)),
  };
}

/** `1 finding stands, 2 cleared, 1 accepted`. */
function countText({ standing, accepted, cleared }: SortedFindings, { bench: w }: Words): string {
  const said = [
    w.standing(standing.length),
    ...(cleared.length > 0 ? [w.cleared(cleared.length)] : []),
    ...(accepted.length > 0 ? [w.accepted(accepted.length)] : []),
  ];
  return said.join(', ');
}

export function findingBlocks(telling: Telling, sorted: SortedFindings): readonly Block[] {
  const { bench: w } = telling.words;
  const { standing, accepted, cleared } = sorted;
  if (standing.length + accepted.length + cleared.length === 0) return [paragraph(w.findingsNone)];
  return [
    paragraph(countText(sorted, telling.words), 'lead'),
    ...(w.findingsLanguage === '' ? [] : [paragraph(w.findingsLanguage, 'small')]),
    ...group(telling, w.standingHead, standing),
    ...group(telling, w.acceptedHead, accepted),
    ...group(telling, w.clearedHead, cleared),
  ];
}

function group(telling: Telling, head: string, findings: readonly Finding[]): readonly Block[] {
  if (findings.length === 0) return [];
  return [
    { kind: 'heading', text: head },
    listOf(
      findings.map((finding) => findingItem(telling, finding)),
      'findings',
    ),
  ];
}

/** `V3, V4` of the key `V3,V4`. */
function subjectText(subject: string): string {
  return subject.replace(/,(?=\S)/g, ', ');
}

function findingItem({ words, places, english }: Telling, finding: Finding): Item {
  const { severity, subject, message, rule, accepted, related = [], source } = finding;
  const { bench: w } = words;
  const line = places.line(source);
  const head: Text = [
    aside('severity', [{ kind: 'sign', sign: words.marks[severity] }, ' ', words.severities[severity]]),
    ' ',
    strong(subjectText(subject)),
    // A message that begins with its subject says it already.
    message.startsWith(`${subject} `) ? english(message.slice(subject.length)) : [' ', english(message)],
    ' ',
    aside('place', [`${places.say(source)}, `, english(rule)]),
  ];
  const effects = related.map(
    (each): Item => ({
      text: [
        each.message.includes(each.subject) ? undefined : [strong(subjectText(each.subject)), ' '],
        english(each.message),
        ' ',
        aside('place', places.say(each.source)),
      ],
      line: places.line(each.source),
    }),
  );
  return {
    role: severity,
    line,
    blocks: [
      paragraph(head),
      ...(accepted === undefined ? [] : [paragraph([w.reason, ' ', accepted], 'reason')]),
      ...(effects.length === 0 ? [] : [paragraph(w.follows, 'small'), listOf(effects)]),
    ],
  };
}
