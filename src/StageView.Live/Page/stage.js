// The picture: pointers, keys, touch, and the marks drawn over it.

import { Camera } from "./camera.js";
import { leastLux } from "./words.js";

const svgNames = "http://www.w3.org/2000/svg";

export class Stage extends EventTarget {
  camera = new Camera();
  cross = null;          // [x, y] of the key-driven cross, or null
  mode = "look";         // look, aim, move
  selected = null;       // {name, at, landings}
  target = null;         // aim target
  twin = null;           // another view of the same moment, or null
  axes = null;           // {fixture, oldWay, way, at} of a position in another venue
  layers = [];           // functions that draw more: they are given add, label, place and line
  #pointers = new Map();
  #moved = 0;
  #drag = null;
  #home = null;          // where the dragged fixture hung before

  constructor(canvas, marks) {
    super();
    this.canvas = canvas;
    this.marks = marks;
    this.paint = canvas.getContext("2d", { alpha: false });
    canvas.addEventListener("pointerdown", e => this.#down(e));
    canvas.addEventListener("pointermove", e => this.#move(e));
    canvas.addEventListener("pointerup", e => this.#up(e));
    canvas.addEventListener("pointercancel", e => { this.#pointers.delete(e.pointerId); this.letGo(); });
    canvas.addEventListener("contextmenu", e => e.preventDefault());
    canvas.addEventListener("wheel", e => { e.preventDefault(); this.camera.nearer(Math.exp(-e.deltaY * .0012)); this.#turned(); }, { passive: false });
    canvas.addEventListener("keydown", e => this.#key(e));
    canvas.addEventListener("blur", () => { this.cross = null; this.drawMarks(); });
    new ResizeObserver(() => this.changed()).observe(canvas);
  }

  get dragging() { return this.#drag !== null; }

  /** Ends a drag that was not dropped: the ring goes back, and the pointer that is still down does nothing more. */
  letGo() {
    if (!this.#drag) return;
    this.#drag = null;
    this.#pointers.clear();
    this.selected = { ...this.selected, at: this.#home };
    this.drawMarks();
    this.dispatchEvent(new Event("let-go"));
  }

  get aspect() { return this.canvas.clientWidth / Math.max(1, this.canvas.clientHeight); }

  changed() {
    const density = Math.min(devicePixelRatio || 1, 2);
    const view = this.camera.asView(Math.round(this.canvas.clientWidth * density), Math.round(this.canvas.clientHeight * density));
    this.canvas.dataset.eye = view.from.map(v => v.toFixed(3)).join(" ");
    this.dispatchEvent(new CustomEvent("view", { detail: view }));
    this.drawMarks();
  }

  /** The view is no saved camera's any more. */
  #turned() {
    this.dispatchEvent(new Event("turned"));
    this.changed();
  }

  /** Shows a picture; returns the marker's level read back from the pixels when there is one, else -1. */
  show(bitmap, head) {
    if (this.canvas.width !== bitmap.width || this.canvas.height !== bitmap.height) {
      this.canvas.width = bitmap.width;
      this.canvas.height = bitmap.height;
    }
    this.paint.drawImage(bitmap, 0, 0);
    return head.marker < 0 ? -1 : this.#readMarker();
  }

  // Eight cells along the top left corner, the highest bit first, each 1/64 of the width; light is 1.
  #readMarker() {
    const cell = Math.max(2, Math.floor(this.canvas.width / 64));
    const row = this.paint.getImageData(0, Math.floor(cell / 2), cell * 8, 1).data;
    let level = 0;
    for (let bit = 0; bit < 8; bit++) level = level * 2 + (row[(bit * cell + Math.floor(cell / 2)) * 4 + 1] > 127 ? 1 : 0);
    return level;
  }

  #at(e) {
    const r = this.canvas.getBoundingClientRect();
    return [(e.clientX - r.left) / r.width, (e.clientY - r.top) / r.height];
  }

  #down(e) {
    this.canvas.focus({ preventScroll: true });
    this.canvas.setPointerCapture(e.pointerId);
    this.#pointers.set(e.pointerId, { x: e.clientX, y: e.clientY, button: e.button, shift: e.shiftKey });
    this.#moved = 0;
    if (this.mode === "move" && this.selected && this.#pointers.size === 1) {
      const p = this.camera.project(this.selected.at, this.aspect), at = this.#at(e);
      if (p && Math.hypot((p[0] - at[0]) * this.canvas.clientWidth, (p[1] - at[1]) * this.canvas.clientHeight) < 40) {
        this.#drag = at;
        this.#home = this.selected.at;
      }
    }
  }

  #move(e) {
    const p = this.#pointers.get(e.pointerId);
    if (!p) return;
    const dx = e.clientX - p.x, dy = e.clientY - p.y, h = this.canvas.clientHeight;
    this.#moved += Math.hypot(dx, dy);
    if (this.#drag) {
      this.#drag = this.#at(e);
      this.dispatchEvent(new CustomEvent("dragging", { detail: this.#drag }));
    } else if (this.#pointers.size >= 2) {
      const other = [...this.#pointers].find(([id]) => id !== e.pointerId)[1];
      const before = Math.hypot(p.x - other.x, p.y - other.y), now = Math.hypot(e.clientX - other.x, e.clientY - other.y);
      if (before > 8 && now > 8) this.camera.nearer(now / before);
      this.camera.slide(dx / h / 2, dy / h / 2);
      this.#turned();
    } else if (this.#moved > 4) {
      if (p.shift || p.button === 2 || p.button === 1) this.camera.slide(dx / h, dy / h);
      else this.camera.turn(dx / h * 2.2, dy / h * 2.2);
      this.#turned();
    }
    p.x = e.clientX;
    p.y = e.clientY;
  }

  #up(e) {
    const p = this.#pointers.get(e.pointerId);
    this.#pointers.delete(e.pointerId);
    if (!p) return;
    if (this.#drag) {
      if (this.#moved > 4) this.dispatchEvent(new CustomEvent("dropped", { detail: this.#drag }));
      this.#drag = null;
    } else if (this.#moved <= 4 && p.button === 0 && this.#pointers.size === 0) this.#point(this.#at(e), p.shift);
  }

  #point(at, more = false) {
    this.dispatchEvent(new CustomEvent(this.mode === "aim" ? "aim" : more ? "pick-more" : "pick", { detail: at }));
  }

  #key(e) {
    if (e.ctrlKey || e.metaKey || e.altKey) return;
    const step = .06;
    const arrows = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[e.key];
    if (arrows) {
      const [x, y] = arrows;
      if (this.cross) {
        const fine = e.shiftKey ? .25 : 1;
        this.cross = [Math.min(1, Math.max(0, this.cross[0] + x * .02 * fine)), Math.min(1, Math.max(0, this.cross[1] + y * .02 * fine * this.aspect))];
        this.drawMarks();
      } else {
        if (e.shiftKey) this.camera.slide(-x * step, -y * step); else this.camera.turn(x * step, y * step);
        this.#turned();
      }
    } else if (e.key === "+" || e.key === "=") { this.camera.nearer(1.12); this.#turned(); }
    else if (e.key === "-" || e.key === "_") { this.camera.nearer(1 / 1.12); this.#turned(); }
    else if (e.key === "c" || e.key === "C") { this.cross = this.cross ? null : [.5, .5]; this.drawMarks(); }
    else if (e.key === "Enter" && this.cross) this.#point(this.cross, e.shiftKey);
    else if ((e.key === "t" || e.key === "T") && this.cross) this.dispatchEvent(new CustomEvent("aim", { detail: this.cross }));
    else if (e.key === "Escape" && this.cross && !this.#drag) { this.cross = null; this.drawMarks(); }
    else if (/^[1-9]$/.test(e.key)) this.dispatchEvent(new CustomEvent("camera", { detail: +e.key - 1 }));
    else if (e.key === "<" || e.key === ",") this.dispatchEvent(new CustomEvent("expose", { detail: .5 }));
    else if (e.key === ">" || e.key === ".") this.dispatchEvent(new CustomEvent("expose", { detail: -.5 }));
    else if (e.key === "w" || e.key === "W") this.dispatchEvent(new Event("work"));
    else if (e.key === "f" || e.key === "F") this.dispatchEvent(new Event("only"));
    else if (e.key === "n" || e.key === "N") this.dispatchEvent(new CustomEvent("step", { detail: 1 }));
    else if (e.key === "p" || e.key === "P") this.dispatchEvent(new CustomEvent("step", { detail: -1 }));
    else if (e.key === " ") e.repeat || this.dispatchEvent(new Event("play"));
    else if ((e.key === "R" || e.key === "r") && e.shiftKey) e.repeat || this.dispatchEvent(new Event("record"));
    else return;
    e.preventDefault();
    e.stopPropagation();
  }

  /** A label beside its mark where no other stands: right of it, left, below or above. Where there is no room the sheet alone has it. */
  #settle({ element, at: [x, y], radius, down }, w, h, taken) {
    const long = element.getComputedTextLength(), tall = 16, gap = radius + 4;
    const places = [[x + gap, y + down], [x - gap - long, y + down], [x - long / 2, y + gap + tall], [x - long / 2, y - gap - 4], ...[1, -1, 2, -2].flatMap(n => [[x + gap, y + down + n * (tall + 3)], [x - gap - long, y + down + n * (tall + 3)]])];
    const box = ([left, base]) => ({ left: left - 2, right: left + long + 2, top: base - tall + 1, bottom: base + 4 });
    const free = p => { const b = box(p); return b.left >= 0 && b.right <= w && b.top >= 0 && b.bottom <= h && !taken.some(t => b.left < t.right && t.left < b.right && b.top < t.bottom && t.top < b.bottom); };
    const found = places.find(free);
    if (!found) { element.remove(); return; }
    taken.push(box(found));
    element.setAttribute("x", found[0]);
    element.setAttribute("y", found[1]);
  }

  drawMarks() {
    const w = this.canvas.clientWidth, h = this.canvas.clientHeight, all = [];
    const add = (name, attributes, text) => {
      const el = document.createElementNS(svgNames, name);
      for (const [k, v] of Object.entries(attributes)) el.setAttribute(k, v);
      if (text) el.textContent = text;
      all.push(el);
    };
    const labels = [], label = (at, radius, down, text) => { add("text", {}, text); labels.push({ element: all.at(-1), at, radius, down }); };
    const place = p => { const q = this.camera.project(p, this.aspect); return q && [q[0] * w, q[1] * h]; };
    const line = points => points.slice(1).map((p, i) => this.camera.segment(points[i], p, this.aspect)).filter(Boolean)
      .map(([a, b]) => `M${a[0] * w} ${a[1] * h}L${b[0] * w} ${b[1] * h}`).join("");
    for (const layer of this.layers) layer({ add, label, place, line });
    if (this.selected) {
      const p = place(this.selected.at);
      if (p) {
        add("circle", { class: "ring", cx: p[0], cy: p[1], r: 16 });
        label(p, 16, -8, this.selected.name);
      }
      for (const landing of (this.selected.landings ?? []).filter(l => l.lux >= leastLux)) {
        const q = place(landing.at);
        if (!q) continue;
        add("circle", { class: "landing", cx: q[0], cy: q[1], r: 10 });
        add("path", { class: "landing", d: `M${q[0] - 4} ${q[1]}h8M${q[0]} ${q[1] - 4}v8` });
        label(q, 10, 5, `${Math.round(landing.lux)} lx`);
      }
    }
    if (this.axes) {
      const { oldWay, way, at } = this.axes;
      for (const [name, points] of [["was", oldWay], ["is", way]]) {
        const d = line(points);
        if (!d) continue;
        add("path", { class: "axis casing", d });
        add("path", { class: "axis " + name, d });
        const end = place(points.at(-1));
        if (end) add("circle", { class: "axis end " + name, cx: end[0], cy: end[1], r: 6 });
      }
      const p = at && place(at);
      if (p) add("path", { class: "target", d: `M${p[0]} ${p[1] - 11}l11 11l-11 11l-11 -11z` });
    }
    if (this.target) {
      const p = place(this.target);
      if (p) {
        add("path", { class: "target", d: `M${p[0] - 14} ${p[1]}h10m8 0h10M${p[0]} ${p[1] - 14}v10m0 8v10` });
        label(p, 14, -8, "target");
      }
    }
    if (this.cross) {
      const [x, y] = [this.cross[0] * w, this.cross[1] * h];
      add("path", { class: "target", d: `M${x - 24} ${y}h48M${x} ${y - 24}v48` });
      add("circle", { class: "ring", cx: x, cy: y, r: 8 });
    }
    this.marks.replaceChildren(...all);
    const taken = labels.map(({ at: [x, y] }) => ({ left: x - 5, right: x + 5, top: y - 5, bottom: y + 5 }));
    for (const l of labels) this.#settle(l, w, h, taken);
    this.twin?.copy(this);
  }

  /** The same marks as another view's. */
  copy({ selected, target, axes }) {
    Object.assign(this, { selected, target, axes });
    this.drawMarks();
  }
}
