/**
 * Owns the page inside the summary panel: its frame, and the one script that puts a summary into it. It renders no summary, loads
 * nothing, and talks to nobody but the panel.
 */

export type Reader = 'bench' | 'customer' | 'label';

/** What the panel shows; the page keeps it over a reload of the window. */
export interface Shown {
  readonly sheet: string;
  readonly reader: Reader;
  readonly withReadings: boolean;
}

/** What the panel tells its page. */
export type ToPage =
  /** A summary as the server printed it: a whole page of its own. */
  | { readonly kind: 'summary'; readonly html: string; readonly shown: Shown }
  | { readonly kind: 'none'; readonly why: string; readonly shown: Shown };

/** What the page tells its panel. All of it is to be doubted. */
export type FromPage =
  | { readonly kind: 'ready' }
  | { readonly kind: 'line'; readonly line: number }
  | { readonly kind: 'photo'; readonly path: string }
  | { readonly kind: 'choice'; readonly reader: Reader; readonly withReadings: boolean };

const CHOICES: readonly (readonly [Reader, string])[] = [
  ['bench', 'Bench'],
  ['customer', 'Customer'],
  ['label', 'Chassis label'],
];

/**
 * The page before anything is shown. Only its own script and styles may run, known by a number that is used once; nothing may be
 * loaded from anywhere.
 */
export function panelPage(nonce: string): string {
  const choices = CHOICES.map(
    ([reader, name]) => `<label><input type="radio" name="reader" value="${reader}"> ${name}</label>`,
  );
  return `<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'nonce-${nonce}'; script-src 'nonce-${nonce}'">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>Summary</title>
<style nonce="${nonce}" id="summary-style"></style>
<style nonce="${nonce}">${FRAME}</style>
</head>
<body>
<form id="choices" aria-label="Summary">
<fieldset><legend>For</legend>${choices.join('')}</fieldset>
<label><input type="checkbox" name="withReadings"> Readings before and after</label>
<p id="how">Click a line, or press Enter on it, to go to its place in the sheet; up and down arrows go from line to line.</p>
</form>
<p id="said" role="status"></p>
<main aria-describedby="how"></main>
<script nonce="${nonce}">(${runPage.toString()})()</script>
</body>
</html>
`;
}

/** The frame's own look, in the editor's colours. The summary's look comes with the summary. */
const FRAME = `
body{padding:0}
#choices{position:sticky;top:0;z-index:1;display:flex;flex-wrap:wrap;gap:.2rem 1.2rem;align-items:center;padding:.35rem .9rem;font:13px/1.4 var(--vscode-font-family,sans-serif);background:var(--vscode-editor-background);color:var(--vscode-editor-foreground);border-bottom:1px solid var(--vscode-contrastBorder,var(--vscode-panel-border,currentColor))}
#choices fieldset{display:flex;flex-wrap:wrap;gap:.2rem .9rem;border:0;margin:0;padding:0}
#choices legend{float:left;padding:0;margin-right:.9rem}
#choices label{white-space:nowrap}
#choices input{margin:0;vertical-align:-2px;accent-color:var(--vscode-focusBorder)}
#choices input:focus-visible{outline:1px solid var(--vscode-focusBorder);outline-offset:2px}
#choices label:has(:disabled){opacity:.6}
#how{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%)}
#said{margin:0;padding:1rem .9rem;font-family:var(--vscode-font-family,sans-serif)}
#said:empty{display:none}
main a{text-decoration:underline}
main [data-line]{cursor:pointer;scroll-margin-top:3rem}
main section{scroll-margin-top:3rem}
main [data-line]:hover{text-decoration:underline;text-decoration-thickness:1px;text-underline-offset:3px;text-decoration-color:var(--rule)}
main [data-line]:focus-visible{outline:2px solid var(--vscode-focusBorder);outline-offset:1px}
@media print{#choices,#said{display:none}}
`;

