/** Owns how findings stand on the bench's page: those that stand, those accepted with the reason, those that the work cleared. */
import { type Finding, SEVERITIES } from '../rules/rule.ts';
import { type Html, html, NOTHING } from './escape.ts';
import type { FindPlace } from './places.ts';
import { words } from './words.ts';

const w = words.bench;

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
export function countText({ standing, accepted, cleared }: SortedFindings): string {
  const said = [
    w.standing(standing.length),
    ...(cleared.length > 0 ? [w.cleared(cleared.length)] : []),
    ...(accepted.length > 0 ? [w.accepted(accepted.length)] : []),
  ];
  return said.join(', ');
}

export function findingsHtml(sorted: SortedFindings, place: FindPlace): Html {
  const { standing, accepted, cleared } = sorted;
  if (standing.length + accepted.length + cleared.length === 0) return html`<p>${w.findingsNone}</p>`;
  return html`${group(w.standingHead, standing, place)}${group(w.acceptedHead, accepted, place)}${group(w.clearedHead, cleared, place)}`;
}

function group(head: string, findings: readonly Finding[], place: FindPlace): Html {
  if (findings.length === 0) return NOTHING;
  return html`<h3>${head}</h3><ul class="findings">${findings.map((finding) => findingHtml(finding, place))}</ul>`;
}

function findingHtml(finding: Finding, place: FindPlace): Html {
  const { severity, subject, message, rule, accepted, related = [], source } = finding;
  const effects = related.map(
    (each) =>
      html`<li>${each.message.includes(each.subject) ? undefined : html`<strong>${each.subject}</strong> `}${each.message} <span class="place">${place(each.source)}</span></li>`,
  );
  return html`<li class="finding ${severity}"><p><strong class="severity"><span aria-hidden="true">${words.marks[severity]}</span> ${words.severities[severity]}</strong> <strong>${subject}</strong> ${message} <span class="place">${place(source)}, ${rule}</span></p>${
    accepted === undefined ? undefined : html`<p class="reason">${w.reason} ${accepted}</p>`
  }${effects.length === 0 ? undefined : html`<p class="small">${w.follows}</p><ul>${effects}</ul>`}</li>`;
}
