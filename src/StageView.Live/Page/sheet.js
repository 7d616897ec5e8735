// The panels beside the picture.

import { AsIf } from "./asif.js";
import { showContent } from "./content.js";
import { showLandings, showLevels } from "./levels.js";
import { showUniverses } from "./network.js";
import { drawn, showWays } from "./ways.js";
import { bytes, clock, el, fill, number, point, setText, signs } from "./words.js";

const $ = id => document.getElementById(id);
const names = ["fixture", "several", "aim", "network", "cautions", "looks", "refocus", "notes", "rigfile", "group", "night"];

export class Sheet extends EventTarget {
  current = "fixture";
  #rig = null;
  #asked = 0;
  #finding = null;
  #night = new Map();
  #hits = [];
  #shown = null;

  constructor(link, say, select, lookAt) {
    super();
    this.asIf = new AsIf(link, say);
    this.lookAt = lookAt;
    this.link = link;
    this.say = say;
    this.select = select;
    for (const name of names) $("tab-" + name).onclick = () => this.open(name);
    $("tabs").addEventListener("keydown", e => {
      const there = names.filter(n => !$("tab-" + n).hidden), here = there.indexOf(this.current);
      const to = { ArrowRight: here + 1, ArrowLeft: here - 1, Home: 0, End: there.length - 1 }[e.key];
      if (to === undefined) return;
      e.preventDefault();
      this.open(there[(to + there.length) % there.length]);
      $("tab-" + this.current).focus();
    });
    // Another server's journal begins anew.
    link.addEventListener("open", () => this.#night.clear());
    $("find").oninput = () => { this.#finding = this.#find(); };
    $("found").onclick = e => this.#chosen(e);
    $("commit-form").onsubmit = async e => {
      e.preventDefault();
      if (say(await link.ask("commit", { text: $("commit-is").value })).ok) $("commit-is").value = "";
    };
    $("find-form").onsubmit = async e => {
      e.preventDefault();
      const text = $("find").value;
      // Typed faster than it is answered: the first hit of what stands there is meant, not of what stood there before.
      await this.#finding;
      if ($("find").value === text) $("found").querySelector("button")?.click();
    };
  }

  /** Whether someone is typing a position, so that it must not be overwritten. */
  get editing() { return $("place-form").contains(document.activeElement); }

  open(name) {
    this.current = name;
    for (const n of names) {
      const on = n === name;
      $("tab-" + n).setAttribute("aria-selected", on);
      $("tab-" + n).tabIndex = on ? 0 : -1;
      $("panel-" + n).hidden = !on;
    }
    this.dispatchEvent(new Event("opened"));
    $("tab-" + name).scrollIntoView({ block: "nearest", inline: "nearest" });
  }

  /** From anywhere: what stands in the field is selected, so that typing replaces it. */
  search() {
    this.open("fixture");
    $("find").focus();
    $("find").select();
  }

  async #find() {
    const text = $("find").value.trim(), mine = ++this.#asked;
    if (!text) { this.#hits = []; fill($("found"), [], () => []); $("find-all").hidden = true; return; }
    const a = await this.link.ask("find", { text });
    if (mine !== this.#asked) return;
    $("find-all").hidden = !(a.ok && a.data.length > 1);
    if (!$("find-all").hidden) {
      setText($("find-all"), `Take all ${a.data.length} into several`);
      $("find-all").onclick = () => this.dispatchEvent(new CustomEvent("several", { detail: a.data }));
    }
    const hits = this.#hits = a.ok ? a.data.slice(0, 12).map(n => this.#rig.fixtures.find(f => f.name === n)).filter(Boolean) : [];
    fill($("found"), [text, hits], () => hits.length
      ? [...hits.map(f => el("li", {}, el("button", { type: "button", "data-name": f.name }, `${f.name}${f.number ? ` (${f.number})` : ""} `, el("span", { class: "small" }, `${f.patch || "not patched"} · ${f.type}`)))),
        a.data.length > 12 ? el("li", { class: "small" }, `and ${a.data.length - 12} more`) : null].filter(Boolean)
      : [el("li", { class: "small" }, a.ok ? "Nothing in the patch fits." : a.text)]);
    this.#markHit();
  }

  /** A long list folds after a pick: what was picked stands below it. */
  async #chosen(e) {
    const button = e.target.closest("button"), focused = button === document.activeElement;
    if (!button) return;
    const name = button.dataset.name;
    if (name !== undefined) this.select(name);
    if (name !== undefined && this.#hits.length > 3) {
      fill($("found"), "folded", () => el("li", {}, el("button", { type: "button", "aria-expanded": "false" }, `Show the ${this.#hits.length} found`)));
    } else if (name === undefined) await this.#find();
    if (focused && !button.isConnected) ($("found").querySelector("[aria-current]") ?? $("found").querySelector("button")).focus();
  }

  #markHit() {
    for (const b of $("found").querySelectorAll("[data-name]")) {
      if (b.dataset.name === this.#shown) b.setAttribute("aria-current", "true"); else b.removeAttribute("aria-current");
    }
  }

  showRig(rig) {
    this.#rig = rig;
    setText($("rigfile-name"), rig.file);
    fill($("rig-notes"), rig.notes, list => list.map(n => el("li", {}, n)));
    // What was found was found in the rig before this one; a list that was folded after a pick stays folded.
    if ($("find").value.trim() && !$("found").querySelector('[aria-expanded="false"]')) this.#finding = this.#find();
  }

  showFixture(f) {
    fill($("fixture"), { name: f.name, number: f.number, type: f.type, mode: f.mode, patch: f.patch, notes: f.notes, network: f.network }, () => [
      el("h3", {}, f.name + (f.number ? ` (${f.number})` : "")),
      el("p", { class: "small" }, `${f.type}, ${f.mode} · ${f.patch || "not patched"}`),
      ...f.notes.map(n => el("p", {}, "▲ " + n)),
      el("button", { type: "button", onclick: () => this.dispatchEvent(new CustomEvent("several", { detail: f.name })) }, "Take into several"),
      f.network?.length ? el("ul", { class: "lines", "aria-label": "On the network" }, f.network.map(t => el("li", { class: "warning" }, "▲ " + t))) : null,
    ]);
    showLevels($("levels"), f);
    this.asIf.showFixture(f);
    showLandings($("landings"), f);
    setText($("hangs-at"), `at ${point(f.at)} m · ${f.source}`);
    this.#shown = f.name;
    this.#markHit();
    $("hangs").hidden = false;
    $("place-form").querySelector("button").disabled = !f.editable;
    setText($("place-form").querySelector("legend"), f.editable ? "Where it hangs, m" : `Where it hangs, m (${f.fixed ?? "it can't be written from here"})`);
    if (!this.editing) this.showPlace(f.at);
    setText($("aim-who"), `for ${f.name}`);
  }

  /** Whose light is seen where somebody clicked, the likeliest first; each can be taken instead. Nothing when it is one alone. */
  showThere(there, picked) {
    if (there === undefined && picked === this.#shown) return;
    const many = (there?.length ?? 0) > 1;
    $("there").hidden = !many;
    fill($("there"), many ? there : null, list => list && [
      el("span", { class: "small" }, "Seen there:"),
      ...list.map(t => el("button", { type: "button", "data-name": t.name, onclick: () => this.select(t.name, true, list) },
        `${t.name} ${t.share ? number(t.share * 100, 0) + " %" : "(head)"}`)),
    ]);
    for (const b of $("there").querySelectorAll("button")) b.setAttribute("aria-pressed", b.dataset.name === picked);
  }

  /** What was picked is not in the rig any more. */
  showGone(name) {
    fill($("fixture"), { gone: name }, () => el("p", {}, `✕ ${name} is not in the rig file any more. Click another head, or find it here.`));
    for (const id of ["levels", "landings"]) fill($(id), null, () => []);
    this.#shown = null;
    this.#markHit();
    $("hangs").hidden = true;
    this.asIf.showFixture(null);
    setText($("aim-who"), "Pick a fixture first.");
  }

  showPlace(at) { ["x", "y", "z"].forEach((k, i) => { $("place-" + k).value = number(at[i], 2); }); }

  showTarget(at) { ["x", "y", "z"].forEach((k, i) => { $("aim-" + k).value = number(at[i], 2); }); }

  forgetAim() {
    fill($("aim"), null, () => []);
    this.#draw(null);
  }

  #draw(path) {
    drawn.path = path;
    this.dispatchEvent(new Event("path"));
  }

  showAim(a) {
    if (a.ok) this.showTarget(a.data.point);
    showWays($("aim"), a, path => this.#draw(path), set => this.asIf.set(set), this.say);
  }

  showState(s, link, picture) {
    const n = s.network;
    setText($("network-words"), (n.trouble ? "✕ " + n.trouble + " · " : "") + `Listening at ${n.listening.join(", ") || "nothing"}; ${number(n.packetsPerSecond, 0)} packets/s.`);
    fill($("findings"), n.findings, list => list.map(f => el("li", { class: f.weight }, `${signs[f.weight] ?? "·"} ${f.text}`)));
    showUniverses($("universes"), n.universes);
    for (const b of $("looks").querySelectorAll("button")) {
      if (s.source === "look" && b.textContent === s.sourceName) b.setAttribute("aria-current", "true"); else b.removeAttribute("aria-current");
    }
    this.#count("network", n.findings.filter(f => f.weight !== "note").length, "findings");
    this.#showCautions(s);
    this.#showGroup(s.group);
    fill($("rigfile-state"), { f: s.fault && s.fault.lines, v: s.rigVersion }, d => d.f
      ? [el("p", {}, "✕ The file can't be read as it stands; the last good rig is shown."), el("ul", { class: "lines" }, d.f.map(l => el("li", { class: "trouble" }, `${l.line ? `line ${l.line}: ` : ""}${l.text}`)))]
      : [el("p", {}, `● Read well, ${d.v === 1 ? "once" : d.v + " times"} since the start. A save is shown at once.`)]);
    const lost = showContent($("content-box"), $("contents"), s.content);
    this.#count("rigfile", (s.fault ? s.fault.lines.length : 0) + lost, lost ? "errors and contents that are lost" : "errors");
    $("undo").disabled = !s.edits.canUndo;
    $("redo").disabled = !s.edits.canRedo;
    setText($("edit-last"), s.edits.last ?? "");
    const m = s.marker;
    setText($("delay-words"), `Picture by ${picture.renderer}; drawing ${number(link.drawMs, 0)} ms; the link's round trip ${number(link.roundTripMs, 1)} ms; packet to page ${link.latencyMs == null ? "not known: nothing fresh came in the last seconds" : `${number(link.latencyMs, 0)} ms (worst ${number(link.worstMs, 0)})`}.`
      + (m ? ` Marker: seen ${m.seen} times; packet to window ${m.toWindowMs == null ? "–" : number(m.toWindowMs, 1) + " ms"}, packet to page ${m.toPageMs == null ? "–" : number(m.toPageMs, 1) + " ms"}; out of rest to window ${m.fromRestToWindowMs == null ? "–" : number(m.fromRestToWindowMs, 1) + " ms"}, to page ${m.fromRestToPageMs == null ? "–" : number(m.fromRestToPageMs, 1) + " ms"}.` : "")
      + (s.recorder.on ? ` Recording ${s.recorder.name}, ${bytes(s.recorder.bytes)}.` : "") + (s.recorder.trouble ? " ✕ " + s.recorder.trouble : "")
      + (s.last ? ` The last ${number(s.last.seconds / 60, 0)} min are kept, ${bytes(s.last.bytes)}.${s.last.trouble ? " ✕ " + s.last.trouble : ""}` : ""));
  }

  #showCautions(s) {
    const c = s.cautions, scan = s.cautionScan, held = document.activeElement?.dataset?.row, key = r => r.key;
    setText($("cautions-over"), c.over);
    fill($("cautions"), { rows: c.rows, more: c.more, nothing: c.nothing, looked: c.looked.length }, d => [
      d.nothing ? el("li", { class: "warning" }, "▲ " + d.nothing + ".") : null,
      ...Object.values(Object.groupBy(d.rows, r => r.kind)).flatMap(rows => [el("li", { class: "small" }, rows[0].usual), ...rows.map(r => el("li", {}, el("button", { type: "button", "data-row": key(r), title: r.canSeek ? "Go to the moment and look there" : "Look there", onclick: () => this.lookAt(r) },
        `${r.now ? "▲" : "△"} ${r.text}`,
        el("span", { class: "small" }, ` ${r.now ? "now" : r.from === r.to ? "at " + clock(r.at) : `${clock(r.from)} to ${clock(r.to)}, most at ${clock(r.at)}`}`))))]),
      d.more ? el("li", { class: "small" }, `and ${d.more} more; the command cautions lists them all`) : null,
      !d.rows.length && !d.nothing && d.looked ? el("li", {}, "Nothing found by this check.") : null]);
    if (held) [...$("cautions").querySelectorAll("button")].find(b => b.dataset.row === held)?.focus();
    $("cautions-earlier").hidden = !c.earlier.length;
    setText($("cautions-earlier").querySelector("summary"), `Earlier (${c.earlier.length})`);
    fill($("cautions-earlier").querySelector("ul"), c.earlier, list => list.map(e => el("li", {}, `△ ${e.text}`, el("span", { class: "small" }, ` ${e.of}, ${e.when}`))));
    fill($("cautions-looked").querySelector("ul"), c.looked, list => list.map(t => el("li", {}, t)));
    fill($("cautions-not").querySelector("ul"), c.notLooked, list => list.map(t => el("li", {}, t)));
    setText($("cautions-defer"), c.deference);
    const through = $("cautions-through");
    through.hidden = s.source !== "capture" && !scan;
    setText(through, !scan ? "Look through the whole capture" : scan.running ? "Stop looking through" : "Back to what is shown");
    setText($("cautions-scan"), !scan ? "" : scan.trouble ? "✕ " + scan.trouble : scan.running ? `${number(scan.share * 100, 0)} % looked through` : "");
    this.#count("cautions", c.rows.length + c.more, "cautions");
  }

  /** A commit is taken only once what it changes was shown. */
  #showGroup(g) {
    $("tab-group").hidden = !g;
    if (!g) { if (this.current === "group") this.open("rigfile"); return; }
    setText($("group-words"), `${g.trouble ? `✕ ${g.trouble} · ` : ""}“${g.group}” at ${g.address}; ${g.follows ? "each commit is taken as it comes" : "nothing is taken until you say so"}.`);
    fill($("stations"), g.stations, list => list.length ? list.map(s => el("li", { class: s.trouble ? "warning" : null }, `${s.trouble ? "▲" : "●"} ${s.name} `, el("span", { class: "small" }, `${s.program} ${s.address} ${s.trouble}`)))
      : [el("li", { class: "small" }, "Nobody else is there.")]);
    const held = document.activeElement?.dataset?.commit;
    fill($("commits"), g.commits, list => list.length ? list.map(c => this.#commit(c)) : [el("li", { class: "small" }, "Nothing yet.")]);
    if (held) $("commits").querySelector(`[data-commit="${held}"]`)?.focus();
    this.#count("group", g.commits.filter(c => !c.state && !c.changes).length, "commits not looked at");
  }

  #commit(c) {
    const ask = what => async () => this.say(await this.link.ask(what, { name: c.id }));
    const busy = c.state.startsWith("being");
    return el("li", {},
      el("strong", {}, c.comment || "without words"), " ", el("span", { class: "small" }, `${c.station}, ${bytes(c.bytes)}, ${c.id}${c.state ? " · " + c.state : ""}`),
      c.words ? el("p", { class: "warning" }, "▲ " + c.words) : null,
      c.changes ? el("ul", { class: "lines" }, c.changes.length ? c.changes.map(t => el("li", {}, t)) : el("li", {}, "It changes nothing."),
        c.moreChanges ? el("li", { class: "small" }, `and ${c.moreChanges} more; the command exchange lists them all`) : null) : null,
      c.notes.length ? el("details", {}, el("summary", {}, "What of the file is not taken over"), el("ul", { class: "lines" }, c.notes.map(t => el("li", {}, t)))) : null,
      el("p", {},
        el("button", { type: "button", "data-commit": "look " + c.id, disabled: busy, onclick: ask("commit-look") }, "What would it change?"), " ",
        c.changes && c.state !== "taken" ? el("button", { type: "button", "data-commit": "take " + c.id, disabled: busy, onclick: ask("commit-take") }, "Take it") : null));
  }

  #count(name, n, what) {
    const c = $(name + "-count");
    setText(c, n ? String(n) : "");
    if (n) c.setAttribute("title", `${n} ${what}`); else c.removeAttribute("title");
  }

  showLooks(looks) {
    fill($("looks"), looks, list => list.length
      ? list.map(n => el("li", {}, el("button", { type: "button", onclick: async () => this.say(await this.link.ask("look", { name: n })) }, n)))
      : [el("li", { class: "small" }, "No look files lie beside the rig file.")]);
  }

  /** Entries that are new or were said again since the last ones; the newest forty are listed. */
  showNight(entries) {
    for (const e of entries) this.#night.set(e.number, e);
    const newest = [...this.#night.values()].sort((a, b) => b.number - a.number).slice(0, 40);
    this.#night = new Map(newest.map(e => [e.number, e]));
    fill($("night"), newest, list => list.map(e => el("li", { class: e.kind }, el("span", { class: "small" }, `${e.at.slice(11, 19)} ${e.kind} `), e.text, e.times > 1 ? el("span", { class: "small" }, ` (${e.times} times)`) : null)));
  }
}
