// Several fixtures at once: who is lit, how far colours, places and levels lie apart, and one level for all of them, for looking only.

import { el, fill, number, setText } from "./words.js";

const $ = id => document.getElementById(id);

/** A question ends at 16 kB; so much of it may be names. */
const mostNames = 15000, mostFixtures = 400;

export class Several {
  members = [];
  card = null;
  #rig = null;
  #busy = false;
  #askAt = 0;

  constructor(link, say, select, isOpen, draw) {
    Object.assign(this, { link, say, select, isOpen, draw });
    $("several-group").onchange = e => { if (e.target.value) this.take(this.#rig.fixtures.filter(f => f.groups.includes(e.target.value)).map(f => f.name)); e.target.value = ""; };
    $("several-clear").onclick = () => this.take([]);
    $("several-form").onsubmit = async e => {
      e.preventDefault();
      const share = $("several-level").valueAsNumber / 100;
      this.say(await link.ask("as-if", { fixtures: this.members, attribute: $("several-attribute").value, share }));
      this.#askAt = 0;
      this.#ask();
    };
    $("several-slide").addEventListener("input", () => { $("several-level").value = $("several-slide").value; });
    $("several-level").addEventListener("input", () => { $("several-slide").value = $("several-level").value; });
    $("several-slide").addEventListener("change", () => $("several-form").requestSubmit());
    setInterval(() => this.#ask(), 500);
  }

  add(name) { if (name && !this.members.includes(name)) this.take([...this.members, name]); }

  /** Adds it, or takes it out again. */
  turn(name) { if (this.members.includes(name)) this.take(this.members.filter(m => m !== name)); else this.add(name); }

  take(names) {
    let length = 0;
    const kept = names.slice(0, mostFixtures).filter(n => (length += n.length * 3 + 3) < mostNames);
    if (kept.length < names.length) this.say({ ok: false, text: `${kept.length} of ${names.length} are taken, the most that are shown together` });
    this.members = kept;
    if (!kept.length) this.card = null;
    this.#show();
    this.#askAt = 0;
    this.#ask();
  }

  showRig(rig) {
    this.#rig = rig;
    const there = new Set(rig.fixtures.map(f => f.name));
    if (this.members.some(m => !there.has(m))) this.take(this.members.filter(m => there.has(m)));
    fill($("several-group"), [...new Set(rig.fixtures.flatMap(f => f.groups))].sort(), list => [el("option", { value: "" }, list.length ? "a group…" : "the rig has no groups"), ...list.map(g => el("option", { value: g }, g))]);
    this.#show();
  }

  /** Followed while its panel is open, for a quarter of the time at most. */
  async #ask() {
    const asked = performance.now();
    if (this.#busy || !this.members.length || !this.isOpen() || !this.link.open || document.hidden || asked < this.#askAt) return;
    this.#busy = true;
    const of = this.members, a = await this.link.ask("several", { fixtures: of });
    this.#busy = false;
    this.#askAt = performance.now() + 3 * (performance.now() - asked) - 500;
    if (!a.ok || of !== this.members) return;
    this.card = a.data;
    this.#show();
  }

  #show() {
    const d = this.card, many = this.members.length;
    setText($("several-count"), many ? String(many) : "");
    $("several-clear").disabled = !many;
    $("several-form").hidden = !many || !d;
    setText($("several-words"), !many ? "Take a group, or press Shift while you click heads in the picture; each fixture's sheet has a button, too."
      : !d ? `${many} fixtures` : sum(d));
    fill($("several-colours"), d && { fixtures: d.fixtures, apart: d.colourSpread }, c => c ? colours(c.fixtures, c.apart) : []);
    fill($("several-ranges"), d?.attributes, list => list ? ranges(list) : []);
    const held = document.activeElement?.dataset?.member;
    fill($("several-list"), { members: this.members, lit: d?.fixtures.map(f => [f.name, f.lumens, f.colour]) }, () => this.members.map(n => this.#line(n, d?.fixtures.find(f => f.name === n))));
    if (held) [...$("several-list").querySelectorAll("button")].find(b => b.dataset.member === held)?.focus();
    if (d) {
      const chosen = $("several-attribute").value;
      fill($("several-attribute"), d.attributes.map(a => a.name), list => list.map(n => el("option", { value: n }, n)));
      if (d.attributes.some(a => a.name === chosen)) $("several-attribute").value = chosen;
    }
    this.draw();
  }

  #line(n, f) {
    return el("li", {},
      el("button", { type: "button", "data-member": n, onclick: () => this.select(n) }, f?.lumens ? "● " : "○ ", n, f?.lumens ? el("span", { class: "small" }, ` ${number(f.lumens, 0)} lm`) : ""),
      el("button", { type: "button", "data-member": "-" + n, "aria-label": `Take ${n} out`, onclick: () => this.turn(n) }, "✕"));
  }

  /** A layer of the picture: a ring at each, full where it is lit. */
  layer({ add, place }) {
    for (const f of this.card?.fixtures ?? []) {
      const p = place(f.at);
      if (!p) continue;
      add("circle", { class: "member casing", cx: p[0], cy: p[1], r: 9 });
      add("circle", { class: "member" + (f.lumens ? " lit" : ""), cx: p[0], cy: p[1], r: 9 });
    }
  }
}

function sum(d) {
  const lit = d.fixtures.filter(f => f.lumens).length, size = d.high.map((h, i) => h - d.low[i]);
  return `${d.fixtures.length} ${d.fixtures.length === 1 ? "fixture" : "fixtures"}, ${lit} lit, ${number(d.lumens, 0)} lm. They hang ${number(size[0])} m wide and ${number(size[1])} m deep, `
    + `${size[2] < .05 ? "" : `${number(d.low[2])} to `}${number(d.high[2])} m high.`;
}

function colours(fixtures, apart) {
  const groups = [...Map.groupBy(fixtures.filter(f => f.colour), f => f.colour)].sort((a, b) => b[1].length - a[1].length);
  if (!groups.length) return [el("p", { class: "small" }, "None is lit.")];
  return [el("ul", { class: "swatches", "aria-label": "Colours of those that are lit" }, groups.slice(0, 12).map(([colour, of]) => el("li", { title: of.map(f => f.name).join(", ") },
    swatch(colour), `${of.length} at ${of[0].xy.map(v => number(v, 3)).join(", ")}`))),
    groups.length > 1 ? el("p", { class: "small" }, `They lie up to ${number(apart, 3)} apart in u′, v′ of CIE 1976.`) : null,
    groups.length > 12 ? el("p", { class: "small" }, `and ${groups.length - 12} more colours`) : null];
}

/** A page from elsewhere may carry no styles in its marks; a colour set on the element is none of those. */
function swatch(colour) {
  const e = el("span", { class: "swatch", "aria-hidden": "true" });
  e.style.backgroundColor = colour;
  return e;
}

function ranges(attributes) {
  return [el("div", { class: "wide" }, el("table", {}, el("caption", { class: "hidden-words" }, "Levels of these fixtures"),
    el("thead", {}, el("tr", {}, ...["Attribute", "From", "To", "In"].map(t => el("th", { scope: "col" }, t)))),
    el("tbody", {}, attributes.map(a => el("tr", { class: a.low === a.high ? null : "apart" },
      el("th", { scope: "row" }, a.asIf ? "◇ " : "", a.name),
      ...(a.from === a.to ? [el("td", { colspan: 2 }, a.from)] : [el("td", {}, a.from), el("td", {}, a.to)]),
      el("td", { class: "number" }, a.fixtures))))))];
}
