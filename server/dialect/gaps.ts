/** Owns stepping over what stands between words of a tag. */

/** Behind any white space at `from`. */
export function skipSpace(text: string, from: number): number {
  let at = from;
  while (isSpace(text, at)) at++;
  return at;
}

function isSpace(text: string, at: number): boolean {
  const code = text.charCodeAt(at);
  return code === 0x20 || (!(code > 0x20 && code < 0x7f) && /\s/.test(text.charAt(at)));
}

/** Behind any white space, commas and semicolons at `from`. */
export function skipGap(text: string, from: number): number {
  let at = from;
  for (;;) {
    const code = text.charCodeAt(at);
    if (code !== 0x2c && code !== 0x3b && !isSpace(text, at)) return at;
    at++;
  }
}
