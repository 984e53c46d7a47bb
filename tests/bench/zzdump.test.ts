import { readFileSync } from 'node:fs';
import { it } from 'vitest';
import { readSet } from '../../server/bench/derive/set-readings.ts';
import { expectedFigures } from '../../server/bench/expected.ts';
import { resolveAmplifier } from '../../server/bench/resolve.ts';
import { builtInCatalogue } from '../../server/catalogue/find-valve.ts';
import { sheetOf } from './bench.ts';

it('dump', () => {
  const ch = () =>
    sheetOf(readFileSync('samples/chassis/larch-20.b.tagstrip.md', 'utf8'), 'file:///c.tagstrip.md');
  for (const job of [undefined, '2041-larch-20-hum', '2047-larch-20-hot-valve', '2052-larch-20-tone']) {
    const a =
      job === undefined
        ? resolveAmplifier(ch(), undefined, builtInCatalogue)
        : resolveAmplifier(
            sheetOf(readFileSync(`samples/jobs/${job}.tagstrip.md`, 'utf8'), 'file:///j.tagstrip.md'),
            ch(),
            builtInCatalogue,
          );
    for (const v of a.phases) {
      const t = performance.now();
      const f = expectedFigures(v, a);
      console.log(job, v.phase, f.length, (performance.now() - t).toFixed(1) + ' ms');
      const read = readSet(v.readings.filter((r) => r.set.id === v.verdictSet?.id));
      for (const x of f)
        console.log(
          x.subject,
          x.quantity.value.toPrecision(4),
          x.low?.toPrecision(4),
          x.high?.toPrecision(4),
          x.quantity.unit,
          'set',
          x.set,
          'read',
          read.voltsAt(x.subject)?.known.quantity.value,
          job === undefined && ['B+1', 'V3', 'V3.a'].includes(x.subject)
            ? x.formula +
                ' | ' +
                x.remark +
                ' | ' +
                x.inputs
                  .map(
                    (i) =>
                      i.symbol +
                      '=' +
                      i.known.quantity.value +
                      (i.known.because ? ' [' + i.known.because + ']' : ''),
                  )
                  .join(', ')
            : '',
        );
    }
  }
});
