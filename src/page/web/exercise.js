// An exercise: a survey to judge oneself, and its answer sheet. The page judges nothing here, and knows no key.

const isSheet = (text) => /^answers: /m.test(text) && /^claims:/m.test(text);

/** One of the lists at the end of the sheet: `Reasons`, `Fields` or `Steps`; none where the sheet offers none. */
const offered = (sheet, what) => {
  const lines = sheet.split('\n');
  const from = lines.findIndex((line) => line.startsWith(`# ${what} `)) + 1;
  const rest = from === 0 ? [] : lines.slice(from).map((line) => /^# {2,}(\S.*)$/.exec(line));
  const end = rest.indexOf(null);
  return rest.slice(0, end < 0 ? rest.length : end).map(([, words]) => words);
};

/** `4  the words of the fourth` as its number and its words. */
const numbered = (one) => /^(\d+)\s+(.*)$/.exec(one).slice(1);

/** The sheet with what was answered; everything else in it stays. */
function filled(sheet, { trainee, verdict, claims, first }) {
  const claim = (one) => {
    const parts = [];
    if (one.line) parts.push(`line: ${one.line}`);
    if (one.missing) parts.push(`missing: ${JSON.stringify(one.missing)}`);
    else parts.push(`class: ${one.class}`, one.says ? `says: ${JSON.stringify(one.says)}` : `reason: ${JSON.stringify(one.reason)}`);
    if (one.with) parts.push(`with: [${one.with.join(', ')}]`);
    if (one.do) parts.push(`do: ${one.do}`);
    return `  - {${parts.join(', ')}}\n`;
  };
  const seenTo = Number.isInteger(first) ? `first: ${first + 1}\n` : '';
  const written = (claims.length === 0 ? 'claims: []\n' : `claims:\n${claims.map(claim).join('')}`) + seenTo;
  return sheet
    .replace(/^trainee: .*$/m, () => `trainee: ${JSON.stringify(trainee)}`)
    .replace(/^verdict: [^#\n]*/m, () => `verdict: ${verdict}   `)
    .replace(/^claims:.*\n(?: {2}.*\n)*(?:first:.*\n)?/m, () => written);
}

const answersTo = async (parts) => {
  Object.assign(app.job.answers, parts);
  app.job.since += 1;
  await keep();
};

/** A choice among numbered words of the sheet; its value is the number. */
const choice = (all) => h('select', {}, h('option', { value: '' }, 'choose'), all.map((one) => {
  const [number, words] = numbered(one);
  return h('option', { value: number }, words);
}));

function claimForm(line, done) {
  const { sheet } = app.job;
  const reasons = offered(sheet, 'Reasons');
  const steps = offered(sheet, 'Steps');
  const kind = h('select', {}, ['hazard', 'preparation', 'advisory'].map((word) => h('option', {}, word)));
  const reason = choice(reasons);
  const own = h('input', { type: 'text', autocomplete: 'off' });
  const rests = h('input', { type: 'text', inputmode: 'numeric', autocomplete: 'off' });
  const step = choice(steps);
  const fields = h('datalist', { id: `fields-${line || 'none'}` }, offered(sheet, 'Fields').map((one) => {
    const [name, says] = one.split(/:\s+(.*)/s);
    return h('option', { value: name }, says);
  }));
  const missing = h('input', { type: 'text', autocapitalize: 'off', autocomplete: 'off', list: fields.id });
  const said = h('p', { role: 'alert' });
  const add = async (one) => {
    const lines = rests.value.match(/\d+/g);
    const claim = { ...one, ...(lines && !one.missing ? { with: lines.map(Number) } : {}), ...(step.value ? { do: Number(step.value) } : {}) };
    await answersTo({ claims: [...app.job.answers.claims, claim] });
    await done();
  };
  const words = () => own.value.trim();
  const wrong = () => {
    if (reason.value) return add({ line, class: kind.value, reason: Number(reason.value) });
    if (words()) return add({ line, class: kind.value, says: words() });
    said.textContent = 'Choose a reason, or say it in words of your own.';
    return null;
  };
  const lacking = () => (missing.value.trim() ? add({ ...(line ? { line } : {}), missing: missing.value.trim() }) : (said.textContent = 'Say which field is missing.'));
  const label = (text, input) => h('label', { class: 'field' }, h('span', {}, text), input);
  return [said,
    line ? [label('How much it weighs', kind),
      reasons.length ? label('What is wrong', reason) : null,
      label(reasons.length ? 'Or in words of your own' : 'What is wrong, in words of your own', own),
      label('Other lines that it rests on, if any', rests)] : null,
    steps.length ? label('What to do about it, if you can say', step) : null,
    line ? button('Claim it', wrong, { class: 'main' }) : null,
    label('Or: cannot be decided, because this field is missing', missing), fields, button('Claim as missing', lacking, { class: 'word' })];
}

/** A claim in words, for whoever made it. */
function inWords(one) {
  const named = (what, number) => {
    const found = offered(app.job.sheet, what).map(numbered).find(([nth]) => Number(nth) === number);
    return found ? found[1] : number;
  };
  const line = one.line ? `line ${one.line}: ` : '';
  const what = one.missing ? `missing ${one.missing}` : `${one.class}, ${one.says || named('Reasons', one.reason)}`;
  const rests = one.with ? `, with lines ${one.with.join(', ')}` : '';
  const step = one.do ? `; do: ${named('Steps', one.do)}` : '';
  return line + what + rests + step;
}

/** The claims that were made, each of which can be taken back or be the one to see to first. */
const claimsMade = ({ claims, first }, again) => h('ul', { class: 'links' }, claims.map((one, nth) => {
  const says = inWords(one);
  const back = async () => {
    const left = claims.filter((_, other) => other !== nth);
    const still = Number.isInteger(first) && first !== nth ? first - (first > nth ? 1 : 0) : null;
    await answersTo({ claims: left, first: still });
    await again();
  };
  const lead = async () => {
    await answersTo({ first: nth });
    await again();
  };
  return h('li', {}, says, ' ',
    button('See to this first', lead, { 'aria-pressed': String(first === nth), 'aria-label': `See to this first: ${says}` }), ' ',
    button('Take it back', back, { 'aria-label': `Take it back: ${says}` }));
}));

view.exercise = async () => {
  const { job } = app;
  const { trainee, verdict, claims } = job.answers;
  const again = () => show('exercise', true);
  const lines = job.text.replace(/\n$/, '').split('\n');
  const name = field('Your name, or the number you were given', { value: trainee, change: (event) => answersTo({ trainee: event.target.value.trim() }) });
  const verdicts = ['clear', 'not yet', 'do not start'].map((word) => button(word, async () => { await answersTo({ verdict: word }); await again(); }, { class: 'word', 'aria-pressed': String(word === verdict) }));
  const handIn = async () => {
    const now = job.answers;
    if (!now.trainee || !now.verdict) {
      at('said').textContent = 'Give your name and your verdict first.';
      return;
    }
    await hand(`${fileName(job.name)}-answers.yaml`, filled(job.sheet, now), 'application/yaml');
  };
  return [
    h('h1', {}, `Exercise ${job.name}`),
    name,
    h('fieldset', {}, h('legend', {}, 'What you would say of this job'), verdicts),
    h('section', {}, h('h2', {}, `Your claims (${claims.length})`),
      claimsMade(job.answers, again),
      opens('Something that no line has', () => claimForm(null, again)),
      button('Save the answer sheet', handIn, { class: 'main' })),
    h('section', {}, h('h2', {}, 'The survey'), paragraph('Tap a line to claim something of it.', 'hint'),
      h('ol', { class: 'survey' }, lines.map((line, nth) => h('li', {}, line.trim() === '' ? null : opens(line, () => claimForm(nth + 1, again)))))),
  ];
};
