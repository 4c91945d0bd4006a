// The engine behind the page: a worker that is begun again after a fall, a stand-still or a large survey.

const engine = (() => {
  const LONGEST = 30000;
  const MOST_MEMORY = 96 * 1024 * 1024;
  const source = document.getElementById('worker').textContent;
  const carried = document.getElementById('module');
  let packed = { text: carried.textContent, size: Number(carried.dataset.size) };
  let packs = [];
  let worker = null;
  let module = null;
  let ready = null;
  let count = 0;
  const waiting = new Map();

  function post(message) {
    const id = (count += 1);
    return new Promise((done, failed) => {
      const late = setTimeout(() => fallen('the engine took too long'), LONGEST);
      waiting.set(id, { done, failed, late });
      worker.postMessage({ ...message, id });
    });
  }

  /** The worker is given up, with its memory; who waits is told. */
  function fallen(why) {
    if (worker) worker.terminate();
    worker = null;
    ready = null;
    for (const { failed, late } of waiting.values()) {
      clearTimeout(late);
      if (why) failed(new Error(why));
    }
    waiting.clear();
  }

  async function begin() {
    const address = URL.createObjectURL(new Blob([source], { type: 'text/javascript' }));
    worker = new Worker(address);
    worker.onmessage = ({ data }) => {
      const one = waiting.get(data.id);
      if (!one) return;
      waiting.delete(data.id);
      clearTimeout(one.late);
      if (data.error) {
        one.failed(new Error(data.error));
        fallen('the engine fell');
      } else one.done(data);
    };
    worker.onerror = (event) => fallen(`the engine fell: ${event.message || 'no reason is known'}`);
    module = (await post({ begin: true, module, packed: module ? null : packed })).module;
    packed = null;
    URL.revokeObjectURL(address);
    if (packs.length > 0) await say({ packs });
  }

  async function say(request) {
    const { reply, held } = await post({ request: JSON.stringify(request) });
    if (held > MOST_MEMORY && waiting.size === 0) fallen(null);
    return JSON.parse(reply);
  }

  return {
    /** The reply to a request. Rejects where there is none; the next request finds a new engine. */
    async ask(request) {
      ready = ready || begin().catch((error) => {
        fallen(null);
        throw error;
      });
      await ready;
      return say(request);
    },
    /** Judges by these packs from here on; the report on what is wrong with them, if anything is. */
    async judgeBy(files) {
      packs = files;
      return (await this.ask({ packs })).faulty_packs;
    },
  };
})();
