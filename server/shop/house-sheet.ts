/**
 * Owns reading the shop sheet: thresholds and severities of rules, the shop's mains, sense resistor and section numbers, its
 * own heading words, valves that the catalogue lacks, and how its summaries are printed. What cannot be read is a problem with
 * its place; the rest counts.
 */
import type { ResolveOptions } from '../bench/resolve.ts';
import { builtInCatalogue, type Catalogue, withExtraValves } from '../catalogue/find-valve.ts';
import type { Datum, RatingSystem, Trust, Valve } from '../catalogue/valve.ts';
import type { FrontMatterEntry } from '../dialect/tree.ts';
import { defaultHouse, type House } from '../rules/house.ts';
import { findRule } from '../rules/registry.ts';
import { type HouseProblem, SEVERITIES, type Severity } from '../rules/rule.ts';
import { plainValue, type Sheet, type Topic } from '../sheet/model.ts';
import { defaultWords, extendWords, type HeadingWord, TOPICS, type Words } from '../sheet/words.ts';
import type { Span } from '../text/span.ts';
import { readValue } from '../units/scan.ts';
import { amperes, ohms, type Unit, volts, watts } from '../units/si.ts';

/** Languages that summaries are written in. */
const LANGUAGES = ['en', 'de'] as const;
export type LanguageId = (typeof LANGUAGES)[number];
const PAPERS = ['A4', 'Letter'] as const;

/** How a shop prints its summaries. Tags, quoted text and findings stay as they are. */
export interface PageStyle {
  readonly language: LanguageId;
  readonly decimal: '.' | ',';
  /** Absent where the printer's own paper is taken. */
  readonly paper?: (typeof PAPERS)[number];
}

/** What governs the sheets below a folder. */
export interface HouseRules {
  readonly house: House;
  readonly words: Words;
  readonly catalogue: Catalogue;
  readonly options: ResolveOptions;
  readonly page: PageStyle;
  readonly problems: readonly HouseProblem[];
}

export const defaultPage: PageStyle = { language: 'en', decimal: '.' };

/** A shop without a shop sheet. */
export const noHouseRules: HouseRules = {
  house: defaultHouse,
  words: defaultWords,
  catalogue: builtInCatalogue,
  options: {},
  page: defaultPage,
  problems: [],
};

/** The front-matter keys that a shop sheet may have, beside those that every sheet has. */
export function readHouseRules(sheet: Sheet): HouseRules {
  const problems: HouseProblem[] = [];
  const say = (span: Span, message: string) => problems.push({ span, message });
  const entry = (key: string) => sheet.frontMatter?.entries.find((each) => each.key === key);
  const { house } = readRules(entry('rules'), say);
  return {
    house,
    words: readHeadings(entry('headings'), say),
    catalogue: readValves(entry('valves'), say),
    options: {
      ...(sheet.field('mains') === undefined ? {} : { shopSheet: sheet }),
      ...readSense(entry('sense'), say),
      ...meterOf(house),
      ...readSections(entry('sections'), say),
    },
    page: readPage(entry, say),
    problems,
  };
}

/** The meter that the rule about it goes by is the meter of all readings. */
function meterOf(house: House): Pick<ResolveOptions, 'meter'> {
  const meter = house.threshold('meter-loading', 'meter');
  return meter === undefined || !(meter > 0) ? {} : { meter: ohms(meter) };
}

type Say = (span: Span, message: string) => void;

