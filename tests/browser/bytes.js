// Holds the engine of the page to the program: check, figures and questions of every example, byte for byte, and of
// as many surveys with changed numbers as are asked for.
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
  return (request) => {
    const bytes = Buffer.from(JSON.stringify(request));
    const room = engine.room(bytes.length);
    new Uint8Array(engine.memory.buffer, room, bytes.length).set(bytes);
    const at = engine.answer();
    return JSON.parse(Buffer.from(engine.memory.buffer, at, engine.length()).toString());
  };
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

/** Numbers of a survey, changed by a draw that is the same everywhere. */
function* changes(names, count) {
  let seed = 20261013;
  const drawn = (below) => {
    seed = (Math.imul(seed, 1103515245) + 12345) >>> 0;
    return Math.floor((seed / 2 ** 32) * below);
  };
  for (let nth = 0; nth < count; nth += 1) {
    const text = fs.readFileSync(names[nth % names.length], 'utf8');
    yield text.replace(/\d+/g, (digits) => (drawn(12) === 0 ? String(drawn(10 ** Math.min(digits.length, 4)) + 1) : digits));
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

/** Nonsense stays bounded, and leaves the next survey alone. */
const nonsense = { wide: 'a: [1, {b: "é\u0000'.repeat(60000), deep: '['.repeat(1000000), keys: Array.from({ length: 60000 }, (_, at) => `key_${at}: ${at}`).join('\n') };
for (const [what, survey] of Object.entries(nonsense)) {
  const began = Date.now();
  const reply = answer({ name: what, survey, want: ['check'] });
  const took = Date.now() - began;
  if (JSON.parse(reply.check).surveys[0].problems.length === 0) wrong.push(`nonsense (${what}) has no problem`);
  console.log(`nonsense (${what}, ${survey.length} signs): ${took} ms, ${reply.check.length} signs`);
}

fs.rmSync(folder, { recursive: true });
wrong.forEach((what) => console.log(what));
console.log(`${names.length} surveys, ${wrong.length} differences`);
process.exit(wrong.length > 0 || examples.length === 0 ? 1 : 0);
