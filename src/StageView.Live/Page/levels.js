// The levels of a fixture, who drives each, and where its beams land.

import { broken, el, fill, leastLux, number, point } from "./words.js";

const name = s => `${s.name}${s.perAddress ? " (per address)" : ""}`;

/** The levels as a table: below each channel's name who drives it, below a contested row all that send it, the winner first. */
export function showLevels(box, f) {
  const asIf = new Set(f.asIf ?? []);
  fill(box, { channels: f.channels, drives: f.drives, asIf: f.asIf }, () => [
    el("h3", {}, "Levels"),
    el("div", { class: "wide" }, el("table", {}, el("thead", {}, el("tr", {}, ...["Channel", "Level", "Does"].map(t => el("th", { scope: "col" }, t)))),
      el("tbody", {}, f.channels.flatMap(c => row(c, f.drives?.[c.drive], asIf.has(c.name)))))),
  ]);
}

function row(c, drive, asIf) {
  const winner = drive?.sources.find(s => s.wins), told = drive && (drive.sources.length > 1 || drive.split || !winner || winner.fate !== "wins" || (asIf && c.sent));
  const line = el("tr", { class: drive?.fought || drive?.split ? "fought" : null, "data-channel": c.name },
    el("th", { scope: "row" }, ...broken(c.name), el("div", { class: "small" }, ...broken(c.address))),
    el("td", { class: "number" }, el("span", {}, c.raw), el("meter", { min: 0, max: c.full || 1, value: c.raw, "aria-label": `${c.name} level` })),
    el("td", {}, asIf ? el("strong", { class: "as-if-mark" }, "◇ as if ") : null, el("span", { class: "value" }, c.physical), " ", c.doing,
      winner ? el("div", { class: "small from", title: `${winner.name}, ${winner.address}, ${winner.protocol}, priority ${winner.priority}` }, `▸ ${winner.name}`) : null));
  if (!told) return [line];
  const sources = drive.sources.map((s, i) => ({ ...s, sent: c.sent ? c.sent[i] : c.raw })).sort((a, b) => b.wins - a.wins || b.priority - a.priority);
  return [line, el("tr", { class: "drive" + (drive.fought || drive.split ? " fought" : "") }, el("td", { colspan: 3 },
    drive.fought ? el("div", { class: "lost" }, "✕ fought over") : null,
    drive.split ? el("div", { class: "lost" }, "✕ its bytes are won by different sources") : null,
    ...sources.map(s => el("div", { class: "small" + (s.wins ? " wins" : "") },
      `${s.wins ? "▸" : "·"} ${name(s)} ${s.address} ${s.protocol}, priority ${s.priority}: ${s.sent ?? "nothing"}, ${s.fate}`))))];
}

/** Where the beams land, a row each. */
export function showLandings(box, f) {
  const strong = f.landings.filter(l => l.lux >= leastLux), weak = f.landings.length - strong.length;
  fill(box, f.landings, () => [
    el("h3", {}, "Where its beam lands"),
    strong.length ? el("div", { class: "wide" }, el("table", {},
      el("thead", {}, el("tr", {}, ...["On", "lx", "Spot, m", "Throw, m"].map(t => el("th", { scope: "col" }, t)))),
      el("tbody", {}, strong.map(l => el("tr", {},
        el("th", { scope: "row" }, ...broken(`${l.path ? l.path + " → " : ""}${l.surface}`), el("div", { class: "small" }, point(l.at))),
        el("td", { class: "number" }, number(l.lux, 0), l.squareLux ? el("div", { class: "small", title: "on a plane that faces the beam" }, `□ ${number(l.squareLux, 0)}`) : null),
        el("td", { class: "number" }, `${number(l.spotWidth, 1)} × ${number(l.spotHeight, 1)}`, el("div", { class: "small", title: "from square" }, `∠ ${number(l.incidenceDegrees, 0)}°`)),
        el("td", { class: "number" }, number(l.throw, 1))))))) : null,
    !f.landings.length ? el("p", { class: "small" }, "No light leaves it now.")
      : weak ? el("p", { class: "small" }, `${strong.length ? "and " : ""}${weak} under ${leastLux} lx`) : null,
    strong.some(l => l.squareLux) ? el("p", { class: "small" }, "□ on a plane that faces the beam; ∠ from square.") : null,
  ]);
}
