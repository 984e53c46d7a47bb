/**
 * Owns how the pages look: a ruled workshop sheet in the reader's own colours, light or dark, in the editor's panel in
 * the editor's, on paper in black. Nothing is told by colour alone. It must not know what stands on a page.
 */

import { PLOT_STYLE } from './plot/drawing.ts';

/** Colour pairs here have a contrast of 4.5 or more; tests/summary/style.test.ts computes it. */
export const COLOURS = {
  light: {
    paper: '#ffffff',
    ink: '#1c1b19',
    quiet: '#57534b',
    rule: '#a8a296',
    tint: '#f3f0e9',
    fill: '#6f6a5f',
    alarm: '#8f1d14',
  },
  dark: {
    paper: '#1b1a18',
    ink: '#ece8df',
    quiet: '#b5aea1',
    rule: '#5f5a50',
    tint: '#282622',
    fill: '#a39c8d',
    alarm: '#ffaa9c',
  },
} as const;

function variables(colours: Readonly<Record<string, string>>, important = ''): string {
  return Object.entries(colours)
    .map(([name, colour]) => `--${name}:${colour}${important}`)
    .join(';');
}

/** The editor's own colours where a page stands in its panel; its quiet texts may be too faint for small print. */
const EDITOR = [
  '--paper:var(--vscode-editor-background)',
  '--ink:var(--vscode-editor-foreground)',
  '--quiet:var(--vscode-editor-foreground)',
  '--rule:color-mix(in srgb,var(--ink) 38%,var(--paper))',
  '--tint:color-mix(in srgb,var(--ink) 5%,var(--paper))',
  '--fill:color-mix(in srgb,var(--ink) 62%,var(--paper))',
].join(';');

export type Paper = 'A4' | 'Letter';

/** The style sheet of a page for a reader, on the shop's paper where it says one. */
export function styleFor(reader: 'bench' | 'customer' | 'label', paper?: Paper): string {
  const page = reader === 'label' ? '@page{margin:10mm}' : '';
  const size = paper === undefined ? '' : `@page{size:${paper}}`;
  return `${STYLE}${reader === 'bench' ? PLOT_STYLE : ''}${reader === 'label' ? LABEL : ''}${page}${size}`;
}

