import { inviting } from "./invite.js";
import { Link } from "./link.js";
import { Stage } from "./stage.js";
import { Camera } from "./camera.js";
import { Cameras } from "./cameras.js";
import { Marks } from "./marks.js";
import { Notes } from "./notes.js";
import { Sheet } from "./sheet.js";
import { Refocus } from "./refocus.js";
import { Several } from "./several.js";
import { Sound } from "./sound.js";
import { drawn, wayLayer } from "./ways.js";
import { kept, Rail } from "./rail.js";
import { dimPage, Strip, worst } from "./strip.js";
import { Beside } from "./beside.js";
import { share } from "./share.js";
import { oneRow } from "./tools.js";
import { Wipe } from "./wipe.js";
import { clock, el, fill, number, setText, shortNote, signs, takeName } from "./words.js";

const $ = id => document.getElementById(id);
const stage = new Stage($("picture"), $("marks"));
const link = new Link((bitmap, head) => { pictureAt = new Date(); return stage.show(bitmap, head); });
const sheet = new Sheet(link, say, select, lookAt);
const refocus = new Refocus(link, say, axes, lookAt, () => sheet.current === "refocus");
sheet.addEventListener("opened", () => refocus.opened());
const several = new Several(link, say, select, () => sheet.current === "several", () => stage.drawMarks());
stage.layers.push(wayLayer, marks => { if (sheet.current === "several") several.layer(marks); });
for (const what of ["path", "opened"]) sheet.addEventListener(what, () => stage.drawMarks());
sheet.addEventListener("several", e => takeMore(e.detail));
const sound = new Sound($("music"), text => { say({ ok: false, text }); $("sound").setAttribute("aria-pressed", false); });
const cameras = new Cameras(stage, link, say, ev => expose(ev));
const seek = async where => { const a = await link.ask("seek", where); if (!a.ok) say(a); return a.ok; };
const marks = new Marks(seek, say);
const beside = new Beside(stage), wipe = new Wipe(stage, say, c => cameras.look(c));
const notes = new Notes(link, say, () => cameras.name, showNote);
let rig = null, state = null, picked = null, waiting = null, firstRig = true, scrubbing = 0;
let pictureAt = null, heardAt = performance.now();

/** Opens the panel of several fixtures with one more, with one less when it is there and may be turned out, or with all of a list. */
function takeMore(names, turn = false) {
  if (Array.isArray(names)) several.take(names); else if (turn) several.turn(names); else several.add(names);
  sheet.open("several");
}

let quiet = 0;
function say(answer) {
  if (!answer.text) {
    if (answer.ok) hush();
    return answer;
  }
  const s = $("said");
  s.classList.toggle("refused", !answer.ok);
  s.classList.remove("afloat");
  s.textContent = (answer.ok ? "" : "✕ ") + answer.text;
  // On a phone the picture may be scrolled away, and what is said would be with it.
  const r = s.getBoundingClientRect();
  s.classList.toggle("afloat", r.top < 0 || r.bottom > innerHeight);
  clearTimeout(quiet);
  quiet = setTimeout(hush, answer.stays ? 30000 : 6000);
  return answer;
}
/** What went well needs no words, and those of an earlier failure are over. */
function hush() { $("said").textContent = ""; }

const narrow = matchMedia("(max-width: 60rem)"), calm = matchMedia("(prefers-reduced-motion: reduce)");
/** What was asked for is scrolled into sight, in the details or where the page itself scrolls. */
function reveal(part) {
  const r = part.getBoundingClientRect(), panel = part.closest("[role=tabpanel]")?.getBoundingClientRect();
  if (panel && (r.top < panel.top || r.bottom > panel.bottom || panel.bottom > innerHeight + 60))
    part.scrollIntoView({ block: r.height < panel.height ? "nearest" : "start", behavior: calm.matches ? "instant" : "smooth" });
}

