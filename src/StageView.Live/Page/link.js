// The socket: pictures and states in, questions out. Reconnects by itself, slower each time.

import { patched } from "./patch.js";

/** What this tab calls its seat, so that after a reload it finds what it had. */
export const seat = (() => {
  const fresh = () => [...crypto.getRandomValues(new Uint8Array(16))].map(b => b.toString(16).padStart(2, "0")).join("");
  try { return sessionStorage.seat ??= fresh(); } catch { return fresh(); }
})();

const formats = ["image/jpeg", "image/webp", "image/png"];

export class Link extends EventTarget {
  #socket = null;
  #asked = new Map();
  #id = 0;
  #tries = 0;
  #newest = null;
  #decoding = false;
  #state = null;                 // what the server told last, whole
  #got = 0;                      // bytes of pictures
  #slices = null;
  view = null;

  /** @param beside Whether it only looks on at what this page's first link has before it. */
  constructor(show, beside = false) {
    super();
    this.beside = beside;
    this.show = show; // (bitmap, head) => marker level read, or -1
    document.addEventListener("visibilitychange", () => this.say({ do: "rest", on: document.hidden }));
    addEventListener("online", () => { if (!this.closed) this.#open(); });
    this.#open();
  }

  get open() { return this.#socket?.readyState === WebSocket.OPEN; }

  /** For good. */
  close() {
    this.closed = true;
    this.#socket.close();
  }

  say(message) {
    if (this.open) this.#socket.send(JSON.stringify(message));
  }

  look(view) {
    this.view = view;
    this.say(view);
  }

  /** Resolves with {ok, text, data}; never rejects. */
  ask(what, more = {}) {
    if (!this.open) return Promise.resolve({ ok: false, text: "not connected; the page tries again by itself" });
    const id = ++this.#id;
    return new Promise(done => {
      const late = setTimeout(() => { this.#asked.delete(id); done({ ok: false, text: "no answer within 20 s" }); }, 20000);
      this.#asked.set(id, answer => { clearTimeout(late); done(answer); });
      this.say({ do: what, id, ...more });
    });
  }

  #open() {
    if (this.#socket && this.#socket.readyState <= WebSocket.OPEN) return;
    const socket = this.#socket = new WebSocket(`${location.protocol === "https:" ? "wss" : "ws"}://${location.host}/live`);
    socket.binaryType = "arraybuffer";
    socket.onopen = () => {
      this.#tries = this.#got = 0;
      this.#slices = null;
      this.say({ do: "seat", id: seat, beside: this.beside });
      if (this.view) this.say(this.view);
      if (document.hidden) this.say({ do: "rest", on: true });
      this.dispatchEvent(new Event("open"));
    };
    socket.onmessage = e => typeof e.data === "string" ? this.#text(JSON.parse(e.data)) : this.#bytes(e.data);
    socket.onclose = e => {
      for (const done of this.#asked.values()) done({ ok: false, text: "the connection ended before the answer" });
      this.#asked.clear();
      this.#newest = null;
      this.dispatchEvent(new CustomEvent("lost", { detail: e.reason }));
      if (!this.closed) setTimeout(() => this.#open(), Math.min(8000, 300 * 2 ** this.#tries++));
    };
  }

  #text(m) {
    if (m.t === "ping") this.say({ do: "pong", n: m.n });
    else if (m.t === "answer") { this.#asked.get(m.id)?.(m); this.#asked.delete(m.id); }
    else if (m.t === "state" || m.t === "changes") {
      this.#state = m.t === "state" ? m.state : patched(this.#state, m.patch);
      this.dispatchEvent(new CustomEvent("state", { detail: this.#state }));
    } else this.dispatchEvent(new CustomEvent(m.t, { detail: m }));
  }

  // On a slow link a picture comes in slices, and answers between them; the server sends on as these are told to have come.
  #bytes(buffer) {
    this.#got += buffer.byteLength;
    this.say({ do: "got", bytes: this.#got });
    const v = new DataView(buffer);
    if (v.getUint8(0) === 1) { this.#picture(buffer); return; }
    const number = v.getUint32(4, true), from = v.getUint32(8, true), total = v.getUint32(12, true);
    if (from === 0) this.#slices = { number, bytes: new Uint8Array(total) };
    if (this.#slices?.number !== number) return;
    this.#slices.bytes.set(new Uint8Array(buffer, 16), from);
    if (from + buffer.byteLength - 16 < total) return;
    this.#picture(this.#slices.bytes.buffer);
    this.#slices = null;
  }

  #picture(buffer) {
    const v = new DataView(buffer);
    this.#newest = {
      head: {
        format: v.getUint8(1), width: v.getUint16(2, true), height: v.getUint16(4, true), marker: v.getUint16(6, true) - 1,
        number: v.getUint32(8, true), seconds: v.getFloat32(12, true), age: v.getFloat32(16, true), draw: v.getFloat32(20, true), encode: v.getFloat32(24, true), rung: v.getUint8(28),
      },
      bytes: new Uint8Array(buffer, 32),
    };
    if (!this.#decoding) this.#decode();
  }

  // One at a time, always the newest: what came meanwhile and was overtaken is never decoded.
  async #decode() {
    this.#decoding = true;
    while (this.#newest) {
      const { head, bytes } = this.#newest;
      this.#newest = null;
      try {
        const bitmap = await createImageBitmap(new Blob([bytes], { type: formats[head.format] }));
        await new Promise(done => document.hidden ? done() : requestAnimationFrame(done));
        const marker = this.show(bitmap, head);
        bitmap.close();
        this.say(marker >= 0 ? { do: "shown", n: head.number, marker } : { do: "shown", n: head.number });
      } catch (e) {
        console.warn("a picture could not be shown", e);
        this.say({ do: "shown", n: head.number });
      }
    }
    this.#decoding = false;
  }
}
