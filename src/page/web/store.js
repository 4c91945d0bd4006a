// Jobs in the browser's own storage. The file is the record, and this a copy that outlives the page.

const store = (() => {
  /** The form of a job as it is stored. A page reads its own and all before it. */
  const FORM = 2;
  let opened = null;
  const remembered = new Map();

  function open() {
    opened = opened || new Promise((done, failed) => {
      const asks = indexedDB.open('wetside', FORM);
      asks.onupgradeneeded = () => {
        for (const [name, key] of [['jobs', 'id'], ['packs', 'name'], ['photos', 'digest']]) {
          if (!asks.result.objectStoreNames.contains(name)) asks.result.createObjectStore(name, { keyPath: key });
        }
      };
      asks.onsuccess = () => {
        asks.result.onversionchange = () => asks.result.close();
        done(asks.result);
      };
      asks.onerror = () => failed(new Error(asks.error.name === 'VersionError'
        ? 'a newer page has stored jobs here; open that page, or bring its exported files'
        : asks.error.message));
    });
    return opened;
  }

  /** Does something with one part of the store, and is done when it lies on the disk. */
  async function within(part, mode, does) {
    const base = await open();
    return new Promise((done, failed) => {
      const way = base.transaction(part, mode, { durability: 'strict' });
      const asks = does(way.objectStore(part), way);
      way.oncomplete = () => done(asks && asks.result);
      way.onerror = way.onabort = () => failed(way.error || new Error('the job was changed in another tab'));
    });
  }

  /** A job of an earlier form in this one. In the first its changes could be no text: such cannot be taken back. */
  const read = (job) => (job && job.form < FORM && typeof job.changes !== 'string' ? { ...job, changes: '' } : job);

  return {
    all: (part) => within(part, 'readonly', (at) => at.getAll()),
    jobs: async () => (await within('jobs', 'readonly', (at) => at.getAll())).map(read),
    job: async (id) => read(await within('jobs', 'readonly', (at) => at.get(id))),
    put: (part, one) => within(part, 'readwrite', (at) => at.put(one)),
    remove: (part, key) => within(part, 'readwrite', (at) => at.delete(key)),
    /** Stores a job over the state that it was read in, and over no other. */
    save: (job) => within('jobs', 'readwrite', (at, way) => {
      const asks = at.get(job.id);
      asks.onsuccess = () => {
        if (asks.result && asks.result.state !== job.state) way.abort();
        else at.put({ ...job, form: FORM, state: job.state + 1 });
      };
      way.addEventListener('complete', () => { job.state += 1; });
    }),
    /** What this browser remembers of its user; where it stores nothing, until the page is closed. */
    remember(key, value) {
      remembered.set(key, value);
      try {
        localStorage.setItem(`wetside-${key}`, value);
      } catch { /* Nothing of a job lies here. */ }
    },
    remembered(key) {
      try {
        return remembered.get(key) ?? localStorage.getItem(`wetside-${key}`) ?? '';
      } catch {
        return '';
      }
    },
    readable: (job) => job.form <= FORM,
    /** What the browser says of the storage: whether it keeps it, and how full it is. */
    async standing(ask) {
      const storage = navigator.storage;
      if (!storage || !storage.estimate) return { kept: false, full: 0 };
      const kept = ask ? await storage.persist() : await storage.persisted();
      const { usage, quota } = await storage.estimate();
      return { kept, full: quota ? usage / quota : 0 };
    },
  };
})();
