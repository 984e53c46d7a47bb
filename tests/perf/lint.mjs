// The baseline for a whole folder: a general Markdown linter with all its rules on every file, as its own command line does it.
import { readdirSync } from 'node:fs';
import { join } from 'node:path';
import { lint } from 'markdownlint/promise';

const [folder] = process.argv.slice(2);
const files = readdirSync(folder, { recursive: true })
  .filter((name) => name.endsWith('.md'))
  .map((name) => join(folder, name));
const found = await lint({ files });
const count = Object.values(found).reduce((sum, each) => sum + each.length, 0);
console.log(`${count} findings in ${files.length} files`);
