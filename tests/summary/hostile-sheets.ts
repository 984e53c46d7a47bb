/** Owns the sheets that mean harm: what an enemy might write, and a sheet that holds it in every place that reaches a page. */

export const HOSTILE = [
  '<script>alert(1)</script>',
  '<img src=x onerror=alert(1)>',
  '"><svg onload=alert(1)>',
  "' onmouseover='alert(1)",
  '</style><script>alert(1)</script>',
  '</title><script>alert(1)</script>',
  '</textarea></noscript></main></body>',
  '<!--',
  '--><b>',
  ']]>',
  '<a href="javascript:alert(1)">x</a>',
  '[x](javascript:alert(1))',
  '![x](javascript:alert(1))',
  '![R1](https://example.org/x.png)',
  '<https://example.org>',
  '<meta http-equiv="refresh" content="0;url=https://example.org">',
  '<base href="https://example.org/">',
  '<iframe srcdoc="<script>alert(1)</script>">',
  '<link rel=stylesheet href=//example.org>',
  '&lt;script&gt;alert(1)&lt;/script&gt;',
  '&#60;script&#62;',
  '&#x3c;img src=x&#x3e;',
  '\\<script>',
  '$' + '{alert(1)}',
  '{{constructor.constructor("alert(1)")()}}',
  '`</script>`',
  '\u202Egnp.exe',
  '\u2066\u202D\u202A',
  '\u0000\u0008\uFFFE',
  '\uD83D',
  'x'.repeat(50_000),
  '<'.repeat(2_000),
];

/** What only a host of Markdown would make something of. */
export const FOR_HOSTS = [
  '@everyone please look, mail me@example.org',
  '#12 GH-12 owner/repo#12 !12 &12 %12 ~12 $12',
  'www.example.org http://example.org ftp://example.org mailto:me@example.org xmpp:me@example.org',
  ':shipit: :+1:',
  '[x]: https://example.org',
  '[x][1]\n\n[1]: https://example.org',
  '![x][1]\n\n[1]: https://example.org/x.png',
  '[^1]\n\n[^1]: a note',
  '| a | b |\n| --- | --- |\n| c | d |',
  'a | b || c',
  '- [x] done',
  '1. one',
  '# head',
  'head\n===',
  '> quoted',
  '    code',
  '```js\ncode',
  '~~struck~~ **bold** _thin_',
  '<details><summary>x</summary>',
  '$x^2$ $$y$$',
  '\\[x\\] \\<b> \\\\<i>',
  'line one  \nline two\\',
  '&copy; &#64;name &#x40;name',
  '<!-- x --!> <?php ?> <![CDATA[x]]>',
  '\u2028# head\u2029- item\u0085> quote',
];

