/** Owns what a terminal takes: colour where it is wanted, lines broken to its width, and nothing of a note for a command of its own. */
import { stripVTControlCharacters, styleText } from 'node:util';

/** Colour is given only on a terminal that wants it; the words never depend on it. */
export interface Terminal {
  readonly colour: boolean;
  readonly width: number;
}

export type Style = Parameters<typeof styleText>[0];
export type Paint = (style: Style, text: string) => string;

export function painter({ colour }: Terminal): Paint {
  return (style, text) => (colour && text !== '' ? styleText(style, text, { validateStream: false }) : text);
}

/** One line of what sheets, and the names of their files, say: without what a terminal would take for a command of its own. */
export function plain(text: string): string {
  return text.replace(/\p{Cc}+/gu, ' ');
}

export function visibleLength(text: string): number {
  return stripVTControlCharacters(text).length;
}

/** Narrower than this nothing can be read. */
const LEAST_WIDTH = 40;

/** Lines that begin with `lead` and go on with `indent`. Breaks at ordinary single spaces only, so a number stays with its unit. */
export function wrap(text: string, lead: string, indent: string, width: number): readonly string[] {
  const room = Math.max(LEAST_WIDTH, width);
  const lines: string[] = [];
  let line = lead;
  let isEmpty = true;
  for (const word of text.split(/ (?! )/)) {
    if (!isEmpty && visibleLength(line) + 1 + visibleLength(word) > room) {
      lines.push(line);
      line = indent + word.trimStart();
    } else line = isEmpty ? line + word : `${line} ${word}`;
    isEmpty = false;
  }
  return [...lines, line];
}