const rail = new Rail(narrow), strip = new Strip();
oneRow($("tools"), $("more-tools"), $("more"));
dimPage(+(kept.get("page-light") ?? 100));
$("page-light").oninput = e => { dimPage(+e.target.value); kept.set("page-light", e.target.value); };
$("two-views").onclick = () => beside.turn(!beside.on);
beside.addEventListener("picked", e => took(e.detail, true));
$("wipe-keep").onclick = () => wipe.keep(state, cameras.name);
$("wipe-open").onclick = () => wipe.open();
$("still").onclick = () => share(link, say, cameras.name, matchMedia("(pointer: coarse)").matches);
stage.addEventListener("only", () => strip.turn(!strip.on));

// ---- The picture

stage.addEventListener("view", e => link.look(e.detail));
stage.addEventListener("pick", async e => took(await link.ask("pick", { x: e.detail[0], y: e.detail[1] }), true));
stage.addEventListener("pick-more", async e => {
  const a = await link.ask("pick", { x: e.detail[0], y: e.detail[1] });
  if (a.ok) takeMore(a.data.name, true); else say(a);
});
stage.addEventListener("aim", e => aim({ x: e.detail[0], y: e.detail[1] }));
stage.addEventListener("expose", e => expose(stage.camera.ev + e.detail));
stage.addEventListener("step", e => {
  const all = rig?.fixtures ?? [], here = all.findIndex(f => f.name === picked);
  if (all.length) select(all[here < 0 ? (e.detail > 0 ? 0 : all.length - 1) : (here + e.detail + all.length) % all.length].name);
});
stage.addEventListener("play", () => { if (!$("play").disabled) $("play").click(); });
stage.addEventListener("record", () => $("record").click());
let dragBusy = false;
stage.addEventListener("dragging", async e => {
  if (dragBusy || !picked) return;
  dragBusy = true;
  const a = await link.ask("place", { fixture: picked, x: e.detail[0], y: e.detail[1] });
  dragBusy = false;
  if (a.ok && stage.selected && stage.dragging) { stage.selected = { ...stage.selected, at: a.data, landings: [] }; stage.drawMarks(); sheet.showPlace(a.data); }
});
stage.addEventListener("dropped", async e => {
  // Another may be picked, or the rig file saved, while the answers are on their way: the name stays.
  const of = picked, a = await link.ask("place", { fixture: of, x: e.detail[0], y: e.detail[1] });
  const moved = say(a.ok ? await link.ask("move", { fixture: of, at: a.data }) : a);
  // Once it is written the reloaded rig tells its new place; refused, it goes back to the old one.
  if (!moved.ok && of === picked) select(picked, false);
});
stage.addEventListener("let-go", () => { sheet.showPlace(stage.selected.at); select(picked, false); });

function took(answer, show, there = answer.data?.there) {
  if (!answer.ok) { say(answer); return; }
  // The rig file may have been saved without it while the answer was on its way.
  if (!rig?.fixtures.some(f => f.name === answer.data.name)) return;
  if (show) hush();
  pickIs(answer.data.name);
  stage.selected = answer.data;
  stage.drawMarks();
  sheet.showThere(there, answer.data.name);
  sheet.showFixture(answer.data);
  if (show && sheet.current !== "aim") {
    sheet.open("fixture");
    reveal($("fixture"));
  }
  if (waiting) aim({ at: waiting });
}

/** An aim's answer belongs to one head: with another it goes, and its mark with it. A target that still waits for a head stays. */
function pickIs(name) {
  if (name === picked) return;
  picked = name;
  if (stage.axes && stage.axes.fixture !== name) refocus.letGo();
  if (waiting) return;
  sheet.forgetAim();
  dropTarget();
}
function dropTarget() {
  waiting = stage.target = drawn.path = null;
  stage.drawMarks();
}

/** The axes of a position in the old and in the new venue, or null; the fixture is picked where it is there. */
function axes(row, words) {
  stage.axes = row;
  stage.drawMarks();
  $("axes").hidden = !row;
  if (!row) return;
  fill($("axes"), words, () => [el("span", {}, words.what), el("span", { class: "was" }, words.was), words.is ? el("span", { class: "is" }, words.is) : null]);
  if (rig?.fixtures.some(f => f.name === row.fixture)) select(row.fixture, false);
}

