/** Owns the verb `repeats`: what keeps failing over all jobs, or with `--like` the earlier jobs that look like one. */
import { resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import { failuresOf, type JobFacts } from '../shop/failures.ts';
import { findLike, type Likeness } from '../shop/likeness.ts';
import { countRepeats, type Repeats } from '../shop/repeats.ts';
import { likenessDocument, repeatsDocument } from '../summary/repeats.ts';
import { speechFor } from './call-speech.ts';
import { pathOf } from './desk.ts';
import { pathsFor } from './page-paths.ts';
import { printDocument } from './print-document.ts';
import { likenessJson, repeatsJson } from './repeats-json.ts';
import { type Desk, type SheetVerb, Unusable } from './verb.ts';

export const repeatsVerb: SheetVerb<JobFacts | undefined> = {
  name: 'repeats',
  formats: ['text', 'md', 'html', 'json'],
  isOneDocument: true,
  options: ['like'],
  does: 'what keeps failing: by part and chassis, role, kind, margin, age and valve type; or the jobs that are like one',
  part: ({ analysis, places, call }) =>
    failuresOf(analysis, pathsFor(call, places)(analysis.sheet.uri), speechFor(call).shop),
  run: async (desk, parts) => {
    const { like } = desk.call;
    if (like === undefined) {
      const counter = countRepeats();
      for await (const facts of parts()) if (facts !== undefined) counter.add(facts);
      const repeats: Repeats = counter.result();
      printDocument(desk, repeatsDocument(repeats, speechFor(desk.call)), repeatsJson(repeats));
      return 0;
    }
    const asked = await factsOf(like, desk);
    const all: JobFacts[] = [];
    for await (const facts of parts()) if (facts !== undefined) all.push(facts);
    const likeness: Likeness = findLike(asked, all);
    printDocument(desk, likenessDocument(likeness, speechFor(desk.call)), likenessJson(likeness));
    return 0;
  },
};

async function factsOf(like: string, { shop, setting, call }: Desk): Promise<JobFacts> {
  const uri = pathToFileURL(resolve(setting.folder, like)).href;
  const analysis = await shop.analyse(uri);
  if (analysis === undefined) throw new Unusable(`cannot read ${like}`);
  const path = pathsFor(call, { path: (each) => pathOf(each, setting.folder) })(uri);
  const facts = failuresOf(analysis, path, speechFor(call).shop);
  if (facts === undefined) throw new Unusable(`--like takes a job sheet, and ${like} is none`);
  return facts;
}
