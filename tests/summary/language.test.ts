/** Holds a second language to the first: everything is said in it, numbers in the shop's style, and what stays English says so. */
import { describe, expect, it } from 'vitest';
import { english } from '../../server/summary/english.ts';
import { german } from '../../server/summary/german.ts';
import { renderHtml } from '../../server/summary/html.ts';
import { renderMarkdown } from '../../server/summary/markdown.ts';
import type { SummaryOptions } from '../../server/summary/summary.ts';
import { analyse } from '../support/check.ts';
import { sectionOf, tagsOf, textOf } from './page.ts';

const SHOP = `---
sheet: shop
language: de
decimal: comma
paper: A4
headings:
  complaint: Beanstandung
  as-found: Befund
  work: Arbeiten
  as-left: Endkontrolle
  owner: Für den Kunden
  left-alone: Belassen
  declined: Abgelehnt
  next-time: Nächstes Mal
  wanted: Angebot
---
`;

const CHASSIS = `---
sheet: chassis
model: Lerche 20
revision: b
---
# Lerche 20

- V3 = 5881
- T1 = mains 290-0-290V 150mA
- V9 = GZ34, T1 to B+1
- C11 = 47uF 500V, B+1 to gnd
- R19 = 330R 5W, V3.k to gnd
- T2 = output 8k : 8R 18W, V3.a to B+1, LS1 on 8R
- LS1 = 8R 30W
- F1 = T1A

Mains {mains: 230 V}.

- V3: a 329, g2 326, g 0, k 23.0
- B+1: 334 V
`;

const JOB = `---
job: 2061
chassis: ../chassis/lerche.tagstrip.md
returns: 2055.tagstrip.md
serial: 0231
received: 2026-03-02
returned: 2026-03-06
hours: 1.5
charge: 140
warranty: sechs Monate
---
# Lerche 20, die laute

## Beanstandung

Brummt laut und schon immer.

{keep C11: bleibt}

## Befund

60 W Lampe:

- B+1: 241 V

Mains {mains: 236 V}, 20 min.

- V3: a 321.6, g2 318.7, g 0, k 29.5
- B+1: 325.6 V, 127 Vpp
- C11: 6.8uF ESR 6R
- {R19: charred}
- earth to chassis: 0.1R
- {? V3.k / R19}

## Arbeiten

- C11 = 47uF 500V -> 47uF 550V
- R19 -> resoldered
- mod schirm: unknown

![R19 von oben](../photos/r19.jpg)

## Endkontrolle

Mains {mains: 234 V}, 20 min.

- V3: a 335.4, g2 332.3, g 0, k 23.6
- B+1: 339.6 V, 20 Vpp
- earth to chassis: 0.1R

{accept anode-over-dissipation V3: so gezeichnet}

## Für den Kunden

Der Kondensator war trocken.

## Belassen

- {R19: charred}

## Abgelehnt

Neue Glaskolben.

## Angebot

- [ ] C12 = 47uF 500V -> 47uF 550V

## Nächstes Mal

- [ ] {C12} ansehen
`;

const EARLIER = `---
job: 2055
---
# Lerche 20

## Endkontrolle

Mains {mains: 230 V}.

- B+1: 340 V
`;

const FORMS: readonly SummaryOptions[] = [
  { reader: 'bench' },
  { reader: 'customer', withReadings: true },
  { reader: 'label' },
];

async function analyseGerman(job = JOB) {
  return analyse(job, {
    '../shop.tagstrip.md': SHOP,
    '../chassis/lerche.tagstrip.md': CHASSIS,
    '2055.tagstrip.md': EARLIER,
  });
}

/** All strings of a table by path; a function's are those it makes of its own arguments' numbers. */
function sayings(words: object, path = ''): ReadonlyMap<string, string> {
  const said = new Map<string, string>();
  for (const [key, value] of Object.entries(words)) {
    const at = path === '' ? key : `${path}.${key}`;
    if (at === 'plot' || at === 'terms.kinds' || at === 'terms.decimal') continue;
    const made: unknown = typeof value === 'function' ? value('1', '2', '3') : value;
    if (typeof made === 'string') said.set(at, made);
    else if (typeof made === 'object' && made !== null)
      for (const [below, text] of sayings(made, at)) said.set(below, text);
  }
  return said;
}

function wordsIn(text: string): readonly string[] {
  return text.toLowerCase().match(/\p{L}{3,}/gu) ?? [];
}

