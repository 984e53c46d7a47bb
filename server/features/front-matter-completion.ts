/** Owns what may be written in the front matter: keys that the kind of sheet has and does not say yet, and values of those that are choices or paths. */
import { rules } from '../rules/registry.ts';
import type { Sheet, SheetKind } from '../sheet/model.ts';
import type { SheetFacts } from '../shop/sheet-index.ts';
import type { Analysis } from '../shop/shop.ts';
import { canonicalUri } from '../shop/uris.ts';
import { lineAt, lineSpan } from '../text/snapshot.ts';

export interface FrontMatterOffer {
  readonly text: string;
  readonly kind: 'key' | 'choice' | 'path' | 'rule';
  readonly detail?: string;
}

export interface FrontMatterOffers {
  readonly offers: readonly FrontMatterOffer[];
  /** What is written of it so far. */
  readonly typed: string;
}

interface Key {
  readonly of: readonly SheetKind[];
  readonly about: string;
}

const ALL: readonly SheetKind[] = ['job', 'chassis', 'mod', 'shop'];

/** In the order in which they are mostly written. */
export const FRONT_MATTER_KEYS: Readonly<Record<string, Key>> = {
  sheet: { of: ALL, about: 'job, chassis, mod or shop' },
  job: { of: ['job'], about: 'the job’s number' },
  chassis: { of: ['job'], about: 'the chassis sheet of this model and revision, as a path' },
  serial: { of: ['job'], about: 'the amplifier’s serial number' },
  received: { of: ['job'], about: 'the day it came in' },
  returned: { of: ['job'], about: 'the day it went out: the job is finished' },
  hours: { of: ['job'], about: 'hours worked' },
  charge: { of: ['job'], about: 'what is charged' },
  limit: { of: ['job'], about: 'what the owner agreed to spend at most' },
  returns: { of: ['job'], about: 'an earlier job on this amplifier, as a path' },
  warranty: { of: ['job'], about: 'under warranty, and whose' },
  model: { of: ['chassis'], about: 'the model' },
  revision: { of: ['chassis'], about: 'the revision of that model' },
  made: { of: ['chassis', 'job'], about: 'the year it was made in, for the age of what fails' },
  follows: { of: ['chassis'], about: 'the revision before this one, as a path; write only the differences' },
  name: { of: ['mod'], about: 'how job sheets speak of this mod' },
  purpose: { of: ['mod'], about: 'what it is good for, for an owner to read' },
  needs: { of: ['mod'], about: 'mods that must have been done before' },
  conflicts: { of: ['mod'], about: 'mods that must not be there' },
  'written-for': { of: ['mod'], about: 'the chassis sheets it was written for, as paths' },
  title: { of: ALL, about: 'what the sheet is called in lists' },
  mains: { of: ['job', 'chassis', 'shop'], about: 'the nominal mains' },
  class: { of: ['job', 'chassis'], about: 'II where it is built and marked so, without a protective earth' },
  rules: { of: ['shop'], about: 'for each rule a severity, or its settings' },
  headings: { of: ['shop'], about: 'heading words of the shop’s own' },
  language: { of: ['shop'], about: 'the language of summaries' },
  decimal: { of: ['shop'], about: 'the decimal sign of printed numbers' },
  paper: { of: ['shop'], about: 'what summaries are printed on' },
  sense: { of: ['shop'], about: 'the resistor under every output cathode' },
  sections: { of: ['shop'], about: 'which half of a 9-pin twin is called A' },
  valves: { of: ['shop'], about: 'valves that the catalogue lacks' },
};

const CHOICES: Readonly<Record<string, readonly string[]>> = {
  sheet: ALL,
  mains: ['230 V 50 Hz', '240 V 50 Hz', '120 V 60 Hz', '100 V 50 Hz'],
  class: ['II'],
  language: ['en', 'de'],
  decimal: ['point', 'comma'],
  paper: ['A4', 'Letter'],
  sense: ['1R', '10R'],
  sections: ['A on 6', 'A on 1'],
};

const SEVERITIES = ['error', 'warning', 'info', 'hint', 'off'];

/** Whether an offset stands between the two fences. */
export function isInFrontMatter({ frontMatter, snapshot }: Sheet, offset: number): boolean {
  if (frontMatter === undefined) return false;
  const first = lineAt(snapshot, frontMatter.span.start);
  const last = lineAt(snapshot, frontMatter.span.end);
  const line = lineAt(snapshot, offset);
  return first < line && line < last;
}

