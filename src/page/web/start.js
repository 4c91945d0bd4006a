// Opens the page: the packs, and the job that was open last.

(async () => {
  at('tabs').append(...VIEWS.map(([name, words]) => button(words, () => show(name), { 'data-view': name })));
  // To unpack the engine takes longest of all: it is begun beside everything else.
  engine.ask({}).catch(() => {});
  window.addEventListener('error', (event) => { at('said').textContent = `The page has a fault: ${event.message}`; });
  window.addEventListener('unhandledrejection', (event) => { at('said').textContent = `That did not work: ${event.reason.message || event.reason}`; });
  window.addEventListener('beforeunload', (event) => { if (atStake()) event.preventDefault(); });
  try {
    await packsFromStore();
    const job = await store.job(store.remembered('job'));
    if (job && store.readable(job)) await openJob(job);
    else await show('jobs');
  } catch (error) {
    unstored(error);
    await show('jobs');
  }
})();
