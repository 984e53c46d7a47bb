/** Owns how tests fill in snippets and templates as the editor would. */

/**
 * The text with every placeholder at what stands in it, or at what is given for a `?` in turn; a place without words stays empty.
 * One that the editor would not know either is refused.
 */
export function fillIn(body: string, readings: readonly string[] = []): string {
  let next = 0;
  const filled = body.replace(
    /\$\{(\d+):((?:\\[\\$}]|[^\\$}])*)\}|\$(\d+)/g,
    (_, _place, words: string | undefined) => {
      const plain = (words ?? '').replace(/\\([\\$}])/g, '$1');
      return plain === '?' ? (readings[next++] ?? plain) : plain;
    },
  );
  if (filled.includes('${')) throw new Error(`a placeholder is not closed: ${filled}`);
  return filled;
}
