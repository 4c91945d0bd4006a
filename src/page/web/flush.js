// During the flush: the branch, the clock, the readings, the curve, and what has to go back.

let ticking = null;

/** What the page remembers of the flush beside the survey. */
const flushOf = (job) => job.flush || { branch: '', since: 0, reverse: false, turned: 0, last: '', clean: {} };

const setFlush = async (parts) => {
  app.job.flush = { ...flushOf(app.job), ...parts };
  await keep();
};

/** Writes a note, with the time on the wall where it says `now`; what is said back, or why not. */
const note = (line, by) => change({ note: { line, clock: /\bnow\b/.test(line) ? wallTime(new Date()) : null, by } }, {});

const toldBack = (reply) => (reply.refused ? [reply.refused.says, reply.refused.help] : reply.says).map(sentence).join(' ');

/** The clock of a branch: how long it is flushed, and when the flow is turned next. */
function clock(every) {
  const box = h('p', { class: 'clock', role: 'timer' });
  const tick = () => {
    const { since, turned } = flushOf(app.job);
    if (!since) {
      box.textContent = 'Not begun';
      return;
    }
    const now = Date.now();
    const next = every && every.low ? every.low * 1000 - (now - turned) : null;
    box.replaceChildren(h('strong', {}, stretch(now - since)), ' on this branch', next === null ? '' : next >= 0 ? `; turn the flow in ${stretch(next)}` : `; turn the flow now, ${stretch(-next)} late`);
    const late = next !== null && next < 0;
    if (late && !box.classList.contains('late')) aloud('Turn the flow now.');
    box.classList.toggle('late', late);
  };
  clearInterval(ticking);
  ticking = setInterval(() => (box.isConnected || app.view === 'flush' ? tick() : clearInterval(ticking)), 1000);
  tick();
  return box;
}

function reading(flush) {
  const ppm = field('Dissolved solids of the discharge', { inputmode: 'decimal', required: true }, 'ppm');
  const warmth = field('Temperature of the discharge', { inputmode: 'decimal', required: true }, '°C');
  const said = h('p', { role: 'status', class: 'said-back' });
  const save = async (event) => {
    event.preventDefault();
    const [value, degrees] = [ppm, warmth].map((one) => one.querySelector('input').value.trim().replace(',', '.'));
    const reply = await note(`${flush.branch}${flush.reverse ? ' reverse' : ' forward'} ${value} ppm ${degrees} C now`);
    if (!reply.refused) await setFlush({ last: flush.branch, said: toldBack(reply) });
    await (reply.refused ? null : show('flush', true));
    if (reply.refused) said.textContent = toldBack(reply);
    else document.querySelector('.reading input').focus();
  };
  if (flush.last === flush.branch && flush.said) said.textContent = flush.said;
  return h('form', { class: 'reading', submit: save }, h('h2', {}, 'Reading'), ppm, warmth, h('button', { class: 'main' }, 'Write the reading'), said);
}

/** When each branch was left as clean: as somebody said here, or by its last reading in the survey. */
const cleanOf = (read, flush) => ({ ...Object.fromEntries(read.filter((one) => one.clean).map((one) => [one.of, one.at || 'before'])), ...flush.clean });

function nextBranch(read, flush, order) {
  const clean = read.some((one) => one.of === flush.branch && one.clean);
  const done = cleanOf(read, flush);
  const next = order.find((id) => id !== flush.branch && !done[id]);
  const go = async () => {
    await setFlush({ clean: { ...flush.clean, [flush.branch]: clockOf(new Date()) }, branch: next || '', since: 0, said: '' });
    await show('flush');
  };
  return [
    button(next ? `This branch is clean; go on with ${next}` : 'This branch is clean, and the last', go, { class: 'main', disabled: !clean }),
    clean ? null : paragraph('A branch is clean when its last reading counts as clean, and not before.', 'hint'),
  ];
}

