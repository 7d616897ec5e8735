// Which content lies over the pixels, and what it shows: a line each.

import { clock, el, fill, setText } from "./words.js";

const sign = { runs: "●", waits: "○", over: "·", lost: "✕", closed: "◇" };

function words(c) {
  if (c.state === "runs") return c.seconds == null ? "shows" : `runs at ${clock(c.seconds).slice(0, -2)}`;
  if (c.state === "over") return "is over";
  return `${c.state === "closed" ? "not opened" : c.state}: ${c.why}`;
}

/** How many are lost. */
export function showContent(box, list, contents) {
  box.hidden = !contents;
  fill(list, (contents ?? []).map(c => [c.name, c.on]), rows => rows.map(([name, on]) => el("li", {}, el("span"), " ", el("strong", {}, name), " ", el("span"), el("div", { class: "small" }, on))));
  for (const [i, c] of (contents ?? []).entries()) {
    const line = list.children[i], [mark, says] = line.querySelectorAll("span");
    line.classList.toggle("trouble", c.state === "lost");
    setText(mark, sign[c.state] ?? "·");
    setText(says, words(c));
  }
  return (contents ?? []).filter(c => c.state === "lost").length;
}
