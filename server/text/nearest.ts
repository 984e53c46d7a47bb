/** Owns finding the one name that is a single letter away from a word: one more, one fewer, one other, or two exchanged. */

/** Looks words up among names, in time that does not grow with their number. */
export function createNearest(names: Iterable<string>): (word: string) => string | undefined {
  // Two words one letter apart share a form with one letter taken out of either (or out of one of them).
  const byForm = new Map<string, string[]>();
  for (const name of names) {
    for (const form of formsOf(name)) {
      const there = byForm.get(form);
      if (there === undefined) byForm.set(form, [name]);
      else there.push(name);
    }
  }
  return (word) => {
    for (const form of formsOf(word)) {
      const near = byForm.get(form)?.find((name) => isOneLetterFrom(word, name));
      if (near !== undefined) return near;
    }
    return undefined;
  };
}

function formsOf(word: string): ReadonlySet<string> {
  const forms = new Set([word]);
  for (let i = 0; i < word.length; i++) forms.add(word.slice(0, i) + word.slice(i + 1));
  return forms;
}

function isOneLetterFrom(a: string, b: string): boolean {
  if (a === b) return false;
  let start = 0;
  while (start < a.length && a[start] === b[start]) start++;
  let endA = a.length;
  let endB = b.length;
  while (endA > start && endB > start && a[endA - 1] === b[endB - 1]) {
    endA--;
    endB--;
  }
  const [restA, restB] = [a.slice(start, endA), b.slice(start, endB)];
  if (restA.length <= 1 && restB.length <= 1) return true;
  return restA.length === 2 && restB.length === 2 && restA[0] === restB[1] && restA[1] === restB[0];
}
