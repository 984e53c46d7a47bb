/** Owns the large workshop that whole-folder work is measured on: healthy and sick units as the corpus draws them, on their chassis sheets. */
import { mkdirSync, mkdtempSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { healthySheets } from '../corpus/healthy.ts';
import { sickSheets } from '../corpus/sick.ts';

export interface WrittenSheet {
  /** Within the folder: `jobs/1042.tagstrip.md`. */
  readonly path: string;
  readonly text: string;
}

/** Jobs that differ in every reading, `count` sheets with the chassis sheets under them. */
export function manySheets(count: number): readonly WrittenSheet[] {
  const chassis: WrittenSheet[] = [];
  const jobs: string[] = [];
  for (const { text } of sickSheets(2)) jobs.push(text);
  for (let round = 0; chassis.length + jobs.length < count; round++) {
    for (const [which, sheet] of healthySheets(1000 + 1000 * round).entries()) {
      const name = `unit-${which}.tagstrip.md`;
      if (sheet.chassis !== undefined && round === 0) {
        chassis.push({ path: `chassis/${name}`, text: sheet.chassis });
      }
      jobs.push(sheet.text.replace('../chassis/unit.tagstrip.md', `../chassis/${name}`));
    }
  }
  return [...chassis, ...jobs.map((text, i) => ({ path: `jobs/${1000 + i}.tagstrip.md`, text }))].slice(
    0,
    count,
  );
}

/** Writes them into a new folder for temporary things; whoever asked removes it. */
export function writeManySheets(count: number): string {
  const folder = mkdtempSync(join(tmpdir(), 'tagstrip-many-'));
  for (const { path, text } of manySheets(count)) {
    const file = join(folder, path);
    mkdirSync(dirname(file), { recursive: true });
    writeFileSync(file, text);
  }
  return folder;
}