/** there: whose light is seen where somebody clicked, when it is one of them. */
async function select(name, show = true, there = undefined) {
  if (!name) return;
  pickIs(name);
  const a = await link.ask("fixture", { fixture: name });
  if (name === picked) took(a, show, there);
}

/** A caution's moment, where it can be gone to, and a view of its place with the fixture picked. */
async function lookAt(row) {
  if (row.canSeek) { const a = await link.ask("seek", { seconds: row.at }); if (!a.ok) say(a); }
  if (row.point) {
    const [x, y, z] = row.point, c = stage.camera;
    stage.camera = Camera.from([x + 4, y - 9, z + 4], row.point, c.fov, c.ev);
    stage.camera.work = c.work;
    cameras.list("hand");
    stage.changed();
  }
  if (row.fixture) select(row.fixture, false);
}

/** A note's moment, seen as it was seen. */
async function showNote(n) {
  if (n.source === "capture" && state?.capture?.name !== n.sourceName) {
    const a = await link.ask("open", { name: n.sourceName });
    if (!a.ok) { say(a); return; }
  }
  if (n.source === "capture") await seek({ seconds: n.seconds });
  cameras.look(n.camera);
}

async function aim(where) {
  setMode("look");
  rail.fold(false);
  sheet.open("aim");
  const by = picked;
  // The point under the pointer is the same for every fixture: with none picked the first one tells where it is.
  const a = await link.ask("aim", { fixture: by ?? rig?.fixtures[0]?.name ?? "", ...where });
  if (by !== picked) {
    // Picked while the target was on its way: it is this head's.
    if (!by && a.ok) aim({ at: a.data.point });
    return;
  }
  waiting = a.ok && !by ? a.data.point : null;
  if (a.ok) { stage.target = a.data.point; stage.drawMarks(); }
  if (!by) {
    if (a.ok) sheet.showTarget(a.data.point);
    say(a.ok ? { ok: true, text: "The target is set. Now pick the fixture: click its head, or find it in the patch." } : a);
    return;
  }
  say(a);
  sheet.showAim(a);
  reveal($("aim"));
}

const numbers = which => ["x", "y", "z"].map(k => $(`${which}-${k}`).valueAsNumber);

function setMode(mode) {
  if (mode === "look" && stage.mode !== "look") hush();
  stage.mode = mode;
  stage.letGo();
  $("aim-mode").setAttribute("aria-pressed", mode === "aim");
  $("move-mode").setAttribute("aria-pressed", mode === "move");
}
$("aim-mode").onclick = () => { setMode(stage.mode === "aim" ? "look" : "aim"); if (stage.mode === "aim") say({ ok: true, text: "Click the target in the picture." }); };
$("move-mode").onclick = () => { setMode(stage.mode === "move" ? "look" : "move"); if (stage.mode === "move") say({ ok: true, text: !picked ? "Pick the fixture, then drag its ring." : "Drag the ring; it stays at its height." }); };
$("aim-form").onsubmit = e => { e.preventDefault(); aim({ at: numbers("aim") }); };
$("place-form").onsubmit = async e => {
  e.preventDefault();
  say(await link.ask("move", { fixture: picked, at: numbers("place") }));
};

// ---- Cameras

function expose(ev) {
  stage.camera.ev = Math.min(16, Math.max(-2, ev));
  // A higher exposure value lets in less light: the slider's right end is the brightest.
  $("exposure").value = -stage.camera.ev;
  $("exposure-is").value = `EV ${number(stage.camera.ev)}`;
  $("exposure").setAttribute("aria-valuetext", `EV ${number(stage.camera.ev)}`);
  stage.changed();
}
function workLight(on) {
  stage.camera.work = on;
  $("work").setAttribute("aria-pressed", on);
  stage.changed();
}
$("work").onclick = () => workLight(!stage.camera.work);
stage.addEventListener("work", () => workLight(!stage.camera.work));
$("exposure").oninput = e => expose(-e.target.value);

