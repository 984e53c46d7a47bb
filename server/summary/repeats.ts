/** Owns how it is told what keeps failing, and which earlier jobs look like one: documents for every printer. */
import type { Dimension } from '../shop/exposure.ts';
import { DIMENSIONS } from '../shop/exposure.ts';
import type { Failure } from '../shop/failures.ts';
import type { LikeJob, Likeness, SharedTrait } from '../shop/likeness.ts';
import type { FailedAgain, FailedVisit, RepeatGroup, Repeats } from '../shop/repeats.ts';
import { OTHER_WORDS } from '../shop/replacements.ts';
import { nameOfVisit, type Visit } from '../shop/visits.ts';
import { sayShare } from '../shop/wilson.ts';
import {
  aside,
  type Block,
  type Item,
  listOf,
  paragraph,
  type SummaryDocument,
  sectionOf,
  strong,
  type Text,
} from './document.ts';

const HEADS: Readonly<Record<Dimension, string>> = {
  part: 'By part of a chassis',
  place: 'By place in a model, whatever its number',
  role: 'By what the part does',
  kind: 'By kind',
  margin: 'By how hard it ran',
  age: 'By age',
  valve: 'By valve type',
};

const UNKNOWN: Readonly<Record<Dimension, string>> = {
  part: 'no chassis sheet and no model is written',
  place: 'its connections do not say what it does, or no model is written',
  role: 'its connections do not say what it does',
  kind: 'it is of no kind that wears out',
  margin: 'nothing was read that says how hard it ran',
  age: 'neither a date code nor the year of the amplifier is written',
  valve: '',
};

const NOTE =
  'A part counts as failed if a reading, a finding or a state on the sheet shows it to be bad, or if it went out like for like and nothing says why. The share is of visits whose amplifier has such a part; amplifiers that never came in are in no count. What “fits” is Wilson’s 95 % interval: the shares in the long run under which such a count is no surprise. With so many groups looked at, one or two stand out by chance.';

/** Of a list that goes on. */
const MOST_GROUPS = 25;
const MOST_VISITS = 12;
const MOST_ONCE = 20;

export function repeatsDocument(repeats: Repeats): SummaryDocument {
  const { jobs, unharmed, from, to, groups, again, notCounted, failures } = repeats;
  const span = from === undefined || to === undefined ? undefined : from === to ? from : `${from} to ${to}`;
  return {
    language: 'en',
    reader: 'bench',
    title: 'What keeps failing',
    kind: 'Repeats',
    facts: [
      ['Jobs', `${jobs}${span === undefined ? '' : `, ${span}`}`],
      [
        'Failed',
        `${failures} ${plural('part', failures)} on ${jobs - unharmed} of ${jobs} ${plural('job', jobs)}`,
      ],
    ],
    opening: failures === 0 ? [paragraph('No job shows a part that failed.')] : [paragraph(NOTE, 'small')],
    sections: [
      ...sectionOf(
        'Failed again in the same amplifier',
        again.length === 0 ? [] : [listOf(again.map(againItem))],
      ),
      ...DIMENSIONS.flatMap((dimension) =>
        sectionOf(
          HEADS[dimension],
          groupBlocks(
            dimension,
            groups.filter((group) => group.dimension === dimension),
            repeats,
          ),
        ),
      ),
      ...sectionOf(
        'Replaced, and not counted',
        notCounted.length === 0
          ? []
          : [
              listOf(
                limited(notCounted, MOST_ONCE, 'jobs').map((each): Item | string =>
                  typeof each === 'string'
                    ? each
                    : {
                        text: [
                          strong(nameOfVisit(each.visit)),
                          ': ',
                          each.replacements
                            .map(({ ref, why, says }) => `${ref}, ${OTHER_WORDS[why]} (${says})`)
                            .join('; '),
                        ],
                      },
                ),
              ),
            ],
      ),
    ],
  };
}

