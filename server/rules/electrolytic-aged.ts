/** Owns the rule electrolytic-aged: electrolytics that are older than makers promise, listed once. */
import { partsOfClass } from '../bench/by-class.ts';
import type { FittedPart } from '../bench/model.ts';
import { ELECTROLYTIC_LIFE, findCapacitorKind } from '../catalogue/capacitor-facts.ts';
import { defineRule, type Report, type RuleContext } from './rule.ts';

export const electrolyticAged = defineRule({
  id: 'electrolytic-aged',
  since: '0.1.0',
  category: 'readings',
  severities: 'I >15 years, W >20 years, once a sheet',
  summary: 'Electrolytics are older than they can be expected to last.',
  why: 'The electrolyte dries out whether the amplifier plays or not. An old can hums, and when it fails it may take the rectifier and the mains transformer with it. Those of one date go together.',
  howToFix:
    'Measure capacitance and series resistance of each, or renew them together. Age alone proves nothing: a can that measures well and has been re-formed may stay, with a word to the owner.',
  source: `${ELECTROLYTIC_LIFE.serviceYears.trust.source}: no life is promised beyond ${ELECTROLYTIC_LIFE.serviceYears.longest} years`,
  options: {
    info: { default: 15, unit: '1', means: 'years of age that are information' },
    warning: { default: 20, unit: '1', means: 'years that are a warning' },
  },
  bad: {
    sheet:
      '---\nreceived: 2026-03-02\n---\n# Job\n\n## As found\n\n- C31 = 47uF 450V electrolytic date 1998, B+1 to gnd\n- C32 = 47uF 450V electrolytic date 2008, B+2 to gnd\n',
    names: 'C31',
  },
  good: {
    sheet:
      '---\nreceived: 2026-03-02\n---\n# Job\n\n## As found\n\n- C31 = 47uF 450V electrolytic date 2019, B+1 to gnd\n',
  },
  check(context) {
    const reports: Report[] = [];
    const { sheet, option } = context;
    const today = yearOf((sheet.field('returned') ?? sheet.field('received'))?.text);
    // What was renewed meanwhile is no longer there.
    const view = context.verdictViews.at(-1);
    if (today === undefined || view === undefined) return reports;
    const aged: { readonly part: FittedPart; readonly age: number }[] = [];
    for (const part of partsOfClass(view, 'capacitor')) {
      const { date } = part.ratings;
      if (date === undefined || findCapacitorKind(part.kinds) !== 'electrolytic') continue;
      const made = yearOf(date);
      const age = made === undefined ? undefined : today - made;
      if (age !== undefined && age > option('info')) aged.push({ part, age });
    }
    aged.sort((a, b) => b.age - a.age);
    const [oldest] = aged;
    const shown = aged.find(({ part }) => part.source.file === sheet.uri);
    if (oldest === undefined) return reports;
    const source = shown?.part.source ?? dateSource(context);
    const list = aged.map(({ part, age }) => `${part.ref} (${age} years)`).join(', ');
    reports.push({
      severity: oldest.age > option('warning') ? 'warning' : 'info',
      subject: (shown ?? oldest).part.ref,
      phase: view.phase,
      message: `Older than ${option('info')} years (a house rule; makers promise ${ELECTROLYTIC_LIFE.serviceYears.usual} years, and no reckoning should go beyond ${ELECTROLYTIC_LIFE.serviceYears.longest}): ${list}. Measure capacitance and series resistance of each, or renew them together.`,
      source,
      figures: { age: { value: oldest.age, unit: '1' } },
      limit: {
        quantity: { value: option('info'), unit: '1' },
        source: ELECTROLYTIC_LIFE.serviceYears.trust.source,
      },
    });
    return reports;
  },
});

function dateSource({ sheet }: Pick<RuleContext, 'sheet'>) {
  const field = sheet.field('returned') ?? sheet.field('received');
  return { file: sheet.uri, span: field?.span ?? { start: 0, end: 0 } };
}

/** The year of `2026-03-02`, `2004`, `03/2004` or `'98`; undefined for a code that does not say one. */
function yearOf(text: string | undefined): number | undefined {
  const written = text?.trim() ?? '';
  const full =
    /^((?:19|20)\d{2})(?:-|$)/.exec(written)?.[1] ?? /^\d{1,2}\/((?:19|20)\d{2})$/.exec(written)?.[1];
  if (full !== undefined) return Number(full);
  const short = /^'(\d{2})$/.exec(written)?.[1];
  return short === undefined ? undefined : Number(short) >= 30 ? 1900 + Number(short) : 2000 + Number(short);
}
