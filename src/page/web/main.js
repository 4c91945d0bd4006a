// The page: one job at a time, its verdict, and the views of it.

const app = {
  job: null,
  view: 'jobs',
  /** The report on the job as it is now; nothing while there is none. */
  report: null,
  /** The next question, and how many there are. */
  asked: null,
  left: 0,
  /** The question gone to instead of the next one: by its names, or by a line. */
  shown: null,
  unstored: null,
  /** The verdict that those who hear the page were told last: they are told each once. */
  heard: null,
};

const VIEWS = [['ask', 'Ask'], ['judge', 'Findings'], ['flush', 'Flush'], ['work', 'Figures'], ['jobs', 'Jobs']];
const view = {};
const at = (id) => document.getElementById(id);

/** One thing after another, so that nothing is told of a survey that is older than its answers. */
let turn = Promise.resolve();
function inTurn(does) {
  const next = turn.then(does);
  turn = next.catch(() => {});
  return next;
}

/** What the engine says of the job; by faulty packs it says nothing. */
async function told(want, more) {
  const { name, text, departures, changes, skipped, after, walking } = app.job;
  const reply = await engine.ask({ name: `${fileName(name)}.yaml`, survey: text, departures, changes, skipped, after, walking, want, ...more });
  if (reply.faulty_packs) throw new Error(reply.refused.says);
  return reply;
}

/** Stores the job; where that fails it says so until it can be done. */
async function keep() {
  try {
    await store.save(app.job);
    app.unstored = null;
  } catch (error) {
    unstored(error);
  }
  warn();
}

function unstored(error) {
  app.unstored = error.name === 'QuotaExceededError' ? 'its storage is full' : error.message || error.name;
}

/** Whether there are answers that lie nowhere but on this page. */
const atStake = () => app.unstored && app.job && app.job.since > 0;

/** Whether the job may be left for another. */
const mayLeave = () => !atStake() || window.confirm(`“${app.job.name}” is not stored in this browser: ${app.unstored}. Leave it, and lose what was not exported?`);

async function warn() {
  const { kept, full } = await store.standing(false).catch(() => ({ kept: false, full: 0 }));
  const words = [];
  if (app.unstored) words.push(`Not stored in this browser: ${app.unstored}. ${atStake() ? 'Export the job now, and do not close the page before.' : 'What is answered from here on is lost with the page, unless it is exported.'}`);
  if (full > 0.8) words.push('The storage of this browser is nearly full. Export your jobs, and remove old ones.');
  if (!kept && app.job && app.job.since >= 20 && ['judge', 'jobs'].includes(app.view)) words.push(`${app.job.since} answers since the last export, and this browser may clear what it stores. Export the job.`);
  const box = at('warning');
  if (box.textContent !== words.join(' ')) box.textContent = words.join(' ');
  box.hidden = words.length === 0;
}

const JUDGING = 'Judging …';

/** Tells those who hear the page. */
function aloud(words) {
  const box = at('heard');
  box.textContent = words;
  // It stands in the bar as well, and is to be met once by who reads on from there.
  setTimeout(() => { if (box.textContent === words) box.textContent = ''; }, 4000);
}

function verdict() {
  const bar = at('verdict');
  const { report } = app;
  const says = (kind, words, small) => {
    bar.className = kind;
    bar.replaceChildren(h('strong', {}, words), small ? h('span', {}, small) : '');
    const heard = [words, small].filter(Boolean).join(': ');
    if (words === JUDGING || heard === app.heard) return;
    app.heard = heard;
    aloud(heard);
  };
  if (!app.job) says('none', 'No job is open');
  else if (app.job.sheet) says('none', 'Exercise', 'you judge, and the page does not');
  else if (app.failed) says('none', 'Not judged', app.failed);
  else if (!report) says('none', JUDGING);
  else says(report.verdict.replace(/[^a-z]+/g, '-'), sentence(report.verdict_says).slice(0, -1), [inTheWay(report), `stage ${report.stage}`].filter(Boolean).join('; '));
}