// What is used of a web page. The project's types know none.
interface PageNode {
  readonly nodeType: number;
  readonly nodeName: string;
  readonly childNodes: Iterable<PageNode>;
  nodeValue: string | null;
  readonly isEqualNode: (other: PageNode) => boolean;
  readonly replaceWith: (other: PageNode) => void;
  readonly remove: () => void;
}
interface PageElement extends PageNode {
  readonly attributes: Iterable<{ readonly name: string; readonly value: string }>;
  readonly classList: {
    readonly add: (...names: string[]) => void;
    readonly remove: (...names: string[]) => void;
  };
  readonly className: string;
  readonly dataset: Readonly<Record<string, string | undefined>>;
  /** As it is seen: what stands below or beside another is apart. */
  readonly innerText: string;
  readonly isConnected: boolean;
  readonly elements: Readonly<Record<string, { value: string; checked: boolean; disabled: boolean }>>;
  lang: string;
  tabIndex: number;
  textContent: string | null;
  readonly closest: (selector: string) => PageElement | null;
  readonly focus: () => void;
  readonly getAttribute: (name: string) => string | null;
  readonly hasAttribute: (name: string) => boolean;
  readonly insertBefore: (node: PageNode, before: PageNode | null) => void;
  readonly querySelector: (selector: string) => PageElement | null;
  readonly querySelectorAll: (selector: string) => Iterable<PageElement>;
  readonly removeAttribute: (name: string) => void;
  readonly scrollIntoView: (how: { readonly block: 'nearest' | 'start' }) => void;
  readonly setAttribute: (name: string, value: string) => void;
}
interface PageDocument {
  readonly body: PageElement;
  readonly documentElement: PageElement;
  readonly title: string;
  readonly querySelector: (selector: string) => PageElement | null;
  readonly addEventListener: <Event>(name: string, listener: (event: Event) => void) => void;
  readonly importNode: (node: PageNode, deep: boolean) => PageNode;
}
interface KeyPress {
  readonly key: string;
  readonly target: PageElement;
  readonly preventDefault: () => void;
}
declare const document: PageDocument;
declare const window: {
  readonly scrollY: number;
  readonly scrollTo: (x: number, y: number) => void;
  readonly getSelection: () => { readonly isCollapsed: boolean } | null;
  readonly addEventListener: <Event>(name: string, listener: (event: Event) => void) => void;
  readonly requestAnimationFrame: (done: () => void) => void;
};
declare const DOMParser: new () => { parseFromString: (text: string, type: 'text/html') => PageDocument };
declare const acquireVsCodeApi: () => {
  readonly postMessage: (message: FromPage) => void;
  readonly getState: () => (Shown & { readonly scroll?: number }) | undefined;
  readonly setState: (state: Shown & { readonly scroll: number }) => void;
};

/**
 * All that runs in the panel. It is written into the page as text, so it may use nothing but its own and the page's names.
 *
 * A new summary is not put in the old one's place: only what differs is changed, so that nothing flickers, what is looked at
 * stays where it is, and what has the focus keeps it.
 */
