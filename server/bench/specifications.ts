/** Owns how two specifications of one part compare, and how the second adds to the first. */
import type { Specification } from '../dialect/tree.ts';

/** Whether it says what the part is, not only how it is rated. */
export function saysWhat({ values, type, windings }: Specification): boolean {
  return values.length > 0 || type !== undefined || windings.length > 0;
}

/** A second line on the same part adds to the first; where both say the same thing the second counts. */
export function mergeSpecifications(first: Specification, second: Specification): Specification {
  const restated = new Set(second.ratings.map(({ of }) => of));
  const type = second.type ?? first.type;
  const fuseSpeed = second.fuseSpeed ?? first.fuseSpeed;
  return {
    span: second.span,
    values: second.values.length > 0 ? second.values : first.values,
    ratings: [...first.ratings.filter(({ of }) => !restated.has(of)), ...second.ratings],
    kinds: second.kinds.length > 0 ? second.kinds : first.kinds,
    windings: second.windings.length > 0 ? second.windings : first.windings,
    ...(type && { type }),
    ...(fuseSpeed && { fuseSpeed }),
  };
}

/** Whether two lines of one phase fit different things. */
export function contradict(first: Specification, second: Specification): boolean {
  if (first.type && second.type && normal(first.type.text) !== normal(second.type.text)) return true;
  if (first.values.length === 0 || second.values.length === 0) return false;
  return spellings(first) !== spellings(second);
}

/** Whether they say another value, type or winding, or one of them none. */
export function differ(first: Specification, second: Specification): boolean {
  const said = (of: Specification) =>
    [
      normal(of.type?.text ?? ''),
      spellings(of),
      ...of.windings.map(({ volts, impedance }) =>
        [volts, impedance].map((each) => (each?.kind === 'value' ? each.value.quantity.value : '')).join(),
      ),
    ].join(' ');
  return said(first) !== said(second);
}

function spellings({ values }: Specification): string {
  return values
    .map((each) =>
      each.kind === 'value' ? `${each.value.quantity.value}${each.value.quantity.unit}` : each.spelling,
    )
    .join(' ');
}

function normal(text: string): string {
  return text.replace(/\s+/g, '').toUpperCase();
}
