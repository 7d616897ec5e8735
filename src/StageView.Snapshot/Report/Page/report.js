'use strict';
(() => {
  const data = JSON.parse(document.getElementById('data').textContent);
  const $ = id => document.getElementById(id);
  const narrow = matchMedia('(max-width: 760px)');
  const kinds = [
    ['changed', 'changed'], ['sizeMismatch', 'other size'], ['added', 'added'], ['removed', 'removed'],
    ['unreadable', 'unreadable'], ['withinTolerance', 'within tolerance'], ['identical', 'identical']];
  const views = [
    ['side', 'Beside'], ['base', 'Base'], ['new', 'New'], ['difference', 'Difference'], ['wipe', 'Wipe'], ['blink', 'Blink']];
  const state = { view: 'side', at: -1, drawn: -1, shown: [], flip: false, timer: 0, real: false };
  const on = new Set(kinds.map(k => k[0]).filter(k => k !== 'identical' && k !== 'withinTolerance'));
  if (!data.frames.some(f => on.has(f.verdict))) { kinds.forEach(k => on.add(k[0])); }

  const el = (tag, text, attributes) => {
    const e = document.createElement(tag);
    if (text !== undefined) { e.textContent = text; }
    for (const [k, v] of Object.entries(attributes || {})) { e.setAttribute(k, v); }
    return e;
  };
  const share = s => s === 0 ? 'none here' : s < 0.0001 ? '<0.01 %' : (100 * s).toFixed(s < 0.1 ? 2 : 1) + ' %';
  const word = v => (kinds.find(k => k[0] === v) || ['', v])[1];
  const time = f => f.timecode || (f.seconds === undefined ? '' : f.seconds.toFixed(2) + ' s');

  const cache = new Map();
  function picture(id) {
    if (!cache.has(id)) {
      const s = $(id);
      if (cache.size > 24) { cache.delete(cache.keys().next().value); }
      cache.set(id, s && s.dataset.type ? 'data:' + s.dataset.type + ';base64,' + s.textContent : null);
    }
    return cache.get(id);
  }

  function figure(kind, f, index, side) {
    const id = { base: 'b', new: 'a', difference: 'd' }[kind] + index;
    const beside = f.pictures && $(id) && $(id).dataset.beside;
    const url = f.pictures ? picture(id) : null;
    const fig = el('figure', undefined, { class: side || '' });
    if (!url && beside) {
      const p = el('p', 'the ' + kind + ' picture lies beside this page: ', { class: 'none' });
      p.append(el('a', beside, { href: beside, target: '_blank' }));
      fig.append(p);
      return fig;
    }
    if (!url) { fig.append(el('p', f.pictures ? 'no ' + kind + ' picture' : 'no pictures of this frame are kept in the report', { class: 'none' })); return fig; }
    const img = el('img', undefined, { alt: kind + ' picture of ' + f.name, draggable: 'false' });
    img.src = url;
    const caption = el('figcaption', kind);
    if (beside) { caption.append(' · ', el('a', 'whole picture', { href: beside, target: '_blank' })); }
    fig.append(img, caption);
    return fig;
  }

  function draw() {
    clearInterval(state.timer);
    const index = state.shown[state.at];
    const f = data.frames[index];
    $('nothing').hidden = f !== undefined;
    $('one').hidden = f === undefined;
    if (!f) { return; }
    $('name').textContent = f.name;
    $('says').textContent = [f.camera, time(f), f.says].filter(Boolean).join(' · ');
    $('says').className = f.verdict;
    for (const b of $('views').children) { b.setAttribute('aria-pressed', b.dataset.view === state.view); }
    const pane = $('pane');
    // The height is kept until the new pictures are there, so that the page doesn't jump.
    pane.style.minHeight = pane.offsetHeight + 'px';
    pane.replaceChildren();
    pane.className = (state.view === 'side' ? 'pair' : state.view === 'wipe' ? 'wiped' : '') + (state.real ? ' real' : '');
    $('wipe').hidden = state.view !== 'wipe';
    $('real').setAttribute('aria-pressed', state.real);
    $('legend').textContent = state.view === 'difference' && f.pictures && picture('d' + index) ? 'amber: brighter now · blue: darker now · green: another colour · violet: forgiven edges · hatched: left out' : '';
    if (state.view === 'side') { pane.append(figure('base', f, index), figure('new', f, index)); }
    else if (state.view === 'wipe') {
      const over = figure('new', f, index, 'right');
      pane.append(figure('base', f, index), over, el('div', undefined, { class: 'edge' }));
      cut();
    } else if (state.view === 'blink') {
      const over = figure('new', f, index);
      pane.append(figure('base', f, index), over);
      const turn = () => { over.style.visibility = state.flip ? 'visible' : 'hidden'; };
      turn();
      state.timer = setInterval(() => { state.flip = !state.flip; turn(); }, 700);
    } else { pane.append(figure(state.view, f, index)); }
    Promise.allSettled([...pane.querySelectorAll('img')].map(i => i.decode())).then(() => { pane.style.minHeight = ''; });
    why(f);
    [...$('list').children].forEach((li, i) => li.setAttribute('aria-current', i === state.at));
    if (state.drawn !== index) { state.drawn = index; reveal($('list').children[state.at]); }
    location.replace('#' + encodeURIComponent(f.name));
  }

  // Scrolls the list alone: on a phone the page itself would move away from what is looked at.
  function reveal(li) {
    const list = $('list');
    const top = li.getBoundingClientRect().top - list.getBoundingClientRect().top;
    list.scrollTop += Math.min(top, Math.max(0, top + li.offsetHeight - list.clientHeight));
  }

  function cut() {
    const x = $('wipe').value / 10;
    const fig = $('pane').querySelector('.right');
    const edge = $('pane').querySelector('.edge');
    if (fig && edge) { fig.style.clipPath = 'inset(0 0 0 ' + x + '%)'; edge.style.left = 'calc(' + x + '% - 1px)'; }
  }

  function why(f) {
    const body = $('causes').tBodies[0];
    body.replaceChildren(...f.causes.map(c => {
      const tr = el('tr', undefined, { class: c.follows ? 'follows' : '' });
      const left = el('td');
      if (c.share === undefined) { left.textContent = '–'; }
      else { const bar = el('span', undefined, { class: 'bar' }); bar.style.width = (4 * c.share).toFixed(2) + 'rem'; left.append(bar, share(c.share)); }
      const right = el('td', c.text);
      if (c.follows) { right.append(el('small', 'may follow from: ' + c.follows)); }
      tr.append(left, right);
      return tr;
    }));
    if (f.more) { const tr = el('tr'); tr.append(el('td', ''), el('td', f.more + ' more in report.json')); body.append(tr); }
    $('causes').hidden = f.causes.length === 0;
    $('nocause').hidden = f.causes.length > 0;
    $('nocause').textContent = f.verdict === 'changed' ? 'Nothing that lies beside the frames tells why: no fixture, rig value or time differs.' : 'Nothing to explain.';
    $('settings').replaceChildren(...(data.settings[f.settings] || '').split('\n').filter(Boolean).map(s => el('li', s)));
  }

  function list() {
    const find = $('find').value.trim().toLowerCase();
    const keep = state.shown[state.at];
    const order = $('order').value;
    state.shown = data.frames.map((f, i) => i)
      .filter(i => on.has(data.frames[i].verdict) && (!find || (data.frames[i].name + ' ' + data.frames[i].camera + ' ' + data.frames[i].causes.map(c => c.text).join(' ')).toLowerCase().includes(find)));
    if (order === 'share') { state.shown.sort((a, b) => data.frames[b].share - data.frames[a].share || a - b); }
    if (order === 'time') { state.shown.sort((a, b) => (data.frames[a].seconds || 0) - (data.frames[b].seconds || 0) || a - b); }
    $('list').replaceChildren(...state.shown.map((i, at) => {
      const f = data.frames[i];
      const li = el('li');
      li.append(el('span', f.name, { class: 'n' }), el('span', f.verdict === 'changed' ? share(f.share) : '', { class: 's' }), el('span', word(f.verdict) + (time(f) ? ' · ' + time(f) : ''), { class: 'v ' + f.verdict }));
      li.addEventListener('click', () => { go(at); if (narrow.matches) { $('framehead').scrollIntoView(); } });
      return li;
    }));
    state.at = Math.max(0, state.shown.indexOf(keep));
    state.drawn = -1;
    draw();
  }

  function go(at) { state.at = Math.min(state.shown.length - 1, Math.max(0, at)); draw(); }
  function view(v) { state.view = v; draw(); }
  function real() { state.real = !state.real; draw(); }

  function theme() {
    const dark = document.documentElement.dataset.theme ? document.documentElement.dataset.theme === 'dark' : matchMedia('(prefers-color-scheme: dark)').matches;
    document.documentElement.dataset.theme = dark ? 'light' : 'dark';
  }
  function lift(by) {
    const r = $('lift');
    if (by) { r.value = String(+r.value + by); }
    $('lifted').textContent = r.value + '×';
    $('pane').style.setProperty('--lift', r.value);
  }
  function keys() { const k = $('keylist'); k.hidden = !k.hidden; $('keys').setAttribute('aria-expanded', String(!k.hidden)); }

  document.title = data.title;
  $('title').textContent = data.title;
  $('summary').textContent = data.summary + ' · base: ' + data.base + ', new: ' + data.new;
  $('whole').hidden = data.causes.length === 0;
  $('wholelist').replaceChildren(...data.causes.map(c => el('li', c.text + (c.follows ? ' (may follow from: ' + c.follows + ')' : ''))));
  for (const [kind, label] of kinds) {
    const n = data.frames.filter(f => f.verdict === kind).length;
    if (n === 0) { continue; }
    const b = el('button', n + ' ' + label, { type: 'button', 'data-kind': kind, 'aria-pressed': on.has(kind) });
    b.addEventListener('click', () => { on.has(kind) ? on.delete(kind) : on.add(kind); b.setAttribute('aria-pressed', on.has(kind)); list(); });
    $('filters').append(b);
  }
  for (const [v, label] of views) {
    const b = el('button', label, { type: 'button', 'data-view': v });
    b.addEventListener('click', () => view(v));
    $('views').append(b);
  }
  $('find').addEventListener('input', list);
  $('order').addEventListener('change', list);
  $('prev').addEventListener('click', () => go(state.at - 1));
  $('next').addEventListener('click', () => go(state.at + 1));
  $('wipe').addEventListener('input', cut);
  $('real').addEventListener('click', real);
  $('lift').addEventListener('input', () => lift(0));
  $('theme').addEventListener('click', theme);
  $('keys').addEventListener('click', keys);
  const drag = e => {
    if (state.view !== 'wipe' || (e.type === 'pointermove' && !e.buttons)) { return; }
    const r = $('pane').querySelector('.right').getBoundingClientRect();
    $('wipe').value = String(1000 * (e.clientX - r.left) / r.width);
    cut();
  };
  $('pane').addEventListener('pointerdown', drag);
  $('pane').addEventListener('pointermove', drag);
  document.addEventListener('keydown', e => {
    const typing = e.target.matches('input[type=search], select');
    if (typing && e.key === 'Escape') { e.target.blur(); return; }
    if (typing || e.ctrlKey || e.metaKey || e.altKey) { return; }
    const range = e.target.matches('input[type=range]');
    const does = {
      ArrowRight: () => go(state.at + 1), ArrowLeft: () => go(state.at - 1), ArrowDown: () => go(state.at + 1), ArrowUp: () => go(state.at - 1),
      ' ': () => { if (state.view === 'base' || state.view === 'new') { view(state.view === 'base' ? 'new' : 'base'); } else { view('base'); } },
      '+': () => lift(0.5), '=': () => lift(0.5), '-': () => lift(-0.5), p: real,
      '/': () => $('find').focus(), t: theme, '?': keys }[e.key]
      || (e.key >= '1' && e.key <= String(views.length) ? () => view(views[+e.key - 1][0]) : null);
    if (!does || (range && e.key.startsWith('Arrow')) || (e.key === ' ' && e.target.matches('button, summary'))) { return; }
    e.preventDefault();
    does();
  });
  const asked = decodeURIComponent(location.hash.slice(1));
  const first = data.frames.findIndex(f => f.name === asked);
  if (first >= 0) { on.add(data.frames[first].verdict); state.shown = [first]; state.at = 0; }
  list();
})();