/** Takes a reply to what the survey is now. */
function take(reply) {
  app.failed = null;
  [app.report] = JSON.parse(reply.check).surveys;
  app.asked = reply.asked;
  app.left = reply.left;
  verdict();
}

/** Judges the job as it is. */
const judge = () => inTurn(async () => {
  if (!app.job || app.job.sheet) return;
  try {
    take(await told(['check', 'asked'], app.shown || {}));
  } catch (error) {
    app.report = null;
    app.asked = null;
    app.failed = `${error.message}; what was answered is kept`;
    verdict();
  }
});

/**
 * Writes something into the survey, stores it with these parts of the job, and judges anew. The reply says why not,
 * where it was refused.
 */
const change = (act, parts) => inTurn(async () => {
  const { report, job } = { ...app };
  app.report = null;
  verdict();
  const next = { ...job, ...parts };
  const reply = await told(['check', 'asked'], { act, skipped: next.skipped, after: next.after })
    .catch((error) => ({ refused: { says: error.message, help: 'nothing was written; try again' } }));
  if (reply.refused) {
    app.report = report;
    verdict();
    return reply;
  }
  Object.assign(job, parts, { text: reply.survey, changes: reply.changes, changed: Date.now(), since: job.since + 1 });
  if (job.since === 1) store.standing(true).catch(() => {});
  await keep();
  app.shown = null;
  take(reply);
  if (report && report.stage !== app.report.stage) {
    // Another stage is another talk: what was put off or not known is asked again.
    Object.assign(job, { skipped: [], after: [] });
    await keep();
    take(await told(['check', 'asked']));
  }
  return reply;
});

/** The job with another text, or another way to be asked. */
async function put(parts) {
  Object.assign(app.job, parts);
  app.report = null;
  verdict();
  await keep();
  await judge();
}

/** What a person who does not see calls the thing that has the focus. */
const called = (one) => one.getAttribute('aria-label') || (one.labels && one.labels[0] ? one.labels[0].textContent : one.textContent);

const controls = (inside) => [...inside.querySelectorAll('button, summary, input, select, textarea')];

/** Shows a view. The focus goes to its heading, or stays on what it was on, or on what has come into its place. */
async function show(name, stay) {
  app.view = app.job || name === 'jobs' ? name : 'jobs';
  at('said').textContent = '';
  for (const tab of at('tabs').children) {
    tab.disabled = !app.job && tab.dataset.view !== 'jobs';
    if (tab.dataset.view === app.view) tab.setAttribute('aria-current', 'page');
    else tab.removeAttribute('aria-current');
  }
  verdict();
  warn();
  const held = stay && called(document.activeElement);
  const place = stay ? controls(at('main')).indexOf(document.activeElement) : -1;
  // What is typed into a screen that is about to go would be lost.
  at('main').firstElementChild.inert = true;
  const made = app.job && app.job.sheet && app.view !== 'jobs' ? 'exercise' : app.view;
  const inside = h('div', {}, await view[made]().catch((error) => [
    h('h1', {}, 'This cannot be shown'), paragraph(`${sentence(error.message)} What was answered is kept.`),
    button('Try again', () => show(name), { class: 'main' })]));
  at('main').replaceChildren(inside);
  const heading = inside.querySelector('h1');
  heading.tabIndex = -1;
  const now = controls(inside);
  const same = held && (now.find((one) => called(one) === held) || now[place]);
  (same || heading).focus({ preventScroll: true });
  if (!stay) [at('main'), document.documentElement].forEach((one) => one.scrollTo(0, 0));
}

/** Goes to the question of a fact, or of a line of the survey. */
async function goTo(where) {
  app.shown = where;
  await judge();
  if (!app.asked) {
    app.shown = null;
    at('said').textContent = 'There is no question about that line; it can be changed in the text, under Jobs.';
    await judge();
    return;
  }
  await show('ask');
}

async function openJob(job) {
  if (app.job !== job) {
    if (!mayLeave()) return;
    app.unstored = null;
  }
  app.job = job;
  app.report = null;
  app.shown = null;
  store.remember('job', job.id);
  await show(job.sheet ? 'exercise' : 'ask');
}
