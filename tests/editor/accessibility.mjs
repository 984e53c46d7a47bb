// What those get of a summary who listen to it, use no mouse or see no colours: names, roles, order, focus. The same is looked at on
// a page by itself and in the editor's panel. Pure questions to a page: what they find poor comes back as words.

/**
 * In a page: what is poor there. Everything that can be used has a name, headings go down step by step, tables have heads and a
 * name, pictures have words, and what has the colour of alarm has a sign or words beside it.
 */
export function findPoor() {
  const poor = [];
  const all = (selector, root = document) => [...root.querySelectorAll(selector)];
  const said = (element) => (element?.textContent ?? '').trim();
  const show = (element) => `<${element.localName}> ${said(element).slice(0, 40)}`;

  if (!document.documentElement.lang) poor.push('the page has no language');
  if (said(document.querySelector('title')) === '') poor.push('the page has no title');
  if (all('main').length !== 1) poor.push('the page has not one main part');

  for (const field of all('input, select, textarea, button')) {
    const words = [...(field.labels ?? []), ...(field.localName === 'button' ? [field] : [])];
    if (!(field.getAttribute('aria-label') ?? words.map(said).join('')))
      poor.push(`${show(field)} has no name`);
  }
  for (const group of all('fieldset'))
    if (said(group.querySelector('legend')) === '') poor.push('a group of choices has no name');
  for (const link of all('a[href]')) if (said(link) === '') poor.push(`a link to ${link.href} has no words`);
  for (const stop of all('[tabindex="0"]'))
    if (!stop.getAttribute('aria-label')) poor.push(`${show(stop)} can be reached and has no name`);

  const levels = all('h1, h2, h3, h4, h5, h6').map((head) => [Number(head.localName[1]), head]);
  if (levels.filter(([level]) => level === 1).length !== 1) poor.push('the page has not one title');
  for (const [i, [level, head]] of levels.entries()) {
    if (said(head) === '') poor.push(`a heading of level ${level} is empty`);
    if (level > (levels[i - 1]?.[0] ?? 0) + 1) poor.push(`${show(head)} skips a level`);
  }

  for (const table of all('table')) {
    if (said(table.caption) === '') poor.push(`a table has no name: ${said(table).slice(0, 40)}`);
    const heads = all('thead th', table);
    if (heads.length === 0) poor.push(`${show(table)} has no heads`);
    for (const head of heads)
      if (head.scope !== 'col' || said(head) === '') poor.push(`${show(table)}: ${show(head)} heads nothing`);
    for (const row of all('tbody tr', table)) {
      const width = [...row.cells].reduce((sum, cell) => sum + cell.colSpan, 0);
      if (width !== heads.length) poor.push(`${show(row)} is ${width} wide under ${heads.length} heads`);
      for (const head of all('th', row))
        if (!/^row/.test(head.scope) || said(head) === '')
          poor.push(`${show(row)}: ${show(head)} heads nothing`);
    }
  }
  for (const picture of all('svg:not([aria-hidden="true"] svg), img')) {
    const named = (picture.getAttribute('aria-labelledby') ?? '')
      .split(' ')
      .map((id) => said(document.getElementById(id)))
      .join('');
    const name = picture.getAttribute('alt') || picture.getAttribute('aria-label') || named;
    if (picture.getAttribute('role') !== 'img' || !name) poor.push(`${show(picture)} has no words for it`);
  }

  // What has the colour of alarm: by the very rules that give it.
  const alarmed = [...document.styleSheets]
    .flatMap((sheet) => [...sheet.cssRules])
    .flatMap((rule) =>
      rule.cssText.includes('var(--alarm)') && rule.selectorText ? all(rule.selectorText) : [],
    );
  for (const element of alarmed) {
    const isTold =
      element.closest('svg[aria-label]') !== null ||
      /^\S+\s+\S/.test(said(element.closest('.finding')?.querySelector('.severity')));
    if (!isTold) poor.push(`${show(element)} is told by its colour alone`);
  }
  return poor;
}

/**
 * Goes through a page by the Tab key, from its head; what is poor about the way: it must lead downwards or to the right, and what
 * has the focus must show it. `frame` is where the page's own document is.
 */
export async function tabThrough(page, frame, most = 60) {
  const poor = [];
  const stops = [];
  await frame.locator('body').evaluate((body) => {
    body.ownerDocument.activeElement?.blur();
    window.scrollTo(0, 0);
    body.tabIndex = -1;
    body.focus();
    body.removeAttribute('tabindex');
  });
  for (let i = 0; i < most; i++) {
    await page.keyboard.press('Tab');
    const stop = await frame.locator('body').evaluate((body) => {
      const at = body.ownerDocument.activeElement;
      if (at === null || at === body) return undefined;
      const { left, top } = at.getBoundingClientRect();
      const { outlineStyle, outlineWidth, outlineColor } = getComputedStyle(at);
      // What stays at the top of the page goes along with it.
      const isFixed = at.closest('#choices') !== null;
      const isAgain = at.dataset.tabbed === 'yes';
      at.dataset.tabbed = 'yes';
      return {
        name: `${at.localName} ${(at.getAttribute('aria-label') || at.value || at.textContent).slice(0, 40)}`,
        place: [top + (isFixed ? 0 : scrollY), left],
        isSeen:
          outlineStyle !== 'none' && Number.parseFloat(outlineWidth) >= 1 && !/, 0\)$/.test(outlineColor),
        isAgain,
      };
    });
    if (stop === undefined || stop.isAgain) break;
    stops.push(stop);
  }
  await frame.locator('body').evaluate((body) => {
    for (const each of body.querySelectorAll('[data-tabbed]')) delete each.dataset.tabbed;
  });
  for (const [i, { name, place, isSeen }] of stops.entries()) {
    if (!isSeen) poor.push(`${name} does not show that it has the focus`);
    const [top, left] = stops[i - 1]?.place ?? [0, 0];
    if (place[0] < top - 4 || (Math.abs(place[0] - top) <= 4 && place[1] < left))
      poor.push(`${name} comes after ${stops[i - 1]?.name} and stands before it`);
  }
  return { poor, stops: stops.map(({ name }) => name) };
}

/** What the browser tells a screen reader of a page: things that can have the focus without a role or a name. */
export async function findNameless(page) {
  const session = await page.context().newCDPSession(page);
  const { nodes } = await session.send('Accessibility.getFullAXTree');
  await session.detach();
  return nodes.flatMap(({ ignored, role, name, properties = [] }) => {
    const reached = properties.some((each) => each.name === 'focusable' && each.value.value);
    // A line of the summary is named when it is reached.
    if (['row', 'listitem', 'paragraph', 'figure'].includes(role?.value)) return [];
    if (ignored || !(reached || role?.value === 'image')) return [];
    if (['generic', 'none', undefined].includes(role?.value))
      return [`something without a role can be reached`];
    return name?.value ? [] : [`a ${role.value} without a name can be reached`];
  });
}
