// Holds the engine of the page to the program, byte for byte: check, figures and questions of every example, of as many
// surveys with changed values as are asked for, and a check by a company's layer with departures; and nonsense of 1 MB
// to its bounds.
//
// node bytes.js PROGRAM MODULE [CHANGED]: `.ci/run` builds both and calls this.
'use strict';

const fs = require('fs');
const os = require('os');
const path = require('path');
const { execFileSync } = require('child_process');

const [program, file, changed] = process.argv.slice(2);
const module_ = new WebAssembly.Module(fs.readFileSync(file));

function begun() {
  const engine = new WebAssembly.Instance(module_).exports;
  const answer = (request) => {
    const bytes = Buffer.from(JSON.stringify(request));
    const room = engine.room(bytes.length);
    new Uint8Array(engine.memory.buffer, room, bytes.length).set(bytes);
    const at = engine.answer();
    return JSON.parse(Buffer.from(engine.memory.buffer, at, engine.length()).toString());
  };
  return Object.assign(answer, { held: () => engine.memory.buffer.byteLength });
}

const COMMANDS = { check: ['check', '--format', 'json'], figures: ['figures', '--format', 'json'], questions: ['ask', '--json'] };

function native(command, name) {
  try {
    return execFileSync(program, [...COMMANDS[command], name], { maxBuffer: 1 << 28, stdio: ['ignore', 'pipe', 'ignore'] }).toString();
  } catch (ended) {
    // The code tells the verdict; what is not a verdict has no document.
    return String(ended.stdout);
  }
}

/**
 * Surveys with other values, by a draw that is the same everywhere: one value in so many becomes what another survey
 * has under that key, or `unknown`, or has another number. Most are odd, and some are broken.
 */