/** What was moved and is not back, in the order of the way back. */
function wayBack(steps) {
  if (!steps) return paragraph('No pack says what is moved.');
  const { make_safe: all, temporary } = steps.register;
  const row = (step, thing) => {
    const back = thing.is_back === 'yes';
    const tick = async () => {
      const one = step.sort.replace(/s$/, '');
      const by = store.remembered('by') || null;
      let reply = await note(`${thing.name} ${one} back now`, by);
      if (reply.refused) reply = await note(`${thing.name} back now`, by);
      const words = toldBack(reply);
      await show('flush', true);
      at('said').textContent = words;
    };
    return h('li', {}, back ? h('span', { class: 'word' }, h('span', { 'aria-hidden': 'true' }, '✓ '), `${thing.name}: back`) : button([h('span', { 'aria-hidden': 'true' }, '☐ '), `${thing.name}${thing.found ? `, found ${thing.found}` : ''}`, h('span', { class: 'unseen' }, ' (tick off as put back)')], tick, { class: 'word' }));
  };
  const moved = [...all].reverse().map((step) => [step, step.things.filter((thing) => thing.is_moved === 'yes' && thing.is_back !== null)]);
  const parts = moved.filter(([, things]) => things.length > 0).map(([step, things]) => h('section', {}, h('h3', {}, sentence(step.sort).slice(0, -1)), step.undo ? paragraph(sentence(step.undo)) : null, h('ul', { class: 'links' }, things.map((thing) => row(step, thing)))));
  return [temporary.moved > 0 ? paragraph(`${temporary.back} of ${temporary.moved} temporary items are off.`) : null, ...parts, parts.length === 0 ? paragraph('Nothing is known to be moved.') : null];
}

function anyNote() {
  const line = field('A note, such as “kitchen return valve found 1.25 turns open”', {});
  const by = field('Who puts things back', { value: store.remembered('by'), change: (event) => store.remember('by', event.target.value.trim()) });
  const save = async (event) => {
    event.preventDefault();
    const reply = await note(line.querySelector('input').value);
    if (!reply.refused) await show('flush', true);
    at('said').textContent = toldBack(reply);
  };
  return h('form', { submit: save }, line, h('button', { class: 'main' }, 'Write the note'), by);
}

view.flush = async () => {
  if (!app.report) await judge();
  const reply = await inTurn(() => told(['figures', 'steps', 'read', 'curves']));
  const [figures] = JSON.parse(reply.figures).surveys;
  const steps = reply.steps && JSON.parse(reply.steps);
  const plan = figures.house.plan;
  const flush = flushOf(app.job);
  const order = plan ? plan.order.map((one) => one.id) : [];
  const clean = cleanOf(reply.read, flush);
  const curve = reply.curves.find((one) => one.name === 'rinse');
  const pick = h('select', { change: async (event) => { await setFlush({ branch: event.target.value, since: 0, said: '' }); await show('flush', true); } },
    h('option', { value: '' }, 'choose'), [...new Set([...order, flush.branch].filter(Boolean)), 'all open'].map((id) => h('option', { value: id, selected: id === flush.branch }, `${id}${clean[id] ? `, clean ${clean[id]}` : ''}`)));
  const turnFlow = async () => { await setFlush({ reverse: !flush.reverse, turned: Date.now() }); await show('flush', true); };
  const begin = async () => { await setFlush({ since: Date.now(), turned: Date.now(), reverse: false }); await show('flush', true); };
  const running = flush.branch && [
    clock(plan && plan.reversed_every),
    flush.since
      ? button(`Flow turned (now ${flush.reverse ? 'reverse' : 'forward'})`, turnFlow, { class: 'word' })
      : button(`Begin with ${flush.branch}`, begin, { class: 'main' }),
    reading(flush),
    flush.branch === 'all open' ? null : nextBranch(reply.read, flush, order),
  ];
  return [
    h('h1', {}, flush.branch ? `Flushing ${flush.branch}` : 'The flush'),
    plan ? null : paragraph(`There is no plan yet: ${figures.house.why_not}.`),
    h('label', { class: 'field' }, h('span', {}, 'Branch being flushed'), pick),
    running || null,
    h('section', {}, h('h2', {}, 'Rinsing'), curve.svg ? drawing(curve.svg) : paragraph(sentence(curve.why_not))),
    h('section', {}, h('h2', {}, 'To put back'), wayBack(steps)),
    h('section', {}, h('h2', {}, 'Note'), anyNote()),
    undo(),
  ];
};
