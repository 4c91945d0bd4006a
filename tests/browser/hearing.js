// The page for somebody who only hears it: the tree that a browser hands to a screen reader, in its order.
'use strict';

const { begin, check, chosen, opened, settled, shows, tab } = require('./driving.js');

const CONTROLS = ['button', 'textbox', 'combobox', 'checkbox', 'DisclosureTriangle', 'link', 'image'];

/** What is there, in reading order: what it is, its name, its description, and whether it has the focus. */
async function read(page) {
  const session = await page.context().newCDPSession(page);
  const { nodes } = await session.send('Accessibility.getFullAXTree');
  await session.detach();
  const of = (one) => (one ? one.value : '');
  return nodes.filter((one) => !one.ignored).map((one) => ({
    role: of(one.role), name: of(one.name), description: of(one.description),
    focused: one.properties.some((property) => property.name === 'focused' && property.value.value),
  }));
}

/** Everything on a screen that can be worked has a name of words. */
async function named(page, what) {
  for (const { role, name } of await read(page)) {
    if (CONTROLS.includes(role)) check(/^[\p{L}\p{N}“]/u.test(name), `${what}: a ${role} is called “${name}”`);
    if (role === 'heading') check(/^[\p{L}\p{N}“]/u.test(name), `${what}: a heading reads “${name}”`);
  }
}

/** Where the focus is: the last of those that have it, since the page has it too. */
const focus = async (page) => (await read(page)).filter((one) => one.focused).pop();

/** What was told since this was asked last. */
const toldSince = (page) => page.evaluate(() => window.told.splice(0));

module.exports = async function heard(browser) {
  const page = await opened(browser);
  await page.evaluate(() => {
    window.told = [];
    const live = document.querySelectorAll('[role=status], [role=alert], [aria-live]');
    const listens = new MutationObserver((all) => window.told.push(...new Set(all.map((one) => one.target.textContent).filter(Boolean))));
    live.forEach((one) => listens.observe(one, { childList: true }));
  });
  await begin(page, 'heard');
  await toldSince(page);
  const first = await focus(page);
  check(first.role === 'heading' && first.name === 'Circuit, kind', `the focus is on ${first.role} “${first.name}”, and not on the question`);
  check(/^at the boiler A small cistern .* about \d+ to ask$/.test(first.description), `of the question is said: ${first.description}`);
  await shows(page, () => page.getByRole('button', { name: 'open vented' }).click());
  const told = await toldSince(page);
  check(told.length === 1 && /^Not yet: find out: \d+ hazards not ruled out.*stage survey$/.test(told[0]), `after one answer is told: ${told.join(' / ')}`);
  // A field is told with its unit; typing tells nothing; what is refused is told, and the field has the focus.
  const field = page.locator('#main form input').first();
  await field.focus();
  await page.keyboard.type('some');
  check((await toldSince(page)).length === 0, 'what is typed is told at every stroke');
  await page.keyboard.press('Enter');
  await page.locator('#refused', { hasText: 'is not a number' }).waitFor();
  await settled(page);
  const refused = await focus(page);
  check(refused.role === 'textbox' && refused.description.includes('is not a number'), `after a refusal the focus is on ${refused.role}: ${refused.description}`);
  check((await toldSince(page)).length === 0, 'the verdict is told again where nothing was written');
  await named(page, 'a question');
  await tab(page, 'Jobs');
  await chosen(page, ['examples/open-vented-gravity.yaml']);
  await settled(page);
  for (const name of ['Findings', 'Flush', 'Figures', 'Jobs', 'Ask']) {
    await tab(page, name);
    const [main] = (await read(page)).filter((one) => one.focused && one.role === 'heading');
    check(main, `${name}: the focus is not on the heading`);
    await named(page, name);
  }
  await tab(page, 'Flush');
  const ticks = page.getByRole('button', { name: /tick off as put back\)$/ });
  const [, second] = await ticks.allTextContents();
  await ticks.first().focus();
  await shows(page, () => page.keyboard.press('Enter'));
  const next = await focus(page);
  check(second.endsWith(next.name), `after one thing is ticked off the focus is on “${next.name}”, and not on the next`);
  await page.context().close();
};
