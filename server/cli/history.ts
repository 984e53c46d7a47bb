/** Owns the verb `history`: amplifiers that came more than once, what was read then beside what is read now, at equal mains. */
import type { Banded, Drift, ReadingDrift } from '../shop/history.ts';
import { findReturns, type HistoryList, type VisitFacts, visitFactsOf } from '../shop/history.ts';
import { historyDocument } from '../summary/history.ts';
import { speechFor } from './call-speech.ts';
import { VERSION } from './json.ts';
import { pathsFor } from './page-paths.ts';
import { printDocument } from './print-document.ts';
import { visitJson } from './repeats-json.ts';
import type { SheetVerb } from './verb.ts';

export const historyVerb: SheetVerb<VisitFacts | undefined> = {
  name: 'history',
  formats: ['text', 'md', 'html', 'json'],
  isOneDocument: true,
  options: ['serial'],
  does: 'amplifiers that came again: the last readings against now at equal mains, drift of each valve, parts changed between',
  part: ({ analysis, places, call }) => visitFactsOf(analysis, pathsFor(call, places), speechFor(call).shop),
  run: async (desk, parts) => {
    const all: VisitFacts[] = [];
    for await (const facts of parts()) if (facts !== undefined) all.push(facts);
    const list = findReturns(all, desk.call.serial);
    printDocument(desk, historyDocument(list, speechFor(desk.call)), historyJson(list));
    return 0;
  },
};

/** `grammar/json/history.schema.json` describes it. */
export function historyJson({ jobs, unnamed, amplifiers }: HistoryList): Record<string, unknown> {
  return {
    tagstrip: VERSION,
    history: {
      jobs,
      jobsWithoutSerial: unnamed,
      amplifiers: amplifiers.map(({ model, serial, visits, steps }) => ({
        ...(model !== undefined && { model }),
        ...(serial !== undefined && { serial }),
        visits: visits.map(({ visit, moments, changed }) => ({
          ...visitJson(visit),
          read: moments.map(({ phase, mains, readings, valves }) => ({
            phase,
            ...(mains !== undefined && { mains }),
            readings: readings.length,
            valves: valves.map(({ ref, type, figures, through }) => ({
              ref,
              ...(through !== undefined && { through }),
              ...(type !== undefined && { type }),
              ...(figures.current && { cathodeCurrent: figures.current.value }),
              ...(figures.dissipation && { anodeDissipation: figures.dissipation.value }),
              ...(figures.anode && { anodeVolts: figures.anode.value }),
            })),
          })),
          changed,
        })),
        steps: steps.map((step) => ({
          from: step.from.file,
          to: step.to.file,
          ...(step.months !== undefined && { months: step.months }),
          ...(step.before && { before: step.before }),
          ...(step.now && { now: step.now }),
          mains: step.mains,
          valves: step.valves.map(({ ref, type, was, figures, isSelfBiased, through }) => ({
            ref,
            ...(through !== undefined && { through }),
            ...(type !== undefined && { type }),
            ...(was !== undefined && { was }),
            selfBiased: isSelfBiased,
            ...(figures.current && { cathodeCurrent: driftJson(figures.current) }),
            ...(figures.dissipation && { anodeDissipation: driftJson(figures.dissipation) }),
            ...(figures.anode && { anodeVolts: driftJson(figures.anode) }),
          })),
          readings: step.readings.map(readingJson),
          parts: step.parts.map(readingJson),
          changed: step.changed,
          otherwise: step.otherwise,
        })),
      })),
    },
  };
}

function readingJson(drift: ReadingDrift): Record<string, unknown> {
  return { at: drift.at, what: drift.what, ...driftJson(drift) };
}

function driftJson({ before, now, brought, share, isWithinBand }: Drift): Record<string, unknown> {
  return {
    unit: before.unit,
    before: before.value,
    ...bandJson('before', before),
    now: now.value,
    ...bandJson('now', now),
    ...(brought && { atEqualMains: brought.value }),
    ...(share !== undefined && { share }),
    ...(isWithinBand && { withinBand: true }),
  };
}

function bandJson(name: string, { low, high }: Banded): Record<string, unknown> {
  return low === undefined || high === undefined ? {} : { [`${name}Low`]: low, [`${name}High`]: high };
}
