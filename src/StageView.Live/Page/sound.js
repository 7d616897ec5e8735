// The music to what is shown: on this device alone, and only when asked for.

import { seat } from "./link.js";

/** Farther off than this it is set, s; nearer it is made a little faster or slower. */
const jump = .25, near = .02;

export class Sound {
  #audio;
  #on = false;
  #name = null;
  #trouble;

  constructor(audio, trouble) {
    this.#audio = audio;
    this.#trouble = trouble;
    this.#audio.addEventListener("error", () => { if (this.#audio.src && this.#on) this.#trouble(`${this.#name} can't be played by this browser`); });
  }

  get on() { return this.#on; }

  /** Called by a press: browsers let sound begin only then. */
  turn(on, capture) {
    this.#on = on;
    this.follow(capture);
  }

  /** Keeps with the show: its position, pace and pauses. */
  follow(capture) {
    const sound = capture?.sound, at = sound ? capture.position - sound.start : -1;
    if (!this.#on || !sound) {
      this.#audio.pause();
      if (!sound) this.#name = null;
      return;
    }
    if (this.#name !== sound.name + capture.name) {
      this.#name = sound.name + capture.name;
      this.#audio.src = `/sound?seat=${seat}&of=${encodeURIComponent(this.#name)}`;
    }
    if (!capture.playing || at < 0 || at >= (this.#audio.duration || Infinity)) {
      this.#audio.pause();
      return;
    }
    const off = at - this.#audio.currentTime;
    if (Math.abs(off) > jump) this.#audio.currentTime = at;
    this.#audio.playbackRate = capture.speed * (Math.abs(off) <= jump && Math.abs(off) > near ? 1 + Math.sign(off) * .04 : 1);
    if (this.#audio.paused) this.#audio.play().catch(e => { if (e.name === "NotAllowedError") this.#trouble("the browser lets no sound begin by itself: press Sound again"); });
  }
}