function groupBlocks(
  dimension: Dimension,
  groups: readonly RepeatGroup[],
  repeats: Repeats,
): readonly Block[] {
  if (groups.length === 0)
    return repeats.failures > 0 && (dimension === 'age' || dimension === 'margin')
      ? [paragraph(`Not known of any failure: ${UNKNOWN[dimension]}.`, 'small')]
      : [];
  const often = groups.filter(({ failed }) => failed > 1);
  const once = groups.filter(({ failed }) => failed === 1);
  const unknown = repeats.unknown[dimension];
  return [
    ...(often.length === 0
      ? []
      : [
          listOf(
            limited(often, MOST_GROUPS, 'groups').map((each) =>
              typeof each === 'string' ? each : groupItem(each),
            ),
          ),
        ]),
    ...(once.length === 0
      ? []
      : [
          paragraph(
            `Once only: ${limited(once, MOST_ONCE, 'more')
              .map((each) =>
                typeof each === 'string'
                  ? each
                  : `${each.group} (1 of ${each.exposed}, ${nameOfVisit(each.visits[0]?.visit ?? NOBODY)})`,
              )
              .join('; ')}.`,
          ),
        ]),
    ...(unknown === 0 || dimension === 'valve' || dimension === 'kind'
      ? []
      : [
          paragraph(
            `Not known of ${unknown} of ${repeats.failures} failures: ${UNKNOWN[dimension]}.`,
            'small',
          ),
        ]),
  ];
}

const NOBODY: Visit = { file: '', title: '', isOpen: false };

function groupItem({ dimension, group, failed, exposed, onlyReplaced, visits }: RepeatGroup): Item {
  const last = visits.at(-1)?.failures[0];
  const what =
    dimension === 'part' && last !== undefined ? [last.role, last.marked].filter(Boolean).join(', ') : '';
  const replaced =
    onlyReplaced === 0
      ? ''
      : onlyReplaced === failed
        ? ' Known only by having been replaced.'
        : ` ${onlyReplaced} of these known only by having been replaced.`;
  return {
    text: [
      strong(group),
      what === '' ? undefined : [' ', aside('note', what)],
      `: ${sayShare(failed, exposed)}.${replaced}`,
    ],
    blocks: [
      dimension === 'part'
        ? listOf(
            limited(visits, MOST_VISITS, 'visits').map((each) =>
              typeof each === 'string' ? each : visitItem(each),
            ),
          )
        : paragraph(
            limited(visits, MOST_VISITS, 'visits')
              .map((each) => (typeof each === 'string' ? each : sayVisitShort(each)))
              .join('; '),
          ),
    ],
  };
}

function visitItem({ visit, failures }: FailedVisit): Item {
  return { text: [...headOf(visit), ': ', sayFailures(failures)] };
}

/** `job 2041, 2026-03-02 (jobs/2041.tagstrip.md)`. */
function headOf(visit: Visit): readonly Text[] {
  const when = visit.received ?? visit.returned;
  return [
    strong(nameOfVisit(visit)),
    when === undefined ? undefined : `, ${when}`,
    ' ',
    aside('place', visit.file),
  ];
}

/** `job 2041 C11, C12`. */
function sayVisitShort({ visit, failures }: FailedVisit): string {
  return `${nameOfVisit(visit)} ${failures.map(({ ref }) => ref).join(', ')}`;
}

/** `C11 measures 6.8 µF: 14.5 % of its marking 47 µF; now 47 µF 550 V electrolytic`; what is said of a pair once. */
function sayFailures(failures: readonly Failure[], withRefs = false): string {
  const said = new Map<string, Failure[]>();
  for (const failure of failures)
    said.set(sayFailure(failure), [...(said.get(sayFailure(failure)) ?? []), failure]);
  return [...said]
    .map(([text, of]) => {
      const roles = [...new Set(of.flatMap(({ role }) => role ?? []))].join(', ');
      const names = of.map(({ ref }) => ref).join(', ');
      return withRefs ? `${names}${roles === '' ? '' : ` (${roles})`}: ${text}` : text;
    })
    .join('; ');
}

function sayFailure({ by, evidence, replacedBy }: Failure): string {
  const said = evidence.map(({ says }) => says).join(', ');
  return by === 'replaced' || replacedBy === undefined ? said : `${said}; now ${replacedBy}`;
}