/** Words that are one in both languages, names of systems, and signs. */
const ALIKE = new Set([
  // As data sheets print them.
  'systems.design-centre',
  'systems.design-maximum',
  'systems.absolute-maximum',
  'none',
  'fields.name',
  'customer.advices',
  'bench.ofRating',
  'plainClasses.transistor.name',
  'plainClasses.relay.name',
  'label.parts',
  'documents.repeats.chassis',
]);

describe('German', () => {
  const [ours, theirs] = [sayings(english), sayings(german)];

  it('says everything that English says, and nothing of it in English', () => {
    expect([...theirs.keys()]).toEqual([...ours.keys()]);
    const same = [...ours].filter(
      ([path, text]) => theirs.get(path) === text && /\p{L}{3,}/u.test(text) && !ALIKE.has(path),
    );
    expect(same).toEqual([]);
    const missing = [...ours].filter(([path, text]) => (text === '') !== (theirs.get(path) === ''));
    // Only a page in another language must say that its findings are not.
    expect(missing.map(([path]) => path)).toEqual(['documents.rulesLanguage', 'bench.findingsLanguage']);
  });

  it('says in its own words what stands in pictures', () => {
    const same = Object.entries(english.plot).filter(
      ([key, text]) =>
        typeof text === 'string' && /\p{L}{3,}/u.test(text) && german.plot[key as 'node'] === text,
    );
    expect(same).toEqual([]);
  });

  it('puts every number and name where English has one', () => {
    for (const [path, text] of ours)
      expect([path, (theirs.get(path) ?? '').match(/[123]/g)?.sort() ?? []]).toEqual([
        path,
        text.match(/[123]/g)?.sort() ?? [],
      ]);
  });

  for (const form of FORMS)
    it(`leaves no fixed English word on the page: ${form.reader}`, async () => {
      const analysis = await analyseGerman();
      const page = renderHtml(analysis, form);
      const own = page.replace(/<span lang="en">.*?<\/span>/g, '');
      // Words of pictures that are German as well as English.
      const known = new Set([...[...theirs.values()].flatMap(wordsIn), 'stand', 'last', 'still']);
      const foreign = new Set([...ours.values()].flatMap(wordsIn).filter((word) => !known.has(word)));
      // What the writer wrote stays as it is.
      const written = new Set(wordsIn(`${JOB} lerche`));
      expect(wordsIn(textOf(own)).filter((word) => foreign.has(word) && !written.has(word))).toEqual([]);
      expect(tagsOf(page).find(({ name }) => name === 'html')?.attributes.lang).toBe('de');
      expect(page).toContain('@page{size:A4}');
    });

  it('calls a rating system one name all over the page', async () => {
    const text = textOf(renderHtml(await analyseGerman(), { reader: 'bench' }));
    expect(text).toContain('(5881, design-centre: ');
    // Its German name stands in the one note that explains it.
    expect(text.match(/Nenngrenzwert/g)).toHaveLength(1);
  });

  it('marks findings as English and says so', async () => {
    const page = renderHtml(await analyseGerman(), { reader: 'bench' });
    expect(sectionOf(page, 'Befunde')).toContain('auf Englisch und mit Dezimalpunkt');
    expect(page).toMatch(/<span lang="en">As found, C11 measures 6\.8/);
  });

  it('writes its own numbers with a comma, and neither tags nor quoted words', async () => {
    const analysis = await analyseGerman(JOB.replace('war trocken.', 'hatte 6.8 statt 47.'));
    const bench = renderHtml(analysis, { reader: 'bench' });
    expect(sectionOf(bench, 'Messwerte')).toContain(
      'B+1 / Gleichspannung / 325,6 V / 339,6 V / +14,0 V (+4,3 %)',
    );
    expect(sectionOf(bench, 'Noch zu tun')).toContain('C12 = 47uF 500V -> 47uF 550V');
    expect(textOf(renderHtml(analysis, { reader: 'customer' }))).toContain('hatte 6.8 statt 47.');
    expect(renderMarkdown(analysis, { reader: 'label' })).toContain('Kathode 23,6\u00a0V');
  });

  it('keeps the cautions, and leaves judgement to local rules', async () => {
    for (const form of FORMS) {
      const text = textOf(renderHtml(await analyseGerman(), form));
      expect(text).toMatch(/örtlichen? Vorschriften/i);
      expect(text).not.toMatch(/\bsicher(?:e|er|es|en)?\b/i);
    }
  });
});
