// Cameras of the rig file, and those that somebody saved for all devices.

import { Camera } from "./camera.js";
import { askLine } from "./line.js";
import { el, fill } from "./words.js";

const $ = id => document.getElementById(id);
const byHand = "hand", longestName = 40;
const keyed = i => i < 9 ? `${i + 1}  ` : "";

export class Cameras {
  #stage; #link; #say; #expose;
  #rig = [];
  #own = [];

  /** @param expose Called with the exposure value that a camera has. */
  constructor(stage, link, say, expose) {
    [this.#stage, this.#link, this.#say, this.#expose] = [stage, link, say, expose];
    $("cameras").onchange = e => this.use(e.target.value);
    $("camera-save").onclick = () => this.#save();
    $("camera-drop").onclick = () => this.#forget();
    stage.addEventListener("camera", e => { const o = [...$("cameras").options].filter(c => c.value !== byHand)[e.detail]; if (o) this.use(o.value); });
    stage.addEventListener("turned", () => { if ($("cameras").value !== byHand) this.list(byHand); });
  }

  /** What is chosen, as a reload finds it again. */
  get chosen() { return $("cameras").value; }

  /** The name of the one looked through, or nothing. */
  get name() { const [from, name] = parts(this.chosen); return from === byHand ? "" : name; }

  /** The rig's cameras; the chosen one stays by its name. */
  take(rig) { this.#rig = rig.cameras; this.list(); }

  /** Those that are saved. */
  saved(cameras) {
    if (JSON.stringify(cameras) === JSON.stringify(this.#own)) return;
    this.#own = cameras;
    this.list();
  }

  list(chosen = this.chosen) {
    fill($("cameras"), { rig: this.#rig.map(c => c.name), own: this.#own.map(c => c.name), turned: chosen === byHand }, d => [
      d.turned && el("option", { value: byHand }, "turned by hand"),
      ...d.rig.map((n, i) => el("option", { value: "rig:" + n }, keyed(i) + n)),
      ...d.own.map((n, i) => el("option", { value: "own:" + n }, `${keyed(d.rig.length + i)}${n} (saved)`)),
    ]);
    $("cameras").value = chosen;
    if ($("cameras").selectedIndex < 0 && chosen !== byHand) { this.list(byHand); return; }
    $("camera-drop").hidden = !chosen.startsWith("own:");
  }

  use(value) {
    const [from, name] = parts(value), c = (from === "rig" ? this.#rig : this.#own).find(v => v.name === name);
    if (!c) return false;
    this.look(c);
    this.list(value);
    return true;
  }

  /** Looks as a camera does that is kept somewhere; by its name where it is still listed. */
  look(c) {
    const work = this.#stage.camera.work;
    this.#stage.camera = Camera.from(c.position, c.target, c.fov, c.ev);
    this.#stage.camera.work = work;
    const same = v => v.name === c.name && v.position.every((p, i) => Math.abs(p - c.position[i]) < .01);
    this.list(this.#rig.some(same) ? "rig:" + c.name : this.#own.some(same) ? "own:" + c.name : byHand);
    this.#expose(c.ev);
  }

  first() { if (this.#rig.length) this.use("rig:" + this.#rig[0].name); }

  #save() {
    const names = new Set(this.#own.map(c => c.name));
    let n = 1;
    while (names.has("view " + n)) n++;
    askLine("Name of this view, for all devices", `view ${n}`, async name => {
      if (!name) return;
      const a = await this.#link.ask("camera-keep", { name });
      if (a.ok) this.#awaited = name;
      this.#say(a);
    }, { most: longestName });
  }

  #awaited = null;

  /** Once what was saved here is listed it is the one looked through. */
  settle() {
    if (this.#awaited === null || !this.#own.some(c => c.name === this.#awaited)) return;
    this.list("own:" + this.#awaited);
    this.#awaited = null;
  }

  async #forget() {
    const [, name] = parts(this.chosen);
    this.#say(await this.#link.ask("camera-forget", { name }));
  }
}

function parts(value) { const i = value.indexOf(":"); return i < 0 ? [value, ""] : [value.slice(0, i), value.slice(i + 1)]; }
