/** Owns matching a sticky pattern at one offset, without the state that a pattern otherwise carries from call to call. */

export function matchAt(pattern: RegExp, text: string, at: number): RegExpExecArray | null {
  pattern.lastIndex = at;
  return pattern.exec(text);
}

/** How much of the text at the offset the pattern takes; 0 where it does not match. */
export function lengthAt(pattern: RegExp, text: string, at: number): number {
  return matchAt(pattern, text, at)?.[0].length ?? 0;
}
