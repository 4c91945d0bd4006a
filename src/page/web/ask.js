// One question a screen: words to choose from, measures with their unit, alike things as a table.

/** Where a question stands on the way: a list that is named by now is found as one that was counted. */
const standing = (names) => names.map((name) => name.replace(/: names$/, ': count'));

/** What became of an answer: the next question, or what is wrong with this one. */
async function answer(question, typed) {
  const refused = at('refused');
  refused.textContent = '';
  const { names } = app.asked;
  const path = [...app.job.path, names].slice(-200);
  const reply = await change({ answer: { names, typed } }, { after: standing(names), path, skipped: [...new Set([...app.job.skipped, ...names])] });
  if (reply.refused) {
    refused.textContent = `${sentence(reply.refused.says)} ${sentence(reply.refused.help)}`;
    const typedInto = document.querySelector('#main input[aria-describedby]');
    if (typedInto) typedInto.setAttribute('aria-invalid', 'true');
    (typedInto || refused).focus();
    return;
  }
  await show('ask');
}

async function putOff() {
  const { names } = app.asked;
  app.shown = null;
  await put({ skipped: [...new Set([...app.job.skipped, ...names])], after: standing(names), path: [...app.job.path, names] });
  await show('ask');
}

async function goBack() {
  const path = [...app.job.path];
  const names = path.pop();
  if (!names) return;
  app.shown = { ask: names };
  await put({ path });
  if (!app.asked) app.shown = null;
  await show('ask');
}

/** The answers to one thing: what is chosen or typed. */
function answers(question, now) {
  const send = (typed) => answer(question, [typed]);
  const { words, several, unit, asks } = question;
  if (asks === 'value' && words.length > 0 && !several) {
    return words.map((word) => button([word, word === now ? h('span', { class: 'now' }, ' written now') : null], () => send(word), { class: 'word' }));
  }
  if (asks === 'value' && several) {
    const written = (now || '').replace(/[[\]]/g, '').split(',').map((word) => word.trim());
    const boxes = words.map((word) => h('input', { type: 'checkbox', value: word, checked: written.includes(word) }));
    const rows = boxes.map((box) => h('label', { class: 'word' }, box, box.value));
    const none = words.includes('none') ? null : button('None of these', () => send('none'), { class: 'word' });
    const save = () => {
      const ticked = boxes.filter((box) => box.checked).map((box) => box.value);
      send(ticked.join(', '));
    };
    return [...rows, button('Save what is ticked', save, { class: 'main' }), none];
  }
  const label = { count: 'How many there are', names: 'Their names, with commas between', value: 'Answer' }[asks];
  const given = field(label, { value: now || '', inputmode: asks === 'count' ? 'numeric' : null, 'aria-describedby': 'refused says' }, unit);
  const input = given.querySelector('input');
  const save = () => send(input.value);
  const form = h('form', { submit: (event) => { event.preventDefault(); save(); } }, given, h('button', { class: 'main' }, 'Save'));
  if (asks === 'count') form.append(button('There are none', () => send('0'), { class: 'word' }));
  if (/date$/.test(question.name)) form.append(button(`Today, ${dayOf(new Date())}`, () => send(dayOf(new Date())), { class: 'word' }));
  return form;
}

/** Alike things, each with its own answer; what is left empty stays open. */
function table(question, now) {
  const { things, words, several, unit } = question;
  const inputs = things.map((thing, row) => {
    const props = { 'aria-label': `${thing}${unit ? `, in ${unit}` : ''}` };
    if (words.length === 0 || several) return h('input', { type: 'text', autocomplete: 'off', value: now[row] || '', ...props });
    return h('select', props, h('option', { value: '' }, '—'), [...words, 'unknown'].map((word) => h('option', { value: word, selected: word === now[row] }, word)));
  });
  const same = (row) => { inputs[row].value = inputs[row - 1].value; };
  const below = () => inputs.forEach((input, row) => row > 0 && same(row));
  const rows = things.map((thing, row) => h('tr', {},
    h('th', { scope: 'row' }, thing),
    h('td', {}, inputs[row], unit ? ` ${unit}` : ''),
    h('td', {}, row === 0 ? button('Same for all below', below) : button('Same as above', () => same(row), { 'aria-label': `Same as above: ${thing}` }))));
  const save = (event) => {
    event.preventDefault();
    answer(question, inputs.map((input) => input.value));
  };
  return h('form', { submit: save },
    several ? paragraph(`Of these, with commas between: ${words.join(', ')}.`, 'hint') : null,
    h('table', { class: 'alike' }, h('caption', {}, number(things.length, 'thing', 'things')), h('tbody', {}, rows)),
    h('button', { class: 'main' }, 'Save'));
}

function unknown(question) {
  const why = field('Why it is not known, if you like', {});
  const send = () => {
    const reason = why.querySelector('input').value.trim();
    answer(question, [`unknown ${reason}`.trim()]);
  };
  return [
    button('I do not know', () => answer(question, ['unknown']), { class: 'word' }),
    opens('Say why it is not known', () => [why, button('Save as unknown', send, { class: 'main' })]),
  ];
}

