// What the browser keeps, and when it cannot: storage that is full or may be cleared, and jobs that another page stored.
'use strict';

const fs = require('fs');
const path = require('path');
const { PHONE, accessible, address, begin, check, exported, folder, opened, shows, stored, tab } = require('./driving.js');

const unknown = (page) => shows(page, () => page.getByRole('button', { name: 'I do not know', exact: true }).click());
const warned = (page, words) => page.locator('#warning', { hasText: words }).waitFor({ timeout: 5000 });
const answers = (text) => (text.match(/: unknown|\{unknown/g) || []).length;

/** A browser without room from the first: the person is told at once, goes on, and saves the file; what failed is stored later. */
async function full(browser) {
  const page = await (await browser.newContext(PHONE)).newPage();
  const session = await page.context().newCDPSession(page);
  await session.send('Storage.overrideQuotaForOrigin', { origin: 'file://', quotaSize: 1 });
  await page.goto(address);
  await begin(page, 'full');
  await warned(page, /^Not stored in this browser: its storage is full.*lost with the page, unless it is exported/);
  await shows(page, () => page.getByRole('button', { name: 'open vented' }).click());
  await warned(page, /Export the job now, and do not close the page before/);
  await accessible(page, 'full storage');
  check((await stored(page)) === undefined, 'the storage is not full, and nothing was tried');
  const closing = page.waitForEvent('dialog');
  await page.evaluate(() => { setTimeout(() => window.location.reload()); });
  check((await closing).type() === 'beforeunload', 'a page whose answers lie nowhere closes without a word');
  await (await closing).dismiss();
  const file = (await exported(page, path.join(folder, 'full.yaml'))).toString();
  check(file.includes('  kind: open vented'), 'the exported file lacks the answer that was not stored');
  await session.send('Storage.overrideQuotaForOrigin', { origin: 'file://' });
  await tab(page, 'Ask');
  await unknown(page);
  check(await page.locator('#warning').isHidden(), 'the warning stays when there is room again');
  check((await stored(page)).includes('  kind: open vented'), 'what could not be stored is not stored later');
  await page.evaluate(() => { navigator.storage.estimate = async () => ({ usage: 90, quota: 100 }); });
  await tab(page, 'Findings');
  await warned(page, /nearly full/);
  await page.evaluate(() => {
    navigator.storage.estimate = async () => ({ usage: 1, quota: 100 });
    navigator.storage.persisted = async () => false;
  });
  await tab(page, 'Ask');
  for (let at = 0; at < 20; at += 1) await unknown(page);
  await tab(page, 'Findings');
  await warned(page, /2\d answers since the last export, and this browser may clear/);
  await page.context().close();
}

/** Puts jobs into a store of an earlier or a later form, before any page was opened. */
async function storedBy(browser, version, jobs) {
  const page = await (await browser.newContext(PHONE)).newPage();
  const blank = path.join(folder, 'blank.html');
  fs.writeFileSync(blank, '<!doctype html><title>blank</title>');
  await page.goto(`file://${path.resolve(blank)}`);
  await page.evaluate(([form, all]) => new Promise((done) => {
    const asks = indexedDB.open('wetside', form);
    asks.onupgradeneeded = () => {
      for (const [name, key] of [['jobs', 'id'], ['packs', 'name'], ['photos', 'digest']]) asks.result.createObjectStore(name, { keyPath: key });
    };
    asks.onsuccess = () => {
      const way = asks.result.transaction('jobs', 'readwrite');
      all.forEach((one) => way.objectStore('jobs').put(one));
      way.oncomplete = () => { asks.result.close(); done(); };
    };
  }), [version, jobs]);
  await page.goto(address);
  await page.locator('#main h2', { hasText: 'Stored here' }).waitFor();
  return page;
}

/** Jobs as earlier pages stored them are read and gone on with; what a newer page stored is left alone, and that is said. */
async function earlier(browser) {
  const jobs = JSON.parse(fs.readFileSync('tests/browser/jobs.json', 'utf8'));
  const page = await storedBy(browser, 1, jobs);
  for (const job of jobs) {
    await tab(page, 'Jobs');
    await shows(page, () => page.getByRole('button', { name: new RegExp(`^${job.name} `) }).click());
    check((await page.locator('#verdict strong').textContent()).startsWith('Not yet'), `${job.name}: ${await page.locator('#verdict').textContent()}`);
    const file = (await exported(page, path.join(folder, 'earlier.yaml'))).toString();
    check(file === job.text, `${job.name} does not come out as it was stored`);
    await tab(page, 'Ask');
    await unknown(page);
    check(answers(await stored(page)) >= answers(job.text), `${job.name}: an answer is not stored`);
    await page.getByRole('button', { name: /^Take back/ }).waitFor();
  }
  await page.context().close();
  const newer = await storedBy(browser, 2, [{ ...jobs[0], form: 9 }]);
  check((await newer.locator('#main').textContent()).includes(`${jobs[0].name}: stored by a newer page`), 'it is not said that a newer page stored the job');
  await newer.getByRole('button', { name: 'Export as it is' }).waitFor();
  await newer.context().close();
  const later = await storedBy(browser, 9, jobs);
  await later.locator('#warning', { hasText: 'a newer page has stored jobs here' }).waitFor();
  await later.context().close();
}

module.exports = { full, earlier };
