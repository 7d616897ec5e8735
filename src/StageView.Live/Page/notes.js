// Notes that are dropped at a moment and worked through later.

import { askLine } from "./line.js";
import { clock, el, fill, setText } from "./words.js";

const $ = id => document.getElementById(id);
const longest = 1000;

export class Notes {
  #link; #say; #camera; #go;
  #list = [];

  /** @param camera The name of the camera looked through. @param go Shows a note's moment from its camera. */
  constructor(link, say, camera, go) {
    [this.#link, this.#say, this.#camera, this.#go] = [link, say, camera, go];
    $("note").onclick = () => this.drop();
  }

  /** The moment is kept at once; its words may follow, or not. */
  async drop() {
    const a = await this.#link.ask("note", { name: this.#camera() });
    if (!a.ok) { this.#say(a); return; }
    this.#write(a.data.id, `Note at ${a.data.when}`, "");
  }

  #write(id, label, text) {
    askLine(label, text, async words => { if (words !== text) this.#say(await this.#link.ask("note-text", { note: id, text: words })); }, { most: longest });
  }

  show(state) {
    this.#list = state?.notes ?? [];
    const left = this.#list.filter(n => !n.done).length;
    setText($("notes-count"), left ? String(left) : "");
    setText($("notes-words"), state?.trouble ? `✕ ${state.trouble}` : this.#list.length
      ? `${left} of ${this.#list.length} to do. Kept in ${state.file}, beside the rig file, for all devices.`
      : "M drops a note at this moment, with timecode, camera and picture. All devices see it.");
    fill($("notes"), this.#list, list => [...list].reverse().map(n => this.#row(n)));
    $("notes-export").hidden = this.#list.length === 0;
  }

  #row(n) {
    const when = n.timecode ?? (n.source === "network" ? n.at.slice(11, 19) : clock(n.seconds)), what = n.text || "(a mark)";
    const go = n.source === "capture" ? `Go to ${when}` : `Look from there, ${when}`;
    return el("li", { class: n.done ? "done" : null },
      el("label", { class: "tick" }, el("input", { type: "checkbox", checked: n.done, "aria-label": `Done: ${what}`, onchange: e => this.#ask("note-done", { note: n.id, on: e.target.checked }) })),
      el("button", { type: "button", class: "row", title: go, onclick: () => this.#go(n) },
        el("span", { class: "number" }, when), el("span", {}, what), el("span", { class: "small" }, [n.source === "network" ? "network" : n.sourceName, n.camera.name].filter(Boolean).join(" · "))),
      el("div", { class: "more" },
        el("button", { type: "button", onclick: () => this.#write(n.id, `Note at ${when}`, n.text) }, "Write"),
        el("button", { type: "button", onclick: () => this.#ask("note-remove", { note: n.id }) }, "Remove")));
  }

  async #ask(what, more) { this.#say(await this.#link.ask(what, more)); }
}
