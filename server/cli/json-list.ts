/** Owns printing one list as JSON while it grows: the same letters as the whole object printed at once, with nothing kept. */
import { VERSION } from './json.ts';

export interface JsonList {
  readonly add: (item: Record<string, unknown>) => void;
  readonly end: () => void;
}

/** `{ "tagstrip": 1, "findings": [ … ] }`, item by item. */
export function printJsonList(name: string, print: (text: string) => void): JsonList {
  let isEmpty = true;
  print(`{\n  "tagstrip": ${VERSION},\n  ${JSON.stringify(name)}: [`);
  return {
    add: (item) => {
      const indented = JSON.stringify(item, null, 2).replaceAll('\n', '\n    ');
      print(`${isEmpty ? '' : ','}\n    ${indented}`);
      isEmpty = false;
    },
    end: () => print(isEmpty ? ']\n}\n' : '\n  ]\n}\n'),
  };
}