const STYLE = `
body{${variables(COLOURS.light)}}
@media (prefers-color-scheme:dark){body{${variables(COLOURS.dark)}}}
body.vscode-light{${variables(COLOURS.light)};${EDITOR}}
body.vscode-dark{${variables(COLOURS.dark)};${EDITOR}}
body.vscode-high-contrast{${variables(COLOURS.dark)};${EDITOR};--rule:var(--vscode-contrastBorder,#ffffff);--tint:var(--paper);--fill:var(--ink)}
body.vscode-high-contrast-light{${variables(COLOURS.light)};${EDITOR};--rule:var(--vscode-contrastBorder,#000000);--tint:var(--paper);--fill:var(--ink)}
*{box-sizing:border-box}
html{-webkit-text-size-adjust:100%}
body{margin:0;padding:0;background:var(--paper);color:var(--ink);font:15px/1.5 "Segoe UI",system-ui,-apple-system,"Liberation Sans","DejaVu Sans",sans-serif;overflow-wrap:anywhere}
main{max-width:62rem;margin:0 auto;padding:1.6rem 1.4rem 3rem}
body.customer main{max-width:46rem;font-size:16px}
header{border-top:6px solid var(--ink);padding-top:.6rem;margin-bottom:1.4rem}
.kind{margin:0;font-size:.86em;letter-spacing:.04em;color:var(--quiet)}
h1{margin:.1rem 0 .8rem;font-size:1.75em;line-height:1.2;font-weight:650}
h2{margin:1.9rem 0 .6rem;padding-bottom:.2rem;border-bottom:2px solid var(--ink);font-size:1.1em;line-height:1.3}
h3{margin:1rem 0 .3rem;font-size:1em}
p{margin:.35rem 0}
ul,ol{margin:.35rem 0;padding-left:1.25rem}
li{margin:.2rem 0}
pre{white-space:pre-wrap;margin:.4rem 0;padding:.5rem;background:var(--tint);font-size:.9em}
.facts{display:flex;flex-wrap:wrap;margin:0;border-top:1px solid var(--rule);border-left:1px solid var(--rule)}
.facts div{flex:1 1 9.5rem;padding:.3rem .6rem .35rem;border-right:1px solid var(--rule);border-bottom:1px solid var(--rule)}
dt{font-size:.8em;color:var(--quiet)}
dd{margin:0;font-weight:600}
.unseen{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%);white-space:nowrap;padding:0}
.lead{font-weight:600}
.small,.note,.place,.because,.conditions,.gloss{font-size:.86em;color:var(--quiet)}
.note,.place,.because,.conditions{font-weight:400}
.gloss{display:block;font-weight:400}
.place{white-space:nowrap}
p.place{text-align:right;break-before:avoid}
.prose{border-left:4px solid var(--rule);padding-left:.9rem;max-width:44rem}
body.customer .prose{border-left:0;padding-left:0}
table{width:100%;border-collapse:collapse;margin:.5rem 0 1rem}
table{overflow-wrap:break-word}
td.long,th.long,dd.long{overflow-wrap:anywhere}
td.long,tbody th.long{min-width:7em}
caption{text-align:left;padding:.3rem 0 .4rem}
.stress caption{font-size:.86em;color:var(--quiet)}
.conditions{display:block}
body.customer td{min-width:7.2em}body.customer thead th{white-space:nowrap}
th,td{padding:.28rem .6rem .28rem 0;border-bottom:1px solid var(--rule);text-align:left;vertical-align:top}
thead th{border-bottom:2px solid var(--rule);font-size:.86em;vertical-align:bottom}
tr.told>*{border-bottom:0}
tr.effect td{padding-top:0;padding-left:1rem;font-size:.93em}
tr.effect p{margin:.1rem 0}
tbody th{font-weight:600;min-width:6.5em}
th.number,td.number{text-align:right;padding-right:1.1rem;font-variant-numeric:tabular-nums}
td.place,th.place{padding-right:0;text-align:right;white-space:normal;min-width:4.5em}
td .note,th .note{display:block}
.readings td:not(.number) .note,tr.group .note{display:inline}
.number .note{white-space:nowrap}.number .note.long{white-space:normal}
.bar{display:block;overflow:visible;width:100%;max-width:15rem;height:.85rem;margin:.2rem 0 .15rem}
.track{fill:none;stroke:var(--rule);stroke-width:1;vector-effect:non-scaling-stroke}
.fill{fill:var(--fill)}
.over{fill:var(--alarm)}
.limit{stroke:var(--ink);stroke-width:2;vector-effect:non-scaling-stroke}
.band{stroke:var(--ink);stroke-width:2;stroke-dasharray:3 2;vector-effect:non-scaling-stroke}
.findings,.tasks{list-style:none;padding:0}
.finding{border:1px solid var(--rule);border-left:5px solid var(--rule);padding:.35rem .7rem;margin:.4rem 0;background:var(--tint)}
.finding.error,.finding.warning{border-left-color:var(--alarm)}
.finding.error{border-left-width:9px}
.finding p{margin:.15rem 0}
.error>p>.severity,.warning>p>.severity{color:var(--alarm)}
.cautions li{margin:.35rem 0}
.warn{border:2px solid var(--ink);padding:.35rem .7rem;margin:0 0 1rem}
tr.group th{padding-top:.7rem;font-size:.93em;border-bottom:1px solid var(--ink)}
figure{margin:.8rem 0 1.2rem}
figcaption{font-weight:600}
a{color:inherit}
@media (max-width:46rem){main{padding:1rem .9rem 2rem}th,td{padding-right:.45rem}th.number,td.number{padding-right:.6rem}body.customer :is(th,td):not(:last-child){padding-right:.9rem}.readings{font-size:.93em}tbody th{min-width:0}td.place,th.place{min-width:0}.number .note{white-space:normal}}
@media (max-width:40rem){html:not([lang^=en]) :is(td:not(.number,.place),thead th){overflow-wrap:anywhere;hyphens:auto}}
@media (max-width:34rem){main{padding:.8rem .6rem 1.5rem}th,td,th.number,td.number{padding-right:.3rem}table{font-size:.86em}body.customer td{min-width:0}}
@media (forced-colors:active){.fill,.over{fill:CanvasText}.track,.limit,.band{stroke:CanvasText}}
@page{margin:15mm 14mm}
@media print{
body,body[class]{${variables(COLOURS.light, ' !important')};font-size:10pt;line-height:1.4;background:#fff}
main,body.customer main{max-width:none;padding:0;font-size:inherit}
h1{font-size:17pt}h2{font-size:12pt;margin-top:5mm}
h2,h3,caption,thead,figcaption{break-after:avoid}
table+p.small,table+p.small+p.small{break-before:avoid}
p:has(+table),p:has(+figure),p:has(+ul){break-after:avoid;break-inside:avoid}
.facts{margin-right:1px}.facts div{flex-basis:8rem}body.customer .facts div{flex-basis:7rem}
body.customer main{font-size:9.5pt;line-height:1.3}body.customer :is(td,th){padding-top:.18rem;padding-bottom:.18rem}body.customer ul+p,body.bench section:last-of-type{break-before:avoid}body.customer section:last-of-type li:nth-last-child(-n+4){break-after:avoid}body.customer h2{margin:3mm 0 1.2mm}body.customer h2{font-size:11.5pt}body.customer li{margin:.4mm 0}body.customer p{margin:.6mm 0}
.picture{margin:2mm 0 3mm;max-width:none;display:grid;grid-template-columns:134mm 1fr;grid-template-rows:repeat(12,auto) 1fr;column-gap:4mm}figcaption{grid-column:1/-1}.picture .plot{grid-column:1;grid-row:2/-1;width:134mm}.picture .small{grid-column:2;margin:.6mm 0}
.readings th.number,.readings td.number{padding-right:.5rem}
tr,li,.facts,.finding,svg{break-inside:avoid}
tr.told,tr.group{break-after:avoid}
tbody:first-of-type tr:first-child{break-before:avoid}
caption,table:not(.stress,:has(tr.effect,tbody tr:nth-child(9),tbody:nth-of-type(3))){break-inside:avoid}
thead{display:table-header-group}
p{orphans:3;widows:3}
.bar,.finding{print-color-adjust:exact;-webkit-print-color-adjust:exact}
.finding{background:none}
}
`;

/** A slip of 90 by 50 mm to be cut out, longer where there is more to say. */
const LABEL = `
body.label main{width:90mm;min-height:50mm;max-width:none;margin:0;padding:2.5mm 3mm;border:1px solid var(--ink);font-size:8.5pt;line-height:1.3}
body.label header{border-top-width:3px;padding-top:.8mm;margin-bottom:1mm}
body.label .kind{display:none}
body.label h1{font-size:11pt;margin:0 0 .8mm}
body.label h2{font-size:8.5pt;margin:1.2mm 0 0;padding:0;border:0}
body.label p{margin:.6mm 0}
body.label ul{margin:0;padding-left:3.5mm}
body.label li{margin:.2mm 0}
body.label .facts div{flex:1 1 auto;padding:.4mm 1mm}
body.label dt{font-size:6.5pt;white-space:nowrap}
body.label dd{white-space:nowrap}
body.label dd.long{white-space:normal}
body.label .warn{border-width:1px;padding:.8mm 1.2mm;margin:1.2mm 0 0}
@media screen{body.label main{margin:1rem}}
@media print{body.label main{width:90mm;padding:2.5mm 3mm;font-size:8.5pt}body.label h1{font-size:11pt}}
`;