function runPage(): void {
  const api = acquireVsCodeApi();
  const get = (selector: string): PageElement => {
    const found = document.querySelector(selector);
    if (found === null) throw new Error(`the page has no ${selector}`);
    return found;
  };
  const [choices, said, main, style] = [get('#choices'), get('#said'), get('main'), get('#summary-style')];
  const asked = api.getState();
  let scroll = asked?.scroll ?? 0;
  let shown: Shown | undefined = asked;
  let isFirst = true;
  /** Of the lines only one is a stop of the tab key; arrows go on from there. */
  let stop: PageElement | undefined;

  const isElement = (node: PageNode): node is PageElement => node.nodeType === 1;

  const patch = (old: PageNode, now: PageNode): void => {
    if (old.isEqualNode(now)) return;
    if (old.nodeName !== now.nodeName) {
      old.replaceWith(document.importNode(now, true));
      return;
    }
    if (!isElement(old) || !isElement(now)) {
      old.nodeValue = now.nodeValue;
      return;
    }
    for (const { name } of [...old.attributes]) if (!now.hasAttribute(name)) old.removeAttribute(name);
    for (const { name, value } of now.attributes)
      if (old.getAttribute(name) !== value) old.setAttribute(name, value);
    patchInside(old, now);
  };
  /** What is equal at both ends stays; between them the old become the new one by one. */
  const patchInside = (old: PageElement, now: PageElement): void => {
    const [before, after] = [[...old.childNodes], [...now.childNodes]];
    const areEqual = (a: PageNode | undefined, b: PageNode | undefined): boolean =>
      a !== undefined && b !== undefined && a.isEqualNode(b);
    while (areEqual(before[0], after[0])) {
      before.shift();
      after.shift();
    }
    let end: PageNode | null = null;
    while (areEqual(before.at(-1), after.at(-1))) {
      end = before.pop() ?? end;
      after.pop();
    }
    for (const [i, node] of after.entries()) {
      const was = before[i];
      if (was === undefined) old.insertBefore(document.importNode(node, true), end);
      else patch(was, node);
    }
    for (const node of before.slice(after.length)) node.remove();
  };

  const keep = (): void => {
    if (shown !== undefined) api.setState({ ...shown, scroll });
  };
  const setChoices = ({ reader, withReadings }: Shown): void => {
    const { elements } = choices;
    if (elements.reader !== undefined) elements.reader.value = reader;
    if (elements.withReadings === undefined) return;
    elements.withReadings.checked = withReadings;
    elements.withReadings.disabled = reader !== 'customer';
  };
  /** What a screen reader says when a line has the focus: by itself it would only say what kind of thing that is. */
  const nameOf = (line: PageElement): string => {
    // biome-ignore lint/performance/useDomNodeTextContent: cells and notes must not run into one another
    const { innerText } = line.querySelector('figcaption') ?? line;
    return innerText.trim().replace(/\s*[\t\n]\s*/g, ', ');
  };
  const setStop = (next: PageElement | undefined): void => {
    if (stop?.isConnected === true) {
      stop.tabIndex = -1;
      for (const name of ['aria-label', 'role']) stop.removeAttribute(name);
    }
    stop = next;
    if (stop === undefined) return;
    stop.tabIndex = 0;
    stop.setAttribute('aria-label', nameOf(stop));
    // A paragraph may not be named; a group of words may.
    if (stop.nodeName === 'P') stop.setAttribute('role', 'group');
  };
  const linesOf = (root: PageElement): readonly PageElement[] => [...root.querySelectorAll('[data-line]')];

  const show = (html: string): void => {
    // Once in a summary; taken out before it is read, for a style of its own has no place in the frame.
    let look = '';
    const rest = html.replace(/<style>([\s\S]*?)<\/style>/, (_whole, found: string) => {
      look = found;
      return '';
    });
    const page = new DOMParser().parseFromString(rest, 'text/html');
    const now = page.querySelector('main');
    if (now === null) return;
    if (style.textContent !== look) style.textContent = look;
    document.body.classList.remove('bench', 'customer', 'label', 'long');
    document.body.classList.add(...page.body.className.split(' ').filter((name) => name !== ''));
    for (const line of linesOf(now)) line.tabIndex = -1;
    const last = stop;
    setStop(undefined);
    patchInside(main, now);
    main.lang = page.documentElement.lang;
    setStop(last?.isConnected === true ? last : linesOf(main)[0]);
  };

  window.addEventListener<{ readonly data: ToPage }>('message', ({ data }) => {
    const isSame = shown?.sheet === data.shown.sheet && (isFirst || shown.reader === data.shown.reader);
    shown = data.shown;
    setChoices(data.shown);
    said.textContent = data.kind === 'none' ? data.why : '';
    if (data.kind === 'summary') {
      show(data.html);
      if (isFirst && isSame) window.scrollTo(0, scroll);
      else if (!isSame) window.scrollTo(0, 0);
      isFirst = false;
    } else main.textContent = '';
    keep();
  });
  let isScrolling = false;
  window.addEventListener('scroll', () => {
    if (isScrolling) return;
    isScrolling = true;
    window.requestAnimationFrame(() => {
      isScrolling = false;
      // Before the first summary the page is empty and stands at its top by itself.
      if (isFirst) return;
      scroll = window.scrollY;
      keep();
    });
  });

  const choose = (): void => {
    const { reader, withReadings } = choices.elements;
    if (reader === undefined || withReadings === undefined) return;
    api.postMessage({ kind: 'choice', reader: reader.value as Reader, withReadings: withReadings.checked });
  };
  document.addEventListener<{ readonly target: PageElement }>('change', ({ target }) => {
    if (target.closest('#choices') !== null) choose();
  });
  document.addEventListener<{ preventDefault: () => void }>('submit', (event) => event.preventDefault());

  const goFrom = (target: PageElement): boolean => {
    const line = target.closest('main [data-line]');
    const number = Number(line?.dataset.line);
    if (line === null || !Number.isInteger(number)) return false;
    setStop(line);
    api.postMessage({ kind: 'line', line: number });
    return true;
  };
  document.addEventListener<KeyPress>('click', (event) => {
    const link = event.target.closest('main a');
    if (link !== null) {
      const path = link.getAttribute('href') ?? '';
      event.preventDefault();
      if (path.startsWith('#')) get(path).scrollIntoView({ block: 'start' });
      else api.postMessage({ kind: 'photo', path });
      return;
    }
    // Who marks words to copy them wants to stay.
    if (window.getSelection()?.isCollapsed !== false) goFrom(event.target);
  });
  document.addEventListener<KeyPress>('keydown', (event) => {
    const { key, target } = event;
    if (!target.hasAttribute('data-line')) return;
    if (key === 'Enter' && goFrom(target)) event.preventDefault();
    const step = key === 'ArrowDown' ? 1 : key === 'ArrowUp' ? -1 : 0;
    if (step === 0) return;
    const lines = linesOf(main);
    const next = lines[lines.indexOf(target) + step];
    if (next === undefined) return;
    event.preventDefault();
    setStop(next);
    next.focus();
    next.scrollIntoView({ block: 'nearest' });
  });

  api.postMessage({ kind: 'ready' });
}
