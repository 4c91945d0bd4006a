// An exercise: a survey to judge oneself, and its answer sheet. The page judges nothing here, and knows no key.

const isSheet = (text) => /^answers: /m.test(text) && /^claims:/m.test(text);

/** The reasons to choose from, as they stand at the end of the sheet. */
const reasonsOf = (sheet) => {
  const [, listed] = sheet.split(/^# Reasons to choose from.*$/m);
  return (listed || '').split('\n').filter((line) => /^# {3}\S/.test(line)).map((line) => line.slice(4));
};

/** The sheet with what was answered; everything else in it stays. */
function filled(sheet, { trainee, verdict, claims }) {
  const claim = (one) => {
    const parts = [];
    if (one.line) parts.push(`line: ${one.line}`);
    if (one.missing) parts.push(`missing: ${JSON.stringify(one.missing)}`);
    else parts.push(`class: ${one.class}`, `reason: ${JSON.stringify(one.reason)}`);
    return `  - {${parts.join(', ')}}\n`;
  };
  const written = claims.length === 0 ? 'claims: []\n' : `claims:\n${claims.map(claim).join('')}`;
  return sheet
    .replace(/^trainee: .*$/m, () => `trainee: ${JSON.stringify(trainee)}`)
    .replace(/^verdict: [^#\n]*/m, () => `verdict: ${verdict}   `)
    .replace(/^claims:.*\n(?: {2}.*\n)*/m, () => written);
}

const answersTo = async (parts) => {
  Object.assign(app.job.answers, parts);
  app.job.since += 1;
  await keep();
};

function claimForm(line, done) {
  const reasons = reasonsOf(app.job.sheet);
  const kind = h('select', {}, ['hazard', 'preparation', 'advisory'].map((word) => h('option', {}, word)));
  const reason = h('select', {}, h('option', { value: '' }, 'choose'), reasons.map((one) => h('option', {}, one)));
  const missing = h('input', { type: 'text', autocapitalize: 'off', autocomplete: 'off' });
  const said = h('p', { role: 'alert' });
  const add = async (one) => {
    await answersTo({ claims: [...app.job.answers.claims, one] });
    await done();
  };
  const wrong = () => (reason.value ? add({ line, class: kind.value, reason: reason.value }) : (said.textContent = 'Choose a reason.'));
  const lacking = () => (missing.value.trim() ? add({ ...(line ? { line } : {}), missing: missing.value.trim() }) : (said.textContent = 'Say which field is missing.'));
  const label = (words, input) => h('label', { class: 'field' }, h('span', {}, words), input);
  return [said,
    line ? [label('How much it weighs', kind), label('What is wrong', reason), button('Claim it', wrong, { class: 'main' })] : null,
    label('Or: cannot be decided, because this field is missing', missing), button('Claim as missing', lacking, { class: 'word' })];
}

view.exercise = async () => {
  const { job } = app;
  const { trainee, verdict, claims } = job.answers;
  const again = () => show('exercise', true);
  const lines = job.text.replace(/\n$/, '').split('\n');
  const name = field('Your name, or the number you were given', { value: trainee, change: (event) => answersTo({ trainee: event.target.value.trim() }) });
  const verdicts = ['clear', 'not yet', 'do not start'].map((word) => button(word, async () => { await answersTo({ verdict: word }); await again(); }, { class: 'word', 'aria-pressed': String(word === verdict) }));
  const said = (one) => `${one.line ? `line ${one.line}: ` : ''}${one.missing ? `missing ${one.missing}` : `${one.class}, ${one.reason}`}`;
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
      h('ul', { class: 'links' }, claims.map((one, nth) => h('li', {}, said(one), ' ', button('Take it back', async () => { await answersTo({ claims: claims.filter((_, other) => other !== nth) }); await again(); }, { 'aria-label': `Take it back: ${said(one)}` })))),
      opens('Something that no line has', () => claimForm(null, again)),
      button('Save the answer sheet', handIn, { class: 'main' })),
    h('section', {}, h('h2', {}, 'The survey'), paragraph('Tap a line to claim something of it.', 'hint'),
      h('ol', { class: 'survey' }, lines.map((line, nth) => h('li', {}, line.trim() === '' ? null : opens(line, () => claimForm(nth + 1, again)))))),
  ];
};
