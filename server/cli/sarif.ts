/**
 * Owns the findings as SARIF 2.1.0, which git hosts show beside a change. Lines and columns count from 1, the end column is
 * the one behind, in UTF-16 units; a byte-order mark is not counted, as the standard has it.
 */
import type { Source } from '../bench/model.ts';
import { fixes } from '../features/fixes.ts';
import { rules as registry } from '../rules/registry.ts';
import type { Finding, Fix, Rule, Severity } from '../rules/rule.ts';
import type { Analysis } from '../shop/shop.ts';
import type { Quantity } from '../units/si.ts';
import { type Places, rangeIn } from './json.ts';

const SCHEMA = 'https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json';
const CAUTION = 'No warning never means that an amplifier may be touched.';
const BYTE_ORDER_MARK = '\uFEFF';

const LEVELS: Readonly<Record<Severity, 'error' | 'warning' | 'note'>> = {
  error: 'error',
  warning: 'warning',
  info: 'note',
  hint: 'note',
};

const INDICES = new Map(registry.map(({ id }, i) => [id, i]));

/** One log with one run: every rule, and the results of all sheets. */
export function sarifLog(
  results: readonly Record<string, unknown>[],
  version: string,
): Record<string, unknown> {
  return {
    $schema: SCHEMA,
    version: '2.1.0',
    runs: [
      {
        tool: { driver: { name: 'Tagstrip', semanticVersion: version, rules: registry.map(ruleJson) } },
        columnKind: 'utf16CodeUnits',
        results,
      },
    ],
  };
}

/** Every finding of one sheet, with what would mend it. */
export function sarifResults(analysis: Analysis, places: Places): readonly Record<string, unknown>[] {
  return analysis.findings.map((finding) => result(finding, analysis, places));
}

/**
 * A text as a message string: braces would open a placeholder and are doubled, as the standard wants; brackets right before
 * parentheses would be a link.
 */
function said(text: string): string {
  return text.replace(/[{}]/g, '$&$&').replaceAll('](', '] (');
}

function ruleJson(rule: Rule): Record<string, unknown> {
  const { id, summary, why, howToFix, source, severities, category } = rule;
  return {
    id,
    shortDescription: { text: said(summary) },
    fullDescription: { text: said(why) },
    help: {
      text: said(`${why} What to do: ${howToFix} Rests on: ${source}. ${CAUTION}`),
      markdown: said(`${why}\n\n**What to do.** ${howToFix}\n\n**Rests on:** ${source}.\n\n${CAUTION}\n`),
    },
    defaultConfiguration: { level: highestLevel(severities) },
    properties: { category, severities },
  };
}

/** `I >90 %, W >95 %, E >100 %` can reach an error. */
function highestLevel(severities: string): 'error' | 'warning' | 'note' {
  if (/\bE\b/.test(severities)) return 'error';
  return /\bW\b/.test(severities) ? 'warning' : 'note';
}

function result(finding: Finding, analysis: Analysis, places: Places): Record<string, unknown> {
  const { rule, severity, subject, message, accepted, fingerprint, source } = finding;
  const ruleIndex = INDICES.get(rule);
  const related = (finding.related ?? []).map((each, id) => ({
    id,
    ...location(each.source, places),
    message: { text: said(`${each.subject}: ${each.message}`) },
  }));
  const mending = fixes(analysis, source.span).filter(({ finding: of }) => of === finding);
  return {
    ruleId: rule,
    ...(ruleIndex === undefined ? {} : { ruleIndex }),
    level: LEVELS[severity],
    message: { text: said(`${subject}: ${message}`) },
    locations: [location(source, places)],
    ...(related.length === 0 ? {} : { relatedLocations: related }),
    partialFingerprints: { 'tagstrip/v1': fingerprint },
    ...(mending.length === 0 ? {} : { fixes: mending.map((fix) => fixJson(fix, finding.file, places)) }),
    // An empty list says that the run knows of suppressions and this one is not suppressed.
    suppressions:
      accepted === undefined ? [] : [{ kind: 'inSource', status: 'accepted', justification: accepted }],
    properties: propertiesOf(finding),
  };
}

/** What the verdict rests on, in SI base units. */
function propertiesOf(finding: Finding): Record<string, unknown> {
  const { subject, severity, phase, set, figures, limit, cleared } = finding;
  return {
    subject,
    severity,
    ...(phase === undefined ? {} : { phase }),
    ...(set === undefined ? {} : { set: set.id }),
    ...(figures === undefined
      ? {}
      : { figures: Object.fromEntries(Object.entries(figures).map(([name, each]) => [name, plain(each)])) }),
    ...(limit === undefined ? {} : { limit: { ...plain(limit.quantity), source: limit.source } }),
    ...(cleared === undefined ? {} : { cleared }),
  };
}

function plain({ value, unit }: Quantity): { value: number; unit: string } {
  return { value, unit };
}

function location(source: Source, places: Places): Record<string, unknown> {
  return {
    physicalLocation: {
      artifactLocation: { uri: uriOf(source.file, places) },
      region: region(source, places),
    },
  };
}

function fixJson(fix: Fix, file: string, places: Places): Record<string, unknown> {
  return {
    description: { text: said(fix.title) },
    artifactChanges: [
      {
        artifactLocation: { uri: uriOf(file, places) },
        replacements: fix.edits.map(({ span, text }) => ({
          deletedRegion: region({ file, span }, places),
          ...(text === '' ? {} : { insertedContent: { text } }),
        })),
      },
    ],
  };
}

/** The path as a URI reference: relative to the folder that the command runs in, each segment escaped. */
function uriOf(file: string, places: Places): string {
  const path = places.path(file);
  return path.startsWith('/') || /^[a-z]:/i.test(path)
    ? file
    : path.split('/').map(encodeURIComponent).join('/');
}

/**
 * From lines and characters counted from 0 to SARIF's from 1:
 *
 *     {B+1: 12 V}      0-based characters 6..8   →  columns 7..9
 *           ^^
 */
function region(source: Source, places: Places): Record<string, number> {
  const { start, end } = rangeIn(places, source);
  const hasMark = places.snapshot(source.file)?.text.startsWith(BYTE_ORDER_MARK) === true;
  const column = (line: number, character: number): number =>
    line === 0 && hasMark ? Math.max(0, character - 1) + 1 : character + 1;
  return {
    startLine: start.line + 1,
    startColumn: column(start.line, start.character),
    endLine: end.line + 1,
    endColumn: column(end.line, end.character),
  };
}
