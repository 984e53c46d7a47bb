/** Owns what the rules say of a sheet of the corpus, under no house rules, with its chassis sheet where it goes by one. */
import { resolveAmplifier } from '../../server/bench/resolve.ts';
import { builtInCatalogue } from '../../server/catalogue/find-valve.ts';
import { createReader } from '../../server/dialect/note.ts';
import { defaultHouse } from '../../server/rules/house.ts';
import type { Finding } from '../../server/rules/rule.ts';
import { check } from '../../server/rules/run.ts';
import type { Sheet } from '../../server/sheet/model.ts';
import { readSheet } from '../../server/sheet/read.ts';
import { createSnapshot } from '../../server/text/snapshot.ts';

/** One for all: units of a design share their lists of parts, which are read once. */
const reader = createReader();

export function findingsIn(text: string, chassis?: string): readonly Finding[] {
  const read = (name: string, content: string): Sheet =>
    readSheet(reader.readNote(createSnapshot(`file:///${name}.tagstrip.md`, content)));
  const drawn = chassis === undefined ? undefined : read('chassis', chassis);
  const amplifier = resolveAmplifier(read('job', text), drawn, builtInCatalogue);
  const common = { catalogue: builtInCatalogue, house: defaultHouse };
  const alone =
    drawn && check({ ...common, amplifier: resolveAmplifier(drawn, undefined, builtInCatalogue) });
  return check({ ...common, amplifier, ...(alone && { chassisFindings: alone }) });
}
