/** Owns where a part or point is declared: on this sheet if it is, else on its chassis sheet. */
import type { Source } from '../bench/model.ts';
import type { Analysis } from '../shop/shop.ts';
import { findNamed } from './subject.ts';

/** Every declaration of what stands at an offset, this sheet's first. */
export function definition(analysis: Analysis, offset: number): readonly Source[] {
  const mention = findNamed(analysis, offset);
  if (mention === undefined) return [];
  const sheets = [analysis.sheet, ...(analysis.chassis === undefined ? [] : [analysis.chassis])];
  const wanted = mention.ref ?? mention.name;
  for (const sheet of sheets) {
    const declared = sheet.mentions.filter(
      (each) => each.how === 'declaration' && (each.ref ?? each.name) === wanted && each.ref === mention.ref,
    );
    // A free node is declared by its first connection, a part by each line that fits it.
    const found = mention.ref === undefined ? declared.slice(0, 1) : declared;
    if (found.length > 0) return found.map(({ span }) => ({ file: sheet.uri, span }));
  }
  return [];
}
