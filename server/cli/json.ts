/**
 * Owns the command line's JSON: stable, versioned by `"tagstrip": 1`; lines and UTF-16 characters from 0; values in SI base units.
 */
import type { Figure, Source } from '../bench/model.ts';
import type { Finding } from '../rules/rule.ts';
import { type Range, rangeOf, type Snapshot } from '../text/snapshot.ts';

export const VERSION = 1;

/** Where sources' files are shown and their ranges looked up. */
export interface Places {
  /** The path to show for a sheet's uri. */
  readonly path: (uri: string) => string;
  readonly snapshot: (uri: string) => Snapshot | undefined;
  /** Where a sheet names its chassis sheet: what comes from there stands in this sheet at that line. */
  readonly chassisNamed: (uri: string) => Source | undefined;
}

export function rangeIn(places: Places, source: Source): Range {
  const snapshot = places.snapshot(source.file);
  if (snapshot === undefined) throw new Error(`no text for ${source.file}`);
  return rangeOf(snapshot, source.span);
}

/**
 * One finding, as `check --format json` gives it. What is so as found and as left is one, in the phase as-left with `stoodBefore`,
 * whose `at` is the figure as found where that was another.
 */
export function findingJson(finding: Finding, places: Places): Record<string, unknown> {
  return {
    file: places.path(finding.file),
    rule: finding.rule,
    severity: finding.severity,
    subject: finding.subject,
    ...(finding.phase === undefined ? {} : { phase: finding.phase }),
    ...(finding.set === undefined ? {} : { set: finding.set.id }),
    message: finding.message,
    range: rangeIn(places, finding.source),
    figures: finding.figures ?? {},
    ...(finding.limit === undefined
      ? {}
      : {
          limit: {
            value: finding.limit.quantity.value,
            unit: finding.limit.quantity.unit,
            source: finding.limit.source,
          },
        }),
    ...(finding.accepted === undefined ? {} : { accepted: finding.accepted }),
    ...(finding.cleared === undefined ? {} : { cleared: finding.cleared }),
    ...(finding.stoodBefore && { stoodBefore: { phase: 'as-found', ...finding.stoodBefore } }),
    related: (finding.related ?? []).map((each) => ({
      subject: each.subject,
      message: each.message,
      file: places.path(each.source.file),
      range: rangeIn(places, each.source),
    })),
    help: `server/rules/README.md#${finding.rule}`,
    fingerprint: finding.fingerprint,
  };
}

/**
 * One figure with its provenance, as `figures --format json` gives it. Of a band `value` is the middle, and `reckoned` what the
 * formula gives for the inputs as they are told, which need not lie there.
 */
export function figureJson(figure: Figure, places: Places): Record<string, unknown> {
  const { quantity, low, high } = figure;
  const band =
    low === undefined || high === undefined
      ? { value: quantity.value }
      : { value: (low + high) / 2, low, high, reckoned: quantity.value };
  return {
    file: places.path(figure.file),
    subject: figure.subject,
    figure: figure.figure,
    ...band,
    unit: figure.quantity.unit,
    phase: figure.phase,
    set: figure.set,
    basis: figure.basis,
    formula: figure.formula,
    inputs: figure.inputs.map(({ name, symbol, known }) => ({
      name,
      symbol,
      value: known.quantity.value,
      ...(known.low === undefined ? {} : { low: known.low }),
      ...(known.high === undefined ? {} : { high: known.high }),
      unit: known.quantity.unit,
      basis: known.basis,
      ...(known.source === undefined
        ? {}
        : { file: places.path(known.source.file), range: rangeIn(places, known.source) }),
      ...(known.because === undefined ? {} : { because: known.because }),
    })),
    ...(figure.limit === undefined
      ? {}
      : {
          limit: {
            value: figure.limit.quantity.value,
            unit: figure.limit.quantity.unit,
            source: figure.limit.source,
          },
        }),
    ...(figure.remark === undefined ? {} : { remark: figure.remark }),
    ...placeOf(figure, places),
  };
}

/**
 * `range` is always in `file`. What rests on the chassis sheet alone has no tag in the job; then the range is the line that
 * names the chassis sheet, and `from` is the tag there.
 */
function placeOf(figure: Figure, places: Places): Record<string, unknown> {
  if (figure.source.file === figure.file) return { range: rangeIn(places, figure.source) };
  const named = places.chassisNamed(figure.file) ?? { file: figure.file, span: { start: 0, end: 0 } };
  return {
    range: rangeIn(places, named),
    from: { file: places.path(figure.source.file), range: rangeIn(places, figure.source) },
  };
}
