'use strict';
// The engine's module in a thread of its own: a request in, a reply out, both JSON texts.
let engine = null;

function compiled({ text, size }) {
  const signs = atob(text);
  const bytes = new Uint8Array(signs.length);
  for (let at = 0; at < signs.length; at += 1) bytes[at] = signs.charCodeAt(at);
  return WebAssembly.compile(unpacked(bytes, size));
}

function answered(request) {
  const bytes = new TextEncoder().encode(request);
  const room = engine.room(bytes.length);
  new Uint8Array(engine.memory.buffer, room, bytes.length).set(bytes);
  const at = engine.answer();
  return new TextDecoder().decode(new Uint8Array(engine.memory.buffer, at, engine.length()));
}

onmessage = async ({ data }) => {
  try {
    if (data.begin) {
      const module = data.module || (await compiled(data.packed));
      engine = new WebAssembly.Instance(module).exports;
      postMessage({ id: data.id, module });
    } else {
      postMessage({ id: data.id, reply: answered(data.request), held: engine.memory.buffer.byteLength });
    }
  } catch (error) {
    postMessage({ id: data.id, error: String(error) });
  }
};
