/**
 * Owns which words at the start of a heading mean what: the topic of the text under it and the phase that follows.
 * A shop adds its own words and its own language; nothing here knows of notes or sheets.
 */
import type { Phase, Topic } from './model.ts';

/** Heading words in normal form (lower case, single spaces) with their topic. */
export interface Words {
  readonly topics: ReadonlyMap<string, Topic>;
  /** Words in the longest entry: how far into a heading it is worth looking. */
  readonly longest: number;
}

/** A heading word of a shop's own: `Befund` means what `As found` means. */
export interface HeadingWord {
  readonly heading: string;
  readonly topic: Topic;
}

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
    'as returned',
    // Its columns say which is which; what they do not say was read at the end.
    'before after',
    'before and after',
    'check out',
    'checkout',
    'final checks',
    'final readings',
    'final test',
    'left',
    'soak',
    'soak test',
  ],
  owner: ['owner', 'customer', 'for the customer', 'for the owner', 'to the customer', 'to the owner'],
  'left-alone': ['left alone', 'not done', 'not touched', 'seen and left'],
  declined: ['declined', 'customer declined', 'owner declined'],
  'next-time': ['next time', 'next visit', 'recommended', 'recommendations'],
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
  { topics: new Map(), longest: 0 },
  Object.entries(DEFAULTS).flatMap(([topic, headings]) =>
    headings.map((heading) => ({ heading, topic: topic as Topic })),
  ),
);

/** The table with a shop's own words added; a word that is there already takes the shop's meaning. */
export function extendWords(words: Words, more: readonly HeadingWord[]): Words {
  const topics = new Map(words.topics);
  let longest = words.longest;
  for (const { heading, topic } of more) {
    const parts = heading.toLowerCase().match(WORD);
    if (parts === null) continue;
    topics.set(parts.join(' '), topic);
    longest = Math.max(longest, parts.length);
  }
  return { topics, longest };
}

/** The topic that a heading's first words name, the longest entry first; undefined for a heading of the author's own. */
export function findTopic(words: Words, heading: string): Topic | undefined {
  const parts: string[] = [];
  for (const match of heading.toLowerCase().matchAll(WORD)) {
    // A number before the words (`2. As found`) is no part of them.
    if (parts.length === 0 && /^\p{N}+$/u.test(match[0])) continue;
    parts.push(match[0]);
    if (parts.length >= words.longest) break;
  }
  for (let count = parts.length; count > 0; count--) {
    const topic = words.topics.get(parts.slice(0, count).join(' '));
    if (topic !== undefined) return topic;
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
