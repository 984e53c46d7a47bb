/**
 * Owns which words at the start of a heading mean what: the topic of the text under it and the phase that follows.
 * A shop adds its own words and its own language; nothing here knows of notes or sheets.
 */
import type { Phase, Topic } from './model.ts';

/** Heading words in normal form (lower case, single spaces) with what they mean. */
export interface Words {
  readonly meanings: ReadonlyMap<string, { readonly topic: Topic; readonly alone: boolean }>;
  /** Words in the longest entry: how far into a heading it is worth looking. */
  readonly longest: number;
}

/** A heading word of a shop's own: `Befund` means what `As found` means. */
export interface HeadingWord {
  readonly heading: string;
  readonly topic: Topic;
  /** Only as the whole heading: `Left` is as left, `Left-hand socket` is not. */
  readonly alone?: boolean;
}

/** Words that begin too many other headings to count there. */
const ALONE: ReadonlySet<string> = new Set(['after', 'before', 'done', 'found', 'left', 'order', 'visual']);

const DEFAULTS: Readonly<Partial<Record<Topic, readonly string[]>>> = {
  complaint: [
    'complaint',
    'complaints',
    'customer complaint',
    'customer reports',
    'customer says',
    "customer's complaint",
    'owner complaint',
    'owner reports',
    'owner says',
    "owner's complaint",
    'problem',
    'reported',
    'reported fault',
    'symptom',
    'symptoms',
  ],
  intake: ['intake', 'booked in', 'booking in', 'reception'],
  'as-found': [
    'as found',
    'as arrived',
    'as received',
    'before',
    'before repair',
    'before work',
    'diagnosis',
    'fault',
    'faults',
    'fault finding',
    'finding',
    'findings',
    'first look',
    'first power',
    'found',
    'initial checks',
    'inspection',
    'on arrival',
    'visual',
    'visual check',
    'visual inspection',
  ],
  work: [
    'work',
    'work done',
    'works',
    'change',
    'changes',
    'done',
    'mod',
    'mods',
    'modification',
    'modifications',
    'parts changed',
    'parts fitted',
    'parts replaced',
    'parts used',
    'repair',
    'repairs',
    'replaced',
    'rework',
    'service',
    'what was done',
  ],
  'as-left': [
    'as left',
    'after',
    'after mods',
    'after repair',
    'after the repair',
    'after work',
    'as returned',
    // Its columns say which is which; what they do not say was read at the end.
    'before after',
    'before and after',
    'check out',
    'checkout',
    'final check',
    'final checks',
    'final measurements',
    'final readings',
    'final test',
    'final tests',
    'final voltages',
    'left',
    'soak',
    'soak test',
  ],
  owner: ['owner', 'customer', 'for the customer', 'for the owner', 'to the customer', 'to the owner'],
  'left-alone': ['left alone', 'not done', 'not touched', 'seen and left'],
  declined: ['declined', 'customer declined', 'owner declined'],
  'next-time': [
    'next time',
    'next visit',
    'recommended',
    'recommendations',
    'still to do',
    'to be done',
    'to do',
    'todo',
  ],
  wanted: [
    'wanted',
    'estimate',
    'order',
    'orders',
    'parts needed',
    'parts to order',
    'parts wanted',
    'quotation',
    'quote',
    'to order',
  ],
  differs: ['differs', 'differences'],
  safety: ['safety'],
  parts: ['parts', 'parts list', 'components'],
};

const WORD = /[\p{L}\p{N}]+/gu;

export const defaultWords: Words = extendWords(
  { meanings: new Map(), longest: 0 },
  Object.entries(DEFAULTS).flatMap(([topic, headings]) =>
    headings.map((heading) => ({ heading, topic: topic as Topic, alone: ALONE.has(heading) })),
  ),
);

/** The topics that a shop may give words to. */
export const TOPICS: readonly Topic[] = [
  'complaint',
  'intake',
  'as-found',
  'work',
  'as-left',
  'owner',
  'left-alone',
  'declined',
  'next-time',
  'wanted',
  'differs',
  'safety',
  'parts',
];

/** The table with a shop's own words added; a word that is there already takes the shop's meaning. */
export function extendWords(words: Words, more: readonly HeadingWord[]): Words {
  const meanings = new Map(words.meanings);
  let longest = words.longest;
  for (const { heading, topic, alone = false } of more) {
    const parts = heading.toLowerCase().match(WORD);
    if (parts === null) continue;
    meanings.set(parts.join(' '), { topic, alone });
    longest = Math.max(longest, parts.length);
  }
  return { meanings, longest };
}

/** The topic that a heading's first words name, the longest entry first; undefined for a heading of the author's own. */
export function findTopic(words: Words, heading: string): Topic | undefined {
  const all = heading.toLowerCase().match(WORD) ?? [];
  // A number before the words (`2. As found`) is no part of them.
  const from = all.findIndex((part) => !/^\p{N}+$/u.test(part));
  if (from < 0) return undefined;
  const topic = topicFrom(words, all, from);
  if (topic !== undefined) return topic;
  // `Readings after repair`, `DC voltages as found`: what was read says nothing, when it was read does.
  const behind = all.findIndex((part, i) => i >= from && !READ.has(part));
  const later = behind > from ? topicFrom(words, all, behind) : undefined;
  return later === 'as-found' || later === 'as-left' ? later : undefined;
}

/** Words for what was read, which stand before the phase in many headings. */
const READ: ReadonlySet<string> = new Set(
  'ac bias chart charts dc measured measurements measurement operating readings reading test voltages voltage'.split(
    ' ',
  ),
);

function topicFrom(words: Words, all: readonly string[], from: number): Topic | undefined {
  for (let count = Math.min(words.longest, all.length - from); count > 0; count--) {
    const meaning = words.meanings.get(all.slice(from, from + count).join(' '));
    if (meaning !== undefined && (!meaning.alone || from + count === all.length)) return meaning.topic;
  }
  return undefined;
}

/** The phase that a topic begins by itself; undefined where the place of the heading decides. */
export function phaseOfTopic(topic: Topic): Phase | undefined {
  switch (topic) {
    case 'complaint':
    case 'intake':
    case 'as-found':
      return 'as-found';
    case 'work':
      return 'work';
    case 'as-left':
      return 'as-left';
    case 'differs':
      return 'noted';
    default:
      return undefined;
  }
}
