// How a test drives the page: as a person does, by what is to be seen on it. `page.js` says what is done.
'use strict';

const fs = require('fs');
const path = require('path');
const { execFileSync } = require('child_process');
const { chromium } = require('playwright-core');
const yaml = require('yaml');

const [page_, program, folder] = process.argv.slice(2);
const address = `file://${path.resolve(page_)}`;
const axe = fs.readFileSync(require.resolve('axe-core/axe.min.js'), 'utf8');
const PHONE = { viewport: { width: 390, height: 844 }, bypassCSP: true, acceptDownloads: true, offline: true };
const RULES = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'];
const wrong = [];
const check = (holds, what) => { if (!holds) wrong.push(what); };
const spoken = (name) => name.replace(/_/g, ' ').replace(/\./g, ', ');

/** Waits until the page has taken in what was done last. */
const settled = (page) => page.waitForFunction(() => !document.getElementById('verdict').textContent.includes('Judging') && !document.getElementById('main').textContent.includes('Opening'));

/** Does something that shows a screen, and waits for that screen. */
async function shows(page, does) {
  await page.evaluate(() => { document.querySelector('#main').firstElementChild.dataset.old = '1'; });
  await does();
  await page.waitForFunction(() => !document.querySelector('#main > [data-old]'));
  await settled(page);
}

const tab = (page, name) => shows(page, () => page.locator('#tabs').getByRole('button', { name, exact: true }).click());

/** The page in a browser of its own, offline; a fault of it is told. */
async function opened(browser, more) {
  const context = await browser.newContext({ ...PHONE, ...more });
  const page = await context.newPage();
  page.on('request', (one) => check(/^(file|blob|data):/.test(one.url()), `the page asks for ${one.url()}`));
  page.on('pageerror', (error) => wrong.push(`a fault of the page: ${error.message}`));
  page.on('dialog', (dialog) => dialog.accept());
  await page.goto(address);
  await page.locator('#tabs button').first().waitFor();
  return page;
}

async function begin(page, name) {
  await page.getByLabel(/^Name of the job/).fill(name);
  await page.getByRole('button', { name: 'Begin' }).click();
  await page.locator('#refused').waitFor({ state: 'attached' });
  await settled(page);
}

async function chosen(page, files) {
  const [chooser] = await Promise.all([page.waitForEvent('filechooser'), page.getByRole('button', { name: 'Choose files' }).click()]);
  await shows(page, () => chooser.setFiles(files));
}

/** Answers the question that is shown, in the words of the day. */
async function answer(page, typed) {
  const main = page.locator('#main');
  await main.evaluate((one) => { one.firstElementChild.dataset.old = '1'; });
  const rows = await main.locator('table.alike tr').count();
  if (typed === 's') await main.getByRole('button', { name: 'Put it off' }).click();
  else if (rows > 0) await fillTable(main, typed);
  else {
    const words = main.locator('#refused ~ button.word');
    const labels = main.locator('#refused ~ label.word');
    const at = /^\d+$/.test(typed) ? Number(typed) - 1 : -1;
    if ((await labels.count()) > 0) {
      const wanted = at >= 0 ? [(await labels.nth(at).textContent()).trim()] : typed.split(', ');
      if (wanted[0] === 'none' && (await labels.filter({ hasText: /^none$/ }).count()) === 0) await main.getByRole('button', { name: 'None of these' }).click();
      else {
        for (const word of wanted) await labels.filter({ hasText: new RegExp(`^${word}$`) }).locator('input').check();
        await main.getByRole('button', { name: 'Save what is ticked' }).click();
      }
    } else if ((await main.locator('form input').count()) > 0) {
      await main.locator('form input').first().fill(typed);
      await main.getByRole('button', { name: 'Save', exact: true }).click();
    } else if (at >= 0) await words.nth(at).click();
    else await main.locator('button.word').filter({ hasText: new RegExp(`^${typed.replace(/[+]/g, '\\+')}( written now)?$`) }).first().click();
  }
  await page.waitForFunction(() => !document.querySelector('#main > [data-old]') || document.getElementById('refused').textContent !== '');
  await settled(page);
}

