// Marks on the scrubber: cues by name, notes, and changes found in the levels.

import { clock, el, fill } from "./words.js";

const $ = id => document.getElementById(id);
const svg = (name, attributes) => {
  const e = document.createElementNS("http://www.w3.org/2000/svg", name);
  for (const [k, v] of Object.entries(attributes)) e.setAttribute(k, v);
  return e;
};

/** So near to a mark the show stands at it, s: the next one is another. */
const at = .05;

export class Marks {
  #seek; #say;
  #all = [];
  #position = 0;

  /** @param seek Goes to a time of the capture: what to ask, as the server knows it. */
  constructor(seek, say) {
    [this.#seek, this.#say] = [seek, say];
    $("mark-back").onclick = () => this.step(-1);
    $("mark-on").onclick = () => this.step(1);
    $("cues").onchange = e => {
      const value = e.target.value;
      e.target.value = "";
      if (value) this.#seek(value.startsWith("cue:") ? { time: value } : { seconds: +value });
    };
  }

  /** @param notes Those of all sources. */
  show(capture, notes) {
    const cues = capture?.cues ?? [], changes = capture?.changes ?? [];
    const mine = capture ? notes.filter(n => n.source === "capture" && n.sourceName === capture.name) : [];
    this.#position = capture?.position ?? 0;
    this.#all = [...cues.map(c => ({ kind: "cue", text: c.name, ...c })), ...mine.map(n => ({ kind: "note", text: n.text || "a mark", ...n })),
      ...changes.map(c => ({ kind: "change", text: c.flash ? "flash" : `${c.channels} ${c.channels === 1 ? "address moves" : "addresses move"}`, ...c }))].sort((a, b) => a.seconds - b.seconds);
    const none = this.#all.length === 0;
    $("cues").parentElement.hidden = none;
    const lines = this.#all.map(({ kind, text, seconds, timecode }) => ({ kind, text, seconds, timecode }));
    fill($("cues"), lines, list => [el("option", { value: "" }, "Go to"), ...[["cue", "Cues"], ["note", "Notes"], ["change", "Changes found in the levels"]].map(([kind, label]) => {
      const of = list.filter(m => m.kind === kind);
      return of.length > 0 && el("optgroup", { label }, ...of.map(m =>
        el("option", { value: kind === "cue" ? "cue:" + m.text : m.seconds }, `${m.timecode ?? clock(m.seconds)}  ${m.text}`)));
    })]);
    fill($("scrub-marks"), { lines, length: capture?.length }, d => d.lines.map(m => this.#draw(m, d.length)));
  }

  #draw({ kind, seconds }, length) {
    const x = `${(100 * seconds / Math.max(length, .001)).toFixed(2)}%`;
    return kind === "note" ? svg("circle", { class: kind, cx: x, cy: 5, r: 4 })
      : svg("line", { class: kind, x1: x, x2: x, ...kind === "cue" ? { y1: 0, y2: 10 } : { y1: 22, y2: 30 } });
  }

  /** Goes to the next mark, or the one before. */
  step(way) {
    const there = way > 0 ? this.#all.find(m => m.seconds > this.#position + at) : this.#all.findLast(m => m.seconds < this.#position - at);
    if (!there) { this.#say({ ok: true, text: this.#all.length ? `There is no mark ${way > 0 ? "after" : "before"} this.` : "There are no marks: open a capture, or drop a note with M." }); return; }
    this.#position = there.seconds;
    this.#seek({ seconds: there.seconds });
    this.#say({ ok: true, text: `${there.timecode ?? clock(there.seconds)}  ${there.text}` });
  }
}
