// Words and numbers: pure functions, which know neither the page nor the engine.

/** `circuit.hold_test` as people say it. */
const spoken = (name) => name.replace(/: (count|names)$/, '').replace(/_/g, ' ').replace(/\./g, ', ');

const sentence = (clause) => (clause ? clause[0].toUpperCase() + clause.slice(1) + (/[.!?:]$/.test(clause) ? '' : '.') : '');

const number = (count, one, many) => `${count} ${count === 1 ? one : many}`;

const two = (count) => String(count).padStart(2, '0');

const dayOf = (date) => `${date.getFullYear()}-${two(date.getMonth() + 1)}-${two(date.getDate())}`;

const clockOf = (date) => `${two(date.getHours())}:${two(date.getMinutes())}`;

/** The time on the wall as the engine reads it. */
const wallTime = (date) => `${dayOf(date)}T${clockOf(date)}`;

/** A stretch of milliseconds as `3:07`; what is over counts with a minus. */
function stretch(ms) {
  const seconds = Math.round(Math.abs(ms) / 1000);
  return `${ms < 0 ? '-' : ''}${Math.floor(seconds / 60)}:${two(seconds % 60)}`;
}

/** What stands in the way by the report, in a few words: `2 hazards, 3 steps`. */
function inTheWay(report) {
  const of = (kind, outcome) => report.findings.filter((one) => one.class === kind && one.outcome === outcome && !one.departure);
  const count = (found) => found.reduce((sum, one) => sum + 1 + one.others.length + one.more, 0);
  const parts = [
    [count(of('hazard', 'broken')), 'hazard', 'hazards'],
    [count(of('hazard', 'undecided')), 'hazard not ruled out', 'hazards not ruled out'],
    [count(of('preparation', 'broken')), 'step to do', 'steps to do'],
    [report.problems.length, 'slip in the file', 'slips in the file'],
    [report.gaps.length + report.more_gaps, 'answer missing', 'answers missing'],
  ];
  return parts.filter(([many]) => many > 0).map(([many, one, more]) => number(many, one, more)).join(', ');
}

/** A name that every file system takes. */
const fileName = (name) => (name.trim().replace(/[^\p{L}\p{N}._ -]+/gu, '-').slice(0, 80) || 'house');

/** The text of a file, byte for byte, with its mark at the beginning; throws where it is no UTF-8. */
const decoded = (bytes) => new TextDecoder('utf-8', { fatal: true, ignoreBOM: true }).decode(bytes);

async function digest(bytes) {
  const hash = new Uint8Array(await crypto.subtle.digest('SHA-256', bytes));
  return [...hash].map((byte) => byte.toString(16).padStart(2, '0')).join('');
}

/** The questions by the places where one stands, in their order. */
function byPlace(questions) {
  const places = new Map();
  for (const one of questions) {
    const place = one.place || 'anywhere';
    if (!places.has(place)) places.set(place, []);
    places.get(place).push(one);
  }
  return [...places];
}
