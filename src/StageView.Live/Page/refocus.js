// The panel of positions in another venue: which are to be focused, how they lie in the picture, and which are done.

import { clock, el, fill, number, setText } from "./words.js";

const $ = id => document.getElementById(id);
const step = 100;                // rows that are listed at once
const signs = { trouble: "✕", warning: "▲", note: "●", kept: "=" };
const kept = "refocus-by";

/** How far an axis goes on from where it was; less than half of what is shown is nothing. */
const by = (was, now) => { const d = now - was; return Math.abs(d) < .005 ? "as it was" : `${d > 0 ? "+" : "−"}${number(Math.abs(d), 2)}°`; };

export class Refocus {
  #now = null;
  #rows = [];
  #version = 0;
  #ticks = new Map();
  #ticksSeen = 0;
  #fetching = false;
  #most = step;
  #picked = null;                // [fixture, position] of the row that is shown in the picture
  #lines = new Map();

  /** axes(row, words): draws a row's axes and picks its fixture; lookAt(place): looks there; open(): whether the panel is. */
  constructor(link, say, axes, lookAt, open) {
    Object.assign(this, { link, say, axes, lookAt, open });
    for (const id of ["refocus-by-state", "refocus-by-hang", "refocus-by-use", "refocus-todo"]) $(id).onchange = () => { this.#most = step; this.#list(); };
    $("refocus-more").onclick = () => { const first = this.#most; this.#most += step; this.#list(); $("refocus-rows").children[first]?.querySelector("button").focus(); };
    $("refocus-rows").addEventListener("keydown", e => this.#key(e));
    try { $("refocus-by").value = localStorage.getItem(kept) ?? ""; } catch { /* This browser keeps nothing for the page. */ }
    $("refocus-by").onchange = e => { try { localStorage.setItem(kept, e.target.value.trim()); } catch { /* As above. */ } };
    // Another server counts its answers anew.
    link.addEventListener("open", () => { this.#version = this.#ticksSeen = 0; });
  }

  /** With every state of the show. */
  show(now) {
    if (!now) return;
    this.#now = now;
    const left = now.of - now.done;
    setText($("refocus-count"), left ? String(left) : "");
    if (left) $("refocus-count").title = `${left} positions to do`; else $("refocus-count").removeAttribute("title");
    setText($("refocus-words"), now.missing ?? `${now.to || "The rig as it is"}, from ${now.from || "the rig as it is"}; positions of ${now.show}.`);
    setText($("refocus-state"), [now.stale && `▲ ${now.stale}${now.working ? "" : "; what is listed is older"}`, now.working && (now.version ? "being worked out anew" : "Being worked out."),
      now.trouble && `✕ ${now.trouble}`, now.fileTrouble && `✕ Ticks can’t be kept: ${now.fileTrouble}`].filter(Boolean).join(" · "));
    $("refocus-body").hidden = !now.version;
    setText($("refocus-done"), `${now.done} of ${now.of} done${now.kept ? `, ${now.kept} kept as they were` : ""}`);
    $("refocus-bar").max = Math.max(1, now.of);
    $("refocus-bar").value = now.of ? now.done : 1;
    fill($("refocus-dropped"), now.dropped, list => list.map(t => el("li", { class: "warning" }, "▲ " + t)));
    setText($("refocus-file"), now.file);
    this.opened();
  }

  /** What is listed is fetched once somebody looks at it, or at one of its rows in the picture. */
  async opened() {
    if (this.#fetching || !this.#now?.version || !this.link.open || !(this.open() || this.#picked)) return;
    this.#fetching = true;
    try {
      if (this.#version !== this.#now.version && !await this.#fetchRows()) return;
      if (this.#ticksSeen !== this.#now.ticks) await this.#fetchTicks();
    } finally { this.#fetching = false; }
  }

  async #fetchRows() {
    let rows = [], version = 0, not = [], total = 1;
    while (rows.length < total) {
      const a = await this.link.ask("refocus", { from: rows.length });
      if (!a.ok) return false;
      // Worked out anew between two questions: from the beginning.
      if (rows.length && a.data.version !== version) { rows = []; continue; }
      ({ version, total, notAsked: not } = a.data);
      rows.push(...a.data.rows);
    }
    this.#rows = rows;
    this.#version = version;
    this.#ticks.clear();
    this.#ticksSeen = 0;
    this.#lines.clear();
    fill($("refocus-not"), not, list => list.map(t => el("li", {}, t)));
    this.#choices();
    await this.#fetchTicks();
    this.#list();
    if (this.#picked) this.#draw();
    return true;
  }

  async #fetchTicks() {
    const a = await this.link.ask("focused", { since: this.#ticksSeen });
    if (!a.ok || a.data.version !== this.#version) return;
    this.#ticksSeen = a.data.ticks;
    for (const t of a.data.changed) {
      this.#ticks.set(t.row, t);
      if (this.#lines.has(t.row)) this.#mark(t.row);
    }
    if ($("refocus-todo").checked) this.#list();
  }

  /** What can be chosen from, in the order of the list. */
  #choices() {
    const once = list => [...new Set(list)];
    const options = (id, all, groups) => {
      const was = $(id).value;
      fill($(id), [all, groups], () => [el("option", { value: "" }, all), ...groups.flatMap(([label, list]) => {
        const made = list.map(([value, text]) => el("option", { value }, text));
        return label && list.length ? [el("optgroup", { label }, ...made)] : made;
      })]);
      $(id).value = was;
      if ($(id).selectedIndex < 0) $(id).value = "";
    };
    const rows = this.#rows;
    options("refocus-by-state", "all", [["", once(rows.map(r => r.state)).map(s => [s, `${s} (${rows.filter(r => r.state === s).length})`])]]);
    options("refocus-by-hang", "all", [["", once(rows.map(r => r.hang)).sort().map(h => ["=" + h, h || "no hang"])]]);
    const cues = once([...rows].sort((a, b) => a.seconds - b.seconds).flatMap(r => r.cues));
    options("refocus-by-use", "all", [["Cues", cues.map(c => ["cue:" + c, c])], ["Positions", once(rows.map(r => r.position)).sort((a, b) => a - b).map(p => ["pos:" + p, `position ${p}`])]]);
  }

  /** Lists what fits the choices. */
  #list() {
    const [state, hang, use, todo] = [$("refocus-by-state").value, $("refocus-by-hang").value, $("refocus-by-use").value, $("refocus-todo").checked];
    const fit = this.#rows.filter(r => (!state || r.state === state) && (!hang || "=" + r.hang === hang)
      && (!use || (use.startsWith("cue:") ? r.cues.includes(use.slice(4)) : r.position === +use.slice(4)))
      && (!todo || (r.weight !== "kept" && !this.#ticks.get(r.row)?.on)));
    const shown = fit.slice(0, this.#most), list = $("refocus-rows"), old = [...list.children];
    const wanted = shown.map(r => this.#line(r).li);
    if (wanted.length !== old.length || wanted.some((li, i) => li !== old[i])) {
      const held = document.activeElement, at = old.findIndex(li => li.contains(held)), box = held?.type === "checkbox";
      list.replaceChildren(...wanted);
      // Where the row that had the focus is gone, the next one takes its place.
      if (at >= 0) {
        const to = held.isConnected ? held : wanted[Math.min(at, wanted.length - 1)]?.querySelector(box ? "input" : "button");
        (to ?? $("refocus-todo")).focus({ preventScroll: held.isConnected });
      }
    }
    setText($("refocus-shown"), fit.length ? `${fit.length === this.#rows.length ? "All" : fit.length + " of"} ${this.#rows.length} positions, the worst first` : "No position fits.");
    $("refocus-more").hidden = fit.length <= shown.length;
    setText($("refocus-more"), `Show more (${fit.length - shown.length})`);
  }

  #line(r) {
    let line = this.#lines.get(r.row);
    if (line) return line;
    const name = `${r.fixture}, position ${r.position}`;
    const box = el("input", { type: "checkbox", "aria-label": `${name} is focused`, onchange: e => this.#tick({ row: r.row }, e.target.checked, e.target) });
    const ticked = el("span", { class: "small" }), more = el("div", { class: "more" });
    const degrees = r.pan == null ? `pan was ${number(r.oldPan, 2)}°, tilt ${number(r.oldTilt, 2)}°`
      : [["pan", r.oldPan, r.pan], ["tilt", r.oldTilt, r.tilt]].map(([w, was, now]) => `${w} ${number(was, 2)}° → ${number(now, 2)}° (${by(was, now)})`).join(", ");
    const button = el("button", { type: "button", class: "row", "aria-expanded": "false", onclick: () => this.#choose(r) },
      el("span", {}, el("strong", {}, r.fixture), el("span", { class: "small" }, `${r.number ? ` (${r.number})` : ""} · position ${r.position} · ${r.cues[0] ?? clock(r.seconds)}`)),
      el("span", {}, el("span", { class: "state" }, `${signs[r.weight]} ${r.state}`), ` · ${r.for}`), el("span", { class: "number" }, degrees), ticked);
    more.hidden = true;
    line = { li: el("li", { class: r.weight }, el("label", { class: "tick" }, box), button, more), box, button, ticked, more };
    this.#lines.set(r.row, line);
    this.#mark(r.row);
    this.#expand(r, this.#is(r));
    return line;
  }

  #is(r) { return !!this.#picked && r.fixture === this.#picked[0] && r.position === this.#picked[1]; }

  /** How a row is ticked. */
  #mark(row) {
    const line = this.#lines.get(row), t = this.#ticks.get(row);
    line.box.checked = !!t?.on;
    line.ticked.className = "small " + (t?.on ? "ticked" : "again");
    setText(line.ticked, t?.on ? `✓ focused ${t.at}${t.by ? ` by ${t.by}` : ""}` : t?.words ? `▲ again: ${t.words} (ticked ${t.at}${t.by ? ` by ${t.by}` : ""})` : "");
  }

  #expand(r, on) {
    const line = this.#lines.get(r.row);
    if (!line) return;
    line.button.setAttribute("aria-expanded", on);
    line.more.hidden = !on;
    if (!on || line.more.childElementCount) return;
    const all = this.#rows.filter(o => o.fixture === r.fixture && o.weight !== "kept");
    line.more.append(...[
      r.remark ? el("p", { class: r.weight === "note" || r.weight === "kept" ? null : "state" }, r.remark) : null,
      el("p", { class: "small" }, `For that, since ${r.why}${r.hang ? `; hangs on ${r.hang}` : ""}${r.cues.length > 1 ? `; in ${r.cues.join(", ")}` : ""}.`),
      r.lux != null ? el("p", { class: "small" }, `There ${number(r.lux, 2)} times the illuminance, ${number(r.spot, 2)} times the width of the spot.`) : null,
      r.dmx.length ? el("p", { class: "small" }, r.dmx.join(" · ")) : null,
      el("p", {}, r.at || r.way.length || r.oldWay.length ? el("button", { type: "button", onclick: () => this.lookAt({ point: r.at ?? (r.way.at(-1) ?? r.oldWay.at(-1)) }) }, "Look there") : null, " ",
        all.length > 1 && r.weight !== "kept" ? el("button", { type: "button", onclick: () => this.#tick({ fixture: r.fixture }, true) }, `All ${all.length} of ${r.fixture} are focused`) : null),
    ].filter(Boolean));
  }

  #choose(r) {
    if (this.#is(r)) { this.letGo(); return; }
    const old = this.#picked;
    this.#picked = [r.fixture, r.position];
    if (old) for (const o of this.#rows) if (o.fixture === old[0] && o.position === old[1]) this.#expand(o, false);
    this.#expand(r, true);
    this.#draw();
  }

  /** The axes of the row that is chosen, as the newest answer has them. */
  #draw() {
    const r = this.#rows.find(o => this.#is(o));
    if (!r) { this.letGo(); return; }
    this.axes(r, { what: `${r.fixture}, position ${r.position}: ${r.state}`, was: `as it was${this.#now.from ? ` in ${this.#now.from}` : ""}`, is: r.way.length ? `as it is to be${this.#now.to ? ` in ${this.#now.to}` : ""}` : "" });
  }

  /** No row is shown in the picture any more. */
  letGo() {
    if (!this.#picked) return;
    const [fixture, position] = this.#picked;
    this.#picked = null;
    for (const o of this.#rows) if (o.fixture === fixture && o.position === position) this.#expand(o, false);
    this.axes(null);
  }

  async #tick(which, on, box) {
    const a = await this.link.ask("tick", { version: this.#version, on, by: $("refocus-by").value.trim(), ...which });
    if (!a.ok) {
      this.say(a);
      if (box) box.checked = !on;
      return;
    }
    await this.#fetchTicks();
  }

  #key(e) {
    const way = { ArrowDown: 1, ArrowUp: -1 }[e.key], li = e.target.closest("li");
    if (!way || !li || e.altKey || e.ctrlKey || e.metaKey) return;
    const to = way > 0 ? li.nextElementSibling : li.previousElementSibling;
    to?.querySelector(e.target.type === "checkbox" ? "input" : "button.row").focus();
    e.preventDefault();
  }
}