function* changes(names, count) {
  const VALUE = /\b([a-z_]+): ([^\s,{}[\]#"'|>&*!][^,{}[\]#"'\n]*)/g;
  const texts = names.map((name) => fs.readFileSync(name, 'utf8'));
  const known = new Map();
  for (const [, key, value] of texts.join('\n').matchAll(VALUE)) known.set(key, [...(known.get(key) || ['unknown']), value.trimEnd()]);
  let seed = 20261013;
  const drawn = (below) => {
    seed = (Math.imul(seed, 1103515245) + 12345) >>> 0;
    return Math.floor((seed / 2 ** 32) * below);
  };
  const number = (digits) => String(drawn(10 ** Math.min(digits.length, 4)) + 1);
  for (let nth = 0; nth < count; nth += 1) {
    const one_in = [6, 15, 40, 100][drawn(4)];
    yield texts[nth % texts.length].replace(VALUE, (whole, key, value) => {
      if (drawn(one_in) > 0) return whole;
      const others = known.get(key);
      return `${key}: ${drawn(3) > 0 ? others[drawn(others.length)] : value.replace(/\d+/g, number)}`;
    });
  }
}

const examples = fs.readdirSync('examples').filter((name) => name.endsWith('.yaml')).map((name) => path.join('examples', name));
const folder = fs.mkdtempSync(path.join(os.tmpdir(), 'wetside-'));
const names = [...examples];
let nth = 0;
for (const text of changes(examples, Number(changed || 0))) {
  names.push(path.join(folder, `${nth += 1}.yaml`));
  fs.writeFileSync(names[names.length - 1], text);
}

const wrong = [];
const answer = begun();
for (const name of names) {
  const reply = answer({ name, survey: fs.readFileSync(name, 'utf8'), want: Object.keys(COMMANDS) });
  for (const command of Object.keys(COMMANDS)) {
    const own = native(command, name);
    if (own === '' || own !== reply[command]) wrong.push(`${name}: ${command} is not what the program gives`);
  }
}

/** A company's layer and what the job departs from judge here as there, and a layer that is stale is refused as there. */
function company() {
  const folder_ = 'examples/company/harbour-heating';
  const files = fs.readdirSync(folder_, { recursive: true }).map(String).filter((one) => one.endsWith('.yaml')).sort();
  const texts = files.map((one) => [one, fs.readFileSync(path.join(folder_, one), 'utf8')]);
  const said = (...args) => {
    try {
      return execFileSync(program, args, { maxBuffer: 1 << 28, stdio: ['ignore', 'pipe', 'ignore'] }).toString();
    } catch (ended) {
      return String(ended.stdout);
    }
  };
  const rule = 'towel-rail-on-tap-water';
  const [, known] = said('rule', rule).match(/Content: (\w+)/);
  const departures = `departures: 1\nsurvey: SEVERN-61\naccepted:\n  - rule: ${rule}\n    as: "${known}"\n    because: it cannot be parted\n    instead: it is shut off\n    by: the owner\n    on: 2026-10-19\n    until: 2026-10-21\n`;
  const name = path.join(folder, 'guest.yaml');
  fs.copyFileSync('examples/guest-house-double-check.yaml', name);
  fs.writeFileSync(path.join(folder, 'guest.departures.yaml'), departures);
  const survey = fs.readFileSync(name, 'utf8');
  const layered = begun();
  const { check } = layered({ packs: [{ name: 'harbour-heating', files: texts }], name, survey, departures, want: ['check'] });
  if (check !== said('check', '--format', 'json', '--pack', folder_, name)) wrong.push('a layer with departures: check is not what the program gives');
  const [judged] = JSON.parse(check).surveys;
  if (judged.judged_by.packs.length !== 2 || !judged.findings.some((one) => one.departure)) wrong.push('a layer with departures: the report does not name both');
  const stale = texts.map(([one, text]) => [one, text.replace(/as: "?\w+"?/, 'as: "0123456789ab"')]);
  const { faulty_packs: faulty } = layered({ packs: [{ name: 'harbour-heating', files: stale }] });
  if (!faulty || !JSON.parse(faulty).pack_problems.every((one) => one.kind.startsWith('stale'))) wrong.push(`a stale layer is not refused: ${faulty}`);
}
company();

/** Nonsense stays bounded, and leaves the next survey alone. */
const full = (part, bytes = 950000) => part.repeat(Math.ceil(bytes / Buffer.byteLength(part)));
const many = (line) => Array.from({ length: 60000 }, (_, at) => line(at)).join('\n');
const nonsense = {
  // So long that work which grew with the square of it would never end.
  'quotes that open nothing, in one line': full('a: [1, {b: "é\u0000', 4e6),
  'a quote a line': full('a: "b\n'),
  'brackets': full('['),
  'list marks': full('- '),
  'keys': many((at) => `key_${at}: ${at}`),
  'one key over and over': full('survey: 1\n'),
  'anchors and aliases': many((at) => `a${at}: &a${at} [*a${at - 1}, *a${at - 1}]`),
  'tags': full('a: !b c\n'),
  'documents': full('---\na: 1\n'),
  'comments': full('a: 1 # finds: x\n'),
  'tabs': full('a:\t\n'),
  'texts of lines': full('a: |\n'),
  'one long value': `notes: "${full('\\n')}"`,
  'line ends of another machine': full('a: 1\r\n'),
  'signs beyond the first plane': full('🔥: 💧\n'),
  'nameless radiators': `emitters:\n  items:\n${full('    - id: a\n')}`,
};
for (const [what, survey] of Object.entries(nonsense)) {
  const apart = begun();
  const began = process.cpuUsage().user;
  const reply = apart({ name: what, survey, want: ['check', 'asked'] });
  const took = Math.round((process.cpuUsage().user - began) / 1000);
  if (JSON.parse(reply.check).surveys[0].problems.length === 0) wrong.push(`nonsense (${what}) has no problem`);
  if (apart.held() > 200e6) wrong.push(`nonsense (${what}) takes ${apart.held()} bytes`);
  // So long does the page wait, and then gives the engine up.
  if (took > 30000) wrong.push(`nonsense (${what}) takes ${took} ms`);
  console.log(`nonsense (${what}): ${survey.length} signs, ${took} ms, ${apart.held()} bytes held, ${reply.check.length} told`);
}

fs.rmSync(folder, { recursive: true });
wrong.forEach((what) => console.log(what));
console.log(`${names.length} surveys, ${wrong.length} differences`);
process.exit(wrong.length > 0 || examples.length === 0 ? 1 : 0);