/** `sheets` are all that are known; without them no path is offered. */
export function frontMatterOffers(
  { sheet }: Analysis,
  offset: number,
  sheets: Iterable<SheetFacts>,
): FrontMatterOffers {
  const { snapshot } = sheet;
  const { start } = lineSpan(snapshot, lineAt(snapshot, offset));
  const line = snapshot.text.slice(start, offset);
  const [, indent = '', dash = '', key = '', typed = ''] =
    /^(\s*)(-\s+)?(?:([\w-]+):[ \t]+)?(.*)$/.exec(line) ?? [];
  const isNested = indent !== '' || dash !== '';
  const above = isNested ? keyAbove(sheet, start) : undefined;
  if (above === 'rules') {
    if (key !== '') return { offers: SEVERITIES.map((text) => ({ text, kind: 'choice' })), typed };
    return {
      offers: rules.map(({ id, summary }) => ({ text: `${id}: `, kind: 'rule', detail: summary })),
      typed,
    };
  }
  const of = above ?? key;
  if (of === '' && isNested) return { offers: [], typed };
  if (of === '') return { offers: keyOffers(sheet), typed };
  const choices = Object.hasOwn(CHOICES, of) ? (CHOICES[of] ?? []) : [];
  const paths = pathOffers(sheet, of, sheets);
  return { offers: [...choices.map((text) => ({ text, kind: 'choice' as const })), ...paths], typed };
}

/** The key at the margin that an indented line or a list's line belongs to. */
function keyAbove({ frontMatter }: Sheet, lineStart: number): string | undefined {
  return frontMatter?.entries.findLast(({ keySpan }) => keySpan.start < lineStart)?.key;
}

function keyOffers({ kind, frontMatter }: Sheet): readonly FrontMatterOffer[] {
  const said = new Set(frontMatter?.entries.map(({ key }) => key));
  return Object.entries(FRONT_MATTER_KEYS)
    .filter(([key, { of }]) => of.includes(kind) && !said.has(key))
    .map(([key, { about }]) => ({ text: `${key}: `, kind: 'key', detail: about }));
}

/** Chassis sheets for a job or a mod, other revisions for a chassis sheet, earlier jobs on the same chassis sheet for a job. */
function pathOffers(sheet: Sheet, key: string, sheets: Iterable<SheetFacts>): readonly FrontMatterOffer[] {
  const wanted =
    key === 'returns' ? 'job' : ['chassis', 'follows', 'written-for'].includes(key) ? 'chassis' : undefined;
  if (wanted === undefined) return [];
  const self = canonicalUri(sheet.uri);
  const all = [...sheets];
  const own = all.find((each) => each.key === self)?.chassis;
  return all
    .filter((each) => each.kind === wanted && each.key !== self)
    .filter(({ chassis }) => key !== 'returns' || own === undefined || chassis === own)
    .flatMap((each): readonly FrontMatterOffer[] => {
      const path = relativePath(self, each.key);
      return path === undefined ? [] : [{ text: asScalar(path), kind: 'path', detail: sayOf(each) }];
    })
    .sort((a, b) => (a.text < b.text ? -1 : 1));
}

function sayOf({ title, revision, serial }: SheetFacts): string {
  return [
    title,
    revision === undefined ? '' : `revision ${revision}`,
    serial === undefined ? '' : `serial ${serial}`,
  ]
    .filter((each) => each !== '')
    .join(', ');
}

/** How the sheet at `from` writes the path to `to`; undefined where they share no disk. */
function relativePath(from: string, to: string): string | undefined {
  const split = (uri: string) => /^([a-z][a-z0-9+.-]*:\/\/[^/]*)\/(.*)$/i.exec(uri);
  const [one, other] = [split(from), split(to)];
  if (one === null || other === null || one[1] !== other[1]) return undefined;
  const [here, there] = [(one[2] ?? '').split('/'), (other[2] ?? '').split('/')];
  let common = 0;
  while (common < here.length - 1 && common < there.length - 1 && here[common] === there[common]) common++;
  const up = here.slice(common, -1).map(() => '..');
  try {
    return [...up, ...there.slice(common).map(decodeURIComponent)].join('/');
  } catch {
    return undefined;
  }
}

/** In quotes where YAML would read a sign of it as its own. */
function asScalar(path: string): string {
  return /^[\w./ -]+$/u.test(path) && !/^[-\s]|\s$/.test(path) ? path : `"${path.replace(/["\\]/g, '\\$&')}"`;
}
