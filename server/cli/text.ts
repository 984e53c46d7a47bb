/** Owns what the command line prints for people: by sheet, aligned, one thing a line, ending with a count. */

import type { Figure, Known } from '../bench/model.ts';
import { isVague, sayBand, sayFigure, sayQuantity } from '../bench/saying.ts';
import { type Finding, SEVERITIES, type Severity } from '../rules/rule.ts';
import { groupBy } from '../text/grouping.ts';
import { type Places, rangeIn } from './json.ts';
import { painter, plain, type Style, type Terminal, visibleLength, wrap } from './terminal.ts';

const STYLES: Readonly<Record<Severity, Style>> = {
  error: ['bold', 'red'],
  warning: ['bold', 'yellow'],
  info: 'cyan',
  hint: 'dim',
};
const WORDS: Readonly<Record<Severity, string>> = {
  error: 'error',
  warning: 'warning',
  info: 'info',
  hint: 'hint',
};

/** The findings of one sheet under its name; nothing where there are none. */
export function findingsText(findings: readonly Finding[], places: Places, terminal: Terminal): string {
  if (findings.length === 0) return '';
  const paint = painter(terminal);
  const lines: string[] = [];
  for (const [file, own] of groupBy(findings, (finding) => places.path(finding.file))) {
    lines.push(paint(['bold', 'underline'], plain(file)));
    const rows = own.map((finding) => [
      paint('dim', `line ${rangeIn(places, finding.source).start.line + 1}`),
      finding.accepted === undefined
        ? paint(STYLES[finding.severity], WORDS[finding.severity])
        : paint('dim', 'accepted'),
      paint('bold', plain(finding.subject)),
    ]);
    const widths = columnWidths(rows);
    own.forEach((finding, i) => {
      const head = alignRow(rows[i] ?? [], widths);
      const indent = '  '.length + widths.reduce((sum, width) => sum + width + 2, 0);
      const reason = finding.accepted === undefined ? '' : ` Accepted: ${finding.accepted}.`;
      const text = `${plain(`${finding.message}${reason}`)} ${paint('dim', `[${finding.rule}]`)}`;
      lines.push(`  ${head}  ${wrapBehind(text, indent, terminal.width)}`);
      for (const { subject, message } of finding.related ?? []) {
        lines.push(
          `${' '.repeat(indent)}${wrapBehind(`${paint('dim', '↳')} ${plain(`${subject}: ${message}`)}`, indent + 2, terminal.width)}`,
        );
      }
    });
    lines.push('');
  }
  return `${lines.join('\n')}\n`;
}

/** How many findings there are in how many sheets. */
export interface Count {
  readonly standing: Readonly<Record<Severity, number>>;
  readonly accepted: number;
  readonly sheets: number;
}

export const noCount: Count = {
  standing: { error: 0, warning: 0, info: 0, hint: 0 },
  accepted: 0,
  sheets: 0,
};

/** The findings of one sheet. */
export function countFindings(findings: readonly Finding[]): Count {
  const standing = { ...noCount.standing };
  let accepted = 0;
  for (const { accepted: reason, severity } of findings) {
    if (reason === undefined) standing[severity]++;
    else accepted++;
  }
  return { standing, accepted, sheets: 1 };
}

export function addCounts(a: Count, b: Count): Count {
  const standing = { ...a.standing };
  for (const severity of SEVERITIES) standing[severity] += b.standing[severity];
  return { standing, accepted: a.accepted + b.accepted, sheets: a.sheets + b.sheets };
}

/** `1 error, 2 warnings, 1 accepted in 3 sheets.` */
export function sayCount({ standing, accepted, sheets }: Count): string {
  const parts = SEVERITIES.flatMap((severity) => {
    const n = standing[severity];
    return n === 0 ? [] : [`${n} ${plural(WORDS[severity], n)}`];
  });
  if (accepted > 0) parts.push(`${accepted} accepted`);
  const what = parts.length === 0 ? 'No findings' : parts.join(', ');
  return `${what} in ${sheets} ${plural('sheet', sheets)}.`;
}

/** The figures of one sheet, by the file that they belong to; nothing where there are none. */
export function figuresText(figures: readonly Figure[], places: Places, terminal: Terminal): string {
  if (figures.length === 0) return '';
  const paint = painter(terminal);
  const lines: string[] = [];
  for (const [file, own] of groupBy(figures, (figure) => places.path(figure.file))) {
    lines.push(paint(['bold', 'underline'], plain(file)));
    const rows = own.map((figure) => [
      paint('dim', lineOf(figure, places)),
      figure.phase,
      paint('bold', plain(figure.subject)),
      figure.figure,
      showFigure(figure),
      paint('dim', figure.basis),
    ]);
    const widths = columnWidths(rows);
    own.forEach((figure, i) => {
      const remark = figure.remark === undefined ? '' : `  ${plain(figure.remark)}`;
      lines.push(`  ${alignRow(rows[i] ?? [], widths)}  ${paint('dim', plain(workings(figure)))}${remark}`);
    });
    lines.push('');
  }
  return `${lines.join('\n')}\n`;
}

export function countFigures(n: number): string {
  return `${n} ${plural('figure', n)}.\n`;
}

/** What rests on the chassis sheet alone stands there, not in the job. */
function lineOf(figure: Figure, places: Places): string {
  const line = rangeIn(places, figure.source).start.line + 1;
  return figure.source.file === figure.file ? `line ${line}` : `chassis line ${line}`;
}

function showFigure(figure: Figure): string {
  const limit = figure.limit === undefined ? '' : ` of ${sayQuantity(figure.limit.quantity)}`;
  if (isVague(figure)) return `${sayBand(figure)}${limit}`;
  const band = figure.low === undefined ? '' : ` (${sayBand(figure)})`;
  return `${sayFigure(figure)}${limit}${band}`;
}

function sayInput({ quantity, low, high }: Known): string {
  if (low === undefined || high === undefined || !isVague({ quantity, low, high }))
    return sayQuantity(quantity);
  // Both ends of a ratio in one manner: `1.95 to 125`, not `195 % to 125`.
  const as = quantity.unit === '1' && Math.max(-low, high) > 3 ? 'factor' : 'by size';
  return `${sayQuantity({ ...quantity, value: low }, as)} to ${sayQuantity({ ...quantity, value: high }, as)}`;
}

/** `(Va − Vk) · (Ik − Ig2), Va = 331 V, …` */
function workings(figure: Figure): string {
  const inputs = figure.inputs.map(
    ({ symbol, name, known }) => `${symbol} = ${sayInput(known)}${symbol === name ? '' : ` (${name})`}`,
  );
  return [figure.formula, ...inputs].join(', ');
}

function plural(word: string, n: number): string {
  return n === 1 || word === 'info' ? word : `${word}s`;
}

function columnWidths(rows: readonly (readonly string[])[]): readonly number[] {
  return (rows[0] ?? []).map((_, column) => Math.max(...rows.map((row) => visibleLength(row[column] ?? ''))));
}

function alignRow(row: readonly string[], widths: readonly number[]): string {
  return row
    .map((cell, column) => cell + ' '.repeat(Math.max(0, (widths[column] ?? 0) - visibleLength(cell))))
    .join('  ');
}

/** Behind what stands on its first line already, which is `indent` wide. */
export function wrapBehind(text: string, indent: number, width: number): string {
  const lead = ' '.repeat(indent);
  return wrap(text, lead, lead, Math.max(width, indent + LEAST_ROOM))
    .join('\n')
    .slice(indent);
}

/** Fewer letters than this are no column. */
const LEAST_ROOM = 40;