// ---- What the server says

link.addEventListener("open", () => { shelves(); stage.changed(); select(picked, false); });
link.addEventListener("lost", e => {
  const b = $("source");
  b.className = "badge off";
  b.textContent = "✕ not connected";
  b.title = e.detail;
  $("no-picture").hidden = !e.detail;
  setText($("no-picture"), e.detail ? `✕ Not connected: ${e.detail}.` : "");
  setText($("link"), "trying again");
  goneStale(true);
  showStrip();
});

/** What is on the page was true once: the picture and the clocks are dimmed, with the time they were last right. */
function goneStale(on) {
  document.body.classList.toggle("gone", on);
  pictureStands(on, state?.recorder.on ? "; whether it still records is not known" : "");
  if (state) showRecorder();
  if (on) forgetLandings();
}

/** The picture alone: what is heard goes on. */
function pictureStands(on, beside = "") {
  document.body.classList.toggle("late", on);
  $("stale").hidden = !on || !pictureAt;
  if (on && pictureAt) setText($("stale"), "✕ last picture " + pictureAt.toTimeString().slice(0, 8) + beside);
}
// A cable that is out ends no connection for minutes; states come four times a second.
setInterval(() => {
  if (!link.open || document.hidden || performance.now() - heardAt < 6000) return;
  const b = $("source");
  b.className = "badge off";
  setText(b, "✕ no word from the server");
  goneStale(true);
  showStrip();
}, 1000);

/** A picture that was right longer ago than this, s, is dimmed. */
const mostAge = 2;
link.addEventListener("rig", e => {
  rig = e.detail.rig;
  document.title = `${rig.name} · StageView`;
  setText($("rig-name"), rig.name);
  cameras.take(rig);
  sheet.showRig(rig);
  several.showRig(rig);
  if (firstRig && !resume()) cameras.first();
  firstRig = false;
  // Fixtures are known by name: one written into the file before the picked one changes every place in the list.
  if (picked && !rig.fixtures.some(f => f.name === picked)) {
    sheet.showGone(picked);
    pickIs(null);
    stage.letGo();
    stage.selected = null;
  }
  select(picked, false);
  stage.changed();
});
link.addEventListener("journal", e => sheet.showNight(e.detail.entries));
link.addEventListener("state", e => {
  const recorded = stale() && state?.recorder.on ? state.recorder.name : null;
  state = e.detail.now;
  if (recorded && !state.recorder.on) say({ ok: false, stays: true, text: `The recording ${takeName(recorded)} ended while the server was away; what was written is kept.` });
  const { link: l, picture, seat } = e.detail;
  heardAt = performance.now();
  // A stage at rest sends no new picture: the server tells when the one shown was right. Before this server's first one, what is shown is another's.
  const stands = !picture.drawing || l.ageSeconds == null || l.ageSeconds > mostAge;
  if (pictureAt && l.ageSeconds != null) pictureAt = new Date(Date.now() - l.ageSeconds * 1000);
  goneStale(false);
  pictureStands(stands);
  const from = state.source + ":" + state.sourceName + JSON.stringify(state.asIf ?? null);
  if (followed !== from) { followed = from; forgetLandings(); follow(); }
  const b = $("source"), heard = state.network.standing.state;
  const sign = state.source === "network" ? `${signs[heard]} ${state.network.standing.text}` : { capture: `${state.capture?.playing ? "▶" : "❚❚"} capture`, look: "◆ look" }[state.source] ?? state.source;
  b.className = "badge " + (state.source === "network" && heard !== "heard" ? heard : state.source);
  setText(b, sign + (state.source === "network" ? "" : ": " + takeName(state.sourceName)) + (state.asIf ? " · as if" : ""));
  sheet.asIf.showState(state.asIf, seat?.own || seat?.leads);
  b.title = state.sourceName;
  setText($("time-word"), state.source === "capture" ? "show time" : "running for");
  setText($("time"), clock(state.seconds));
  $("timecode-box").hidden = !state.timecode && !state.ltc;
  setText($("timecode"), state.timecode ?? "");
  setText($("timecode-note"), shortNote(state.timecodeNote ?? ""));
  $("timecode-note").title = state.timecodeNote ?? "";
  setText($("timecode-word"), state.ltc ? `${signs[state.ltc.state]} ${state.ltc.short}` : "timecode");
  $("timecode-word").title = state.ltc?.text ?? "";
  setText($("link"), `${l.latencyMs == null ? "delay –" : `delay ${number(l.latencyMs, 0)} ms`} · ${number(l.framesPerSecond, 0)} ${number(l.framesPerSecond, 0) === "1" ? "picture" : "pictures"}/s${l.rung > 2 ? " · coarse for a slow link" : ""}`);
  $("measure").setAttribute("aria-pressed", !!state.marker);
  const first = picture.drawing && l.ageSeconds == null;
  $("no-picture").hidden = picture.drawing && !first;
  setText($("no-picture"), first ? "The first picture is being drawn…" : picture.drawing ? "" : "▲ " + picture.renderer + ". Listening and recording go on.");
  $("making").hidden = !state.making;
  setText($("making"), state.making ? `playing ${state.making.name}: ${number(100 * state.making.share, 0)} %` : "");
  showFault(state.fault);
  sheet.showState(state, l, picture);
  $("lead").setAttribute("aria-pressed", !!seat?.leads);
  $("lead-box").hidden = !seat?.own && !seat?.leads && !seat?.led;
  $("lead").hidden = !seat?.own && !seat?.leads;
  document.body.classList.toggle("looks-only", !!seat?.looksOnly);
  $("save-last").hidden = !state.capture?.frozen;
  setText($("lead-words"), seat?.leads ? "all see this" : seat?.own ? "seen here only" : "led from another device");
  refocus.show(state.refocus);
  showTime(seat);
  showStrip();
});