/** `rules: { over-voltage: { warning: 0.92 }, over-rated: off }`. */
function readRules(entry: FrontMatterEntry | undefined, say: Say): { readonly house: House } {
  const thresholds = new Map<string, Map<string, number>>();
  const severities = new Map<string, Severity | 'off'>();
  const setSeverity = (rule: string, written: FrontMatterEntry) => {
    const severity = ([...SEVERITIES, 'off'] as const).find((each) => each === written.scalar?.trim());
    if (severity === undefined) {
      say(
        written.valueSpan,
        `${rule}: ${written.scalar ?? 'this'} is no severity. It takes ${SEVERITIES.join(', ')} or off.`,
      );
    } else severities.set(rule, severity);
  };
  for (const setting of entry?.items ?? []) {
    const rule = findRule(setting.key);
    if (rule === undefined) {
      say(setting.keySpan, `There is no rule ${setting.key}.`);
      continue;
    }
    if (setting.items === undefined) {
      setSeverity(rule.id, setting);
      continue;
    }
    for (const option of setting.items) {
      if (option.key === 'severity') {
        setSeverity(rule.id, option);
        continue;
      }
      const known = rule.options[option.key];
      if (known === undefined) {
        const names = ['severity', ...Object.keys(rule.options)].join(', ');
        say(option.keySpan, `${rule.id} has no setting ${option.key}. It has ${names}.`);
        continue;
      }
      const value = readNumber(option.scalar, known.unit);
      if (value === undefined || value < 0) {
        const wanted = known.unit === '1' ? 'a number such as 0.9, or 90 %' : `a value in ${known.unit}`;
        say(option.valueSpan, `${rule.id}: ${option.key} wants ${wanted}, not ${option.scalar ?? 'this'}.`);
      } else {
        const ofRule = thresholds.get(rule.id) ?? new Map<string, number>();
        thresholds.set(rule.id, ofRule.set(option.key, value));
      }
    }
  }
  return {
    house: {
      threshold: (rule, option) => thresholds.get(rule)?.get(option),
      severity: (rule) => severities.get(rule),
    },
  };
}

/** `headings: { as-found: [Befund, Zustand], owner: Für den Kunden }`. */
function readHeadings(entry: FrontMatterEntry | undefined, say: Say): Words {
  const words: HeadingWord[] = [];
  for (const { key, keySpan, scalar, items } of entry?.items ?? []) {
    const topic = TOPICS.find((each): each is Topic => each === key);
    if (topic === undefined) {
      say(keySpan, `Headings have no meaning ${key}. There are ${TOPICS.join(', ')}.`);
      continue;
    }
    for (const heading of scalar === undefined ? (items ?? []).map((item) => item.scalar) : [scalar]) {
      if (heading !== undefined && heading.trim() !== '') words.push({ heading, topic });
    }
  }
  return words.length === 0 ? defaultWords : extendWords(defaultWords, words);
}

function readSense(entry: FrontMatterEntry | undefined, say: Say): Pick<ResolveOptions, 'sense'> {
  if (entry === undefined) return {};
  const value = readNumber(entry.scalar, 'Ohm');
  if (value === undefined || value <= 0 || value > 10) {
    say(
      entry.valueSpan,
      `sense wants the resistor under every cathode, up to 10 Ω (1R), not ${entry.scalar ?? 'this'}.`,
    );
    return {};
  }
  return { sense: ohms(value) };
}

/** `sections: A on 6` says that this shop calls the half with its anode on pin 6 (octal: 5) section A. */
function readSections(entry: FrontMatterEntry | undefined, say: Say): Pick<ResolveOptions, 'sections'> {
  if (entry === undefined) return {};
  const first = /^\s*([AB])\s+on\s+(?:pin\s+)?([16])\s*$/i.exec(entry.scalar ?? '');
  if (first === null) {
    say(
      entry.valueSpan,
      'sections wants “A on 6” or “A on 1”: the pin of the anode of the half that this shop calls A.',
    );
    return {};
  }
  const isA = first[1]?.toUpperCase() === 'A';
  const onSix = first[2] === '6';
  return { sections: isA === onSix ? { A: '1', B: '2' } : { A: '2', B: '1' } };
}

const DECIMALS = { point: '.', comma: ',' } as const;

/** `language: de`, `decimal: comma`, `paper: A4`, each by itself. */
function readPage(entry: (key: string) => FrontMatterEntry | undefined, say: Say): PageStyle {
  const language = readChoice(entry('language'), LANGUAGES, say);
  const decimal = readChoice(entry('decimal'), ['point', 'comma'] as const, say);
  const paper = readChoice(entry('paper'), PAPERS, say);
  return {
    language: language ?? defaultPage.language,
    decimal: decimal === undefined ? defaultPage.decimal : DECIMALS[decimal],
    ...(paper === undefined ? {} : { paper }),
  };
}

