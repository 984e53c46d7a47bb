/** Owns where a part or point is first declared: on the oldest chassis sheet that has it, else on this sheet. Where it is fitted now is its definition. */
import type { Source } from '../bench/model.ts';
import type { Analysis } from '../shop/shop.ts';
import { definition } from './definition.ts';
import { findTarget, namesMeant } from './named-places.ts';

/** Its first declarations, all on one sheet; those of its definition where no chassis sheet has it. */
export function declaration(analysis: Analysis, offset: number): readonly Source[] {
  const target = findTarget(analysis, offset);
  if (target === undefined) return [];
  const { follows, chassis } = analysis;
  for (const sheet of [...follows, ...(chassis === undefined ? [] : [chassis])]) {
    const declared = sheet.mentions.filter(({ how }) => how === 'declaration');
    const names =
      target.kind === 'point'
        ? new Set([target.name])
        : namesMeant(
            target.name,
            declared.flatMap(({ ref }) => ref ?? []),
            () => false,
          );
    const found = declared.filter(({ name, ref }) =>
      target.kind === 'part' ? ref !== undefined && names.has(ref) : names.has(name),
    );
    // A node of the circuit is declared by its first connection alone.
    const first = target.kind === 'point' ? found.slice(0, 1) : found;
    if (first.length > 0) return first.map(({ span }) => ({ file: sheet.uri, span }));
  }
  return definition(analysis, offset);
}
