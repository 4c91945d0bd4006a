// A day in the page, by the words of the day of the commands (tests/day/semi.yaml), offline on a telephone's screen:
// from an empty page to hand-back; then what must hold of the page beside it.
//
// node page.js PAGE PROGRAM FOLDER: `run-page` beside it makes the page and calls this. Pictures go into FOLDER.
'use strict';

const fs = require('fs');
const path = require('path');
const { execFileSync } = require('child_process');
const { accessible, address, answer, ask, begin, check, chosen, chromium, clean, exported, folder, native, note, opened, program, settled, shot, shows, sorts, stored, tab, wrong, yaml } = require('./driving.js');
const { earlier, full } = require('./storage.js');
const heard = require('./hearing.js');

const STAGES = /^stage (.*)$/;

/** The whole day; its survey is judged by the program as by the page. */
async function day(browser) {
  const page = await opened(browser);
  await page.clock.setFixedTime(new Date('2026-11-12T08:30:00'));
  await shot(page, '1-empty');
  await begin(page, 'semi');
  await shot(page, '2-question');
  for (const part of yaml.parse(fs.readFileSync('tests/day/semi.yaml', 'utf8'))) {
    for (const [at, { run, typed }] of part.commands.entries()) {
      // What is refused there is said again as a correction; the correction is said here.
      if (part.commands[at + 1]?.run === `${run} instead`) continue;
      const words = run.replace(/^note semi\.yaml /, '').replace(/"/g, '').replace(/ --at /, ' ');
      if (run.startsWith('ask ')) await ask(page, typed);
      else if (run.includes('--undo')) {
        await tab(page, 'Flush');
        await shows(page, () => page.getByRole('button', { name: /^Take back/ }).click());
        await page.locator('#said', { hasText: 'Taken back' }).waitFor();
      } else if (STAGES.test(words)) {
        await tab(page, 'Ask');
        await shows(page, () => page.getByRole('button', { name: 'Change the stage of the job' }).click());
        await answer(page, words.match(STAGES)[1]);
      } else if (run.startsWith('note ')) await note(page, words);
      if (words === 'lounge reverse 420 ppm 14 C 12:14') await shot(page, '5-flush');
    }
    if (part.part === 'First look') {
      await tab(page, 'Findings');
      await shot(page, '3-findings');
    }
    if (part.part === 'Setting up') {
      await tab(page, 'Figures');
      await page.locator('#main .drawing').first().waitFor();
      await shot(page, '4-figures');
    }
  }
  await tab(page, 'Findings');
  await settled(page);
  await shot(page, '6-hand-back');
  const says = await page.locator('#verdict strong').textContent();
  const found = await page.locator('.finding h3').allTextContents();
  const file = path.join(folder, 'semi.yaml');
  await exported(page, file);
  const [judged] = native(file).surveys;
  check(judged.verdict_says === says.toLowerCase(), `the page says ${says}, the program ${judged.verdict_says}`);
  const told = [...judged.findings.map((one) => one.title), ...judged.problems.map((one) => one.says)];
  check(told.length === found.length, `the page shows ${found.length} findings, the program ${told.length}`);
  for (const title of told) check(found.join('\n').toLowerCase().includes(title.toLowerCase()), `the page does not show: ${title}`);
  check(clean.yes > 0 && clean.no > 0, `a branch could be called clean ${clean.yes} times, and could not ${clean.no} times`);
  check(sorts.size > 4, `only these sorts of questions were met: ${[...sorts].join('; ')}`);
  console.log(`the day: ${says}; ${judged.findings.length} findings, ${fs.statSync(file).size} bytes`);
  await page.context().close();
}

/** Answers, and the tab is killed somewhere near: whatever the page has gone on from is there when it is opened again. */
async function killed(browser, times) {
  let page = await opened(browser);
  const context = page.context();
  await begin(page, 'killed');
  let [seed, gone, taken] = [7, 0, 0];
  for (let at = 0; at < times; at += 1) {
    const heading = await page.locator('#main h1').textContent();
    const unknown = page.getByRole('button', { name: 'I do not know' });
    const first = page.locator('#refused ~ button.word').first();
    if ((await first.count()) > 0) await first.click({ noWaitAfter: true });
    else await unknown.click({ noWaitAfter: true });
    seed = (seed * 16807) % 2147483647;
    await page.waitForTimeout(seed % 600);
    const next = await page.evaluate((old) => document.querySelector('#main h1').textContent !== old, heading);
    const session = await context.newCDPSession(page);
    const crash = page.waitForEvent('crash');
    session.send('Page.crash').catch(() => {});
    await crash;
    page = await context.newPage();
    await page.goto(address);
    await page.locator('#refused').waitFor({ state: 'attached' });
    const kept = await answersKept(page);
    if (next) taken += 1;
    if (kept < gone + (next ? 1 : 0)) wrong.push(`after “${heading}” ${kept} answers are kept of ${gone + 1}`);
    gone = kept;
  }
  console.log(`killed ${times} times, ${taken} times after the next question was shown: ${gone} answers kept`);
  await context.close();
}

/** How many questions the store has as asked, each with its answer in the text. */
const answersKept = (page) => page.evaluate(() => new Promise((done) => {
  const asks = indexedDB.open('wetside');
  asks.onsuccess = () => {
    const all = asks.result.transaction('jobs').objectStore('jobs').getAll();
    all.onsuccess = () => { asks.result.close(); done(Math.min(all.result[0].path.length, JSON.parse(all.result[0].changes || '{"notes":[]}').notes.length)); };
  };
}));

/** Files come out as they went in, whatever their line ends and marks; a hostile one stays inert. */
async function files(browser) {
  const page = await opened(browser);
  const text = fs.readFileSync('examples/guest-house-double-check.yaml', 'utf8');
  for (const [name, own] of [['plain', text], ['windows', `\ufeff${text.replace(/\n/g, '\r\n')}`], ['no-end', text.trimEnd()]]) {
    await tab(page, 'Jobs');
    const file = path.join(folder, `${name}.yaml`);
    fs.writeFileSync(file, own);
    await chosen(page, [file]);
    await settled(page);
    const out = await exported(page, path.join(folder, `${name}-out.yaml`));
    check(out.equals(fs.readFileSync(file)), `${name} does not come out as it went in`);
  }
  const hostile = path.join(folder, 'hostile.yaml');
  fs.writeFileSync(hostile, text.replace('items:', 'items:\n    - {id: "<img src=x onerror=document.title=1><script>document.title=2</script>"}'));
  await chosen(page, [hostile]);
  await settled(page);
  for (const name of ['Ask', 'Findings', 'Flush', 'Figures']) {
    await tab(page, name);
    await settled(page);
    await page.waitForTimeout(500);
    check((await page.locator('#main img').count()) === 0, `${name}: a hostile name became markup`);
  }
  check((await page.title()).startsWith('Wetside'), 'a hostile name ran');
  const nonsense = path.join(folder, 'nonsense.yaml');
  fs.writeFileSync(nonsense, Array.from({ length: 90000 }, (_, at) => `key_${at}: x`).join('\n'));
  await tab(page, 'Jobs');
  const began = Date.now();
  await chosen(page, [nonsense]);
  await page.locator('#main h1', { hasText: /./ }).waitFor();
  await settled(page);
  console.log(`nonsense of ${fs.statSync(nonsense).size} bytes judged and shown in ${Date.now() - began} ms`);
  await page.context().close();
}

/** Every screen by the rules, in both schemes, wide and narrow, with letters twice as large. */
async function everybody(browser) {
  for (const [what, more] of [['390', {}], ['320', { viewport: { width: 320, height: 640 } }], ['dark', { colorScheme: 'dark' }], ['1200', { viewport: { width: 1200, height: 800 } }]]) {
    const page = await opened(browser, more);
    await chosen(page, ['examples/guest-house-double-check.yaml']);
    await settled(page);
    for (const large of what === '320' ? [false, true] : [false]) {
      if (large) await page.addStyleTag({ content: 'html { font-size: 200%; }' });
      for (const name of ['Jobs', 'Ask', 'Findings', 'Flush', 'Figures']) {
        await tab(page, name);
        // What opens is part of the screen.
        await page.evaluate(() => document.querySelectorAll('#main details:not(details details)').forEach((one) => { one.open = true; }));
        await page.waitForFunction(() => [...document.querySelectorAll('#main details[open]')].every((one) => one.children.length > 1));
        await accessible(page, `${what}${large ? ' large' : ''}, ${name}`);
        if (what !== '390') await shot(page, `${what}${large ? '-large' : ''}-${name}`);
      }
    }
    await page.context().close();
  }
}

/** What is tapped: a thing that has to go back is ticked off in the survey; a line of a finding leads to its question. */
async function tapped(browser) {
  const page = await opened(browser);
  const survey = path.join(folder, 'tapped.yaml');
  // Before the flush a thing that was put back would deny the stage.
  fs.writeFileSync(survey, fs.readFileSync('examples/guest-house-double-check.yaml', 'utf8').replace('stage: set-up', 'stage: protect'));
  await chosen(page, [survey]);
  await settled(page);
  await tab(page, 'Findings');
  const lines = await page.getByRole('button', { name: /^Line \d+:/ }).allTextContents();
  let led = 0;
  for (const words of [...new Set(lines)]) {
    await page.getByRole('button', { name: words, exact: true }).first().click();
    await page.waitForFunction(() => document.querySelector('#refused') || document.getElementById('said').textContent !== '');
    if ((await page.locator('#refused').count()) > 0) {
      const heading = (await page.locator('#main h1').textContent()).toLowerCase();
      // The words name the fact; of a list they say how many it has, and of what was worked out where it stands.
      const [, fact] = words.match(/`(.*?)`/) || [];
      const same = fact && heading === fact.replace(/_/g, ' ').replace(/\./g, ', ').toLowerCase();
      check(same || /lists|figure\.|as far as/.test(words), `“${words}” leads to “${heading}”`);
      led += 1;
    }
    await tab(page, 'Findings');
  }
  check(led > 5, `${led} of ${lines.length} lines lead to a question`);
  await tab(page, 'Flush');
  const open = page.getByRole('button', { name: /tick off as put back\)$/ });
  const before = await open.count();
  // A valve of a radiator: a control that is put back before the flush would deny the stage.
  const one = open.filter({ hasText: 'breakfast room' }).first();
  const what = (await one.textContent()).slice(2).split(/, found| \(tick off/)[0];
  await shows(page, () => one.click());
  check((await open.count()) === before - 1, `of ${before} things to put back ${await open.count()} are left after one was ticked off`);
  check((await page.locator('#main').textContent()).includes(`✓ ${what}: back`), `${what} is not shown as back`);
  fs.writeFileSync(survey, await stored(page));
  const { register } = JSON.parse(execFileSync(program, ['steps', '--format', 'json', survey]));
  const things = register.make_safe.flatMap((step) => step.things).filter((thing) => thing.name === what);
  check(things.some((thing) => thing.is_back === 'yes'), `the program does not say that ${what} is back`);
  await shows(page, () => page.getByRole('button', { name: /^Take back/ }).click());
  check((await open.count()) === before, 'a tick that was taken back is still there');
  console.log(`${led} of ${new Set(lines).size} lines lead to their questions; ${what} was ticked off, and back on`);
  await page.context().close();
}

/** A job by the keyboard alone: every stop shows where it is, and three questions are answered. */
async function byKeyboard(browser) {
  const page = await opened(browser);
  const until = async (holds, key) => {
    for (let stops = 0; stops < 80; stops += 1) {
      await page.keyboard.press(key || 'Tab');
      const [words, outlined] = await page.evaluate(() => {
        const own = document.activeElement;
        return [own.getAttribute('aria-label') || own.textContent || own.closest('label')?.textContent || '', own === document.body || getComputedStyle(own).outlineStyle !== 'none'];
      });
      check(outlined, `a stop of the keyboard shows nothing: ${words}`);
      if (holds(words)) return true;
    }
    return false;
  };
  check(await page.evaluate(() => true), 'the page is there');
  await page.getByLabel(/^Name of the job/).waitFor();
  for (let stops = 0; stops < 30 && !(await page.evaluate(() => document.activeElement.matches('input[maxlength]'))); stops += 1) await page.keyboard.press('Tab');
  await page.keyboard.type('by keyboard');
  await page.keyboard.press('Enter');
  await page.locator('#refused').waitFor({ state: 'attached' });
  for (let turns = 0; turns < 3; turns += 1) {
    const heading = await page.locator('#main h1').textContent();
    check(await until((words) => /I do not know|^survey/.test(words)), `${heading}: no answer is in reach of the keyboard`);
    await page.keyboard.press('Enter');
    await page.waitForFunction((old) => document.querySelector('#main h1').textContent !== old, heading);
    check(await page.evaluate(() => document.activeElement.tagName === 'H1'), 'the next question does not take the focus');
  }
  for (const name of ['Findings', 'Flush', 'Figures', 'Jobs', 'Findings']) {
    check(await until((words) => words === name, 'Shift+Tab'), `${name} is not in reach of the keyboard`);
    await shows(page, () => page.keyboard.press('Enter'));
    check(await page.evaluate(() => document.activeElement.tagName === 'H1'), `${name} does not take the focus`);
  }
  check(await until((words) => /^(Line \d+|[^:]+, [^:]+):/.test(words)), 'no line of a finding is in reach of the keyboard');
  await shows(page, () => page.keyboard.press('Enter'));
  await page.locator('#refused').waitFor({ state: 'attached' });
  await page.context().close();
}

/** A company's own pack judges with the other, is named, and is kept; a faulty one is refused. A photograph stays. */
async function loaded(browser) {
  const own = path.join(folder, 'own');
  const rule = 'electrical/fewer-spurs-than-boilers.yaml';
  fs.mkdirSync(path.join(own, 'electrical'), { recursive: true });
  const head = 'pack: own\nedition: "2026.1"\ntitle: What our company asks\nscope: the houses that we flush\n';
  fs.writeFileSync(path.join(own, 'pack.yaml'), `${head}colour: blue\n`);
  fs.copyFileSync(path.join('rules/gb-domestic', rule), path.join(own, rule));
  const page = await opened(browser);
  await chosen(page, ['examples/guest-house-double-check.yaml']);
  await tab(page, 'Jobs');
  const load = async () => {
    const [chooser] = await Promise.all([page.waitForEvent('filechooser'), page.getByRole('button', { name: 'Load a pack' }).click()]);
    await shows(page, () => chooser.setFiles(own));
  };
  await load();
  await page.locator('#said', { hasText: 'faulty' }).waitFor();
  console.log(await page.locator('#said').textContent());
  fs.writeFileSync(path.join(own, 'pack.yaml'), head);
  await load();
  await page.reload();
  await page.locator('#refused').waitFor({ state: 'attached' });
  await tab(page, 'Findings');
  const by = await page.locator('#main p').first().textContent();
  check(by.includes('own 2026.1') && by.includes('gb-domestic'), `the packs that judged are not named: ${by}`);
  await tab(page, 'Jobs');
  const [, known] = execFileSync(program, ['rule', 'towel-rail-on-tap-water']).toString().match(/Content: (\w+)/);
  const beside = path.join(folder, 'guest.departures.yaml');
  const words = 'because: it cannot be parted, instead: it is shut off, by: the owner, on: 2026-10-19, until: 2026-10-21';
  fs.writeFileSync(beside, `departures: 1\nsurvey: SEVERN-61\naccepted:\n  - {rule: towel-rail-on-tap-water, as: "${known}", ${words}}\n`);
  await chosen(page, [beside]);
  await page.getByText('accepted by the owner: it cannot be parted').waitFor();
  await tab(page, 'Jobs');
  const [layer] = await Promise.all([page.waitForEvent('filechooser'), page.getByRole('button', { name: 'Load a pack' }).click()]);
  await shows(page, () => layer.setFiles('examples/company/harbour-heating'));
  await tab(page, 'Findings');
  const over = await page.locator('#main p').first().textContent();
  check(/harbour-heating/.test(over) && /own 2026\.1/.test(over), `the layer that judged is not named: ${over}`);
  await accessible(page, 'findings with a departure');
  await shot(page, '8-departed');
  await tab(page, 'Ask');
  const picture = path.join(folder, 'loft.png');
  fs.copyFileSync('docs/job-sheet.png', picture);
  const [chooser] = await Promise.all([page.waitForEvent('filechooser'), page.getByRole('button', { name: 'Take a photograph' }).click()]);
  await shows(page, () => chooser.setFiles(picture));
  const text = (await exported(page, path.join(folder, 'photograph.yaml'))).toString();
  const sum = require('crypto').createHash('sha256').update(fs.readFileSync(picture)).digest('hex');
  check(text.includes(`loft.png, sha256 ${sum}`), 'the survey does not name the photograph with its digest');
  await page.context().close();
}

/** Measured and written down; asserted nowhere. */
async function numbers(browser) {
  const page = await opened(browser);
  await begin(page, 'numbers');
  // The tool slows the page and not its worker, in which the engine runs.
  for (const rate of [1, 4]) {
    const session = await page.context().newCDPSession(page);
    await session.send('Emulation.setCPUThrottlingRate', { rate });
    await page.addInitScript(() => {
      const seen = new MutationObserver(() => {
        const words = (document.querySelector('#verdict strong') || {}).textContent || '';
        if (!window.judgedAt && words && !/Judging|No job/.test(words)) window.judgedAt = performance.now();
      });
      seen.observe(document, { childList: true, subtree: true });
    });
    await page.reload();
    await page.waitForFunction(() => window.judgedAt);
    console.log(`slowed ${rate} times: first verdict ${Math.round(await page.evaluate(() => window.judgedAt))} ms after opening`);
    const took = [];
    for (let at = 0; at < 5; at += 1) {
      took.push(await page.evaluate(async () => {
        const old = document.querySelector('#main').firstElementChild;
        const began = performance.now();
        document.querySelector('#tabs button[data-view=ask]').click();
        while (document.querySelector('#main').firstElementChild === old) await new Promise((done) => setTimeout(done, 1));
        const unknown = [...document.querySelectorAll('#main button')].find((one) => one.textContent === 'I do not know');
        const shown = document.querySelector('#main').firstElementChild;
        const pressed = performance.now();
        unknown.click();
        while (document.querySelector('#main').firstElementChild === shown) await new Promise((done) => setTimeout(done, 1));
        return [Math.round(pressed - began), Math.round(performance.now() - pressed)];
      }).catch(() => null));
    }
    console.log(`slowed ${rate} times: screens shown and answers stored and judged, in ms: ${took.filter(Boolean).map((one) => one.join(' and ')).join('; ')}`);
  }
  await page.context().close();
}

/** An exercise is answered here, and its sheet comes out as a file; the page says nothing of its own. */
async function exercise(browser, survey, sheet) {
  const page = await opened(browser);
  await chosen(page, [survey, sheet]);
  await page.getByLabel(/^Your name/).fill('Nr. 12');
  await page.getByRole('button', { name: 'not yet' }).click();
  await page.locator('ol.survey summary').filter({ hasText: 'backflow_device:' }).click();
  await page.getByLabel('What is wrong').selectOption({ index: 1 });
  await page.getByLabel('What to do about it').selectOption({ index: 2 });
  await page.getByRole('button', { name: 'Claim it' }).click();
  await page.getByRole('heading', { name: 'Your claims (1)' }).waitFor();
  await page.getByRole('button', { name: /^See to this first/ }).click();
  await page.locator('[aria-pressed="true"]').filter({ hasText: 'See to this first' }).waitFor();
  await accessible(page, 'exercise');
  await shot(page, '7-exercise');
  check(!/hazards?\b.*not ruled|DO NOT|clear to/i.test(await page.locator('#verdict').textContent()), 'the page judges an exercise');
  const [file] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name: 'Save the answer sheet' }).click()]);
  await file.saveAs(path.join(folder, 'answers-out.yaml'));
  await page.context().close();
}

(async () => {
  const browser = await chromium.launch({ executablePath: process.env.CHROMIUM || '/usr/bin/chromium', args: ['--no-sandbox'] });
  const runs = { day, files, everybody, tapped, byKeyboard, loaded, full, earlier, heard, numbers, killed: (one) => killed(one, 50), exercise: (one) => exercise(one, path.join(folder, 'exercise/survey.yaml'), path.join(folder, 'exercise/answers.yaml')) };
  const wanted = process.argv.slice(5);
  for (const [name, run] of Object.entries(runs)) {
    if (wanted.length > 0 && !wanted.includes(name)) continue;
    const before = wrong.length;
    await run(browser).catch((error) => wrong.push(`${name}: ${error.message.split('\n').slice(0, 3).join(' ')}`));
    console.log(`${name}: ${wrong.length === before ? 'holds' : 'does not hold'}`);
  }
  await browser.close();
  wrong.forEach((what) => console.log(what));
  process.exit(wrong.length > 0 ? 1 : 0);
})();
