// What a technician does on the editor's page, and what he sees there: the words in which the checks are written.
import { readFileSync } from 'node:fs';
import { join } from 'node:path';

/** Everything a check may use: the page itself, the host, and ways to point, open and read. */
export function createDesk({ page, host, edition, picture, measured }) {
  const editor = page.locator('.editor-group-container.active .monaco-editor').first();
  const line = (text) => editor.locator('.view-line', { hasText: text }).first();
  /** The editor writes its spaces as non-breaking ones. */
  const plain = (text) => text.replaceAll('\u00a0', ' ');
  const textOf = async (text) => plain(await line(text).textContent());
  const fileText = (file) => readFileSync(join(host.workspace, file), 'utf8');
  const includes = (text, ...parts) => {
    for (const part of parts)
      if (!plain(text).includes(part)) throw new Error(`“${part}” is not in: ${plain(text).slice(0, 600)}`);
  };

  /**
   * Opens the editor's prompt by its key, writes into it and takes the row that `find` finds among those offered. The prompt closes
   * by itself when something else is given the keyboard, as a file that is just being opened: then it is opened once more.
   */
  async function choose(key, text, find) {
    const input = page.locator('.quick-input-widget input[type=text]');
    const rows = page.locator('.quick-input-list .monaco-list-row');
    const soon = { timeout: 4000 };
    for (let tries = 1; ; tries++) {
      try {
        await page.keyboard.press(key);
        await input.fill(text, soon);
        const row = await find(rows, soon);
        // Clicked and not entered: an Enter that comes too late would go into the sheet.
        await row.click(soon);
        return;
      } catch (error) {
        if (tries === 5) throw error;
        await page.keyboard.press('Escape');
      }
    }
  }
  async function command(title) {
    await choose('F1', `>${title}`, async (rows, soon) => {
      await rows.filter({ hasText: title }).first().waitFor(soon);
      // The likeliest stands first, which is not always the one that was asked for.
      const names = await rows.evaluateAll((all) => all.map((row) => row.getAttribute('aria-label') ?? ''));
      const at = names.findIndex((name) => [title, `${title}…`].includes(name.replace(/, .*$/, '')));
      return rows.nth(Math.max(0, at));
    });
  }
  /** Brings the line of a file that holds `text` into sight and puts the caret at its end. */
  async function goTo(file, text) {
    const at = fileText(file)
      .split('\n')
      .findIndex((each) => each.includes(text));
    if (at < 0) throw new Error(`“${text}” is not in ${file}`);
    await bringToFront(file);
    await choose('Control+G', `:${at + 1}`, (rows) => rows.filter({ hasText: `go to line ${at + 1}` }));
    await page.locator('.quick-input-widget').waitFor({ state: 'hidden' });
    await line(text).waitFor();
    await page.keyboard.press('End');
  }
  async function bringToFront(file) {
    const name = file.split('/').at(-1);
    if ((await page.locator('.tab.active', { hasText: name }).count()) > 0) return;
    const tab = page.locator('.tab', { hasText: name }).first();
    if ((await tab.count()) > 0) await tab.click();
    else await page.locator('.explorer-folders-view .monaco-list-row', { hasText: name }).first().dblclick();
    await page.locator('.tab.active', { hasText: name }).first().waitFor();
  }
  async function openSheet(file, text) {
    // Clicked though it is in front: the keyboard may be in a panel.
    const tab = page.locator('.tab', { hasText: file.split('/').at(-1) }).first();
    if ((await tab.count()) > 0) await tab.click();
    await goTo(file, text);
    // What the mouse rests on shows its path.
    await page.mouse.move(5, 5);
  }
  /** Takes away what the editor has told, which would lie over what comes next. */
  async function dismissNotifications() {
    if (await page.locator('.notification-toast:visible').count())
      await command('Notifications: Clear All Notifications');
  }
  /** Points at the first place where `piece` stands on a line. */
  async function pointAt(text, piece) {
    const at = await line(text).evaluate((element, wanted) => {
      // Colours cut a line into pieces: the words may begin in one and end in another.
      const walker = document.createTreeWalker(element, NodeFilter.SHOW_TEXT);
      const places = [];
      let said = '';
      for (let node = walker.nextNode(); node !== null; node = walker.nextNode()) {
        const plainText = (node.textContent ?? '').replaceAll('\u00a0', ' ');
        for (let i = 0; i < plainText.length; i++) places.push([node, i]);
        said += plainText;
      }
      const at = said.indexOf(wanted);
      if (at < 0) return undefined;
      const range = document.createRange();
      range.setStart(...places[at]);
      const [last, index] = places[at + wanted.length - 1];
      range.setEnd(last, index + 1);
      const { x, y, width, height } = range.getBoundingClientRect();
      return { x: x + width / 2, y: y + height / 2 };
    }, piece);
    if (at === undefined) throw new Error(`“${piece}” is not on the line “${text}”`);
    return at;
  }
  /** Points until what is wanted is shown: an editor that is busy with what was typed asks for no hover, and asks once. */
  async function hoverOn(text, piece, wanted, timeout = 20_000) {
    const shown = page.locator('.monaco-hover:visible', { hasText: wanted }).first();
    for (const until = performance.now() + timeout; ; ) {
      await page.mouse.move(5, 5);
      const { x, y } = await pointAt(text, piece);
      await page.mouse.move(x - 2, y);
      await page.mouse.move(x, y, { steps: 4 });
      const wait = Math.min(4000, Math.max(100, until - performance.now()));
      try {
        await shown.waitFor({ timeout: wait });
        return shown.textContent();
      } catch (error) {
        if (performance.now() >= until) throw error;
      }
    }
  }
  /** Asks for quick fixes until the wanted one is offered: an editor that still waits for an answer says there are none, and is quiet. */
  async function quickFix(title, timeout = 20_000) {
    const item = page.locator('.action-widget .monaco-list-row', { hasText: title });
    for (const until = performance.now() + timeout; ; ) {
      await page.keyboard.press('Control+.');
      try {
        await item.waitFor({ timeout: Math.min(4000, Math.max(100, until - performance.now())) });
        return item;
      } catch (error) {
        if (performance.now() >= until) throw error;
        await page.keyboard.press('Escape');
      }
    }
  }
  /** Writes the user's settings as a user does: the editor hears of no file that is changed beside it here. */
  async function setSettings(more) {
    await command('Preferences: Open User Settings (JSON)');
    const tab = page.locator('.tab.active', { hasText: 'settings.json' }).first();
    await tab.waitFor();
    await line('telemetry').waitFor();
    // Not the line: of a long one no middle is in sight.
    await editor.click();
    await page.keyboard.press('Control+A');
    await page.keyboard.insertText(JSON.stringify({ ...host.settings, ...more }));
    // On one line, which is in sight the next time too; the editor has closed the brackets once more.
    await page.keyboard.press('Control+Shift+End');
    await page.keyboard.press('Delete');
    await page.keyboard.press('Control+S');
    await page.locator('.tab.active.dirty').first().waitFor({ state: 'detached' });
  }
  async function undoAll(text) {
    await command('Revert File');
    await line(text).waitFor();
  }
  return {
    page,
    host,
    edition,
    picture,
    measured,
    editor,
    line,
    textOf,
    fileText,
    includes,
    command,
    goTo,
    openSheet,
    dismissNotifications,
    pointAt,
    hoverOn,
    quickFix,
    undoAll,
    setSettings,
  };
}
