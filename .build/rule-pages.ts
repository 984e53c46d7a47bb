/** Owns what is generated from the rules: their pages, and the table in the README. `npm run generate` writes it; a test holds it to the rules. */
import { rules } from '../server/rules/registry.ts';
import type { Rule, RuleExample } from '../server/rules/rule.ts';
import { memoryFiles } from '../server/shop/files.ts';
import { createShop } from '../server/shop/shop.ts';

const CATEGORIES: readonly (readonly [Rule['category'], string])[] = [
  ['ratings', 'Ratings'],
  ['readings', 'Readings'],
  ['record', 'Work and record'],
  ['writing', 'Writing'],
];

const TABLE_START = '<!-- rules: generated -->';
const TABLE_END = '<!-- rules: end -->';

/** All pages as one file, one anchored section a rule. */
export async function rulePages(): Promise<string> {
  const sections = await Promise.all(rules.map(page));
  return `# The rules

Generated from the rules by \`npm run generate\`; change the rule, not this page. E error, W warning, I information, H hint.
A threshold is a house rule; a rating is not. No warning never means that an amplifier may be touched.

${sections.join('\n')}`;
}

async function page(rule: Rule): Promise<string> {
  const found = await findingsOf(rule.bad.sheet, rule.bad.beside);
  const own = found.filter((finding) => finding.rule === rule.id);
  const options = Object.entries(rule.options);
  const table =
    options.length === 0
      ? 'None.'
      : `| option | default | means |\n| --- | --- | --- |\n${options.map(([name, { default: value, unit, means }]) => `| \`${name}\` | ${unit === '1' ? value : `${value} ${unit}`} | ${means} |`).join('\n')}`;
  return `## ${rule.id}

${rule.summary} (${rule.severities})

**Why.** ${rule.why}

**What to do.** ${rule.howToFix}

**Rests on:** ${rule.source}.

**Example.**

${fences(rule.bad)}

${own.map((finding) => `> **${finding.severity}** ${finding.subject}: ${finding.message}`).join('\n>\n')}

**Nothing is said of**

${fences(rule.good)}

**Options.**${options.length === 0 ? ` ${table}` : `\n\n${table}`}
`;
}

/** The sheet, and under their names those beside it. */
function fences({ sheet, beside = {} }: RuleExample): string {
  const others = Object.entries(beside).map(
    ([name, text]) => `with \`${name}\` beside it:\n\n${fence(text)}`,
  );
  return [fence(sheet), ...others].join('\n\n');
}

/** A sheet whose one line is long would hide the page. */
function fence(sheet: string): string {
  const text = sheet.length > 2_000 ? `${sheet.slice(0, 60)}…` : sheet.trimEnd();
  return `\`\`\`\`markdown\n${text}\n\`\`\`\``;
}

async function findingsOf(sheet: string, beside: Readonly<Record<string, string>> = {}) {
  const uri = 'file:///example.tagstrip.md';
  const others = Object.entries(beside).map(([name, text]) => [`file:///${name}`, text]);
  const files = memoryFiles({ ...Object.fromEntries(others), [uri]: sheet });
  const analysis = await createShop({ files }).analyse(uri);
  return analysis?.findings ?? [];
}

/** The table of rules for the README. */
export function ruleTable(): string {
  const rows = CATEGORIES.flatMap(([category, title]) =>
    rules
      .filter((rule) => rule.category === category)
      .map(
        (rule) =>
          `| [\`${rule.id}\`](server/rules/README.md#${rule.id}) | ${title.toLowerCase()} | ${rule.severities} | ${rule.summary} |`,
      ),
  );
  return `| rule | about | severity | says |\n| --- | --- | --- | --- |\n${rows.join('\n')}`;
}

/** A text with the table between its marks. */
export function withRuleTable(readme: string): string {
  const start = readme.indexOf(TABLE_START);
  const end = readme.indexOf(TABLE_END);
  if (start < 0 || end < start) throw new Error(`the README lacks ${TABLE_START} … ${TABLE_END}`);
  return `${readme.slice(0, start + TABLE_START.length)}\n\n${ruleTable()}\n\n${readme.slice(end)}`;
}