function showStrip() {
  const b = $("source"), level = ["lost", "silent"].find(c => b.classList.contains(c)), late = $("stale").hidden ? "" : $("stale").textContent;
  strip.show(state ? clock(state.seconds) : "", state?.timecode, worst({ text: b.textContent, off: b.classList.contains("off"), level }, state, late), picked);
}

function showFault(fault) {
  $("fault").hidden = !fault;
  // How long it has stood must not make the alert speak again.
  fill($("fault"), fault && { file: fault.file, lines: fault.lines }, f => f && [
    el("strong", {}, `✕ ${f.file} can't be read as it stands; the last good rig is shown`),
    ...f.lines.map(l => el("div", {}, el("p", {}, `${l.line ? `line ${l.line}${l.path ? `, ${l.path}` : ""}: ` : ""}${l.text}`), l.excerpt ? el("pre", {}, `${l.line}  ${l.excerpt}`) : null)),
  ]);
}

// ---- Time

function showTime(seat) {
  const c = state.capture;
  $("play").disabled = $("scrub").disabled = !c;
  $("listen").disabled = state.source === "network" && !seat?.own;
  setText($("play-word"), c?.playing ? "Pause" : "Play");
  $("play").firstElementChild.textContent = c?.playing ? "❚❚" : "▶";
  if (c) {
    $("scrub").max = c.length;
    if (performance.now() - scrubbing > 400) $("scrub").value = c.position;
    $("scrub").setAttribute("aria-valuetext", `${clock(c.position)} of ${clock(c.length)}`);
    showPlace(c.position, c.length);
  } else {
    showPlace(null);
    $("scrub").value = 0;
    $("scrub").removeAttribute("aria-valuetext");
  }
  if (document.activeElement !== $("captures")) $("captures").value = c ? c.name : "";
  cameras.saved(state.notes?.cameras ?? []);
  cameras.settle();
  beside.cameras(rig, state.notes?.cameras ?? []);
  notes.show(state.notes);
  marks.show(c, state.notes?.notes ?? []);
  $("sound").hidden = !c?.sound;
  $("sound").title = c?.sound ? `${c.sound.name}, on this device` : "";
  sound.follow(c);
  showRecorder();
}