/** What else a browser might run or fetch, and ways around what looks for it. `harmed()` is told of by the page tests. */
export const ODD = [
  '<svg><script>harmed()</script></svg>',
  '<svg><text x="0" y="9" onclick="harmed()">R1</text><a href="javascript:harmed()"><text>V5</text></a></svg>',
  '<svg><foreignObject><img src="x" onerror="harmed()"></foreignObject></svg>',
  '<svg><use href="https://example.org/x.svg#a"/><image href="https://example.org/x.png"/></svg>',
  '<svg><animate onbegin=harmed() attributeName=x dur=1s>',
  '<math><mtext><table><mglyph><style><img src=x onerror=harmed()>',
  '<noscript><p title="</noscript><img src=x onerror=harmed()>">',
  '<body onload=harmed()><main onclick=harmed() tabindex=1 id=x autofocus onfocus=harmed()>',
  '<details open ontoggle=harmed()><summary>x</summary></details>',
  '<input autofocus onfocus=harmed()><video src=x onerror=harmed()><audio src=//example.org/x.mp3 autoplay>',
  '<object data="https://example.org/x"></object><embed src="https://example.org/x"><portal src=//example.org>',
  '<form action="https://example.org"><button formaction="javascript:harmed()">x</button></form>',
  '<template><script>harmed()</script></template><script src="https://example.org/x.js"></script>',
  '<img src="https://example.org/x.png" srcset="https://example.org/y.png 2x" width=99999 height=99999>',
  '<p style="background:url(https://example.org/x.png);position:fixed;inset:0">x</p>',
  '} * { display: none } @import url(https://example.org/x.css); .x { background: url(//example.org/x)',
  '</style><style>body{background:url(https://example.org/x.png)}</style>',
  '/*</style>*/ expression(harmed()) -moz-binding:url(//example.org) url(javascript:harmed())',
  '<a href=" &#14; jav&#x09;ascript:harmed()">x</a> <a href="data:text/html,<script>harmed()</script>">x</a>',
  '[x](<java\tscript:harmed()>) [x](JAVASCRIPT&colon;harmed()) [x](vbscript:harmed) [x](blob:x)',
  '[x](data:text/html;base64,PHNjcmlwdD5oYXJtZWQoKTwvc2NyaXB0Pg==)',
  '[x](file:///etc/passwd) [x](vscode://file/etc/passwd) [x](command:workbench.action.quit) [x](\\\\host\\x)',
  `![R1](data:image/png;base64,${'A'.repeat(60_000)})`,
  '![R1](file:///etc/passwd.png) ![R2](../../../../etc/passwd.png) ![R3](..\\..\\x.png) ![R4](//example.org/x.png)',
  '![R1](%2e%2e/%2e%2e/%2e%2e/x.png) ![R2](x/../../../../x.png) ![R3](/x.png) ![R4](~/x.png) ![R5](x.png?/../x.png)',
  '![R1](photos/x.png "javascript:harmed()") ![<b>R2</b>](photos/"onerror="harmed().png)',
  'ja\u200bva\u200dscript:harmed() \u2060R1\ufeff \u200fV5\u200e \u061cC1 \u00ad',
  '\u202e\u2066R17 = 470R\u2069\u202c \u2067<img src=x onerror=harmed()>\u2069',
  'R1\u0301\u0301\u0301\u0301 \ufdfa \u05d0\u05d1 1 < 2 \u0663',
  '\u2028<script>harmed()</script>\u2029',
  '\uff1cscript\uff1eharmed()\uff1c/script\uff1e \u2039script\u203a',
  '-->\'"--!><svg/onload=harmed()>`$`{{harmed()}}<%=harmed()%>',
];

/** A sheet with the same words in every place that reaches a page. */
export function sheetWith(words: string): string {
  const oneLine = words.replace(/[\r\n]/g, ' ');
  const quoted = JSON.stringify(oneLine);
  return `---
title: ${quoted}
job: ${quoted}
serial: ${quoted}
charge: ${quoted}
warranty: ${quoted}
chassis: ${quoted}
---
# ${oneLine}

## Complaint

${words}

## As found

mains 230 V, ${oneLine}:

- V5 6V6GT: a 331, g2 322, k 19.4 - ${oneLine}
- R17 = 470R 5W ${oneLine}, V5.k to gnd
- {R31: charred} ${oneLine}
- {? ${oneLine}}
- {C14: 4n4} (${oneLine})

![R17 ${oneLine}](${oneLine})

## Work

- C12 = 10uF 25V -> 1uF 50V film (${oneLine})
- V5 = 6V6GT -> ${oneLine}
- [ ] C13 = 1n ${oneLine}

| Ref | Was | Now | ${oneLine} |
| --- | --- | --- | --- |
| C2 | 22uF 25V | 680n 63V | ${oneLine} |

{accept anode-over-dissipation V5: ${oneLine}} {keep C12: ${oneLine}}

## ${oneLine}

${words}

## Owner

${words}

- ${words}

| ${oneLine} |
| --- |
| ${oneLine} |

### ${oneLine}

> ${words}

    ${words}

## Next time

- [ ] ${words}
`;
}
