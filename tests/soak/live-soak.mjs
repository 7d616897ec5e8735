// Soak of `stageview live`: node tests/soak/live-soak.mjs [SECONDS] [ROUND] (3600 60): a round begins every 60 s, or when the last one is done. All on loopback,
// on ports of its own.
// Round after round: a viewer that comes and goes, a sender (npm sacn) pulled out and back, the rig file edited, broken,
// deleted and restored, a recording, a capture scrubbed; at the start and at the end the drawing process is killed and the
// whole program stopped for half a minute, as a laptop that sleeps. Every step must be seen in what the page is told.
// Passes when every step was seen and memory, file descriptors, sockets and threads of both processes are, over the last
// fifth, what they were over the second. Figures a round lie in out/soak/live.jsonl, the words of `live` in out/soak/live.log.
import { spawn } from "node:child_process";
import { createRequire } from "node:module";
import { randomBytes } from "node:crypto";
import dgram from "node:dgram";
import fs from "node:fs";
import http from "node:http";
import os from "node:os";
import path from "node:path";
import { fileURLToPath } from "node:url";

const root = path.resolve(path.dirname(fileURLToPath(import.meta.url)), "../..");
const node = path.join(root, "tests/StageView.TestKit/node");
const app = process.env.STAGEVIEW_DLL ?? path.join(root, "src/StageView.App/bin", process.env.CONFIG ?? "Release", "net10.0/stageview.dll");
const seconds = Number(process.argv[2] ?? 3600), apart = Number(process.argv[3] ?? 60);
const out = path.join(root, "out/soak");
const stop = (code, why) => { console.error("soak: " + why); process.exit(code); };
if (!fs.existsSync(app)) stop(3, "build first: ./dev stageview --help");
if (!fs.existsSync(path.join(node, "node_modules/sacn"))) stop(3, `npm package sacn is missing: npm ci in ${path.relative(root, node)}`);
const { Sender } = createRequire(path.join(node, "send.js"))("sacn");
fs.mkdirSync(out, { recursive: true });

const sleep = s => new Promise(done => setTimeout(done, s * 1000));
const freePort = () => new Promise(done => { const s = dgram.createSocket("udp4"); s.bind(0, "127.0.0.1", () => { const { port } = s.address(); s.close(() => done(port)); }); });

// ---- The rig, copied so that it may be broken.

const copy = fs.mkdtempSync(path.join(os.tmpdir(), "stageview-soak-"));
fs.cpSync(path.join(root, "scenes/foundry"), path.join(copy, "scenes/foundry"), { recursive: true });
fs.cpSync(path.join(root, "assets/fixtures"), path.join(copy, "assets/fixtures"), { recursive: true });
const rig = path.join(copy, "scenes/foundry/foundry.rig.jsonc");
const good = fs.readFileSync(rig, "utf8");
const recordings = path.join(copy, "scenes/foundry/recordings");

// ---- The program.

const [sacn, artnet] = [await freePort(), await freePort()];
const log = fs.createWriteStream(path.join(out, "live.log"));
const live = spawn("dotnet", [app, "live", rig, "--no-window", "--port", "0", "--sacn-port", sacn, "--artnet-port", artnet], { stdio: ["ignore", "pipe", "pipe"] });
let words = "";
const address = new Promise((done, failed) => {
  const heard = text => { log.write(text); words = (words + text).slice(-20_000); const m = /the page is at (http:\S+)/.exec(words); if (m) done(m[1]); };
  live.stdout.setEncoding("utf8").on("data", heard);
  live.stderr.setEncoding("utf8").on("data", heard);
  live.on("exit", code => failed(new Error(`live ended with ${code}: ${words.slice(-500)}`)));
});
address.catch(() => {});
live.on("exit", () => { if (!ending) stop(1, "live ended by itself: " + words.slice(-800)); });
let ending = false;
process.on("exit", () => { live.kill("SIGKILL"); fs.rmSync(copy, { recursive: true, force: true }); });
for (const s of ["SIGINT", "SIGTERM"]) process.on(s, () => process.exit(1));
const url = await address;

