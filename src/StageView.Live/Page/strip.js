// The picture alone, with a thin strip under it that says the time and the worst of everything.

import { setText } from "./words.js";

const $ = id => document.getElementById(id);

/**
 * The worst that the page knows, as words for a strip.
 * @param badge What the badge says, and whether it is a trouble.
 * @returns [words, "bad", "warn" or ""]
 */
export function worst(badge, state, late) {
  if (badge.off) return [badge.text, "bad"];
  if (state?.fault) return [`✕ ${state.fault.file.split(/[/\\]/).at(-1)} can't be read`, "bad"];
  if (state?.recorder.trouble) return [`✕ recorder: ${state.recorder.trouble}`, "bad"];
  if (badge.level === "lost") return [badge.text, "bad"];
  if (late) return [late, "bad"];
  if (badge.level === "silent") return [badge.text, "warn"];
  return [badge.text, ""];
}

export class Strip extends EventTarget {
  constructor() {
    super();
    $("only").onclick = () => this.turn(true);
    $("only-end").onclick = () => this.turn(false);
    $("full-screen").hidden = !document.fullscreenEnabled;
    $("full-screen").onclick = () => document.fullscreenElement ? document.exitFullscreen() : document.documentElement.requestFullscreen().catch(() => {});
    document.addEventListener("fullscreenchange", () => setText($("full-screen"), document.fullscreenElement ? "Leave full screen" : "Full screen"));
  }

  get on() { return document.body.classList.contains("only"); }

  turn(on) {
    if (on === this.on) return;
    document.body.classList.toggle("only", on);
    $("strip").hidden = !on;
    if (!on && document.fullscreenElement) document.exitFullscreen();
    if (on) $("picture").focus({ preventScroll: true }); else $("only").focus({ preventScroll: true });
  }

  show(time, timecode, [words, weight], picked) {
    setText($("strip-timecode"), timecode ?? "");
    setText($("strip-clock"), time);
    $("strip-worst").className = weight;
    setText($("strip-worst"), words);
    setText($("strip-picked"), picked ?? "");
  }
}

/** How bright everything beside the picture is, percent; for a dark room. */
export function dimPage(percent) {
  document.documentElement.style.setProperty("--page-light", percent / 100);
  document.body.classList.toggle("dimmed", percent < 100);
  $("page-light").value = percent;
  $("page-light").setAttribute("aria-valuetext", `${percent} %`);
  setText($("page-light-is"), `${percent} %`);
}
