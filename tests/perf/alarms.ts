/** Owns the table of alarms, true and false, over the corpus of amplifiers whose truth is known: one line a rule. */
import { rules } from '../../server/rules/registry.ts';
import { findingsIn } from '../corpus/findings.ts';
import { healthySheets } from '../corpus/healthy.ts';
import { isLoud, judge, sickSheets } from '../corpus/sick.ts';

export interface RuleAlarms {
  readonly rule: string;
  /** Sick units in which this rule named the faulty part. */
  readonly hits: number;
  /** Sick units that nothing named, counted under the first rule that should have. */
  readonly misses: number;
  /** Warnings and errors on parts with nothing wrong with them. */
  readonly falseOnSick: number;
  readonly falseOnHealthy: number;
}

export interface Alarms {
  readonly healthy: number;
  readonly sick: number;
  readonly kinds: number;
  readonly hits: number;
  readonly misses: number;
  readonly falseAlarms: number;
  /** Kinds of fault that no rule of the registry is there for. */
  readonly ruleNotThere: readonly string[];
  readonly missed: readonly string[];
  readonly byRule: readonly RuleAlarms[];
}

/** Units for each fault: more than the tests take the time for. */
const UNITS_EACH = 4;

/** Checks the whole corpus and counts. */
export function measureAlarms(): Alarms {
  const counts = new Map<
    string,
    { hits: number; misses: number; falseOnSick: number; falseOnHealthy: number }
  >();
  const of = (rule: string) => {
    const known = counts.get(rule) ?? { hits: 0, misses: 0, falseOnSick: 0, falseOnHealthy: 0 };
    counts.set(rule, known);
    return known;
  };
  const healthy = healthySheets();
  for (const { text, chassis } of healthy) {
    for (const { rule } of findingsIn(text, chassis).filter(isLoud)) of(rule).falseOnHealthy++;
  }
  const sick = sickSheets(UNITS_EACH);
  const missed: string[] = [];
  const ruleNotThere = new Set<string>();
  let hits = 0;
  for (const sheet of sick) {
    const findings = findingsIn(sheet.text);
    const { isJudged, isHit, accusations } = judge(sheet, findings);
    for (const { rule } of accusations) of(rule).falseOnSick++;
    if (!isJudged) {
      ruleNotThere.add(`${sheet.kind} (${sheet.expected[0]?.rule ?? ''})`);
      continue;
    }
    const named = sheet.expected.filter(({ rule, subject }) =>
      findings.some((finding) => isLoud(finding) && finding.rule === rule && finding.subject === subject),
    );
    for (const rule of new Set(named.map((each) => each.rule))) of(rule).hits++;
    if (isHit) hits++;
    else {
      const wanted = sheet.expected.find(({ rule }) => rules.some(({ id }) => id === rule))?.rule ?? '';
      of(wanted).misses++;
      missed.push(sheet.name);
    }
  }
  const byRule = [...counts]
    .map(([rule, count]) => ({ rule, ...count }))
    .sort((a, b) => a.rule.localeCompare(b.rule));
  return {
    healthy: healthy.length,
    sick: sick.length,
    kinds: new Set(sick.map(({ kind }) => kind)).size,
    hits,
    misses: missed.length,
    falseAlarms: byRule.reduce(
      (sum, { falseOnSick, falseOnHealthy }) => sum + falseOnSick + falseOnHealthy,
      0,
    ),
    ruleNotThere: [...ruleNotThere],
    missed,
    byRule,
  };
}

/** The same as a table to read, through `print`. */
export function printAlarms(print: (line: string) => void = console.log): Alarms {
  const alarms = measureAlarms();
  const { healthy, sick, kinds, hits, misses, falseAlarms, byRule } = alarms;
  print(
    `False alarms: ${healthy} healthy and ${sick} sick units (${kinds} faults); ${hits} found, ${misses} missed, ${falseAlarms} false`,
  );
  const cells = (each: readonly (string | number)[]): string =>
    each.map((cell, i) => (i === 0 ? String(cell).padEnd(28) : String(cell).padStart(9))).join('');
  print(cells(['rule', 'hits', 'misses', 'on sick', 'on good']));
  for (const row of byRule)
    print(cells([row.rule, row.hits, row.misses, row.falseOnSick, row.falseOnHealthy]));
  for (const name of alarms.missed) print(`missed: ${name}`);
  for (const name of alarms.ruleNotThere) print(`rule not there: ${name}`);
  return alarms;
}
