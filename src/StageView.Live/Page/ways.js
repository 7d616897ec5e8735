// How a fixture reaches a point: the ways, grouped by what they go over; one is drawn in the picture, each can be copied and tried.

import { el, fill, number, point } from "./words.js";

/** The way that is drawn, or null: a list of points, m. */
export const drawn = { path: null };

const copied = way => [...way.dmx, ...way.turned].join("\n");

/**
 * Lists the ways of an answer; the shortest is drawn.
 * @param draw called with a path's points, or null
 * @param tryIt called with what is to be set
 */
export function showWays(box, a, draw, tryIt, say) {
  if (!a.ok) { draw(null); fill(box, a.text, t => el("p", {}, "✕ " + t)); return; }
  const d = a.data, groups = [...Map.groupBy(d.ways, w => w.group ?? w.via)].sort(([a], [b]) => (b === "direct") - (a === "direct"));
  fill(box, d, () => [
    el("h3", {}, `${d.name} to ${point(d.point)} m`),
    ...groups.flatMap(([via, ways]) => [
      el("h4", {}, via === "direct" ? "Direct" : "By way of " + via),
      ...ways.map(w => card(w, d.ways.indexOf(w)))]),
    ...(d.refusals.length ? [el("h4", {}, "Not possible"), el("ul", { class: "lines" }, d.refusals.map(r => el("li", { class: "warning" }, "▲ " + r)))] : []),
    d.ways.length + d.refusals.length === 0 ? el("p", {}, "No way was found.") : null,
    el("p", { class: "small" }, d.caution),
  ]);
  const buttons = [...box.querySelectorAll("[data-way]")];
  const press = i => {
    for (const b of buttons) b.setAttribute("aria-pressed", +b.dataset.way === i);
    draw(d.ways[i]?.path ?? null);
  };
  for (const b of buttons) b.onclick = () => press(b.getAttribute("aria-pressed") === "true" ? -1 : +b.dataset.way);
  press(d.ways.findIndex(w => w.shortest));

  function card(w, i) {
    const via = w.via !== (w.group ?? w.via) ? w.via : "";
    return el("div", { class: "way" + (w.shortest ? " shortest" : "") },
      el("p", {}, el("strong", {}, `pan ${number(w.pan, 2)}°, tilt ${number(w.tilt, 2)}°`), w.shortest ? " · shortest move" : ""),
      via ? el("p", { class: "small" }, "over " + via) : null,
      el("p", { class: "small" }, `moves ${number(w.moveDegrees)}° in ${number(w.moveSeconds)} s; ${number(w.lux, 0)} lx there square to the beam, at full and with nothing in its way${w.arrivesShare < .999 ? `, ${number(w.arrivesShare * 100, 0)} % of the light arrives` : ""}`),
      ...w.turned.map(t => el("p", { class: "small" }, "↻ turn " + t)),
      w.dmx.length ? el("p", { class: "small dmx" }, w.dmx.join(" · ")) : null,
      el("p", { class: "row" },
        el("button", { type: "button", "data-way": i, "aria-pressed": "false" }, "Draw it"),
        w.dmx.length ? el("button", { type: "button", onclick: () => copy(copied(w), say) }, "Copy DMX") : null,
        w.sets?.length ? el("button", { type: "button", title: "For looking only; nothing is sent", onclick: () => tryIt(w.sets) }, "Try it") : null));
  }
}

/** Away from the machine itself a page over plain HTTP has no clipboard of its own: then the text is selected and copied as by hand. */
async function copy(text, say) {
  try { await navigator.clipboard.writeText(text); say({ ok: true, text: "Copied." }); return; } catch { /* Not allowed, or there is none. */ }
  const area = el("textarea", { class: "hidden-words", "aria-hidden": "true" }, text), held = document.activeElement;
  document.body.append(area);
  area.select();
  const done = document.execCommand("copy");
  area.remove();
  held?.focus();
  say(done ? { ok: true, text: "Copied." } : { ok: false, text: "this browser copies nothing: select the values by hand" });
}

/** A layer of the picture: the way from the head over each mirror to the target. */
export function wayLayer({ add, place, line }) {
  if (!drawn.path) return;
  const d = line(drawn.path);
  if (!d) return;
  add("path", { class: "axis casing", d });
  add("path", { class: "axis is way-drawn", d });
  for (const p of drawn.path.slice(1, -1).map(place).filter(Boolean)) add("circle", { class: "axis end is", cx: p[0], cy: p[1], r: 5 });
}
