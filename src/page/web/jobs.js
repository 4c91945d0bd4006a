// The jobs that are stored here, files in and out, and the packs to judge by.

const newJob = (name, parts) => ({
  id: crypto.randomUUID(), state: 0, name, text: '', departures: null, changes: '', skipped: [], after: [], path: [], walking: false,
  made: Date.now(), changed: Date.now(), since: 0, exported: null, ...parts,
});

async function begin(name) {
  const job = newJob(name || `house of ${dayOf(new Date())}`, {});
  const reply = await engine.ask({ name: 'new', act: 'begin' });
  if (reply.refused) throw new Error(reply.refused.says);
  job.text = reply.survey;
  await openNew(job);
}

async function openNew(job) {
  if (!mayLeave()) return;
  app.job = job;
  await keep();
  await openJob(job);
}

async function bring(name, text, sheet) {
  const same = (await store.jobs()).find((job) => job.text === text && !job.sheet === !sheet);
  if (same && store.readable(same)) {
    await openJob(same);
    return;
  }
  const answers = sheet ? { sheet, answers: { trainee: '', verdict: '', claims: [] } } : {};
  await openNew(newJob(name.replace(/(\.yaml|\.yml|\.txt)+$/, ''), { text, ...answers }));
  if (!sheet) await show('judge');
}

const isDepartures = (text) => /^departures:/m.test(text);

/** What the open job departs from; it is judged with that from here on. */
async function depart(departures) {
  await put({ departures });
  await show(departures ? 'judge' : 'jobs');
}

/** Surveys, each as a job; with an answer sheet beside it a survey is an exercise. */
async function bringFiles() {
  const texts = [];
  for (const file of await chosen({ multiple: true })) {
    try {
      texts.push([file.name, decoded(await file.arrayBuffer())]);
    } catch {
      at('said').textContent = `${file.name} is no text: a survey is a YAML file in UTF-8.`;
    }
  }
  const sheet = texts.find(([, text]) => isSheet(text));
  const beside = texts.find(([, text]) => isDepartures(text));
  const surveys = texts.filter(([, text]) => !isSheet(text) && !isDepartures(text));
  if (sheet && surveys.length !== 1) {
    at('said').textContent = 'Choose the survey of the exercise and its answer sheet together.';
    return;
  }
  for (const [name, text] of surveys) await bring(name, text, sheet && sheet[1]);
  if (!beside) return;
  if (app.job && !app.job.sheet && surveys.length <= 1) await depart(beside[1]);
  else at('said').textContent = 'Departures are of one job: open it, or choose its survey with them.';
}

async function exportJob(share) {
  const { job } = app;
  try {
    await hand(`${fileName(job.name)}.yaml`, job.text, 'application/yaml', share);
  } catch (error) {
    at('said').textContent = error.name === 'AbortError' ? 'It was not sent.' : error.message;
    return;
  }
  Object.assign(job, { exported: Date.now(), since: 0 });
  await keep();
  await show('jobs', true);
}

async function removeJob(job) {
  if (!window.confirm(`Remove “${job.name}” from this browser? Its exported files stay.`)) return;
  await store.remove('jobs', job.id);
  for (const photo of await store.all('photos')) if (photo.job === job.id) await store.remove('photos', photo.digest);
  if (app.job && app.job.id === job.id) app.job = null;
  await show('jobs');
}

const last = (job) => `changed ${dayOf(new Date(job.changed))} ${clockOf(new Date(job.changed))}; ${job.exported ? `last file ${clockOf(new Date(job.exported))}` : 'no file yet'}, ${number(job.since, 'answer', 'answers')} since`;

function oneJob(job) {
  if (!store.readable(job)) {
    return h('li', {}, `${job.name}: stored by a newer page. `, button('Export as it is', () => hand(`${fileName(job.name)}.yaml`, job.text, 'application/yaml')));
  }
  const open = app.job && app.job.id === job.id;
  return h('li', {}, button([job.name, h('span', { class: 'now' }, ` ${last(job)}`)], () => openJob(job), { class: 'word', 'aria-current': open ? 'true' : null }),
    button('Remove', () => removeJob(job), { class: 'quiet', 'aria-label': `Remove ${job.name}` }));
}

/** The text of the survey, with its lines, to be read or mended by hand. */
function text() {
  const box = h('textarea', { rows: 18, spellcheck: 'false', autocapitalize: 'off', 'aria-label': 'Text of the survey' });
  box.value = app.job.text;
  // A field of a page knows one line end; another is kept by not offering to save it here.
  const plain = box.value === app.job.text;
  const save = async () => {
    await put({ text: box.value, changes: '', since: app.job.since + 1, changed: Date.now() });
    await show('judge');
  };
  return [box, plain ? button('Save the text', save, { class: 'main' }) : paragraph('Its line ends or its mark would be changed here: change it in an editor.', 'hint')];
}

