/** Owns looking at one offset of a text: for a digit, or by a sticky pattern without the state that it carries from call to call. */

export function matchAt(pattern: RegExp, text: string, at: number): RegExpExecArray | null {
  pattern.lastIndex = at;
  return pattern.exec(text);
}

export function isDigit(text: string, at: number): boolean {
  const code = text.charCodeAt(at);
  return code >= 0x30 && code <= 0x39;
}

/** How much of the text at the offset the pattern takes; 0 where it does not match. */
export function lengthAt(pattern: RegExp, text: string, at: number): number {
  return matchAt(pattern, text, at)?.[0].length ?? 0;
}
