/** Owns the verb `tidy`: the tags of each sheet in their normal form, as a diff to read or to apply, or written to the sheet. */
import { readFile, writeFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import { tidyEdits } from '../features/tidy.ts';
import { applyEdits } from '../text/edits.ts';
import { cannotWrite } from './desk.ts';
import { unifiedDiff } from './unified-diff.ts';
import type { Analysed, SheetVerb } from './verb.ts';

/** What one sheet becomes. */
interface Tidied {
  readonly uri: string;
  readonly path: string;
  readonly diff: string;
  /** What was read, and what is to stand in its place. */
  readonly was: string;
  readonly text: string;
}

export const tidyVerb: SheetVerb<Tidied | undefined> = {
  name: 'tidy',
  formats: ['text'],
  options: ['write'],
  does: 'the tags in their normal form: a diff, or with --write the sheets themselves; prose is never touched',
  part: tidied,
  run: async ({ call, print }, parts) => {
    for await (const sheet of parts()) {
      if (sheet === undefined) continue;
      if (!call.write) {
        print(sheet.diff);
        continue;
      }
      await writeTidied(sheet);
      print(`tidied ${sheet.path}\n`);
    }
    return 0;
  },
};

/** Undefined where the sheet is tidy. */
export function tidied({ analysis: { sheet }, places }: Analysed): Tidied | undefined {
  const edits = tidyEdits(sheet);
  if (edits.length === 0) return undefined;
  const path = places.path(sheet.uri);
  const { text } = sheet.snapshot;
  return {
    uri: sheet.uri,
    path,
    diff: unifiedDiff(path, text, edits),
    was: text,
    text: applyEdits(text, edits),
  };
}

/** Writes only over the very text that was read: signs that it was read without would be lost, and so would newer words. */
export async function writeTidied({ uri, path, was, text }: Tidied): Promise<void> {
  const file = fileURLToPath(uri);
  let now: string | undefined;
  try {
    now = decode(await readFile(file));
  } catch (error) {
    throw cannotWrite(path, error);
  }
  if (now === undefined)
    throw cannotWrite(path, 'it is not in UTF-8, and its signs would be lost; save it as UTF-8 first');
  if (now !== was) throw cannotWrite(path, 'it was changed meanwhile; call again');
  try {
    await writeFile(file, text);
  } catch (error) {
    throw cannotWrite(path, error);
  }
}

/** Undefined of bytes that are no UTF-8. */
function decode(bytes: Uint8Array): string | undefined {
  try {
    return new TextDecoder('utf-8', { fatal: true, ignoreBOM: true }).decode(bytes);
  } catch {
    return undefined;
  }
}