function againItem({ amplifier, serial, ref, visits }: FailedAgain): Item {
  return {
    text: [strong(ref), ` of ${amplifier === '' ? '' : `${amplifier}, `}serial ${serial}`],
    blocks: [
      listOf(
        visits.map(({ visit, failures, months }): Item => {
          const later = months === undefined ? '' : ` ${sayMonths(months)} after it had gone back`;
          return { text: [...headOf(visit), `${later}: `, sayFailures(failures)] };
        }),
      ),
    ],
  };
}

function sayMonths(months: number): string {
  if (months < 1) return 'less than a month';
  if (months < 24) return `${months} ${plural('month', months)}`;
  return `${Math.floor(months / 12)} years`;
}

export function likenessDocument({ asked, jobs, like }: Likeness): SummaryDocument {
  const told = like.slice(0, MOST_LIKE);
  return {
    language: 'en',
    reader: 'bench',
    title: `Earlier jobs like ${nameOfVisit(asked.visit)}`,
    kind: 'Repeats',
    facts: [
      ['Looked through', `${jobs - 1} other ${plural('job', jobs - 1)}`],
      ...(asked.visit.chassis === undefined ? [] : [['Chassis', asked.visit.chassis] as const]),
      ...(asked.affected.length === 0 ? [] : [['Affected', asked.affected.join(', ')] as const]),
      ...(asked.symptoms.length === 0
        ? []
        : [['Words of the complaint', asked.symptoms.join(', ')] as const]),
    ],
    opening: [
      paragraph(
        told.length === 0
          ? 'No earlier job has anything telling in common with it.'
          : 'Likest first. What few jobs have counts for more than what many have; how many have it stands in brackets.',
        'small',
      ),
    ],
    sections: [
      ...told.flatMap((each) => sectionOf(`${titleOf(each.facts.visit)}`, likeBlocks(each, jobs))),
      ...sectionOf(
        'Further',
        like.length > told.length
          ? [paragraph(`${like.length - told.length} more jobs with less in common.`)]
          : [],
      ),
    ],
  };
}

const MOST_LIKE = 5;

function titleOf(visit: Visit): string {
  const when = visit.received ?? visit.returned;
  return [nameOfVisit(visit), visit.title, when]
    .filter((each) => each !== undefined && each !== '')
    .join(', ');
}

function likeBlocks({ facts, shared }: LikeJob, jobs: number): readonly Block[] {
  const { failures, notCounted, told, visit } = facts;
  const words = shared.filter(({ of }) => of === 'word');
  const others = shared.filter(({ of }) => of !== 'word');
  const common = [
    ...others.map((trait) => sayTrait(trait, jobs)),
    ...(words.length === 0
      ? []
      : [
          `the complaint: ${words.map(({ what, jobs: count }) => `“${what}” (${count} of ${jobs})`).join(', ')}`,
        ]),
  ];
  return [
    listOf([
      { text: [strong('In common'), `: ${common.join('; ')}`] },
      {
        text: [
          strong('Found there'),
          ': ',
          failures.length === 0
            ? `no part that failed${notCounted.length === 0 ? '' : `; changed: ${notCounted.map(({ ref }) => ref).join(', ')}`}`
            : sayFailures(failures, true),
        ],
      },
      ...(told === undefined ? [] : [{ text: [strong('The owner was told'), `: ${told}`] }]),
      { text: aside('place', visit.file) },
    ]),
  ];
}

function sayTrait({ of, what, jobs: count }: SharedTrait, jobs: number): string {
  const share = `(${count} of ${jobs})`;
  switch (of) {
    case 'amplifier':
      return `the very amplifier, ${what} ${share}`;
    case 'chassis':
      return `the same chassis, ${what} ${share}`;
    case 'model':
      return `another revision of ${what} ${share}`;
    default:
      return `${what} affected in both ${share}`;
  }
}

/** The first of a list, and how many more there are. */
function limited<T>(list: readonly T[], most: number, what: string): readonly (T | string)[] {
  if (list.length <= most) return list;
  return [...list.slice(0, most), `and ${list.length - most} ${what === 'more' ? 'more' : `more ${what}`}`];
}

function plural(word: string, n: number): string {
  return n === 1 ? word : `${word}s`;
}
