/** Owns which line of each open sheet is being typed: the last one changed, until the caret leaves it, the sheet is saved or closed. */
import type { TextDocumentContentChangeEvent } from 'vscode-languageserver';

export interface Typing {
  /** The line being typed, from 0; undefined where none is. */
  readonly line: (uri: string) => number | undefined;
  readonly changed: (uri: string, changes: readonly TextDocumentContentChangeEvent[]) => void;
  /** The caret stands on a line now; whether a line that was being typed is thereby done. */
  readonly caretOn: (uri: string, line: number) => boolean;
  /** Whether a line was being typed until now. */
  readonly done: (uri: string) => boolean;
  readonly forget: (uri: string) => void;
}

export function createTyping(): Typing {
  const changedLines = new Map<string, number>();
  const carets = new Map<string, number>();
  const line = (uri: string) => {
    const changed = changedLines.get(uri);
    const caret = carets.get(uri);
    // A change that is not at the caret (a quick fix, an undo) is nobody's half-typed line.
    return caret === undefined || caret === changed ? changed : undefined;
  };
  return {
    line,
    changed: (uri, changes) => {
      const at = lastLineOf(changes);
      if (at === undefined) changedLines.delete(uri);
      else changedLines.set(uri, at);
    },
    caretOn: (uri, at) => {
      const before = line(uri);
      carets.set(uri, at);
      if (before === undefined || before === at) return false;
      changedLines.delete(uri);
      return true;
    },
    done: (uri) => {
      const was = line(uri) !== undefined;
      changedLines.delete(uri);
      return was;
    },
    forget: (uri) => {
      changedLines.delete(uri);
      carets.delete(uri);
    },
  };
}

/** The line on which the newest change ends, as the text stands afterwards; none where the whole text was replaced. */
function lastLineOf(changes: readonly TextDocumentContentChangeEvent[]): number | undefined {
  const last = changes.at(-1);
  if (last === undefined || !('range' in last)) return undefined;
  return last.range.start.line + (last.text.match(/\r\n|\r|\n/g)?.length ?? 0);
}
