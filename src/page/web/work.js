// What is worked out: the plan, the drawing, the curves, every figure, and the papers.

const row = (cells) => h('tr', {}, h('th', { scope: 'row' }, cells[0]), cells.slice(1).map((cell) => h('td', {}, cell)));

function tableOf(caption, heads, rows) {
  return h('div', { class: 'wide', tabindex: '0', role: 'group', 'aria-label': caption }, h('table', {}, h('caption', {}, caption), h('thead', {}, h('tr', {}, heads.map((head) => h('th', { scope: 'col' }, head)))), h('tbody', {}, rows.map(row))));
}

function planOf(house) {
  if (!house.plan) return [paragraph(`Not worked out: ${house.why_not}.`)];
  const { order, stages, total } = house.plan;
  return [
    tableOf('Branches in their turn', ['Branch', 'Time', 'Why here'], order.map((one) => [one.id, one.time.value, one.why_here])),
    tableOf('The day', ['Part', 'Time', 'Water'], [...stages.map((one) => [one.stage, one.cost.time.value, one.cost.water.value]), ['all', total.time.value, total.water.value]]),
  ];
}

const figure = (one) => h('li', {}, h('strong', {}, spoken(one.name)), ` ${one.value || `not worked out: ${one.why_not}`}`,
  opens('How', () => [paragraph(sentence(one.says)), paragraph(one.formula), one.lines.length > 0 ? h('ul', { class: 'links' }, one.lines.map((line) => toPlace({ line, column: 0 }, 'rests on this'))) : null]));

/** Parts of the job sheet, with that sheet's style for themselves alone. */
function ofSheet(sheet, which) {
  const parsed = new DOMParser().parseFromString(sheet, 'text/html');
  const host = h('div', { class: 'wide' });
  // The colours of the sheet are those of its root, which is the host here.
  const style = h('style', {}, [...parsed.querySelectorAll('style')].map((one) => one.textContent.replaceAll(':root', ':host')).join('\n'));
  host.attachShadow({ mode: 'open' }).append(style, ...[...parsed.querySelectorAll(which)].map((one) => document.importNode(one, true)));
  return host;
}

const PAPERS = { 'job.html': 'Job sheet', 'customer.html': 'For the customer', 'water-record.html': 'Water record', 'label.html': 'Label' };

function paper(one) {
  return h('section', {}, h('h3', {}, PAPERS[one.name]),
    h('div', { class: 'row' }, button(`Save ${one.name}`, () => hand(`${fileName(app.job.name)}-${one.name}`, one.text, 'text/html'))),
    opens('Look at it', () => h('iframe', { class: 'paper', title: PAPERS[one.name], sandbox: '', srcdoc: one.text })));
}

view.work = async () => {
  if (!app.report) await judge();
  const reply = await inTurn(() => told(['figures', 'curves', 'papers']));
  const [figures] = JSON.parse(reply.figures).surveys;
  const about = [...new Set(figures.figures.map((one) => one.about))];
  return [
    h('h1', {}, 'Figures, drawing and papers'),
    h('section', {}, h('h2', {}, 'Drawing'), ofSheet(reply.papers[0].text, 'svg.system, .legend, .legend-lines'),
      opens('The same as a table', () => ofSheet(reply.papers[0].text, '.parts'))),
    h('section', {}, h('h2', {}, 'Plan'), planOf(figures.house)),
    h('section', {}, h('h2', {}, 'Curves'), reply.curves.map((one) => (one.svg ? drawing(one.svg) : paragraph(`${sentence(one.name).slice(0, -1)}: ${one.why_not}.`)))),
    h('section', {}, h('h2', {}, 'Papers'), reply.papers.map(paper)),
    h('section', {}, h('h2', {}, 'Every figure'), about.map((part) => opens(sentence(part).slice(0, -1), () => h('ul', { class: 'figures' }, figures.figures.filter((one) => one.about === part).map(figure))))),
    paragraph('Figures rank and warn; they do not design. Gauges, thermometers and the maker’s limits stand above them.', 'hint'),
  ];
};