async function photos() {
  const own = (await store.all('photos')).filter((one) => one.job === app.job.id);
  return own.length === 0 ? paragraph('None yet.') : h('ul', { class: 'links' }, own.map((one) => h('li', {}, button(`${spoken(one.of)}: ${one.name}`, async (event) => {
    const picture = h('img', { src: URL.createObjectURL(one.picture), alt: `Photograph of ${spoken(one.of)}` });
    event.target.after(picture);
  }))));
}

const thisJob = (job) => h('section', {}, h('h2', {}, `Open: ${job.name}`),
  h('div', { class: 'row' }, job.sheet ? null : button('Export the YAML', () => exportJob(false), { class: 'main' }), canShare() && !job.sheet ? button('Send it', () => exportJob(true)) : null),
  job.departures ? h('p', {}, 'It departs from rules, as the file beside it says. ', button('Leave the departures out', () => depart(null))) : null,
  job.sheet ? null : [opens('Text of the survey', text), opens('Photographs', photos)]);

// Packs.

async function packsFromStore() {
  const packs = await store.all('packs');
  if (packs.length > 0) await engine.judgeBy(packs);
}

/** Files of a folder as a pack: what lies below the folder that holds `pack.yaml`. */
async function loadPack() {
  const files = (await chosen({ webkitdirectory: true, multiple: true })).filter((file) => file.name.endsWith('.yaml'));
  const path = (file) => file.webkitRelativePath || file.name;
  const head = files.find((file) => file.name === 'pack.yaml');
  if (!head) {
    at('said').textContent = files.length === 0 ? 'No folder was chosen.' : 'That folder holds no pack.yaml.';
    return;
  }
  const folder = path(head).slice(0, -'pack.yaml'.length);
  const inside = files.filter((file) => path(file).startsWith(folder)).sort((a, b) => (path(a) < path(b) ? -1 : 1));
  const texts = await Promise.all(inside.map(async (file) => [path(file).slice(folder.length), decoded(await file.arrayBuffer())]));
  await usePacks([...(await store.all('packs')), { name: folder.replace(/\/$/, '') || 'pack', files: texts }], true);
}

async function usePacks(packs, storeThem) {
  const faulty = await engine.judgeBy(packs.map(({ name, files }) => ({ name, files })));
  if (faulty && storeThem) {
    const [first, ...rest] = JSON.parse(faulty).pack_problems;
    await engine.judgeBy(await store.all('packs'));
    await show('jobs', true);
    at('said').textContent = `The pack is faulty and was not taken: ${first.file}, line ${first.place.line}: ${first.says}; ${first.help}${rest.length > 0 ? `; and ${rest.length} more` : ''}.`;
    return;
  }
  for (const pack of packs) await store.put('packs', pack);
  app.report = null;
  await judge();
  await show('jobs', true);
}

async function packsPart() {
  const packs = await store.all('packs').catch(() => []);
  const remove = async (pack) => {
    await store.remove('packs', pack.name);
    await usePacks(await store.all('packs'), false);
  };
  return h('section', {}, h('h2', {}, 'Packs'), paragraph('The built-in pack judges always. A company’s own pack is the folder with pack.yaml.', 'hint'),
    h('ul', { class: 'links' }, packs.map((pack) => h('li', {}, pack.name, ' ', button('Leave it out', () => remove(pack), { 'aria-label': `Leave out ${pack.name}` })))),
    button('Load a pack', loadPack));
}

view.jobs = async () => {
  const jobs = await store.jobs().catch(() => []);
  jobs.sort((a, b) => b.changed - a.changed);
  const standing = await store.standing(false).catch(() => ({ kept: false, full: 0 }));
  const name = field('Name of the job, such as its reference', { maxlength: 80 });
  const pasted = h('textarea', { rows: 6, 'aria-label': 'Survey to paste', spellcheck: 'false' });
  return [
    h('h1', {}, 'Jobs'),
    app.job ? thisJob(app.job) : null,
    h('section', {}, h('h2', {}, 'Stored here'), jobs.length === 0 ? paragraph('None yet.') : h('ul', { class: 'links jobs' }, jobs.map(oneJob)),
      paragraph(standing.kept ? 'This browser keeps what is stored.' : 'This browser may clear what is stored: export a job when you leave it.', 'hint')),
    h('section', {}, h('h2', {}, 'New job'), h('form', { submit: (event) => { event.preventDefault(); begin(name.querySelector('input').value.trim()); } }, name, h('button', { class: 'main' }, 'Begin'))),
    h('section', {}, h('h2', {}, 'From a file'), paragraph('A survey; with it, where there is one, its file of departures; of an exercise its answer sheet.', 'hint'),
      button('Choose files', bringFiles, { class: 'word' }),
      opens('Paste a survey', () => [pasted, button('Open what is pasted', () => bring('pasted', pasted.value), { class: 'main' })])),
    await packsPart(),
  ];
};