/** One of a few words, in any case. */
function readChoice<T extends string>(
  entry: FrontMatterEntry | undefined,
  choices: readonly T[],
  say: Say,
): T | undefined {
  if (entry === undefined) return undefined;
  const written = entry.scalar?.trim().toLowerCase();
  const choice = choices.find((each) => each.toLowerCase() === written);
  if (choice === undefined)
    say(entry.valueSpan, `${entry.key} takes ${choices.join(' or ')}, not ${entry.scalar ?? 'this'}.`);
  return choice;
}

const LIMITS = {
  'anode-voltage': ['anodeVoltage', 'V'],
  'anode-dissipation': ['anodeDissipation', 'W'],
  'screen-voltage': ['screenVoltage', 'V'],
  'screen-dissipation': ['screenDissipation', 'W'],
  'cathode-current': ['cathodeCurrent', 'A'],
} as const;

const SYSTEMS: readonly RatingSystem[] = ['design-centre', 'design-maximum', 'absolute-maximum'];

/** `valves: { 6N2P: { like: 12AX7, anode-dissipation: 1 W, system: absolute-maximum, source: maker’s leaflet } }`. */
function readValves(entry: FrontMatterEntry | undefined, say: Say): Catalogue {
  const extra: Valve[] = [];
  for (const written of entry?.items ?? []) {
    const valve = readValve(written, say);
    if (valve !== undefined) extra.push(valve);
  }
  return extra.length === 0 ? builtInCatalogue : withExtraValves(extra);
}

function readValve(written: FrontMatterEntry, say: Say): Valve | undefined {
  const fields = new Map((written.items ?? []).map((item) => [item.key, item]));
  const like = written.scalar?.replace(/^\s*like\s+/i, '') ?? fields.get('like')?.scalar;
  const place = fields.get('like')?.valueSpan ?? written.valueSpan;
  const found = like === undefined ? undefined : builtInCatalogue.findValve(like);
  if (found === undefined || !('valve' in found)) {
    say(
      place,
      `${written.key} wants “like” and a type that the catalogue knows: its base, heater and electrodes are taken from there.`,
    );
    return undefined;
  }
  const base = found.valve;
  const named = fields.get('system')?.scalar;
  const system = named === undefined ? base.system : SYSTEMS.find((each) => each === named.trim());
  if (system === undefined) {
    say(fields.get('system')?.valueSpan ?? place, `A rating system is ${SYSTEMS.join(', ')}, not ${named}.`);
    return undefined;
  }
  const trust: Trust = { mark: 'house', source: fields.get('source')?.scalar ?? 'shop sheet' };
  const limits: Record<string, Datum<number>> = {};
  for (const [key, item] of fields) {
    if (['like', 'system', 'source'].includes(key)) continue;
    const limit = Object.hasOwn(LIMITS, key) ? LIMITS[key as keyof typeof LIMITS] : undefined;
    if (limit === undefined) {
      say(
        item.keySpan,
        `A valve of the shop sheet has no ${key}. It has like, system, source, ${Object.keys(LIMITS).join(', ')}.`,
      );
      continue;
    }
    const [name, unit] = limit;
    const value = readNumber(item.scalar, unit);
    if (value === undefined || value <= 0)
      say(item.valueSpan, `${key} wants a value in ${unit}, not ${item.scalar ?? 'this'}.`);
    else limits[name] = { value: (unit === 'V' ? volts : unit === 'W' ? watts : amperes)(value), trust };
  }
  return {
    ...base,
    type: written.key,
    synonyms: [],
    system,
    limits: { ...base.limits, ...limits } as Valve['limits'],
    otherEditions: base.otherEditions.filter(({ what }) => limits[what] === undefined),
    remarks: [`base, heater and electrodes as ${base.type}; limits of the shop sheet`],
  };
}

/** A plain number in the unit: `0.9`, `90 %`, `12 W`, `1R`. */
function readNumber(written: string | undefined, unit: Unit): number | undefined {
  if (written === undefined) return undefined;
  const text = written.trim();
  if (unit === '1') {
    const share = /^(\d+(?:[.,]\d+)?)\s*(%?)$/.exec(text);
    if (share === null) return undefined;
    return Number(share[1]?.replace(',', '.')) / (share[2] === '%' ? 100 : 1);
  }
  const value = plainValue(
    readValue(text, { bareUnit: unit, partClass: unit === 'Ohm' ? 'resistor' : 'other' }),
  );
  return value?.quantity.unit === unit ? value.quantity.value : undefined;
}
