// Holds papers in a browser to what only a browser knows: nothing wider than the screen, contrast and the other
// rules of WCAG that can be tested, on light screens and on dark ones, headings in their order, every target in reach
// of the keyboard and of a thumb, in the drawing no word beyond its box, and nothing that a survey says made markup.
//
// node check.js FOLDER: every page below the folder. `run` beside it makes the pages and calls this.
'use strict';

const fs = require('fs');
const os = require('os');
const path = require('path');
const { chromium } = require('playwright-core');

const axe = fs.readFileSync(require.resolve('axe-core/axe.min.js'), 'utf8');
// All rules are tried where there is least room; in the dark colours alone differ.
const SCREENS = [
  { width: 320, colorScheme: 'light', by: { runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'], rules: { 'target-size': { enabled: true } } } },
  { width: 390, colorScheme: 'light' },
  { width: 390, colorScheme: 'dark', by: { runOnly: ['color-contrast'] } },
  { width: 1200, colorScheme: 'light' },
];

function pages(folder) {
  return fs.readdirSync(folder, { withFileTypes: true }).sort((a, b) => (a.name < b.name ? -1 : 1)).flatMap((entry) => {
    const inside = path.join(folder, entry.name);
    if (entry.isDirectory()) return pages(inside);
    return entry.name.endsWith('.html') ? [inside] : [];
  });
}

/** What is wrong with the page as it stands, in its own terms; runs in the browser. */
function seen() {
  const wrong = [];
  /** The relative luminance of a colour, by WCAG. */
  const light = (colour) => {
    const parts = colour.match(/[\d.]+/g).slice(0, 3).map((part) => part / 255);
    const [red, green, blue] = parts.map((part) => (part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4));
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue;
  };
  for (const one of document.querySelectorAll('script, iframe, object, embed, img, form, base, [onload], [onerror], [onclick]')) {
    wrong.push(`holds <${one.localName}>`);
  }
  for (const link of document.querySelectorAll('[href], [src]')) {
    const to = link.getAttribute('href') || link.getAttribute('src');
    if (!/^(#|https:)/.test(to)) wrong.push(`leads to "${to}"`);
  }
  const root = document.documentElement;
  if (root.scrollWidth > root.clientWidth) wrong.push(`is ${root.scrollWidth} wide on ${root.clientWidth}`);
  let level = 0;
  for (const heading of document.querySelectorAll('h1, h2, h3')) {
    const own = Number(heading.tagName[1]);
    if (own > level + 1) wrong.push(`the heading "${heading.textContent}" skips a level`);
    level = own;
  }
  for (const link of document.querySelectorAll('nav a')) {
    const box = link.getBoundingClientRect();
    if (box.height < 44) wrong.push(`the link "${link.textContent}" is ${box.height} high`);
  }
  for (const drawing of document.querySelectorAll('svg.system')) {
    const boxes = [...drawing.querySelectorAll('rect')].map((rect) => rect.getBBox());
    const right = drawing.viewBox.baseVal.width;
    for (const text of drawing.querySelectorAll('text')) {
      const own = text.getBBox();
      const around = boxes.find((box) => own.x >= box.x && own.x < box.x + box.width && own.y > box.y && own.y < box.y + box.height);
      const end = around ? around.x + around.width : right;
      const [ink, paper] = [getComputedStyle(text).fill, getComputedStyle(document.body).backgroundColor].map(light);
      const contrast = (Math.max(ink, paper) + 0.05) / (Math.min(ink, paper) + 0.05);
      if (contrast < 4.5 && !text.classList.contains('n')) wrong.push(`"${text.textContent}" has a contrast of ${contrast.toFixed(1)}`);
      if (own.x + own.width > end) wrong.push(`"${text.textContent}" is ${Math.ceil(own.x + own.width - end)} too long for its place`);
    }
  }
  return wrong;
}

/** What the keyboard cannot reach, or reaches without a sign of it. */
async function byKeyboard(page) {
  const wrong = [];
  const wanted = await page.evaluate(() => document.querySelectorAll('a, [tabindex="0"]').length);
  for (let at = 0; at < wanted; at += 1) {
    await page.keyboard.press('Tab');
    const [what, outlined] = await page.evaluate(() => {
      const own = document.activeElement;
      return [own.textContent.slice(0, 30), own !== document.body && getComputedStyle(own).outlineStyle !== 'none'];
    });
    if (!outlined) wrong.push(`stop ${at + 1} of the keyboard shows nothing: "${what}"`);
  }
  return wrong;
}

async function check(browser, file) {
  const wrong = [];
  const page = await browser.newPage({ bypassCSP: true });
  page.on('dialog', (dialog) => wrong.push(`says "${dialog.message()}"`) && dialog.dismiss());
  page.on('request', (request) => request.url().startsWith('file:') || wrong.push(`asks for ${request.url()}`));
  await page.goto(`file://${path.resolve(file)}`);
  await page.evaluate(axe);
  for (const { width, colorScheme, by } of SCREENS) {
    await page.setViewportSize({ width, height: 844 });
    await page.emulateMedia({ colorScheme });
    const found = await page.evaluate(seen);
    const results = by ? await page.evaluate((options) => axe.run(options), by) : { violations: [] };
    for (const one of results.violations) found.push(`${one.id}: ${one.nodes[0].html.slice(0, 120)}`);
    if (width === SCREENS[0].width) found.push(...(await byKeyboard(page)));
    wrong.push(...found.map((what) => `${width} ${colorScheme}: ${what}`));
  }
  await page.close();
  return wrong;
}

(async () => {
  const all = pages(process.argv[2]);
  const browser = await chromium.launch({ executablePath: process.env.CHROMIUM || '/usr/bin/chromium', args: ['--no-sandbox'] });
  const waiting = [...all];
  let failed = 0;
  await Promise.all(os.cpus().map(async () => {
    for (let file = waiting.shift(); file; file = waiting.shift()) {
      const wrong = await check(browser, file);
      failed += wrong.length > 0;
      wrong.forEach((what) => console.log(`${file}: ${what}`));
    }
  }));
  await browser.close();
  console.log(`${all.length - failed} passed, ${failed} failed`);
  process.exit(failed > 0 || all.length === 0 ? 1 : 0);
})();
