/** Owns how readings are written on the bench's page: one table a chart, found beside left, with the conditions of each. */
import type { BenchReading, Known, PhaseView } from '../bench/model.ts';
import { showValue } from '../rules/phrases.ts';
import type { ReadingSet } from '../sheet/model.ts';
import type { Quantity } from '../units/si.ts';
import { writePercent, writeQuantity } from '../units/write.ts';
import { type Chart, type ChartRow, chartsOf, type Side } from './charts.ts';
import { type Html, html, joinHtml, NOTHING } from './escape.ts';
import type { FindPlace } from './places.ts';
import { words } from './words.ts';

const w = words.bench;
/** Readings are shown as exactly as they were read. */
const DIGITS = 6;
/** What stands between a number and its unit. */
const GAP = '\u00a0';
/** A mains that moved by more than this share is worth saying beside a comparison. */
const MAINS_MOVED = 0.005;

export function readingsHtml(phases: readonly PhaseView[], place: FindPlace): Html {
  const charts = chartsOf(phases);
  return charts.length === 0 ? NOTHING : html`${charts.map((chart) => chartHtml(chart, place))}`;
}

function chartHtml(chart: Chart, place: FindPlace): Html {
  const compares = chart.sides.length === 2;
  const heads = chart.sides.map(
    (side) => html`<th scope="col" class="number">${words.phases[side.view.phase]}</th>`,
  );
  const rows = chart.rows.map((row) => rowHtml(row, compares, place));
  return html`<table class="readings"><caption>${captionOf(chart)}</caption><thead><tr><th scope="col">${w.point}</th><th scope="col">${w.quantity}</th>${heads}${compares ? html`<th scope="col" class="number">${w.difference}</th>` : undefined}<th scope="col" class="place">${w.where}</th></tr></thead><tbody>${rows}</tbody></table>${mainsNote(chart)}`;
}

function captionOf({ kind, sides }: Chart): Html {
  const title = { normal: w.normal, other: '', measurements: w.measurements, work: w.duringWork }[kind];
  const conditions = sides.flatMap(({ view, set }) =>
    set === undefined ? [] : [{ phase: words.phases[view.phase], said: conditionsText(set) }],
  );
  const first = conditions[0];
  if (first === undefined) return html`<strong>${title}</strong>`;
  const isSame = conditions.every(({ said }) => said === first.said);
  const lines = isSame
    ? [{ phase: conditions.map(({ phase }) => phase).join(', '), said: first.said }]
    : conditions;
  const said = lines.map(({ phase, said: each }) => html`<span class="conditions">${phase}: ${each}</span>`);
  return title === '' ? joinHtml(said, ' ') : html`<strong>${title}</strong> ${joinHtml(said, ' ')}`;
}

/** `mains 236 V, dummy load, no signal`. */
function conditionsText({ mains, conditions }: ReadingSet): string {
  const others = conditions.filter(({ kind }) => kind !== 'mains').map((condition) => condition.words);
  const said = [
    mains === undefined ? w.mainsUnwritten : w.mains(writeQuantity(mains, { digits: DIGITS })),
    ...others,
  ];
  return said.join(', ');
}

function mainsNote({ kind, sides }: Chart): Html {
  const [found, left] = sides.map((side: Side) => side.set?.mains?.value);
  if (kind === 'work' || found === undefined || left === undefined || found === 0) return NOTHING;
  const share = (left - found) / found;
  if (Math.abs(share) <= MAINS_MOVED) return NOTHING;
  return html`<p class="small">${w.mainsMoved(signed(writePercent(share, { digits: 2 }), share))}</p>`;
}

function rowHtml({ like, read, difference }: ChartRow, compares: boolean, place: FindPlace): Html {
  const cells = read.map((side) => html`<td class="number">${cellHtml(side)}</td>`);
  const places = [...new Set(read.flat().map(({ source }) => place(source)))].join('; ');
  const changed = compares
    ? html`<td class="number">${difference === undefined ? words.none : differenceText(difference)}</td>`
    : undefined;
  return html`<tr><th scope="row">${pointText(like)}</th><td>${quantityText(like)}</td>${cells}${changed}<td class="place">${places}</td></tr>`;
}

function pointText({ at, to }: BenchReading): string {
  return to === undefined ? at : words.between(at, to);
}

function quantityText({ quantity, wave, frequency }: BenchReading): string {
  const said = [
    words.quantities[quantity],
    wave === undefined ? undefined : words.waves[wave],
    frequency === undefined ? undefined : `${words.at} ${writeQuantity(frequency)}`,
  ];
  return said.filter((each) => each !== undefined).join(' ');
}

function cellHtml(side: readonly BenchReading[]): Html | string {
  const last = side.at(-1);
  if (last === undefined) return words.none;
  const earlier = side.slice(0, -1).map(readingText);
  const own = last.conditions.map((condition) => condition.words).join(', ');
  const notes = [
    ...(own === '' ? [] : [own]),
    ...(earlier.length === 0 ? [] : [`${w.earlier} ${earlier.join(', ')}`]),
  ];
  return notes.length === 0
    ? readingText(last)
    : html`${readingText(last)} <span class="note">${notes.join('; ')}</span>`;
}

/** A reading as the meter said it: `339.6 V`, `open`, `62 Ω + 68 Ω`, `about 340 V`. */
export function readingText(reading: BenchReading): string {
  if (reading.special !== undefined) return words[reading.special];
  const said = knownText(reading.value);
  if (reading.second !== undefined) {
    const between = reading.quantity === 'arms' ? ' / ' : ' + ';
    return said + between + knownText(reading.second);
  }
  return reading.atVolts === undefined
    ? said
    : `${said} ${words.at} ${writeQuantity(reading.atVolts, { digits: DIGITS })}`;
}

function knownText({ quantity, low, high }: Known): string {
  const said = writeQuantity(quantity, { digits: DIGITS });
  if (low === undefined || high === undefined || low === high) return said;
  return `${words.about} ${said} (${showValue(low, quantity.unit)} to ${showValue(high, quantity.unit)})`;
}

function differenceText({ quantity, share, from, to }: NonNullable<ChartRow['difference']>): string {
  const said = signed(likeReadings(quantity, from, to), quantity.value);
  return share === undefined ? said : `${said} (${signed(writePercent(share, { digits: 2 }), share)})`;
}

/** In the prefix and to the decimals of the readings themselves: 22.7 V and 23.0 V differ by `0.3 V`, not by `300 mV`. */
function likeReadings(difference: Quantity, from: Quantity, to: Quantity): string {
  const larger = Math.abs(from.value) > Math.abs(to.value) ? from : to;
  const [number = '', symbol] = writeQuantity(larger, { digits: DIGITS }).split(GAP);
  const scale = larger.value / Number(number);
  if (symbol === undefined || !Number.isFinite(scale) || scale === 0)
    return writeQuantity(difference, { digits: DIGITS });
  const decimals = Math.max(
    ...[from, to].map(({ value }) => decimalsOf(String(Number((value / scale).toPrecision(DIGITS))))),
  );
  return `${(difference.value / scale).toFixed(Math.min(decimals, DIGITS))}${GAP}${symbol}`;
}

function decimalsOf(written: string): number {
  const point = written.indexOf('.');
  return point < 0 || written.includes('e') ? 0 : written.length - point - 1;
}

/** A sign on every number, and the minus that is as wide as the plus. */
function signed(written: string, value: number): string {
  if (value > 0) return `+${written}`;
  return written.replace(/^-/, '−');
}
