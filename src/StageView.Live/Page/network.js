// The panel of the network: a line for each universe and source, faults first; a press on a line tells the rest of it.

import { el, fill, signs } from "./words.js";

/** An address without its port, which says little: senders take any. */
export const host = address => address.replace(/^\[(.*)\]:\d+$/, "$1").replace(/^([^:]+):\d+$/, "$1");

/** Which lines are open, by universe and sender. */
const open = new Set();

export function showUniverses(body, universes) {
  const rows = universes.flatMap(u => (u.sources.length ? u.sources : [null]).map((s, i) => ({
    key: `${u.universe} ${s ? s.address + s.name : ""}`, universe: u.universe, first: i === 0, state: u.state, wrong: !!u.wrong, fought: u.fought ?? 0, fixtures: u.fixtures,
    source: s && { name: s.name || host(s.address), address: host(s.address), protocol: s.protocol, priority: s.priority, rate: Math.round(s.rate), state: s.state, wins: s.wins, of: s.of, why: s.why },
  })));
  const held = document.activeElement?.dataset?.source;
  fill(body, { rows, open: [...open] }, d => d.rows.flatMap(r => row(r, () => { if (!open.delete(r.key)) open.add(r.key); showUniverses(body, universes); })));
  if (held !== undefined) [...body.querySelectorAll("button")].find(b => b.dataset.source === held)?.focus();
}

function row(r, toggle) {
  const s = r.source, wrong = r.wrong && r.state === "heard", sign = r.fought ? "✕" : wrong ? "▲" : signs[r.state] ?? "";
  const line = el("tr", { class: r.fought ? "fought" : null },
    el("th", { scope: "row", class: r.fought ? "lost" : wrong ? "silent" : r.state, "aria-label": `universe ${r.universe}, ${r.fought ? "fought over" : r.state}` }, `${sign} ${r.universe}`),
    ...(s ? [
      el("td", { class: "who" }, el("button", { type: "button", class: "line", "data-source": r.key, "aria-expanded": String(open.has(r.key)), title: `${s.name}, ${s.address}, ${s.protocol}`, onclick: toggle }, s.name)),
      el("td", { class: "number" }, s.rate),
      el("td", { class: "number" }, s.priority),
      el("td", { class: "wins" }, s.wins ? `${s.state === "held" ? "held" : "▸"} ${s.wins}${s.wins === s.of ? "" : "/" + s.of}` : s.of ? "loses" : s.state)]
      : [el("td", { colspan: 4, class: "small" }, `${r.state}${r.fixtures ? `, ${r.fixtures} ${r.fixtures === 1 ? "fixture" : "fixtures"} patched` : ""}`)]));
  if (!s || !open.has(r.key)) return [line];
  return [line, el("tr", { class: "rest" }, el("td", { colspan: 5, class: "small" },
    `${s.name}, ${s.address}, ${s.protocol}, priority ${s.priority}, ${s.rate} packets/s, ${s.state}: ${s.why}`,
    r.fought ? el("div", { class: "lost" }, `✕ ${r.fought} ${r.fought === 1 ? "address is" : "addresses are"} fought over in universe ${r.universe}`) : null))];
}
