/** Owns where a part or point is declared: on this sheet if it is, else on its chassis sheet, else on the revision before that. */
import type { Source } from '../bench/model.ts';
import type { Sheet } from '../sheet/model.ts';
import { type Analysis, sheetsOf } from '../shop/shop.ts';
import { findStatement } from './lines.ts';
import { findNamed, findSection } from './subject.ts';

/** Every declaration of what stands at an offset, this sheet's first. */
export function definition(analysis: Analysis, offset: number): readonly Source[] {
  const mention = findNamed(analysis, offset);
  if (mention === undefined) return [];
  const wanted = mention.ref ?? mention.name;
  for (const sheet of sheetsOf(analysis)) {
    const declared = sheet.mentions.filter(
      (each) => each.how === 'declaration' && (each.ref ?? each.name) === wanted && each.ref === mention.ref,
    );
    // What another revision has, and what is only planned, is not what is fitted.
    const fitted = declared.filter(({ span }) => isFitted(sheet, span.start));
    // A free node is declared by its first connection, a part by each line that fits it.
    const found = mention.ref === undefined ? declared.slice(0, 1) : fitted.length > 0 ? fitted : declared;
    if (found.length > 0) return found.map(({ span }) => ({ file: sheet.uri, span }));
  }
  return [];
}

function isFitted(sheet: Sheet, offset: number): boolean {
  return (
    findSection(sheet.sections, offset)?.topic !== 'differs' && findStatement(sheet, offset)?.planned !== true
  );
}
