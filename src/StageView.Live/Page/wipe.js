// Before and after: two pictures that were kept, or one and what is shown now, parted by a line that is dragged.

import { clock, el, fill } from "./words.js";

const $ = id => document.getElementById(id);
const mostKept = 6, now = "now";

export class Wipe {
  #stage; #say; #look;
  #kept = [];
  #number = 0;

  /** @param look Looks from where a picture was kept. */
  constructor(stage, say, look) {
    [this.#stage, this.#say, this.#look] = [stage, say, look];
    $("wipe-close").onclick = () => this.close();
    for (const id of ["wipe-left", "wipe-right"]) $(id).onchange = () => { this.#from(); this.#draw(); };
    $("wipe-at").oninput = () => this.#draw();
    new ResizeObserver(() => this.#draw()).observe($("wipe"));
  }

  get on() { return !$("wipe-bar").hidden; }

  /** Keeps the picture as it stands, with its moment in words. */
  async keep(state, camera) {
    const bitmap = await createImageBitmap($("picture"));
    const { position, target, fov, ev } = this.#stage.camera;
    this.#kept.push({ id: String(++this.#number), bitmap, words: `${this.#number}: ${state?.timecode ?? clock(state?.seconds ?? 0)}${camera ? ", " + camera : ""}`, from: { position, target: [...target], fov, ev, name: camera } });
    if (this.#kept.length > mostKept) this.#kept.shift().bitmap.close();
    this.#list();
    this.#say({ ok: true, text: "Kept on this device: compare it with what comes." });
  }

  open() {
    if (!this.#kept.length) { this.#say({ ok: true, text: "Keep a picture first, then change something: both are compared here." }); return; }
    $("wipe-bar").hidden = $("wipe").hidden = false;
    this.#list();
    $("wipe-left").value = this.#kept.at(-1).id;
    $("wipe-right").value = now;
    this.#from();
    this.#draw();
    $("wipe-at").focus();
  }

  close() {
    $("wipe-bar").hidden = $("wipe").hidden = true;
    $("picture").focus({ preventScroll: true });
  }

  #list() {
    for (const id of ["wipe-left", "wipe-right"]) {
      const chosen = $(id).value;
      fill($(id), this.#kept.map(k => [k.id, k.words]), list => [el("option", { value: now }, "as shown now"), ...list.map(([value, words]) => el("option", { value }, words))]);
      $(id).value = chosen;
      if ($(id).selectedIndex < 0) $(id).value = now;
    }
  }

  #one(id) { return this.#kept.find(k => k.id === $(id).value); }

  /** What is shown now is seen from where the kept one was. */
  #from() {
    const [left, right] = [this.#one("wipe-left"), this.#one("wipe-right")];
    if ((left && right) || (!left && !right)) return;
    this.#look((left ?? right).from);
  }

  #draw() {
    if (!this.on) return;
    const c = $("wipe"), w = c.width = Math.max(1, c.clientWidth), h = c.height = Math.max(1, c.clientHeight), paint = c.getContext("2d");
    const x = Math.round(w * $("wipe-at").value / 100);
    for (const [kept, from, to] of [[this.#one("wipe-left"), 0, x], [this.#one("wipe-right"), x, w]]) {
      if (!kept) continue;
      paint.save();
      paint.beginPath();
      paint.rect(from, 0, to - from, h);
      paint.clip();
      paint.drawImage(kept.bitmap, 0, 0, w, h);
      paint.restore();
    }
    paint.fillStyle = "#000"; paint.fillRect(x - 2, 0, 4, h);
    paint.fillStyle = "#efebe2"; paint.fillRect(x - 1, 0, 2, h);
  }
}
