/**
 * Owns the reckoning of a formula as it is printed beside a figure, by its own signs alone (`·`, `∥`, `√`, `²`, `log10`), so
 * that a test can hold a printed number against what a reader with a pocket calculator gets.
 */

/** The value of a formula for the numbers of its symbols. Throws where it cannot be read. */
export function reckon(formula: string, symbols: ReadonlyMap<string, number>): number {
  const [first = '', ...definitions] = formula.split('; ');
  const known = new Map(symbols);
  // `…; R1 = Ra ∥ Rg, z = (ra + R2) / (µ + 1)`: each may use those before it, or those behind it.
  const named = definitions.flatMap((each) => each.split(', ')).map((each) => each.split(' = '));
  for (let left = [...named]; left.length > 0; ) {
    const later = left.filter(([name = '', text = '']) => {
      try {
        known.set(name, reckonOne(text, known));
        return false;
      } catch {
        return true;
      }
    });
    if (later.length === left.length) throw new Error(`no value for ${later.map(([name]) => name)}`);
    left = later;
  }
  return reckonOne(first, known);
}

function reckonOne(text: string, symbols: ReadonlyMap<string, number>): number {
  const tokens = tokensOf(text, symbols);
  let at = 0;
  const peek = (): string | number | undefined => tokens[at];
  const take = (sign: string): boolean => {
    if (peek() !== sign) return false;
    at++;
    return true;
  };
  const sum = (): number => {
    let value = parallel();
    for (;;) {
      if (take('+')) value += parallel();
      else if (take('−')) value -= parallel();
      else return value;
    }
  };
  const parallel = (): number => {
    let value = product();
    while (take('∥')) value = 1 / (1 / value + 1 / product());
    return value;
  };
  const product = (): number => {
    let value = factor();
    for (;;) {
      if (take('·')) value *= factor();
      else if (take('/')) value /= factor();
      else if (peek() === 'π') value *= factor();
      else return value;
    }
  };
  const factor = (): number => {
    const value = atom();
    return take('²') ? value * value : value;
  };
  const closed = (sign: string): number => {
    const value = sum();
    if (!take(sign)) throw new Error(`no ${sign} in ${text}`);
    return value;
  };
  const atom = (): number => {
    const token = peek();
    at++;
    if (typeof token === 'number') return token;
    if (token === '−') return -factor();
    if (token === '(') return closed(')');
    if (token === '|') return Math.abs(closed('|'));
    if (token === 'π') return Math.PI;
    if (token === '√') return Math.sqrt(factor());
    if (token === 'log10') return Math.log10(factor());
    if (token === 'ln') return Math.log(factor());
    throw new Error(`${String(token)} in ${text}`);
  };
  const value = sum();
  if (at < tokens.length) throw new Error(`${String(peek())} in ${text}`);
  return value;
}

const SIGNS = ['log10', 'ln', '+', '−', '∥', '·', '/', '²', '(', ')', '|', 'π', '√'];

/** Numbers and signs; a letter behind a number and a space is that number's unit. */
function tokensOf(text: string, symbols: ReadonlyMap<string, number>): readonly (string | number)[] {
  const names = [...symbols.keys()].sort((a, b) => b.length - a.length);
  const tokens: (string | number)[] = [];
  for (let rest = text.replaceAll('½', '0.5').trimStart(); rest !== ''; rest = rest.trimStart()) {
    const name = names.find(
      (each) => rest.startsWith(each) && !/^[\p{L}\p{Nd}]/u.test(rest.slice(each.length)),
    );
    const number = /^(\d+(?:\.\d+)?)(?:[ \u00a0](?:V|A|W))?/.exec(rest);
    const sign = SIGNS.find((each) => rest.startsWith(each)) ?? { '-': '−', '*': '·' }[rest.charAt(0)];
    if (name !== undefined) {
      tokens.push(symbols.get(name) ?? Number.NaN);
      rest = rest.slice(name.length);
    } else if (number !== null) {
      tokens.push(Number(number[1]));
      rest = rest.slice(number[0].length);
    } else if (sign !== undefined) {
      tokens.push(sign);
      rest = rest.slice(SIGNS.includes(sign) && rest.startsWith(sign) ? sign.length : 1);
    } else {
      throw new Error(`${rest} in ${text}`);
    }
  }
  return tokens;
}
