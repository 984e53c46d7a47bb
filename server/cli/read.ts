/** Owns the verb `read`: what each sheet was understood to say. */
import { jsonItem, printJsonList } from './json-list.ts';
import { sheetJson } from './read-json.ts';
import { sheetText } from './read-text.ts';
import type { SheetVerb } from './verb.ts';

export const readVerb: SheetVerb<string> = {
  name: 'read',
  formats: ['text', 'json'],
  options: [],
  does: 'what a sheet was understood to say',
  part: ({ analysis: { sheet }, places, call }) => {
    const path = places.path(sheet.uri);
    return call.format === 'json' ? jsonItem(sheetJson(sheet, path)) : sheetText(sheet, path);
  },
  run: async ({ call, print }, parts) => {
    if (call.format === 'json') {
      const list = printJsonList('sheets', print);
      for await (const item of parts()) list.add([item]);
      list.end();
      return 0;
    }
    let gap = '';
    for await (const text of parts()) {
      print(`${gap}${text}`);
      gap = '\n';
    }
    return 0;
  },
};
