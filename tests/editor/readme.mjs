// The README's pictures, from the real editor: one invented shop's samples, in a light theme, cut to what matters.
import { mkdirSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { HOT_VALVE } from './sheets.mjs';

const TONE = 'jobs/2052-larch-20-tone.tagstrip.md';

/** What a picture may weigh at most, in bytes. */
const MOST_BYTES = 120_000;

/** Dots of a picture for one of the page: words stay sharp where a page is shown larger. */
export const README_SCALE = 1.5;

/** The window where a sheet alone is shown, and where its summary stands beside it. */
const SHEET = { width: 860, height: 640 };
const BESIDE = { width: 1200, height: 860 };

/** Only the sheet is seen, and nothing of the machine. */
export const README_SETTINGS = {
  'breadcrumbs.enabled': false,
  'editor.fontSize': 14,
  'editor.lightbulb.enabled': 'off',
  'editor.renderLineHighlight': 'none',
  'editor.stickyScroll.enabled': false,
  'editor.scrollbar.vertical': 'hidden',
  'editor.overviewRulerLanes': 0,
  'editor.hideCursorInOverviewRuler': true,
  'workbench.activityBar.location': 'hidden',
};

/** Writes what lies in a box of the page; a wide one dot for dot. */
async function write({ page, root, dismissNotifications }, name, clip) {
  await dismissNotifications();
  const folder = join(root, 'client', 'readme');
  mkdirSync(folder, { recursive: true });
  const path = join(folder, `${name}.png`);
  const scale = clip.width > SHEET.width ? 'css' : 'device';
  await page.screenshot({ path, clip, scale, animations: 'disabled' });
  const { size } = statSync(path);
  console.log(`        client/readme/${name}.png has ${Math.round(size / 1000)} kB`);
  if (size > MOST_BYTES) throw new Error(`${path} has ${size} bytes`);
}

/** From the first to the last of the editor's lines that hold these words, over a width. */
async function linesBox({ line, editor }, from, to, width) {
  const { x } = await editor.boundingBox();
  const first = await line(from).boundingBox();
  const last = await line(to).boundingBox();
  const y = first.y - 2;
  return { x: Math.round(x), y: Math.round(y), width, height: Math.round(last.y + last.height + 2 - y) };
}

/** A line, and what is told where the mouse rests on it. */
async function writeHover(desk, name, text, piece, wanted) {
  const { page, hoverOn, line } = desk;
  await hoverOn(text, piece, wanted);
  // It grows while its parts come in.
  await page.waitForTimeout(500);
  const boxes = [
    await page.locator('.monaco-hover:visible').first().boundingBox(),
    await line(text).boundingBox(),
  ];
  const y = Math.min(...boxes.map((box) => box.y)) - 2;
  const height = Math.max(...boxes.map((box) => box.y + box.height)) + 4 - y;
  await write(desk, name, { x: 0, y, width: SHEET.width, height });
  await page.mouse.move(5, 5);
}

const inside = (page) => page.frameLocator('iframe.webview.ready').frameLocator('iframe#active-frame');

export const README_PICTURES = [
  {
    name: 'values at the ends of lines',
    run: async (desk) => {
      const { page, command, goTo, openSheet, line } = desk;
      // Opened where its name is still to be seen.
      await openSheet(TONE, 'slide player');
      await command('View: Close Primary Side Bar');
      await page.setViewportSize(SHEET);
      await goTo(HOT_VALVE, 'C10 lifted');
      await line('| V4    | 326.7').locator('span', { hasText: '25.2' }).first().waitFor();
      await page.mouse.move(5, 5);
      await write(desk, 'values', await linesBox(desk, 'Mains {mains: 233 V}', 'C10: 3.3 Mohm', 760));
    },
  },
  {
    name: 'a finding with its message',
    run: async (desk) => {
      await desk.openSheet(TONE, 'slide player');
      await writeHover(desk, 'finding', 'C15, C16 = 100uF', '25V', 'rated 25 V');
    },
  },
  {
    name: 'a hover with the workings',
    run: async (desk) => {
      await desk.goTo(HOT_VALVE, 'The glow is');
      await writeHover(desk, 'workings', '| V4    | 326.7', 'V4', 'anode dissipation');
    },
  },
  {
    name: 'the summary beside the sheet',
    run: async (desk) => {
      const { page, command, openSheet, line } = desk;
      await page.setViewportSize(BESIDE);
      await openSheet(TONE, 'slide player');
      await command('Tagstrip: Show Summary for the Bench');
      const inner = inside(page);
      await inner.locator('main h1').waitFor();
      await line('slide player').click();
      await page.mouse.move(5, 5);
      const { y } = await page.locator('.editor-group-container').first().boundingBox();
      await write(desk, 'summary', { x: 0, y, width: BESIDE.width, height: 505 });
    },
  },
  {
    name: 'a plot of the summary',
    run: async (desk) => {
      const { page } = desk;
      const figure = inside(page).locator('main figure').first();
      await figure.scrollIntoViewIfNeeded();
      await page.waitForTimeout(500);
      const box = await figure.boundingBox();
      await write(desk, 'plot', {
        x: box.x - 8,
        y: box.y - 8,
        width: box.width + 16,
        height: box.height + 16,
      });
    },
  },
];
