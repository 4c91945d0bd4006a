// What stands in the way: findings with the lines they rest on, slips of the pen, and what is missing.

/** A place in the survey, which leads to its question. */
const toPlace = ({ line, column }, words) => h('li', {}, button(`Line ${line}: ${words}`, () => goTo({ ask_place: [line, column] })));

/** The facts that something waits for, which lead to their questions. */
const toFacts = (causes) => causes.map((one) => h('li', {}, button(`${spoken(one.fact)}: ${one.why}${one.detail ? `, ${one.detail}` : ''}`, () => goTo({ ask: [one.fact] }))));

const SIGNS = { hazard: '!!!', preparation: '>', advisory: 'i' };

const departed = ({ by, because, instead, until }) => paragraph(`Departed from until ${until}, accepted by ${by}: ${because}. Instead: ${instead}.`);

/** A slip in a file; of the survey its places lead to their questions. */
const slip = (one, places) => h('article', { class: 'finding problem' },
  h('h3', {}, sentence(one.says)), paragraph(sentence(one.help)), h('ul', { class: 'links' }, places));

function finding(one) {
  const all = [one, ...one.others];
  const undecided = one.outcome === 'undecided';
  const cited = [one.source.work, one.source.clause, one.source.standing, one.source.certainty].filter(Boolean).join(', ');
  const orders = [...new Set(all.map((other) => other.do))];
  return h('article', { class: `finding ${one.class}${undecided ? ' undecided' : ''}` },
    h('h3', {}, h('span', { class: 'class' }, h('span', { 'aria-hidden': 'true' }, `${undecided ? '?' : SIGNS[one.class]} `), `${undecided ? 'undecided ' : ''}${one.class}: `), sentence(one.title)),
    [...new Set(all.map((other) => other.says))].map((says) => paragraph(sentence(says))),
    orders.map((order) => h('p', {}, h('strong', {}, undecided ? 'If so: ' : 'Do: '), sentence(order))),
    one.caution ? h('p', {}, h('strong', {}, 'Caution: '), sentence(one.caution)) : null,
    one.after.length > 0 ? paragraph(`See first to: ${one.after.map((rule) => rule.replace(/-/g, ' ')).join('; ')}.`) : null,
    h('ul', { class: 'links', 'aria-label': undecided ? 'What to find out, each with its question' : 'What it rests on, each with its question' }, undecided
      ? toFacts(all.flatMap((other) => other.causes))
      : all.flatMap((other) => (other.lines.length > 0 ? other.lines.map((line) => toPlace(line.place, line.words)) : [toPlace(other.place, other.place_words)]))),
    one.departure ? departed(one.departure) : null,
    one.more > 0 ? paragraph(`And ${one.more} more.`) : null,
    opens('Why, and who says so', () => [paragraph(sentence(one.because)), paragraph(sentence(cited)), paragraph(`Rule ${one.rule}, ${one.pack}.`)]));
}

const section = (title, inside) => (inside.length > 0 ? h('section', {}, h('h2', {}, title), inside) : null);

view.judge = async () => {
  if (!app.report) await judge();
  const { report } = app;
  if (!report) return [h('h1', {}, 'Not judged'), paragraph(app.failed || ''), button('Judge again', () => show('judge'), { class: 'main' })];
  const of = (kind, outcome) => report.findings.filter((one) => one.class === kind && one.outcome === outcome && !one.departure).map(finding);
  const facts = (asked) => asked.map((one) => h('li', {}, button(`${spoken(one.fact)}: ${one.asks}`, () => goTo({ ask: [one.fact] }))));
  const missing = [...facts(report.gaps), ...facts(report.questions)];
  return [
    h('h1', {}, sentence(report.verdict_says)),
    paragraph(`Stage ${report.stage}${report.as_of ? `, as of ${report.as_of}` : ''}; judged by ${report.packs.join(', ')}.`),
    section('Slips in the file', report.problems.map((one) => slip(one, [one.place, ...one.also.map((also) => also.place)].map((place) => toPlace(place, 'look at it'))))),
    section('Slips in the departures, which depart from nothing', report.departures ? report.departures.problems.map((one) => slip(one, [h('li', {}, `Line ${one.place.line} of ${report.departures.file}`)])) : []),
    section('Hazards', of('hazard', 'broken')),
    section('Steps to do', of('preparation', 'broken')),
    section('What to find out', missing.length > 0 ? [h('ul', { class: 'links' }, missing)] : []),
    section('Hazards not ruled out', of('hazard', 'undecided')),
    section('Steps taken for needed', of('preparation', 'undecided')),
    section('Departed from', report.findings.filter((one) => one.departure).map(finding)),
    section('Worth knowing', [...of('advisory', 'broken'), ...of('advisory', 'undecided')]),
    section('Unlikely answers, worth another look', report.unlikely.map((one) => h('ul', { class: 'links' }, toPlace(one.place, `${spoken(one.fact)}: ${one.says}`)))),
    report.ahead.length > 0 ? opens(`What later stages ask (${report.ahead.length})`, () => report.ahead.map(finding)) : null,
    paragraph('It is an aid to a competent person. Local codes and the maker’s instructions stand above it; gas work and work on fixed electrical wiring are for those licensed to do them.', 'hint'),
  ];
};