/** `sound except hall: weeping; den: unknown`, row by row. */
async function fillTable(main, typed) {
  const [all, others] = typed.split(' except ');
  const differ = new Map((others || '').split(';').filter(Boolean).map((part) => part.split(':').map((word) => word.trim())));
  const rows = main.locator('table.alike tr');
  for (let at = 0; at < (await rows.count()); at += 1) {
    const row = rows.nth(at);
    let word = differ.get((await row.locator('th').textContent()).trim()) || all;
    const select = row.locator('select');
    if ((await select.count()) > 0) {
      if (/^\d+$/.test(word)) word = await select.locator('option').nth(Number(word)).textContent();
      await select.selectOption(word);
    } else await row.locator('input').fill(word);
  }
  await main.getByRole('button', { name: 'Save', exact: true }).click();
}

/** The text of the job that was changed last, as it is stored. */
const stored = (page) => page.evaluate(() => new Promise((done) => {
  const asks = indexedDB.open('wetside');
  asks.onsuccess = () => {
    const all = asks.result.transaction('jobs').objectStore('jobs').getAll();
    all.onsuccess = () => { asks.result.close(); done((all.result.sort((a, b) => b.changed - a.changed)[0] || {}).text); };
  };
}));

/** One question of each sort is held to the rules, as a person meets it. */
const sorts = new Set();
async function eachSort(page) {
  const sort = await page.evaluate(() => ['table select', 'table input', 'label.word', 'form input[inputmode]', 'form input', 'button.word'].find((one) => document.querySelector(`#main ${one}`)));
  if (sorts.has(sort)) return;
  sorts.add(sort);
  await accessible(page, `a question with ${sort}`);
}

/** Answers until nothing is left to ask, or the day stops here. */
async function ask(page, typed) {
  const left = new Map(Object.entries(typed).map(([name, one]) => [name, [].concat(one)]));
  await tab(page, 'Ask');
  for (let turns = 0; turns < 200; turns += 1) {
    await settled(page);
    const heading = (await page.locator('#main h1').textContent()).trim();
    if (/^(Nothing is left|What was put off)/.test(heading)) break;
    await eachSort(page);
    const name = await page.evaluate(() => document.querySelector('#main h1').textContent.trim().toLowerCase());
    const kind = await page.evaluate(() => (document.querySelector('#main .field span') || {}).textContent || '');
    const key = [...left.keys()].find((one) => {
      const [plain, of] = one.split(/: (count|names)$/);
      return plain.toLowerCase() === name && of === { H: 'count', T: 'names' }[(kind.match(/^(?:(H)ow many|(T)heir names)/) || []).slice(1).join('')];
    });
    let next = key && left.get(key).shift();
    if (next === '?') next = left.get(key).shift();
    if (next === 'b') {
      await shows(page, () => page.getByRole('button', { name: 'Back', exact: true }).click());
      continue;
    }
    if (next === 'q') break;
    if (!next) {
      console.log(`put off: ${heading} ${kind}`);
      await answer(page, 's');
      continue;
    }
    await answer(page, next);
    const refused = page.locator('#refused');
    if ((await refused.count()) > 0 && (await refused.textContent()) !== '') check(left.get(key).length > 0, `${heading}: ${next}: ${await refused.textContent()}`);
  }
}

