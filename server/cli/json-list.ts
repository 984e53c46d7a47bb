/** Owns printing one list as JSON while it grows: the same letters as the whole object printed at once, with nothing kept. */
import { VERSION } from './json.ts';

/** One item of the list, ready to print. */
export function jsonItem(item: Record<string, unknown>): string {
  return JSON.stringify(item, null, 2).replaceAll('\n', '\n    ');
}

export interface JsonList {
  /** Takes what `jsonItem` made. */
  readonly add: (items: readonly string[]) => void;
  readonly end: () => void;
}

/** `{ "tagstrip": 1, "findings": [ … ] }`, item by item. */
export function printJsonList(name: string, print: (text: string) => void): JsonList {
  let isEmpty = true;
  print(`{\n  "tagstrip": ${VERSION},\n  ${JSON.stringify(name)}: [`);
  return {
    add: (items) => {
      for (const item of items) {
        print(`${isEmpty ? '' : ','}\n    ${item}`);
        isEmpty = false;
      }
    },
    end: () => print(isEmpty ? ']\n}\n' : '\n  ]\n}\n'),
  };
}
