// Small helpers that turn values into words and elements.

/** An element with text or children; attributes that are null are left out. Text is never read as markup. */
export function el(name, attributes = {}, ...children) {
  const e = document.createElement(name);
  for (const [k, v] of Object.entries(attributes)) {
    if (k.startsWith("on")) e.addEventListener(k.slice(2), v);
    else if (v !== null && v !== undefined && v !== false) e.setAttribute(k, v === true ? "" : v);
  }
  e.append(...children.flat().filter(c => c !== null && c !== undefined).map(c => typeof c === "number" ? String(c) : c));
  return e;
}

const told = new WeakMap();

/** Rebuilds the children only when the data behind them changed, so that focus and scrolling stay. */
export function fill(parent, data, build) {
  const key = JSON.stringify(data);
  if (told.get(parent) === key) return;
  told.set(parent, key);
  parent.replaceChildren(...[build(data)].flat().filter(Boolean));
}

export function setText(e, text) { if (e.textContent !== text) e.textContent = text; }

export const number = (v, places = 1) => typeof v === "number" && isFinite(v) ? v.toFixed(places).replace(/^-(0(\.0*)?)$/, "$1") : "–";

export const point = p => p.map(v => number(v, 2)).join(", ");

export function clock(seconds) {
  const s = Math.max(0, seconds), m = Math.floor(s / 60), h = Math.floor(m / 60);
  const rest = (s % 60).toFixed(1).padStart(4, "0");
  return h > 0 ? `${h}:${String(m % 60).padStart(2, "0")}:${rest}` : `${m}:${rest}`;
}

/** A name that may be broken after a line below or a stroke, so that a long one leaves room beside it. */
export const broken = name => name.split(/(?<=[_/])/).flatMap(part => [part, el("wbr")]);

/** A take is named after its day and time and told apart by the time: the year and the ending say nothing in a badge. */
export const takeName = name => name.replace(/^\d{4}-(\d\d-\d\d \d\d\.\d\d\.\d\d.*)\.pcapng$/, "$1");

/** The note beside the timecode in as few words as its place in the header has room for. */
export const shortNote = note => note.replace(" frames/s, drop", " drop").replace(", of the capture", ", capture")
  .replace(/ frames\/s(.*, (LTC|ArtTimeCode))$/, "$1").replace(/ArtTimeCode$/, "Art-Net");

export const bytes = n => n < 1e3 ? `${n} B` : n < 1e6 ? `${(n / 1e3).toFixed(0)} kB` : n < 1e9 ? `${(n / 1e6).toFixed(1)} MB` : `${(n / 1e9).toFixed(2)} GB`;

/** Landings under this illuminance, lx, are counted and not listed. */
export const leastLux = 1;

export const signs = { heard: "●", silent: "○", lost: "✕", unpatched: "◇", note: "·", warning: "▲", trouble: "✕" };
