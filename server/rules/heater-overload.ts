/** Owns the rule heater-overload: a heater winding that gives more than it is rated for. */
import { partsOfClass } from '../bench/by-class.ts';
import type { Figure, FigureInput, FittedPart, PhaseView, Source } from '../bench/model.ts';
import type { Winding } from '../dialect/tree.ts';
import { heaterCurrent, heaterWindingLoading } from '../electronics/heater-budget.ts';
import { amperes } from '../units/si.ts';
import { shareOf, showValue } from './phrases.ts';
import { defineRule, type Report, type RuleContext, type Severity } from './rule.ts';

export const heaterOverload = defineRule({
  id: 'heater-overload',
  since: '0.1.0',
  category: 'ratings',
  severities: 'W >90 %, E >100 %; of a rectifier’s own winding E >100 % only',
  summary: 'The heaters draw more than their winding gives.',
  why: 'Heater current is the larger half of a transformer’s load. A 5751 or a 12AY7 in place of a 12AX7 changes little, but an EL34 in place of a 6V6GT draws three times the current, and a 5U4G half as much again as a GZ34. The winding runs hot, its volts sag, and the transformer fails years later. The winding of a rectifier alone is usually marked with just what the rectifier draws, so full use of it is nothing and only more is told.',
  howToFix:
    'Go back to valves that the winding can heat, or fit a heater transformer of its own. The winding’s rating is the transformer maker’s; where none is known nothing is said.',
  source:
    'heater currents by the valves’ data sheets; the winding’s rating as written; the tenth in reserve is common practice, no source',
  options: {
    warning: { default: 0.9, unit: '1', means: 'share of the winding’s rating that is a warning' },
    error: { default: 1, unit: '1', means: 'share that is an error' },
  },
  bad: {
    sheet:
      '# Job\n\n## As found\n\n- T1 = mains 290-0-290V 150mA 6.3V 2A\n- V1 = 12AX7\n- V2 = 12AX7\n- V5, V6 = EL34\n',
    names: 'T1',
  },
  good: {
    sheet:
      '# Job\n\n## As found\n\n- T1 = mains 290-0-290V 150mA 6.3V 2A\n- V1 = 12AX7\n- V2 = 12AX7\n- V5, V6 = 6V6GT\n',
  },
  check(context) {
    const reports: Report[] = [];
    for (const view of context.verdictViews) {
      for (const load of [signalHeaters(context, view), rectifierHeaters(view)]) {
        const heating = load === undefined ? undefined : findHeating(view, load);
        if (load === undefined || heating === undefined) continue;
        const { transformer, rated } = heating;
        const loading = heaterWindingLoading(amperes(load.current), amperes(rated.current));
        if (!loading.ok) continue;
        const severity = severityFor(context, loading.value, load.ofRectifiers);
        if (severity === undefined) continue;
        const lamps = partsOfClass(view, 'lamp').length > 0 ? ' Pilot lamps are not counted.' : '';
        reports.push({
          severity,
          subject: transformer.ref,
          phase: view.phase,
          tellsPhase: true,
          message: `the heaters of ${load.names()} draw ${showValue(load.current, 'A')}: ${shareOf(loading.value)} the ${showValue(rated.current, 'A')} that the ${showValue(load.volts, 'V')} winding${rated.count > 1 ? 's' : ''} of ${transformer.ref} give${rated.count > 1 ? '' : 's'} (as written for the transformer).${lamps} Fit valves that draw less, or a heater transformer of its own.`,
          source: placeOf(context, transformer, rated.winding, load.sources()),
          figures: { 'heater-current': { value: load.current, unit: 'A' } },
          measure: 'heater-current',
          limit: {
            quantity: { value: rated.current, unit: 'A' },
            source: `rating of the winding, written for ${transformer.ref}`,
          },
        });
      }
    }
    return reports;
  },
});

interface HeaterLoad {
  readonly volts: number;
  readonly current: number;
  readonly names: () => string;
  readonly sources: () => readonly Source[];
  readonly ofRectifiers: boolean;
}