$("sound").onclick = () => {
  sound.turn(!sound.on, state?.capture);
  $("sound").setAttribute("aria-pressed", sound.on);
};

function showPlace(at, of) {
  setText($("scrub-at"), at === null ? "" : clock(at));
  setText($("scrub-of"), at === null ? "" : ` / ${clock(of)}`);
}

const stale = () => document.body.classList.contains("gone");

/** Without word from the server nobody knows whether it still records. */
function showRecorder() {
  const on = state.recorder.on, unknown = on && stale();
  $("record").setAttribute("aria-pressed", unknown ? "mixed" : on);
  $("record").title = unknown ? "No word from the server: whether it still records is not known" : "";
  setText($("record-word"), unknown ? "Recording?" : on ? `Stop, ${clock(Math.floor(state.recorder.seconds)).slice(0, -2)}` : "Record");
}

/** No file has that name. */
const lastMinutes = "/last";
$("save-last").onclick = async () => { say(await link.ask("save-last", { name: state?.capture?.name ?? "" })); shelves(); };
async function shelves() {
  const a = await link.ask("shelves");
  if (!a.ok) return;
  fill($("captures"), { captures: a.data.captures, cues: a.data.cues ?? [], last: !!state?.last }, d => [
    el("option", { value: "" }, "no capture"),
    d.last && el("option", { value: lastMinutes }, "the last minutes, frozen now"),
    ...d.captures.map(c => el("option", { value: c.name }, c.seconds ? `${takeName(c.name)} (${clock(c.seconds)})` : takeName(c.name))),
    d.cues.length > 0 && el("optgroup", { label: "Cue files" }, ...d.cues.map(n => el("option", { value: n }, n))),
  ]);
  sheet.showLooks(a.data.looks);
}
$("captures").onfocus = shelves;
$("looks-again").onclick = shelves;
$("captures").onchange = async e => {
  if (e.target.value === lastMinutes) {
    const a = say(await link.ask("last"));
    if (a.ok) await shelves(); else e.target.value = state?.capture?.name ?? "";
  } else if (e.target.value) say(await link.ask("open", { name: e.target.value }));
  else if (state?.source === "capture") say(await link.ask("listen"));
};
$("lead").onclick = async () => say(await link.ask("lead", { on: $("lead").getAttribute("aria-pressed") !== "true" }));
$("listen").onclick = async () => say(await link.ask("listen"));
$("play").onclick = async () => say(await link.ask("play", { on: !state?.capture?.playing, speed: +$("pace").value }));
$("pace").onchange = async () => { if (state?.capture?.playing) say(await link.ask("play", { on: true, speed: +$("pace").value })); };
let seeking = false, wanted = null;
$("scrub").oninput = async e => {
  scrubbing = performance.now();
  wanted = +e.target.value;
  showPlace(wanted, +e.target.max);
  if (seeking) return;
  seeking = true;
  while (wanted !== null) { const s = wanted; wanted = null; const a = await link.ask("seek", { seconds: s }); if (!a.ok) say(a); }
  seeking = false;
};
$("record").onclick = async () => {
  if (stale()) { say({ ok: false, text: "no word from the server; the page tries again by itself" }); return; }
  say(await link.ask("record", { on: !state?.recorder.on }));
  shelves();
};
$("cautions-through").onclick = async () => say(await link.ask("through", { on: !state?.cautionScan }));
$("undo").onclick = async () => say(await link.ask("undo"));
$("redo").onclick = async () => say(await link.ask("redo"));
$("measure").onclick = async e => {
  const on = !state?.marker;
  const a = say(await link.ask("measure", { on }));
  if (a.ok) e.target.setAttribute("aria-pressed", on);
};

