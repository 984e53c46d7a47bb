import { it } from 'vitest';
import { divideCircuit } from '../../server/bench/circuit-components.ts';
import { readDirectCircuit } from '../../server/bench/circuit-netlist.ts';
import { readSupplies } from '../../server/bench/circuit-supplies.ts';
import { lookAt } from '../../server/bench/roles.ts';
import { amplifierOf } from './bench.ts';

it('dump', () => {
  const a = amplifierOf(`# X

## As found

- T1 = mains 300-0-300V 200mA 50V 50mA 6.3V 4A
- D1, D2 = 1N4007, T1 to B+1
- C1 = 47uF 500V, B+1 to gnd
- D3 = 1N4007, bias1 to T1.2
- C9 = 50uF 100V, bias1 to gnd
- R50 = 10k, bias1 to bias
- VR5 = 100k, bias to gnd, wiper to gnd
- R45, R46 = 220k, V3.g V4.g to bias
- V3, V4 = EL34, k gnd
- R41 = 1k 5W, V3.g2 to B+1
- R42 = 1k 5W, V4.g2 to B+1
- T2 = output 3k4 : 8R, V3.a V4.a, ct B+1
- V1A = 12AX7, a R4 B+2, k R5, g R2 J1
- R4 = 100k
- R5 = 1k5
- R1 = 1M, J1 to gnd
- R60 = 22k, B+1 to B+2
`);
  const v = a.phases[0];
  if (!v) return;
  const look = lookAt(v.parts, v.circuit);
  const c = readDirectCircuit(v, look);
  console.log(
    c.conductors.map((x) => `${x.name} ${x.from} ${x.to} ${x.resistance.quantity.value}`).join('\n'),
  );
  console.log(
    JSON.stringify(c.gaps),
    c.valves.map((x) => [x.ref, x.anode, x.grid, x.cathode, x.screen, x.model?.valve].join(' ')).join('\n'),
  );
  const s = readSupplies(v, look, [a.sheet]);
  console.log(
    s.unsolved,
    s.supplies.map((x) => JSON.stringify(x.element('usual'))),
  );
  const d = divideCircuit(c, s, undefined, v, look, 'supplies');
  console.log(
    d.isPartial,
    d.pieces.map((p) => p.nodes.join(' ')),
  );
});
