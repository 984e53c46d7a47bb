/** Owns the long sheets that speed is measured on: a job written as jobs are, half of it tables, repeated stage by stage. */

/** A sheet of about `lines` lines. Each stage has its own refs, so nothing repeats but the shape. */
export function longSheet(lines: number): string {
  const out = [
    '---',
    'job: 1',
    'mains: 230 V 50 Hz',
    '---',
    '# A long job',
    '',
    '## Complaint',
    '',
    'It hums.',
    '',
  ];
  for (let stage = 1; out.length < lines; stage++) out.push(...stageLines(stage));
  return `${out.slice(0, lines).join('\n')}\n`;
}

function stageLines(n: number): string[] {
  const v = n;
  const r = n * 10;
  const volts = (base: number) => (base + (n % 7)).toFixed(1);
  return [
    `## As found ${n}`,
    '',
    `Mains {mains: 230 V}, dummy load. The stage around {V${v}} was noisy, so R${r} was looked at first.`,
    '',
    `- V${v} = 12AX7, a R${r} B+${n}, k R${r + 1}`,
    `- R${r} = 100k 0.5W carbon film`,
    `- R${r + 1} = 1k5 0.5W`,
    `- C${r} = 22n 630V film, V${v}.a to V${v + 1}.g`,
    `- C${r + 1} = 22uF 25V electrolytic, across R${r + 1}`,
    `- B+${n}: ${volts(278)} V`,
    '',
    '| Valve | a | g | k |',
    '| ----- | - | - | - |',
    `| V${v} | ${volts(175)} | 0 | 1.4${n % 10} |`,
    '',
    '| Ref | Value | Rating | Kind |',
    '| --- | ----- | ------ | ---- |',
    `| R${r + 2} | 1M | 0.5W | film |`,
    `| R${r + 3} | 68k | 0.5W | film |`,
    `| C${r + 2} | 100n | 400V | film |`,
    `| C${r + 3} | 47uF | 450V | electrolytic |`,
    '',
    'A plain paragraph about what was heard, what was touched and what stayed, with *some emphasis* and a `code` word,',
    'going on over a second line as notes do.',
    '',
  ];
}
