/** Owns how it is told what keeps failing, and which earlier jobs look like one: documents for every printer. */
import type { Dimension } from '../shop/exposure.ts';
import { DIMENSIONS } from '../shop/exposure.ts';
import type { Failure } from '../shop/failures.ts';
import type { LikeJob, Likeness, SharedTrait } from '../shop/likeness.ts';
import type { FailedAgain, FailedVisit, RepeatGroup, Repeats } from '../shop/repeats.ts';
import { nameOfVisit, type Visit } from '../shop/visits.ts';
import { wilsonInterval } from '../shop/wilson.ts';
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
import { inSheet } from './places.ts';
import type { Speech } from './speech.ts';

/** Of a list that goes on. */
const MOST_GROUPS = 25;
const MOST_VISITS = 12;
const MOST_ONCE = 20;

export function repeatsDocument(repeats: Repeats, speech: Speech): SummaryDocument {
  const { words, shop, markEnglish } = speech;
  const { repeats: w } = words.documents;
  const { others } = shop.says.failures;
  const { jobs, unharmed, from, to, groups, again, notCounted, failures } = repeats;
  const span = from === undefined || to === undefined ? undefined : from === to ? from : w.span(from, to);
  return {
    language: words.language,
    reader: 'bench',
    title: w.title,
    kind: w.kind,
    facts: [
      [w.jobs, `${jobs}${span === undefined ? '' : `, ${span}`}`],
      [w.failed, w.failures(failures, jobs - unharmed, jobs)],
    ],
    opening:
      failures === 0
        ? [paragraph(w.none)]
        : [
            paragraph(
              [w.note, words.documents.rulesLanguage === '' ? '' : ` ${words.documents.rulesLanguage}`],
              'small',
            ),
          ],
    sections: [
      ...sectionOf(w.again, again.length === 0 ? [] : [listOf(again.map((each) => againItem(each, speech)))]),
      ...DIMENSIONS.flatMap((dimension) =>
        sectionOf(
          w.heads[dimension],
          groupBlocks(
            dimension,
            groups.filter((group) => group.dimension === dimension),
            repeats,
            speech,
          ),
        ),
      ),
      ...sectionOf(
        w.notCounted,
        notCounted.length === 0
          ? []
          : [
              listOf(
                limited(notCounted, MOST_ONCE, w.moreJobs).map((each): Item | string =>
                  typeof each === 'string'
                    ? each
                    : {
                        text: [
                          strong(nameOfVisit(each.visit, shop)),
                          ': ',
                          markEnglish(
                            each.replacements
                              .map(({ ref, why, says }) => `${ref}, ${others[why]} (${says})`)
                              .join('; '),
                          ),
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
  speech: Speech,
): readonly Block[] {
  const { repeats: w } = speech.words.documents;
  if (groups.length === 0)
    return repeats.failures > 0 && (dimension === 'age' || dimension === 'margin')
      ? [paragraph(w.neverKnown(w.unknown[dimension]), 'small')]
      : [];
  const often = groups.filter(({ failed }) => failed > 1);
  const once = groups.filter(({ failed }) => failed === 1);
  const unknown = repeats.unknown[dimension];
  return [
    ...(often.length === 0
      ? []
      : [
          listOf(
            limited(often, MOST_GROUPS, w.moreGroups).map((each) =>
              typeof each === 'string' ? each : groupItem(each, speech),
            ),
          ),
        ]),
    ...(once.length === 0
      ? []
      : [
          paragraph(
            w.once(
              limited(once, MOST_ONCE, w.more)
                .map((each) =>
                  typeof each === 'string'
                    ? each
                    : w.oneOf(
                        each.group,
                        each.exposed,
                        nameOfVisit(each.visits[0]?.visit ?? NOBODY, speech.shop),
                      ),
                )
                .join('; '),
            ),
          ),
        ]),
    ...(unknown === 0 || dimension === 'valve' || dimension === 'kind'
      ? []
      : [paragraph(w.notKnown(unknown, repeats.failures, w.unknown[dimension]), 'small')]),
  ];
}

const NOBODY: Visit = { file: '', title: '', isOpen: false };

function groupItem(
  { dimension, group, failed, exposed, onlyReplaced, visits }: RepeatGroup,
  speech: Speech,
): Item {
  const { repeats: w } = speech.words.documents;
  const last = visits.at(-1)?.failures[0];
  const what =
    dimension === 'part' && last !== undefined ? [last.role, last.marked].filter(Boolean).join(', ') : '';
  const replaced =
    onlyReplaced === 0
      ? ''
      : onlyReplaced === failed
        ? ` ${w.onlyReplaced}`
        : ` ${w.someReplaced(onlyReplaced)}`;
  return {
    text: [
      strong(group),
      what === '' ? undefined : [' ', aside('note', what)],
      `: ${sayHowOften(failed, exposed, speech)}.${replaced}`,
    ],
    blocks: [
      dimension === 'part'
        ? listOf(
            limited(visits, MOST_VISITS, w.moreVisits).map((each) =>
              typeof each === 'string' ? each : visitItem(each, speech),
            ),
          )
        : paragraph(
            limited(visits, MOST_VISITS, w.moreVisits)
              .map((each) => (typeof each === 'string' ? each : sayVisitShort(each, speech)))
              .join('; '),
          ),
    ],
  };
}

function visitItem({ visit, failures }: FailedVisit, speech: Speech): Item {
  return { text: [...headOf(visit, speech), ': ', sayFailures(failures, speech)] };
}

/** `job 2041, 2026-03-02 (jobs/2041.tagstrip.md)`. */
function headOf(visit: Visit, { shop }: Speech): readonly Text[] {
  const when = visit.received ?? visit.returned;
  return [
    strong(nameOfVisit(visit, shop)),
    when === undefined ? undefined : `, ${when}`,
    ' ',
    inSheet(visit.file),
  ];
}

/** `job 2041 C11, C12`. */
function sayVisitShort({ visit, failures }: FailedVisit, { shop }: Speech): string {
  return `${nameOfVisit(visit, shop)} ${failures.map(({ ref }) => ref).join(', ')}`;
}

/** `C11 measures 6.8 µF: 14.5 % of its marking 47 µF; now 47 µF 550 V electrolytic`; what is said of a pair once. */
function sayFailures(failures: readonly Failure[], speech: Speech, withRefs = false): Text {
  const said = new Map<string, Failure[]>();
  for (const failure of failures) {
    const text = sayFailure(failure, speech);
    said.set(text, [...(said.get(text) ?? []), failure]);
  }
  const all = [...said]
    .map(([text, of]) => {
      const roles = [...new Set(of.flatMap(({ role }) => role ?? []))].join(', ');
      const names = of.map(({ ref }) => ref).join(', ');
      return withRefs ? `${names}${roles === '' ? '' : ` (${roles})`}: ${text}` : text;
    })
    .join('; ');
  return speech.markEnglish(all);
}

function sayFailure({ by, evidence, replacedBy }: Failure, { words }: Speech): string {
  const said = evidence.map(({ says }) => says).join(', ');
  return by === 'replaced' || replacedBy === undefined ? said : words.documents.repeats.now(said, replacedBy);
}

function againItem({ amplifier, serial, ref, visits }: FailedAgain, speech: Speech): Item {
  const { repeats: w } = speech.words.documents;
  return {
    text: [strong(ref), ` ${w.ofSerial(amplifier, serial)}`],
    blocks: [
      listOf(
        visits.map(({ visit, failures, months }): Item => {
          const later = months === undefined ? '' : ` ${w.later(months)}`;
          return { text: [...headOf(visit, speech), `${later}: `, sayFailures(failures, speech)] };
        }),
      ),
    ],
  };
}

export function likenessDocument({ asked, jobs, like }: Likeness, speech: Speech): SummaryDocument {
  const { words, shop } = speech;
  const { repeats: w } = words.documents;
  const told = like.slice(0, MOST_LIKE);
  return {
    language: words.language,
    reader: 'bench',
    title: w.likeTitle(nameOfVisit(asked.visit, shop)),
    kind: w.kind,
    facts: [
      [w.looked, w.otherJobs(jobs - 1)],
      ...(asked.visit.chassis === undefined ? [] : [[w.chassis, asked.visit.chassis] as const]),
      ...(asked.affected.length === 0 ? [] : [[w.affected, asked.affected.join(', ')] as const]),
      ...(asked.symptoms.length === 0 ? [] : [[w.complaintWords, asked.symptoms.join(', ')] as const]),
    ],
    opening: [paragraph(told.length === 0 ? w.nothingLike : w.likest, 'small')],
    sections: [
      ...told.flatMap((each) => sectionOf(titleOf(each.facts.visit, speech), likeBlocks(each, jobs, speech))),
      ...sectionOf(
        w.further,
        like.length > told.length ? [paragraph(w.moreLike(like.length - told.length))] : [],
      ),
    ],
  };
}

const MOST_LIKE = 5;

function titleOf(visit: Visit, { shop }: Speech): string {
  const when = visit.received ?? visit.returned;
  return [nameOfVisit(visit, shop), visit.title, when]
    .filter((each) => each !== undefined && each !== '')
    .join(', ');
}

function likeBlocks({ facts, shared }: LikeJob, jobs: number, speech: Speech): readonly Block[] {
  const { repeats: w } = speech.words.documents;
  const { failures, notCounted, told, visit } = facts;
  const complaint = shared.filter(({ of }) => of === 'word');
  const others = shared.filter(({ of }) => of !== 'word');
  const common = [
    ...others.map((trait) => sayTrait(trait, jobs, speech)),
    ...(complaint.length === 0
      ? []
      : [w.complaint(complaint.map(({ what, jobs: count }) => w.word(what, count, jobs)).join(', '))]),
  ];
  return [
    listOf([
      { text: [strong(w.inCommon), `: ${common.join('; ')}`] },
      {
        text: [
          strong(w.foundThere),
          ': ',
          failures.length === 0
            ? `${w.nothingFailed}${notCounted.length === 0 ? '' : `; ${w.changed(notCounted.map(({ ref }) => ref).join(', '))}`}`
            : sayFailures(failures, speech, true),
        ],
      },
      ...(told === undefined ? [] : [{ text: [strong(w.ownerTold), `: ${told}`] }]),
      { text: inSheet(visit.file) },
    ]),
  ];
}

function sayTrait({ of, what, jobs: count }: SharedTrait, jobs: number, { words }: Speech): string {
  const { repeats: w } = words.documents;
  const share = w.share(count, jobs);
  switch (of) {
    case 'amplifier':
      return `${w.sameAmplifier(what)} ${share}`;
    case 'chassis':
      return `${w.sameChassis(what)} ${share}`;
    case 'model':
      return `${w.otherRevision(what)} ${share}`;
    default:
      return `${w.affectedBoth(what)} ${share}`;
  }
}

/** The first of a list, and how many more there are. */
function limited<T>(list: readonly T[], most: number, more: (n: number) => string): readonly (T | string)[] {
  return list.length <= most ? list : [...list.slice(0, most), more(list.length - most)];
}

/** From this spread of the interval on a count says too little to act on by itself. */
const WIDE = 0.3;

/** `3 of 8 visits (38 %); with so few, anything from 14 to 69 % fits`. */
export function sayHowOften(count: number, visits: number, { words, terms }: Speech): string {
  const inPercent = (share: number) => wholePercent(share).replace('.', terms.decimal);
  const { repeats: w } = words.documents;
  const interval = wilsonInterval(count, visits);
  const said = w.count(count, visits);
  if (!interval.ok) return said;
  const { low, high } = interval.value;
  const range = w.range(inPercent(low), inPercent(high));
  const share = `${inPercent(count / visits)}\u00a0%`;
  if (visits === 1) return w.oneVisit(said, range);
  return high - low > WIDE ? w.fewVisits(said, share, range) : w.fits(said, share, range);
}

/** Whole per cent; below one, where rounding would say none, a tenth. */
function wholePercent(share: number): string {
  const percent = share * 100;
  return percent > 0 && percent < 0.95 ? percent.toFixed(1) : String(Math.round(percent));
}
