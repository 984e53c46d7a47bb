/** Owns the verb `read`: what each sheet was understood to say. */
import { printJsonList } from './json-list.ts';
import { sheetJson } from './read-json.ts';
import { sheetText } from './read-text.ts';
import type { Desk, Verb } from './verb.ts';

export const readVerb: Verb = {
  name: 'read',
  formats: ['text', 'json'],
  options: [],
  does: 'what a sheet was understood to say',
  run: async (desk) => {
    await (desk.call.format === 'json' ? printJson(desk) : printText(desk));
    return 0;
  },
};

async function printJson({ print, analyses }: Desk): Promise<void> {
  const list = printJsonList('sheets', print);
  for await (const { analysis, places } of analyses()) {
    list.add(sheetJson(analysis.sheet, places.path(analysis.sheet.uri)));
  }
  list.end();
}

async function printText({ print, analyses }: Desk): Promise<void> {
  let isFirst = true;
  for await (const { analysis, places } of analyses()) {
    const text = sheetText(analysis.sheet, places.path(analysis.sheet.uri));
    print(isFirst ? text : `\n${text}`);
    isFirst = false;
  }
}