/** A reading or another note, by the screen of the flush. */
async function note(page, words) {
  await tab(page, 'Flush');
  const clock = words.match(/ (\d\d:\d\d)$/);
  if (clock) {
    // The engine's time to answer is reckoned by the same clock: it is not turned while something is asked.
    await page.waitForTimeout(300);
    await page.clock.setFixedTime(new Date(`2026-11-12T${clock[1]}:00`));
  }
  const reading = words.match(/^(.+?)(?: (forward|reverse))? (\d+) ppm (\d+) C/);
  if (reading) {
    const branch = reading[1] === 'dining' ? 'dining room' : reading[1];
    const pick = page.locator('#main select').first();
    if ((await pick.inputValue()) !== branch) await shows(page, () => pick.selectOption(branch));
    await page.getByRole('button', { name: /^(Begin with|Flow turned)/ }).waitFor();
    const begin = page.getByRole('button', { name: /^Begin with/ });
    if ((await begin.count()) > 0) await shows(page, () => begin.click());
    const turned = page.getByRole('button', { name: /^Flow turned/ });
    if (!(await turned.textContent()).includes(reading[2] || 'forward')) await shows(page, () => turned.click());
    await page.getByLabel('Dissolved solids of the discharge').fill(reading[3]);
    await page.getByLabel('Temperature of the discharge').fill(reading[4]);
    await shows(page, () => page.getByRole('button', { name: 'Write the reading' }).click())
      .catch(async () => wrong.push(`${words}: ${await page.locator('.said-back').textContent()}`));
    await cleanByTheLog(page, words);
    return;
  }
  await page.getByLabel(/^A note/).fill(clock ? `${words.slice(0, clock.index)} now` : words);
  await shows(page, () => page.getByRole('button', { name: 'Write the note' }).click())
    .catch(async () => wrong.push(`${words}: ${await page.locator('#said').textContent()}`));
}

/** The branch can be called clean exactly where the last reading is no higher than what the program says is clean. */
const clean = { yes: 0, no: 0 };
async function cleanByTheLog(page, words) {
  const file = path.join(folder, 'log.yaml');
  fs.writeFileSync(file, await stored(page));
  const [{ figures }] = JSON.parse(execFileSync(program, ['figures', '--format', 'json', file], { maxBuffer: 1 << 28 })).surveys;
  const most = figures.find((one) => one.name === 'tds_high');
  const [, read] = words.match(/ (\d+) ppm/);
  const button = page.getByRole('button', { name: /^This branch is clean/ });
  // All branches at once are none to be called clean.
  if ((await button.count()) === 0) return;
  const offered = await button.isEnabled();
  check(offered === (Number(read) <= 1000 * most.high), `${words}: the branch ${offered ? 'can' : 'cannot'} be called clean, and ${most.value} is`);
  clean[offered ? 'yes' : 'no'] += 1;
}

async function exported(page, into) {
  await tab(page, 'Jobs');
  const [file] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name: 'Export the YAML' }).click()]);
  await file.saveAs(into);
  return fs.readFileSync(into);
}

function native(file) {
  try {
    return JSON.parse(execFileSync(program, ['check', '--format', 'json', file], { maxBuffer: 1 << 28 }));
  } catch (ended) {
    return JSON.parse(ended.stdout);
  }
}

async function shot(page, name) {
  await page.screenshot({ path: path.join(folder, `${name}.png`) });
}

/** The rules of WCAG that can be tested, and what the eye would see: nothing wider than the screen, targets of a thumb. */
async function accessible(page, what) {
  await page.evaluate(axe);
  const results = await page.evaluate((rules) => axe.run(document, { runOnly: rules, iframes: false, rules: { 'target-size': { enabled: true } } }), RULES);
  for (const one of results.violations) wrong.push(`${what}: ${one.id}: ${one.nodes[0].html.slice(0, 140)}`);
  const seen = await page.evaluate(() => {
    const found = [];
    const root = document.documentElement;
    if (root.scrollWidth > root.clientWidth) found.push(`is ${root.scrollWidth} wide on ${root.clientWidth}`);
    for (const one of document.querySelectorAll('button, select, input[type=text]')) {
      const box = one.getBoundingClientRect();
      if (box.height > 0 && box.height < 44) found.push(`“${one.textContent || one.name}” is ${box.height} high`);
    }
    let level = 0;
    for (const heading of document.querySelectorAll('#main :is(h1, h2, h3)')) {
      const own = Number(heading.tagName[1]);
      if (own > level + 1) found.push(`the heading “${heading.textContent}” skips a level`);
      level = own;
    }
    return found;
  });
  seen.forEach((one) => wrong.push(`${what}: ${one}`));
}

module.exports = { PHONE, shows, accessible, address, answer, ask, begin, check, chosen, chromium, clean, exported, folder, native, note, opened, program, settled, shot, sorts, spoken, stored, tab, wrong, yaml };
