/** Owns how a ref or point is named everywhere: `R17`, `V5.a`, `V1.6` for a pin, `B+1`, `gnd`. */
import type { Point } from '../dialect/tree.ts';

export function nameOf(point: Point): string {
  if (point.kind === 'terminal') return `${point.ref.name}.${point.terminal}`;
  return point.name;
}

/** The part that a point belongs to; undefined for a node. */
export function refOf(point: Point): string | undefined {
  if (point.kind === 'terminal') return point.ref.name;
  return point.kind === 'ref' ? point.name : undefined;
}