/** The rules that wait, and what each answer would do. */
async function why() {
  const reply = await told(['asked', 'why'], app.shown || {});
  const { rules, effects } = reply.asked.why;
  const does = (one) => [
    one.settles > 0 ? `settles ${one.settles}` : '',
    one.breaks > 0 ? `finds wrong ${one.breaks}` : '',
    one.opens > 0 ? `opens ${number(one.opens, 'question', 'questions')}` : '',
  ].filter(Boolean).join(', ') || 'decides nothing by itself';
  return [
    rules.length === 0 ? paragraph('Every survey is asked for this, or another question hangs on it.') : paragraph('The answer helps to tell whether this is so here:'),
    h('ul', {}, rules.map((rule) => h('li', {}, h('strong', {}, `${rule.class}: `), `${sentence(rule.title)} ${sentence(rule.because)}`))),
    effects.length > 0 ? h('ul', {}, effects.map((one) => h('li', {}, h('strong', {}, one.answers.join(', ') || 'an answer, at most'), `: ${does(one)}`))) : null,
  ];
}

/** A picture that stays on the telephone; the survey names it with its digest. */
async function photograph() {
  const [file] = await chosen({ accept: 'image/*', capture: 'environment' });
  if (!file) return;
  const bytes = await file.arrayBuffer();
  const sum = await digest(bytes);
  const of = app.asked.names[0];
  try {
    await store.put('photos', { digest: sum, name: file.name, of, job: app.job.id, picture: new Blob([bytes], { type: file.type }) });
  } catch (error) {
    at('refused').textContent = `The photograph is not stored: ${error.message}`;
    return;
  }
  const reply = await change({ remark: `photograph of ${of}: ${file.name}, sha256 ${sum}` }, {});
  await show('ask');
  at('said').textContent = reply.refused ? reply.refused.says : `The photograph ${file.name} is kept with this job.`;
}

async function list() {
  const { questions } = JSON.parse((await told(['questions'])).questions);
  return byPlace(questions).map(([place, asked]) => h('section', {}, h('h2', {}, sentence(place).slice(0, -1)),
    h('ul', { class: 'links' }, asked.map((one) => h('li', {}, button(`${spoken(one.name)}${one.things.length > 1 ? ` (${one.things.length})` : ''}`, () => goTo({ ask: [one.name] })))))));
}

view.ask = async () => {
  if (!app.report) await judge();
  const { asked, job, left } = app;
  const order = button(job.walking ? 'Ask first what settles most' : 'Ask place by place', async () => {
    await put({ walking: !job.walking });
    await show('ask');
  });
  if (!app.report) return [h('h1', {}, 'Not judged'), paragraph(sentence(app.failed)), button('Try again', () => show('ask'), { class: 'main' })];
  if (!asked) return done();
  const [question] = JSON.parse(asked.document).questions;
  const alike = question.things.length > 1;
  return [
    h('div', { class: 'where' },
      button('Back', goBack, { disabled: job.path.length === 0 }),
      h('span', { id: 'place' }, question.place || 'anywhere'),
      h('span', { id: 'left' }, left > 1 ? `about ${left} to ask` : 'the last for now')),
    h('h1', { 'aria-describedby': 'place says left' }, sentence(spoken(question.name)).slice(0, -1)),
    h('p', { id: 'says' }, question.says),
    h('p', { id: 'refused', role: 'alert', tabindex: '-1' }),
    alike ? table(question, asked.now) : answers(question, asked.now[0]),
    alike ? null : unknown(question),
    h('div', { class: 'row' }, button('Put it off', putOff), button('Take a photograph', photograph)),
    opens('Why is this asked?', why),
    opens(number(left, 'question to ask', 'questions to ask'), async () => [order, ...(await list())]),
    undo(),
  ];
};

/** Nothing is left to ask that was not asked: what was put off or is not known can be asked again. */
async function done() {
  const { left } = await inTurn(() => told(['questions'], { skipped: [], after: [] }));
  return [
    h('h1', {}, left > 0 ? 'What was put off is left' : 'Nothing is left to ask'),
    paragraph(`The stage is ${app.report ? app.report.stage : 'not known'}. When the work has gone on, say so: the next stage asks its own.`),
    left > 0 ? button(`Ask again what is not known (${left})`, async () => { await put({ skipped: [], after: [] }); await show('ask'); }, { class: 'main' }) : null,
    button('Change the stage of the job', () => goTo({ ask: ['job.stage'] }), { class: 'word' }),
    button('See the findings', () => show('judge'), { class: 'word' }),
    undo(),
  ];
}

/** Takes the last change back. */
function undo() {
  const { notes } = JSON.parse(app.job.changes || '{"notes":[]}');
  if (notes.length === 0) return null;
  return button(`Take back: ${spoken(notes[notes.length - 1].note)}`, async () => {
    const { path, skipped } = app.job;
    const names = path[path.length - 1] || [];
    const reply = await change('undo', { path: path.slice(0, -1), skipped: skipped.filter((one) => !names.includes(one)) });
    // The log says something else now: no branch is clean by what was taken back.
    if (app.job.flush) await setFlush({ last: '', said: '' });
    await show(app.view);
    at('said').textContent = reply.refused ? reply.refused.says : reply.says[0];
  }, { class: 'quiet' });
}
