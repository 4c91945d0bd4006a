// Opens the page: the packs, and the job that was open last.

(async () => {
  at('tabs').append(...VIEWS.map(([name, words]) => button(words, () => show(name), { 'data-view': name })));
  window.addEventListener('error', (event) => { at('said').textContent = `The page has a fault: ${event.message}`; });
  window.addEventListener('unhandledrejection', (event) => { at('said').textContent = `That did not work: ${event.reason.message || event.reason}`; });
  try {
    await packsFromStore();
    const job = await store.get('jobs', localStorage.getItem('wetside-job') || '');
    if (job && store.readable(job)) await openJob(job);
    else await show('jobs');
  } catch (error) {
    app.unstored = error.message;
    await show('jobs');
  }
})();
