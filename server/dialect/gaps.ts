/** Owns stepping over what stands between words of a tag. */

/** Behind any white space at `from`. */
export function skipSpace(text: string, from: number): number {
  let at = from;
  while (/\s/.test(text.charAt(at))) at++;
  return at;
}

/** Behind any white space, commas and semicolons at `from`. */
export function skipGap(text: string, from: number): number {
  let at = from;
  while (/[\s,;]/.test(text.charAt(at))) at++;
  return at;
}
