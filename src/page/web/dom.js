// Elements of the page. Whatever comes from a survey, a pack or a person becomes a text, never markup.

/** An element. Of its properties functions listen, `true` and texts are attributes, nothing else counts. */
function h(name, props, ...inside) {
  const made = document.createElement(name);
  for (const [key, value] of Object.entries(props || {})) {
    if (typeof value === 'function') made.addEventListener(key, value);
    else if (value !== null && value !== undefined && value !== false) made.setAttribute(key, value === true ? '' : value);
  }
  made.append(...inside.flat(3).filter((one) => one !== null && one !== undefined && one !== false));
  return made;
}

const button = (words, does, props) => h('button', { type: 'button', click: does, ...props }, words);

const paragraph = (words, kind) => h('p', { class: kind }, words);

/** A part that opens; what is in it is made when it is opened first. */
function opens(summary, make) {
  const part = h('details', {}, h('summary', {}, summary));
  part.addEventListener('toggle', async () => {
    if (part.open && part.children.length === 1) part.append(h('div', {}, await make()));
  });
  return part;
}

/** A field with its label; `unit` stands beside it. */
function field(label, props, unit) {
  const input = h('input', { type: 'text', autocomplete: 'off', autocapitalize: 'off', ...props });
  return h('label', { class: 'field' }, h('span', {}, label), h('span', { class: 'with-unit' }, input, unit ? h('span', { class: 'unit' }, unit) : null));
}

/** A drawing of the engine's own making, which has escaped all that a survey says. */
function drawing(svg) {
  const parsed = new DOMParser().parseFromString(svg, 'image/svg+xml').documentElement;
  if (parsed.nodeName !== 'svg') return paragraph('The drawing cannot be shown here.');
  for (const one of parsed.querySelectorAll('script, foreignObject')) one.remove();
  return h('div', { class: 'drawing', tabindex: '0', role: 'group', 'aria-label': 'Drawing' }, document.importNode(parsed, true));
}

/** Gives a file to the person: by the telephone's own sheet where there is one and it is asked for, else as a download. */
async function hand(name, text, kind, share) {
  const blob = new Blob([text], { type: kind });
  if (share) {
    await navigator.share({ files: [new File([blob], `${name}.txt`, { type: 'text/plain' })] });
    return;
  }
  const link = h('a', { href: URL.createObjectURL(blob), download: name });
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(link.href), 60000);
}

const canShare = () => Boolean(navigator.canShare && navigator.canShare({ files: [new File(['x'], 'x.txt', { type: 'text/plain' })] }));

/** Files that the person chooses. */
function chosen(props) {
  return new Promise((done) => {
    const input = h('input', { type: 'file', change: () => done([...input.files]), cancel: () => done([]), ...props });
    input.click();
  });
}
