import { readFileSync } from 'node:fs';
import { it } from 'vitest';
import { resolveAmplifier } from '../../server/bench/resolve.ts';
import { builtInCatalogue } from '../../server/catalogue/find-valve.ts';
import { sheetOf } from './bench.ts';
it('dump', () => {
  const a = resolveAmplifier(sheetOf(readFileSync('samples/chassis/larch-20.b.tagstrip.md','utf8'),'file:///c.tagstrip.md'), undefined, builtInCatalogue);
  for (const v of a.phases) {
    console.log(v.phase, v.verdictSet?.id, v.verdictSet?.mains);
    for (const p of v.parts.values()) console.log(p.ref, p.class, p.kinds.join(','), p.type?.valve?.type ?? '', JSON.stringify([...p.terminals]), v.roles.get(p.ref)?.role, p.specification?.windings.length ? JSON.stringify(p.specification.windings.map(w=>({...w,span:undefined}))):'' );
    console.log(v.circuit.nodes.join(' '));
    for (const r of v.readings) console.log(r.at, r.node, r.quantity, r.value.quantity.value, r.second?.quantity.value, r.set.id, r.normal);
  }
});
