/** Owns the JSON of `repeats`. `grammar/json/repeats.schema.json` describes it. */
import type { Failure, JobFacts } from '../shop/failures.ts';
import type { Likeness } from '../shop/likeness.ts';
import type { Repeats } from '../shop/repeats.ts';
import type { Visit } from '../shop/visits.ts';
import { VERSION } from './json.ts';

export function repeatsJson(repeats: Repeats): Record<string, unknown> {
  const { jobs, unharmed, from, to, groups, again, notCounted, failures, unknown } = repeats;
  return {
    tagstrip: VERSION,
    repeats: {
      jobs,
      jobsWithoutFailure: unharmed,
      failures,
      ...(from !== undefined && { from }),
      ...(to !== undefined && { to }),
      groups: groups.map(({ dimension, group, failed, onlyReplaced, exposed, share, interval, visits }) => ({
        by: dimension,
        group,
        failed,
        onlyReplaced,
        visits: exposed,
        share,
        low: interval.low,
        high: interval.high,
        sheets: visits.map(({ visit, failures: own }) => ({
          ...visitJson(visit),
          failures: own.map(failureJson),
        })),
      })),
      again: again.map(({ amplifier, serial, ref, visits }) => ({
        ...(amplifier !== '' && { amplifier }),
        serial,
        ref,
        sheets: visits.map(({ visit, failures: own, months }) => ({
          ...visitJson(visit),
          ...(months !== undefined && { months }),
          failures: own.map(failureJson),
        })),
      })),
      notCounted: notCounted.flatMap(({ visit, replacements }) =>
        replacements.map((replacement) => ({ ...visitJson(visit), ...replacement })),
      ),
      unknown,
    },
  };
}

export function likenessJson({ asked, jobs, like }: Likeness): Record<string, unknown> {
  return {
    tagstrip: VERSION,
    like: {
      asked: jobJson(asked),
      jobs,
      sheets: like.map(({ facts, score, shared }) => ({
        ...jobJson(facts),
        score,
        shared: shared.map(({ of, what, jobs: count, weight }) => ({
          of,
          what: of === 'amplifier' ? `serial ${what}` : what,
          jobs: count,
          weight,
        })),
        failures: facts.failures.map(failureJson),
        ...(facts.told !== undefined && { told: facts.told }),
      })),
    },
  };
}

function jobJson({ visit, affected, symptoms }: JobFacts): Record<string, unknown> {
  return { ...visitJson(visit), affected, symptoms };
}

export function visitJson({
  file,
  job,
  title,
  chassis,
  serial,
  received,
  returned,
}: Visit): Record<string, unknown> {
  return {
    file,
    ...(job !== undefined && { job }),
    title,
    ...(chassis !== undefined && { chassis }),
    ...(serial !== undefined && { serial }),
    ...(received !== undefined && { received }),
    ...(returned !== undefined && { returned }),
  };
}

function failureJson({ ref, marked, role, by, evidence, replacedBy }: Failure): Record<string, unknown> {
  return {
    ref,
    marked,
    ...(role !== undefined && { role }),
    by,
    evidence: evidence.map(({ kind, rule, says, range }) => ({
      kind,
      ...(rule !== undefined && { rule }),
      says,
      range,
    })),
    ...(replacedBy !== undefined && { replacedBy }),
  };
}