// Levels and landings of what is picked follow, whichever panel is open: the marks stand over the picture under all of them.
let following = false, followed = "", followAt = 0;
async function follow() {
  const asked = performance.now();
  if (following || !picked || !link.open || document.hidden || asked < followAt) return;
  following = true;
  const of = followed, a = await link.ask("fixture", { fixture: picked });
  following = false;
  // On a slow link following takes a quarter of the time: what somebody asks for comes before.
  followAt = performance.now() + 3 * (performance.now() - asked) - 500;
  if (!a.ok || a.data.name !== picked || of !== followed) return;
  if (stage.mode !== "move") { stage.selected = a.data; stage.drawMarks(); }
  sheet.showFixture(a.data);
}
setInterval(follow, 500);

/** What lands where belongs to what was shown until now. */
function forgetLandings() {
  if (!stage.selected) return;
  stage.selected = { ...stage.selected, landings: [] };
  stage.drawMarks();
}

// ---- What a reload finds again: the view, the panel and the fixture

const standing = () => "standing:" + rig.name;
function keepStanding() {
  if (!rig) return;
  const { target, yaw, pitch, distance, fov, ev, work } = stage.camera;
  try { sessionStorage.setItem(standing(), JSON.stringify({ camera: { target, yaw, pitch, distance, fov, ev, work }, chosen: cameras.chosen, panel: sheet.current, picked })); }
  catch { /* This browser keeps nothing for the page. */ }
}
// The HTML standard makes a page hidden before it is unloaded, too.
document.addEventListener("visibilitychange", () => { if (document.hidden) keepStanding(); });

/** Whether there was something to go back to. */
function resume() {
  let s = null;
  try { s = JSON.parse(sessionStorage.getItem(standing())); } catch { /* Nothing kept, or nothing readable. */ }
  if (!s) return false;
  Object.assign(stage.camera, s.camera);
  cameras.list(s.chosen);
  workLight(s.camera.work);
  expose(s.camera.ev);
  sheet.open(s.panel);
  picked = s.picked;
  return true;
}

// ---- Keys of the whole page

const parts = [$("picture"), $("timebar"), $("sheet")];
addEventListener("keydown", e => {
  const typing = /^(INPUT|SELECT|TEXTAREA)$/.test(e.target.tagName) && e.target.type !== "range" && e.target.type !== "checkbox";
  if (e.key === "F6") {
    const here = parts.findIndex(p => p.contains(document.activeElement));
    parts[(here + (e.shiftKey ? parts.length - 1 : 1)) % parts.length].focus();
    e.preventDefault();
  } else if (e.key === "Escape" && strip.on && stage.mode === "look" && !stage.target) strip.turn(false);
  else if (e.key === "Escape" && stage.mode !== "look") setMode("look");
  else if (e.key === "Escape" && wipe.on) wipe.close();
  else if (e.key === "Escape" && !typing && !$("keys").open) { dropTarget(); refocus.letGo(); }
  else if (!typing && !$("keys").open && (e.ctrlKey || e.metaKey) && !e.altKey && e.key.toLowerCase() === "z") { e.preventDefault(); if (!e.repeat) $(e.shiftKey ? "redo" : "undo").click(); }
  else if (!typing && !$("keys").open && $("single-keys").checked && !e.metaKey && (e.getModifierState("AltGraph") || (!e.ctrlKey && !e.altKey))) {
    if (e.key === "/") { strip.turn(false); rail.fold(false); sheet.search(); e.preventDefault(); }
    else if (e.key === "m" || e.key === "M") { e.preventDefault(); if (!e.repeat) notes.drop(); }
    else if (e.key === "[" || e.key === "]") { e.preventDefault(); marks.step(e.key === "]" ? 1 : -1); }
    else if (e.key === "?") { $("keys").showModal(); e.preventDefault(); }
  }
});
inviting(say);
$("keys-open").onclick = () => $("keys").showModal();