function signalHeaters({ figures }: RuleContext, view: PhaseView): HeaterLoad | undefined {
  const total: Figure | undefined = figures(view, 'heater-current').find(
    ({ subject }) => subject === 'heaters',
  );
  if (total === undefined) return undefined;
  const nameOf = ({ name }: FigureInput): string => name.replace(/ heater$/, '');
  return {
    volts: 6.3,
    current: total.quantity.value,
    names: () => listed(total.inputs.map(nameOf)),
    sources: () => total.inputs.flatMap(({ known }) => known.source ?? []),
    ofRectifiers: false,
  };
}

function rectifierHeaters(view: PhaseView): HeaterLoad | undefined {
  const rectifiers = partsOfClass(view, 'valve').filter(
    (part) => part.type?.valve?.kind === 'rectifier' && isNear(part.type.valve.heater.volts.value, 5),
  );
  const current = heaterCurrent(
    rectifiers.map((part) => ({ current: amperes(part.type?.valve?.heater.amperes.value ?? 0), valves: 1 })),
  );
  if (!current.ok) return undefined;
  return {
    volts: 5,
    current: current.value,
    names: () => listed(rectifiers.map(({ ref }) => ref)),
    sources: () => rectifiers.map(({ source }) => source),
    ofRectifiers: true,
  };
}

/** A winding made for one rectifier is full by design; one for many valves wants a tenth in reserve. */
function severityFor({ option }: RuleContext, loading: number, ofRectifiers: boolean): Severity | undefined {
  if (loading > option('error') * (1 + 1e-9)) return 'error';
  return !ofRectifiers && loading > option('warning') * (1 + 1e-9) ? 'warning' : undefined;
}

/**
 * The transformer that heats them; undefined where two may, or where some of the heaters may be in series on a winding of
 * twice the volts: then nobody says which heats what.
 */
function findHeating(
  view: PhaseView,
  { volts }: HeaterLoad,
):
  | { readonly transformer: FittedPart; readonly rated: NonNullable<ReturnType<typeof ratedCurrent>> }
  | undefined {
  let transformer: FittedPart | undefined;
  for (const part of view.parts.values()) {
    if (!part.specification?.windings.length) continue;
    if (windingsOf(part, 2 * volts).length > 0) return undefined;
    if (windingsOf(part, volts).length === 0) continue;
    if (transformer !== undefined) return undefined;
    transformer = part;
  }
  const rated = transformer && ratedCurrent(transformer, volts);
  return transformer && rated && { transformer, rated };
}

/** The secondaries of about that voltage. */
function windingsOf(transformer: FittedPart, volts: number): readonly Winding[] {
  return (transformer.specification?.windings ?? []).filter(
    ({ side, volts: written }) =>
      side === 'secondary' && written?.kind === 'value' && isNear(written.value.quantity.value, volts),
  );
}

/** What all windings of that voltage give together; undefined where one of them has no rating written. */
function ratedCurrent(
  transformer: FittedPart,
  volts: number,
): { readonly current: number; readonly count: number; readonly winding: Winding } | undefined {
  const windings = windingsOf(transformer, volts);
  const [first] = windings;
  if (first === undefined) return undefined;
  let current = 0;
  for (const { current: written } of windings) {
    if (written?.kind !== 'value' || !(written.value.quantity.value > 0)) return undefined;
    current += written.value.quantity.value;
  }
  return { current, count: windings.length, winding: first };
}

/** The winding where this sheet writes it; else the last of its valves that this sheet fits. */
function placeOf(
  { sheet }: RuleContext,
  transformer: FittedPart,
  winding: Winding,
  valves: readonly Source[],
): Source {
  const { file } = transformer.source;
  if (file === sheet.uri) return { file, span: winding.span };
  return valves.findLast((source) => source.file === sheet.uri) ?? { file, span: winding.span };
}

function isNear(value: number, nominal: number): boolean {
  return Math.abs(value - nominal) <= 0.2;
}

function listed(names: readonly string[]): string {
  return names.length < 2 ? names.join('') : `${names.slice(0, -1).join(', ')} and ${names.at(-1)}`;
}