// ---- A viewer: a WebSocket by hand, for this much of RFC 6455 needs no package.

class Viewer {
  state = null; rig = null; pictures = 0; closed = false;
  #buffer = Buffer.alloc(0); #asked = new Map(); #id = 0;

  static async open(width, height) {
    const v = new Viewer(), at = new URL("/live", url);
    await new Promise((done, failed) => {
      const request = http.get({ host: at.hostname, port: at.port, path: at.pathname, headers: { Connection: "Upgrade", Upgrade: "websocket", "Sec-WebSocket-Version": 13, "Sec-WebSocket-Key": randomBytes(16).toString("base64") } });
      request.on("upgrade", (_, socket, head) => { v.socket = socket; v.#heard(head); socket.on("data", d => v.#heard(d)); socket.on("close", () => { v.closed = true; }); socket.on("error", () => {}); done(); });
      request.on("response", r => failed(new Error("no socket: " + r.statusCode)));
      request.on("error", failed);
    });
    v.say({ do: "view", from: [0, -14.5, 1.4], to: [0, 5, 3.6], fov: 42, ev: 5, size: [width, height] });
    return v;
  }

  say(message) {
    const body = Buffer.from(JSON.stringify(message)), mask = randomBytes(4);
    const head = body.length < 126 ? Buffer.from([0x81, 0x80 | body.length]) : Buffer.from([0x81, 0xfe, body.length >> 8, body.length & 255]);
    for (let i = 0; i < body.length; i++) body[i] ^= mask[i & 3];
    this.socket.write(Buffer.concat([head, mask, body]));
  }

  ask(what, more = {}) {
    const id = ++this.#id;
    return new Promise((done, failed) => {
      const late = setTimeout(() => failed(new Error(`no answer to ${what} within 30 s`)), 30_000);
      this.#asked.set(id, a => { clearTimeout(late); done(a); });
      this.say({ do: what, id, ...more });
    });
  }

  async sees(what, holds, patience = 40) {
    for (let i = 0; i < patience * 5; i++) {
      if (this.state && holds(this.state.now, this)) return;
      await sleep(.2);
    }
    throw new Error("not seen: " + what);
  }

  #heard(data) {
    let b = this.#buffer = Buffer.concat([this.#buffer, data]);
    while (b.length >= 2) {
      let [length, at] = [b[1] & 127, 2];
      if (length === 126) { if (b.length < 4) break; length = b.readUInt16BE(2); at = 4; }
      else if (length === 127) { if (b.length < 10) break; length = Number(b.readBigUInt64BE(2)); at = 10; }
      if (b.length < at + length) break;
      const body = b.subarray(at, at + length);
      if ((b[0] & 15) === 1) this.#text(JSON.parse(body.toString()));
      else if ((b[0] & 15) === 2) { this.pictures++; const n = body.readUInt32LE(8); setTimeout(() => this.closed || this.say({ do: "shown", n }), 900); }
      else if ((b[0] & 15) === 9) this.socket.write(Buffer.from([0x8a, 0x80, 0, 0, 0, 0]));
      b = b.subarray(at + length);
    }
    this.#buffer = Buffer.from(b);
  }

  #text(m) {
    if (m.t === "ping") this.say({ do: "pong", n: m.n });
    else if (m.t === "answer") { this.#asked.get(m.id)?.(m); this.#asked.delete(m.id); }
    else if (m.t === "state") this.state = m;
    else if (m.t === "rig") this.rig = m.rig;
  }
}

// ---- The desk: ten universes of the rig, a new level twice a second.

// Named by the round: the journal counts what is said often within a minute, and says it no more.
class Desk {
  #senders = Array.from({ length: 10 }, (_, i) => new Sender({ universe: i + 1, port: sacn, useUnicastDestination: "127.0.0.1", defaultPacketOptions: { sourceName: `soak desk ${round % 7 + 1}`, priority: 100, useRawDmxValues: true } }));
  #n = 0;
  #timer = setInterval(() => {
    const level = 60 + (Math.floor(this.#n++ / 10) % 12) * 16;
    for (const s of this.#senders) s.send({ payload: { 1: level, 2: level, 3: 255 - level } }).catch(() => {});
  }, 50);
  unplug() { clearInterval(this.#timer); for (const s of this.#senders) s.close(); }
}

// ---- What grows.

function figures(pid) {
  const status = fs.readFileSync(`/proc/${pid}/status`, "utf8"), links = [];
  for (const fd of fs.readdirSync(`/proc/${pid}/fd`)) { try { links.push(fs.readlinkSync(`/proc/${pid}/fd/${fd}`)); } catch { /* closed meanwhile */ } }
  const cpu = fs.readFileSync(`/proc/${pid}/stat`, "utf8").split(") ")[1].split(" ");
  return {
    memory: Number(/VmRSS:\s+(\d+)/.exec(status)[1]), threads: Number(/Threads:\s+(\d+)/.exec(status)[1]),
    files: links.length, sockets: links.filter(l => l.startsWith("socket:")).length, cpu: (Number(cpu[11]) + Number(cpu[12])) / 100,
  };
}
const drawing = () => fs.readdirSync(`/proc/${live.pid}/task`).map(t => { try { return fs.readFileSync(`/proc/${live.pid}/task/${t}/children`, "utf8"); } catch { return ""; } }).join(" ").trim().split(/\s+/).map(Number)[0];

// ---- One round.

const failures = [];
const step = async (name, act) => { try { await act(); } catch (e) { failures.push(`round ${round}, ${name}: ${e.message}`); console.error("soak: " + failures.at(-1)); } };
const replaced = (from, to) => { if (!good.includes(from)) throw new Error(`the rig file has no ${from}`); return good.replace(from, to); };
let round = 0, journalAt = 0;
const said = async text => { for (let i = 0; i < 200; i++) { if (words.slice(journalAt).includes(text)) return; await sleep(.2); } throw new Error(`never said: ${text}`); };
const since = () => { words = ""; journalAt = 0; };

async function oneRound(hard) {
  const viewer = await Viewer.open(160 + 16 * (round % 3), 90 + 18 * (round % 2));
  let desk = new Desk();
  await step("levels seen", () => viewer.sees("ten universes heard", n => n.network.universes.filter(u => u.state === "heard").length === 10));
  await step("pictures", () => viewer.sees("a picture", (_, v) => v.pictures > 1, 90));
  since();
  desk.unplug();
  await step("desk unplugged", async () => { await viewer.sees("universes lost", n => n.network.universes.filter(u => u.state === "lost").length === 10); await said("stopped sending"); });
  desk = new Desk();
  await step("desk back", () => viewer.sees("universes heard again", n => n.network.universes.filter(u => u.state === "heard").length === 10));
  const version = viewer.rig?.version ?? 0;
  await step("rig edited", async () => { fs.writeFileSync(rig, replaced('"lookAt": [0, 5, 3.6]', `"lookAt": [0, 5, ${(3 + (round % 10) / 10).toFixed(1)}]`)); await viewer.sees("the edit", (_, v) => v.rig.version > version); });
  await step("rig broken", async () => { fs.writeFileSync(rig, replaced('"lookAt": [0, 5, 3.6]', '"lookAt": [0, 5]')); await viewer.sees("the fault", n => n.fault?.lines[0].path.includes("lookAt")); });
  await step("rig deleted", async () => { fs.rmSync(rig); await viewer.sees("that it is gone", n => n.fault?.lines[0].text.includes("no such file")); });
  await step("rig restored", async () => { fs.writeFileSync(rig, good); await viewer.sees("no fault", n => !n.fault); });
  await step("recorded", async () => {
    const began = await viewer.ask("record", { on: true });
    if (!began.ok) throw new Error(began.text);
    try {
      await sleep(2);
      if (hard) await killed(viewer);
      await viewer.sees("still recording", n => n.recorder.on && n.recorder.bytes > 1000);
    } finally { await viewer.ask("record", { on: false }); }
    for (const f of fs.readdirSync(recordings)) fs.rmSync(path.join(recordings, f));
  });
  await step("capture scrubbed", async () => {
    if (!(await viewer.ask("open", { name: "foundry.pcapng" })).ok) throw new Error("not opened");
    for (const s of [12, 3, 15]) await viewer.ask("seek", { seconds: s });
    await viewer.sees("its time", n => n.capture?.position >= 15);
    await viewer.ask("fixture", { fixture: viewer.rig.fixtures[round % 40].name });
    await viewer.ask("aim", { fixture: viewer.rig.fixtures[0].name, at: [round % 5, 2, 0] });
    await viewer.ask("listen");
  });
  if (hard) await step("asleep", async () => {
    const before = viewer.state;
    live.kill("SIGSTOP"); await sleep(25); live.kill("SIGCONT");
    await said("was stopped for");
    await viewer.sees("listening again", (n, v) => v.state !== before && n.network.listening.length > 0 && n.network.universes.some(u => u.state === "heard"));
  });
  desk.unplug();
  if (round % 2) viewer.socket.destroy(); else { viewer.socket.write(Buffer.from([0x88, 0x80, 0, 0, 0, 0])); viewer.socket.end(); }
}

async function killed(viewer) {
  const pid = drawing();
  since();
  process.kill(pid, "SIGKILL");
  await said("the renderer failed");
  await said("drawing again");
  const before = viewer.pictures;
  await viewer.sees("pictures again", (_, v) => v.pictures > before, 90);
}

// ---- The whole.

const table = fs.createWriteStream(path.join(out, "live.jsonl")), rows = [], from = Date.now();
const elapsed = () => (Date.now() - from) / 1000;
await sleep(2);
for (; elapsed() < seconds; round++) {
  const begun = elapsed();
  const hard = round < 2 || elapsed() > seconds - 130;
  await oneRound(hard);
  await sleep(2);
  const row = { round, at: Math.round(elapsed()), hard, live: figures(live.pid), drawing: figures(drawing()) };
  rows.push(row);
  table.write(JSON.stringify(row) + "\n");
  await sleep(Math.max(1, Math.min(apart - (elapsed() - begun), seconds - elapsed())));
}
ending = true;
live.kill("SIGTERM");
await new Promise(done => { live.on("exit", done); setTimeout(done, 8000); });

// The drawing process lives from the last hard round of the start to the first of the end: that stretch is compared.
const calm = rows.filter(r => !r.hard), fifth = Math.max(1, Math.floor(calm.length / 5));
const middle = (part, who, what) => part.map(r => r[who][what]).sort((a, b) => a - b)[Math.floor(part.length / 2)];
const most = { memory: 30_000, files: 3, sockets: 2, threads: 4 };
console.log(`soak: ${rows.length} rounds in ${Math.round(elapsed())} s, ${failures.length} steps not seen; CPU ${(100 * (rows.at(-1).live.cpu) / elapsed()).toFixed(1)} % of a core listening`);
for (const who of ["live", "drawing"]) {
  for (const what of Object.keys(most)) {
    const [early, late] = [middle(calm.slice(fifth, 2 * fifth + 1), who, what), middle(calm.slice(-fifth), who, what)];
    const grew = late - early > most[what];
    console.log(`soak: ${who} ${what} ${early} early, ${late} late${what === "memory" ? " kB" : ""}${grew ? "  GREW" : ""}`);
    if (grew) failures.push(`${who} ${what} grew`);
  }
}
process.exit(failures.length ? 1 : 0);
