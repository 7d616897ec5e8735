// An independent sender: node send.js PORT [ADDRESS [CID]], then lines on standard input: UNIVERSE ADDRESS=LEVEL[,ADDRESS=LEVEL...]
// Each universe is sent 40 times a second to the address (127.0.0.1), or with multicast:OWN-ADDRESS to its group, until the input ends.
const { Sender } = require("sacn");
const readline = require("readline");

const universes = new Map();
const port = Number(process.argv[2] || 5568);
const to = process.argv[3] || "127.0.0.1";
const way = to.startsWith("multicast:") ? { iface: to.slice("multicast:".length) } : { useUnicastDestination: to };
const cid = process.argv[4] ? { cid: Buffer.from(process.argv[4], "hex") } : {};
readline.createInterface({ input: process.stdin }).on("line", line => {
  const [number, list] = line.trim().split(" ");
  const universe = Number(number);
  let u = universes.get(universe);
  if (!u) {
    u = { payload: {}, sender: new Sender({ universe, port, ...way, defaultPacketOptions: { ...cid, sourceName: "independent desk", priority: 100, useRawDmxValues: true } }) };
    universes.set(universe, u);
  }
  for (const pair of list.split(",")) {
    const [address, level] = pair.split("=").map(Number);
    u.payload[address] = level;
  }
}).on("close", () => process.exit(0));
setInterval(() => { for (const { sender, payload } of universes.values()) sender.send({ payload }).catch(() => {}); }, 25);
