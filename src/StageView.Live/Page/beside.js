// A second view beside the first: the same moment from another camera, or the plan.

import { Camera } from "./camera.js";
import { Link } from "./link.js";
import { Stage } from "./stage.js";
import { el, fill } from "./words.js";

const $ = id => document.getElementById(id);

/** From straight above, under whatever roof is over the highest fixture, and wide enough for all of them. */
export function plan(fixtures, ev, aspect) {
  const all = fixtures.map(f => f.at), range = i => [Math.min(...all.map(p => p[i])), Math.max(...all.map(p => p[i]))];
  const [x, y, z] = [range(0), range(1), range(2)], height = Math.max(2, z[1] + .5), half = Math.max(3, (x[1] - x[0]) / 2 / aspect, (y[1] - y[0]) / 2);
  const middle = [(x[0] + x[1]) / 2, (y[0] + y[1]) / 2];
  return { position: [...middle, height], target: [...middle, 0], fov: Math.min(110, 2 * Math.atan(half / height) * 180 / Math.PI), ev };
}

export class Beside extends EventTarget {
  #first; #link = null;
  #rig = null; #saved = [];
  stage = null;

  constructor(first) {
    super();
    this.#first = first;
    $("beside-close").onclick = () => this.turn(false);
    $("beside-cameras").onchange = () => this.#use();
    // They lie over each other where the place is higher than wide.
    new ResizeObserver(([{ contentRect: r }]) => $("views").classList.toggle("upright", r.height > r.width)).observe($("views"));
  }

  get on() { return !$("beside").hidden; }

  turn(on) {
    if (on === this.on) return;
    $("beside").hidden = !on;
    $("two-views").setAttribute("aria-pressed", on);
    if (on) this.#open(); else { this.#link.close(); this.#link = null; this.#first.twin = null; $("two-views").focus(); }
  }

  /** The cameras that there are. */
  cameras(rig, saved) {
    [this.#rig, this.#saved] = [rig, saved];
    const before = $("beside-cameras").value;
    fill($("beside-cameras"), [rig?.cameras.map(c => c.name), saved.map(c => c.name)], ([own = [], kept]) => [el("option", { value: "plan" }, "plan, from above"),
      ...own.map(n => el("option", { value: "rig:" + n }, n)), ...kept.map(n => el("option", { value: "own:" + n }, `${n} (saved)`))]);
    $("beside-cameras").value = before;
    if ($("beside-cameras").selectedIndex < 0) $("beside-cameras").value = "plan";
  }

  #open() {
    this.stage ??= this.#make();
    const stage = this.stage;
    this.#link = new Link((bitmap, head) => stage.show(bitmap, head), true);
    const late = on => $("beside").classList.toggle("late", on);
    this.#link.addEventListener("state", e => late(!e.detail.picture.drawing || e.detail.link.ageSeconds == null || e.detail.link.ageSeconds > 2));
    this.#link.addEventListener("lost", () => late(true));
    this.#first.twin = stage;
    this.#use();
    stage.copy(this.#first);
  }

  #make() {
    const stage = new Stage($("beside-picture"), $("beside-marks"));
    stage.addEventListener("view", e => this.#link?.look(e.detail));
    stage.addEventListener("pick", async e => { if (this.#link) this.dispatchEvent(new CustomEvent("picked", { detail: await this.#link.ask("pick", { x: e.detail[0], y: e.detail[1] }) })); });
    stage.addEventListener("expose", e => { stage.camera.ev = Math.min(16, Math.max(-2, stage.camera.ev + e.detail)); stage.changed(); });
    stage.addEventListener("work", () => { stage.camera.work = !stage.camera.work; stage.changed(); });
    return stage;
  }

  #use() {
    if (!this.#rig || !this.stage) return;
    const value = $("beside-cameras").value, name = value.slice(4), { ev, work } = this.#first.camera;
    const c = value === "plan" ? plan(this.#rig.fixtures, ev, this.stage.aspect) : (value.startsWith("rig:") ? this.#rig.cameras : this.#saved).find(v => v.name === name);
    if (!c) return;
    this.stage.camera = Camera.from(c.position, c.target, c.fov, c.ev);
    this.stage.camera.work = work;
    this.stage.changed();
  }
}
